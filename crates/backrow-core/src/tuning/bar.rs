//! Free bars: the ratios of their partials, thin or thick, and what pitch a bar of given size has.

use super::zero;
use std::f64::consts::PI;

/// The n-th root, from 1, of cosh x cos x = 1: a thin bar with both ends free (Euler and Bernoulli; Fletcher & Rossing,
/// The Physics of Musical Instruments, ch. 2). No unit.
pub fn root(n: u8) -> f64 {
    // Divided by cosh x, so that nothing grows; the zero lies close to (n + 1/2) pi.
    let middle = (f64::from(n.max(1)) + 0.5) * PI;
    zero(middle - 0.5, middle + 0.5, |x| x.cos() - 1.0 / x.cosh())
}

/// The n-th partial of a thin uniform bar over its first: 1, 2.757, 5.404, 8.933.
pub fn thin_ratio(n: u8) -> f64 {
    (root(n) / root(1)).powi(2)
}

/// A uniform bar of rectangular section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Thickness over length, above 0 to [`Section::THICKEST`].
    pub thickness: f64,
    /// Poisson's ratio, about 0.33 for metals.
    pub poisson: f64,
}

impl Section {
    /// The thickest bar that the formula is asked about: thicker ones are no bars any more. Ours.
    pub const THICKEST: f64 = 0.4;

    /// Young's modulus over the shear modulus with its factor: 2 (1 + nu) / (5/6).
    fn shear_ratio(self) -> f64 {
        2.0 * (1.0 + self.poisson) / SHEAR
    }

    fn is_sane(self) -> bool {
        self.thickness > 0.0 && self.thickness <= Self::THICKEST && (0.0..=0.5).contains(&self.poisson)
    }
}

/// The shear factor of a rectangular section: 5/6 (S. P. Timoshenko, 1921; memory).
const SHEAR: f64 = 5.0 / 6.0;

/// Timoshenko's condition for a free bar, zero at a partial; `x` is the wavenumber that a thin bar would have there. From
/// the equations w'' - phi' + q w = 0 and their companion, split into motions even and odd about the middle.
fn condition(bar: Section, even: bool, x: f64) -> f64 {
    let slender = 12.0 / (bar.thickness * bar.thickness);
    let bends = x.powi(4);
    let (turns, shears) = (bends / slender, bends * bar.shear_ratio() / slender);
    let spread = ((turns - shears).powi(2) + 4.0 * bends).sqrt();
    // Above the cut-off of shear waves the first of these is not real; the callers stay below.
    let decay_2 = f64::midpoint(-(turns + shears), spread).max(0.0);
    let wave_2 = f64::midpoint(turns + shears, spread);
    let (decay, wave) = (decay_2.sqrt(), wave_2.sqrt());
    let (left, right) = ((decay_2 + shears) / wave, (wave_2 - shears) / decay.max(f64::MIN_POSITIVE));
    let (sin, cos) = (wave / 2.0).sin_cos();
    if even {
        left * sin + right * cos * (decay / 2.0).tanh()
    } else {
        left * cos * (decay / 2.0).tanh() - right * sin
    }
}

/// The wavenumber, as of a thin bar, of the n-th partial of a thick one; `None` where the formula ends.
fn thick_root(bar: Section, n: u8) -> Option<f64> {
    if !bar.is_sane() || n == 0 {
        return None;
    }
    // Shear and rotation only lower a partial: the thin bar's lies above it. Below the cut-off, where r = p q.
    let cut_off = (144.0 / bar.thickness.powi(4) / bar.shear_ratio()).powf(0.25);
    let even = n % 2 == 1;
    let step = 0.01;
    let (mut at, mut found, mut last) = (0.5, 0, condition(bar, even, 0.5));
    let wanted = n.div_ceil(2);
    while at + step < cut_off.min(root(n) + step) {
        let next = condition(bar, even, at + step);
        if (next < 0.0) != (last < 0.0) {
            found += 1;
            if found == wanted {
                return Some(zero(at, at + step, |x| condition(bar, even, x)));
            }
        }
        (at, last) = (at + step, next);
    }
    None
}

/// The n-th partial of a thick uniform bar over its own first (Timoshenko: shear and rotation of the section lower the
/// high partials). `None` where the bar is too thick for that partial to be one of bending.
pub fn thick_ratio(bar: Section, n: u8) -> Option<f64> {
    Some((thick_root(bar, n)? / thick_root(bar, 1)?).powi(2))
}

