//! Reading the name of a note as people type it.

use super::{Accidental, Letter, Spelled};
use std::fmt;

/// In which language note names are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Reading {
    /// `F#5`, `F♯5`, `Bb3`, `B♭3`; B is the note below C.
    #[default]
    English,
    /// `Fis5`, `Es4`, `B3` (B flat), `H3` (B natural).
    German,
    /// `fa♯5`, `si bemolle 3`, `réb4`, `sol dièse 5`; do/ut is C.
    Syllables,
}

/// Why a text is not a note, and what was expected.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoteParseError {
    text: String,
    expected: String,
}

impl NoteParseError {
    pub(crate) fn new(text: &str, expected: &str) -> Self {
        Self { text: text.to_owned(), expected: expected.to_owned() }
    }
}

impl fmt::Display for NoteParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "\"{}\" is not a note; expected {}", self.text, self.expected)
    }
}

impl std::error::Error for NoteParseError {}

/// Reads a note with its octave (scientific pitch notation, C4 = middle C). Case does not matter.
pub fn parse_note(text: &str, reading: Reading) -> Result<Spelled, NoteParseError> {
    let compact: String = text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect();
    let digits_at = compact
        .char_indices()
        .find(|(_, c)| c.is_ascii_digit() || matches!(c, '-' | '−'))
        .map_or(compact.len(), |(at, _)| at);
    let (name, octave) = compact.split_at_checked(digits_at).unwrap_or((&compact, ""));
    let octave: i32 = octave.replace('−', "-").parse().map_err(|_bad| {
        NoteParseError::new(text, "an octave number after the name, -1 to 9: F#5, with C4 = middle C")
    })?;
    let (letter, accidental) = match reading {
        Reading::English => english(name),
        Reading::German => german(name),
        Reading::Syllables => syllables(name),
    }
    .ok_or_else(|| NoteParseError::new(text, expected(reading)))?;
    Spelled::new(letter, accidental, octave)
        .map_err(|far| NoteParseError::new(text, &format!("a note between C-1 and G9; {far}")))
}

fn expected(reading: Reading) -> &'static str {
    match reading {
        Reading::English => "a letter C to B, then #, b, ##, bb, ♯, ♭ or nothing, then the octave: F#5, Bb3",
        Reading::German => "C D E F G A H or B (= B flat), with -is, -es: Fis5, Es4, B3, H3",
        Reading::Syllables => "do re mi fa sol la si, then # or b, then the octave: fa#5, sib3",
    }
}

fn english(name: &str) -> Option<(Letter, Accidental)> {
    let mut chars = name.chars();
    let letter = letter(chars.next()?)?;
    Some((letter, accidental(chars.as_str())?))
}

fn letter(c: char) -> Option<Letter> {
    Letter::ALL.into_iter().find(|l| l.as_char().eq_ignore_ascii_case(&c))
}

fn accidental(text: &str) -> Option<Accidental> {
    Some(match text {
        "" | "♮" | "n" => Accidental::Natural,
        "#" | "♯" | "is" | "sharp" | "diesis" | "dièse" | "diese" | "diesi" => Accidental::Sharp,
        "b" | "♭" | "flat" | "bemolle" | "bémol" | "bemol" => Accidental::Flat,
        "##" | "♯♯" | "x" | "𝄪" | "isis" | "doppiodiesis" | "doubledièse" => Accidental::DoubleSharp,
        "bb" | "♭♭" | "𝄫" | "doppiobemolle" | "doublebémol" => Accidental::DoubleFlat,
        _ => return None,
    })
}

fn german(name: &str) -> Option<(Letter, Accidental)> {
    use Accidental::{DoubleFlat, DoubleSharp, Flat, Natural, Sharp};
    Some(match name {
        "b" => (Letter::B, Flat),
        "heses" | "bes" | "bb" | "b♭" => (Letter::B, DoubleFlat),
        "h" => (Letter::B, Natural),
        "his" | "h#" | "h♯" => (Letter::B, Sharp),
        "hisis" => (Letter::B, DoubleSharp),
        "es" => (Letter::E, Flat),
        "eses" => (Letter::E, DoubleFlat),
        "as" => (Letter::A, Flat),
        "ases" | "asas" => (Letter::A, DoubleFlat),
        _ => {
            let mut chars = name.chars();
            let letter = letter(chars.next()?).filter(|l| *l != Letter::B)?;
            let ending = match chars.as_str() {
                "is" => Sharp,
                "isis" => DoubleSharp,
                "es" if !matches!(letter, Letter::E | Letter::A) => Flat,
                "eses" if !matches!(letter, Letter::E | Letter::A) => DoubleFlat,
                other => accidental(other)?,
            };
            (letter, ending)
        }
    })
}

