//! A library as one file: a zip of its folder, to hand on or to put away, and back into a folder.

use super::create::make_folder;
use super::problem::{Problem, shown};
use std::fs;
use std::io::{Cursor, Read, Write};
use std::path::{Path, PathBuf};
use zip::ZipArchive;
use zip::write::{SimpleFileOptions, ZipWriter};

/// Files that a parcel may hold.
const MOST_FILES: usize = 60_000;
/// Bytes that they may have together, unpacked.
const MOST_BYTES: u64 = 8 << 30;
/// What tells a library from any other zip, and what is opened first.
const MARK: &str = "orchestra.ron";
/// The same in format 1.
const OLD_MARK: &str = "house.ron";

/// Every file of a library's folder in one zip; what is hidden stays behind: earlier versions and locks are this folder's own.
pub fn pack(library: &Path) -> Result<Vec<u8>, Problem> {
    let say = |why: &dyn std::fmt::Display| {
        Problem::new(
            shown(library),
            "pack",
            format!("it cannot be packed: {why}"),
            "check the folder and its rights",
        )
    };
    let mut files = Vec::new();
    list(library, "", &mut files).map_err(|why| say(&why))?;
    files.sort();
    let mut out = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, path) in files {
        out.start_file(name, SimpleFileOptions::default()).map_err(|why| say(&why))?;
        let bytes = fs::read(path).map_err(|why| say(&why))?;
        out.write_all(&bytes).map_err(|why| say(&why))?;
    }
    out.finish().map(Cursor::into_inner).map_err(|why| say(&why))
}

fn list(folder: &Path, prefix: &str, files: &mut Vec<(String, PathBuf)>) -> std::io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let Ok(name) = entry.file_name().into_string() else { continue };
        if name.starts_with('.') {
            continue;
        }
        let kind = entry.file_type()?;
        if kind.is_dir() {
            list(&entry.path(), &format!("{prefix}{name}/"), files)?;
        } else if kind.is_file() {
            files.push((format!("{prefix}{name}"), entry.path()));
        }
    }
    Ok(())
}

/// Unpacks a library into a folder that is missing or empty; it appears whole or not at all. A zip whose library lies in one folder
/// within it will do as well.
pub fn unpack(file: &Path, to: &Path) -> Result<(), Problem> {
    let say = |what: String, remedy: &str| Problem::new(shown(file), "unpack", what, remedy);
    let unreadable =
        |why: &dyn std::fmt::Display| say(format!("it cannot be read: {why}"), "get the file once more");
    let open = fs::File::open(file).map_err(|why| unreadable(&why))?;
    let mut archive = ZipArchive::new(open).map_err(|why| unreadable(&why))?;
    if archive.len() > MOST_FILES {
        return Err(say(format!("it holds more than {MOST_FILES} files"), "this is hardly a library"));
    }
    let mut names = Vec::new();
    for at in 0..archive.len() {
        let part = archive.by_index(at).map_err(|why| unreadable(&why))?;
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
    make_folder(to, |folder| {
        let mut left = MOST_BYTES;
        for (at, name) in names.iter().enumerate() {
            let Some(within) = name.as_ref().and_then(|name| name.strip_prefix(&top).ok()) else { continue };
            if within.components().any(|part| part.as_os_str().to_string_lossy().starts_with('.')) {
                continue;
            }
            let part = archive.by_index(at).map_err(|why| unreadable(&why))?;
            let path = folder.join(within);
            let io = |error: &std::io::Error| Problem::io(within.display().to_string(), "write it", error);
            if let Some(parent) = path.parent() {
                fs::create_dir_all(parent).map_err(|error| io(&error))?;
            }
            let mut out = fs::File::create(&path).map_err(|error| io(&error))?;
            let written = std::io::copy(&mut part.take(left.saturating_add(1)), &mut out);
            let written = written.map_err(|why| unreadable(&why))?;
            left = left.checked_sub(written).ok_or_else(|| {
                say(format!("unpacked it has more than {} GB", MOST_BYTES >> 30), "this is hardly a library")
            })?;
            out.sync_all().map_err(|error| io(&error))?;
        }
        Ok(())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::{create_from, open};

    fn demo() -> (tempfile::TempDir, backrow_core::library::Library) {
        let kinds = crate::kinds::standard().unwrap();
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
        let library = open(&demo, &kinds).library;
        let folder = tempfile::tempdir().unwrap();
        create_from(&folder.path().join("one"), &library, &kinds).unwrap();
        (folder, library)
    }

    #[test]
    fn a_library_goes_into_one_file_and_comes_back() {
        let (folder, library) = demo();
        fs::create_dir_all(folder.path().join("one/pictures")).unwrap();
        fs::write(folder.path().join("one/pictures/a.jpg"), b"picture").unwrap();
        fs::create_dir_all(folder.path().join("one/.backrow/versions")).unwrap();
        fs::write(folder.path().join("one/.backrow/versions/x"), b"old").unwrap();
        let file = folder.path().join("one.zip");
        fs::write(&file, pack(&folder.path().join("one")).unwrap()).unwrap();
        let to = folder.path().join("two");
        unpack(&file, &to).unwrap();
        let opened = open(&to, &crate::kinds::standard().unwrap());
        assert_eq!((opened.problems.len(), opened.library.is_same(&library)), (0, true));
        assert_eq!(fs::read(to.join("pictures/a.jpg")).unwrap(), b"picture");
        assert!(!to.join(".backrow/versions/x").exists(), "what is hidden stays behind");
        assert!(unpack(&file, &to).is_err(), "nothing is written over");
    }

    #[test]
    fn strange_files_leave_nothing_behind() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("x.zip");
        let to = folder.path().join("to");
        fs::write(&file, b"PK but not really").unwrap();
        assert!(unpack(&file, &to).is_err() && !to.exists());
        let mut out = ZipWriter::new(Cursor::new(Vec::new()));
        out.start_file("../out.ron", SimpleFileOptions::default()).unwrap();
        out.write_all(b"x").unwrap();
        out.start_file("Westmere/orchestra.ron", SimpleFileOptions::default()).unwrap();
        out.write_all(b"(format: 1, name: \"Westmere\")").unwrap();
        fs::write(&file, out.finish().unwrap().into_inner()).unwrap();
        unpack(&file, &to).unwrap();
        assert!(to.join("orchestra.ron").is_file() && !folder.path().join("out.ron").exists());
        let mut out = ZipWriter::new(Cursor::new(Vec::new()));
        out.start_file("notes.txt", SimpleFileOptions::default()).unwrap();
        fs::write(&file, out.finish().unwrap().into_inner()).unwrap();
        assert!(
            unpack(&file, &folder.path().join("other")).unwrap_err().to_string().contains("orchestra.ron")
        );
    }
}
