//! The sound of takes: files beside their records. Written once, never changed, and not part of any history: a record names its file
//! and the hash of what is in it.

use super::content::SOUNDS;
use super::drive::{Drive, Real};
use super::problem::Problem;
use super::writer::Writer;
use crate::limits;
use crate::sound::ENDINGS;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::sound::Take;
use std::collections::BTreeSet;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// The largest file of sound that is read, bytes: ten minutes of 24 bits in stereo at 96 kHz, twice over.
pub const MOST_SOUND: u64 = 768 << 20;

/// A hash of a file's bytes, in hexadecimal, the same on every machine: FNV-1a with 128 bits (IETF draft-eastlake-fnv). It tells
/// whether a file is the one that was measured; it is no seal against forgery.
pub fn content_hash(bytes: &[u8]) -> String {
    const OFFSET: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
    let hash = bytes.iter().fold(OFFSET, |hash, byte| (hash ^ u128::from(*byte)).wrapping_mul(PRIME));
    format!("{hash:032x}")
}

/// Where the sound of a take lies; `None` where its record names no plain file in the instrument's folder.
pub fn sound_path(dir: &Path, take: &Take) -> Option<PathBuf> {
    let name = Path::new(&take.file);
    let plain = name.file_name().is_some_and(|only| only == name.as_os_str())
        && !take.file.starts_with('.')
        && !take.file.contains(['/', '\\', ':']);
    plain.then(|| dir.join(SOUNDS).join(take.instrument.as_str()).join(name))
}

/// The bytes of a take's sound.
///
/// # Errors
/// The file is not there, cannot be read, or is named by a path.
pub fn read_sound(dir: &Path, take: &Take) -> Result<Vec<u8>, Problem> {
    let (shown, path) = place_of(dir, take)?;
    limits::read_plain(&path, MOST_SOUND).map_err(|error| Problem::io(shown, "read the sound", &error))
}

/// Whether a take's sound is there; nothing of it is read.
///
/// # Errors
/// The file is not there, cannot be looked at, or is named by a path.
pub fn find_sound(dir: &Path, take: &Take) -> Result<(), Problem> {
    let (shown, path) = place_of(dir, take)?;
    std::fs::metadata(path).map(drop).map_err(|error| Problem::io(shown, "read the sound", &error))
}

/// Where the sound of a take lies, for people and for the system.
fn place_of(dir: &Path, take: &Take) -> Result<(String, PathBuf), Problem> {
    let shown = format!("{SOUNDS}/{}/{}", take.instrument, take.file);
    match sound_path(dir, take) {
        Some(path) => Ok((shown, path)),
        None => Err(Problem::new(
            shown,
            "file-name",
            "the take names a file outside its instrument’s folder",
            "put the file beside the record, and name it there",
        )),
    }
}

/// Writes a take's sound into a library, under `stem.ending` or the next name that is free: what is there is never written over.
/// Returns the file's name in the instrument's folder.
///
/// # Errors
/// What the disk said; then nothing of it is left.
pub fn put_sound(
    dir: &Path,
    instrument: &InstrumentId,
    (stem, ending): (&str, &str),
    bytes: &[u8],
) -> Result<String, Problem> {
    let folder = format!("{SOUNDS}/{instrument}");
    let drive: &dyn Drive = &Real;
    let writer = Writer { drive, dir };
    writer.make_folder(&folder).map_err(|error| Problem::io(&folder, "make the folder", &error))?;
    for number in 1..=1000 {
        let name = if number == 1 { format!("{stem}.{ending}") } else { format!("{stem}-{number}.{ending}") };
        let file = format!("{folder}/{name}");
        match writer.put_new(&file, bytes) {
            Ok(_stamp) => return Ok(name),
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
            Err(error) => return Err(Problem::io(file, "write the sound", &error)),
        }
    }
    Err(Problem::new(folder, "too-many", "a thousand files have that name", "give the take another name"))
}

/// A file of sound that no record names.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Unnamed {
    /// The folder that it lies in: the id of the instrument that it is or was of.
    pub instrument: String,
    /// Its name there.
    pub file: String,
    /// How large it is, bytes.
    pub bytes: u64,
}

