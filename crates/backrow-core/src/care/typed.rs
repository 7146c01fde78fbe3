//! A survey as it is typed or pasted from a table: a bar a line.
//!
//! ```text
//! C5   523.4
//! D5   +3.5          cents above the A's equal temperament
//! E5   659.1 2641    with the second partial; x4.01 says it as a ratio
//! F5   698.9 - 4160     with the third partial alone
//! F5   698.9 ; cord loose
//! C7 second  2105.2  the second bar of a doubled pitch
//! ```
//! Fields stand apart by blanks, tabs, semicolons or commas, as spreadsheets copy them; the decimal sign may be a point or, where no
//! comma parts the fields, a comma. A first line without a note is a heading.

use super::{Bar, Reading};
use crate::numbers;
use crate::pitch::{Reading as Names, ReferenceA, parse_note};
use crate::tuning;
use std::fmt::Write;
use std::iter::Peekable;

/// What is wrong with a line, and which, from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineError {
    /// The line.
    pub line: usize,
    /// What was expected; a sentence.
    pub what: String,
}

impl std::fmt::Display for LineError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}: {}", self.line, self.what)
    }
}

impl std::error::Error for LineError {}

/// A bar farther from its pitch than this is taken for another bar or a slip, cents. Ours: three quarters of a whole tone.
const FARTHEST_CENTS: f64 = 150.0;

/// What stands in the place of a partial that nobody measured: nothing, or a dash as tables have it.
const NOT_MEASURED: [&str; 4] = ["", "-", "\u{2013}", "\u{2014}"];

/// The readings of a typed survey, from low to high; cents are read against `a`.
pub fn parse_readings(text: &str, a: ReferenceA) -> Result<Vec<Reading>, LineError> {
    let mut found: Vec<Reading> = Vec::new();
    let lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    for (nth, (at, line)) in lines.enumerate() {
        match reading(line, a) {
            Ok(Some(one)) if found.iter().any(|other| other.bar == one.bar) => {
                let what = format!(
                    "{} appears here twice; write \u{201c}second\u{201d} after its other bar.",
                    one.bar
                );
                return Err(LineError { line: at + 1, what });
            }
            Ok(Some(one)) => found.push(one),
            Ok(None) if nth == 0 => {}
            Ok(None) => {
                let what = "a note such as C5 was expected first.".to_owned();
                return Err(LineError { line: at + 1, what });
            }
            Err(what) => return Err(LineError { line: at + 1, what }),
        }
    }
    found.sort_by_key(|one| one.bar);
    Ok(found)
}

/// The fields of a line as they were typed or copied, and the remark where a semicolon parts it from the rest: that is none of the
/// figures, even where it looks like one.
fn fields(line: &str) -> (Vec<String>, &str) {
    let split = |by: char| line.split(by).map(|field| field.trim().to_owned()).collect::<Vec<_>>();
    if line.contains('\t') {
        return (split('\t'), "");
    }
    // A semicolon may part all fields, or only the remark from the rest.
    if let Some((figures, remark)) = line.split_once(';') {
        if figures.split_whitespace().count() == 1 {
            return (split(';'), "");
        }
        return (figures.split_whitespace().map(str::to_owned).collect(), remark.trim());
    }
    if line.matches(',').count() > 1 || line.contains(", ") {
        return (split(','), "");
    }
    (line.split_whitespace().map(str::to_owned).collect(), "")
}

/// The next upper partial; an empty field and a dash stand for one that nobody measured. Anything else is left for the remark.
fn next_upper<'a>(rest: &mut Peekable<impl Iterator<Item = &'a str>>, first_hz: f64) -> Option<f64> {
    let found = upper(rest.peek().copied(), first_hz);
    if found.is_some() || rest.peek().is_some_and(|field| NOT_MEASURED.contains(field)) {
        rest.next();
    }
    found
}

