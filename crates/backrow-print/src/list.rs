//! A sheet of tables: hire list, overview, summary, season. Sections of rows under one heading, each row whole on its page.

use serde::{Deserialize, Serialize};

use crate::sheet::{Head, Paper};

/// Everything that a sheet of tables shows.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct ListSheet {
    /// Whose programme, where, when, which version.
    pub head: Head,
    /// The sheet's name: "Hire list".
    pub title: String,
    /// Beside the name, in italics; may be empty.
    pub beside: String,
    /// Figures to be seen first; may be none.
    pub facts: Vec<Fact>,
    /// The tables.
    pub sections: Vec<Section>,
    /// Sentences for the foot (see [`crate::caution`]).
    pub cautions: Vec<String>,
    /// What the signs mean, at the left of the foot; may be empty.
    pub legend: String,
    /// The long edge of the paper at the foot: for tables of many columns.
    #[serde(default)]
    pub across: bool,
}

/// A figure with its words.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Fact {
    /// "6".
    pub figure: String,
    /// "players".
    pub words: String,
}

impl Fact {
    /// So many, with the word for one or for several.
    pub fn counted(count: usize, one: &str, several: &str) -> Self {
        Self { figure: count.to_string(), words: if count == 1 { one } else { several }.to_owned() }
    }
}

/// One table.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Section {
    /// Its heading.
    pub title: String,
    /// At the right of the heading; may be empty.
    pub beside: String,
    /// Its columns; a row has a cell for each.
    pub columns: Vec<Column>,
    /// Its rows; cells that lack are empty, cells beyond the columns are dropped.
    pub rows: Vec<Row>,
    /// What stands there when it has no rows.
    pub empty: String,
}

/// A column.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Column {
    /// Its heading; may be empty.
    pub words: String,
    /// Its share of the width, above 0.
    pub share: f64,
    /// Figures: set to the right.
    pub figures: bool,
    /// What the row is about: bold.
    pub strong: bool,
}

impl Column {
    /// A column of text.
    pub fn text(words: &str, share: f64) -> Self {
        Self { words: words.to_owned(), share, figures: false, strong: false }
    }

    /// A column of figures.
    pub fn figures(words: &str, share: f64) -> Self {
        Self { figures: true, ..Self::text(words, share) }
    }

    /// The column that the row is about.
    pub fn strong(words: &str, share: f64) -> Self {
        Self { strong: true, ..Self::text(words, share) }
    }
}

/// A row.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Row {
    /// Its cells, in the order of the columns.
    pub cells: Vec<String>,
    /// A triangle before it: take care.
    pub care: bool,
    /// A box to tick before it.
    pub tick: bool,
    /// It differs from the version that this one replaces.
    #[serde(default)]
    pub changed: bool,
}

impl Row {
    /// A plain row.
    #[expect(clippy::needless_pass_by_value, reason = "cells are made where they are given")]
    pub fn of<const N: usize>(cells: [String; N]) -> Self {
        Self { cells: cells.to_vec(), ..Self::default() }
    }
}

/// What the template reads.
#[derive(Debug, Serialize)]
pub(crate) struct Laid {
    paper: Paper,
    across: bool,
    sheet: ListSheet,
}

impl Laid {
    /// Lays `sheet` on `paper`, each row with as many cells as there are columns.
    pub(crate) fn new(sheet: &ListSheet, paper: Paper) -> Self {
        let mut sheet = sheet.clone();
        for section in &mut sheet.sections {
            for column in &mut section.columns {
                column.share = if column.share.is_finite() { column.share.clamp(0.05, 100.0) } else { 1.0 };
            }
            let width = section.columns.len();
            for row in &mut section.rows {
                row.cells.resize(width, String::new());
            }
        }
        Self { paper, across: sheet.across, sheet }
    }
}