/// How far shear and rotation lower the n-th partial below that of the thin formula, cents, zero or less.
pub fn thick_cents(bar: Section, n: u8) -> Option<f64> {
    Some(2400.0 * (thick_root(bar, n)? / root(n)).log2())
}

/// A bar's size and stuff.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stuff {
    /// Length, metres.
    pub length_m: f64,
    /// Thickness, metres.
    pub thickness_m: f64,
    /// Young's modulus along the bar, pascals.
    pub young_pa: f64,
    /// Density, kilograms a cubic metre.
    pub density_kg_m3: f64,
}

/// The first partial of a thin uniform bar, hertz: 1.0279 (h / L^2) sqrt(E / rho), Euler and Bernoulli.
pub fn thin_hz(bar: Stuff) -> f64 {
    let factor = root(1).powi(2) / (2.0 * PI * 12.0_f64.sqrt());
    factor * bar.thickness_m / bar.length_m.powi(2) * (bar.young_pa / bar.density_kg_m3).sqrt()
}

/// How much shorter a bar of the same section is that sounds so many semitones higher: 2^(-n / 24), length over length.
pub fn length_for(semitones: f64) -> f64 {
    (-semitones / 24.0).exp2()
}

/// Where a uniform free bar stands still in its first partial, in lengths from each end: 0.2242. It is held there.
pub fn node() -> f64 {
    let x = root(1);
    // The shape of an even motion about the middle: cos(x u) / cos(x / 2) + cosh(x u) / cosh(x / 2), u from -1/2 to 1/2.
    let shape = |u: f64| (x * u).cos() / (x / 2.0).cos() + (x * u).cosh() / (x / 2.0).cosh();
    0.5 - zero(0.0, 0.5, shape)
}

/// What importing off material does to a bar's first partial, by where it is taken: the direction only, the rest is the tuner's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Direction {
    /// Where.
    pub place: &'static str,
    /// What it does.
    pub does: &'static str,
}

/// Directions for a bar with free ends. Common practice of tuners; by the formula too, as the middle bends most and the ends
/// only carry mass.
pub const DIRECTIONS: [Direction; 4] = [
    Direction { place: "both ends", does: "sharpens the first partial (less mass where the bar moves most)" },
    Direction {
        place: "middle, underneath",
        does: "flattens the first partial (less stiffness where the bar bends most)",
    },
    Direction {
        place: "between node and middle, underneath",
        does: "flattens the second partial more than the first",
    },
    Direction { place: "near the cord holes", does: "moves the first partial little and weakens the bar" },
];

/// The direction to go for a bar that lies so many cents over its target, in words.
pub fn to_target(cents_over: f64) -> &'static str {
    if cents_over > 0.0 {
        "sharp: it has to be flattened (middle, underneath); left to the tuner"
    } else if cents_over < 0.0 {
        "flat: it has to be sharpened (ends); left to the tuner"
    } else {
        "on its target"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_very_thin_bar_is_the_thin_formula() {
        let bar = Section { thickness: 1e-3, poisson: 0.33 };
        for n in 1..=4 {
            assert!((thick_ratio(bar, n).unwrap() - thin_ratio(n)).abs() < 1e-3, "{n}");
        }
    }

    #[test]
    fn what_is_no_bar_has_no_partials() {
        for thickness in [0.0, -1.0, f64::NAN, 2.0] {
            assert_eq!(thick_ratio(Section { thickness, poisson: 0.3 }, 2), None);
        }
        assert_eq!(thick_ratio(Section { thickness: 0.1, poisson: 0.3 }, 0), None);
    }

    proptest! {
        #[test]
        fn thickness_lowers_every_partial(thin in 0.005..0.1_f64, more in 1.05..2.0_f64, n in 2..4_u8) {
            let (thin, thick) = (
                Section { thickness: thin, poisson: 0.33 },
                Section { thickness: thin * more, poisson: 0.33 },
            );
            prop_assert!(thick_ratio(thick, n).unwrap() < thick_ratio(thin, n).unwrap());
            prop_assert!(thick_cents(thick, 1).unwrap() <= 1e-9);
        }
    }
}
