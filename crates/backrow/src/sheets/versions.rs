//! Versions on paper: counted, and changed exactly when what a sheet says does.
//!
//! What was last printed of each sheet is remembered beside the library, in `printed/`, a file a sheet: whoever prints from the
//! same library must count on from the same number, and the marks of change must be against what the players hold in their
//! hands, whichever desk it was printed at. The library itself never reads the folder; without it the count begins anew.

use super::data::SheetData;
use super::write_whole;
use backrow_core::days::Days;
use backrow_files::limits::{MOST_BYTES, read_plain};
use backrow_print::Version;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// The folder within the library's.
const FOLDER: &str = "printed";

/// One print of a sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Print {
    /// Of the file itself, from 1; those of before it was stated are of 1 too.
    #[serde(default = "first_format")]
    format: u32,
    /// From 1.
    number: u32,
    /// Of all that it says.
    mark: String,
    /// "26 Nov 2026"; may be empty.
    at: String,
    /// "2 of 12 Nov 2026"; may be empty.
    replaces: String,
    /// What stood in the one that it replaces and stands in it no more.
    #[serde(default)]
    gone: String,
    /// What it said, with its marks of change.
    data: serde_json::Value,
}

/// Today's format of what is remembered.
const FORMAT: u32 = 1;

const fn first_format() -> u32 {
    1
}

/// Sixteen signs that change with what the sheet says: its data as JSON with what else it is set from.
pub(super) fn mark_of(content: &SheetData, besides: &[&str]) -> String {
    let mut text = serde_json::to_string(content).unwrap_or_default();
    text.extend(besides.iter().copied());
    format!("{:016x}", backrow_files::mark::fnv1a(text.as_bytes()))
}

/// The next print of a sheet: the last one again where nothing changed, else a new number with what changed marked.
/// `mark` is that of the content and of what else it is set from ([`mark_of`]).
pub(super) fn next(
    content: SheetData,
    mark: String,
    last: Option<&Print>,
    today: Option<(Date, Days)>,
) -> (SheetData, Print) {
    if let Some(last) = last.filter(|last| last.mark == mark) {
        let marked = serde_json::from_value::<SheetData>(last.data.clone());
        let mut data = marked.unwrap_or(content);
        data.head_mut().version = last.version();
        return (data, last.clone());
    }
    let mut data = content;
    let mut gone = String::new();
    if let Some(before) = last.and_then(|last| serde_json::from_value::<SheetData>(last.data.clone()).ok()) {
        let before = before.content();
        data.mark_changes(&before);
        gone = data.gone_since(&before);
    }
    let print = Print {
        format: FORMAT,
        number: last.map_or(1, |last| last.number.saturating_add(1)),
        mark,
        at: today.map(|(day, days)| days.lasting().day(day)).unwrap_or_default(),
        replaces: last.map(Print::named).unwrap_or_default(),
        gone,
        data: serde_json::to_value(&data).unwrap_or_default(),
    };
    data.head_mut().version = print.version();
    (data, print)
}

impl Print {
    /// "3 of 26 Nov 2026".
    fn named(&self) -> String {
        if self.at.is_empty() { self.number.to_string() } else { format!("{} of {}", self.number, self.at) }
    }

    /// The number with the first four signs of its mark: two copies of a library that were counted apart still tell.
    fn version(&self) -> Version {
        let mark: String = self.mark.chars().take(4).collect();
        Version {
            number: format!("{} ({mark})", self.number),
            at: self.at.clone(),
            replaces: self.replaces.clone(),
            gone: self.gone.clone(),
        }
    }
}

fn file(library: &Path, name: &str) -> PathBuf {
    library.join(FOLDER).join(format!("{name}.json"))
}

/// The last print of a sheet; `None` when there was none, or its file cannot be read.
pub(super) fn last(library: &Path, name: &str) -> Option<Print> {
    let bytes = read_plain(&file(library, name), MOST_BYTES).ok()?;
    serde_json::from_slice(&bytes).ok()
}

/// The format of a newer program that has remembered a print of the sheet, whatever else it has written.
fn newer(library: &Path, name: &str) -> Option<u32> {
    #[derive(Deserialize)]
    struct Stated {
        format: u32,
    }
    let bytes = read_plain(&file(library, name), MOST_BYTES).ok()?;
    serde_json::from_slice::<Stated>(&bytes)
        .ok()
        .map(|stated| stated.format)
        .filter(|format| *format > FORMAT)
}

