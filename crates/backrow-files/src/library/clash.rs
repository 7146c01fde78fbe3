//! Two versions of one file, wherever they come from: kept beside it by a save, left beside it by a sync tool, or left in it by
//! version control with marks around the lines. They are found, and one of them or a choice of both is put in the file's place.

use super::content::Content;
use super::disk::{DiskState, Dress, Known, Stamp, on_disk};
use super::earlier;
use super::merge::{parse, set};
use super::open::{LARGEST, NEWER, decode};
use super::problem::{COPY, Problem};
use super::ron_text::marked_line;
use super::second::{Second, second_of};
use super::versions::kept_versions;
use super::writer::{Put, Writer, half_beside};
use backrow_core::library::Library;
use std::io::ErrorKind;
use std::path::Path;

/// Where the other version of a file is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Other {
    /// In that file, kept beside it when it was saved.
    Kept(String),
    /// In that file, left beside it by a sync tool.
    Copy(String),
    /// In the file itself, behind the marks of version control.
    Marks,
}

/// Two versions of one file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// The file, relative to the library.
    pub file: String,
    /// Where the other version is.
    pub other: Other,
    /// The text of the version that stands.
    pub stands: String,
    /// The text of the other.
    pub beside: String,
    /// The whole file as it was looked at.
    whole: Vec<u8>,
}

impl Clash {
    /// The file with the other version, where it has one of its own.
    pub fn other_file(&self) -> Option<&str> {
        match &self.other {
            Other::Kept(file) | Other::Copy(file) => Some(file),
            Other::Marks => None,
        }
    }
}

/// Every file of the library with two versions, in order.
pub fn clashes(dir: &Path, disk: &DiskState) -> Vec<Clash> {
    let read = |file: &str| disk.drive.read(&on_disk(dir, file), LARGEST).unwrap_or_default();
    let text = |file: &str, bytes: &[u8]| {
        decode(file, bytes).unwrap_or_else(|_why| String::from_utf8_lossy(bytes).into_owned())
    };
    let beside = kept_versions(dir).into_iter().map(|kept| {
        let name = kept.beside.rsplit_once('/').map_or(kept.beside.as_str(), |(_, name)| name);
        let is_copy = second_of(name).is_some_and(|(_, from)| from == Second::Copy);
        let (whole, other) = (read(&kept.file), read(&kept.beside));
        Clash {
            stands: text(&kept.file, &whole),
            beside: text(&kept.beside, &other),
            other: if is_copy { Other::Copy(kept.beside) } else { Other::Kept(kept.beside) },
            file: kept.file,
            whole,
        }
    });
    let marked = disk.unread.keys().filter_map(|file| {
        let whole = read(file);
        let (stands, beside) = sides(&text(file, &whole))?;
        Some(Clash { file: file.clone(), other: Other::Marks, stands, beside, whole })
    });
    let mut all: Vec<Clash> = beside.chain(marked).collect();
    all.sort_by(|a, b| (&a.file, a.other_file()).cmp(&(&b.file, b.other_file())));
    all
}

/// The two texts that version control has put into one; `None` where there are no such marks.
fn sides(text: &str) -> Option<(String, String)> {
    marked_line(text)?;
    let (mut one, mut other) = (String::new(), String::new());
    // Which of the two a line belongs to; what both came from belongs to neither.
    let mut to = (true, true);
    for line in text.split_inclusive('\n') {
        match line.get(..7) {
            Some("<<<<<<<") => to = (true, false),
            Some("|||||||") => to = (false, false),
            Some("=======") if to != (true, true) => to = (false, true),
            Some(">>>>>>>") => to = (true, true),
            _ => {
                if to.0 {
                    one.push_str(line);
                }
                if to.1 {
                    other.push_str(line);
                }
            }
        }
    }
    Some((one, other))
}

/// Puts a text in the place of a file with two versions, and the version beside it, if there is one, among the file's earlier
/// ones, where what stood there goes too. Returns the library with it; nothing else is to be written.
///
/// # Errors
/// The text cannot be read, the file has changed since it was looked at, or the drive refuses; then everything is as it was.
pub fn decide(
    dir: &Path,
    disk: &mut DiskState,
    clash: &Clash,
    text: &str,
    now: &Library,
) -> Result<Library, Problem> {
    let file = clash.file.as_str();
    let ours = |known: &Known| known.file == file || Some(known.file.as_str()) == clash.other_file();
    if let Some(why) = &disk.read_only {
        let what = format!("nothing was changed, for the library is read-only: {why}");
        return Err(Problem::new(file, "read-only", what, COPY));
    }
    if disk.files.values().any(|known| known.newer && ours(known)) {
        let what = "it was made by a newer program and is not changed here";
        return Err(Problem::new(file, NEWER, what, "choose with the newer program"));
    }
    let content = parse(file, text)?;
    let dress = Dress::of(&String::from_utf8_lossy(&clash.whole));
    let text = content.text().map_err(|error| {
        let what = format!("could not be put into words: {error}");
        Problem::new(file, "internal", what, COPY)
    })?;
    let text = dress.put_on(&text);
    let drive = disk.drive.clone();
    let writer = Writer { drive: &*drive, dir };
    let failed = |error: &std::io::Error| Problem::io(file, "write it", error);
    let seen = match drive.look(&on_disk(dir, file)) {
        Ok(look) => Some(Stamp::new(look, &clash.whole)),
        Err(error) if error.kind() == ErrorKind::NotFound => None,
        Err(error) => return Err(failed(&error)),
    };
    let Put::Done(stamp) = writer.put(file, text.as_bytes(), seen).map_err(|error| failed(&error))? else {
        let what = "it has changed again since it was shown, so nothing was written";
        return Err(Problem::new(file, "changed-elsewhere", what, "look at the two versions again"));
    };
    if let Some(other) = clash.other_file() {
        put_away(&writer, other, clash);
    }
    disk.files.retain(|_, known| !ours(known));
    disk.unread.remove(file);
    let mut library = now.clone();
    set(&mut library, &disk.table, &content);
    if let Content::Kinds(own) = &content {
        disk.without.clone_from(&own.without);
        disk.kinds = library.kinds.clone();
    }
    let known = Known { file: file.to_owned(), content: content.clone(), stamp, dress, newer: false };
    disk.files.insert(content.path(), known);
    Ok(library)
}

/// Puts a version that lay beside a file among the file's earlier ones, unless it has changed since: then it stays to be looked
/// at again, as it does where it cannot be moved.
fn put_away(writer: &Writer<'_>, other: &str, clash: &Clash) {
    let path = on_disk(writer.dir, other);
    let same = |bytes: &[u8]| decode(other, bytes).is_ok_and(|text| text == clash.beside);
    if !writer.drive.read(&path, LARGEST).is_ok_and(|bytes| same(&bytes)) {
        return;
    }
    let half = half_beside(writer.drive, &on_disk(writer.dir, &clash.file));
    if writer.drive.rename_new(&path, &half).is_ok() {
        earlier::park(writer, &half, &clash.file);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_marks_of_version_control_come_apart() {
        let text = "(\n<<<<<<< ours\n  a: 1,\n||||||| both\n  a: 0,\n=======\n  a: 2,\n>>>>>>> theirs\n)\n";
        assert_eq!(sides(text), Some(("(\n  a: 1,\n)\n".to_owned(), "(\n  a: 2,\n)\n".to_owned())));
        assert_eq!(sides("(a: \"<<<<<<<\")\n"), None);
    }
}
