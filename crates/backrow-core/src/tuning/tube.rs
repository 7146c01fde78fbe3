//! Resonators: tubes closed at the lower end, a quarter of a wave long less the correction of the open end.

use super::air::{speed_of_sound_m_s, winds_cents};
use super::zero;
use std::f64::consts::PI;

/// The correction of an open end without a flange, in radii, for long waves (H. Levine & J. Schwinger, Phys. Rev. 73, 383
/// (1948), seen as other programs have it).
pub const OPEN_END: f64 = 0.6133;

/// The correction of an open end at a frequency, in radii; `ka` is 2 pi f a / c (J.-P. Dalmont & C. J. Nederveen, J. Sound
/// Vib. 244, 505 (2001), seen as other programs have it).
pub fn open_end(ka: f64) -> f64 {
    let square = ka * ka;
    OPEN_END * ((1.0 + 0.044 * square) / (1.0 + 0.19 * square) - 0.02 * (2.0 * ka).sin().powi(2))
}

/// The length of a closed tube whose first resonance is at a frequency, metres, with the correction for long waves:
/// c / 4f - 0.6133 a. `None` where the correction eats it all: the tube is too wide for the note.
pub fn length_m(hz: f64, celsius: f64, radius_m: f64) -> Option<f64> {
    let length = speed_of_sound_m_s(celsius) / (4.0 * hz) - OPEN_END * radius_m;
    (length.is_finite() && length > 0.0).then_some(length)
}

/// As [`length_m`], with the correction at that frequency.
pub fn length_at_hz_m(hz: f64, celsius: f64, radius_m: f64) -> Option<f64> {
    let c = speed_of_sound_m_s(celsius);
    let length = c / (4.0 * hz) - open_end(2.0 * PI * hz * radius_m / c) * radius_m;
    (length.is_finite() && length > 0.0).then_some(length)
}

/// The first resonance of a closed tube, hertz, with the correction at that frequency.
pub fn resonance_hz(length_m: f64, celsius: f64, radius_m: f64) -> Option<f64> {
    if !(length_m > 0.0 && radius_m > 0.0 && length_m.is_finite() && radius_m.is_finite()) {
        return None;
    }
    let c = speed_of_sound_m_s(celsius);
    // The correction shrinks as the note rises, so the length that fits falls with the frequency, through this one.
    let too_long = |hz: f64| c / (4.0 * hz) - open_end(2.0 * PI * hz * radius_m / c) * radius_m - length_m;
    Some(zero(c / (8.0 * (length_m + radius_m)), c / (4.0 * length_m), too_long))
}

/// How far a resonator of fixed length is off at a temperature, if it was right at another; cents, above zero when sharp.
/// The tube's own expansion is some twentieth of that, and is left out (a horn players' list, seen).
pub fn detuned_cents(right_at_c: f64, celsius: f64) -> f64 {
    winds_cents(right_at_c, celsius)
}

/// The sharpness of a tube's first resonance, without a unit, from what it loses to the outside ((ka)^2 / pi) and to its
/// walls (twice the damping over k). Damping 3e-5 sqrt(f) / a a metre (Fletcher & Rossing, ch. 8, memory). A tube that is
/// dusty, dented or rough is duller: the figure is the most that a clean one reaches.
pub fn sharpness(hz: f64, celsius: f64, radius_m: f64) -> f64 {
    let k = 2.0 * PI * hz / speed_of_sound_m_s(celsius);
    let outside = (k * radius_m).powi(2) / PI;
    let walls = 2.0 * 3e-5 * hz.sqrt() / radius_m / k;
    1.0 / (outside + walls)
}

/// What being off costs in loudness, decibels, zero or less: the resonance curve of a simple oscillator of that sharpness,
/// driven so many cents from its middle: -10 log10(1 + Q^2 (r - 1/r)^2), r = 2^(cents / 1200). What the bar loses to the
/// tube is not in it, so the true cost is rather smaller, and the note then rings longer.
pub fn cost_db(sharpness: f64, off_cents: f64) -> f64 {
    let r = (off_cents / 1200.0).exp2();
    -10.0 * (1.0 + (sharpness * (r - 1.0 / r)).powi(2)).log10()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_tube_in_tune_costs_nothing() {
        assert!(cost_db(40.0, 0.0).abs() < 1e-12);
        assert!(cost_db(40.0, 20.0) < -0.5 && cost_db(40.0, 20.0) > -3.0);
    }

    #[test]
    fn half_power_at_half_the_width() {
        // By definition of Q: the power halves where |f / f0 - f0 / f| = 1 / Q.
        let q = 30.0_f64;
        let r = f64::midpoint(1.0 / q, (1.0 / (q * q) + 4.0).sqrt());
        assert!((cost_db(q, 1200.0 * r.log2()) + 10.0 * 2.0_f64.log10()).abs() < 1e-9);
    }

    #[test]
    fn a_tube_too_wide_has_no_length() {
        assert_eq!(length_m(4186.0, 20.0, 0.05), None);
        assert_eq!(resonance_hz(0.0, 20.0, 0.02), None);
        assert_eq!(resonance_hz(f64::NAN, 20.0, 0.02), None);
    }

    proptest! {
        #[test]
        fn length_and_resonance_agree(hz in 60.0..1000.0_f64, celsius in 5.0..35.0_f64, radius in 0.01..0.04_f64) {
            let length = length_at_hz_m(hz, celsius, radius).unwrap();
            prop_assert!((resonance_hz(length, celsius, radius).unwrap() / hz - 1.0).abs() < 1e-9);
        }

        #[test]
        fn warm_air_makes_a_fixed_tube_sharp(at in 0.0..30.0_f64, more in 0.1..15.0_f64) {
            prop_assert!(detuned_cents(at, at + more) > 0.0);
        }
    }
}
