//! One floor of an evening: what stands on it, what is wrong there, the ways across it and what its risers bear.

use crate::collection::Venue;
use crate::id::InstrumentId;
use crate::library::Library;
use crate::stage::{Checks, Furniture, Plan, RiserLoad, Walks};
use crate::week::{Placement, Programme};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

/// A floor as it is for one work, or for all.
#[derive(Clone, Debug)]
pub struct Floor {
    programme: Programme,
    venue: Option<Arc<Venue>>,
    gangway_m: f64,
    pub(super) plan: Plan,
    checks: OnceLock<Checks>,
    ways: OnceLock<Arc<Walks>>,
    riser_loads: OnceLock<Vec<RiserLoad>>,
    pub(super) furniture: OnceLock<Vec<Furniture>>,
}

impl Floor {
    pub(super) fn of(library: &Library, programme: &Programme) -> Self {
        Self {
            venue: programme.venue.as_ref().and_then(|id| library.venues.get(id)).cloned(),
            gangway_m: library.orchestra.habits.gangway_m,
            plan: Plan::of(library, programme),
            programme: programme.clone(),
            checks: OnceLock::new(),
            ways: OnceLock::new(),
            riser_loads: OnceLock::new(),
            furniture: OnceLock::new(),
        }
    }

    /// The programme as if this floor held for all of it.
    pub const fn programme(&self) -> &Programme {
        &self.programme
    }

    /// The venue; `None` while there is none, or its file is missing.
    pub fn venue(&self) -> Option<&Venue> {
        self.venue.as_deref()
    }

    /// What stands where.
    pub const fn plan(&self) -> &Plan {
        &self.plan
    }

    /// How far to the right of straight ahead the conductor hears what these instruments make together, degrees, -180 to 180; of those that
    /// stand here. `None` where none does, or the venue does not say where the conductor stands.
    pub fn bearing_deg(&self, instruments: &[InstrumentId]) -> Option<f64> {
        self.plan.bearing_deg(self.venue()?, instruments)
    }

    /// What is wrong or narrow.
    pub fn checks(&self) -> &Checks {
        self.checks.get_or_init(|| self.plan.checks(self.venue(), self.gangway_m))
    }

    /// The ways between all standing places.
    pub fn ways(&self) -> &Arc<Walks> {
        self.ways.get_or_init(|| Arc::new(Walks::of(&self.plan, self.venue())))
    }

    pub(super) fn knows_its_ways(&self) -> bool {
        self.ways.get().is_some()
    }

    /// What the risers bear; nothing without a venue.
    pub fn riser_loads(&self) -> &[RiserLoad] {
        self.riser_loads.get_or_init(|| self.venue().map(|venue| self.plan.loads(venue)).unwrap_or_default())
    }

    /// The same floor with things at other places: what is in the hand, or proposed.
    pub(super) fn moved(&self, library: &Library, places: &BTreeMap<InstrumentId, Placement>) -> Self {
        let mut programme = self.programme.clone();
        for (id, placement) in places {
            programme.setup.stand(id.clone(), *placement);
        }
        Self::of(library, &programme)
    }

    /// Whether the ways of the other are the ways of this one: the same things stand in the same places.
    pub(super) fn is_ground_of(&self, other: &Self) -> bool {
        let same_venue = match (&self.venue, &other.venue) {
            (Some(one), Some(two)) => Arc::ptr_eq(one, two) || one == two,
            (None, None) => true,
            _ => false,
        };
        same_venue
            && self.plan.things.len() == other.plan.things.len()
            && self.plan.things.iter().zip(&other.plan.things).all(|(one, two)| {
                one.instrument == two.instrument
                    && one.figure == two.figure
                    && one.standing == two.standing
                    && one.across == two.across
                    && one.on == two.on
            })
    }

    /// Takes over the ways of a floor with the same things in the same places.
    pub(super) fn take_over(&mut self, old: &Self) {
        self.ways.clone_from(&old.ways);
    }
}
