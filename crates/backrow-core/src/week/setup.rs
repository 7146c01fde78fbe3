//! Where things stand for a programme: a base that holds for all works, and what differs for one.

use crate::collection::Point;
use crate::id::{InstrumentId, WorkId};
use std::collections::btree_map::Iter;
use std::collections::{BTreeMap, BTreeSet};

/// Where each instrument stands for a programme.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Setup {
    /// By instrument: the base, which holds for every work that says nothing else.
    pub(crate) base: BTreeMap<InstrumentId, Placement>,
    /// What differs for a work.
    pub(crate) own: BTreeMap<WorkId, WorkSetup>,
    /// What lies on a table or hangs on a stand, and on which; it holds wherever both are on the floor. What bears is not
    /// borne itself.
    pub(crate) lies_on: BTreeMap<InstrumentId, InstrumentId>,
    /// What stands as one at a player's place, and with which: the drums of a set, a keyboard with its small things. It holds
    /// wherever both are on the floor. What others stand with stands with nothing else itself.
    pub(crate) stations: BTreeMap<InstrumentId, InstrumentId>,
}

/// What differs from the base setup for one work.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct WorkSetup {
    /// Brought for it, or moved.
    pub(crate) placements: BTreeMap<InstrumentId, Placement>,
    /// Taken away for it.
    pub(crate) away: BTreeSet<InstrumentId>,
}

impl WorkSetup {
    /// What is brought or moved for a work, and what is taken away.
    pub const fn new(placements: BTreeMap<InstrumentId, Placement>, away: BTreeSet<InstrumentId>) -> Self {
        Self { placements, away }
    }

    /// What is brought for the work or moved, and where it stands.
    pub fn places(&self) -> Iter<'_, InstrumentId, Placement> {
        self.placements.iter()
    }

    /// Where an instrument stands that is brought for the work or moved.
    pub fn place(&self, instrument: &InstrumentId) -> Option<&Placement> {
        self.placements.get(instrument)
    }

    /// What is taken away for the work.
    pub fn taken_away(&self) -> impl Iterator<Item = &InstrumentId> {
        self.away.iter()
    }

    /// Brings an instrument for the work, or moves it.
    pub fn stand(&mut self, instrument: InstrumentId, placement: Placement) {
        self.away.remove(&instrument);
        self.placements.insert(instrument, placement);
    }

    /// Whether nothing differs.
    pub fn is_empty(&self) -> bool {
        self.placements.is_empty() && self.away.is_empty()
    }
}

impl Setup {
    /// A setup of these places, with what differs for works.
    pub fn new(
        base: BTreeMap<InstrumentId, Placement>,
        own: BTreeMap<WorkId, WorkSetup>,
        lies_on: BTreeMap<InstrumentId, InstrumentId>,
        stations: BTreeMap<InstrumentId, InstrumentId>,
    ) -> Self {
        Self { base, own, lies_on, stations }
    }

