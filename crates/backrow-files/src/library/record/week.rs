//! `weeks/<id>.ron`: the programmes and services of a week.

use super::orchestra::AHertz;
use super::venue::{point, xy};
use super::{Once, Record, is_default};
use crate::library::text::{Text, plain, texts};
use crate::library::version::FORMAT;
use backrow_core::compass::PitchSet;
use backrow_core::id::{
    BeaterId, InstrumentId, KindId, LineId, PlayerId, ProgrammeId, ServiceId, VenueId, WeekId, WorkId,
};
use backrow_core::pitch::KeyNumber;
use backrow_core::week::{
    Aside, Assignment, DrumPin, Engagement, Hire, HireState, Instead, LineRef, LineRule, PartRef, Placement,
    Programme, Roster, Service, ServiceKind, Setup, Standing, Week, WorkSetup,
};
use jiff::civil::{Date, DateTime};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct WeekRecord {
    format: u32,
    id: Text<WeekId>,
    #[serde(default, skip_serializing_if = "is_default")]
    title: String,
    #[serde(default, skip_serializing_if = "is_default")]
    services: Vec<ServiceRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    programmes: Vec<ProgrammeRecord>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ServiceRecord {
    id: Text<ServiceId>,
    kind: Text<ServiceKind>,
    start: Text<DateTime>,
    minutes: u32,
    programme: Text<ProgrammeId>,
    #[serde(default, skip_serializing_if = "is_default")]
    venue: Option<Text<VenueId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    event: String,
}

/// What the lines of one work were given.
type GivenRecord = Once<Text<LineId>, AssignmentRecord>;

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ProgrammeRecord {
    id: Text<ProgrammeId>,
    #[serde(default, skip_serializing_if = "is_default")]
    title: String,
    #[serde(default, skip_serializing_if = "is_default")]
    venue: Option<Text<VenueId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    works: Vec<Text<WorkId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    remark: String,
    #[serde(default, skip_serializing_if = "is_default")]
    assignments: Once<Text<WorkId>, GivenRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    rules: Vec<RuleRecord>,
    /// Who is engaged, where it is not as usual.
    #[serde(default, skip_serializing_if = "is_default")]
    engaged: Once<Text<PlayerId>, EngagementRecord>,
    /// Who owns which printed part, by work.
    #[serde(default, skip_serializing_if = "is_default")]
    parts: Once<Text<WorkId>, Once<String, Text<PlayerId>>>,
    #[serde(default, skip_serializing_if = "is_default")]
    setup: Once<Text<InstrumentId>, PlacementRecord>,
    /// What lies or hangs on what.
    #[serde(default, skip_serializing_if = "is_default")]
    lies_on: Once<Text<InstrumentId>, Text<InstrumentId>>,
    /// What stands as one with what.
    #[serde(default, skip_serializing_if = "is_default")]
    stands_with: Once<Text<InstrumentId>, Text<InstrumentId>>,
    /// What differs for a work.
    #[serde(default, skip_serializing_if = "is_default")]
    changes: Once<Text<WorkId>, WorkSetupRecord>,
    /// What works had that are not played any more, or are again and nobody asked for it.
    #[serde(default, skip_serializing_if = "is_default")]
    put_aside: Once<Text<WorkId>, AsideRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    hires: Vec<HireRecord>,
    /// Where it differs from the orchestra’s.
    #[serde(default, skip_serializing_if = "is_default")]
    a_hz: Option<AHertz>,
    #[serde(default, skip_serializing_if = "is_default")]
    celsius: Option<f64>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct HireRecord {
    what: String,
    #[serde(default, skip_serializing_if = "is_default")]
    kind: Option<Text<KindId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    notes: Text<PitchSet>,
    #[serde(default, skip_serializing_if = "is_default")]
    a_hz: Option<AHertz>,
    #[serde(default, skip_serializing_if = "is_default")]
    instrument: Option<Text<InstrumentId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    lender: String,
    #[serde(default, skip_serializing_if = "is_default")]
    state: Text<HireState>,
    #[serde(default, skip_serializing_if = "is_default")]
    cost: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    from: Option<Text<Date>>,
    #[serde(default, skip_serializing_if = "is_default")]
    until: Option<Text<Date>>,
    #[serde(default, skip_serializing_if = "is_default")]
    remark: String,
}

impl HireRecord {
    fn of(hire: &Hire) -> Self {
        Self {
            what: hire.what.clone(),
            kind: hire.kind.clone().map(Text),
            notes: Text(hire.notes),
            a_hz: hire.a.map(AHertz),
            instrument: hire.instrument.clone().map(Text),
            lender: hire.lender.clone(),
            state: Text(hire.state),
            cost: hire.cost,
            from: hire.from.map(Text),
            until: hire.until.map(Text),
            remark: hire.remark.clone(),
        }
    }

    fn value(self) -> Hire {
        Hire {
            what: self.what,
            kind: self.kind.map(|kind| kind.0),
            notes: self.notes.0,
            a: self.a_hz.map(|a| a.0),
            instrument: self.instrument.map(|instrument| instrument.0),
            lender: self.lender,
            state: self.state.0,
            cost: self.cost,
            from: self.from.map(|from| from.0),
            until: self.until.map(|until| until.0),
            remark: self.remark,
        }
    }
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[derive(Default)]
struct AssignmentRecord {
    #[serde(skip_serializing_if = "is_default")]
    player: Option<Text<PlayerId>>,
    #[serde(skip_serializing_if = "is_default")]
    instruments: Vec<Text<InstrumentId>>,
    #[serde(skip_serializing_if = "is_default")]
    beaters: Vec<Text<BeaterId>>,
    #[serde(skip_serializing_if = "is_default")]
    locked: bool,
    #[serde(skip_serializing_if = "is_default")]
    by_hand: bool,
    #[serde(skip_serializing_if = "is_default")]
    drums: Vec<DrumPinRecord>,
    /// What was decided about notes, as they sound, that the instruments do not have.
    #[serde(skip_serializing_if = "is_default")]
    instead: Once<Text<KeyNumber>, Text<Instead>>,
}

/// What a player is engaged for.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct EngagementRecord {
    standing: Text<Standing>,
    #[serde(default, skip_serializing_if = "is_default")]
    timpani: bool,
    /// Only these services; all when there are none.
    #[serde(default, skip_serializing_if = "is_default")]
    services: Vec<Text<ServiceId>>,
}

impl EngagementRecord {
    fn of(engagement: &Engagement) -> Self {
        let Engagement { standing, timpani, services } = engagement;
        let services = services.iter().cloned().map(Text).collect();
        Self { standing: Text(*standing), timpani: *timpani, services }
    }

    fn value(self) -> Engagement {
        let services = self.services.into_iter().map(|id| id.0).collect();
        Engagement { standing: self.standing.0, timpani: self.timpani, services }
    }
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct DrumPinRecord {
    key: Text<KeyNumber>,
    instrument: Text<InstrumentId>,
    drum: String,
}

#[derive(Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct WorkSetupRecord {
    #[serde(skip_serializing_if = "is_default")]
    setup: Once<Text<InstrumentId>, PlacementRecord>,
    #[serde(skip_serializing_if = "is_default")]
    removed: Vec<Text<InstrumentId>>,
}

/// What a work had, in the words of the programme's own fields.
#[derive(Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct AsideRecord {
    #[serde(skip_serializing_if = "is_default")]
    assignments: Once<Text<WorkId>, GivenRecord>,
    #[serde(skip_serializing_if = "is_default")]
    rules: Vec<RuleRecord>,
    #[serde(skip_serializing_if = "is_default")]
    setup: Once<Text<InstrumentId>, PlacementRecord>,
    #[serde(skip_serializing_if = "is_default")]
    changes: WorkSetupRecord,
}

/// A line by its work and its own id.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct LineAt {
    work: Text<WorkId>,
    line: Text<LineId>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum RuleRecord {
    Together(LineAt, LineAt),
    Apart(LineAt, LineAt),
    Only(LineAt, Vec<Text<PlayerId>>),
}

impl LineAt {
    fn of(line: &LineRef) -> Self {
        Self { work: Text(line.work.clone()), line: Text(line.line.clone()) }
    }

    fn value(self) -> LineRef {
        LineRef { work: self.work.0, line: self.line.0 }
    }
}

impl RuleRecord {
    fn of(rule: &LineRule) -> Self {
        match rule {
            LineRule::Together(a, b) => Self::Together(LineAt::of(a), LineAt::of(b)),
            LineRule::Apart(a, b) => Self::Apart(LineAt::of(a), LineAt::of(b)),
            LineRule::Only(line, players) => Self::Only(LineAt::of(line), texts(players)),
        }
    }

    fn value(self) -> LineRule {
        match self {
            Self::Together(a, b) => LineRule::Together(a.value(), b.value()),
            Self::Apart(a, b) => LineRule::Apart(a.value(), b.value()),
            Self::Only(line, players) => LineRule::Only(line.value(), plain(players)),
        }
    }
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlacementRecord {
    number: u32,
    at: (f64, f64),
    #[serde(default, skip_serializing_if = "is_default")]
    turn_deg: f64,
    #[serde(default, skip_serializing_if = "is_default")]
    locked: bool,
}

impl AssignmentRecord {
    fn of(given: &Assignment) -> Self {
        let Assignment { player, instruments, beaters, locked, by_hand, drums, instead } = given;
        let pin = |DrumPin { key, instrument, drum }: &DrumPin| DrumPinRecord {
            key: Text(*key),
            instrument: Text(instrument.clone()),
            drum: drum.clone(),
        };
        Self {
            player: player.clone().map(Text),
            instruments: texts(instruments),
            beaters: texts(beaters),
            locked: *locked,
            by_hand: *by_hand,
            drums: drums.iter().map(pin).collect(),
            instead: Once(instead.iter().map(|(key, how)| (Text(*key), Text(how.clone()))).collect()),
        }
    }

    fn value(self) -> Assignment {
        Assignment {
            player: self.player.map(|player| player.0),
            instruments: plain(self.instruments),
            beaters: plain(self.beaters),
            locked: self.locked,
            by_hand: self.by_hand,
            drums: self.drums.into_iter().map(DrumPinRecord::value).collect(),
            instead: self.instead.0.into_iter().map(|(key, how)| (key.0, how.0)).collect(),
        }
    }
}

impl DrumPinRecord {
    fn value(self) -> DrumPin {
        DrumPin { key: self.key.0, instrument: self.instrument.0, drum: self.drum }
    }
}

/// Assignments by work and line.
fn by_work<'a>(
    lines: impl Iterator<Item = (&'a LineRef, &'a Assignment)>,
) -> Once<Text<WorkId>, GivenRecord> {
    let mut all: BTreeMap<Text<WorkId>, GivenRecord> = BTreeMap::new();
    for (line, given) in lines {
        let of_work = all.entry(Text(line.work.clone())).or_default();
        of_work.0.insert(Text(line.line.clone()), AssignmentRecord::of(given));
    }
    Once(all)
}

/// The assignments that are written by work and line.
fn by_line(all: Once<Text<WorkId>, GivenRecord>) -> impl Iterator<Item = (LineRef, Assignment)> {
    all.0.into_iter().flat_map(|(work, lines)| {
        lines
            .0
            .into_iter()
            .map(move |(line, given)| (LineRef { work: work.0.clone(), line: line.0 }, given.value()))
    })
}

impl PlacementRecord {
    fn all_of<'a>(
        placed: impl IntoIterator<Item = (&'a InstrumentId, &'a Placement)>,
    ) -> Once<Text<InstrumentId>, Self> {
        let one = |(instrument, placed): (&InstrumentId, &Placement)| {
            let Placement { at, turn_deg, number, locked } = *placed;
            (Text(instrument.clone()), Self { number, at: xy(at), turn_deg, locked })
        };
        Once(placed.into_iter().map(one).collect())
    }

    fn values(all: Once<Text<InstrumentId>, Self>) -> BTreeMap<InstrumentId, Placement> {
        let one = |(instrument, Self { number, at, turn_deg, locked }): (Text<InstrumentId>, Self)| {
            (instrument.0, Placement { at: point(at), turn_deg, number, locked })
        };
        all.0.into_iter().map(one).collect()
    }
}

