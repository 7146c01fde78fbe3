//! The library on disk: a folder of RON files, one for each instrument, venue, work and week, and one each for the
//! orchestra, players, beaters, places and the orchestra's own kinds.
//!
//! Every file is a RON record that begins with its format version. Notes are ASCII (`F#5`, `Bb3`; C4 is middle C), ranges
//! `F4-C8`, sets `C#8 D8`, the trade's words as on screen (`"two rows"`), points metres as on the plan. Passages read `m41
//! F#5 G5*3 m42 A5+12`, neighbouring measures of one length stand as one run. A field at its usual value is left out; a
//! field that is not known is refused with its line. Beside `x.ron` a file `x.kept-1.ron` is a second version, written
//! because `x.ron` had been changed by somebody else or could not be read. Comments above the first bracket are kept.
//!
//! A copy that a sync tool leaves beside a file, and the marks that version control leaves in one, are told and offered likewise
//! ([`clashes`], [`Choice`], [`decide`]).
//!
//! Hidden in the folder, `.backrow` holds what is the program's and not the section's: earlier versions of every file
//! (`versions`), and while several files are saved a journal of what is to be done (`save-….ron`).
//!
//! [`open`] reads what can be read and names what cannot; [`save`] writes what has changed and never over anything that
//! it has not read. Between the two a [`DiskState`] remembers what stands on the disk.

#[cfg(test)]
mod any;
mod choose;
mod clash;
mod content;
mod copied;
#[cfg(test)]
mod crash;
mod create;
mod dangling;
mod disk;
mod drive;
mod earlier;
mod held;
mod journal;
mod layout;
mod merge;
mod open;
mod parcel;
mod pour;
mod problem;
mod record;
mod ron_text;
mod save;
mod second;
mod sounds;
mod text;
mod version;
mod versions;
mod writer;

pub use choose::{Choice, Difference};
pub use clash::{Clash, Other, clashes, decide};
pub use content::SOUNDS;
pub use content::is_library;
pub use copied::{copy_to_file, copy_to_folder};
pub use create::{copy_demo, create_from, has_demo};
pub use disk::DiskState;
pub use earlier::{Earlier, earlier_versions};
pub use held::Held;
pub use merge::{TakenIn, bring_back, check_text, import};
pub use open::{OnWith, Opened, open, open_while};
pub use parcel::unpack;
pub use pour::GoesOn;
pub use problem::Problem;
pub use save::{Kept, SaveReport, save};
pub use sounds::{
    MOST_SOUND, Unnamed, content_hash, find_sound, put_sound, read_sound, sound_path, unnamed_sounds,
};
pub use versions::kept_versions;
pub use writer::write_whole;

pub(crate) use record::without_for_two;

use backrow_core::collection::Kind;

/// The kinds in the text of a kinds file: the program's own table has the form of a library's.
pub(crate) fn kinds_in(file: &str, text: &str) -> Result<Vec<Kind>, Problem> {
    let (kinds, _without) = record::Record::value(ron_text::read::<record::KindsRecord>(file, text)?);
    Ok(kinds)
}

/// What a text in our RON says.
pub(crate) fn record_in<T: serde::de::DeserializeOwned>(file: &str, text: &str) -> Result<T, Problem> {
    ron_text::read(file, text)
}
