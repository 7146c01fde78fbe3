//! In which order the letters of a line are seen where some of them are written from the right: the Unicode Bidirectional Algorithm
//! (Unicode Standard Annex 9) by `unicode-bidi`, with the direction of the line as a program in English wants it.

use std::borrow::Cow;
use std::ops::Range;
use unicode_bidi::{BidiClass, BidiInfo, Level, bidi_class};

/// A stretch of a line as it is seen, from the left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Its bytes in the text.
    pub range: Range<usize>,
    /// How its letters lie.
    pub sort: Sort,
}

/// How the letters of a piece lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// From the left, as they stand.
    Plain,
    /// Letters from the right, which are turned, and joined, by whatever shapes them: they are handed on as they stand.
    Letters,
    /// Spaces and signs among letters from the right: in the other order, brackets mirrored.
    Signs,
}

/// Whether a text may hold letters that are written from the right; quick, and for most texts the whole answer.
pub fn has_right_to_left(text: &str) -> bool {
    // Hebrew, Arabic and their kin begin at U+0590; their forms for presentation lie at U+FB1D and beyond, others in the plane above.
    let may = |byte: u8| matches!(byte, 0xD6..=0xDF | 0xE0 | 0xEF | 0xF0);
    text.bytes().any(may) && text.chars().any(is_letter)
}

fn is_letter(c: char) -> bool {
    matches!(bidi_class(c), BidiClass::R | BidiClass::AL)
        // A mark says which way signs beside it go and is no letter.
        && !matches!(c, '\u{200F}' | '\u{061C}')
}

/// The direction of a line: a name is written as its own letters are, a sentence of ours in which such a name stands from the left. So
/// it is from the right where the first letter is (rules P2 and P3), unless most letters are from the left.
fn direction(text: &str) -> Level {
    let mut first = None;
    let (mut right, mut left) = (0_usize, 0_usize);
    for c in text.chars() {
        match bidi_class(c) {
            BidiClass::R | BidiClass::AL => {
                first.get_or_insert(true);
                right += 1;
            }
            BidiClass::L => {
                first.get_or_insert(false);
                left += 1;
            }
            _ => {}
        }
    }
    if first == Some(true) && right >= left { Level::rtl() } else { Level::ltr() }
}

/// Whether a text is read from the right.
pub fn is_from_right(text: &str) -> bool {
    direction(text).is_rtl()
}

/// The pieces of one line of `text`, from the left as they are seen.
pub fn pieces(text: &str, line: Range<usize>) -> Vec<Piece> {
    let Some(words) = text.get(line.clone()) else { return Vec::new() };
    let info = BidiInfo::new(words, Some(direction(text)));
    let mut found = Vec::new();
    for paragraph in &info.paragraphs {
        let (levels, runs) = info.visual_runs(paragraph, paragraph.range.clone());
        for run in runs {
            let from_right = levels.get(run.start).is_some_and(Level::is_rtl);
            let within = words.get(run.clone()).unwrap_or_default();
            let at = line.start + run.start;
            if from_right {
                found.extend(turned(within, at));
            } else {
                found.push(Piece { range: at..at + within.len(), sort: Sort::Plain });
            }
        }
    }
    found
}

/// A run from the right, cut where letters and signs meet, the last first.
fn turned(run: &str, at: usize) -> Vec<Piece> {
    let mut cut: Vec<Piece> = Vec::new();
    for (start, c) in run.char_indices() {
        let range = at + start..at + start + c.len_utf8();
        let sort = match bidi_class(c) {
            BidiClass::R | BidiClass::AL => Sort::Letters,
            // Points of vowels and what joins or parts letters stay with the letter before them.
            BidiClass::NSM | BidiClass::BN => cut.last().map_or(Sort::Signs, |piece| piece.sort),
            _ => Sort::Signs,
        };
        match cut.last_mut() {
            Some(last) if last.sort == sort => last.range.end = range.end,
            _ => cut.push(Piece { range, sort }),
        }
    }
    cut.reverse();
    cut
}

/// What a piece hands to the one who shapes it.
pub fn words<'t>(text: &'t str, piece: &Piece) -> Cow<'t, str> {
    let words = text.get(piece.range.clone()).unwrap_or_default();
    match piece.sort {
        Sort::Plain | Sort::Letters => Cow::Borrowed(words),
        Sort::Signs => Cow::Owned(words.chars().rev().map(mirrored).collect()),
    }
}

fn mirrored(c: char) -> char {
    unicode_bidi_mirroring::get_mirrored(c).unwrap_or(c)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// The letters from the left as they are seen, each letter from the right by itself.
    fn seen(text: &str) -> String {
        let turned = |piece: &Piece| match piece.sort {
            Sort::Letters => words(text, piece).chars().rev().collect(),
            _ => words(text, piece).into_owned(),
        };
        pieces(text, 0..text.len()).iter().map(turned).collect()
    }

    // By the rules of Unicode Standard Annex 9, worked by hand.
    #[rstest]
    #[case("Snare drum 2", "Snare drum 2")]
    #[case("תוף", "ףות")]
    #[case("תוף גדול", "לודג ףות")]
    #[case("תוף 12", "12 ףות")]
    #[case("תוף (גדול)", "(לודג) ףות")]
    #[case("תוף A4", "A4 ףות")]
    #[case("Bass drum תוף גדול", "Bass drum לודג ףות")]
    #[case("תוף 12 is too heavy to lift.", "12 ףות is too heavy to lift.")]
    #[case("תוף, גדול, Store B", "Store B ,לודג ,ףות")]
    #[case("טַבְלָה 3", "3 ה\u{5b8}לְב\u{5b7}ט")]
    fn letters_are_seen_in_their_order(#[case] text: &str, #[case] expected: &str) {
        let marks =
            |word: &str| word.chars().filter(|c| bidi_class(*c) != BidiClass::NSM).collect::<String>();
        assert_eq!(marks(&seen(text)), marks(expected));
    }

    #[test]
    fn a_point_stays_with_its_letter() {
        let text = "טַבְלָה 3";
        let letters = pieces(text, 0..text.len()).into_iter().find(|piece| piece.sort == Sort::Letters);
        assert_eq!(letters.map(|piece| words(text, &piece).into_owned()).as_deref(), Some("טַבְלָה"));
    }

    /// Each byte once, whatever stands in the text.
    #[rstest]
    #[case("a\u{200F}ב1 \u{202E}x\u{202C}")]
    #[case("ab\nתוף\n3")]
    #[case("١٢ا")]
    #[case("")]
    fn nothing_is_lost(#[case] text: &str) {
        let mut ranges: Vec<_> = pieces(text, 0..text.len()).into_iter().map(|piece| piece.range).collect();
        ranges.sort_by_key(|range| range.start);
        let mut end = 0;
        for range in ranges {
            assert_eq!(range.start, end);
            end = range.end;
        }
        assert_eq!(end, text.len());
    }

    #[rstest]
    #[case("Öse, 40 °C – “ff”", false)]
    #[case("打击乐", false)]
    #[case("תוף", true)]
    #[case("طبل", true)]
    #[case("the mark\u{200F} alone", false)]
    fn who_needs_it(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(has_right_to_left(text), expected);
    }
}
