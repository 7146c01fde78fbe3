//! What is known of the files on the disk.

use super::content::{BEATERS, Content, KINDS, ORCHESTRA, PLACES, PLAYERS, contents, folders};
use super::drive::{Drive, Look, Real, is_named};
use super::journal::Written;
use super::save::Kept;
use super::second::{is_record, is_second};
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::{Library, Orchestra, Shared};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

/// What stands on the disk as far as this program has read or written it. It goes with one folder and one history of
/// one library: made by `open` or `create_from`, kept up by `save`.
#[derive(Clone, Debug)]
pub struct DiskState {
    /// The machine's files, or those of a test.
    pub(super) drive: Arc<dyn Drive>,
    /// By the path that the thing's file has by rights, relative to the library, with `/` between folders.
    pub(super) files: BTreeMap<String, Known>,
    /// The kinds table, which is not written.
    pub(super) table: Shared<KindId, Kind>,
    /// Kinds of the table that the orchestra has struck out.
    pub(super) without: BTreeSet<KindId>,
    /// The kinds of the library as last read or written, to see which were struck out.
    pub(super) kinds: Shared<KindId, Kind>,
    /// The usual figures that stand in for an orchestra's own, where its file could not be read; they are not written.
    pub(super) usual: Option<Arc<Orchestra>>,
    /// Files of things that could not be read, and what they looked like then.
    pub(super) unread: BTreeMap<String, Option<Look>>,
    /// Why nothing may be written.
    pub(super) read_only: Option<String>,
    /// What a save that could not be done whole was to do.
    pub(super) unfinished: Option<Written>,
}

impl Default for DiskState {
    fn default() -> Self {
        Self {
            drive: Arc::new(Real),
            files: BTreeMap::new(),
            table: Shared::default(),
            without: BTreeSet::new(),
            kinds: Shared::default(),
            usual: None,
            unread: BTreeMap::new(),
            read_only: None,
            unfinished: None,
        }
    }
}

impl DiskState {
    /// Why nothing may be written, where that is so.
    pub fn read_only(&self) -> Option<&str> {
        self.read_only.as_deref()
    }

    /// Every file that a library has here and what it holds: nothing that is neither read nor entered.
    pub(super) fn contents(&self, library: &Library) -> BTreeMap<String, Content> {
        let mut all = contents(library, &self.table, &self.without, |file| self.files.contains_key(file));
        let usual = self.usual.as_ref().is_some_and(|usual| *usual == library.orchestra);
        if usual && !self.files.contains_key(ORCHESTRA) {
            all.remove(ORCHESTRA);
        }
        all
    }

    /// Whether files are known and not one of them is in the folder any more.
    pub(super) fn is_away(&self, dir: &Path) -> bool {
        let mut known = self.files.values();
        !self.files.is_empty() && !known.any(|known| is_named(&*self.drive, &on_disk(dir, &known.file)))
    }

    /// Files that somebody else has changed, added or taken away since they were read or written here; a quick look at times,
    /// lengths and names that reads nothing. Relative to the library, in order.
    pub fn changed_elsewhere(&self, dir: &Path) -> Vec<String> {
        let looks_same = |known: &Known| {
            let look = self.drive.look(&on_disk(dir, &known.file));
            look.is_ok_and(|look| look.length == known.stamp.length && look.modified == known.stamp.modified)
        };
        let changed = self.files.values().filter(|known| !looks_same(known)).map(|known| known.file.clone());
        let mut changed: BTreeSet<String> = changed.collect();
        let ours: BTreeSet<&str> = self.files.values().map(|known| known.file.as_str()).collect();
        let lists = [ORCHESTRA, PLAYERS, BEATERS, PLACES, KINDS].map(str::to_owned).into_iter();
        let within = |folder: String| {
            let names = self.drive.names(&on_disk(dir, &folder)).unwrap_or_default().into_iter();
            names.filter_map(|name| name.ok()?.into_string().ok()).map(move |name| (folder.clone(), name))
        };
        let records = folders(&*self.drive, dir)
            .into_iter()
            .flat_map(within)
            .filter(|(_, name)| is_record(name) && !name.starts_with('.'));
        for file in lists.chain(records.map(|(folder, name)| format!("{folder}/{name}"))) {
            let look = || self.drive.look(&on_disk(dir, &file)).ok();
            if !ours.contains(file.as_str()) && look() != self.unread.get(&file).copied().flatten() {
                changed.insert(file);
            }
        }
        changed.into_iter().collect()
    }

    /// The things that are kept in a version beside their file, because the file is somebody else's.
    pub fn two_versions(&self) -> Vec<Kept> {
        let both = self.files.iter().filter(|(path, known)| *path != &known.file && is_second(&known.file));
        both.map(|(path, known)| Kept { file: path.clone(), beside: known.file.clone() }).collect()
    }
}

