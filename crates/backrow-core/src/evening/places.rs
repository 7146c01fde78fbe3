//! Places proposed for what does not stand yet, judged by the seconds: what they make shorter, longer and impossible.

use super::Evening;
use crate::collection::Venue;
use crate::edit::Edit;
use crate::halt::Halt;
use crate::id::ProgrammeId;
use crate::id::{InstrumentId, PlayerId, WorkId};
use crate::moves::{Move, PassageRef};
use crate::stage::{Sketch, propose_these};
use crate::week::Programme;
use std::collections::{BTreeMap, BTreeSet};

/// How often a proposal is made anew with what became impossible placed first.
const ROUNDS: usize = 4;
/// A difference of less than this is none, microseconds.
const NOTHING_US: i64 = 50_000;

/// One move of a player, before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct Changed {
    /// Who.
    pub player: PlayerId,
    /// As it was; by the default distance where nothing stood.
    pub before: Move,
    /// As it would be.
    pub after: Move,
}

/// What another floor does to the players' moves.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Difference {
    /// Moves that need less time.
    pub shorter: Vec<Changed>,
    /// Moves that need more, and have it.
    pub longer: Vec<Changed>,
    /// Moves that had the time, and would lack it.
    pub impossible: Vec<Changed>,
    /// Moves that lacked the time, and would have it.
    pub possible: Vec<Changed>,
}

impl Difference {
    /// Between two evenings of one programme; only the moves of one work where that is said.
    pub fn between(before: &Evening, after: &Evening, work: Option<&WorkId>) -> Self {
        let mut difference = Self::default();
        let earlier = moves(before, work);
        for (key, now) in moves(after, work) {
            let Some(then) = earlier.get(&key) else { continue };
            let longer_us = now.need.us() - then.need.us();
            let list = match (then.fits(), now.fits()) {
                (true, false) => &mut difference.impossible,
                (false, true) => &mut difference.possible,
                _ if longer_us > NOTHING_US => &mut difference.longer,
                _ if longer_us < -NOTHING_US => &mut difference.shorter,
                _ => continue,
            };
            list.push(Changed { player: key.0, before: then.clone(), after: now });
        }
        difference
    }

    /// Whether nothing changes.
    pub fn is_empty(&self) -> bool {
        [&self.shorter, &self.longer, &self.impossible, &self.possible].iter().all(|list| list.is_empty())
    }

    /// First how many moves become impossible, then how much longer all become, microseconds.
    fn cost(&self) -> (usize, i64) {
        let all = [&self.shorter, &self.longer, &self.impossible, &self.possible];
        let longer = all.into_iter().flatten().map(|one| one.after.need.us() - one.before.need.us()).sum();
        (self.impossible.len(), longer)
    }
}

/// Whoever comes to a passage comes to it once, from wherever the move has the least to spare: on another floor that may be
/// another passage.
type Key = (PlayerId, PassageRef);

fn moves(evening: &Evening, work: Option<&WorkId>) -> BTreeMap<Key, Move> {
    let players: BTreeSet<&PlayerId> =
        evening.timetable().lines.iter().filter_map(|taken| taken.player.as_ref()).collect();
    let mut all = BTreeMap::new();
    for player in players {
        for step in evening.timetable().moves(player) {
            if work.is_none_or(|work| step.from.line.work == *work) {
                let to = PassageRef { line: step.to.line.clone(), passage: step.to.passage };
                all.insert((player.clone(), to), step);
            }
        }
    }
    all
}

/// Places for what does not stand yet, and what they do to the moves.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposed {
    /// The places, and what stands as one or lies on something.
    pub sketch: Sketch,
    /// What changes with them.
    pub difference: Difference,
}

/// Places for everything that the programme uses and that does not stand yet; `None` where there is nothing to place, or no
/// place for it. A few proposals are compared: when the first makes a move impossible, what that move leads to is placed
/// first in the next. The one with the fewest impossible moves is taken; none of them is claimed to be the best there is.
/// A search that is ended proposes nothing.
pub fn propose(evening: &Evening, venue: &Venue, work: Option<&WorkId>, halt: &Halt) -> Option<Proposed> {
    let programme = evening.programme();
    let used = programme.used();
    let mut first: BTreeSet<InstrumentId> = BTreeSet::new();
    let mut best: Option<Proposed> = None;
    for _ in 0..ROUNDS {
        let sketch = placed(evening, venue, (&used, &first), halt);
        if halt.is_asked() {
            return None;
        }
        if sketch.is_empty() {
            break;
        }
        let after = Evening::of(evening.library(), &standing(programme, &sketch));
        let difference = Difference::between(evening, &after, work);
        let urgent: BTreeSet<InstrumentId> = instruments(&after, &difference.impossible)
            .into_iter()
            .filter(|id| sketch.places.contains_key(id))
            .flat_map(|id| station(&sketch, &id))
            .chain(first.iter().cloned())
            .collect();
        let better = best.as_ref().is_none_or(|old| difference.cost() < old.difference.cost());
        if better {
            best = Some(Proposed { sketch, difference });
        }
        if urgent == first {
            break;
        }
        first = urgent;
    }
    best
}

/// What stands as one with a thing that is proposed, itself with it.
fn station(sketch: &Sketch, id: &InstrumentId) -> Vec<InstrumentId> {
    let standing = |id: &InstrumentId| sketch.borne.get(id).unwrap_or(id).clone();
    let head =
        |id: &InstrumentId| sketch.stations.get(&standing(id)).cloned().unwrap_or_else(|| standing(id));
    let own = head(id);
    sketch.places.keys().filter(|other| head(other) == own).cloned().collect()
}

/// These first, then the rest.
fn placed(
    evening: &Evening,
    venue: &Venue,
    (used, first): (&BTreeSet<&InstrumentId>, &BTreeSet<InstrumentId>),
    halt: &Halt,
) -> Sketch {
    let (library, programme) = (evening.library(), evening.programme());
    let mut sketch = propose_these(library, programme, venue, &first.iter().collect(), halt);
    let rest = propose_these(library, &standing(programme, &sketch), venue, used, halt);
    sketch.extend(rest);
    sketch
}

fn standing(programme: &Programme, sketch: &Sketch) -> Programme {
    let mut next = programme.clone();
    sketch.onto(&mut next.setup);
    next
}

/// The edits that take a proposed setup.
pub fn edits(programme: &ProgrammeId, sketch: &Sketch) -> Vec<Edit> {
    let stand = sketch.places.iter().map(|(instrument, placement)| Edit::Stand {
        programme: programme.clone(),
        instrument: instrument.clone(),
        placement: *placement,
    });
    let one = sketch.stations.iter().map(|(instrument, with)| Edit::StandWith {
        programme: programme.clone(),
        instrument: instrument.clone(),
        with: Some(with.clone()),
    });
    let on = sketch.borne.iter().map(|(instrument, by)| Edit::Bear {
        programme: programme.clone(),
        instrument: instrument.clone(),
        by: Some(by.clone()),
    });
    stand.chain(one).chain(on).collect()
}

/// What is played at both ends of those moves.
fn instruments(evening: &Evening, changed: &[Changed]) -> BTreeSet<InstrumentId> {
    let timetable = evening.timetable();
    let posts = changed.iter().flat_map(|one| {
        let from = timetable.at(&one.after.from).and_then(|at| at.leaves());
        let to = timetable.at(&one.after.to).and_then(|at| at.comes());
        from.into_iter().chain(to)
    });
    posts.flat_map(|post| post.stance.instruments.iter().cloned()).collect()
}
