//! A library as one file: a zip of its folder, to hand on or to put away, and back into a folder.

use super::create::make_folder;
use super::pour::{GoesOn, MOST, Most, Part, Told, pour, too_large, too_many};
use super::problem::{Problem, shown};
use std::fs;
use std::io::{self, Write};
use std::path::Path;
use zip::ZipArchive;
use zip::write::{SimpleFileOptions, ZipWriter};

/// What tells a library from any other zip, and what is opened first.
const MARK: &str = "orchestra.ron";
/// The same in format 1.
const OLD_MARK: &str = "house.ron";

/// Packs files into one that is not there yet; it appears whole or not at all. `false` when it was ended.
pub(super) fn pack(parts: &[Part], to: &Path, most: Most, goes_on: &GoesOn<'_>) -> Result<bool, Problem> {
    let say = |what: String, remedy: &str| Problem::new(shown(to), "pack", what, remedy);
    let folder = "save the copy as a folder: a name that does not end with .zip";
    let all: u64 = parts.iter().map(|part| part.bytes).sum();
    if parts.len() > most.files {
        return Err(say(too_many(most.files), folder));
    }
    if all > most.bytes {
        return Err(say(too_large(most.bytes), folder));
    }
    if to.exists() {
        return Err(say("it is there already".to_owned(), "choose another name"));
    }
    let io =
        |why: &dyn std::fmt::Display| say(format!("it cannot be written: {why}"), "choose another place");
    let parent = to.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    fs::create_dir_all(parent).map_err(|why| io(&why))?;
    let new = new_file(parent).map_err(|why| io(&why))?;
    let (mut told, mut left) = (Told::new(goes_on, all), most.bytes);
    let mut out = ZipWriter::new(io::BufWriter::new(new.as_file()));
    for Part { name, path, bytes } in parts {
        let options = SimpleFileOptions::default().large_file(*bytes >= u64::from(u32::MAX));
        out.start_file(name, options).map_err(|why| io(&why))?;
        let unread = |why: io::Error| Problem::io(name.clone(), "copy it", &why);
        let mut from = fs::File::open(path).map_err(unread)?;
        // A file may have grown since it was listed.
        let Some(went) = pour(&mut from, &mut out, left, &mut told).map_err(|why| io(&why))? else {
            return Ok(false);
        };
        left = left.checked_sub(went).ok_or_else(|| say(too_large(most.bytes), folder))?;
    }
    let mut rest = out.finish().map_err(|why| io(&why))?;
    rest.flush().map_err(|why| io(&why))?;
    drop(rest);
    new.as_file().sync_all().map_err(|why| io(&why))?;
    if !told.went(0) {
        return Ok(false);
    }
    new.persist_noclobber(to).map(|_file| true).or_else(|failed| {
        // Some drives know no renaming that leaves alone what is there.
        let is_taken = failed.error.kind() == io::ErrorKind::AlreadyExists || to.exists();
        if is_taken {
            Err(io(&failed.error))
        } else {
            failed.file.persist(to).map(|_file| true).map_err(|why| io(&why.error))
        }
    })
}

/// A temporary file with the rights of any new file.
fn new_file(parent: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".backrow-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(parent)
}

/// Unpacks a library into a folder that is missing or empty; it appears whole or not at all. A zip whose library lies in one folder
/// within it will do as well. `false` when it was ended; nothing is left of it then.
///
/// # Errors
/// Why it cannot be read or written, and what helps.
pub fn unpack(file: &Path, to: &Path, goes_on: &GoesOn<'_>) -> Result<bool, Problem> {
    unpack_most(file, to, MOST, goes_on)
}

