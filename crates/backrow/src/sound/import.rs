//! Takes into the library: a recording that was made here, or files from elsewhere. Runs beside the frame.

use crate::background::Stop;
use backrow_core::id::{InstrumentId, TakeId};
use backrow_core::library::Library;
use backrow_core::sound::{Strike, Take, TakeFault};
use backrow_files::library::{content_hash, put_sound, read_sound};
use backrow_files::score::is_music;
use backrow_files::sound::{Depth, ENDINGS, flac, read_file};
use backrow_sound::Analyser;
use backrow_sound::capture::peak_db;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The most files that are read at once.
const MOST: usize = 200;

/// What came of it.
#[derive(Clone, Debug, Default)]
pub struct Imported {
    /// Records whose sound is in the library's folder; the records are still to be put into the library.
    pub takes: Vec<Take>,
    /// What went wrong, each a sentence.
    pub troubles: Vec<String>,
}

/// Writes the sound of a take into the library's folder, and names it in the record.
///
/// # Errors
/// What could not be written, as a sentence.
pub fn keep(folder: &Path, mut take: Take, samples: &[f32]) -> Result<Take, String> {
    let bytes = flac(samples, take.rate_hz, Depth::TwentyFour).map_err(|problem| problem.to_string())?;
    take.file = put_sound(folder, &take.instrument, (take.id.as_str(), "flac"), &bytes)
        .map_err(|problem| problem.to_string())?;
    take.content = content_hash(&bytes);
    Ok(take)
}

/// The strikes of a recording, as they are found.
pub fn strikes(samples: &[f32], rate_hz: u32) -> Vec<Strike> {
    let Some(analyser) = Analyser::new(samples, f64::from(rate_hz)) else { return Vec::new() };
    let spans = analyser.strikes(backrow_sound::SENSITIVITY_DB);
    spans.into_iter().map(|span| analyser.strike(span)).collect()
}

/// What is wrong with a take's one channel, and with what it was made from: `clipped` samples of any channel.
pub fn faults(samples: &[f32], clipped: u64) -> Vec<TakeFault> {
    let mut faults = Vec::new();
    if clipped > 0 {
        faults.push(TakeFault::Clipped(clipped));
    }
    if peak_db(samples) < TakeFault::QUIET_DBFS {
        faults.push(TakeFault::TooQuiet);
    }
    faults
}

/// A take of an instrument with an id of its own, made from a name.
pub fn fresh(library: &Library, taken: &BTreeSet<TakeId>, instrument: &InstrumentId, name: &str) -> TakeId {
    TakeId::fresh(name, |id| taken.contains(id) || library.takes_of(instrument).any(|take| take.id == *id))
}

/// Reads recordings of an instrument from files and folders; each becomes a take with the strikes found in it.
pub fn import(
    library: &Library,
    folder: &Path,
    instrument: &InstrumentId,
    paths: &[PathBuf],
    stop: &Stop,
) -> Imported {
    let mut done = Imported::default();
    let files = files(paths, &mut done.troubles);
    let mut taken = BTreeSet::new();
    for path in &files {
        if stop.is_asked() {
            done.troubles.push("Importing was stopped before all files were read.".to_owned());
            break;
        }
        let name = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        match read_file(path) {
            Ok(recording) => {
                let id = fresh(library, &taken, instrument, &name);
                taken.insert(id.clone());
                let mut faults = faults(&recording.sound, recording.clipped);
                if recording.cut_short {
                    faults.push(TakeFault::CutShort);
                }
                let take = Take {
                    id,
                    instrument: instrument.clone(),
                    file: String::new(),
                    content: String::new(),
                    when: None,
                    device: String::new(),
                    rate_hz: recording.rate_hz,
                    length_s: recording.sound.len() as f64 / f64::from(recording.rate_hz.max(1)),
                    note: format!("from {name}"),
                    faults,
                    by_model: false,
                    strikes: strikes(&recording.sound, recording.rate_hz),
                };
                match keep(folder, take, &recording.sound) {
                    Ok(take) => done.takes.push(take),
                    Err(why) => done.troubles.push(why),
                }
            }
            Err(problem) => done.troubles.push(problem.to_string()),
        }
    }
    done
}

/// Makes a take of a file that lies in the instrument's folder and that no record names.
pub fn bring_back(library: &Library, folder: &Path, instrument: &InstrumentId, file: &str) -> Imported {
    let mut done = Imported::default();
    let stem =
        Path::new(file).file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let mut take = Take {
        id: fresh(library, &BTreeSet::new(), instrument, &stem),
        instrument: instrument.clone(),
        file: file.to_owned(),
        content: String::new(),
        when: None,
        device: String::new(),
        rate_hz: 0,
        length_s: 0.0,
        note: format!("brought back from {file}"),
        faults: Vec::new(),
        // Its record, which said so, is gone; the name that models give stays a mark.
        by_model: stem.starts_with("by-model"),
        strikes: Vec::new(),
    };
    let read = read_sound(folder, &take).map_err(|problem| problem.to_string()).and_then(|bytes| {
        take.content = content_hash(&bytes);
        backrow_files::sound::read(file, bytes).map_err(|problem| problem.to_string())
    });
    match read {
        Ok(recording) => {
            take.rate_hz = recording.rate_hz;
            take.length_s = recording.sound.len() as f64 / f64::from(recording.rate_hz.max(1));
            take.faults = faults(&recording.sound, recording.clipped);
            take.strikes = strikes(&recording.sound, recording.rate_hz);
            done.takes.push(take);
        }
        Err(why) => done.troubles.push(why),
    }
    done
}

