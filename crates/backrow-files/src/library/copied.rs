//! A copy of a library elsewhere: a folder, or one file. It appears whole or not at all.

use super::create::{create_from, make_folder, put_new};
use super::parcel::pack;
use super::pour::{GoesOn, MOST, Part, Told, parts_of, pour_into};
use super::problem::{Problem, shown};
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::{Library, Shared};
use std::collections::BTreeSet;
use std::path::Path;

/// Folders of a library that hold more than its records: they go with a copy.
const BESIDE: [&str; 4] = ["pictures", "print", "printed", "sounds"];

/// Saves a library in a folder that is missing or empty, with what lies beside its records in `own`. `false` when it was ended;
/// nothing is left of it then, nor where it fails.
///
/// # Errors
/// What the disk said, and what helps.
pub fn copy_to_folder(
    library: &Library,
    kinds: &Shared<KindId, Kind>,
    own: Option<&Path>,
    to: &Path,
    goes_on: &GoesOn<'_>,
) -> Result<bool, Problem> {
    // A folder may be as large as its drive.
    let beside = beside(own, usize::MAX)?;
    let mut told = Told::new(goes_on, beside.iter().map(|part| part.bytes).sum());
    make_folder(to, |folder| {
        put_new(folder, library, kinds)?;
        // The library's own records stand there already; of what lies beside them the old ones are left.
        let is_new = |part: &&Part| !folder.join(&part.name).exists();
        let beside: Vec<Part> = beside.iter().filter(is_new).cloned().collect();
        Ok(told.went(0) && pour_into(folder, &beside, &mut told)?)
    })
}

/// The same in one file, which must not be there yet.
///
/// # Errors
/// What the disk said, or that there is more than one file may hold.
pub fn copy_to_file(
    library: &Library,
    kinds: &Shared<KindId, Kind>,
    own: Option<&Path>,
    to: &Path,
    goes_on: &GoesOn<'_>,
) -> Result<bool, Problem> {
    let home = tempfile::tempdir().map_err(|error| Problem::io(shown(to), "write it", &error))?;
    let records = home.path().join("library");
    create_from(&records, library, kinds)?;
    let io = |error: &std::io::Error| Problem::io(shown(&records), "read it", error);
    let mut parts = parts_of(&records, "", MOST.files).map_err(|error| io(&error))?;
    let known: BTreeSet<String> = parts.iter().map(|part| part.name.clone()).collect();
    let beside = beside(own, MOST.files.saturating_add(1))?;
    parts.extend(beside.into_iter().filter(|part| !known.contains(&part.name)));
    pack(&parts, to, MOST, goes_on)
}

fn beside(own: Option<&Path>, most: usize) -> Result<Vec<Part>, Problem> {
    let mut all = Vec::new();
    for name in BESIDE {
        let Some(folder) = own.map(|own| own.join(name)).filter(|folder| folder.is_dir()) else { continue };
        let parts = parts_of(&folder, &format!("{name}/"), most);
        all.extend(parts.map_err(|error| Problem::io(name, "copy it", &error))?);
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::{open, unpack};
    use std::cell::Cell;
    use std::fs;

    /// The demo, and a library beside whose records lie a picture and a take of some pieces.
    fn demo() -> (tempfile::TempDir, Library, Shared<KindId, Kind>) {
        let kinds = crate::kinds::standard().unwrap();
        let library = open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library"), &kinds).library;
        let home = tempfile::tempdir().unwrap();
        // As in any library the record of a take lies beside its sound.
        let record =
            library.takes.values().next().map(|take| format!("sounds/{}/{}.ron", take.instrument, take.id));
        let record = record.unwrap();
        for (file, bytes) in
            [(record.as_str(), 5), ("pictures/a.jpg", 7), ("sounds/gong/one.flac", 3 << 20), ("print/.x", 3)]
        {
            let path = home.path().join("own").join(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, vec![b'x'; bytes]).unwrap();
        }
        (home, library, kinds)
    }

    fn names(folder: &Path) -> Vec<String> {
        let all = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name());
        let mut all: Vec<String> = all.map(|name| name.into_string().unwrap()).collect();
        all.sort();
        all
    }

    #[test]
    fn a_copy_is_whole_and_tells_how_far_it_has_come() {
        let (home, library, kinds) = demo();
        let own = home.path().join("own");
        let (folder, file) = (home.path().join("to"), home.path().join("to.zip"));
        let last = Cell::new((0, 0));
        let told = |done, of| {
            assert!(done >= last.get().0, "{done}");
            last.set((done, of));
            true
        };
        assert!(copy_to_folder(&library, &kinds, Some(&own), &folder, &told).unwrap());
        assert_eq!(last.take(), (3 << 10, 3 << 10), "kilobytes of what lies beside");
        assert!(copy_to_file(&library, &kinds, Some(&own), &file, &told).unwrap());
        assert!(last.get().0 == last.get().1 && last.take().1 > 3 << 10);
        let again = home.path().join("again");
        assert!(unpack(&file, &again, &told).unwrap());
        for to in [folder, again] {
            let opened = open(&to, &kinds);
            assert_eq!((opened.problems.len(), opened.library.is_same(&library)), (0, true));
            assert_eq!(fs::read(to.join("sounds/gong/one.flac")).unwrap(), vec![b'x'; 3 << 20]);
            assert!(to.join("pictures/a.jpg").is_file() && !to.join("print/.x").exists());
        }
        let refused = copy_to_file(&library, &kinds, Some(&own), &file, &told).unwrap_err();
        assert!(refused.to_string().contains("there already"), "{refused}");
    }

    /// Ended after each number of pieces: nothing is left, neither under its name nor under another.
    #[test]
    fn one_that_is_ended_leaves_nothing_behind() {
        let (home, library, kinds) = demo();
        let own = home.path().join("own");
        let whole = home.path().join("whole.zip");
        assert!(copy_to_file(&library, &kinds, Some(&own), &whole, &|_, _| true).unwrap());
        let place = home.path().join("place");
        fs::create_dir(&place).unwrap();
        let to = place.join("to");
        for pieces in [0_usize, 1, 5] {
            let left = Cell::new(pieces);
            let goes_on = |_, _| left.replace(left.get().saturating_sub(1)) > 0;
            let ended = [
                copy_to_folder(&library, &kinds, Some(&own), &to, &goes_on),
                copy_to_file(&library, &kinds, Some(&own), &to, &|_, _| false),
                unpack(&whole, &to, &|done, _| done < pieces),
            ];
            assert_eq!(ended.map(Result::unwrap), [false; 3]);
            assert_eq!(names(&place), Vec::<String>::new());
        }
    }
}
