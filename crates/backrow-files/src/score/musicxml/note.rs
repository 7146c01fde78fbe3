//! One note: the busiest element, read without setting anything aside.

use super::Reading;
use super::measure::{index, number};
use super::pull::{attribute, is_type};
use crate::score::problem::ReadError;
use crate::score::raw::{Marks, RawInstrument, RawNote, RawPitch};
use backrow_core::pitch::{Accidental, KeyNumber, Letter, Spelled};
use quick_xml::events::{BytesStart, Event};

/// What a note says, as it comes.
#[derive(Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is a child element that is there or not")]
struct Head {
    rest: bool,
    chord: bool,
    unpitched: bool,
    letter: Option<Letter>,
    octave: Option<i32>,
    alter: f64,
    duration: f64,
    staff: usize,
    marks: Marks,
    instrument: Option<u16>,
    /// Tied from before by the notation alone, as cue notes are.
    fermata: bool,
}

/// The text that is awaited.
#[derive(Clone, Copy, PartialEq)]
enum Field {
    None,
    Step,
    Alter,
    Octave,
    Duration,
    Staff,
}

impl Reading<'_, '_> {
    /// Reads a note up to its end.
    pub(super) fn note(&mut self, part: usize, measure: usize) -> Result<(), ReadError> {
        let inside = self.pull.depth();
        let mut head = Head::default();
        let mut field = Field::None;
        loop {
            match self.pull.next()? {
                Event::Start(e) => {
                    field = match e.name().into_inner() {
                        "step" | "display-step" if !head.rest => Field::Step,
                        "octave" | "display-octave" if !head.rest => Field::Octave,
                        "alter" => Field::Alter,
                        "duration" => Field::Duration,
                        "staff" => Field::Staff,
                        _ => {
                            self.sign(&e, &mut head, part);
                            Field::None
                        }
                    };
                }
                Event::Empty(e) => self.sign(&e, &mut head, part),
                Event::Text(text) if field != Field::None => {
                    self.field(field, &text.into_inner(), &mut head);
                }
                Event::End(_) => {
                    if self.pull.depth() < inside {
                        break;
                    }
                    field = Field::None;
                }
                Event::Eof => break,
                _ => {}
            }
        }
        self.take(&head, part, measure);
        Ok(())
    }

    fn field(&mut self, field: Field, text: &str, head: &mut Head) {
        let text = text.trim();
        match field {
            Field::Step => head.letter = letter(text),
            Field::Octave => head.octave = text.parse().ok(),
            Field::Alter => head.alter = number(text).unwrap_or(0.0).clamp(-12.0, 12.0),
            Field::Staff => head.staff = text.parse().unwrap_or(1),
            Field::Duration => match number(text).filter(|d| (0.0..=1e9).contains(d)) {
                Some(duration) => head.duration = duration,
                None => self.problems.add(
                    "duration",
                    self.pull.line(),
                    format!("\"{}\" is not a duration", text.chars().take(40).collect::<String>()),
                    "the times of this measure may be wrong",
                ),
            },
            Field::None => {}
        }
    }

    /// A child of a note that says something by being there.
    #[inline]
    fn sign(&mut self, e: &BytesStart<'_>, head: &mut Head, part: usize) {
        match e.name().into_inner() {
            "rest" => head.rest = true,
            "chord" => head.chord = true,
            "unpitched" => head.unpitched = true,
            "grace" => head.marks.put(Marks::GRACE),
            "cue" => head.marks.put(Marks::CUE),
            "tie" if is_type(e, "stop") => head.marks.put(Marks::TIED),
            "tied" if is_type(e, "let-ring") => head.marks.put(Marks::RING),
            "tremolo" | "trill-mark" | "wavy-line" => head.marks.put(Marks::ROLL),
            "fermata" => head.fermata = true,
            "instrument" => head.instrument = self.instrument(e, part),
            _ => {}
        }
    }

    /// The instrument that a note names; one that the part does not list is added, without a name.
    fn instrument(&mut self, e: &BytesStart<'_>, part: usize) -> Option<u16> {
        let id = attribute(e, "id")?;
        let instruments = &mut self.score.parts.get_mut(part)?.instruments;
        let at = instruments.iter().position(|i| i.id == id).or_else(|| {
            if instruments.len() >= 1000 {
                return None;
            }
            instruments.push(RawInstrument { id, ..RawInstrument::default() });
            Some(instruments.len() - 1)
        })?;
        u16::try_from(at).ok()
    }

    /// Takes a whole note into the part and moves on.
    fn take(&mut self, head: &Head, part: usize, measure: usize) {
        if head.fermata {
            self.fermata(measure);
        }
        let Some(state) = self.states.get_mut(part) else { return };
        let grace = head.marks.has(Marks::GRACE);
        let duration = if grace { 0.0 } else { head.duration };
        let at = if head.chord { state.onset } else { state.at() };
        state.onset = at;
        if !head.chord {
            state.advance(duration);
        }
        if head.rest {
            return;
        }
        let staff = head.staff.clamp(1, 4) - 1;
        let note = RawNote {
            measure: index(measure),
            instrument: head.instrument.unwrap_or(state.instrument),
            transpose: state.transpose.get(staff).copied().unwrap_or(0),
            marks: head.marks,
            pitch: RawPitch::Unpitched(None),
            at,
            quarters: duration / state.divisions,
        };
        let pitch =
            head.letter.zip(head.octave).and_then(|(letter, octave)| spelled(letter, head.alter, octave));
        // Under a percussion clef a pitch only says where the head stands.
        let unpitched = head.unpitched || state.percussion.get(staff).copied().unwrap_or(false);
        let pitch = if unpitched {
            RawPitch::Unpitched(pitch)
        } else if let Some(pitch) = pitch {
            RawPitch::Pitched(pitch)
        } else {
            let name = self.score.parts.get(part).map_or("", |part| part.name.as_str());
            let measure = self.score.measures.get(measure).map_or("", |measure| measure.name.as_str());
            self.problems.add(
                "note",
                self.pull.line(),
                format!("a note in m. {measure} of \"{name}\" has no pitch that can be read"),
                "it was left out; look at the measure",
            );
            return;
        };
        if head.alter.fract() != 0.0 && !unpitched {
            self.problems.add(
                "quarter-tone",
                self.pull.line(),
                "a note stands between two keys and was moved to the nearest below",
                "write the tuning into the line’s remark",
            );
        }
        if let Some(part) = self.score.parts.get_mut(part) {
            part.notes.push(RawNote { pitch, ..note });
        }
    }
}

fn letter(text: &str) -> Option<Letter> {
    Some(match text {
        "C" => Letter::C,
        "D" => Letter::D,
        "E" => Letter::E,
        "F" => Letter::F,
        "G" => Letter::G,
        "A" => Letter::A,
        "B" => Letter::B,
        _ => return None,
    })
}

/// The note of that letter; accidentals beyond double ones are spelled anew, quarter tones go down.
fn spelled(letter: Letter, alter: f64, octave: i32) -> Option<Spelled> {
    #[expect(clippy::cast_possible_truncation, reason = "clamped to -12 to 12 when read")]
    let semitones = alter.floor() as i32;
    if let Some(accidental) = Accidental::from_semitones(semitones) {
        return Spelled::new(letter, accidental, octave).ok();
    }
    let number = octave.checked_add(1)?.checked_mul(12)?.checked_add(letter.semitones() + semitones)?;
    KeyNumber::new(number).ok().map(Spelled::usual)
}
