//! The search for places: whole arrangements one after the other, then stations of the best one elsewhere.

use super::lacking::{self, Lacking, Why};
use super::{Difference, Proposed, moves};
use crate::collection::Venue;
use crate::evening::Evening;
use crate::halt::Halt;
use crate::id::{InstrumentId, PlayerId, WorkId};
use crate::moves::{Move, PassageRef};
use crate::seconds::Need;
use crate::stage::{Near, Sketch, propose_near, stand_again};
use crate::week::{Placement, Programme};
use std::collections::{BTreeMap, BTreeSet};

/// How often a proposal is made anew with what is impossible placed first and close together.
const ROUNDS: usize = 6;
/// How many other places of stations are looked at, over all.
const MOST_TRIES: u64 = 40;

/// What is looked for.
pub(super) struct Search<'a> {
    evening: &'a Evening,
    venue: &'a Venue,
    work: Option<&'a WorkId>,
    halt: &'a Halt,
    /// What is to stand.
    used: BTreeSet<InstrumentId>,
    tries: u64,
    /// Why moves lack their seconds, as far as it was asked: their stations stay the same once everything is placed.
    known: BTreeMap<(PassageRef, PassageRef), Why>,
}

/// A move of somebody.
pub(super) type Step = (PlayerId, Move);

/// One arrangement.
struct Tried {
    sketch: Sketch,
    after: Evening,
    difference: Difference,
    lacking: Vec<Step>,
}

impl Tried {
    /// How many moves are impossible, and how many of them were not.
    fn impossible(&self) -> (usize, usize) {
        (self.lacking.len(), self.difference.impossible.len())
    }

    /// Likewise, then how much longer all moves become.
    fn cost(&self) -> (usize, usize, i64) {
        let (all, new) = self.impossible();
        (all, new, self.difference.longer_us())
    }
}

impl<'a> Search<'a> {
    /// Places for all that the programme uses, or one work of it.
    pub(super) fn new(
        evening: &'a Evening,
        venue: &'a Venue,
        work: Option<&'a WorkId>,
        halt: &'a Halt,
    ) -> Self {
        let used = used_by(evening.programme(), work);
        Self { evening, venue, work, halt, used, tries: 0, known: BTreeMap::new() }
    }

    /// Places for these alone.
    pub(super) fn only(self, used: BTreeSet<InstrumentId>) -> Self {
        Self { used, ..self }
    }

    pub(super) fn run(mut self) -> Option<Proposed> {
        let mut best = self.rounds()?;
        while let Some(next) = self.better(&best) {
            best = next;
        }
        if self.halt.is_asked() {
            return None;
        }
        let before = self.evening.programme();
        let ids = best.sketch.places.keys();
        let moved = ids.filter(|id| before.number_of(id).is_some()).cloned().collect();
        let lacking = self.lacking(&best);
        let nothing = best.sketch.is_empty() && lacking.is_empty();
        let Tried { sketch, difference, .. } = best;
        (!nothing).then_some(Proposed { sketch, moved, difference, lacking, for_works: None })
    }

    /// What changes on another floor, and what lacks its seconds there.
    pub(super) fn told(mut self, after: &Evening) -> (Difference, Vec<Lacking>) {
        let tried = self.judged(Sketch::default(), after.clone());
        let lacking = self.lacking(&tried);
        (tried.difference, lacking)
    }

    fn lacking(&mut self, tried: &Tried) -> Vec<Lacking> {
        let of = |(player, step): &Step| Lacking {
            player: player.clone(),
            step: step.clone(),
            why: self.why(tried, step),
        };
        tried.lacking.iter().map(of).collect()
    }

    fn tried(&self, sketch: Sketch) -> Tried {
        let after = Evening::of(self.evening.library(), &standing(self.evening.programme(), &sketch));
        self.judged(sketch, after)
    }

    fn judged(&self, sketch: Sketch, after: Evening) -> Tried {
        let difference = Difference::between(self.evening, &after, self.work);
        let steps = moves(&after, self.work).into_iter();
        let lacking = steps.filter(|(_, step)| !step.fits()).map(|((player, _), step)| (player, step));
        let mut lacking: Vec<Step> = lacking.collect();
        lacking.sort_by_key(|(_, step)| step.spare_us());
        Tried { sketch, after, difference, lacking }
    }

