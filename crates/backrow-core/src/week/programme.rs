//! A programme: its works in order, who plays what, and where things stand.

use super::{Aside, Hire, Instead, Roster, Setup};
use crate::compass::PitchSet;
use crate::id::{BeaterId, InstrumentId, LineId, PlayerId, ProgrammeId, VenueId, WorkId};
use crate::music::Line;
use crate::pitch::{KeyNumber, ReferenceA};
use std::collections::{BTreeMap, BTreeSet};

/// A line of a work, as a programme speaks of it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LineRef {
    /// The work.
    pub work: WorkId,
    /// The line within the work.
    pub line: LineId,
}

/// The works of one concert, in order, with their assignments and setup.
#[derive(Clone, Debug, PartialEq)]
pub struct Programme {
    /// Stable for ever, unique over all weeks.
    pub id: ProgrammeId,
    /// What the section calls it.
    pub title: String,
    /// Where it is played.
    pub venue: Option<VenueId>,
    /// In playing order.
    pub works: Vec<WorkId>,
    /// Who plays what, on what, with what. A line that is missing here is assigned to nobody.
    pub(super) assignments: BTreeMap<LineRef, Assignment>,
    /// What works had that are not played any more.
    pub(super) aside: BTreeMap<WorkId, Aside>,
    /// What every set of assignments has to keep, beside locks.
    pub rules: Vec<LineRule>,
    /// Who is engaged for it.
    pub roster: Roster,
    /// Where things stand.
    pub setup: Setup,
    /// What is hired or borrowed for it.
    pub hires: Vec<Hire>,
    /// The A that it is played at, where it differs from the orchestra’s.
    pub a: Option<ReferenceA>,
    /// The temperature on stage that is expected, degrees Celsius, where it differs from the usual one.
    pub celsius: Option<f64>,
    /// Anything else.
    pub remark: String,
}

/// Something that a set of assignments has to keep.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineRule {
    /// Both lines with one player.
    Together(LineRef, LineRef),
    /// The two lines with different players.
    Apart(LineRef, LineRef),
    /// The line for these players alone, such as the timpanist; for no extra either.
    Only(LineRef, Vec<PlayerId>),
}

impl LineRule {
    /// The works of its lines.
    pub fn works(&self) -> impl Iterator<Item = &WorkId> {
        let (one, other) = match self {
            Self::Together(a, b) | Self::Apart(a, b) => (a, Some(b)),
            Self::Only(a, _) => (a, None),
        };
        std::iter::once(one).chain(other).map(|line| &line.work)
    }

    /// Whether it speaks of the line.
    pub fn is_about(&self, line: &LineRef) -> bool {
        match self {
            Self::Together(a, b) | Self::Apart(a, b) => a == line || b == line,
            Self::Only(a, _) => a == line,
        }
    }
}

impl Programme {
    /// A programme without works.
    pub fn new(id: ProgrammeId, title: impl Into<String>) -> Self {
        Self {
            id,
            title: title.into(),
            venue: None,
            works: Vec::new(),
            assignments: BTreeMap::new(),
            aside: BTreeMap::new(),
            rules: Vec::new(),
            roster: Roster::default(),
            setup: Setup::default(),
            hires: Vec::new(),
            a: None,
            celsius: None,
            remark: String::new(),
        }
    }

    /// The programme as if the setup of one work held for all of it.
    #[must_use]
    pub fn for_work(&self, work: &WorkId) -> Self {
        let Setup { lies_on, stations, .. } = self.setup.clone();
        let setup = Setup { base: self.setup.of_work(work), own: BTreeMap::new(), lies_on, stations };
        Self { setup, ..self.clone() }
    }

    /// Its works in playing order, each once, with its number in the programme from 1.
    pub fn works_in_order(&self) -> impl Iterator<Item = (usize, &WorkId)> {
        let mut seen = BTreeSet::new();
        self.works.iter().enumerate().filter(move |(_, id)| seen.insert(*id)).map(|(at, id)| (at + 1, id))
    }