fn unpack_most(file: &Path, to: &Path, most: Most, goes_on: &GoesOn<'_>) -> Result<bool, Problem> {
    let say = |what: String, remedy: &str| Problem::new(shown(file), "unpack", what, remedy);
    let unreadable =
        |why: &dyn std::fmt::Display| say(format!("it cannot be read: {why}"), "get the file once more");
    let open = fs::File::open(file).map_err(|why| unreadable(&why))?;
    let mut archive = ZipArchive::new(open).map_err(|why| unreadable(&why))?;
    let hardly = "this is hardly a library; get the file once more";
    if archive.len() > most.files {
        return Err(say(too_many(most.files), hardly));
    }
    let (mut names, mut stated) = (Vec::new(), 0_u64);
    for at in 0..archive.len() {
        let part = archive.by_index(at).map_err(|why| unreadable(&why))?;
        stated = stated.saturating_add(part.size());
        // A name that leads out of the folder is left out.
        names.push(part.enclosed_name().filter(|_| part.is_file()));
    }
    let marks = names
        .iter()
        .flatten()
        .filter(|name| name.file_name().is_some_and(|last| last == MARK || last == OLD_MARK));
    let top = marks.min_by_key(|name| name.components().count()).and_then(|name| name.parent());
    let Some(top) = top.map(Path::to_owned) else {
        let what = format!("it holds no library: there is no {MARK} in it");
        return Err(say(what, "choose a file that was saved with “Save a copy of the library”"));
    };
    if stated > most.bytes {
        return Err(say(too_large(most.bytes), hardly));
    }
    let mut told = Told::new(goes_on, stated);
    make_folder(to, |folder| {
        let mut left = most.bytes;
        for (at, name) in names.iter().enumerate() {
            let Some(within) = name.as_ref().and_then(|name| name.strip_prefix(&top).ok()) else { continue };
            if within.components().any(|part| part.as_os_str().to_string_lossy().starts_with('.')) {
                continue;
            }
            let mut part = archive.by_index(at).map_err(|why| unreadable(&why))?;
            let path = folder.join(within);
            let io = |error: &io::Error| Problem::io(within.display().to_string(), "write it", error);
            if let Some(parent) = path.parent() {
                fs::create_dir_all(parent).map_err(|error| io(&error))?;
            }
            let mut out = fs::File::create(&path).map_err(|error| io(&error))?;
            // More may come out than is stated.
            let poured = pour(&mut part, &mut out, left, &mut told).map_err(|why| unreadable(&why))?;
            let Some(written) = poured else { return Ok(false) };
            left = left.checked_sub(written).ok_or_else(|| say(too_large(most.bytes), hardly))?;
            out.sync_all().map_err(|error| io(&error))?;
        }
        Ok(told.went(0))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::pour::parts_of;
    use std::io::Cursor;

    /// A folder with three files, packed.
    fn packed(most: Most) -> (tempfile::TempDir, Result<bool, Problem>) {
        let home = tempfile::tempdir().unwrap();
        let folder = home.path().join("one");
        fs::create_dir_all(folder.join("sounds")).unwrap();
        for (file, text) in [("orchestra.ron", "(format: 1)"), ("a.ron", "x"), ("sounds/b.flac", "yy")] {
            fs::write(folder.join(file), text).unwrap();
        }
        let parts = parts_of(&folder, "", 100).unwrap();
        let done = pack(&parts, &home.path().join("one.zip"), most, &|_, _| true);
        (home, done)
    }

    #[rstest::rstest]
    #[case(Most { files: 3, bytes: 14 }, "")]
    #[case(Most { files: 2, bytes: 14 }, "more than 2 files; save the copy as a folder")]
    #[case(Most { files: 3, bytes: 13 }, "more than 13 bytes together; save the copy as a folder")]
    fn there_is_a_limit_to_what_is_packed(#[case] most: Most, #[case] why: &str) {
        let (home, done) = packed(most);
        assert_eq!(done.is_ok(), why.is_empty());
        assert_eq!(home.path().join("one.zip").exists(), why.is_empty());
        assert_eq!(fs::read_dir(home.path()).unwrap().count(), if why.is_empty() { 2 } else { 1 });
        let said = done.map_or_else(|problem| problem.to_string(), |_done| String::new());
        assert!(said.contains(why), "{said}");
    }

    #[rstest::rstest]
    #[case(Most { files: 3, bytes: 14 }, "")]
    #[case(Most { files: 2, bytes: 14 }, "more than 2 files")]
    #[case(Most { files: 3, bytes: 13 }, "more than 13 bytes together")]
    fn there_is_a_limit_to_what_is_unpacked(#[case] most: Most, #[case] why: &str) {
        let (home, _done) = packed(MOST);
        let (file, to) = (home.path().join("one.zip"), home.path().join("to"));
        let done = unpack_most(&file, &to, most, &|_, _| true);
        assert_eq!((done.is_ok(), to.exists()), (why.is_empty(), why.is_empty()));
        let said = done.map_or_else(|problem| problem.to_string(), |_done| String::new());
        assert!(said.contains(why), "{said}");
        assert!(!why.is_empty() || unpack(&file, &to, &|_, _| true).is_err(), "nothing is written over");
    }

    #[test]
    fn strange_files_leave_nothing_behind() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("x.zip");
        let to = folder.path().join("to");
        fs::write(&file, b"PK but not really").unwrap();
        assert!(unpack(&file, &to, &|_, _| true).is_err() && !to.exists());
        let mut out = ZipWriter::new(Cursor::new(Vec::new()));
        out.start_file("../out.ron", SimpleFileOptions::default()).unwrap();
        out.write_all(b"x").unwrap();
        out.start_file("Westmere/orchestra.ron", SimpleFileOptions::default()).unwrap();
        out.write_all(b"(format: 1, name: \"Westmere\")").unwrap();
        fs::write(&file, out.finish().unwrap().into_inner()).unwrap();
        assert!(unpack(&file, &to, &|_, _| true).unwrap());
        assert!(to.join("orchestra.ron").is_file() && !folder.path().join("out.ron").exists());
        let mut out = ZipWriter::new(Cursor::new(Vec::new()));
        out.start_file("notes.txt", SimpleFileOptions::default()).unwrap();
        fs::write(&file, out.finish().unwrap().into_inner()).unwrap();
        let refused = unpack(&file, &folder.path().join("other"), &|_, _| true).unwrap_err();
        assert!(refused.to_string().contains("orchestra.ron"), "{refused}");
    }
}
