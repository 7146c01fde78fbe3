//! Pitch: spelled names, key numbers, octave conventions, frequencies and cents.

mod frequency;
mod helmholtz;
mod key;
mod named;
mod octave;
mod parse;
mod spelled;

pub use frequency::{Cents, Hertz, PitchRangeError, ReferenceA, signed};
pub use helmholtz::{helmholtz, parse_helmholtz};
pub use key::{KeyNumber, KeyNumberError};
pub use octave::{Octave, OctaveError};
pub use parse::{NoteParseError, Reading, parse_note};
pub use spelled::{Accidental, Letter, Spelled};

#[cfg(test)]
pub(crate) use spelled::tests::notes as spelled_notes;