    /// Whether a work is played.
    pub fn plays(&self, work: &WorkId) -> bool {
        self.works.contains(work)
    }

    /// Every line of its works that was given something.
    pub fn lines(&self) -> impl Iterator<Item = (&LineRef, &Assignment)> {
        self.assignments.iter().filter(|(line, _)| self.plays(&line.work))
    }

    /// What a line was given; `None` when nothing was, or its work is not played.
    pub fn given(&self, line: &LineRef) -> Option<&Assignment> {
        self.assignments.get(line).filter(|_| self.plays(&line.work))
    }

    /// What a line was given; an empty assignment when nothing was.
    pub fn assignment(&self, line: &LineRef) -> Assignment {
        self.given(line).cloned().unwrap_or_default()
    }

    /// Gives a line all that the assignment says.
    pub fn assign(&mut self, line: LineRef, given: Assignment) {
        if given.is_empty() {
            self.assignments.remove(&line);
        } else {
            self.assignments.insert(line, given);
        }
    }

    /// Changes every assignment, those that are put aside too; what comes to nothing is let go.
    pub(crate) fn change_assignments(&mut self, mut change: impl FnMut(&mut Assignment)) {
        let aside = self.aside.values_mut().map(|aside| &mut aside.lines);
        for lines in std::iter::once(&mut self.assignments).chain(aside) {
            lines.values_mut().for_each(&mut change);
            lines.retain(|_, given| !given.is_empty());
        }
    }

    /// The same programme with these lines alone, for a plan of some of its works.
    #[must_use]
    pub fn with_lines(&self, of: impl Fn(&LineRef, &Assignment) -> bool) -> Self {
        let mut some = self.clone();
        some.assignments.retain(|line, given| of(line, given));
        some
    }

    /// Everybody who has something to play.
    pub fn players(&self) -> BTreeSet<&PlayerId> {
        self.lines().filter_map(|(_, given)| given.player.as_ref()).collect()
    }

    /// Whether a player has something to play.
    pub fn has_lines_for(&self, player: &PlayerId) -> bool {
        self.lines().any(|(_, given)| given.player.as_ref() == Some(player))
    }

    /// Every instrument that stands in any of its setups.
    pub fn standing_anywhere(&self) -> BTreeSet<&InstrumentId> {
        self.setup.anywhere()
    }

    /// Every instrument that it uses or has on its floor.
    pub fn instruments(&self) -> BTreeSet<&InstrumentId> {
        let mut all = self.standing_anywhere();
        all.extend(self.used());
        all
    }

    /// Every instrument that its lines use, whether it stands anywhere or not.
    pub fn used(&self) -> BTreeSet<&InstrumentId> {
        self.lines().flat_map(|(_, given)| given.uses()).collect()
    }

    /// The number of an instrument on the plan, in whichever setup it stands.
    pub fn number_of(&self, instrument: &InstrumentId) -> Option<u32> {
        self.setup.number_of(instrument)
    }
}

/// What one line was given.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Assignment {
    /// Who plays it.
    pub player: Option<PlayerId>,
    /// On which instruments; more than one where a single one does not reach.
    pub instruments: Vec<InstrumentId>,
    /// With which beaters.
    pub beaters: Vec<BeaterId>,
    /// Left with its player by proposals.
    pub locked: bool,
    /// Given to the player by hand, so that a proposal should leave it; not so when a proposal was taken.
    pub by_hand: bool,
    /// Pitches that stay on one drum.
    pub drums: Vec<DrumPin>,
    /// What was decided about notes, as they sound, that the instruments do not have.
    pub instead: BTreeMap<KeyNumber, Instead>,
}

