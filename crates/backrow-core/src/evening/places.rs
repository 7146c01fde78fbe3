//! Places proposed for what does not stand yet, judged by the seconds: what they make shorter, longer and impossible.

mod lacking;
mod search;
mod works;

use super::Evening;
use crate::collection::Venue;
use crate::edit::Edit;
use crate::halt::Halt;
use crate::id::ProgrammeId;
use crate::id::{InstrumentId, PlayerId, WorkId};
use crate::moves::{Move, PassageRef};
use crate::stage::Sketch;
use crate::week::{Placement, Programme};
use std::collections::{BTreeMap, BTreeSet};

pub use lacking::{Lacking, Why};
pub use works::ForWorks;

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

    /// How much longer all moves become together, microseconds.
    fn longer_us(&self) -> i64 {
        let all = [&self.shorter, &self.longer, &self.impossible, &self.possible];
        all.into_iter().flatten().map(|one| one.after.need.us() - one.before.need.us()).sum()
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
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Proposed {
    /// The places, and what stands as one or lies on something.
    pub sketch: Sketch,
    /// What stood before and is moved, because a move was impossible from where it stands.
    pub moved: BTreeSet<InstrumentId>,
    /// What changes with them.
    pub difference: Difference,
    /// The moves that lack their seconds all the same, each with why.
    pub lacking: Vec<Lacking>,
    /// Setups of works of their own, where one does not hold everything; the sketch is empty then.
    pub for_works: Option<ForWorks>,
}

impl Proposed {
    /// Whether nothing is proposed.
    pub fn is_empty(&self) -> bool {
        self.sketch.is_empty() && self.for_works.is_none()
    }

    /// The places of what did not stand before.
    fn new_alone(self) -> Sketch {
        let mut sketch = self.sketch;
        sketch.places.retain(|id, _| !self.moved.contains(id));
        sketch
    }

    /// The places to be shown for a work: those that it would have, and that are not as they were.
    pub fn places_for(&self, work: Option<&WorkId>) -> BTreeMap<InstrumentId, Placement> {
        match (&self.for_works, work) {
            (None, _) => self.sketch.places.clone(),
            (Some(own), None) => own.setup.base.clone(),
            (Some(own), Some(work)) => own.setup.of_work(work),
        }
    }

    /// What the programme uses and finds no place, even for a single work.
    pub fn left(&self, programme: &Programme) -> BTreeSet<InstrumentId> {
        if let Some(own) = &self.for_works {
            return own.left.values().flatten().cloned().collect();
        }
        let used = programme.used().into_iter();
        let open =
            |id: &&InstrumentId| programme.number_of(id).is_none() && !self.sketch.places.contains_key(*id);
        used.filter(open).cloned().collect()
    }
}

/// Places for everything that the programme uses and that does not stand yet; `None` where there is nothing to place, or no
/// place for it, and no move is impossible. Where moves are impossible, other arrangements are looked for: what they join is placed
/// first and close together, then whole stations are put elsewhere, those too that stand already, unless they are locked or differ for a
/// work. The answer never has more impossible moves than any other arrangement that was looked at; none is claimed to be the best
/// there is. A search that is ended proposes nothing.
///
/// Where one floor does not hold everything and works use different things, each gets a setup of its own, if that leaves less without a
/// place.
pub fn propose(evening: &Evening, venue: &Venue, work: Option<&WorkId>, halt: &Halt) -> Option<Proposed> {
    let whole = search::Search::new(evening, venue, work, halt).run();
    if work.is_some() || halt.is_asked() {
        return whole;
    }
    let programme = evening.programme();
    let left = match &whole {
        Some(whole) => whole.left(programme).len(),
        None => programme.used().iter().filter(|id| programme.number_of(id).is_none()).count(),
    };
    if left == 0 {
        return whole;
    }
    let own = works::for_works(evening, venue, halt);
    own.filter(|own| own.left(programme).len() < left).or(whole)
}

/// The edits that take what is proposed.
pub fn edits(programme: &Programme, proposed: &Proposed) -> Vec<Edit> {
    match &proposed.for_works {
        Some(own) => works::edits(programme, &own.setup),
        None => sketch_edits(&programme.id, &proposed.sketch),
    }
}

fn sketch_edits(programme: &ProgrammeId, sketch: &Sketch) -> Vec<Edit> {
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
    let on = sketch.lies_on.iter().map(|(instrument, by)| Edit::LieOn {
        programme: programme.clone(),
        instrument: instrument.clone(),
        by: Some(by.clone()),
    });
    stand.chain(one).chain(on).collect()
}

#[cfg(test)]
mod worked;
