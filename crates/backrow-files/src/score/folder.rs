//! Files of music on disk: those in a folder, and one read whole.

use crate::problem::Problem;

use super::{ReadOptions, ScoreReading, is_music};
use backrow_core::collection::Kind;
use backrow_core::halt::Halt;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use std::path::{Path, PathBuf};

/// The most files that one folder yields, and how deep folders within it are looked through.
const MOST_FILES: usize = 2000;
const DEEPEST: usize = 8;

/// The files of music in a folder.
#[derive(Debug, Default)]
pub struct MusicFiles {
    /// In order of their paths.
    pub files: Vec<PathBuf>,
    /// What was left out, and why.
    pub problems: Vec<Problem>,
}

/// Every file of music in a folder and the folders within it.
///
/// # Errors
/// When one of the folders cannot be listed.
pub fn music_in(folder: &Path) -> std::io::Result<MusicFiles> {
    let (root, mut too_deep) = (folder, Vec::new());
    let mut files = Vec::new();
    let mut open = vec![(folder.to_owned(), 0)];
    while let Some((folder, depth)) = open.pop() {
        for entry in std::fs::read_dir(&folder)? {
            let entry = entry?;
            let (path, kind) = (entry.path(), entry.file_type()?);
            if kind.is_dir() && depth < DEEPEST {
                open.push((path, depth + 1));
            } else if kind.is_dir() {
                too_deep.push(path);
            } else if kind.is_file() && is_music(&entry.file_name().to_string_lossy()) {
                files.push(path);
            }
        }
    }
    files.sort();
    too_deep.sort();
    let mut problems = Vec::new();
    if let Some(first) = too_deep.first() {
        let others = match too_deep.len() - 1 {
            0 => String::new(),
            more => format!(", nor are {more} more"),
        };
        problems.push(Problem {
            code: "score-folder",
            place: first.strip_prefix(root).unwrap_or(first).display().to_string(),
            what: format!("it lies more than {DEEPEST} folders deep and is not looked into{others}"),
            remedy: "name a folder further down".to_owned(),
        });
    }
    if let Some(left) = files.get(MOST_FILES) {
        problems.push(Problem {
            code: "score-folder",
            place: left.strip_prefix(root).unwrap_or(left).display().to_string(),
            what: format!(
                "with it there are {} scores, and at most {MOST_FILES} are read at once; those from here on are left out",
                files.len()
            ),
            remedy: "name one of the folders within it".to_owned(),
        });
        files.truncate(MOST_FILES);
    }
    Ok(MusicFiles { files, problems: problems.into_iter().map(Problem::cut).collect() })
}

/// Reads one file of music.
///
/// # Errors
/// What is wrong and what mends it, in words.
pub fn read_file(
    path: &Path,
    kinds: &Shared<KindId, Kind>,
    options: &ReadOptions,
) -> Result<ScoreReading, String> {
    let ended = || format!("{}: the reading was ended.", path.display());
    read_file_while(path, kinds, options, &Halt::default()).and_then(|read| read.ok_or_else(ended))
}

/// The same, for as long as the answer is wanted: `None` when it was ended. How far the text of a score is read is told with the
/// question, in bytes.
///
/// # Errors
/// What is wrong and what mends it, in words.
pub fn read_file_while(
    path: &Path,
    kinds: &Shared<KindId, Kind>,
    options: &ReadOptions,
    halt: &Halt,
) -> Result<Option<ScoreReading>, String> {
    let say = |why: std::io::Error| {
        format!("{} cannot be read: {why}. Check the path and its rights.", path.display())
    };
    let length = std::fs::metadata(path).map_err(say)?.len();
    if length > options.most_bytes {
        return Err(format!(
            "{} has {} MB; a score of up to {} MB is read.",
            path.display(),
            length >> 20,
            options.most_bytes >> 20
        ));
    }
    let bytes = crate::limits::read_plain(path, options.most_bytes).map_err(say)?;
    let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let read = super::read_music_while(&name, &bytes, (kinds, options), halt);
    if halt.is_asked() {
        return Ok(None);
    }
    read.map(Some).map_err(|why| why.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicU64, Ordering};

    /// A score of so many measures for one part.
    fn score(measures: usize) -> String {
        let measure = "<measure><note><unpitched/><duration>1</duration></note></measure>";
        format!(
            "<score-partwise><part-list><score-part id=\"P1\"><part-name>Snare drum</part-name></score-part></part-list>\
             <part id=\"P1\">{}</part></score-partwise>",
            measure.repeat(measures)
        )
    }

    #[test]
    fn a_reading_tells_how_far_it_has_come_and_ends_when_it_is_not_wanted() {
        let folder = tempfile::tempdir().expect("made here");
        let file = folder.path().join("long.musicxml");
        let text = score(2000);
        std::fs::write(&file, &text).expect("made here");
        let kinds = crate::kinds::standard().expect("the kinds table");
        let read = |halt: &Halt| read_file_while(&file, &kinds, &ReadOptions::default(), halt);
        let reached = Arc::new(AtomicU64::new(0));
        let of = Arc::clone(&reached);
        let whole = Halt::when(move |far| {
            let far = far.map_or(0, |far| far.steps);
            of.fetch_max(far, Ordering::Relaxed);
            false
        });
        let reading = read(&whole).expect("it reads").expect("nobody ended it");
        assert_eq!(reading.lines.len(), 1);
        let end = text.len() as u64;
        assert!(reached.load(Ordering::Relaxed) > end * 9 / 10, "told to the end");
        // Ended in the middle it reads no further.
        let last = Arc::new(AtomicU64::new(0));
        let seen = Arc::clone(&last);
        let ends = Halt::when(move |far| {
            let far = far.map_or(u64::MAX, |far| far.steps);
            if far != u64::MAX {
                seen.fetch_max(far, Ordering::Relaxed);
            }
            far > end / 2
        });
        assert!(read(&ends).expect("that is no fault").is_none());
        assert!(last.load(Ordering::Relaxed) < end * 6 / 10, "it stopped soon");
    }
}