    /// Where things stand for every work that says nothing else. Whoever asks where something stands in the programme asks
    /// [`Self::of_work`], [`Self::anywhere`] or [`Self::number_of`] instead.
    pub fn places(&self) -> Iter<'_, InstrumentId, Placement> {
        self.base.iter()
    }

    /// Where an instrument stands for every work that says nothing else.
    pub fn place(&self, instrument: &InstrumentId) -> Option<&Placement> {
        self.base.get(instrument)
    }

    /// What differs, by work.
    pub fn of_works(&self) -> Iter<'_, WorkId, WorkSetup> {
        self.own.iter()
    }

    /// What differs for a work; `None` where it is played on the floor that holds for all.
    pub fn own_of(&self, work: &WorkId) -> Option<&WorkSetup> {
        self.own.get(work)
    }

    /// What an instrument lies or hangs on.
    pub fn bearer_of(&self, instrument: &InstrumentId) -> Option<&InstrumentId> {
        self.lies_on.get(instrument)
    }

    /// What lies or hangs on something, each with what bears it.
    pub fn lying(&self) -> Iter<'_, InstrumentId, InstrumentId> {
        self.lies_on.iter()
    }

    /// What stands as one with another thing, each with the one by which its station is called.
    pub fn in_stations(&self) -> Iter<'_, InstrumentId, InstrumentId> {
        self.stations.iter()
    }

    /// Every instrument that stands in any setup of the programme.
    pub fn anywhere(&self) -> BTreeSet<&InstrumentId> {
        self.base.keys().chain(self.own.values().flat_map(|own| own.placements.keys())).collect()
    }

    /// Whether nothing stands anywhere.
    pub fn is_empty(&self) -> bool {
        self.base.is_empty() && self.own.values().all(|own| own.placements.is_empty())
    }

    /// Stands an instrument in the base, or moves it there.
    pub fn stand(&mut self, instrument: InstrumentId, placement: Placement) {
        self.base.insert(instrument, placement);
    }

    /// Takes an instrument out of the base; where it stands for one work only, it stays.
    pub fn take_off(&mut self, instrument: &InstrumentId) -> Option<Placement> {
        for own in self.own.values_mut() {
            own.away.remove(instrument);
        }
        self.own.retain(|_, own| !own.is_empty());
        self.base.remove(instrument)
    }

    /// Lets an instrument bear a number wherever it stands. What bore it takes the number that this one had before, or the
    /// smallest that nothing bears: one thing has one number, and no other has it.
    pub(crate) fn bear_number(&mut self, instrument: &InstrumentId, number: u32, before: Option<u32>) {
        let bears = |(id, place): (&InstrumentId, &Placement)| {
            (id != instrument && place.number == number).then(|| id.clone())
        };
        let own = self.own.values().flat_map(|own| &own.placements);
        let others: BTreeSet<InstrumentId> = self.base.iter().chain(own).filter_map(bears).collect();
        self.renumber(instrument, number);
        for other in others {
            let free = before.filter(|before| *before != number && self.free_number(*before) == *before);
            let next = free.unwrap_or_else(|| self.next_number());
            self.renumber(&other, next);
        }
    }

    fn renumber(&mut self, instrument: &InstrumentId, number: u32) {
        let own = self.own.values_mut().filter_map(|own| own.placements.get_mut(instrument));
        for place in self.base.get_mut(instrument).into_iter().chain(own) {
            place.number = number;
        }
    }

    /// Changes what differs for a work; what comes to nothing is let go.
    pub fn change_for(&mut self, work: &WorkId, change: impl FnOnce(&mut WorkSetup)) {
        let own = self.own.entry(work.clone()).or_default();
        change(own);
        own.placements.retain(|id, placement| self.base.get(id) != Some(placement));
        own.away.retain(|id| self.base.contains_key(id));
        if own.is_empty() {
            self.own.remove(work);
        }
    }

    /// Forgets what differs for works.
    pub fn clear_own(&mut self) {
        self.own.clear();
    }

    /// Where everything stands for a work.
    pub fn of_work(&self, work: &WorkId) -> BTreeMap<InstrumentId, Placement> {
        let mut placements = self.base.clone();
        if let Some(own) = self.own.get(work) {
            placements.retain(|id, _| !own.away.contains(id));
            placements.extend(own.placements.iter().map(|(id, placement)| (id.clone(), *placement)));
        }
        placements
    }

    /// The number that an instrument bears on the plan, in whichever setup of the programme it stands.
    pub fn number_of(&self, instrument: &InstrumentId) -> Option<u32> {
        let own = self.own.values().find_map(|own| own.placements.get(instrument));
        self.base.get(instrument).or(own).map(|placement| placement.number)
    }

    /// What lies or hangs on an instrument.
    pub fn borne_by<'a>(&'a self, bearer: &'a InstrumentId) -> impl Iterator<Item = &'a InstrumentId> {
        self.lies_on.iter().filter(move |(_, by)| *by == bearer).map(|(thing, _)| thing)
    }

    /// What an instrument's station is called by: the thing that the others stand with; itself where it stands alone. What lies
    /// or hangs on something is of that one's station.
    pub fn station_of<'a>(&'a self, instrument: &'a InstrumentId) -> &'a InstrumentId {
        let standing = self.lies_on.get(instrument).unwrap_or(instrument);
        self.stations.get(standing).unwrap_or(standing)
    }

    /// What stands with an instrument as one, without itself and without what lies or hangs on it.
    pub fn peers<'a>(&'a self, instrument: &'a InstrumentId) -> impl Iterator<Item = &'a InstrumentId> {
        let head = self.stations.get(instrument).unwrap_or(instrument);
        let members = self.stations.iter().filter(move |(_, with)| *with == head).map(|(member, _)| member);
        std::iter::once(head).chain(members).filter(move |other| *other != instrument)
    }

    /// Lets an instrument stand with another's station, or by itself. Those that stood with it go along, or stay with each
    /// other.
    pub(crate) fn stand_with(&mut self, instrument: &InstrumentId, with: Option<&InstrumentId>) {
        let left: Vec<InstrumentId> =
            self.stations.iter().filter(|(_, head)| *head == instrument).map(|(id, _)| id.clone()).collect();
        let Some(with) = with else {
            self.stations.remove(instrument);
            let mut left = left.into_iter();
            if let Some(head) = left.next() {
                self.stations.remove(&head);
                self.stations.extend(left.map(|id| (id, head.clone())));
            }
            return;
        };
        let head = self.stations.get(with).unwrap_or(with).clone();
        if head == *instrument {
            return;
        }
        for id in left.into_iter().chain([instrument.clone()]) {
            self.stations.insert(id, head.clone());
        }
    }

    /// Lets go everything that is said of an instrument.
    pub fn forget(&mut self, instrument: &InstrumentId) {
        self.base.remove(instrument);
        for own in self.own.values_mut() {
            own.placements.remove(instrument);
            own.away.remove(instrument);
        }
        self.own.retain(|_, own| !own.is_empty());
        self.lies_on.retain(|thing, by| thing != instrument && by != instrument);
        self.stand_with(instrument, None);
    }

    /// That number, or when something bears it the smallest that nothing does.
    fn free_number(&self, number: u32) -> u32 {
        let others = self.own.values().flat_map(|own| own.placements.values());
        let taken = self.base.values().chain(others).any(|place| place.number == number);
        if taken { self.next_number() } else { number }
    }

    /// The number of a thing that comes back to the floor: its own where it stands in some setup, else its old one where that is
    /// free.
    pub(super) fn number_again(&self, instrument: &InstrumentId, old: u32) -> u32 {
        self.number_of(instrument).unwrap_or_else(|| self.free_number(old))
    }

    /// The smallest number, from 1, that nothing on the floor bears.
    pub fn next_number(&self) -> u32 {
        let others = self.own.values().flat_map(|own| own.placements.values());
        let taken: BTreeSet<u32> = self.base.values().chain(others).map(|p| p.number).collect();
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_station_stays_together_when_one_leaves_it() {
        let id = |id: &str| InstrumentId::new(id).unwrap();
        let mut setup = Setup::default();
        setup.stand_with(&id("b"), Some(&id("a")));
        setup.stand_with(&id("c"), Some(&id("b")));
        let peers = |setup: &Setup, of: &str| setup.peers(&id(of)).cloned().collect::<Vec<_>>();
        assert_eq!(
            peers(&setup, "b"),
            [id("a"), id("c")],
            "with whom one of them stands, one stands with all"
        );
        setup.stand_with(&id("a"), None);
        assert_eq!((peers(&setup, "a"), peers(&setup, "b")), (vec![], vec![id("c")]));
        setup.stand_with(&id("b"), Some(&id("a")));
        assert_eq!(peers(&setup, "a"), [id("b"), id("c")], "a station joins another as a whole");
        setup.stand_with(&id("a"), Some(&id("c")));
        assert_eq!(peers(&setup, "a"), [id("b"), id("c")], "that is so already");
        setup.lies_on.insert(id("x"), id("c"));
        assert_eq!(setup.station_of(&id("x")), &id("a"), "what lies on it is of its station");
        setup.forget(&id("a"));
        assert_eq!(peers(&setup, "c"), [id("b")]);
    }

    /// A renumbered thing has its new number for every work; what had it takes the old one, wherever it stands.
    #[test]
    fn a_thing_has_one_number_and_no_other_has_it() {
        let id = |id: &str| InstrumentId::new(id).unwrap();
        let place =
            |x: f64, number| Placement { at: Point::new(x, 1.0), turn_deg: 0.0, number, locked: false };
        let work = WorkId::new("w").unwrap();
        let mut setup = Setup::default();
        setup.stand(id("a"), place(1.0, 1));
        setup.stand(id("b"), place(2.0, 2));
        setup.change_for(&work, |own| {
            own.placements.insert(id("a"), place(5.0, 1));
            own.placements.insert(id("c"), place(6.0, 3));
        });
        let numbers = |setup: &Setup| {
            let of = setup.of_work(&work);
            ["a", "b", "c"]
                .map(|name| (setup.number_of(&id(name)), of.get(&id(name)).map(|place| place.number)))
        };
        setup.bear_number(&id("a"), 3, Some(1));
        assert_eq!(numbers(&setup), [(Some(3), Some(3)), (Some(2), Some(2)), (Some(1), Some(1))]);
        // One that had none: what bore its number takes the smallest that is free.
        setup.stand(id("d"), place(7.0, 2));
        setup.bear_number(&id("d"), 2, None);
        assert_eq!(setup.number_of(&id("b")), Some(4));
        // Off the base nothing is said of it for a work either, unless it stands there.
        setup.change_for(&work, |own| {
            own.away.insert(id("b"));
        });
        setup.take_off(&id("b"));
        assert!(setup.own.values().all(|own| own.away.is_empty()));
    }

    #[test]
    fn numbers_are_given_once_over_all_setups() {
        let id = |id: &str| InstrumentId::new(id).unwrap();
        let place = |number| Placement { at: Point::new(0.0, 0.0), turn_deg: 0.0, number, locked: false };
        let work = WorkId::new("w").unwrap();
        let mut setup = Setup::default();
        setup.stand(id("a"), place(1));
        setup.change_for(&work, |own| {
            own.placements.insert(id("b"), place(2));
        });
        assert_eq!(setup.next_number(), 3);
        assert_eq!(setup.number_of(&id("b")), Some(2));
        assert_eq!(setup.anywhere().len(), 2);
        setup.stand(id("c"), place(4));
        assert_eq!((setup.next_number(), setup.free_number(5), setup.free_number(2)), (3, 5, 3));
    }

    #[test]
    fn what_differs_for_a_work_comes_and_goes() {
        let id = |id: &str| InstrumentId::new(id).unwrap();
        let place = |x: f64| Placement { at: Point::new(x, 0.0), turn_deg: 0.0, number: 1, locked: false };
        let work = WorkId::new("w").unwrap();
        let mut setup = Setup::default();
        assert!(setup.is_empty());
        setup.change_for(&work, |own| {
            own.placements.insert(id("b"), place(2.0));
        });
        assert!(!setup.is_empty(), "it stands for a work");
        setup.stand(id("a"), place(1.0));
        setup.change_for(&work, |own| {
            own.placements.insert(id("a"), place(1.0));
            own.away.insert(id("c"));
        });
        let own = &setup.own[&work];
        assert!(
            !own.placements.contains_key(&id("a")) && own.away.is_empty(),
            "what is as in the base does not differ"
        );
        setup.change_for(&work, |own| {
            own.away.insert(id("a"));
        });
        assert_eq!(setup.of_work(&work).keys().collect::<Vec<_>>(), [&id("b")]);
        assert_eq!(setup.of_work(&WorkId::new("v").unwrap()).keys().collect::<Vec<_>>(), [&id("a")]);
        let mut cleared = setup.clone();
        cleared.clear_own();
        assert!(cleared.own.is_empty() && cleared.take_off(&id("a")).is_some() && cleared.is_empty());
    }

    /// An instrument that is forgotten takes along what is said of it and nothing else.
    #[test]
    fn forgetting_one_thing_keeps_the_others() {
        let id = |id: &str| InstrumentId::new(id).unwrap();
        let place =
            |number: u32| Placement { at: Point::new(0.0, 0.0), turn_deg: 0.0, number, locked: false };
        let (work, other) = (WorkId::new("w").unwrap(), WorkId::new("v").unwrap());
        let mut setup = Setup::default();
        for (thing, number) in [("a", 1), ("b", 2), ("c", 3), ("d", 4)] {
            setup.stand(id(thing), place(number));
        }
        setup.change_for(&work, |own| {
            own.placements.insert(id("a"), place(9));
        });
        setup.change_for(&other, |own| {
            own.away.extend([id("a"), id("b")]);
        });
        setup.lies_on = [(id("b"), id("a")), (id("a"), id("c")), (id("d"), id("c"))].into();
        setup.forget(&id("a"));
        assert_eq!(setup.base.keys().collect::<Vec<_>>(), [&id("b"), &id("c"), &id("d")]);
        assert_eq!(
            setup.own.keys().collect::<Vec<_>>(),
            [&other],
            "nothing differs for the first work any more"
        );
        assert_eq!(setup.own[&other].away.iter().collect::<Vec<_>>(), [&id("b")]);
        assert_eq!(setup.lies_on, [(id("d"), id("c"))].into());
        assert_eq!(setup.borne_by(&id("c")).collect::<Vec<_>>(), [&id("d")]);
        assert_eq!((setup.station_of(&id("d")), setup.station_of(&id("b"))), (&id("c"), &id("b")));
    }
}
