//! The collection from a table: comma-separated values or a workbook, of instruments, beaters, players or places in store. What
//! the rows are, where the headings stand, how the letters are written and what each column stands for is found out, shown and
//! changeable; a cell that cannot be read is named with its row and what was expected, and the rest goes on.

mod columns;
mod encoding;
mod field;
mod grid;
mod lift;
mod owners;
mod rows;
mod unit;
mod words;
mod workbook;

pub use columns::{Column, match_columns, subject_of, subject_where};
pub use encoding::Encoding;
pub use field::{Field, Subject};
pub use grid::{Grid, How, read, read_as};
pub(super) use lift::lift_text;
pub use owners::{Owners, owner_of, owner_words};
pub use rows::{Fate, Taken, Thing, Trouble, take};
pub use unit::{Measure, Unit};

use backrow_core::collection::Owner;
use backrow_core::compass::PitchSet;
use backrow_core::library::Library;
use backrow_core::pitch::{KeyNumber, Reading, Spelled, parse_note};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Whether a plain table is one of the collection, and not one of a part's lines: by its headings.
pub fn is_one(path: &Path, bytes: &[u8]) -> bool {
    let Ok(grid) = read(path, bytes) else { return false };
    let of_lines = |head: &String| matches!(head.trim().to_lowercase().as_str(), "line" | "call");
    let speaks = Subject::ALL.map(|subject| columns::speaks_for(subject, &grid.heads));
    !grid.heads.iter().any(of_lines) && speaks.into_iter().any(|count| count >= 3)
}

/// A table with all that was found out about it, and what the user says otherwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Import {
    /// The table.
    pub grid: Grid,
    /// What its rows are.
    pub subject: Subject,
    /// What each column stands for; `None` for one that is left out.
    pub columns: Vec<Option<Column>>,
    /// Whom the words of the owner's column mean.
    pub owners: BTreeMap<String, Owner>,
    /// How note names are read.
    pub reading: Reading,
    /// Rows that the user leaves out.
    pub left_out: BTreeSet<usize>,
}

impl Import {
    /// With everything guessed.
    pub fn new(library: &Library, grid: Grid, subject: Option<Subject>, reading: Reading) -> Self {
        let subject = subject.unwrap_or_else(|| subject_of(&grid.file, &grid.heads));
        let columns = match_columns(subject, &grid.heads, &grid.rows);
        let (owners, left_out) = (BTreeMap::new(), BTreeSet::new());
        let mut import = Self { grid, subject, columns, owners, reading, left_out };
        import.match_owners(library);
        import
    }

    /// Guesses columns and owners again: the subject or the row of headings is another.
    pub fn match_again(&mut self, library: &Library) {
        self.columns = match_columns(self.subject, &self.grid.heads, &self.grid.rows);
        self.match_owners(library);
    }

    /// Guesses whom new words of the owner's column mean; what was said stays.
    pub fn match_owners(&mut self, library: &Library) {
        let known = Owners::of(library);
        for word in owner_words(self) {
            let guess = known.owner(&word);
            self.owners.entry(word).or_insert(guess);
        }
    }

    /// Lets a column stand for a field; no other column stands for it then.
    pub fn set_column(&mut self, library: &Library, at: usize, field: Option<Field>) {
        if let Some(field) = field {
            for slot in &mut self.columns {
                if slot.is_some_and(|column| column.field == field) {
                    *slot = None;
                }
            }
        }
        let column = field.map(|field| Column {
            field,
            unit: field.measures().map(|measure| columns::guess(measure, at, &self.grid.rows)),
        });
        if let Some(slot) = self.columns.get_mut(at) {
            *slot = column;
        }
        self.match_owners(library);
    }
}

/// Bars as they are typed and read back: `F4-C8`, `C5 E5 G5`, ASCII signs.
pub fn bars_text(bars: PitchSet) -> String {
    let name = |key: KeyNumber| Spelled::usual(key).ascii();
    let mut runs: Vec<(KeyNumber, KeyNumber)> = Vec::new();
    for key in bars.iter() {
        match runs.last_mut() {
            Some((_, last)) if last.up(1) == Some(key) => *last = key,
            _ => runs.push((key, key)),
        }
    }
    let words = runs.into_iter().map(|(low, high)| match (low, high) {
        (low, high) if low == high => name(low),
        (low, high) if low.up(1) == Some(high) => format!("{} {}", name(low), name(high)),
        (low, high) => format!("{}-{}", name(low), name(high)),
    });
    words.collect::<Vec<_>>().join(" ")
}

/// Reads bars with English note names: notes and ranges apart by spaces or commas. An error says which word and what was
/// expected.
pub fn bars_of(text: &str) -> Result<PitchSet, String> {
    bars_in(text, Reading::English)
}

/// The same with note names of another language; a range may have room around its dash, or a word for it.
pub fn bars_in(text: &str, reading: Reading) -> Result<PitchSet, String> {
    let mut joined = text.replace(['–', '—', '…'], "-");
    for word in [" to ", " bis ", " à ", " a ", " ... ", " - ", "...", "- ", " -"] {
        joined = joined.replace(word, "-");
    }
    let mut bars = PitchSet::EMPTY;
    for word in joined.split([' ', ',']).map(str::trim).filter(|word| !word.is_empty()) {
        let expected =
            || format!("\"{word}\" is not a note or range; expected such as F4-C8 or C5, sounding");
        let note = |text: &str| parse_note(text, reading).map(Spelled::key).map_err(|_bad| expected());
        let cut = word.char_indices().find(|(at, c)| {
            let after_digit =
                word.get(..*at).is_some_and(|head| head.ends_with(|c: char| c.is_ascii_digit()));
            *c == '-' && after_digit
        });
        match cut {
            Some((at, dash)) => {
                let low = note(word.get(..at).unwrap_or_default())?;
                let high = note(word.get(at + dash.len_utf8()..).unwrap_or_default())?;
                if low > high {
                    return Err(format!("\"{word}\": the lowest comes first"));
                }
                bars = bars.union(PitchSet::range(low, high));
            }
            None => bars = bars.with(note(word)?),
        }
    }
    Ok(bars)
}

#[cfg(test)]
mod tests;
