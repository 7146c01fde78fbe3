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

/// Reads Helmholtz's marks with English letters (`f#''`, `Bb,`, `c'''`); primes may be `'` or `′`.
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
    parse_note(&format!("{head}{octave}"), Reading::English).map_err(|_inner| {
        NoteParseError::new(text, "a letter C to B, perhaps # or b, then octave marks: c', F#, Bb,, ")
    })
}
