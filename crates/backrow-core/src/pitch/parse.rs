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

/// Why a text is no note, and what was expected.
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
        write!(f, "\"{}\" is no note; expected {}", self.text, self.expected)
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
        "#" | "♯" | "s" | "is" | "sharp" | "diesis" | "dièse" | "diese" | "diesi" => Accidental::Sharp,
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
