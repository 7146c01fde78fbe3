//! What a cast bell of a given note weighs and measures: an estimate between published bells, with its spread. Never a
//! figure to hang or lift by: weigh the bell, and ask qualified people.

/// A published bell: strike note in hertz, mass in kilograms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Published {
    /// The strike note, hertz.
    pub strike_hz: f64,
    /// Mass, kilograms.
    pub kg: f64,
    /// Diameter of the lip, metres; `None` where the source has none, or a misprint.
    pub lip_m: Option<f64>,
    /// Where it stands.
    pub source: &'static str,
}

const TABLE: &str = "a bell firm’s table of carillon bells, rough (seen); its diameters for three notes are misprinted and left out";
const QUARTERS: &str =
    "four quarter bells of a clock tower with measured nominals, a bell historians’ list, 2002 (seen)";
const SITE: &str =
    "weights of tenor bells on a bell acoustics site (seen); the notes as equal-tempered at A4 = 440";

const fn published(strike_hz: f64, kg: f64, lip_m: Option<f64>, source: &'static str) -> Published {
    Published { strike_hz, kg, lip_m, source }
}

/// Published bells that estimates are made between, from low to high within each source. Pounds at 0.45359 kg, inches at 25.4 mm.
pub const PUBLISHED: [Published; 13] = [
    published(195.998, 5443.0, Some(2.108), TABLE),
    published(233.082, 3175.0, Some(1.803), TABLE),
    published(261.626, 1950.0, Some(1.524), TABLE),
    published(391.995, 590.0, None, TABLE),
    published(523.251, 263.0, None, TABLE),
    published(783.991, 82.0, None, TABLE),
    published(1244.508, 36.0, Some(0.330), TABLE),
    published(252.7, 3960.8, None, QUARTERS),
    published(339.5, 1711.9, None, QUARTERS),
    published(388.55, 1320.9, None, QUARTERS),
    published(434.75, 1066.8, None, QUARTERS),
    published(261.626, 2864.0, None, SITE),
    published(277.183, 966.0, None, SITE),
];

/// A figure estimated, with the least and the most that published bells of like note give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The middle one: the median.
    pub about: f64,
    /// The least.
    pub least: f64,
    /// The most.
    pub most: f64,
    /// How many published bells it stands on.
    pub from: usize,
}

/// How far away, in note, a published bell still counts: an octave on either side.
const NEAR_OCTAVES: f64 = 1.0;

/// The middle and both ends of several figures, as of published bells that were scaled to one note.
pub fn spread(mut scaled: Vec<f64>) -> Option<Estimate> {
    scaled.sort_by(f64::total_cmp);
    let (least, most, from) = (*scaled.first()?, *scaled.last()?, scaled.len());
    Some(Estimate { about: super::median(scaled)?, least, most, from })
}

/// The mass of a bell of the same profile at another note, kilograms: by the inverse cube of the pitch, so half of it four semitones
/// higher (a bell firm's page, seen; Rossing & Perrin 1987).
pub fn scaled_kg(kg: f64, from_hz: f64, to_hz: f64) -> f64 {
    kg * (from_hz / to_hz).powi(3)
}

/// The mass of a cast bell of a strike note, kilograms: every published bell within an octave, scaled by the inverse cube of
/// the pitch (similar profiles; Rossing & Perrin 1987 find small bells heavier). `None` where none is near.
///
/// Bells of one note differ by a factor of three: heavy and light profiles. The spread is part of the answer.
pub fn mass_kg(strike_hz: f64) -> Option<Estimate> {
    mass_among(strike_hz, PUBLISHED.iter())
}

/// As [`mass_kg`], by some published bells alone.
pub fn mass_among<'a>(strike_hz: f64, bells: impl Iterator<Item = &'a Published>) -> Option<Estimate> {
    let near = bells.filter(|bell| (bell.strike_hz / strike_hz).log2().abs() <= NEAR_OCTAVES);
    spread(near.map(|bell| scaled_kg(bell.kg, bell.strike_hz, strike_hz)).collect())
}

/// The diameter of the lip of a cast bell of a strike note, metres: published bells scaled by the inverse of the pitch. Those
/// within two octaves, as few diameters are published.
pub fn lip_m(strike_hz: f64) -> Option<Estimate> {
    let near = |bell: &&Published| (bell.strike_hz / strike_hz).log2().abs() <= 2.0 * NEAR_OCTAVES;
    let scaled = |bell: &Published| Some(bell.lip_m? * bell.strike_hz / strike_hz);
    spread(PUBLISHED.iter().filter(near).filter_map(scaled).collect())
}

/// The mass of a bell from its nominal (hertz) and the diameter of its lip (metres), kilograms, from light to heavy profile:
/// pounds = C f D^4 / 4 359 085, D in inches, C from 2.7 for old to 3 for modern bells (a bell historians' list, 2002, seen).
pub fn mass_from_lip_kg(nominal_hz: f64, lip_m: f64) -> (f64, f64) {
    let pounds = |c: f64| c * nominal_hz * (lip_m / 0.0254).powi(4) / 4_359_085.0;
    (pounds(2.7) * 0.453_592_37, pounds(3.0) * 0.453_592_37)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_published_bell_lies_in_its_own_estimate() {
        for bell in PUBLISHED {
            let estimate = mass_kg(bell.strike_hz).unwrap();
            assert!(
                estimate.least <= bell.kg + 1e-9 && bell.kg <= estimate.most + 1e-9,
                "{bell:?}: {estimate:?}"
            );
        }
    }

    #[test]
    fn far_from_every_published_bell_nothing_is_said() {
        assert_eq!(mass_kg(20.0), None);
        assert_eq!(mass_kg(f64::NAN), None);
        assert_eq!(lip_m(1e5), None);
    }

    #[test]
    fn lip_and_nominal_agree_with_the_table() {
        // The table's own bell at C, 1950 kg, 60 inches: the list's rule gives it between its two profiles, within a tenth.
        let (light, heavy) = mass_from_lip_kg(523.251, 1.524);
        assert!(light < heavy && light * 0.9 < 1950.0 && 1950.0 < heavy * 1.1, "{light} {heavy}");
    }

    proptest! {
        #[test]
        fn the_spread_holds_the_estimate(hz in 100.0..2000.0_f64) {
            let mass = mass_kg(hz).unwrap();
            prop_assert!(mass.least <= mass.about && mass.about <= mass.most && mass.from > 0);
        }
    }
}
