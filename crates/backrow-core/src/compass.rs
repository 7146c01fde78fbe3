//! Compass: sets of pitches; does this reach that; the fewest instruments that do together.

mod fit;
#[cfg(test)]
pub(crate) mod naive;
mod set;
mod together;

pub use fit::{Fit, Missing, Reach, fit};
pub use set::PitchSet;
pub use together::{Together, fewest_together};
