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

impl Formula {
    /// In a sentence or three.
    pub fn words(&self) -> String {
        let Self { gives, text, unit, source } = self;
        format!("{gives}: {text}. Unit: {unit}. Source: {source}.")
    }
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
    "600 log2(T2 / T1), T in kelvins, or the orchestra’s own cents a kelvin from 20 °C; speed of sound 343.2 sqrt(T / 293.15)",
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
/// A tube's modes.
pub const TUBE: Formula = formula(
    "Modes 4, 5 and 6 of an ideal tube",
    "9² : 11² : 13², near 2 : 3 : 4 over a note that is not there",
    "ratio to each other",
    "an open encyclopaedia on tubular bells, after Rossing (seen)",
);
/// A bell's warble.
pub const WARBLE: Formula = formula(
    "Warble",
    "|f2 − f1| of two partials within a third of a semitone: a mode that a bell has twice, as it is not quite round",
    "beats a second",
    "sum of two sines, worked out; the limit is ours",
);
/// A bell's mass by its lip.
pub const LIP: Formula = formula(
    "Mass of a cast bell from its lip and its note",
    "C f D⁴ / 4 359 085 pounds, f the nominal, D in inches, C from 2.7 (old) to 3 (modern)",
    "kg; an estimate: weigh before lifting",
    "a bell historians’ list, 2002 (seen)",
);
/// A bell's mass and size.
pub const MASS: Formula = formula(
    "Mass and lip of a cast bell from its note",
    "published bells within an octave, mass scaled by f⁻³, lip by f⁻¹; the middle one, the least and the most",
    "kg, m; an estimate: weigh before lifting",
    "a bell firm’s table, a bell historians’ list, a bell acoustics site (seen); scaling Rossing & Perrin 1987",
);
/// Lugs.
pub const LUGS: Formula = formula(
    "Lugs out of clear",
    "1200 log2(f / median) of the first partial near each lug; told from 10 cents on",
    "cents",
    "definition of the cent; median and limit are ours",
);
/// What has moved.
pub const MOVED: Formula = formula(
    "What has moved since the last survey",
    "together: the median of all bars’ moves, from 2 cents on; alone: a move beyond it by 5 cents and by 4 median distances",
    "cents",
    "a usual rule against outliers; the limits are ours",
);
/// The air of stores.
pub const AIR: Formula = formula(
    "Air of the stores",
    "the least and the most of each day against the limits of what is kept there",
    "per cent of relative humidity; °C",
    "limits by material with their sources, beside each caution",
);
/// Value.
pub const VALUE: Formula = formula(
    "Sums of value",
    "the sum of the values that are stated; what has none is counted, not guessed",
    "the orchestra’s currency",
    "the collection’s own figures",
);
/// A clear head.
pub const HEAD: Formula = formula(
    "Clear tone of a kettledrum",
    "partials near 1, 1.5, 2, 2.5; measured 1, 1.50, 1.97, 2.44",
    "ratio to the first partial",
    "common practice; measured by Rossing (memory)",
);

/// All, in the order of the trade's questions.
pub const ALL: [Formula; 18] = [
    CENTS, BEATS, WINDS, BARS, MOVED, PARTIALS, RESONATOR, COST, STRIKE, PATTERN, TUBE, WARBLE, MASS, LIP,
    HEAD, LUGS, AIR, VALUE,
];

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
