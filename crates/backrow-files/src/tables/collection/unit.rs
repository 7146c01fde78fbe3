//! Units of figures: in headings, in cells, and guessed where nobody states them.

use std::ops::RangeInclusive;

/// What a figure measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words say it")]
pub enum Measure {
    Length,
    Mass,
}

/// A unit of length or mass.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the units' own names")]
pub enum Unit {
    Metre,
    Centimetre,
    Millimetre,
    Inch,
    Foot,
    Kilogram,
    Gram,
    Pound,
}

impl Unit {
    /// All.
    pub const ALL: [Self; 8] = [
        Self::Metre,
        Self::Centimetre,
        Self::Millimetre,
        Self::Inch,
        Self::Foot,
        Self::Kilogram,
        Self::Gram,
        Self::Pound,
    ];

    /// Its sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Metre => "m",
            Self::Centimetre => "cm",
            Self::Millimetre => "mm",
            Self::Inch => "in",
            Self::Foot => "ft",
            Self::Kilogram => "kg",
            Self::Gram => "g",
            Self::Pound => "lb",
        }
    }

    /// What it measures.
    pub const fn measures(self) -> Measure {
        match self {
            Self::Kilogram | Self::Gram | Self::Pound => Measure::Mass,
            _ => Measure::Length,
        }
    }

    /// How many metres or kilograms one is. The inch and the pound are exact by the international agreement of 1959 (NIST
    /// Special Publication 811, appendix B; from memory).
    pub const fn in_si(self) -> f64 {
        match self {
            Self::Metre | Self::Kilogram => 1.0,
            Self::Centimetre => 0.01,
            Self::Millimetre | Self::Gram => 0.001,
            Self::Inch => 0.0254,
            Self::Foot => 0.3048,
            Self::Pound => 0.453_592_37,
        }
    }

    /// The unit that a word is: "cm", "inches", "Zoll", "kg".
    pub(super) fn of_word(word: &str) -> Option<Self> {
        let word = word.trim().trim_end_matches('.').to_lowercase();
        Some(match word.as_str() {
            "m" | "metre" | "metres" | "meter" | "meters" | "metri" | "metro" => Self::Metre,
            "cm" | "centimetres" | "centimeter" | "zentimeter" => Self::Centimetre,
            "mm" | "millimetres" | "millimeter" => Self::Millimetre,
            "in" | "inch" | "inches" | "\"" | "″" | "''" | "zoll" | "pouces" | "pouce" | "pollici" => {
                Self::Inch
            }
            "ft" | "feet" | "foot" | "'" | "′" => Self::Foot,
            "kg" | "kgs" | "kilo" | "kilos" | "kilogram" | "kilograms" => Self::Kilogram,
            "g" | "gram" | "grams" | "gramm" => Self::Gram,
            "lb" | "lbs" | "pound" | "pounds" | "pfund" => Self::Pound,
            _ => return None,
        })
    }

    /// The unit in which most of the figures of a column that states none are within a range, SI; the plain SI unit before
    /// the others.
    pub(super) fn guess(measure: Measure, figures: &[f64], range: &RangeInclusive<f64>) -> Self {
        let tried: &[Self] = match measure {
            Measure::Length => &[Self::Metre, Self::Centimetre, Self::Millimetre],
            Measure::Mass => return Self::Kilogram,
        };
        let within = |unit: Self| figures.iter().filter(|f| range.contains(&(**f * unit.in_si()))).count();
        let mut best = Self::Metre;
        for unit in tried {
            if within(*unit) > within(best) {
                best = *unit;
            }
        }
        best
    }
}

/// A figure above zero as people write it, with the unit that stands behind it: "38,5", "ca. 38 kg", "1.250,5", "59\"".
pub(super) fn figure(text: &str) -> Option<(f64, Option<Unit>)> {
    let mut text = text.trim();
    for word in ["approx.", "approx", "about", "circa", "ca.", "ca", "env.", "environ", "c.", "~", "≈"] {
        if let Some(rest) = text.to_lowercase().strip_prefix(word) {
            text = text.get(text.len() - rest.len()..)?.trim_start();
            break;
        }
    }
    let end =
        text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '’'))).unwrap_or(text.len());
    let (number, unit) = (text.get(..end)?, text.get(end..)?.trim());
    let unit = if unit.is_empty() { None } else { Some(Unit::of_word(unit)?) };
    let value: f64 = plain_number(number)?.parse().ok()?;
    (value.is_finite() && value > 0.0).then_some((value, unit))
}

/// A number with a decimal point. Of a point and a comma the last one is decimal.
fn plain_number(text: &str) -> Option<String> {
    let text = text.replace('’', "");
    let (point, comma) = (text.rfind('.'), text.rfind(','));
    let thousands = match (point, comma) {
        (Some(point), Some(comma)) if point < comma => '.',
        (Some(_), Some(_)) => ',',
        _ => '’',
    };
    let plain = text.replace(thousands, "").replace(',', ".");
    (plain.matches('.').count() <= 1 && plain.starts_with(|c: char| c.is_ascii_digit())).then_some(plain)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("38.5", Some((38.5, None)))]
    #[case("38,5", Some((38.5, None)))]
    #[case("1.250,5", Some((1250.5, None)))]
    #[case("1,250.5", Some((1250.5, None)))]
    #[case("ca. 38 kg", Some((38.0, Some(Unit::Kilogram))))]
    #[case("~85lb", Some((85.0, Some(Unit::Pound))))]
    #[case("59\"", Some((59.0, Some(Unit::Inch))))]
    #[case("150 cm", Some((150.0, Some(Unit::Centimetre))))]
    #[case("heavy", None)]
    #[case("-3", None)]
    #[case("0", None)]
    #[case("28 hp", None)]
    #[case("1.2.3", None)]
    #[case("", None)]
    #[case(".", None)]
    fn figures_with_their_units(#[case] text: &str, #[case] expected: Option<(f64, Option<Unit>)>) {
        assert_eq!(figure(text), expected);
    }

    #[test]
    fn a_column_without_a_unit_is_in_the_one_that_makes_sense() {
        let side = 0.05..=8.0;
        assert_eq!(Unit::guess(Measure::Length, &[1.45, 2.7, 9.0], &side), Unit::Metre);
        assert_eq!(Unit::guess(Measure::Length, &[145.0, 270.0, 40.0], &side), Unit::Centimetre);
        assert_eq!(Unit::guess(Measure::Length, &[1450.0, 2700.0], &side), Unit::Millimetre);
    }
}