/// The files of sound in a library's folder that no take of the library names: of takes that were removed or undone, and of
/// instruments that are gone. They stay until somebody deletes them; nothing is read but names and sizes.
pub fn unnamed_sounds(dir: &Path, library: &Library) -> Vec<Unnamed> {
    let named: BTreeSet<(&str, &str)> =
        library.takes.values().map(|take| (take.instrument.as_str(), take.file.as_str())).collect();
    let folders = std::fs::read_dir(dir.join(SOUNDS)).into_iter().flatten().flatten();
    let mut found = Vec::new();
    for folder in folders {
        let instrument = folder.file_name().to_string_lossy().into_owned();
        for file in std::fs::read_dir(folder.path()).into_iter().flatten().flatten() {
            let name = file.file_name().to_string_lossy().into_owned();
            let is_sound = Path::new(&name)
                .extension()
                .is_some_and(|ending| ENDINGS.iter().any(|one| ending.eq_ignore_ascii_case(one)));
            let Ok(size) = file.metadata() else { continue };
            if is_sound && size.is_file() && !named.contains(&(instrument.as_str(), name.as_str())) {
                found.push(Unnamed { instrument: instrument.clone(), file: name, bytes: size.len() });
            }
        }
    }
    found.sort();
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::id::TakeId;

    fn take(file: &str) -> Take {
        Take {
            id: TakeId::new("soft").unwrap(),
            instrument: InstrumentId::new("anvil-1").unwrap(),
            file: file.to_owned(),
            content: String::new(),
            when: None,
            device: String::new(),
            rate_hz: 48_000,
            length_s: 1.0,
            note: String::new(),
            faults: Vec::new(),
            by_model: false,
            strikes: Vec::new(),
        }
    }

    #[test]
    fn published_values() {
        // FNV-1a with 128 bits of nothing and of "a": test vectors of the draft.
        assert_eq!(content_hash(b""), "6c62272e07bb014262b821756295c58d");
        assert_eq!(content_hash(b"a"), "d228cb696f1a8caf78912b704e4a8964");
    }

    #[test]
    fn sounds_that_no_take_names_are_listed() {
        let home = tempfile::tempdir().unwrap();
        let id = InstrumentId::new("anvil-1").unwrap();
        let file = put_sound(home.path(), &id, ("soft", "flac"), b"one").unwrap();
        put_sound(home.path(), &InstrumentId::new("sold").unwrap(), ("old", "flac"), b"three").unwrap();
        std::fs::write(home.path().join("sounds/anvil-1/soft.ron"), "()").unwrap();
        let mut library = Library::default();
        let names = |library: &Library| {
            let all = unnamed_sounds(home.path(), library);
            all.into_iter()
                .map(|one| format!("{}/{} {}", one.instrument, one.file, one.bytes))
                .collect::<Vec<_>>()
        };
        assert_eq!(names(&library), ["anvil-1/soft.flac 3", "sold/old.flac 5"]);
        let take = take(&file);
        library.takes = std::sync::Arc::new([(take.key(), std::sync::Arc::new(take))].into());
        assert_eq!(names(&library), ["sold/old.flac 5"]);
        assert!(unnamed_sounds(&home.path().join("nowhere"), &library).is_empty());
    }

    #[test]
    fn nothing_is_written_over() {
        let home = tempfile::tempdir().unwrap();
        let id = InstrumentId::new("anvil-1").unwrap();
        let put = |bytes: &[u8]| put_sound(home.path(), &id, ("soft", "flac"), bytes).unwrap();
        assert_eq!((put(b"one"), put(b"two")), ("soft.flac".to_owned(), "soft-2.flac".to_owned()));
        assert_eq!(read_sound(home.path(), &take("soft.flac")).unwrap(), b"one");
        assert!(find_sound(home.path(), &take("soft.flac")).is_ok());
        for missing in [
            read_sound(home.path(), &take("hard.flac")).unwrap_err(),
            find_sound(home.path(), &take("hard.flac")).unwrap_err(),
        ] {
            assert_eq!((missing.code, missing.file.as_str()), ("missing", "sounds/anvil-1/hard.flac"));
        }
    }

    #[test]
    fn a_record_leads_nowhere_else() {
        for file in ["../orchestra.ron", "/etc/hostname", "a/b.flac", "", "..", ".hidden", "c:\\x.wav"] {
            assert_eq!(sound_path(Path::new("/library"), &take(file)), None, "{file}");
        }
    }
}
