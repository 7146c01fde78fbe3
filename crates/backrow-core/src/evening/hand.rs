//! A floor while something is in the hand, and one that is looked at though the music is played on another.

use super::{Evening, Floor};
use crate::collection::Venue;
use crate::halt::Halt;
use crate::id::{InstrumentId, WorkId};
use crate::moves::Timetable;
use crate::stage::{InHand, Walks, propose_these};
use crate::week::Placement;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Things in the hand, with all that tells each frame what their moving does to the seconds.
#[derive(Clone, Debug)]
pub struct Hand {
    in_hand: InHand,
    timetable: Timetable,
}

impl Hand {
    /// The seconds with what is held where it stands on that floor, as if it held for all works.
    pub fn timetable(&mut self, floor: &Floor) -> &Timetable {
        self.timetable.set_walks(self.in_hand.walks(floor.plan()));
        &self.timetable
    }
}

impl Evening {
    /// The floor of a work, or the one that holds for all, with things at other places: what is in the hand, or proposed.
    pub fn moved(&self, work: Option<&WorkId>, places: &BTreeMap<InstrumentId, Placement>) -> Floor {
        self.floor(work).moved(self.library(), places)
    }

    /// Takes things into the hand that stand on that floor: looks once at what stands still.
    pub fn hand(&self, floor: &Floor, held: &BTreeSet<InstrumentId>) -> Hand {
        let timetable = self.on_one_floor(floor, Arc::default());
        let in_hand = InHand::new(floor.plan(), held, floor.venue(), timetable.walked());
        Hand { in_hand, timetable }
    }

    /// The seconds as if one floor held for all works: for looking at one that a work is not played on.
    pub fn timetable_on(&self, work: Option<&WorkId>) -> Timetable {
        let floor = self.floor(work);
        self.on_one_floor(floor, floor.ways().clone())
    }

    fn on_one_floor(&self, floor: &Floor, walks: Arc<Walks>) -> Timetable {
        let mut one = floor.programme().clone();
        one.setup.clear_own();
        Timetable::of(self.library(), &one, walks)
    }

    /// A place for an instrument on the floor of a work, or on the one that holds for all; `None` where it finds none, or stands.
    pub fn place_for(&self, work: Option<&WorkId>, id: &InstrumentId, venue: &Venue) -> Option<Placement> {
        let floor = self.floor(work);
        propose_these(self.library(), floor.programme(), venue, &[id].into(), &Halt::default())
            .places
            .remove(id)
    }
}
