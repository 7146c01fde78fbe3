//! Helmholtz's octave marks: C, c, c', c'' ... and downwards C, C, C,,.

use super::{NoteParseError, Reading, Spelled, parse_note};

/// The note in Helmholtz's marks: C4 is `c'`, C3 `c`, C2 `C`, C1 `C,`, with music signs.
///
/// Source: H. von Helmholtz, On the Sensations of Tone (tr. Ellis), table of octaves; one stroke is the octave of middle C.
pub fn helmholtz(note: Spelled) -> String {
    let name = note.name();
    let octave = note.octave();
    if octave >= 3 {
        let marks = usize::try_from(octave - 3).unwrap_or(0);
        name.to_lowercase() + &"'".repeat(marks)
    } else {
        let marks = usize::try_from(2 - octave).unwrap_or(0);
        name + &",".repeat(marks)
    }
}

/// Reads Helmholtz's marks with English letters (`f#''`, `Bb,`, `c'''`) and with German names that mean nothing in
/// English (`es''`, `h`); `b` is the English one. Primes may be `'` or `′`.
pub fn parse_helmholtz(text: &str) -> Result<Spelled, NoteParseError> {
    let trimmed = text.trim();
    let head = trimmed.trim_end_matches(['\'', '′', '’', ',']);
    let marks = trimmed.chars().count() - head.chars().count();
    let tail: String = trimmed.chars().skip(head.chars().count()).collect();
    let up = tail.chars().all(|c| c != ',');
    let down = tail.chars().all(|c| c == ',');
    let first = head.chars().next();
    let low = first.is_some_and(char::is_uppercase);
    let marks = i32::try_from(marks).unwrap_or(99);
    let octave = match (low, up, down) {
        (false, true, _) => 3 + marks,
        (true, _, true) => 2 - marks,
        _ => return Err(NoteParseError::new(text, "small letters take ' marks, capitals take , marks")),
    };
    let note = format!("{head}{octave}");
    let read = parse_note(&note, Reading::English).or_else(|_not_english| parse_note(&note, Reading::German));
    read.map_err(|_inner| {
        NoteParseError::new(text, "a letter C to B, perhaps # or b, then octave marks: c', F#, Bb,, ")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::spelled::tests::notes;
    use proptest::prelude::*;
    use rstest::rstest;

    #[rstest]
    #[case("es''", "Eb5")]
    #[case("As,", "Ab1")]
    #[case("h'", "B4")]
    #[case("b'", "B4")]
    fn german_names(#[case] marked: &str, #[case] note: &str) {
        assert_eq!(parse_helmholtz(marked).unwrap().ascii(), note);
    }

    /// By the table of octaves in the source named above: great C is C2, small c C3, c' middle C.
    #[rstest]
    #[case("C4", "c'")]
    #[case("C3", "c")]
    #[case("C2", "C")]
    #[case("C1", "C,")]
    #[case("C0", "C,,")]
    #[case("C8", "c'''''")]
    #[case("F#5", "f♯''")]
    #[case("Bb1", "B♭,")]
    #[case("Bb3", "b♭")]
    #[case("Bbb3", "b𝄫")]
    fn marks(#[case] note: &str, #[case] marked: &str) {
        let note = parse_note(note, Reading::English).unwrap();
        assert_eq!(helmholtz(note), marked);
        assert_eq!(parse_helmholtz(marked), Ok(note));
    }

    #[rstest]
    #[case("f#''", "F#5")]
    #[case("c′′", "C5")]
    #[case("c’", "C4")]
    #[case(" c' ", "C4")]
    #[case("bb", "Bb3")]
    #[case("Bb,", "Bb1")]
    fn other_marks(#[case] text: &str, #[case] note: &str) {
        assert_eq!(parse_helmholtz(text).unwrap().ascii(), note);
    }

    #[rstest]
    #[case("C'")]
    #[case("c,")]
    #[case("c',")]
    #[case("")]
    #[case("'")]
    #[case("x'")]
    #[case("c4")]
    #[case("c''''''''''''")]
    #[case("C4,")]
    fn refused(#[case] text: &str) {
        assert!(parse_helmholtz(text).is_err(), "{:?}", parse_helmholtz(text));
    }

    proptest! {
        #[test]
        fn what_is_printed_is_read_back(note in notes()) {
            prop_assert_eq!(parse_helmholtz(&helmholtz(note)), Ok(note));
        }

        #[test]
        fn odd_text_never_panics(text in "\\PC{0,12}", near in "[A-Ha-h#b♭♯'′’,0-9 -]{0,8}") {
            for text in [&text, &near] {
                if let Err(error) = parse_helmholtz(text) {
                    prop_assert!(error.to_string().contains("expected"));
                }
            }
        }
    }
}
