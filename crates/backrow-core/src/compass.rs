//! Compass: sets of pitches; does this reach that; the fewest instruments that do together.

mod fit;
mod set;
mod together;

pub use fit::{Fit, Missing, Reach, fit};
pub use set::PitchSet;
pub use together::fewest_together;