/// One file as it was last read or written.
#[derive(Clone, Debug)]
pub(super) struct Known {
    /// Where it really stands, relative to the library.
    pub file: String,
    /// What it holds.
    pub content: Content,
    /// What it looked like.
    pub stamp: Stamp,
    /// What else of its looks is kept when it is written again.
    pub dress: Dress,
    /// Never written, because a newer program made it.
    pub newer: bool,
}

/// What a file looked like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stamp {
    length: u64,
    hash: u64,
    modified: Option<SystemTime>,
}

impl Stamp {
    /// The stamp of a file with those bytes that looks so.
    pub(super) fn new(look: Look, bytes: &[u8]) -> Self {
        Self { length: bytes.len() as u64, hash: hash(bytes), modified: look.modified }
    }

    /// The stamp of a file of that many bytes with that hash, whatever the clock says.
    pub(super) const fn of_numbers((length, hash): (u64, u64)) -> Self {
        Self { length, hash, modified: None }
    }

    /// How many bytes, and their hash.
    pub(super) const fn numbers(self) -> (u64, u64) {
        (self.length, self.hash)
    }

    /// Whether a file of those bytes has it, whatever the clock says.
    pub(super) fn is_of(self, bytes: &[u8]) -> bool {
        self.length == bytes.len() as u64 && self.hash == hash(bytes)
    }
}

/// A number that two texts hardly share. It stands in journals and in names of files, which a newer program may find.
pub(super) fn hash(bytes: &[u8]) -> u64 {
    crate::mark::fnv1a(bytes)
}

/// What a person may have given a file that its thing does not hold: comments above the first bracket, and the line
/// ends of another system.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Dress {
    header: String,
    crlf: bool,
}

impl Dress {
    pub(super) fn of(text: &str) -> Self {
        let header = text.split_once('(').map_or("", |(before, _)| before);
        // A bracket within a comment would cut it short: such a header is given up rather than broken.
        let whole = header.lines().all(|line| line.trim().is_empty() || line.trim_start().starts_with("//"))
            && (header.is_empty() || header.ends_with('\n'));
        Self {
            header: if whole { header.replace("\r\n", "\n") } else { String::new() },
            crlf: text.contains("\r\n"),
        }
    }

    /// The line of the first comment that would be lost when the file is written again.
    pub(super) fn comment_within(&self, text: &str) -> Option<u32> {
        // Hardly a file has one; to look for the two signs is much quicker than to go through every text in it.
        let may_have = |part: &str| part.contains("//") || part.contains("/*");
        let (above, rest) = text.split_once('(').unwrap_or((text, ""));
        if !may_have(rest) && (!may_have(above) || !self.header.is_empty()) {
            return None;
        }
        let mut quoted = false;
        let mut before = ' ';
        let mut line = 1_u32;
        let kept = self.header.matches('\n').count();
        for c in text.chars() {
            match c {
                '\n' => line = line.saturating_add(1),
                '"' if before != '\\' => quoted = !quoted,
                '/' | '*' if before == '/' && !quoted && line as usize > kept => return Some(line),
                _ => {}
            }
            // Two backslashes are one, and escape nothing.
            before = if c == '\\' && before == '\\' { ' ' } else { c };
        }
        None
    }

    /// The text in its dress.
    pub(super) fn put_on(&self, text: &str) -> String {
        let text = format!("{}{text}", self.header);
        if self.crlf { text.replace('\n', "\r\n") } else { text }
    }
}

/// The path of a file of the library on this system.
pub(super) fn on_disk(dir: &Path, file: &str) -> PathBuf {
    file.split('/').fold(dir.to_owned(), |path, part| path.join(part))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("(format: 1)", "", false)]
    #[case("// ours\n\n(format: 1)", "// ours\n\n", false)]
    #[case("// ours\r\n(format: 1)\r\n", "// ours\n", true)]
    #[case("// ours (really)\n(format: 1)", "", false)]
    #[case("/* ours */ (format: 1)", "", false)]
    fn headers_are_kept_where_they_are_whole(#[case] text: &str, #[case] header: &str, #[case] crlf: bool) {
        assert_eq!(Dress::of(text), Dress { header: header.to_owned(), crlf });
    }

    #[rstest]
    #[case("// ours\n(format: 1, url: \"a//b \\\" //\")", None)]
    #[case("// ours\n(format: 1, // theirs\n)", Some(2))]
    #[case("/* ours */ (format: 1)", Some(1))]
    #[case("(a: \"\\\\\", /* b */)", Some(1))]
    fn comments_within_are_found(#[case] text: &str, #[case] line: Option<u32>) {
        assert_eq!(Dress::of(text).comment_within(text), line);
    }
}
