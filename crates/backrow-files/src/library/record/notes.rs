//! The notes of a passage as text: `m41 F#5 G5*3 m42 A5+12`.
//!
//! `m41` says in which measure the notes after it stand (`m'12 b'` where the printed name has spaces or quotes),
//! `+12` or `-12` is a shift in semitones (an 8va line), and `*3` says that the attack comes three times. A long
//! passage is a list of such lines.

use super::timeline::LONGEST;
use super::wrap::Lines;
use crate::library::text::AsText;
use backrow_core::music::{LineNote, MeasureName};
use backrow_core::pitch::Spelled;
use serde::de::{Deserialize, Deserializer, Error, SeqAccess, Visitor};
use serde::{Serialize, Serializer};
use std::fmt::{self, Write as _};
use std::iter::Peekable;
use std::str::Chars;

#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Notes(pub Vec<LineNote>);

impl Serialize for Notes {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match lines(&self.0).as_slice() {
            [line] => serializer.serialize_str(line),
            lines => lines.serialize(serializer),
        }
    }
}

impl<'de> Deserialize<'de> for Notes {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Lines;

        impl<'de> Visitor<'de> for Lines {
            type Value = Reader;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("notes as text, \"m41 F#5 G5\", or a list of such texts")
            }

            fn visit_str<E: Error>(self, text: &str) -> Result<Reader, E> {
                let mut reader = Reader::default();
                reader.line(text).map_err(E::custom)?;
                Ok(reader)
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut lines: A) -> Result<Reader, A::Error> {
                let mut reader = Reader::default();
                while let Some(line) = lines.next_element::<String>()? {
                    reader.line(&line).map_err(A::Error::custom)?;
                }
                Ok(reader)
            }
        }

        deserializer.deserialize_any(Lines).map(|reader| Self(reader.notes))
    }
}

/// The notes as lines; measures stay whole where they fit.
fn lines(notes: &[LineNote]) -> Vec<String> {
    let mut lines = Lines::default();
    for measure in notes.chunk_by(|a, b| a.measure == b.measure) {
        let mut words = vec![measure.first().map(|note| measure_word(&note.measure)).unwrap_or_default()];
        words.extend(
            measure.chunk_by(|a, b| (a.written, a.shift) == (b.written, b.shift)).flat_map(note_words),
        );
        lines.keep_together(words.iter().map(|word| word.len() + 1).sum());
        for word in &words {
            lines.word(word);
        }
    }
    lines.end()
}

fn measure_word(name: &MeasureName) -> String {
    let name = name.as_str();
    if name.is_empty() || name.contains(|c: char| c.is_whitespace() || c == '\'') {
        format!("m'{}'", name.replace('\'', "''"))
    } else {
        format!("m{name}")
    }
}

/// The words of a run of equal notes.
fn note_words(run: &[LineNote]) -> Vec<String> {
    let Some(note) = run.first() else { return Vec::new() };
    let mut word = note.written.write();
    if note.shift != 0 {
        // A text in memory takes every write.
        write!(word, "{:+}", note.shift).unwrap_or_default();
    }
    match run.len() {
        count @ (1 | 2) => vec![word; count],
        count => run.chunks(LONGEST).map(|part| format!("{word}*{}", part.len().min(count))).collect(),
    }
}

#[derive(Default)]
struct Reader {
    notes: Vec<LineNote>,
    measure: Option<MeasureName>,
}

impl Reader {
    fn line(&mut self, text: &str) -> Result<(), String> {
        let mut chars = text.chars().peekable();
        loop {
            while chars.next_if(|c| c.is_whitespace()).is_some() {}
            match chars.peek() {
                None => return Ok(()),
                Some('m') => {
                    chars.next();
                    self.measure = Some(measure(&mut chars)?);
                }
                Some(_) => self.note(&word(&mut chars))?,
            }
        }
    }

