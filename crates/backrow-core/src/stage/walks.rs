//! The ways between the standing places of a setup.

use super::field::{Field, Pair, Still};
use super::figure::Figure;
use super::plan::{Plan, Stood};
use super::standing::Side;
use crate::collection::{Point, Venue};
use crate::id::InstrumentId;
pub use crate::seconds::Walk;
use std::collections::{BTreeMap, BTreeSet};

/// A way with the points at which it turns.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Way {
    /// Its length and steps.
    pub walk: Walk,
    /// From the one standing place to the other.
    pub points: Vec<Point>,
    /// Whether no way round exists (the things stand too close), so that the straight line stands in.
    pub shut: bool,
}

/// The ways of a setup while some of it is in the hand: what stands still is looked at once, so that the ways that are asked
/// for can be had again for every place that the rest is moved to.
#[derive(Clone, Debug)]
pub struct InHand {
    still: Still,
    held: Vec<InstrumentId>,
    pairs: Vec<(Spot, Spot, Pair)>,
}

/// A standing place: at which thing, and on which side of it.
type Spot = (InstrumentId, Side);

/// The standing places at a thing: at its playing side, and across where somebody plays from there.
fn spots(thing: &Stood) -> impl Iterator<Item = (&InstrumentId, Side, Point)> {
    let across = thing.across.map(|across| (&thing.instrument, Side::Far, across.place));
    std::iter::once((&thing.instrument, Side::Playing, thing.standing.place)).chain(across)
}

impl InHand {
    /// What stands still in a setup but for what is held, and the pairs of instruments whose ways are asked for. Pairs with
    /// an instrument that is not on the floor are left out.
    pub fn new(
        plan: &Plan,
        held: &BTreeSet<InstrumentId>,
        venue: Option<&Venue>,
        pairs: impl IntoIterator<Item = (InstrumentId, InstrumentId)>,
    ) -> Self {
        let (moved, still): (Vec<&Stood>, Vec<&Stood>) =
            plan.things.iter().partition(|thing| held.contains(&thing.instrument));
        let all = still.iter().chain(&moved).flat_map(|thing| spots(thing));
        let order: BTreeMap<(&InstrumentId, Side), usize> =
            all.enumerate().map(|(at, (id, side, _))| ((id, side), at)).collect();
        let sides = [Side::Playing, Side::Far];
        let between = sides.into_iter().flat_map(|leaves| sides.map(|comes| (leaves, comes)));
        let between: Vec<(Side, Side)> = between.collect();
        let numbered = |(a, b): &(InstrumentId, InstrumentId), (leaves, comes): (Side, Side)| {
            let pair = (*order.get(&(a, leaves))?, *order.get(&(b, comes))?);
            Some(((a.clone(), leaves), (b.clone(), comes), pair))
        };
        let pairs: Vec<_> = pairs
            .into_iter()
            .flat_map(|pair| between.iter().filter_map(|sides| numbered(&pair, *sides)).collect::<Vec<_>>())
            .collect();
        let places = still.iter().flat_map(|thing| spots(thing)).map(|(.., place)| place).collect();
        let figures = still.iter().filter(|thing| thing.on.is_none()).map(|thing| &thing.figure);
        let numbers: Vec<Pair> = pairs.iter().map(|(.., pair)| *pair).collect();
        Self {
            still: Still::new(figures, venue, places, &numbers),
            held: moved.iter().map(|thing| thing.instrument.clone()).collect(),
            pairs,
        }
    }

    /// The ways asked for with what is held where it stands in this plan.
    pub fn walks(&self, plan: &Plan) -> Walks {
        let moved: Vec<&Stood> = self.held.iter().filter_map(|id| plan.thing(id)).collect();
        let mut walks = Walks::default();
        if moved.len() != self.held.len() {
            return walks;
        }
        let figures: Vec<&Figure> =
            moved.iter().filter(|thing| thing.on.is_none()).map(|thing| &thing.figure).collect();
        let places: Vec<Point> =
            moved.iter().flat_map(|thing| spots(thing)).map(|(.., place)| place).collect();
        let numbers: Vec<Pair> = self.pairs.iter().map(|(.., pair)| *pair).collect();
        let ways = self.still.ways(&figures, &places, &numbers);
        for (((from, leaves), (to, comes), _), way) in self.pairs.iter().zip(ways) {
            walks.put((from, *leaves), (to, *comes), way);
        }
        walks
    }
}

/// The ways between the standing places of a setup: the shortest that go round every footprint and every area not to
/// enter and stay on the floor. Steps between levels count.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Walks {
    by_pair: BTreeMap<InstrumentId, BTreeMap<InstrumentId, Sides>>,
}

/// The ways from one thing to another, by the sides that one leaves and comes to.
#[derive(Clone, Debug, PartialEq, Default)]
struct Sides {
    near: Way,
    others: Vec<((Side, Side), Way)>,
}

impl Walks {
    /// The ways of a setup.
    pub fn of(plan: &Plan, venue: Option<&Venue>) -> Self {
        // What lies on something is in nobody's way but by that.
        let standing = plan.things.iter().filter(|thing| thing.on.is_none());
        let figures = standing.map(|thing| &thing.figure);
        let spots: Vec<(&InstrumentId, Side, Point)> = plan.things.iter().flat_map(spots).collect();
        let places: Vec<Point> = spots.iter().map(|(.., place)| *place).collect();
        let field = Field::new(figures, venue);
        let mut walks = Self::default();
        for ((from, leaves, _), row) in spots.iter().zip(field.ways(&places)) {
            for ((to, comes, _), way) in spots.iter().zip(row) {
                walks.put((from, *leaves), (to, *comes), way);
            }
        }
        walks
    }

    fn put(&mut self, (from, leaves): (&InstrumentId, Side), (to, comes): (&InstrumentId, Side), way: Way) {
        let sides = self.by_pair.entry(from.clone()).or_default().entry(to.clone()).or_default();
        if (leaves, comes) == (Side::Playing, Side::Playing) {
            sides.near = way;
        } else {
            sides.others.push(((leaves, comes), way));
        }
    }

    /// The way between the standing places of two instruments; `None` unless both are on the floor.
    pub fn between(&self, from: &InstrumentId, to: &InstrumentId) -> Option<Walk> {
        self.way((from, Side::Playing), (to, Side::Playing)).map(|way| way.walk)
    }

    /// The way from a side of one instrument to a side of another, with its points, to draw it. Where nobody stands across,
    /// the playing side is meant.
    pub fn way(
        &self,
        (from, leaves): (&InstrumentId, Side),
        (to, comes): (&InstrumentId, Side),
    ) -> Option<&Way> {
        let sides = self.by_pair.get(from)?.get(to)?;
        let known = |sides_of: (Side, Side)| sides.others.iter().find(|(at, _)| *at == sides_of);
        let near = Side::Playing;
        let tried = [(leaves, comes), (leaves, near), (near, comes)].into_iter().find_map(known);
        Some(tried.map_or(&sides.near, |(_, way)| way))
    }
}
