//! The ways between the standing places of a setup.

use super::plan::Plan;
use crate::collection::Venue;
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

/// The ways between the standing places of a setup.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Walks {
    by_pair: BTreeMap<InstrumentId, BTreeMap<InstrumentId, Walk>>,
}

impl Walks {
    /// The ways of a setup.
    pub fn of(plan: &Plan, _venue: Option<&Venue>) -> Self {
        let mut walks = Self::default();
        for from in &plan.things {
            let row = walks.by_pair.entry(from.instrument.clone()).or_default();
            for to in &plan.things {
                let metres = from.standing.place.distance(to.standing.place);
                row.insert(to.instrument.clone(), Walk { metres, steps: 0 });
            }
        }
        walks
    }

    /// The way between the standing places of two instruments; `None` unless both are on the floor.
    pub fn between(&self, from: &InstrumentId, to: &InstrumentId) -> Option<Walk> {
        self.by_pair.get(from)?.get(to).copied()
    }
}