impl WorkSetupRecord {
    fn of(own: &WorkSetup) -> Self {
        Self {
            setup: PlacementRecord::all_of(own.places()),
            removed: own.taken_away().cloned().map(Text).collect(),
        }
    }

    fn value(self) -> WorkSetup {
        let away = self.removed.into_iter().map(|id| id.0).collect();
        WorkSetup::new(PlacementRecord::values(self.setup), away)
    }
}

impl AsideRecord {
    fn of(aside: &Aside) -> Self {
        Self {
            assignments: by_work(aside.lines.iter()),
            rules: aside.rules.iter().map(RuleRecord::of).collect(),
            setup: PlacementRecord::all_of(&aside.base),
            changes: WorkSetupRecord::of(&aside.own),
        }
    }

    fn value(self) -> Aside {
        Aside {
            lines: by_line(self.assignments).collect(),
            rules: self.rules.into_iter().map(RuleRecord::value).collect(),
            own: self.changes.value(),
            base: PlacementRecord::values(self.setup),
        }
    }
}

impl ProgrammeRecord {
    fn of(programme: &Programme) -> Self {
        let mut parts: BTreeMap<Text<WorkId>, Once<String, Text<PlayerId>>> = BTreeMap::new();
        for (part, owner) in &programme.roster.parts {
            let of_work = parts.entry(Text(part.work.clone())).or_default();
            of_work.0.insert(part.part.clone(), Text(owner.clone()));
        }
        let engaged = programme.roster.stated.iter();
        Self {
            id: Text(programme.id.clone()),
            title: programme.title.clone(),
            venue: programme.venue.clone().map(Text),
            works: texts(&programme.works),
            remark: programme.remark.clone(),
            assignments: by_work(programme.lines()),
            rules: programme.rules.iter().map(RuleRecord::of).collect(),
            engaged: Once(engaged.map(|(id, e)| (Text(id.clone()), EngagementRecord::of(e))).collect()),
            parts: Once(parts),
            setup: PlacementRecord::all_of(programme.setup.places()),
            stands_with: Once(
                programme
                    .setup
                    .in_stations()
                    .map(|(thing, with)| (Text(thing.clone()), Text(with.clone())))
                    .collect(),
            ),
            lies_on: Once(
                programme.setup.lying().map(|(thing, by)| (Text(thing.clone()), Text(by.clone()))).collect(),
            ),
            changes: Once(
                programme
                    .setup
                    .of_works()
                    .map(|(work, own)| (Text(work.clone()), WorkSetupRecord::of(own)))
                    .collect(),
            ),
            put_aside: Once(
                programme
                    .put_aside()
                    .iter()
                    .map(|(work, aside)| (Text(work.clone()), AsideRecord::of(aside)))
                    .collect(),
            ),
            hires: programme.hires.iter().map(HireRecord::of).collect(),
            a_hz: programme.a.map(AHertz),
            celsius: programme.celsius,
        }
    }

