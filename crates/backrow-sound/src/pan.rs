//! Where a sound seems to come from between two loudspeakers.

use crate::device::Frame;
use std::f64::consts::{FRAC_PI_4, SQRT_2};

/// From so far aside a sound comes from one loudspeaker alone, degrees. Ours: from a conductor's place the back row seldom reaches wider.
pub const WHOLLY_ASIDE_DEG: f64 = 45.0;

/// What a sound is multiplied by at the left and at the right, by its bearing: degrees to the right of straight ahead. What is no
/// number is straight ahead.
///
/// The sine and cosine law of constant power: the squares of both sum to the same at every bearing, so that the place changes nothing of
/// the loudness. Common practice of mixing desks, stated from memory. Straight ahead both are 1.
pub fn pan(bearing_deg: f64) -> Frame {
    let bearing = if bearing_deg.is_finite() { bearing_deg } else { 0.0 };
    let angle = FRAC_PI_4 * (1.0 + bearing.clamp(-WHOLLY_ASIDE_DEG, WHOLLY_ASIDE_DEG) / WHOLLY_ASIDE_DEG);
    [SQRT_2 * angle.cos(), SQRT_2 * angle.sin()].map(crate::spectrum::single)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;
    use rstest::rstest;
    use std::f32::consts::{FRAC_1_SQRT_2 as ROOT_HALF, SQRT_2 as ROOT_2};

    /// Worked by hand: at 15 degrees to the left the angle is 30, so that left is the root of 2 times cos 30, right times sin 30.
    #[rstest]
    #[case(0.0, 1.0, 1.0)]
    #[case(-15.0, 1.224_745, ROOT_HALF)]
    #[case(15.0, ROOT_HALF, 1.224_745)]
    #[case(-45.0, ROOT_2, 0.0)]
    #[case(120.0, 0.0, ROOT_2)]
    #[case(f64::NAN, 1.0, 1.0)]
    fn the_law(#[case] bearing: f64, #[case] left: f32, #[case] right: f32) {
        let is = pan(bearing);
        assert_abs_diff_eq!(is[0], left, epsilon = 1e-5);
        assert_abs_diff_eq!(is[1], right, epsilon = 1e-5);
        assert_abs_diff_eq!(is[0] * is[0] + is[1] * is[1], 2.0, epsilon = 1e-5);
    }
}
