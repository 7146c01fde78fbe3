//! The collection's upkeep as a whole: lists for the tuner, what it is worth, what the season's care cost, and the air of the
//! stores.

pub mod from_take;
mod stores;
mod values;

pub use stores::{Caution, StoreAir, limits, stores, suffers};
pub use values::{Cost, Sum, Values, costs, values};

use crate::care::{Care, ForTuner, Survey, for_tuner};
use crate::collection::Instrument;
use crate::library::Library;
use crate::pitch::ReferenceA;
use crate::tuning::usual;

/// What one instrument has for the tuner.
#[derive(Clone, Debug, PartialEq)]
pub struct TunerList<'a> {
    /// The instrument.
    pub thing: &'a Instrument,
    /// Its latest survey, which the list goes by.
    pub survey: &'a Survey,
    /// The A that its bars should have.
    pub target: ReferenceA,
    /// How far a bar may lie from it, cents.
    pub tolerance: f64,
    /// The bars, from low to high.
    pub bars: Vec<ForTuner>,
}

/// The A that an instrument's bars should have: what it is said to be tuned to, else the orchestra's.
pub fn target(library: &Library, thing: &Instrument) -> ReferenceA {
    thing.tuned_to.unwrap_or(library.orchestra.a)
}

/// What an instrument has for the tuner by its latest survey; `None` where it was never surveyed.
pub fn tuner_list<'a>(library: &'a Library, thing: &'a Instrument) -> Option<TunerList<'a>> {
    let care: &Care = library.care.get(&thing.id)?;
    let survey = care.latest()?;
    let (target, tolerance) = (target(library, thing), care.tolerance());
    let bars = for_tuner(survey, target, tolerance, usual::of_kind(thing.kind.as_str()));
    Some(TunerList { thing, survey, target, tolerance, bars })
}

/// The lists of all instruments that have bars for the tuner, by name.
pub fn tuner_lists(library: &Library) -> Vec<TunerList<'_>> {
    let mut all: Vec<TunerList<'_>> = library
        .instruments
        .values()
        .filter_map(|thing| tuner_list(library, thing))
        .filter(|list| !list.bars.is_empty())
        .collect();
    all.sort_by(|a, b| a.thing.name.cmp(&b.thing.name));
    all
}

#[cfg(test)]
mod tests;
