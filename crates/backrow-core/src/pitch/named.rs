//! A note's name in the language that it is read in.

use super::{Accidental, Letter, Reading, Spelled};

impl Spelled {
    /// The name with its octave as [`super::parse_note`] reads it in that reading: `F♯5`, `Fis5`, `fa♯5`.
    pub fn named(self, reading: Reading) -> String {
        match reading {
            Reading::English => self.to_string(),
            Reading::German => format!("{}{}", german(self), self.octave()),
            Reading::Syllables => {
                format!("{}{}{}", syllable(self.letter()), self.accidental().sign(), self.octave())
            }
        }
    }
}

fn german(note: Spelled) -> String {
    use Accidental::{DoubleFlat, DoubleSharp, Flat, Natural, Sharp};
    let letter = if note.letter() == Letter::B { 'H' } else { note.letter().as_char() };
    let vowel = matches!(note.letter(), Letter::E | Letter::A);
    match note.accidental() {
        Natural => letter.to_string(),
        Sharp => format!("{letter}is"),
        DoubleSharp => format!("{letter}isis"),
        Flat if note.letter() == Letter::B => "B".to_owned(),
        Flat if vowel => format!("{letter}s"),
        Flat => format!("{letter}es"),
        DoubleFlat if vowel => format!("{letter}ses"),
        DoubleFlat => format!("{letter}eses"),
    }
}

const fn syllable(letter: Letter) -> &'static str {
    match letter {
        Letter::C => "do",
        Letter::D => "re",
        Letter::E => "mi",
        Letter::F => "fa",
        Letter::G => "sol",
        Letter::A => "la",
        Letter::B => "si",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::parse_note;
    use crate::pitch::spelled::tests::notes;
    use proptest::prelude::*;
    use rstest::rstest;

    #[rstest]
    #[case("F#5", "Fis5", "fa♯5")]
    #[case("Bb3", "B3", "si♭3")]
    #[case("B3", "H3", "si3")]
    #[case("Eb4", "Es4", "mi♭4")]
    #[case("Abb2", "Ases2", "la♭♭2")]
    #[case("Bbb2", "Heses2", "si♭♭2")]
    fn names(#[case] english: &str, #[case] german: &str, #[case] syllables: &str) {
        let note = parse_note(english, Reading::English).unwrap();
        assert_eq!(note.named(Reading::German), german);
        assert_eq!(note.named(Reading::Syllables).replace('𝄫', "♭♭"), syllables);
    }

    proptest! {
        #[test]
        fn what_is_named_is_read_back(note in notes()) {
            for reading in [Reading::English, Reading::German, Reading::Syllables] {
                prop_assert_eq!(parse_note(&note.named(reading), reading), Ok(note));
            }
        }
    }
}