    fn note(&mut self, word: &str) -> Result<(), String> {
        let measure = self
            .measure
            .clone()
            .ok_or_else(|| format!("the measure must come before its first note: \"m41 {word}\""))?;
        let (head, count) = match word.split_once('*') {
            Some((head, count)) => (head, count.parse::<usize>().ok()),
            None => (word, Some(1)),
        };
        let count = count.filter(|count| (1..=LONGEST).contains(count)).ok_or_else(|| {
            format!("\"{word}\": a number of attacks from 1 to {LONGEST} was expected after *")
        })?;
        // The name ends with the first digit: an octave has but one.
        let end = head.char_indices().find(|(_, c)| c.is_ascii_digit()).map_or(head.len(), |(at, _)| at + 1);
        let (name, shift) = head.split_at_checked(end).unwrap_or((head, ""));
        let written = Spelled::read(name)?;
        let shift: i8 = if shift.is_empty() {
            0
        } else {
            let signed = shift.starts_with(['+', '-']);
            shift.parse().ok().filter(|_| signed).ok_or_else(|| {
                format!("\"{word}\": a shift in semitones with its sign was expected after the note, such as {name}+12")
            })?
        };
        self.notes.extend(std::iter::repeat_n(LineNote { shift, ..LineNote::new(written, measure) }, count));
        Ok(())
    }
}

fn word(chars: &mut Peekable<Chars<'_>>) -> String {
    std::iter::from_fn(|| chars.next_if(|c| !c.is_whitespace())).collect()
}

fn measure(chars: &mut Peekable<Chars<'_>>) -> Result<MeasureName, String> {
    if chars.next_if_eq(&'\'').is_none() {
        return Ok(MeasureName::new(&word(chars)));
    }
    let mut name = String::new();
    loop {
        match chars.next() {
            Some('\'') if chars.next_if_eq(&'\'').is_some() => name.push('\''),
            Some('\'') => return Ok(MeasureName::new(&name)),
            Some(c) => name.push(c),
            None => return Err(format!("the measure m'{name} lacks its closing quote '")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::wrap::WIDTH;
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    fn read(lines: &[String]) -> Result<Vec<LineNote>, String> {
        let mut reader = Reader::default();
        lines.iter().try_for_each(|line| reader.line(line))?;
        Ok(reader.notes)
    }

    #[rstest]
    #[case("m41 F#5 G5 m42 A5")]
    #[case("m41 F#5+12 F#5 G5*7")]
    #[case("m0 C-1-12 Bbb3*3")]
    #[case("m'12 b' C4 m12a C4 m'' D4 m'it''s' E4")]
    fn texts_come_back(#[case] text: &str) {
        assert_eq!(lines(&read(&[text.to_owned()]).unwrap()), [text]);
    }

    #[rstest]
    #[case("F#5", "measure must come before")]
    #[case("m1 F#5x", "shift in semitones")]
    #[case("m1 F#512", "shift in semitones")]
    #[case("m1 F#5*0", "number of attacks")]
    #[case("m1 F#5*99999999999", "number of attacks")]
    #[case("m1 J5", "is not a note")]
    #[case("m'1 F5", "closing quote")]
    fn refusals_say_what_was_expected(#[case] text: &str, #[case] expected: &str) {
        let error = read(&[text.to_owned()]).unwrap_err();
        assert!(error.contains(expected), "{error}");
    }

    #[test]
    fn long_passages_break_between_measures() {
        let note =
            |n: u32, octave: i32| LineNote::new(Spelled::read(&format!("C{octave}")).unwrap(), n.into());
        let notes: Vec<LineNote> = (1..60).flat_map(|n| [note(n, 4), note(n, 5), note(n, 4)]).collect();
        let lines = lines(&notes);
        assert!(lines.len() > 3 && lines.iter().all(|line| line.len() <= WIDTH && line.starts_with('m')));
        assert_eq!(read(&lines), Ok(notes));
    }

    proptest! {
        #[test]
        fn notes_come_back(notes in crate::library::any::notes()) {
            prop_assert_eq!(read(&lines(&notes)), Ok(notes));
        }
    }
}
