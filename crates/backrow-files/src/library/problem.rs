//! What went wrong with a file, where, and what would mend it.

use std::fmt;
use std::io;
use std::path::Path;

/// Something that a person should know about the library on disk. Whatever is not named in one went well.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The file or folder, relative to the library with `/` between folders: `instruments/xylophone-2.ron`; the whole
    /// path where the library's own folder is meant.
    pub file: String,
    /// The line, from 1, where one is known.
    pub line: Option<u32>,
    /// The column in characters, from 1, where one is known.
    pub column: Option<u32>,
    /// A short stable word for scripts: `syntax`, `unknown-field`, `changed-elsewhere`, ...
    pub code: &'static str,
    /// What was found, a sentence without its stop.
    pub what: String,
    /// What would mend it, a sentence without its stop.
    pub remedy: String,
}

impl Problem {
    pub(super) fn new(
        file: impl Into<String>,
        code: &'static str,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        let (what, remedy) = (crate::limits::said(&what.into()), crate::limits::said(&remedy.into()));
        Self { file: file.into(), line: None, column: None, code, what, remedy }
    }

    pub(super) fn at(mut self, line: Option<u32>) -> Self {
        self.line = line;
        self
    }

    /// What the disk said, in words, with what usually helps.
    pub(super) fn io(file: impl Into<String>, doing: &str, error: &io::Error) -> Self {
        let (code, what, remedy) = words_of(error);
        Self::new(file, code, format!("could not {doing}: {what}"), remedy)
    }
}

impl fmt::Display for Problem {
    /// `instruments/x.ron:12: what; remedy`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:", self.file)?;
        if let Some(line) = self.line {
            write!(f, "{line}:")?;
        }
        write!(f, " {}; {}", self.what, self.remedy)
    }
}

impl std::error::Error for Problem {}

impl From<Problem> for crate::problem::Problem {
    fn from(problem: Problem) -> Self {
        let Problem { file, line, code, what, remedy, .. } = problem;
        let place = line.map_or(file.clone(), |line| format!("{file}, line {line}"));
        Self { code, place, what, remedy }
    }
}

/// What helps where the library cannot be saved in its folder.
pub(super) const COPY: &str = "save a copy of the library elsewhere";

/// The first few files by name and the others by their number.
pub(super) fn some_of(files: &[String]) -> String {
    const FEW: usize = 6;
    let named = files.iter().take(FEW).map(String::as_str).collect::<Vec<_>>().join(", ");
    if files.len() > FEW { format!("{named} and {} more", files.len() - FEW) } else { named }
}

/// A stable code, the cause and the remedy of an error of the disk.
fn words_of(error: &io::Error) -> (&'static str, String, &'static str) {
    use io::ErrorKind as K;
    let (code, cause, remedy) = match error.kind() {
        K::NotFound => {
            ("missing", "it is not there", "check that the drive is connected and the folder not renamed")
        }
        K::PermissionDenied => (
            "no-permission",
            "the system does not permit it",
            "ask for the right to write there, or save a copy of the library elsewhere",
        ),
        K::ReadOnlyFilesystem => (
            "read-only-drive",
            "the drive is read-only",
            "save a copy of the library on a drive that can be written",
        ),
        K::StorageFull | K::QuotaExceeded => (
            "disk-full",
            "the drive is full",
            "make room on the drive; it is tried again by itself, or save a copy elsewhere",
        ),
        K::NotADirectory => (
            "not-a-folder",
            "a file stands where a folder should be",
            "move that file away; it is tried again by itself",
        ),
        K::AlreadyExists => (
            "in-the-way",
            "something of that name is already there",
            "move it away; it is tried again by itself",
        ),
        K::FileTooLarge => (
            "too-large",
            "it is far larger than anything in a library",
            "move it away, or take the file from a backup",
        ),
        K::InvalidInput => (
            "not-a-file",
            "it is not a plain file but a pipe or a device",
            "move it away, or put a plain file in its place",
        ),
        K::InvalidFilename => (
            "long-name",
            "the folder’s path is too long for this system",
            "move the library to a folder with a shorter path, or save a copy of it there",
        ),
        K::ResourceBusy | K::WouldBlock | K::ExecutableFileBusy => (
            "in-use",
            "another program holds the file",
            "close the file in the other program; it is tried again by itself",
        ),
        K::IsADirectory => {
            ("not-a-file", "a folder stands where a file should be", "move that folder away, then try again")
        }
        _ => ("disk", "the disk refused", "try again; if it stays, save a copy of the library elsewhere"),
    };
    (code, format!("{cause} ({error})"), remedy)
}

/// A path for people: as the system shows it.
pub(super) fn shown(path: &Path) -> String {
    path.display().to_string()
}

/// The candidate nearest to a mistyped word, if one is near enough to be meant.
pub(super) fn nearest<'a>(word: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let allowed = (word.chars().count() / 3).max(2);
    candidates
        .map(|candidate| (distance(word, candidate), candidate))
        .min()
        .filter(|(far, _)| *far <= allowed)
        .map(|(_, candidate)| candidate)
}

/// Edits of one character that turn one word into the other (Levenshtein 1966).
fn distance(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (i, a) in one.chars().enumerate() {
        let mut diagonal = i;
        let mut left = i + 1;
        for (cell, b) in row.iter_mut().skip(1).zip(&other) {
            let here = (diagonal + usize::from(a != *b)).min(left + 1).min(*cell + 1);
            diagonal = std::mem::replace(cell, here);
            left = here;
        }
        if let Some(first) = row.first_mut() {
            *first = i + 1;
        }
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("kitten", "sitting", 3)]
    #[case("", "abc", 3)]
    #[case("abc", "", 3)]
    #[case("same", "same", 0)]
    #[case("plcae", "place", 2)]
    fn distances(#[case] one: &str, #[case] other: &str, #[case] expected: usize) {
        assert_eq!(distance(one, other), expected);
    }

    #[test]
    fn only_near_words_are_offered() {
        let fields = ["name", "place", "material"];
        assert_eq!(nearest("materail", fields.into_iter()), Some("material"));
        assert_eq!(nearest("loudspeaker", fields.into_iter()), None);
    }

    #[rstest]
    #[case(io::ErrorKind::NotFound, "missing", "drive is connected")]
    #[case(io::ErrorKind::PermissionDenied, "no-permission", "ask for the right")]
    #[case(io::ErrorKind::ReadOnlyFilesystem, "read-only-drive", "can be written")]
    #[case(io::ErrorKind::QuotaExceeded, "disk-full", "make room")]
    #[case(io::ErrorKind::InvalidFilename, "long-name", "shorter path")]
    #[case(io::ErrorKind::ResourceBusy, "in-use", "close the file")]
    #[case(io::ErrorKind::WouldBlock, "in-use", "tried again by itself")]
    #[case(io::ErrorKind::Other, "disk", "save a copy")]
    fn every_refusal_has_a_word_and_a_remedy(
        #[case] kind: io::ErrorKind,
        #[case] code: &str,
        #[case] remedy: &str,
    ) {
        let problem = Problem::io("works/x.ron", "write it", &kind.into());
        assert_eq!(problem.code, code);
        assert!(problem.remedy.contains(remedy), "{problem}");
    }

    #[test]
    fn a_full_disk_has_its_remedy() {
        let error = io::Error::from(io::ErrorKind::StorageFull);
        let problem = Problem::io("works/x.ron", "write it", &error);
        assert_eq!(problem.code, "disk-full");
        assert!(problem.to_string().contains("make room"), "{problem}");
    }
}
