//! How far a struck thing moves with the temperature of the hall.

/// How the pitch of a thing moves with its temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drift {
    /// Parts in a million for each kelvin, below zero where it falls; `None` where nobody has a figure.
    pub ppm_k: Option<f64>,
    /// The least and the most that is said of such a material, parts in a million for each kelvin.
    pub between: Option<(f64, f64)>,
    /// Where the figure comes from.
    pub source: &'static str,
}

/// Steel: a steel tuning fork falls 86 parts in a million for each kelvin, nearly all by its modulus.
pub const STEEL: Drift = Drift {
    ppm_k: Some(-86.0),
    between: Some((-110.0, -80.0)),
    source: "steel tuning fork, an open encyclopaedia (seen); cause: Bates, Beach & Arnott, J. Undergrad. Res. Phys. 18(1), 1999 (seen); spread: memory",
};

/// Aluminium bars.
pub const ALUMINIUM: Drift = Drift {
    ppm_k: Some(-230.0),
    between: Some((-500.0, -200.0)),
    source: "half the fall of Young’s modulus (about 480 ppm/K) and half the expansion (23 ppm/K), handbook values (memory); a page of questions on physics implies −500 (seen)",
};

/// Bronze and brass.
pub const BRONZE: Drift = Drift {
    ppm_k: Some(-200.0),
    between: Some((-300.0, -100.0)),
    source: "order of magnitude of handbook values, depends on the alloy (memory)",
};

/// Wood: it falls with heat and with damp, and no agreed figure was found.
pub const WOOD: Drift = Drift {
    ppm_k: None,
    between: None,
    source: "no agreed figure found; wooden bars fall with heat and with damp (a maker’s care leaflet, seen)",
};

/// Everything else.
pub const UNKNOWN: Drift = Drift { ppm_k: None, between: None, source: "no figure found" };

/// How far a thing moves from one temperature to another, cents: 1200 log2(1 + c (to - from)), c in parts in a million.
pub fn cents(ppm_k: f64, from_c: f64, to_c: f64) -> f64 {
    1200.0 * (1.0 + ppm_k * 1e-6 * (to_c - from_c)).max(f64::MIN_POSITIVE).log2()
}

/// The drift of a uniform bar from its material, parts in a million for each kelvin: half that of Young's modulus and half
/// the linear expansion. From f ~ (h / L^2) sqrt(E / rho): length and thickness grow with alpha, density falls with 3 alpha.
pub fn of_bar(modulus_ppm_k: f64, expansion_ppm_k: f64) -> f64 {
    f64::midpoint(modulus_ppm_k, expansion_ppm_k)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn handbook_aluminium_gives_the_figure_of_the_table() {
        assert!((of_bar(-480.0, 23.0) - ALUMINIUM.ppm_k.unwrap()).abs() < 2.0);
    }

    proptest! {
        #[test]
        fn there_and_nowhere(ppm in -2000.0..2000.0_f64, at in -20.0..50.0_f64) {
            prop_assert!(cents(ppm, at, at).abs() < 1e-12);
            prop_assert!(cents(ppm, at, at + 10.0).signum() * ppm.signum() >= 0.0);
        }
    }
}
