//! A stage too small for all works at once: a base of what all of them use, and what each work brings and moves away for itself.

use super::Proposed;
use super::search::{Search, used_by};
use crate::carrying::{Carrying, at_most};
use crate::collection::Venue;
use crate::evening::Evening;
use crate::halt::Halt;
use crate::id::{InstrumentId, WorkId};
use crate::library::Library;
use crate::stage::{Changeover, Sketch, may_stand};
use crate::week::{Placement, Programme, Setup};
use std::collections::{BTreeMap, BTreeSet};

/// A setup in which works have their own.
#[derive(Clone, Debug, PartialEq)]
pub struct ForWorks {
    /// Where everything stands.
    pub setup: Setup,
    /// What is carried between the works.
    pub changes: Vec<Changeover>,
    /// By work, what it uses and finds no place for even so.
    pub left: BTreeMap<WorkId, BTreeSet<InstrumentId>>,
}

impl ForWorks {
    /// "No setup holds all works at once: 4 places for all of them, and setups of their own for 3 works; between the works 8 steps, at
    /// most 4 people, about 12 min."
    pub fn words(&self) -> String {
        let count = |many: usize, one: &str, more: &str| match many {
            1 => format!("1 {one}"),
            n => format!("{n} {more}"),
        };
        let base = count(self.setup.base.len(), "place", "places");
        let own = self.setup.own.len();
        let own = count(own, "work has a setup of its own", "works have setups of their own");
        let steps: usize = self.changes.iter().map(|change| change.steps.len()).sum();
        let minutes: f64 = self.changes.iter().map(Changeover::minutes).sum();
        let worst = self.changes.iter().map(Changeover::carrying).fold(Carrying::Unknown, Carrying::worse);
        let between = if steps == 0 {
            "nothing is carried between them".to_owned()
        } else {
            let steps = count(steps, "step", "steps");
            format!(
                "between them {steps}, {}, about {:.0}\u{202F}min for one crew",
                at_most(worst),
                minutes.ceil()
            )
        };
        format!("The floor is too small for all works at once. {base} for all of them, {own}; {between}.")
    }
}

/// Setups of works of their own; `None` for fewer than two works that use something, and when the search is ended.
pub(super) fn for_works(evening: &Evening, venue: &Venue, halt: &Halt) -> Option<Proposed> {
    let (library, programme) = (evening.library(), evening.programme());
    let mut works: Vec<(&WorkId, BTreeSet<InstrumentId>)> = programme
        .works_in_order()
        .map(|(_, work)| (work, used_by(programme, Some(work))))
        .filter(|(_, used)| !used.is_empty())
        .collect();
    if works.len() < 2 {
        return None;
    }
    // The work that covers most floor first: what it leaves to the others is the tightest.
    let covered = |used: &BTreeSet<InstrumentId>| {
        let things = used.iter().filter_map(|id| library.instruments.get(id));
        things.map(|thing| thing.footprint.shape.extent()).map(|(wide, deep)| wide * deep).sum::<f64>()
    };
    works.sort_by(|(_, a), (_, b)| covered(b).total_cmp(&covered(a)));
    let stood = programme.standing_anywhere().into_iter().cloned().collect();
    let mut stage = Stage { library, venue, halt, all: programme.clone(), stood, last: BTreeMap::new() };
    let mut left = BTreeMap::new();
    for (work, used) in &works {
        let open = stage.work(work, used)?;
        if !open.is_empty() {
            left.insert((*work).clone(), open);
        }
    }
    stage.base(&works);
    stage.settle();
    let after = Evening::of(library, &stage.all);
    let (difference, lacking) = Search::new(evening, venue, None, halt).told(&after);
    let changes = after.changes().to_vec();
    let own = ForWorks { setup: stage.all.setup, changes, left };
    (!halt.is_asked()).then(|| Proposed { difference, lacking, for_works: Some(own), ..Proposed::default() })
}

/// The programme while its works find their places.
struct Stage<'a> {
    library: &'a Library,
    venue: &'a Venue,
    halt: &'a Halt,
    all: Programme,
    /// What stood before anything was proposed.
    stood: BTreeSet<InstrumentId>,
    /// Where each thing stood last.
    last: BTreeMap<InstrumentId, Placement>,
}

