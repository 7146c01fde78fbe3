//! One change to a library, and its way back.

mod apply;
mod history;
mod words;

pub use apply::{EditError, apply};
pub use history::{History, Step};
pub use words::{candidate_words, rule_words, words};

use crate::care::Care;
use crate::collection::{Beater, Instrument, Kind, Place, Player, Venue};
use crate::id::{
    BeaterId, DecisionId, InstrumentId, KindId, LineId, PlaceId, PlayerId, ProgrammeId, ServiceId, TrialId,
    VenueId, WeekId, WorkId,
};
use crate::library::Orchestra;
use crate::music::{Line, Work};
use crate::pitch::KeyNumber;
use crate::sound::{Take, TakeKey};
use crate::trial::{Decision, Trial};
use crate::week::{Engagement, Instead, LineRef, LineRule, PartRef, Placement, Programme, Service, Week};

/// One change. `Put...` adds or replaces the thing with that id; `Remove...` takes it out.
#[derive(Clone, Debug, PartialEq)]
#[expect(missing_docs, reason = "each field is the id or the thing that the variant names")]
pub enum Edit {
    /// The orchestra's name, A, temperature and habits.
    SetOrchestra(Orchestra),
    /// A kind of the orchestra.
    PutKind(Kind),
    /// Refused while instruments or lines are of that kind.
    RemoveKind(KindId),
    PutInstrument(Instrument),
    /// Its uses, placements and takes go with it.
    RemoveInstrument(InstrumentId),
    /// What is known of an instrument’s tuning and care; nothing known takes it out. Refused for an instrument that is not there.
    PutCare(Care),
    PutBeater(Beater),
    /// Its uses go with it.
    RemoveBeater(BeaterId),
    PutPlayer(Player),
    /// The lines given to the player go back to nobody.
    RemovePlayer(PlayerId),
    PutPlace(Place),
    /// Things kept there are then kept nowhere.
    RemovePlace(PlaceId),
    PutVenue(Venue),
    /// Refused while a programme or service is there.
    RemoveVenue(VenueId),
    /// What the work remembers already stays, whatever the new one says of it; what only the new one remembers is added.
    PutWork(Work),
    /// It leaves its programmes with all that was given.
    RemoveWork(WorkId),
    PutLine {
        work: WorkId,
        line: Line,
    },
    /// What it was given goes with it.
    RemoveLine {
        work: WorkId,
        line: LineId,
    },
    /// Remembers a trial with its work, or what came of it since.
    PutTrial {
        work: WorkId,
        trial: Trial,
    },
    /// Forgets a trial; decisions that came of it stay.
    RemoveTrial {
        work: WorkId,
        trial: TrialId,
    },
    /// Remembers a decision with its work.
    PutDecision {
        work: WorkId,
        decision: Decision,
    },
    /// Forgets a decision.
    RemoveDecision {
        work: WorkId,
        decision: DecisionId,
    },
    PutWeek(Week),
    RemoveWeek(WeekId),
    /// Refused when another week has it. What works have that are not played any more is put aside.
    PutProgramme {
        week: WeekId,
        programme: Programme,
    },
    /// Its services go with it.
    RemoveProgramme(ProgrammeId),
    /// Gives a work that is played again what was put aside when it left the programme.
    TakeUp {
        programme: ProgrammeId,
        work: WorkId,
    },
    /// Forgets what was put aside of a work.
    DropAside {
        programme: ProgrammeId,
        work: WorkId,
    },
    PutService {
        week: WeekId,
        service: Service,
    },
    RemoveService(ServiceId),
    /// Gives a line to a player, or to nobody.
    Assign {
        programme: ProgrammeId,
        line: LineRef,
        player: Option<PlayerId>,
    },
    /// Gives a line to a player, or to nobody, as it was proposed: what proposals give they may change again.
    Accept {
        programme: ProgrammeId,
        line: LineRef,
        player: Option<PlayerId>,
    },
    /// What a player is engaged for; as usual with `None`.
    Engage {
        programme: ProgrammeId,
        player: PlayerId,
        engagement: Option<Engagement>,
    },
    /// Who owns a printed part; nobody with `None`.
    OwnPart {
        programme: ProgrammeId,
        part: PartRef,
        player: Option<PlayerId>,
    },
    /// On which instruments a line is played.
    UseInstruments {
        programme: ProgrammeId,
        line: LineRef,
        instruments: Vec<InstrumentId>,
    },
    /// With which beaters a line is played.
    UseBeaters {
        programme: ProgrammeId,
        line: LineRef,
        beaters: Vec<BeaterId>,
    },
    /// Keeps a pitch of a line of timpani on one drum of what it is played on (its instrument and the drum's name), or
    /// lets it go.
    PinDrum {
        programme: ProgrammeId,
        line: LineRef,
        key: KeyNumber,
        on: Option<(InstrumentId, String)>,
    },
    /// What happens to a note that the instruments of a line do not have; `None` where it is open again.
    Decide {
        programme: ProgrammeId,
        line: LineRef,
        /// As it sounds.
        key: KeyNumber,
        instead: Option<Instead>,
    },
    /// Keeps a line with its player, or lets it go.
    Lock {
        programme: ProgrammeId,
        line: LineRef,
        locked: bool,
    },
    /// Something that every set of assignments of the programme has to keep.
    PutRule {
        programme: ProgrammeId,
        rule: LineRule,
    },
    /// Lets go what was to be kept.
    RemoveRule {
        programme: ProgrammeId,
        rule: LineRule,
    },
    /// Stands an instrument on the floor, or moves it.
    Stand {
        programme: ProgrammeId,
        instrument: InstrumentId,
        placement: Placement,
    },
    /// Stands an instrument elsewhere for one work, or brings it for that work.
    StandFor {
        programme: ProgrammeId,
        work: WorkId,
        instrument: InstrumentId,
        placement: Placement,
    },
    /// Takes an instrument away for one work.
    TakeOffFor {
        programme: ProgrammeId,
        work: WorkId,
        instrument: InstrumentId,
    },
    /// Lets an instrument stand for a work as it does in the base setup.
    AsBase {
        programme: ProgrammeId,
        work: WorkId,
        instrument: InstrumentId,
    },
    /// Lays or hangs an instrument on another, or lets it stand by itself.
    LieOn {
        programme: ProgrammeId,
        instrument: InstrumentId,
        by: Option<InstrumentId>,
    },
    /// Lets an instrument stand as one with another and what stands with that, or by itself.
    StandWith {
        programme: ProgrammeId,
        instrument: InstrumentId,
        with: Option<InstrumentId>,
    },
    /// Takes an instrument off the floor.
    TakeOff {
        programme: ProgrammeId,
        instrument: InstrumentId,
    },
    /// The record of a take; its sound lies in a file beside it. Refused where its strikes are in no order.
    PutTake(Take),
    /// The file with its sound stays, so that undo has it again.
    RemoveTake(TakeKey),
    /// Several as one step, with words of their own.
    Together {
        words: String,
        edits: Vec<Edit>,
    },
}

#[cfg(test)]
mod tests;
