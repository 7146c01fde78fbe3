//! Files of music on disk: those in a folder, and one read whole.

use crate::problem::Problem;

use super::{ReadOptions, ScoreReading, is_music, read_music};
use backrow_core::collection::Kind;
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
    read_music(&name, &bytes, kinds, options).map_err(|why| why.to_string())
}