impl Stage<'_> {
    /// What stands in one place for all works that use something stands there for the programme.
    fn base(&mut self, works: &[(&WorkId, BTreeSet<InstrumentId>)]) {
        let floors: Vec<_> = works.iter().map(|(work, _)| self.all.setup.of_work(work)).collect();
        let Some((first, rest)) = floors.split_first() else { return };
        for (id, place) in
            first.iter().filter(|(id, place)| rest.iter().all(|own| own.get(*id) == Some(*place)))
        {
            self.all.setup.stand(id.clone(), *place);
        }
        for (work, _) in works {
            // What is as in the base differs no longer.
            self.all.setup.change_for(work, |_| ());
        }
    }

    /// What a work uses stands for it: where it stood for a work before, if nothing is in its way there, else elsewhere. Where there is no
    /// room, what the work does not use is moved away, unless it is locked. What finds no place is told.
    fn work(&mut self, work: &WorkId, used: &BTreeSet<InstrumentId>) -> Option<BTreeSet<InstrumentId>> {
        let mut floor = self.all.for_work(work);
        self.again(&mut floor, used);
        self.search(&mut floor, work, used);
        if !open(&floor, used).is_empty() {
            let away = clear(&mut floor, used);
            self.search(&mut floor, work, used);
            self.afresh(&mut floor, work, used);
            self.put_back(&mut floor, away);
        }
        self.write(work, &floor);
        (!self.halt.is_asked()).then(|| open(&floor, used))
    }

    /// Things stand where they stood last, station by station.
    fn again(&self, floor: &mut Programme, used: &BTreeSet<InstrumentId>) {
        let known = |id: &InstrumentId| Some((id.clone(), *self.last.get(id)?));
        let mut stations: BTreeMap<InstrumentId, Vec<(InstrumentId, Placement)>> = BTreeMap::new();
        for (id, place) in open(floor, used).iter().filter_map(known) {
            stations.entry(floor.setup.station_of(&id).clone()).or_default().push((id, place));
        }
        for station in stations.into_values() {
            self.stand(floor, station);
        }
    }

    /// Stands a station there, if it may; whether it does.
    fn stand(&self, floor: &mut Programme, station: Vec<(InstrumentId, Placement)>) -> bool {
        let may = may_stand(self.library, floor, self.venue, &station);
        if may {
            for (id, place) in station {
                floor.setup.stand(id, place);
            }
        }
        may
    }

    /// Places for what has none on a work's floor: first for what stands with nothing yet, then what stood as one for another work.
    fn search(&self, floor: &mut Programme, work: &WorkId, used: &BTreeSet<InstrumentId>) {
        let tied = |id: &InstrumentId| {
            let setup = &self.all.setup;
            setup.station_of(id) != id
                || setup.peers(id).next().is_some()
                || setup.borne_by(id).next().is_some()
        };
        let (bound, free): (BTreeSet<_>, BTreeSet<_>) = open(floor, used).into_iter().partition(tied);
        let mut parts = vec![free];
        let mut by_head: BTreeMap<InstrumentId, BTreeSet<InstrumentId>> = BTreeMap::new();
        for id in bound {
            by_head.entry(self.all.setup.station_of(&id).clone()).or_default().insert(id);
        }
        parts.extend(by_head.into_values());
        for part in parts.into_iter().filter(|part| !part.is_empty()) {
            let evening = Evening::of(self.library, floor);
            let found = Search::new(&evening, self.venue, Some(work), self.halt).only(part).run();
            let sketch = found.map(Proposed::new_alone).unwrap_or_default();
            for (id, place) in &sketch.places {
                floor.setup.stand(id.clone(), *place);
            }
            tie(&mut floor.setup, &sketch);
        }
    }

    /// Where something finds no place still, everything that the work uses is placed anew, but for what stood before anything was proposed;
    /// what finds places for more of it holds.
    fn afresh(&self, floor: &mut Programme, work: &WorkId, used: &BTreeSet<InstrumentId>) {
        let left = open(floor, used).len();
        if left == 0 {
            return;
        }
        let mut anew = floor.clone();
        for id in used.iter().filter(|id| !self.stood.contains(*id)) {
            anew.setup.take_off(id);
        }
        self.search(&mut anew, work, used);
        if open(&anew, used).len() < left {
            *floor = anew;
        }
    }

    /// Puts back what has its place still.
    fn put_back(&self, floor: &mut Programme, away: Vec<Vec<(InstrumentId, Placement)>>) {
        for station in away {
            self.stand(floor, station);
        }
    }

    /// Writes a work's floor into the programme: what differs from what holds for all.
    fn write(&mut self, work: &WorkId, floor: &Programme) {
        let base = self.all.setup.base.clone();
        for (id, place) in &floor.setup.base {
            let number = self.all.number_of(id).unwrap_or_else(|| self.all.setup.next_number());
            let place = Placement { number, ..*place };
            self.last.insert(id.clone(), place);
            if base.get(id) != Some(&place) {
                self.all.setup.change_for(work, |own| {
                    own.away.remove(id);
                    own.placements.insert(id.clone(), place);
                });
            }
        }
        for id in base.keys().filter(|id| !floor.setup.base.contains_key(*id)) {
            self.all.setup.change_for(work, |own| {
                own.placements.remove(id);
                own.away.insert(id.clone());
            });
        }
        self.all.setup.stations.clone_from(&floor.setup.stations);
        self.all.setup.lies_on.clone_from(&floor.setup.lies_on);
    }

    /// Things that differ stay in one place where nothing clashes and no move becomes impossible by it.
    fn settle(&mut self) {
        let now = Evening::of(self.library, &self.all);
        let mut next = self.all.clone();
        next.setup = now.settled(self.venue);
        let impossible =
            |evening: &Evening| super::moves(evening, None).values().filter(|step| !step.fits()).count();
        if impossible(&Evening::of(self.library, &next)) <= impossible(&now) {
            self.all = next;
        }
    }
}

