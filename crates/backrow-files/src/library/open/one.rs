//! One file: its text, brought forward, and the record in it.

use super::super::disk::{Dress, Stamp, on_disk};
use super::super::drive::Drive;
use super::super::problem::Problem;
use super::super::record::Record;
use super::super::ron_text;
use super::super::version::{FORMAT, STEPS, Version, bring_forward};
use super::{FORMAT_REMEDY, LARGEST, NEWER};
use std::path::Path;
use std::sync::Arc;

/// A file that has been read and is in today's format.
pub(super) struct Source {
    pub(super) file: String,
    pub(super) text: Arc<str>,
    pub(super) stamp: Stamp,
    pub(super) dress: Dress,
    /// The format of the newer program that made it.
    pub(super) newer: Option<u32>,
}

/// What was read of one file, and what could not be.
pub(super) struct One<V> {
    pub(super) source: Option<Source>,
    pub(super) value: Option<V>,
    pub(super) problems: Vec<Problem>,
}

/// Reads one file.
pub(super) fn read_one<R: Record>(drive: &dyn Drive, dir: &Path, file: &str) -> One<R::Value> {
    let mut one = One { source: None, value: None, problems: Vec::new() };
    let source = match source(drive, dir, file) {
        Ok(source) => source,
        Err(problem) => {
            one.problems.push(problem);
            return one;
        }
    };
    if let Some(version) = source.newer {
        let what = format!("it was made by a newer Backrow (format {version}, here {FORMAT})");
        one.problems.push(Problem::new(file, NEWER, what, FORMAT_REMEDY).at(Some(1)));
        // That it is newer has been said; what cannot be read of it is not shown.
        one.value = ron_text::read_newer::<R>(&source.text).map(Record::value);
    } else {
        one.problems.extend(comment(&source));
        match ron_text::read::<R>(file, &source.text) {
            Ok(record) => one.value = Some(record.value()),
            Err(problem) => one.problems.push(problem),
        }
    }
    one.source = Some(source);
    one
}

/// Comments above the first bracket are kept when a file is written again; those further down cannot be.
fn comment(source: &Source) -> Option<Problem> {
    let line = source.dress.comment_within(&source.text)?;
    let what = "there is a comment in it, which will be lost when the file is next written";
    let remedy = "move it above the first bracket, each line beginning with //, or into a remark";
    Some(Problem::new(&source.file, "comment", what, remedy).at(Some(line)))
}

/// Reads a file of text and brings it forward.
fn source(drive: &dyn Drive, dir: &Path, file: &str) -> Result<Source, Problem> {
    let (stamp, text) = text_of(drive, dir, file)?;
    let dress = Dress::of(&text);
    let (text, newer) = match bring_forward(file, &text, FORMAT, STEPS) {
        Version::Readable(text) => (text, None),
        Version::Newer(version) => (text, Some(version)),
        Version::Unknown(what) => {
            // Where the text cannot be read at all, that is the better news.
            return Err(ron_text::read::<ron::Value>(file, &text).err().unwrap_or_else(|| {
                let remedy = format!("begin it with \"(format: {FORMAT},\" if it is of today’s format");
                Problem::new(file, "unknown-format", what, remedy).at(Some(1))
            }));
        }
    };
    Ok(Source { file: file.to_owned(), text: text.into(), stamp, dress, newer })
}

fn text_of(drive: &dyn Drive, dir: &Path, file: &str) -> Result<(Stamp, String), Problem> {
    let path = on_disk(dir, file);
    let io = |error: &std::io::Error| Problem::io(file, "read it", error);
    // Looked at before it is read: what is written in between then looks changed, and is read again.
    let look = drive.look(&path).map_err(|error| io(&error))?;
    if look.length > LARGEST {
        let what = format!("it is {} MB, far larger than any library file", look.length >> 20);
        let remedy = "move it away, or take the file from a backup";
        return Err(Problem::new(file, "too-large", what, remedy));
    }
    let bytes = drive.read(&path, LARGEST).map_err(|error| io(&error))?;
    let text = decode(file, &bytes)?;
    Ok((Stamp::new(look, &bytes), text))
}

/// The text of a file: UTF-8, with or without a byte order mark.
pub(in super::super) fn decode(file: &str, bytes: &[u8]) -> Result<String, Problem> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if bytes.is_empty() {
        let remedy =
            "the file was cut off when it was written or copied: take it from a backup, or delete it";
        return Err(Problem::new(file, "empty", "there is nothing in it", remedy));
    }
    let remedy = "save it as UTF-8 in your editor";
    if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
        return Err(Problem::new(file, "not-utf-8", "it is written in UTF-16, not in UTF-8", remedy));
    }
    std::str::from_utf8(bytes).map(ToOwned::to_owned).map_err(|error| {
        let before = bytes.get(..error.valid_up_to()).unwrap_or_default();
        let line = before.split(|b| *b == b'\n').count();
        Problem::new(file, "not-utf-8", "a letter in it is not written in UTF-8", remedy)
            .at(u32::try_from(line).ok())
    })
}

/// The line, from 1, in which a text first stands.
pub(super) fn line_of(text: &str, wanted: &str) -> Option<u32> {
    text.find(wanted).map(|at| line_at(text, at))
}

/// The line, from 1, of a byte of the text.
pub(super) fn line_at(text: &str, at: usize) -> u32 {
    let breaks = text.bytes().take(at).filter(|b| *b == b'\n').count();
    u32::try_from(breaks).unwrap_or(u32::MAX).saturating_add(1)
}
