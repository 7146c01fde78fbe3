//! What every figure of this room stands on, for whoever asks: formula, unit, source.

/// One formula or rule, to be shown beside a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Formula {
    /// What it gives.
    pub gives: &'static str,
    /// The formula or the rule, in signs that any face has.
    pub text: &'static str,
    /// The unit of what it gives.
    pub unit: &'static str,
    /// Where it comes from; "memory" where it was not read there.
    pub source: &'static str,
}

const fn formula(
    gives: &'static str,
    text: &'static str,
    unit: &'static str,
    source: &'static str,
) -> Formula {
    Formula { gives, text, unit, source }
}

/// Cents between two frequencies.
pub const CENTS: Formula = formula(
    "Cents between two frequencies",
    "1200 log2(f1 / f2)",
    "cents",
    "definition of the cent (A. J. Ellis, 1885)",
);
/// Winds with temperature.
pub const WINDS: Formula = formula(
    "Winds with the temperature",
    "600 log2(T2 / T1), T in kelvins; speed of sound 343.2 sqrt(T / 293.15)",
    "cents; m/s",
    "ISO 9613-1:1993, annex (memory)",
);
/// Bars with temperature.
pub const BARS: Formula = formula(
    "Bars with the temperature",
    "1200 log2(1 + c (t2 − t1)), c by material; c = half the change of Young’s modulus and half the expansion",
    "cents",
    "Euler-Bernoulli bar, worked out; coefficients by material with their sources in the table",
);
/// Beats.
pub const BEATS: Formula = formula(
    "Beats",
    "|f1 − f2|; an octave apart |2 f1 − f2|",
    "beats a second",
    "sum of two sines, worked out",
);
/// Partials of a bar.
pub const PARTIALS: Formula = formula(
    "Partials of a uniform bar",
    "squares of the roots of cosh x cos x = 1: 1 : 2.757 : 5.404 : 8.933; thick bars by Timoshenko, shear factor 5/6",
    "ratio to the first partial",
    "Euler-Bernoulli, Timoshenko 1921; Fletcher & Rossing, The Physics of Musical Instruments, ch. 2 (memory)",
);
/// A resonator's length.
pub const RESONATOR: Formula = formula(
    "Length of a resonator",
    "c / 4f − end correction; correction 0.6133 a, less as the note rises",
    "mm",
    "Levine & Schwinger 1948; Dalmont & Nederveen 2001 (both seen as other programs have them)",
);
/// A resonator off its note.
pub const COST: Formula = formula(
    "What a resonator off its note costs",
    "−10 log10(1 + Q² (r − 1/r)²), r = 2^(cents / 1200); 1/Q = (ka)²/π + 2α/k",
    "dB, an estimate: clean tube, bar’s own loss left out",
    "simple oscillator, worked out; losses Fletcher & Rossing ch. 8 (memory)",
);
/// A bell's strike note.
pub const STRIKE: Formula = formula(
    "Strike note of a cast bell",
    "nominal / 2; of a tubular bell: fourth mode / 2",
    "Hz",
    "a bell firm’s page; an open encyclopaedia on tubular bells, after Rossing (both seen)",
);
/// A bell's partials.
pub const PATTERN: Formula = formula(
    "Just pattern of a bell",
    "hum 1/2, prime 1, tierce 6/5, quint 3/2, nominal 2, superquint 3, octave nominal 4",
    "ratio to the strike note",
    "a bell firm’s page; an open encyclopaedia on the strike tone (both seen)",
);
/// A bell's mass and size.
pub const MASS: Formula = formula(
    "Mass and lip of a cast bell from its note",
    "published bells within an octave, mass scaled by f⁻³, lip by f⁻¹; the middle one, the least and the most",
    "kg, m; an estimate: weigh before lifting",
    "a bell firm’s table, a bell historians’ list, a bell acoustics site (seen); scaling Rossing & Perrin 1987",
);
/// A clear head.
pub const HEAD: Formula = formula(
    "Clear tone of a kettledrum",
    "partials near 1, 1.5, 2, 2.5; measured 1, 1.50, 1.97, 2.44",
    "ratio to the first partial",
    "common practice; measured by Rossing (memory)",
);

/// All, in the order of the trade's questions.
pub const ALL: [Formula; 11] =
    [CENTS, BEATS, WINDS, BARS, PARTIALS, RESONATOR, COST, STRIKE, PATTERN, MASS, HEAD];

#[cfg(test)]
mod tests {
    use super::ALL;

    #[test]
    fn each_says_what_it_gives_in_what_and_whence() {
        for formula in ALL {
            for text in [formula.gives, formula.text, formula.unit, formula.source] {
                assert!(!text.trim().is_empty(), "{formula:?}");
            }
        }
    }
}
