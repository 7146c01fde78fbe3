//! Opening a library for a command, and finding a thing in it.

use crate::store::Store;
use backrow_core::library::Library;
use backrow_files::problem::Problem;
use std::fmt::Display;
use std::path::Path;

/// The library of a folder with the problems of reading it; an error when there is none.
pub(super) fn library(folder: &Path) -> Result<(Library, Vec<Problem>), Problem> {
    store(folder).map(|(_, library, problems)| (library, problems))
}

/// The library of a folder, what is known of its files, and the problems of reading them, all from one opening; an error
/// when there is none.
pub(super) fn store(folder: &Path) -> Result<(Store, Library, Vec<Problem>), Problem> {
    let kinds = backrow_files::kinds::standard()?;
    let opened = backrow_files::library::open(folder, &kinds);
    let shown = folder.display().to_string();
    let nothing = Library { kinds: opened.library.kinds.clone(), ..Library::default() } == opened.library;
    if nothing && let Some(problem) = opened.problems.iter().find(|problem| problem.file == shown) {
        return Err(problem.clone().into());
    }
    let problems = opened.problems.iter().cloned().map(Problem::from).collect();
    let (store, library) = Store::of(folder, opened);
    let here = crate::dates::of_account().lasting();
    Ok((store, Library { here, ..library }, problems))
}

/// That the library has no such thing; the remedy lists those that it has.
pub(super) fn unknown(
    folder: &Path,
    what: &str,
    id: &str,
    known: impl Iterator<Item = impl Display>,
) -> Problem {
    let known: Vec<String> = known.map(|id| id.to_string()).collect();
    let remedy = match known.len() {
        0 => format!("the library has no {what} at all"),
        1..=40 => format!("it has {}", known.join(", ")),
        many => {
            let near: Vec<&String> = known
                .iter()
                .filter(|other| id.split('-').any(|word| other.contains(word)))
                .take(12)
                .collect();
            let list = near.iter().map(|id| id.as_str()).collect::<Vec<_>>().join(", ");
            if list.is_empty() {
                format!("it has {many}; `backrow check` counts them")
            } else {
                format!("it has {list}")
            }
        }
    };
    Problem {
        code: "unknown-id",
        place: folder.display().to_string(),
        what: format!("the library has no {what} \"{id}\""),
        remedy,
    }
}
