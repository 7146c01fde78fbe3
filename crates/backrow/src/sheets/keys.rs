//! The map of keys on paper.

use backrow_core::library::Library;
use backrow_print::Head;
use backrow_print::list::{Column, ListSheet, Row, Section};

/// Keys that belong together: a heading, and what each does.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct KeyGroup {
    /// "Everywhere", "Floor".
    pub title: String,
    /// The keys in words, and what they do.
    pub rows: Vec<(String, String)>,
}

/// The sheet's data; it belongs to no programme.
pub fn keys_sheet(library: &Library, groups: &[KeyGroup]) -> ListSheet {
    let section = |group: &KeyGroup| Section {
        title: group.title.clone(),
        columns: vec![Column::strong("keys", 1.0), Column::text("what they do", 3.0)],
        rows: group.rows.iter().map(|(keys, what)| Row::of([keys.clone(), what.clone()])).collect(),
        empty: "No keys of its own.".to_owned(),
        ..Section::default()
    };
    ListSheet {
        head: Head {
            orchestra: library.orchestra.name.clone(),
            programme: "Backrow".to_owned(),
            ..Head::default()
        },
        title: "Keyboard map".to_owned(),
        sections: groups.iter().map(section).collect(),
        ..ListSheet::default()
    }
}
