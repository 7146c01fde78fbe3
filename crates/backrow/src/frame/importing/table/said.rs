//! What the user said about a table, in words that outlive the program.

use super::State;
use backrow_core::collection::Owner;
use backrow_core::id::PlayerId;
use backrow_core::library::Library;
use backrow_core::pitch::Reading;
use backrow_files::tables::collection::{Column, Encoding, Field, How, Import, Subject, Unit, read_as};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// How a table is read, and what was typed over its cells.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::frame::importing) struct Said {
    subject: String,
    heads_row: usize,
    encoding: String,
    sheet: usize,
    reading: u8,
    /// The field and the unit of each column.
    columns: Vec<Option<(String, String)>>,
    owners: BTreeMap<String, (Whose, String)>,
    left_out: BTreeSet<usize>,
    /// By sheet, row and column.
    cells: BTreeMap<(usize, usize, usize), String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
enum Whose {
    Ours,
    Player,
    Other,
}

const READINGS: [Reading; 3] = [Reading::English, Reading::German, Reading::Syllables];

impl Said {
    pub(super) fn of(import: &Import, cells: &BTreeMap<(usize, usize, usize), String>) -> Self {
        let column = |column: &Option<Column>| {
            column.map(|column| {
                let unit = column.unit.map_or("", Unit::sign);
                (column.field.word().to_owned(), unit.to_owned())
            })
        };
        let owner = |(word, owner): (&String, &Owner)| {
            let said = match owner {
                Owner::Orchestra => (Whose::Ours, String::new()),
                Owner::Player(id) => (Whose::Player, id.to_string()),
                Owner::Other(name) => (Whose::Other, name.clone()),
            };
            (word.clone(), said)
        };
        let reading = READINGS.iter().zip(0_u8..).find(|(one, _)| **one == import.reading);
        Self {
            subject: import.subject.word().to_owned(),
            heads_row: import.grid.heads_row(),
            encoding: import.grid.encoding.map_or_else(String::new, |one| one.word().to_owned()),
            sheet: import.grid.sheet,
            reading: reading.map_or(0, |(_, at)| at),
            columns: import.columns.iter().map(column).collect(),
            owners: import.owners.iter().map(owner).collect(),
            left_out: import.left_out.clone(),
            cells: cells.clone(),
        }
    }

    /// Puts it on the same file, read afresh.
    pub(super) fn put_on(&self, library: &Library, state: &mut State) {
        let encoding = Encoding::ALL.into_iter().find(|one| one.word() == self.encoding);
        let how = How { encoding, sheet: Some(self.sheet) };
        let Ok(mut grid) = read_as(&state.path, &state.bytes, how) else { return };
        grid.set_heads_row(self.heads_row);
        for ((sheet, row, column), text) in &self.cells {
            if *sheet == grid.sheet {
                grid.mend(*row, *column, text);
            }
        }
        let subject = Subject::ALL.into_iter().find(|one| one.word() == self.subject);
        let reading = READINGS.get(usize::from(self.reading)).copied().unwrap_or_default();
        let mut import = Import::new(library, grid, subject, reading);
        let field = |word: &str| {
            let all = import.subject.fields().iter().copied();
            all.into_iter().find(|field: &Field| field.word() == word)
        };
        let column = |said: &Option<(String, String)>| {
            let (word, sign) = said.as_ref()?;
            let unit = Unit::ALL.into_iter().find(|unit| unit.sign() == sign);
            Some(Column { field: field(word)?, unit })
        };
        if self.columns.len() == import.columns.len() {
            import.columns = self.columns.iter().map(column).collect();
        }
        for (word, (whose, name)) in &self.owners {
            let owner = match whose {
                Whose::Ours => Owner::Orchestra,
                Whose::Other => Owner::Other(name.clone()),
                Whose::Player => match PlayerId::new(name) {
                    Ok(id) if library.players.contains_key(&id) => Owner::Player(id),
                    _ => continue,
                },
            };
            import.owners.insert(word.clone(), owner);
        }
        import.match_owners(library);
        import.left_out.clone_from(&self.left_out);
        state.import = import;
        state.cells.clone_from(&self.cells);
        state.changes += 1;
    }
}
