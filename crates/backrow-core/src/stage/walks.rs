//! The ways between the standing places of a setup.

use super::field::Field;
use super::plan::Plan;
use crate::collection::{Point, Venue};
use crate::id::InstrumentId;
use std::collections::BTreeMap;

/// A way that a player walks.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Walk {
    /// Its length on the plan, metres.
    pub metres: f64,
    /// How many steps up or down between levels it has.
    pub steps: u32,
}

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

/// The ways between the standing places of a setup: the shortest that go round every footprint and every area not to
/// enter and stay on the floor. Steps between levels count.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Walks {
    by_pair: BTreeMap<InstrumentId, BTreeMap<InstrumentId, Way>>,
}

impl Walks {
    /// The ways of a setup.
    pub fn of(plan: &Plan, venue: Option<&Venue>) -> Self {
        // What lies on something is in nobody's way but by that.
        let standing = plan.things.iter().filter(|thing| thing.on.is_none());
        let figures = standing.map(|thing| &thing.figure);
        let places: Vec<Point> = plan.things.iter().map(|thing| thing.standing.place).collect();
        let field = Field::new(figures, venue);
        let mut rows = field.ways(&places).into_iter();
        let mut by_pair = BTreeMap::new();
        for (from, row) in plan.things.iter().zip(&mut rows) {
            let ids = plan.things.iter().map(|to| to.instrument.clone());
            by_pair.insert(from.instrument.clone(), ids.zip(row).collect());
        }
        Self { by_pair }
    }

    /// The way between the standing places of two instruments; `None` unless both are on the floor.
    pub fn between(&self, from: &InstrumentId, to: &InstrumentId) -> Option<Walk> {
        self.way(from, to).map(|way| way.walk)
    }

    /// The same with its points, to draw it.
    pub fn way(&self, from: &InstrumentId, to: &InstrumentId) -> Option<&Way> {
        self.by_pair.get(from)?.get(to)
    }
}