/// A reading; `None` where the line begins with no note.
fn reading(line: &str, a: ReferenceA) -> Result<Option<Reading>, String> {
    let (fields, apart) = fields(line);
    let mut rest = fields.iter().map(String::as_str).peekable();
    let Some(first) = rest.next() else { return Ok(None) };
    let (name, glued) = first.split_once(' ').map_or((first, ""), |(name, rest)| (name, rest.trim()));
    let Ok(note) = parse_note(name, Names::English) else { return Ok(None) };
    let second = glued == "second" || rest.next_if_eq(&"second").is_some();
    let bar = Bar { key: note.key(), second };
    let right = a.frequency(bar.key).value();
    let hz = rest.next().and_then(|field| first_partial(field, right)).ok_or_else(|| {
        format!("{bar}: hertz such as {right:.1}, or cents with their sign such as +3.5, were expected.")
    })?;
    if tuning::cents(hz, right).is_none_or(|off| off.abs() > FARTHEST_CENTS) {
        return Err(format!(
            "{bar} has {right:.1}\u{202F}Hz at this A, and {hz:.1}\u{202F}Hz lies too far away; is it another bar?"
        ));
    }
    let second_hz = next_upper(&mut rest, hz);
    let third_hz = next_upper(&mut rest, hz);
    let remark = rest.chain([apart]).filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ");
    Ok(Some(Reading { bar, hz, second_hz, third_hz, remark }))
}

/// Hertz, or cents with their sign or unit, as hertz.
fn first_partial(field: &str, right_hz: f64) -> Option<f64> {
    let lower = field.trim().to_lowercase();
    if let Some(hz) = lower.strip_suffix("hz") {
        return numbers::typed(hz.trim()).filter(|hz| *hz > 0.0);
    }
    let bare = ["cents", "ct", "c"].iter().find_map(|unit| lower.strip_suffix(unit));
    let is_cents = bare.is_some() || lower.starts_with(['+', '-', '\u{2212}']);
    let figure = numbers::typed(bare.unwrap_or(&lower).trim())?;
    if is_cents { Some(tuning::raised(right_hz, figure)) } else { Some(figure).filter(|hz| *hz > 0.0) }
}

/// An upper partial in hertz, or as a ratio to the first: "x4.01". Anything else is none.
fn upper(field: Option<&str>, first_hz: f64) -> Option<f64> {
    let lower = field?.trim().to_lowercase();
    match lower.strip_prefix(['x', '\u{d7}']) {
        Some(ratio) => {
            numbers::typed(ratio).filter(|ratio| (1.0..50.0).contains(ratio)).map(|ratio| ratio * first_hz)
        }
        None => numbers::typed(lower.strip_suffix("hz").unwrap_or(&lower).trim()).filter(|hz| *hz > first_hz),
    }
}

