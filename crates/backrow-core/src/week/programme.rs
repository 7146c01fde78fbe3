//! A programme: its works in order, who plays what, and where things stand.

use super::Hire;
use crate::collection::Point;
use crate::id::{BeaterId, CallId, InstrumentId, PlayerId, ProgrammeId, VenueId, WorkId};
use std::collections::{BTreeMap, BTreeSet};

/// A call of a work, as a programme speaks of it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CallRef {
    /// The work.
    pub work: WorkId,
    /// The call within the work.
    pub call: CallId,
}

/// The works of one concert, in order, with their share-out and setup.
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
    /// Who plays what, on what, with what. A call that is missing here is given to nobody.
    pub share_out: BTreeMap<CallRef, Assignment>,
    /// What every share-out has to keep, beside pins.
    pub kept: Vec<Kept>,
    /// Where things stand.
    pub setup: Setup,
    /// What is hired or borrowed for it.
    pub hires: Vec<Hire>,
    /// Anything else.
    pub remark: String,
}

/// Something that a share-out has to keep.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kept {
    /// Both calls with one player.
    Together(CallRef, CallRef),
    /// The two calls with different players.
    Apart(CallRef, CallRef),
    /// The call for these players alone, such as the timpanist; for no extra either.
    Only(CallRef, Vec<PlayerId>),
}

impl Kept {
    /// Whether it speaks of the call.
    pub fn is_about(&self, call: &CallRef) -> bool {
        match self {
            Self::Together(a, b) | Self::Apart(a, b) => a == call || b == call,
            Self::Only(a, _) => a == call,
        }
    }
}

impl Programme {
    /// The programme as if the setup of one work held for all of it.
    #[must_use]
    pub fn for_work(&self, work: &WorkId) -> Self {
        let borne = self.setup.borne.clone();
        let setup = Setup { placements: self.setup.of_work(work), changes: BTreeMap::new(), borne };
        Self { setup, ..self.clone() }
    }

    /// What a call was given; an empty assignment when nothing was.
    pub fn assignment(&self, call: &CallRef) -> Assignment {
        self.share_out.get(call).cloned().unwrap_or_default()
    }
}

/// What one call was given.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Assignment {
    /// Who plays it.
    pub player: Option<PlayerId>,
    /// On which instruments; more than one where a single one does not reach.
    pub instruments: Vec<InstrumentId>,
    /// With which beaters.
    pub beaters: Vec<BeaterId>,
    /// Kept by proposals.
    pub pinned: bool,
}

impl Assignment {
    /// Whether nothing was given.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Where each instrument stands for a programme.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Setup {
    /// By instrument: the base, which holds for every work that says nothing else.
    pub placements: BTreeMap<InstrumentId, Placement>,
    /// What differs for a work.
    pub changes: BTreeMap<WorkId, WorkSetup>,
    /// What lies on a table or hangs on a stand, and on which; it holds wherever both are on the floor. What bears is not
    /// borne itself.
    pub borne: BTreeMap<InstrumentId, InstrumentId>,
}

/// What differs from the base setup for one work.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct WorkSetup {
    /// Brought for it, or moved.
    pub placements: BTreeMap<InstrumentId, Placement>,
    /// Taken away for it.
    pub away: BTreeSet<InstrumentId>,
}

impl WorkSetup {
    /// Whether nothing differs.
    pub fn is_empty(&self) -> bool {
        self.placements.is_empty() && self.away.is_empty()
    }
}

impl Setup {
    /// Where everything stands for a work.
    pub fn of_work(&self, work: &WorkId) -> BTreeMap<InstrumentId, Placement> {
        let mut placements = self.placements.clone();
        if let Some(own) = self.changes.get(work) {
            placements.retain(|id, _| !own.away.contains(id));
            placements.extend(own.placements.iter().map(|(id, placement)| (id.clone(), *placement)));
        }
        placements
    }

    /// The number that an instrument bears in any setup of the programme.
    pub fn number_of(&self, instrument: &InstrumentId) -> Option<u32> {
        let own = self.changes.values().find_map(|own| own.placements.get(instrument));
        self.placements.get(instrument).or(own).map(|placement| placement.number)
    }

    /// What lies or hangs on an instrument.
    pub fn borne_by<'a>(&'a self, bearer: &'a InstrumentId) -> impl Iterator<Item = &'a InstrumentId> {
        self.borne.iter().filter(move |(_, by)| *by == bearer).map(|(thing, _)| thing)
    }

    /// Lets go everything that is said of an instrument.
    pub fn forget(&mut self, instrument: &InstrumentId) {
        self.placements.remove(instrument);
        for own in self.changes.values_mut() {
            own.placements.remove(instrument);
            own.away.remove(instrument);
        }
        self.changes.retain(|_, own| !own.is_empty());
        self.borne.retain(|thing, by| thing != instrument && by != instrument);
    }

    /// The smallest number, from 1, that nothing on the floor bears.
    pub fn next_number(&self) -> u32 {
        let others = self.changes.values().flat_map(|own| own.placements.values());
        let taken: BTreeSet<u32> = self.placements.values().chain(others).map(|p| p.number).collect();
        (1..=u32::MAX).find(|n| !taken.contains(n)).unwrap_or(u32::MAX)
    }
}

/// One instrument's place on the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// The middle of the footprint.
    pub at: Point,
    /// Turned clockwise as seen on the plan (audience at the foot), degrees, 0 up to but not including 360. At 0 the
    /// player stands upstage of it and its low end is at the right of the plan.
    pub turn_deg: f64,
    /// Its number on the plan, from 1.
    pub number: u32,
    /// Kept where it is.
    pub locked: bool,
}