    fn value(self) -> Programme {
        let owners = |(work, parts): (Text<WorkId>, Once<String, Text<PlayerId>>)| {
            let part = move |part| PartRef { work: work.0.clone(), part };
            parts.0.into_iter().map(move |(name, owner)| (part(name), owner.0)).collect::<Vec<_>>()
        };
        let mut programme = Programme::new(self.id.0, self.title);
        programme.roster = Roster {
            stated: self.engaged.0.into_iter().map(|(id, engagement)| (id.0, engagement.value())).collect(),
            parts: self.parts.0.into_iter().flat_map(owners).collect(),
        };
        programme.venue = self.venue.map(|venue| venue.0);
        programme.works = plain(self.works);
        programme.rules = self.rules.into_iter().map(RuleRecord::value).collect();
        programme.setup = Setup::new(
            PlacementRecord::values(self.setup),
            self.changes.0.into_iter().map(|(work, own)| (work.0, own.value())).collect(),
            self.lies_on.0.into_iter().map(|(thing, by)| (thing.0, by.0)).collect(),
            self.stands_with.0.into_iter().map(|(thing, with)| (thing.0, with.0)).collect(),
        );
        programme.hires = self.hires.into_iter().map(HireRecord::value).collect();
        programme.a = self.a_hz.map(|a| a.0);
        programme.celsius = self.celsius;
        programme.remark = self.remark;
        for (line, given) in by_line(self.assignments) {
            programme.assign(line, given);
        }
        for (work, aside) in self.put_aside.0 {
            programme.put_aside_of(work.0, aside.value());
        }
        programme.settle();
        programme
    }
}

