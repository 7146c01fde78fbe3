//! New libraries: from a value, and the user's own copy of the demo library.

use super::disk::DiskState;
use super::open::open;
use super::problem::{Problem, shown};
use super::save::save_new;
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::{Library, Shared};
use std::fs;
use std::io;
use std::path::Path;

/// A file of the demo library.
struct DemoFile {
    /// Relative to the library, with `/` between folders.
    file: &'static str,
    bytes: &'static [u8],
}

// The list of the files under demo-library, made by build.rs. A build script and not a macro that embeds a folder,
// because only a script can tell cargo to look again when a file is added or taken away.
include!(concat!(env!("OUT_DIR"), "/demo.rs"));

/// Whether this program carries a demo library.
pub fn has_demo() -> bool {
    !DEMO.is_empty()
}

/// Makes a new library from a value in a folder that is missing or empty. `kinds` is the kinds table, as for `open`.
///
/// The folder appears whole or not at all: it is made beside its place and then renamed.
pub fn create_from(
    dir: &Path,
    library: &Library,
    kinds: &Shared<KindId, Kind>,
) -> Result<DiskState, Problem> {
    make_folder(dir, |folder| put_new(folder, library, kinds).map(|()| true))?;
    Ok(open(dir, kinds).disk)
}

/// Writes every record of a library into an empty folder.
pub(super) fn put_new(folder: &Path, library: &Library, kinds: &Shared<KindId, Kind>) -> Result<(), Problem> {
    let mut disk = DiskState { table: kinds.clone(), ..DiskState::default() };
    let report = save_new(folder, &mut disk, library);
    report.problems.into_iter().next().map_or(Ok(()), Err)
}

/// Makes the user's own copy of the demo library in a folder that is missing or empty.
pub fn copy_demo(to: &Path) -> Result<(), Problem> {
    if !has_demo() {
        let remedy = "make a new library, or open one that you have";
        return Err(Problem::new(
            shown(to),
            "no-demo",
            "this program was built without its demo library",
            remedy,
        ));
    }
    make_folder(to, |folder| {
        for DemoFile { file, bytes } in DEMO {
            let path = file.split('/').fold(folder.to_owned(), |path, part| path.join(part));
            let written =
                path.parent().map_or(Ok(()), fs::create_dir_all).and_then(|()| fs::write(&path, bytes));
            written.map_err(|error| Problem::io(*file, "write it", &error))?;
        }
        Ok(true)
    })
    .map(drop)
}

/// Fills a new folder beside `dir` and then puts it in its place; where `fill` says `false` it was ended, and nothing is left of it.
pub(super) fn make_folder(
    dir: &Path,
    fill: impl FnOnce(&Path) -> Result<bool, Problem>,
) -> Result<bool, Problem> {
    let io = |error: &io::Error| Problem::io(shown(dir), "make the library", error);
    if is_full(dir).map_err(|error| io(&error))? {
        let remedy = "choose a folder that is empty or not there yet";
        return Err(Problem::new(
            shown(dir),
            "not-empty",
            "there is something in the folder already",
            remedy,
        ));
    }
    let parent = dir.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    fs::create_dir_all(parent).map_err(|error| io(&error))?;
    let folder = new_folder(parent).map_err(|error| io(&error))?;
    if !fill(folder.path())? {
        return Ok(false);
    }
    // An empty folder in the way is taken out first: not every system renames over one.
    if dir.is_dir() {
        fs::remove_dir(dir).map_err(|error| io(&error))?;
    }
    let made = folder.keep();
    fs::rename(&made, dir).map_err(|error| {
        // What was made is no use under its temporary name; if it cannot be cleared either, it is only litter.
        fs::remove_dir_all(&made).unwrap_or_default();
        io(&error)
    })?;
    Ok(true)
}

/// A temporary folder with the rights of any new folder.
fn new_folder(parent: &Path) -> io::Result<tempfile::TempDir> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".backrow-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o777));
    }
    builder.tempdir_in(parent)
}

/// Whether something is in the folder, or it is no folder.
fn is_full(dir: &Path) -> io::Result<bool> {
    match fs::read_dir(dir) {
        Ok(mut entries) => Ok(entries.next().is_some()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error),
    }
}