    /// What does not stand yet, in a few arrangements: when one has an impossible move, what that move joins is placed first in the
    /// next, and close together. `None` when the search is ended.
    fn rounds(&self) -> Option<Tried> {
        let used: BTreeSet<&InstrumentId> = self.used.iter().collect();
        let (mut first, mut near) = (BTreeSet::new(), Near::new());
        let mut best: Option<Tried> = None;
        for _ in 0..ROUNDS {
            let sketch = self.placed((&used, &first), &near);
            if self.halt.is_asked() {
                return None;
            }
            let empty = sketch.is_empty();
            let tried = self.tried(sketch);
            let (mut urgent, mut closer) = (first.clone(), near.clone());
            for (_, step) in &tried.lacking {
                join(&mut closer, &tried.after, step);
            }
            for id in closer.keys().filter(|id| tried.sketch.places.contains_key(*id)) {
                urgent.extend(station(&tried.sketch, id));
            }
            if best.as_ref().is_none_or(|old| tried.cost() < old.cost()) {
                best = Some(tried);
            }
            if empty || (urgent == first && closer == near) {
                break;
            }
            (first, near) = (urgent, closer);
        }
        best
    }

    /// These first, then the rest.
    fn placed(
        &self,
        (used, first): (&BTreeSet<&InstrumentId>, &BTreeSet<InstrumentId>),
        near: &Near,
    ) -> Sketch {
        let (library, programme) = (self.evening.library(), self.evening.programme());
        let mut sketch =
            propose_near(library, programme, self.venue, (&first.iter().collect(), near), self.halt);
        let next = standing(programme, &sketch);
        sketch.extend(propose_near(library, &next, self.venue, (used, near), self.halt));
        sketch
    }

    /// The same arrangement with stations of an impossible move elsewhere, where fewer moves are impossible then.
    fn better(&mut self, best: &Tried) -> Option<Tried> {
        for (_, step) in &best.lacking {
            if self.halt.is_asked() || self.why(best, step) != Why::NotFound {
                continue;
            }
            let mut close = Near::new();
            join(&mut close, &best.after, step);
            let mut all = close.clone();
            for (_, other) in &best.lacking {
                join(&mut all, &best.after, other);
            }
            for heads in self.to_lift(best, step) {
                // What else is short of seconds is thought of too, where there is more than the one move.
                let wider = (all != close).then_some(&all);
                for near in std::iter::once(&close).chain(wider) {
                    if self.tries >= MOST_TRIES || self.halt.is_asked_after(self.tries, MOST_TRIES) {
                        return None;
                    }
                    self.tries += 1;
                    let heads: Vec<&InstrumentId> = heads.iter().collect();
                    let next = best.after.programme();
                    let Some(again) = stand_again(self.evening.library(), next, self.venue, (&heads, near))
                    else {
                        break;
                    };
                    let mut sketch = best.sketch.clone();
                    sketch.extend(again);
                    let tried = self.tried(sketch);
                    if tried.impossible() < best.impossible() {
                        return Some(tried);
                    }
                }
            }
        }
        None
    }

    /// Which stations are put elsewhere for a move, in which order: one of its ends, both, or one with what stands nearest to
    /// the other and may be in its place.
    fn to_lift(&self, best: &Tried, step: &Move) -> Vec<Vec<InstrumentId>> {
        let Some((from, to)) = ends(&best.after, step) else { return Vec::new() };
        if from == to {
            return Vec::new();
        }
        let beside = |of: &InstrumentId| {
            let plan = best.after.floor(self.work).plan();
            let at = plan.thing(of)?.standing.place;
            let setup = &best.after.programme().setup;
            let others = plan.things.iter().map(|thing| (setup.station_of(&thing.instrument), thing));
            let others = others.filter(|(head, _)| **head != from && **head != to);
            let near = others.min_by(|(_, a), (_, b)| {
                a.standing.place.distance(at).total_cmp(&b.standing.place.distance(at))
            });
            near.map(|(head, _)| head.clone())
        };
        let with = |one: &InstrumentId, of: &InstrumentId| beside(of).map(|other| vec![one.clone(), other]);
        let both = [vec![to.clone(), from.clone()], vec![from.clone(), to.clone()]];
        let alone = [vec![to.clone()], vec![from.clone()]];
        let more = [with(&to, &from), with(&from, &to)].into_iter().flatten();
        // On the floor of one work what stands already may stand there for others too.
        let may = |heads: &Vec<InstrumentId>| {
            self.work.is_none() || heads.iter().all(|head| best.sketch.places.contains_key(head))
        };
        alone.into_iter().chain(more).chain(both).filter(may).collect()
    }