/// The same as text, a bar a line, in hertz to a thousandth; a dash for a second partial that is missing before a third.
pub fn text_of(readings: &[Reading]) -> String {
    let mut text = String::new();
    for Reading { bar, hz, second_hz, third_hz, remark } in readings {
        let second = if bar.second { " second" } else { "" };
        // Writing to a string cannot fail.
        _ = write!(text, "{}{second} {hz:.3}", crate::pitch::Spelled::usual(bar.key).ascii());
        match (second_hz, third_hz) {
            (Some(upper), _) => _ = write!(text, " {upper:.3}"),
            (None, Some(_)) => text.push_str(" -"),
            (None, None) => {}
        }
        if let Some(upper) = third_hz {
            _ = write!(text, " {upper:.3}");
        }
        if !remark.is_empty() {
            _ = write!(text, " ; {remark}");
        }
        text.push('\n');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    fn a() -> ReferenceA {
        ReferenceA::new(442.0).unwrap()
    }

    fn one(line: &str) -> Reading {
        let mut all = parse_readings(line, a()).unwrap();
        assert_eq!(all.len(), 1, "{line}");
        all.remove(0)
    }

    #[rstest]
    #[case("A4 443.1", 443.1, None, "")]
    #[case("A4 443,1", 443.1, None, "")]
    #[case("A4 443.1 Hz-not", 443.1, None, "Hz-not")]
    #[case("A4\t443.1\t1770\t\tcord loose", 443.1, Some(1770.0), "cord loose")]
    #[case("A4, 443.1, x4, buzzes", 443.1, Some(1772.4), "buzzes")]
    #[case("A4 443.1 x4 ; cord loose, low", 443.1, Some(1772.4), "cord loose, low")]
    #[case("A4;443.1;1770", 443.1, Some(1770.0), "")]
    #[case("A4 443.1 ; 1770", 443.1, None, "1770")] // a remark, even where it is a figure
    #[case("A4 443.1 loose - since May", 443.1, None, "loose - since May")]
    fn lines(#[case] line: &str, #[case] hz: f64, #[case] second: Option<f64>, #[case] remark: &str) {
        let found = one(line);
        assert!((found.hz - hz).abs() < 1e-9, "{found:?}");
        assert_eq!(found.second_hz.map(|hz| (hz * 10.0).round() / 10.0), second);
        assert_eq!(found.remark, remark);
    }

    /// A third partial stays the third, whatever stands in the place of the second.
    #[rstest]
    #[case("A4\t443\t\t4300")]
    #[case("A4, 443, , 4300")]
    #[case("A4;443;;4300")]
    #[case("A4 443 - 4300")]
    #[case("A4 443 \u{2013} 4300 Hz-like")]
    fn a_third_partial_without_a_second(#[case] line: &str) {
        let found = one(line);
        assert_eq!((found.second_hz, found.third_hz), (None, Some(4300.0)), "{found:?}");
    }

    #[rstest]
    #[case("A4 +3.5", 3.5)]
    #[case("A4 -3,5", -3.5)]
    #[case("A4 \u{2212}12", -12.0)]
    #[case("A4 7c", 7.0)]
    fn cents(#[case] line: &str, #[case] off: f64) {
        assert!((one(line).cents(a()).unwrap() - off).abs() < 1e-9);
    }

    #[test]
    fn a_heading_is_left_out_and_slips_are_told() {
        let found = parse_readings("bar\tHz\nC5\t523.2\n\nB4\t494\n", a()).unwrap();
        assert_eq!(found.iter().map(|one| one.bar.to_string()).collect::<Vec<_>>(), ["B4", "C5"]);
        let told = |text: &str| parse_readings(text, a()).unwrap_err().to_string();
        assert!(told("C5 523\nC5 524").contains("line 2: C5 appears here twice"));
        assert!(told("C5 440").contains("too far away"));
        assert!(told("C5 523\nwhat").contains("a note such as C5"));
        assert!(told("C5 loud").contains("hertz such as"));
        assert_eq!(parse_readings("C7 2100\nC7 second 2105", a()).unwrap().len(), 2);
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_again(
            bars in proptest::collection::btree_map(
                (20_i32..120, any::<bool>()),
                (-40.0..40.0_f64, any::<[bool; 2]>(), 0..4_usize),
                0..20,
            ),
        ) {
            let readings: Vec<Reading> = bars.into_iter().map(|((key, second), (off, [two, three], remark))| {
                let key = crate::pitch::KeyNumber::new(key).unwrap();
                let hz = tuning::raised(a().frequency(key).value(), off);
                let remark = ["", "cord loose", "4000", "- 4000; see there"][remark].to_owned();
                let (second_hz, third_hz) = (two.then_some(hz * 4.0), three.then_some(hz * 9.6));
                Reading { bar: Bar { key, second }, hz, second_hz, third_hz, remark }
            }).collect();
            let again = parse_readings(&text_of(&readings), a()).unwrap();
            prop_assert_eq!(again.len(), readings.len());
            for (one, other) in again.iter().zip(&readings) {
                prop_assert_eq!(one.bar, other.bar);
                prop_assert!((one.hz - other.hz).abs() < 1e-3);
                for (one, other) in [(one.second_hz, other.second_hz), (one.third_hz, other.third_hz)] {
                    prop_assert_eq!(one.is_some(), other.is_some());
                    prop_assert!(one.zip(other).is_none_or(|(one, other)| (one - other).abs() < 1e-3));
                }
                prop_assert_eq!(&one.remark, &other.remark);
            }
        }
    }
}
