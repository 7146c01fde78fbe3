//! How instruments sound: recordings of them, what was measured, how alike two strikes are, and the words for it.
//!
//! A *take* is one recording of one instrument, a *strike* one sound in it, a *measure* a figure worked out from a strike. Takes
//! and strikes are stored; measures never are, since whoever improves the analysis wants all of them anew.
//!
//! [`Heard`] answers a search: like this strike, but brighter, in the part's words.

mod figure;
mod likeness;
mod measure;
mod measures;
mod quality;
mod reason;
mod search;
mod take;
mod taught;
mod words;

pub use figure::Figure;
pub use likeness::{Placed, Print, Scale};
pub use measure::{COARSE_SPECTRUM, Definition, Measure, PARTIALS};
pub use measures::{Beating, COARSE_BANDS, COARSE_SLICES, Coarse, Doubt, Measures, Partial, PitchHeard};
pub use quality::Quality;
pub use search::{Answer, Answers, Asked, Heard, Known, Unheard, Unmeasured};
pub use take::{Strike, StrikeKey, Take, TakeFault, TakeKey, Takes};
pub use taught::Taught;
pub use words::{MadeOf, Meaning, Wanted, meaning, qualities, wanted};