    /// Why a move lacks its seconds even so: asked of its two stations side by side on a floor with nothing else.
    fn why(&mut self, best: &Tried, step: &Move) -> Why {
        let at = |edge: &crate::moves::Edge| PassageRef { line: edge.line.clone(), passage: edge.passage };
        let key = (at(&step.from), at(&step.to));
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let why = match Why::of(step, || self.side_by_side(best, step)) {
            Why::NotFound if are_locked(&best.after, step) => Why::Locked,
            why => why,
        };
        self.known.insert(key, why);
        why
    }

    /// What a move needs with its two stations side by side and nothing else; `None` unless both stand.
    fn side_by_side(&self, best: &Tried, step: &Move) -> Option<Need> {
        let (from, to) = ends(&best.after, step)?;
        let mut bare = best.after.programme().clone();
        let others: Vec<InstrumentId> = bare.setup.base.keys().cloned().collect();
        for id in others {
            let kept = [&from, &to].iter().any(|head| bare.setup.station_of(&id) == *head);
            // What is locked is asked too how near it could stand.
            if let Some(place) = bare.setup.take_off(&id).filter(|_| kept) {
                bare.setup.stand(id, Placement { locked: false, ..place });
            }
        }
        bare.setup.clear_own();
        let mut near = Near::new();
        join(&mut near, &best.after, step);
        let orders: [&[&InstrumentId]; 3] = [&[&to], &[&from], &[&from, &to]];
        let needs = orders.iter().filter_map(|heads| {
            // Where they stand together already, or may not be moved, is as good a place as any.
            let apart = from != to;
            let again = apart.then(|| stand_again(self.evening.library(), &bare, self.venue, (heads, &near)));
            let there = standing(&bare, &again.flatten().unwrap_or_default());
            lacking::need(&Evening::of(self.evening.library(), &there), step)
        });
        needs.min_by_key(Need::us)
    }
}

/// What the lines of a work are given, or of the whole programme.
pub(super) fn used_by(programme: &Programme, work: Option<&WorkId>) -> BTreeSet<InstrumentId> {
    let lines = programme.lines().filter(|(at, _)| work.is_none_or(|work| at.work == *work));
    lines.flat_map(|(_, given)| given.uses()).cloned().collect()
}

/// The stations at both ends of a move, by their heads: those that the way on this floor joins; `None` unless both stand.
fn ends(evening: &Evening, step: &Move) -> Option<(InstrumentId, InstrumentId)> {
    let route = evening.timetable().route(step)?;
    let setup = &evening.programme().setup;
    Some((setup.station_of(route.from).clone(), setup.station_of(route.to).clone()))
}

/// Whether neither end of a move may be moved.
fn are_locked(evening: &Evening, step: &Move) -> bool {
    let Some((from, to)) = ends(evening, step) else { return false };
    let setup = &evening.programme().setup;
    let locked = |head: &InstrumentId| {
        setup.base.iter().any(|(id, place)| place.locked && setup.station_of(id) == head)
    };
    locked(&from) && locked(&to)
}

/// What a move joins is wanted near each other.
fn join(near: &mut Near, evening: &Evening, step: &Move) {
    let table = evening.timetable();
    let leaves = table.at(&step.from).and_then(|at| at.leaves());
    let comes = table.at(&step.to).and_then(|at| at.comes());
    let (Some(leaves), Some(comes)) = (leaves, comes) else { return };
    for from in &leaves.stance.instruments {
        for to in comes.stance.instruments.iter().filter(|to| *to != from) {
            near.entry(from.clone()).or_default().insert(to.clone());
            near.entry(to.clone()).or_default().insert(from.clone());
        }
    }
}

/// What stands as one with a thing that is proposed, itself with it.
fn station(sketch: &Sketch, id: &InstrumentId) -> Vec<InstrumentId> {
    let standing = |id: &InstrumentId| sketch.lies_on.get(id).unwrap_or(id).clone();
    let head =
        |id: &InstrumentId| sketch.stations.get(&standing(id)).cloned().unwrap_or_else(|| standing(id));
    let own = head(id);
    sketch.places.keys().filter(|other| head(other) == own).cloned().collect()
}

fn standing(programme: &Programme, sketch: &Sketch) -> Programme {
    let mut next = programme.clone();
    sketch.onto(&mut next.setup);
    next
}