/// Remembers a print. An error says that it was not, in words; so does a record that could not be read, which is kept beside.
pub(super) fn remember(library: &Path, name: &str, print: &Print) -> Result<Option<String>, String> {
    let file = file(library, name);
    let say = |why: std::io::Error| {
        format!(
            "What was printed cannot be recorded in {}: {why}. The next print carries the same number.",
            file.display()
        )
    };
    if let Some(format) = newer(library, name) {
        let newer = format!("it was written by a newer Backrow (format {format}, here {FORMAT})");
        return Err(say(std::io::Error::other(newer)));
    }
    let before = last(library, name);
    if before.as_ref() == Some(print) {
        return Ok(None);
    }
    std::fs::create_dir_all(library.join(FOLDER)).map_err(say)?;
    let text = serde_json::to_vec_pretty(print).map_err(|why| why.to_string())?;
    let broken = (before.is_none() && file.exists()).then(|| file.with_extension("json.broken"));
    if let Some(broken) = &broken {
        std::fs::rename(&file, broken).map_err(say)?;
    }
    write_whole(&file, &text).map_err(say)?;
    Ok(broken.map(|broken| {
        format!(
            "The record of the last print, {}, cannot be read. It is kept as {}; the versions of this sheet are counted from 1 again, \
             and no changes are marked.",
            file.display(),
            broken.display()
        )
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn next(data: SheetData, last: Option<&Print>, today: Option<Date>) -> (SheetData, Print) {
        let content = data.content();
        let mark = mark_of(&content, &[]);
        super::next(content, mark, last, today.map(|day| (day, Days::default())))
    }
    use backrow_print::list::{ListSheet, Row, Section};

    fn sheet(cells: &[&str]) -> SheetData {
        let rows = cells.iter().map(|cell| Row::of([(*cell).to_owned()])).collect();
        let section = Section { title: "Works".to_owned(), rows, ..Section::default() };
        SheetData::List(ListSheet { sections: vec![section], ..ListSheet::default() })
    }

    fn changed(data: &SheetData) -> Vec<bool> {
        match data {
            SheetData::List(sheet) => sheet.sections[0].rows.iter().map(|row| row.changed).collect(),
            _ => Vec::new(),
        }
    }

    #[test]
    fn a_version_changes_exactly_when_the_sheet_does() {
        let day = |day| Some(jiff::civil::date(2026, 11, day));
        let (one, first) = next(sheet(&["a", "b"]), None, day(1));
        assert_eq!((first.number, changed(&one)), (1, vec![false, false]), "nothing to compare with");
        let (again, same) = next(sheet(&["a", "b"]), Some(&first), day(2));
        assert_eq!(
            (same, again),
            (first.clone(), one),
            "printed again, it is the same sheet of the same day"
        );
        let (two, second) = next(sheet(&["a", "c"]), Some(&first), day(3));
        assert_eq!((second.number, second.replaces.as_str()), (2, "1 of 1 Nov 2026"));
        assert_ne!(second.mark, first.mark);
        assert_eq!(changed(&two), [false, true]);
        let (two_again, _) = next(sheet(&["a", "c"]), Some(&second), day(4));
        assert_eq!(changed(&two_again), [false, true], "the marks stay while the version does");
        let (mut three, third) = next(sheet(&["a", "c", "d"]), Some(&second), day(5));
        assert_eq!((third.number, changed(&three)), (3, vec![false, false, true]));
        assert_eq!(
            (two.clone().head_mut().version.gone.as_str(), three.head_mut().version.gone.as_str()),
            ("Works: b", "")
        );
        let (mut again, _) = next(sheet(&["a", "c"]), Some(&second), day(6));
        assert_eq!(again.head_mut().version.gone, "Works: b", "printed again, it says the same");
    }

    #[test]
    fn a_print_is_remembered_beside_the_library() {
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(last(folder.path(), "p-hires"), None);
        let (_, print) = next(sheet(&["a"]), None, None);
        remember(folder.path(), "p-hires", &print).unwrap();
        assert_eq!(last(folder.path(), "p-hires"), Some(print.clone()));
        // What was remembered before the format was stated counts on.
        let path = file(folder.path(), "p-hires");
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains("\"format\": 1,"), "{text}");
        std::fs::write(&path, text.replace("\"format\": 1,", "")).unwrap();
        assert_eq!(last(folder.path(), "p-hires"), Some(print.clone()));
        // A record that cannot be read is kept, and it is said that the count begins anew.
        std::fs::write(&path, "{ cut off").unwrap();
        let said = remember(folder.path(), "p-hires", &print).unwrap().unwrap();
        assert!(said.contains("p-hires.json.broken; the versions"), "{said}");
        assert_eq!(std::fs::read(path.with_extension("json.broken")).unwrap(), b"{ cut off");
        assert_eq!(last(folder.path(), "p-hires"), Some(print.clone()));
        assert_eq!(remember(folder.path(), "p-hires", &print), Ok(None));
        // A newer program's is not written over.
        let newer = text.replace("\"format\": 1,", "\"format\": 2, \"seal\": {},");
        std::fs::write(&path, &newer).unwrap();
        let why = remember(folder.path(), "p-hires", &print).unwrap_err();
        assert!(why.contains("newer Backrow (format 2"), "{why}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), newer);
    }
}