/// The files meant by paths: those in a folder that end as recordings do.
fn files(paths: &[PathBuf], troubles: &mut Vec<String>) -> Vec<PathBuf> {
    let mut all = Vec::new();
    for path in paths {
        if !path.is_dir() {
            all.push(path.clone());
            continue;
        }
        let entries =
            std::fs::read_dir(path).into_iter().flatten().filter_map(|entry| Some(entry.ok()?.path()));
        let before = all.len();
        all.extend(entries.filter(|path| is_recording(path)));
        if all.len() == before {
            troubles.push(format!("There is no recording in {}.", path.display()));
        }
    }
    all.sort();
    all.dedup();
    if all.len() > MOST {
        troubles.push(format!(
            "Only the first {MOST} of {} files were read; import the others after them.",
            all.len()
        ));
        all.truncate(MOST);
    }
    all
}

/// The minute on the clock of this machine.
pub fn this_minute() -> jiff::civil::DateTime {
    use chrono::{Datelike as _, Timelike as _};
    let now = chrono::Local::now().naive_local();
    let small = |n: u32| i8::try_from(n).unwrap_or(0);
    let year = i16::try_from(now.year()).unwrap_or(1970);
    jiff::civil::DateTime::new(
        year,
        small(now.month()),
        small(now.day()),
        small(now.hour()),
        small(now.minute()),
        0,
        0,
    )
    .unwrap_or_default()
}

/// Whether a folder holds recordings and no score: then it is not read as a folder of scores.
pub fn is_of_recordings(folder: &Path) -> bool {
    let entries =
        || std::fs::read_dir(folder).into_iter().flatten().filter_map(|entry| Some(entry.ok()?.path()));
    let is_score = |path: PathBuf| path.file_name().is_some_and(|name| is_music(&name.to_string_lossy()));
    entries().any(|path| is_recording(&path)) && !entries().any(is_score)
}

/// Endings of recordings that are not read here.
const UNREAD: [&str; 22] = [
    "opus", "w64", "rf64", "bwf", "wma", "wv", "ape", "au", "snd", "amr", "ac3", "dts", "mka", "webm", "m4b",
    "mpc", "tta", "dsf", "dff", "spx", "mp2", "ra",
];

/// What is said of a recording that is not read here; `None` for every other file.
pub fn unread_words(path: &Path) -> Option<String> {
    let ending = path.extension()?.to_string_lossy().to_lowercase();
    let name = path.file_name()?.to_string_lossy();
    UNREAD.contains(&ending.as_str()).then(|| {
        format!("{name} is a recording of a sort that is not read here (.{ending}). Save it as WAV or FLAC, and drop that.")
    })
}

/// Whether a file's name ends as a recording's does.
pub fn is_recording(path: &Path) -> bool {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase()).unwrap_or_default();
    ENDINGS.contains(&ending.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("a.opus", true)]
    #[case("A.W64", true)]
    #[case("a.wav", false)]
    #[case("a.mxl", false)]
    #[case("opus", false)]
    fn recordings_of_other_sorts_are_told(#[case] name: &str, #[case] told: bool) {
        assert_eq!(unread_words(Path::new(name)).is_some(), told);
        assert!(!ENDINGS.iter().any(|ending| UNREAD.contains(ending)));
    }

    #[test]
    fn one_channel_of_a_file_may_be_clipped_while_their_mean_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("two.wav");
        // The head of a WAV of one channel, changed to two.
        let mut bytes = backrow_files::sound::wav(&[1.0, 0.1].repeat(2000), 48_000, Depth::Sixteen);
        bytes[22] = 2;
        bytes[32] = 4;
        bytes[28..32].copy_from_slice(&(48_000_u32 * 4).to_le_bytes());
        std::fs::write(&path, bytes).unwrap();
        let library = crate::sample::small();
        let thing = library.instruments.keys().next().unwrap().clone();
        let done = import(&library, folder.path(), &thing, &[path], &Stop::default());
        assert_eq!(done.takes[0].faults, [TakeFault::Clipped(1999)], "{:?}", done.troubles);
    }

    #[test]
    fn a_folder_of_recordings_is_told_from_one_of_scores() {
        let folder = tempfile::tempdir().unwrap();
        let put = |name: &str| std::fs::write(folder.path().join(name), "").unwrap();
        assert!(!is_of_recordings(folder.path()), "it is empty");
        put("bar 1.wav");
        put("notes.txt");
        assert!(is_of_recordings(folder.path()));
        put("part.musicxml");
        assert!(!is_of_recordings(folder.path()), "a score lies there too");
    }
}
