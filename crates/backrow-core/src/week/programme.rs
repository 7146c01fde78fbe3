//! A programme: its works in order, who plays what, and where things stand.

use super::Hire;
use crate::collection::Point;
use crate::id::{BeaterId, CallId, InstrumentId, PlayerId, ProgrammeId, VenueId, WorkId};
use std::collections::BTreeMap;

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
    /// By instrument.
    pub placements: BTreeMap<InstrumentId, Placement>,
}

impl Setup {
    /// The smallest number, from 1, that nothing on the floor bears.
    pub fn next_number(&self) -> u32 {
        (1..=u32::MAX).find(|n| self.placements.values().all(|p| p.number != *n)).unwrap_or(u32::MAX)
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