/// Takes off a work's floor what it does not use and is not locked; what was taken, station by station.
fn clear(floor: &mut Programme, used: &BTreeSet<InstrumentId>) -> Vec<Vec<(InstrumentId, Placement)>> {
    let setup = floor.setup.clone();
    let needed: BTreeSet<&InstrumentId> =
        used.iter().chain(used.iter().filter_map(|id| setup.lies_on.get(id))).collect();
    let mut stations: BTreeMap<&InstrumentId, Vec<(InstrumentId, Placement)>> = BTreeMap::new();
    for (id, place) in setup.base.iter().filter(|(id, place)| !needed.contains(id) && !place.locked) {
        floor.setup.take_off(id);
        stations.entry(setup.station_of(id)).or_default().push((id.clone(), *place));
    }
    stations.into_values().collect()
}

/// What of these does not stand on a floor.
fn open(floor: &Programme, used: &BTreeSet<InstrumentId>) -> BTreeSet<InstrumentId> {
    used.iter().filter(|id| !floor.setup.base.contains_key(*id)).cloned().collect()
}

/// What stands as one or lies on something, unless it does so otherwise for another work.
fn tie(setup: &mut Setup, sketch: &Sketch) {
    for (id, by) in &sketch.lies_on {
        if !setup.lies_on.contains_key(id)
            && !setup.lies_on.contains_key(by)
            && setup.peers(id).next().is_none()
        {
            setup.lies_on.insert(id.clone(), by.clone());
        }
    }
    for (id, with) in &sketch.stations {
        let other = |id: &InstrumentId| setup.stations.contains_key(id) || setup.lies_on.contains_key(id);
        let heads = setup.stations.values().any(|head| head == id);
        if !other(id) && !other(with) && !heads {
            setup.stations.insert(id.clone(), with.clone());
        }
    }
}

/// The edits that lead from a programme's setup to this one.
pub(super) fn edits(programme: &Programme, setup: &Setup) -> Vec<crate::edit::Edit> {
    use crate::edit::Edit;
    let (old, of) = (&programme.setup, || programme.id.clone());
    let mut edits = Vec::new();
    for (id, place) in setup.base.iter().filter(|(id, place)| old.base.get(*id) != Some(*place)) {
        edits.push(Edit::Stand { programme: of(), instrument: id.clone(), placement: *place });
    }
    for (work, own) in &setup.own {
        let before = old.own.get(work);
        for (id, place) in &own.placements {
            if before.and_then(|own| own.placements.get(id)) != Some(place) {
                let (work, instrument) = (work.clone(), id.clone());
                edits.push(Edit::StandFor { programme: of(), work, instrument, placement: *place });
            }
        }
        for id in own.away.iter().filter(|id| before.is_none_or(|own| !own.away.contains(*id))) {
            edits.push(Edit::TakeOffFor { programme: of(), work: work.clone(), instrument: id.clone() });
        }
    }
    for (work, own) in &old.own {
        let after = setup.own.get(work);
        let kept = |id: &InstrumentId| {
            after.is_some_and(|own| own.placements.contains_key(id) || own.away.contains(id))
        };
        for id in own.placements.keys().chain(&own.away).filter(|id| !kept(id)) {
            edits.push(Edit::AsBase { programme: of(), work: work.clone(), instrument: id.clone() });
        }
    }
    for (id, with) in setup.stations.iter().filter(|(id, with)| old.stations.get(*id) != Some(*with)) {
        edits.push(Edit::StandWith { programme: of(), instrument: id.clone(), with: Some(with.clone()) });
    }
    for (id, by) in setup.lies_on.iter().filter(|(id, by)| old.lies_on.get(*id) != Some(*by)) {
        edits.push(Edit::LieOn { programme: of(), instrument: id.clone(), by: Some(by.clone()) });
    }
    edits
}
