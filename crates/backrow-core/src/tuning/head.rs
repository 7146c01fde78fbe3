//! Heads of timpani: which partials a clear tone has, and which lug is off.

use super::{cents, median};

/// Partials of an air-loaded head that a player tunes by, over the first: near 1, 1.5, 2, 2.5 (modes 11, 21, 31, 41).
pub const CLEAR: [f64; 4] = [1.0, 1.5, 2.0, 2.5];

/// What was measured of good drums: 1, 1.50, 1.97 and 2.44 (T. D. Rossing, as handbooks quote; memory).
pub const MEASURED: [f64; 4] = [1.0, 1.50, 1.97, 2.44];

/// The same modes of an ideal membrane in a vacuum: ratios of the first zeros of the Bessel functions J1 to J4. The air brings
/// them to [`MEASURED`].
pub const MEMBRANE: [f64; 4] = [1.0, 1.340_3, 1.665_1, 1.980_4];

/// How far a partial may lie from its clear place before it is told, cents. Ours: between clear places and measured good drums
/// lie up to 42 cents, in the fourth.
pub const CLEAR_WITHIN_CENTS: f64 = 50.0;

/// A partial of a drum against its clear place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Its clear place over the first partial: 1, 1.5, 2, 2.5.
    pub ratio: f64,
    /// Found, hertz.
    pub hz: f64,
    /// How far above its clear place, cents.
    pub off_cents: f64,
}

/// The partials of a drum named by their clear places: each found one belongs to the place that it lies nearest to, within two
/// semitones and a half; of several the nearest counts. The first is what the drum is tuned to, and is taken as right.
pub fn places(first_hz: f64, found_hz: &[f64]) -> Vec<Place> {
    let at = |hz: f64, ratio: f64| Some(Place { ratio, hz, off_cents: cents(hz, first_hz * ratio)? });
    let nearer = |a: &Place, b: &Place| a.off_cents.abs().total_cmp(&b.off_cents.abs());
    let belongs = |hz: f64| CLEAR.into_iter().filter_map(|ratio| at(hz, ratio)).min_by(nearer);
    let found: Vec<Place> = found_hz
        .iter()
        .filter_map(|hz| belongs(*hz))
        .filter(|place| place.off_cents.abs() <= 250.0)
        .collect();
    let of = |ratio: f64| {
        found.iter().copied().filter(|place| place.ratio.total_cmp(&ratio).is_eq()).min_by(nearer)
    };
    CLEAR.into_iter().filter_map(of).collect()
}

/// Whether all the named partials lie within [`CLEAR_WITHIN_CENTS`] of their clear places; `None` where fewer than two were
/// found, which says nothing.
pub fn is_clear(places: &[Place]) -> Option<bool> {
    (places.len() > 1).then(|| places.iter().all(|place| place.off_cents.abs() <= CLEAR_WITHIN_CENTS))
}

/// Strikes round the head, one near each lug, hertz: how far each lies from the median of all, cents, in the same order. A lug
/// above zero is tight, below zero slack. Empty of fewer than three strikes, which cannot say who is off.
pub fn lugs(first_hz: &[f64]) -> Vec<f64> {
    let Some(middle) = median(first_hz.to_vec()) else { return Vec::new() };
    let off: Option<Vec<f64>> = first_hz.iter().map(|hz| cents(*hz, middle)).collect();
    off.filter(|_| first_hz.len() > 2).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_good_drum_is_clear_and_a_bare_membrane_is_not() {
        let drum = |ratios: [f64; 4]| places(110.0, &ratios.map(|ratio| 110.0 * ratio));
        assert_eq!(is_clear(&drum(MEASURED)), Some(true));
        assert_eq!(is_clear(&drum(MEMBRANE)), Some(false));
        assert_eq!(is_clear(&places(110.0, &[])), None);
    }

    #[test]
    fn the_lug_that_is_off_is_told() {
        let off = lugs(&[110.0, 110.1, 112.0, 109.9, 110.0]);
        let worst = off.iter().enumerate().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())).unwrap();
        assert_eq!(worst.0, 2);
        assert!(*worst.1 > 20.0);
        assert!(lugs(&[110.0, 111.0]).is_empty() && lugs(&[110.0, f64::NAN, 111.0]).is_empty());
    }
}
