//! How makers usually tune the second and third partial of a bar, by the kind of instrument.

/// A usual tuning of a bar's partials, over its first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Usual {
    /// The second partial.
    pub second: f64,
    /// The third partial, from the least to the most that is found.
    pub third: (f64, f64),
    /// Whether a tuner sets the partials; else they are what a uniform bar gives.
    pub tuned: bool,
    /// Where the figures come from.
    pub source: &'static str,
}

const MARIMBA: Usual = Usual {
    second: 4.0,
    third: (9.2, 10.0),
    tuned: true,
    source: "1 : 4 : 9.2 to 10, HyperPhysics and Rossing as quoted there (seen)",
};

const VIBRAPHONE: Usual = Usual {
    second: 4.0,
    third: (9.2, 10.0),
    tuned: true,
    source: "1 : 4 : about 10, Fletcher & Rossing (memory)",
};

const XYLOPHONE: Usual = Usual {
    second: 3.0,
    third: (6.0, 6.0),
    tuned: true,
    source: "1 : 3, HyperPhysics (seen); third 6, Fletcher & Rossing (memory)",
};

const GLOCKENSPIEL: Usual = Usual {
    second: 2.71,
    third: (5.15, 5.404),
    tuned: false,
    source: "uniform bars 1 : 2.757 : 5.404 (Euler-Bernoulli); measured about 2.71 : 5.15, Rossing (memory)",
};

/// The usual tuning of a kind by its id in the kinds table; `None` for kinds without bars or without an agreed tuning.
pub fn of_kind(kind: &str) -> Option<Usual> {
    Some(match kind {
        "marimba" | "bass_marimba" => MARIMBA,
        "vibraphone" => VIBRAPHONE,
        "xylophone" | "xylorimba" => XYLOPHONE,
        "glockenspiel" | "keyboard_glockenspiel" | "celesta" => GLOCKENSPIEL,
        _ => return None,
    })
}

/// How far a measured second partial lies from the usual one, cents.
pub fn second_cents(usual: Usual, first_hz: f64, second_hz: f64) -> Option<f64> {
    super::cents(second_hz, first_hz * usual.second)
}

/// How far a measured third partial lies outside the usual range, cents; 0 within it.
pub fn third_cents(usual: Usual, first_hz: f64, third_hz: f64) -> Option<f64> {
    let (least, most) = usual.third;
    let (under, over) = (super::cents(third_hz, first_hz * least)?, super::cents(third_hz, first_hz * most)?);
    Some(if under < 0.0 { under } else { over.max(0.0) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_octave_and_a_double_one() {
        assert!(second_cents(MARIMBA, 220.0, 880.0).unwrap().abs() < 1e-9);
        assert!(third_cents(MARIMBA, 100.0, 960.0).unwrap().abs() < 1e-9);
        assert!(third_cents(MARIMBA, 100.0, 900.0).unwrap() < 0.0);
        assert!(third_cents(MARIMBA, 100.0, 1100.0).unwrap() > 0.0);
        assert_eq!(of_kind("snare_drum"), None);
    }
}