/// A pitch of a line of timpani that stays on one drum: "G stays on the 29".
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DrumPin {
    /// The pitch, sounding.
    pub key: KeyNumber,
    /// The instrument that the drum belongs to.
    pub instrument: InstrumentId,
    /// The drum's name within it: "29 in".
    pub drum: String,
}

impl Assignment {
    /// Whether nothing was given.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Everything that it is played on: its instruments, then those on which single notes are played instead. One may stand
    /// there twice.
    pub fn uses(&self) -> impl Iterator<Item = &InstrumentId> {
        self.instruments.iter().chain(self.instead.values().filter_map(Instead::on))
    }

    /// Whether it is played on an instrument, if only for single notes.
    pub fn is_on(&self, instrument: &InstrumentId) -> bool {
        self.uses().any(|id| id == instrument)
    }

    /// The notes, as they sound, that a line asks of one of these instruments: all of the line and what is played an octave away
    /// of its own, the single notes of one that helps out. Dead bars and notes that it does not have are among them.
    pub fn asks_of(&self, line: &Line, instrument: &InstrumentId) -> PitchSet {
        let instead = self.instead.iter();
        let helped = instead.filter(|(_, how)| how.on() == Some(instrument)).map(|(key, _)| *key).collect();
        if !self.instruments.contains(instrument) {
            return helped;
        }
        let moved: PitchSet = self.instead.iter().filter_map(|(key, how)| how.octave_of(*key)).collect();
        line.sounding().union(moved).union(helped)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::Point;
    use crate::sample::{at, programme};
    use crate::week::Placement;

    fn w(id: &str) -> WorkId {
        WorkId::new(id).unwrap()
    }

    #[test]
    fn rules_speak_of_their_lines() {
        let (a, b, c) = (at("w", "a"), at("v", "b"), at("w", "c"));
        for rule in [LineRule::Together(a.clone(), b.clone()), LineRule::Apart(a.clone(), b.clone())] {
            assert!(rule.is_about(&a) && rule.is_about(&b) && !rule.is_about(&c));
            assert_eq!(rule.works().collect::<Vec<_>>(), [&w("w"), &w("v")]);
        }
        let only = LineRule::Only(a.clone(), Vec::new());
        assert!(only.is_about(&a) && !only.is_about(&b));
        assert_eq!(only.works().collect::<Vec<_>>(), [&w("w")]);
    }

    #[test]
    fn lines_count_while_their_work_is_played() {
        let player = |id: &str| PlayerId::new(id).unwrap();
        let given = |id: &str| Assignment {
            player: Some(player(id)),
            instruments: vec![InstrumentId::new("gong").unwrap()],
            ..Assignment::default()
        };
        let mut one = programme("p", &["w", "v", "w"]);
        one.assign(at("w", "a"), given("1"));
        one.assign(at("u", "b"), given("2"));
        let order: Vec<(usize, &str)> =
            one.works_in_order().map(|(nth, work)| (nth, work.as_str())).collect();
        assert_eq!(order, [(1, "w"), (2, "v")], "a work that is played twice stands once");
        assert!(one.plays(&w("v")) && !one.plays(&w("u")));
        assert_eq!((one.lines().count(), one.given(&at("u", "b"))), (1, None));
        assert!(one.has_lines_for(&player("1")) && !one.has_lines_for(&player("2")));
        assert_eq!(one.players(), BTreeSet::from([&player("1")]));
        let place = Placement { at: Point::new(1.0, 2.0), turn_deg: 0.0, number: 4, locked: false };
        one.setup.stand(InstrumentId::new("table").unwrap(), place);
        assert_eq!(one.instruments().len(), 2);
        assert_eq!(one.number_of(&InstrumentId::new("table").unwrap()), Some(4));
        assert_eq!(one.with_lines(|line, _| line.work == w("u")).assignments.len(), 1);
        one.assign(at("w", "a"), Assignment::default());
        assert_eq!(one.lines().count(), 0, "an empty assignment is none");
    }
}
