//! The hall's air: how fast sound travels in it, and how far it moves the winds.

/// Absolute zero, degrees Celsius (by definition of the kelvin).
const ZERO_C: f64 = -273.15;

/// The temperature to which winds are built and pitch is stated, degrees Celsius (ISO 16:1975, memory).
pub const USUAL_C: f64 = 20.0;

/// A temperature that a hall, a store or a truck can have, degrees Celsius: -30 to 60. Beyond it somebody has slipped a
/// sign or a point; the limits are ours.
pub fn is_plausible(celsius: f64) -> bool {
    (-30.0..=60.0).contains(&celsius)
}

/// Speed of sound in air, metres a second: 343.2 sqrt(T / 293.15), T in kelvins (ISO 9613-1:1993, annex; memory).
pub fn speed_of_sound_m_s(celsius: f64) -> f64 {
    343.2 * ((celsius - ZERO_C) / 293.15).max(0.0).sqrt()
}

/// How far a wind instrument rises when its air goes from one temperature to another, cents: 600 log2 of the ratio of
/// the absolute temperatures, about 3 a kelvin. What the players do about it with lips and slides is not in it.
pub fn winds_cents(from_c: f64, to_c: f64) -> f64 {
    600.0 * ((to_c - ZERO_C) / (from_c - ZERO_C)).log2()
}

/// Air that is damp and under a pressure, for the check by a finer formula.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Damp {
    /// Degrees Celsius.
    pub celsius: f64,
    /// Relative humidity, 0 to 100 per cent.
    pub humidity: f64,
    /// Pressure, pascals; 101 325 is the standard atmosphere.
    pub pascals: f64,
}

/// The coefficients a0 to a15 of O. Cramer, J. Acoust. Soc. Am. 93(5), 2510-2516 (1993), as other programs have them (seen).
const CRAMER: [f64; 16] = [
    331.502_4,
    0.603_055,
    -0.000_528,
    51.471_935,
    0.149_587_4,
    -0.000_782,
    -1.82e-7,
    3.73e-8,
    -2.93e-10,
    -85.209_31,
    -0.228_525,
    5.91e-5,
    -2.835_149,
    -2.15e-13,
    29.179_762,
    0.000_486,
];

/// The mole fraction of carbon dioxide that Cramer's paper takes for clean air.
const CARBON_DIOXIDE: f64 = 314e-6;

/// Speed of sound in damp air, metres a second, by Cramer's formula: 0 to 30 degrees, 75 to 102 kilopascals; better than
/// 300 parts in a million there by its author (seen). `None` outside.
pub fn speed_in_damp_air_m_s(air: Damp) -> Option<f64> {
    let Damp { celsius: t, humidity, pascals: p } = air;
    let holds = (0.0..=30.0).contains(&t) && (0.0..=100.0).contains(&humidity) && (75e3..=102e3).contains(&p);
    if !holds {
        return None;
    }
    let [a0, a1, a2, a3, a4, a5, a6, a7, a8, a9, a10, a11, a12, a13, a14, a15] = CRAMER;
    let kelvins = t - ZERO_C;
    // Enhancement factor and saturation pressure as in the same paper.
    let enhanced = 1.000_62 + 3.14e-8 * p + 5.6e-7 * t * t;
    let saturated = (1.281_180_5e-5 * kelvins * kelvins - 1.950_987_4e-2 * kelvins + 34.049_260_34
        - 6.353_631_1e3 / kelvins)
        .exp();
    let (w, c) = (humidity / 100.0 * enhanced * saturated / p, CARBON_DIOXIDE);
    let dry = a0 + a1 * t + a2 * t * t;
    let water = (a3 + a4 * t + a5 * t * t) * w;
    let pressure = (a6 + a7 * t + a8 * t * t) * p;
    let dioxide = (a9 + a10 * t + a11 * t * t) * c;
    Some(dry + water + pressure + dioxide + a12 * w * w + a13 * p * p + a14 * c * c + a15 * w * p * c)
}

/// What somebody says of the air in which a material is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Relative humidity, per cent, from the least to the most.
    pub humidity: (f64, f64),
    /// Degrees Celsius, from the least to the most, where the source says so.
    pub celsius: Option<(f64, f64)>,
    /// Who says so.
    pub source: &'static str,
}

/// Old wooden bars, and skins: 40 to 60 per cent.
pub const COMMON_PRACTICE: Limits =
    Limits { humidity: (40.0, 60.0), celsius: None, source: "common practice, without a source" };

/// Bars of rosewood by a maker's care leaflet (seen): 18 to 22 degrees, 30 to 40 per cent; drier than common practice has it.
pub const LEAFLET: Limits = Limits {
    humidity: (30.0, 40.0),
    celsius: Some((18.0, 22.0)),
    source: "a maker’s care leaflet on rosewood bars",
};

/// On which side of a limit air lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outside {
    /// Drier, or colder.
    Under,
    /// Damper, or warmer.
    Over,
}

impl Outside {
    /// The side on which a span of air, from its least to its most, leaves what is wanted; `None` within. Where it leaves it on both
    /// sides, the lower one: dry air cracks bars.
    pub fn of((least, most): (f64, f64), wanted: (f64, f64)) -> Option<Self> {
        match (least < wanted.0, most > wanted.1) {
            (true, _) => Some(Self::Under),
            (false, true) => Some(Self::Over),
            (false, false) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn cramer_is_only_asked_where_it_holds() {
        let air = Damp { celsius: 20.0, humidity: 50.0, pascals: 101_325.0 };
        assert!(speed_in_damp_air_m_s(air).is_some());
        assert_eq!(speed_in_damp_air_m_s(Damp { celsius: 31.0, ..air }), None);
        assert_eq!(speed_in_damp_air_m_s(Damp { humidity: f64::NAN, ..air }), None);
    }

    #[test]
    fn limits_of_a_store() {
        let wanted = COMMON_PRACTICE.humidity;
        let of = |least, most| Outside::of((least, most), wanted);
        assert_eq!(of(39.9, 45.0), Some(Outside::Under));
        assert_eq!(of(40.0, 60.0), None);
        assert_eq!(of(45.0, 60.1), Some(Outside::Over));
        assert_eq!(of(39.0, 61.0), Some(Outside::Under));
    }

    proptest! {
        #[test]
        fn winds_rise_with_the_speed_of_sound(from in -20.0..50.0_f64, to in -20.0..50.0_f64) {
            let ratio = speed_of_sound_m_s(to) / speed_of_sound_m_s(from);
            prop_assert!((winds_cents(from, to) - 1200.0 * ratio.log2()).abs() < 1e-9);
            prop_assert!((winds_cents(from, to) + winds_cents(to, from)).abs() < 1e-9);
        }
    }
}