impl ServiceRecord {
    fn of(service: &Service) -> Self {
        let Service { id, kind, programme, venue, start, minutes, event } = service;
        Self {
            id: Text(id.clone()),
            kind: Text(*kind),
            start: Text(*start),
            minutes: *minutes,
            programme: Text(programme.clone()),
            venue: venue.clone().map(Text),
            event: event.clone(),
        }
    }

    fn value(self) -> Service {
        Service {
            id: self.id.0,
            kind: self.kind.0,
            programme: self.programme.0,
            venue: self.venue.map(|venue| venue.0),
            start: self.start.0,
            minutes: self.minutes,
            event: self.event,
        }
    }
}

impl Record for WeekRecord {
    type Value = Week;

    fn of(week: &Week) -> Self {
        Self {
            format: FORMAT,
            id: Text(week.id.clone()),
            title: week.title.clone(),
            services: week.services.iter().map(ServiceRecord::of).collect(),
            programmes: week.programmes.iter().map(ProgrammeRecord::of).collect(),
        }
    }

    fn value(self) -> Week {
        Week {
            id: self.id.0,
            title: self.title,
            programmes: self.programmes.into_iter().map(ProgrammeRecord::value).collect(),
            services: self.services.into_iter().map(ServiceRecord::value).collect(),
        }
    }
}