fn syllables(name: &str) -> Option<(Letter, Accidental)> {
    const SYLLABLES: [(&str, Letter); 10] = [
        ("sol", Letter::G),
        ("do", Letter::C),
        ("ut", Letter::C),
        ("ré", Letter::D),
        ("re", Letter::D),
        ("mi", Letter::E),
        ("fa", Letter::F),
        ("la", Letter::A),
        ("si", Letter::B),
        ("ti", Letter::B),
    ];
    SYLLABLES
        .iter()
        .find_map(|(syllable, letter)| name.strip_prefix(syllable).map(|rest| (*letter, rest)))
        .and_then(|(letter, rest)| Some((letter, accidental(rest)?)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::KeyNumber;
    use crate::pitch::spelled::tests::notes;
    use proptest::prelude::*;
    use rstest::rstest;

    #[rstest]
    #[case("F#5", "F#5")]
    #[case("F♯5", "F#5")]
    #[case("Bb3", "Bb3")]
    #[case("B♭3", "Bb3")]
    #[case("bb3", "Bb3")]
    #[case("BB3", "Bb3")]
    #[case("b3", "B3")]
    #[case("B3", "B3")]
    #[case(" f # 5 ", "F#5")]
    #[case("Fx4", "F##4")]
    #[case("F𝄪4", "F##4")]
    #[case("E𝄫4", "Ebb4")]
    #[case("C-1", "C-1")]
    #[case("C−1", "C-1")]
    #[case("C sharp 4", "C#4")]
    #[case("C♮4", "C4")]
    fn english_notes(#[case] text: &str, #[case] note: &str) {
        assert_eq!(parse_note(text, Reading::English).unwrap().ascii(), note);
    }

    /// "Es" is E flat to whoever writes it, never E sharp.
    #[rstest]
    #[case("Es5")]
    #[case("As4")]
    #[case("Fs4")]
    fn a_plain_s_is_no_sharp(#[case] text: &str) {
        assert!(parse_note(text, Reading::English).is_err());
    }

    /// German names; common practice: H is the note below C, B the one a semitone lower still.
    #[rstest]
    #[case("H3", "B3")]
    #[case("B3", "Bb3")]
    #[case("b3", "Bb3")]
    #[case("Fis5", "F#5")]
    #[case("Es4", "Eb4")]
    #[case("As4", "Ab4")]
    #[case("Des4", "Db4")]
    #[case("Ces4", "Cb4")]
    #[case("His3", "B#3")]
    #[case("Eis4", "E#4")]
    #[case("Eses4", "Ebb4")]
    #[case("Asas4", "Abb4")]
    #[case("Ases4", "Abb4")]
    #[case("Heses3", "Bbb3")]
    #[case("Cisis4", "C##4")]
    #[case("F#5", "F#5")]
    fn german_notes(#[case] text: &str, #[case] note: &str) {
        assert_eq!(parse_note(text, Reading::German).unwrap().ascii(), note);
    }

    #[rstest]
    #[case("fa♯5", "F#5")]
    #[case("fa#5", "F#5")]
    #[case("si bemolle 3", "Bb3")]
    #[case("réb4", "Db4")]
    #[case("sol dièse 5", "G#5")]
    #[case("ut4", "C4")]
    #[case("do diesis 4", "C#4")]
    #[case("SI3", "B3")]
    #[case("la4", "A4")]
    fn syllable_notes(#[case] text: &str, #[case] note: &str) {
        assert_eq!(parse_note(text, Reading::Syllables).unwrap().ascii(), note);
    }

    #[rstest]
    #[case("", Reading::English, "octave number")]
    #[case("F#", Reading::English, "octave number")]
    #[case("5", Reading::English, "a letter C to B")]
    #[case("H3", Reading::English, "a letter C to B")]
    #[case("Eses", Reading::German, "octave number")]
    #[case("Bis3", Reading::German, "Fis5")]
    #[case("C4", Reading::Syllables, "do re mi")]
    #[case("G#9", Reading::English, "between C-1 and G9")]
    #[case("Cb-1", Reading::English, "between C-1 and G9")]
    #[case("C99999999999999", Reading::English, "octave number")]
    #[case("C4.5", Reading::English, "octave number")]
    #[case("C--4", Reading::English, "octave number")]
    fn refusals_say_what_was_expected(#[case] text: &str, #[case] reading: Reading, #[case] expected: &str) {
        let error = parse_note(text, reading).unwrap_err().to_string();
        assert!(error.contains(expected), "{error}");
    }

    /// The German name of a note, written from the rules and not from the parser.
    fn german_name(note: Spelled) -> String {
        let ending = |stem: &str| match note.accidental() {
            Accidental::DoubleFlat if stem == "E" || stem == "A" => format!("{stem}ses"),
            Accidental::Flat if stem == "E" || stem == "A" => format!("{stem}s"),
            Accidental::DoubleFlat => format!("{stem}eses"),
            Accidental::Flat => format!("{stem}es"),
            Accidental::Natural => stem.to_owned(),
            Accidental::Sharp => format!("{stem}is"),
            Accidental::DoubleSharp => format!("{stem}isis"),
        };
        let name = match (note.letter(), note.accidental()) {
            (Letter::B, Accidental::Flat) => "B".to_owned(),
            (Letter::B, _) => ending("H"),
            (letter, _) => ending(&letter.as_char().to_string()),
        };
        format!("{name}{}", note.octave())
    }

    fn syllable_name(note: Spelled) -> String {
        let syllable = ["do", "re", "mi", "fa", "sol", "la", "si"][note.letter() as usize];
        format!("{syllable}{}{}", note.accidental().ascii(), note.octave())
    }

    proptest! {
        #[test]
        fn what_is_printed_is_read_back(note in notes()) {
            prop_assert_eq!(parse_note(&note.ascii(), Reading::English), Ok(note));
            prop_assert_eq!(parse_note(&note.to_string(), Reading::English), Ok(note));
            prop_assert_eq!(parse_note(&german_name(note), Reading::German), Ok(note));
            prop_assert_eq!(parse_note(&syllable_name(note), Reading::Syllables), Ok(note));
        }

        #[test]
        fn odd_text_never_panics(text in "\\PC{0,12}", near in "[A-Ha-his#b♭♯𝄪'′,0-9− -]{0,8}") {
            for reading in [Reading::English, Reading::German, Reading::Syllables] {
                for text in [&text, &near] {
                    match parse_note(text, reading) {
                        Ok(note) => prop_assert!(note.key() <= KeyNumber::MAX),
                        Err(error) => prop_assert!(error.to_string().contains("expected")),
                    }
                }
            }
        }
    }
}
