//! How instruments sound: recordings of them, what was measured, how alike two strikes are, and the words for it.
//!
//! A *take* is one recording of one instrument, a *strike* one sound in it, a *measure* a figure worked out from a strike. Takes
//! and strikes are stored; measures never are, since whoever improves the analysis wants all of them anew.

mod figure;
mod measure;
mod measures;
mod take;

pub use figure::Figure;
pub use measure::{COARSE_SPECTRUM, Definition, Measure, PARTIALS};
pub use measures::{Beating, COARSE_BANDS, COARSE_SLICES, Coarse, Doubt, Measures, Partial, PitchHeard};
pub use take::{Strike, StrikeKey, Take, TakeFault, Takes};
