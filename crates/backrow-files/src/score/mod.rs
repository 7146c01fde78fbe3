//! Scores: from MusicXML (plain and compressed) and standard MIDI files to lines.
//!
//! A reading is a value and a list of what could not be read; every guess keeps its evidence and its degree.
//!
//! | file | what |
//! | --- | --- |
//! | `container` | what a file is, unpacking with limits, text encodings |
//! | `folder` | files of music on disk |
//! | `musicxml`, `midi` | the two readers; both hand on `raw::RawScore` |
//! | `order`, `jumps`, `clock` | the order of playing, the words that lead it, and its seconds |
//! | `names` | words of parts to kinds, beaters and techniques |
//! | `lines`, `passages`, `octave` | from parts to lines |
//! | `gather` | files put together as movements of works |
//! | `work`, `json` | the reading as a work of the library, and as an answer for scripts |

mod clock;
mod container;
mod folder;
mod found;
mod gather;
mod json;
mod jumps;
mod midi;
mod musicxml;
pub(crate) mod names;
mod octave;
mod order;
mod passages;
mod problem;
mod raw;
mod reading;
mod work;

pub use folder::{MusicFiles, music_in, read_file, read_file_while};
pub use gather::{Gathered, GatheredWork, Piece, gather, known_work, same_composer, take_all};
pub use json::reading_json;
pub use names::{Guess, name_of_heading, words_of_part};
pub use problem::{Problem, ReadError};
pub use reading::{NoteCount, ReadLine, ReadOptions, ReadPassage, ScoreReading, TitleFrom};
pub use work::{roman, work_of};

use backrow_core::collection::Kind;
use backrow_core::halt::Halt;
use backrow_core::id::KindId;
use backrow_core::library::Shared;

macro_rules! readers {
    ($($(#[$note:meta])* $reader:ident, [$($ending:literal),*];)*) => {
        /// What reads a file that holds music, by the ending of its name.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        enum Reader {
            $($(#[$note])* $reader,)*
        }

        /// Endings of the names of files that hold music.
        pub const ENDINGS: &[&str] = &[$($($ending,)*)*];

        impl Reader {
            /// The reader of a file of that name.
            fn of(name: &str) -> Option<Self> {
                let (_, ending) = name.rsplit_once('.')?;
                match ending.to_lowercase().as_str() {
                    $($($ending)|* => Some(Self::$reader),)*
                    _ => None,
                }
            }
        }
    };
}

readers! {
    /// MusicXML, plain or packed.
    MusicXml, ["musicxml", "xml", "mxl"];
    /// A standard MIDI file.
    Midi, ["mid", "midi"];
    /// A plain table of lines.
    Table, ["csv"];
}

/// Whether a file's name ends as one that holds music.
pub fn is_music(name: &str) -> bool {
    Reader::of(name).is_some()
}

/// Reads a score, or a plain table of lines where the name ends in `.csv`.
///
/// # Errors
/// When nothing could be read.
pub fn read_music(
    name: &str,
    bytes: &[u8],
    kinds: &Shared<KindId, Kind>,
    options: &ReadOptions,
) -> Result<ScoreReading, ReadError> {
    read_music_while(name, bytes, (kinds, options), &Halt::default())
}

/// The same, for as long as the answer is wanted; with how far the text is read, in bytes.
fn read_music_while(
    name: &str,
    bytes: &[u8],
    (kinds, options): (&Shared<KindId, Kind>, &ReadOptions),
    halt: &Halt,
) -> Result<ScoreReading, ReadError> {
    match Reader::of(name) {
        Some(Reader::Table) => {
            crate::tables::lines::parse(name, bytes, kinds).map_err(|problem| ReadError(Box::new(problem)))
        }
        // What a score is, its content says.
        Some(Reader::MusicXml | Reader::Midi) | None => read_score_while(name, bytes, (kinds, options), halt),
    }
}

/// Reads a score of any format that is known, by its content; `name` is the file's name, for messages and as a last title.
///
/// An error means that nothing could be read; what was skipped or guessed stands in the reading's `problems`.
pub fn read_score(
    name: &str,
    bytes: &[u8],
    kinds: &Shared<KindId, Kind>,
    options: &ReadOptions,
) -> Result<ScoreReading, ReadError> {
    read_score_while(name, bytes, (kinds, options), &Halt::default())
}

fn read_score_while(
    name: &str,
    bytes: &[u8],
    (kinds, options): (&Shared<KindId, Kind>, &ReadOptions),
    halt: &Halt,
) -> Result<ScoreReading, ReadError> {
    let mut problems = problem::Problems::default();
    let raw = match container::open(name, bytes, options, &mut problems)? {
        container::Content::Xml(text) => musicxml::read(name, &text, &mut problems, halt)?,
        container::Content::Midi => midi::read(name, bytes, &mut problems)?,
    };
    let table = names::NameTable::new(kinds);
    Ok(found::reading(name, &raw, (&table, options), problems, halt))
}

/// The words of a text in small plain letters, accents gone: for those who look words up elsewhere.
pub(crate) fn plain_tokens(text: &str) -> Vec<String> {
    names::tokens(text).into_iter().map(|token| token.text).collect()
}
