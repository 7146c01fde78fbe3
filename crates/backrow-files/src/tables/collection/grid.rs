//! A table as it stands in a file: headings and rows of words.

use super::workbook;
use crate::limits::{self, MOST_BYTES, MOST_COLUMNS, MOST_LETTERS, MOST_ROWS};
use crate::tables::table::bare;
use calamine::{Data, DataRef, Reader, Xlsx, XlsxError};
use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::Path;

/// Headings and rows of words, each row with its line or row number as a spreadsheet counts.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Grid {
    /// The file's name.
    pub file: String,
    /// The first row that is not empty.
    pub heads: Vec<String>,
    /// The rest; empty rows are left out.
    pub rows: Vec<(usize, Vec<String>)>,
}

/// Reads a table by its file name's ending: `.csv`, `.tsv` or `.txt`, else the first sheet of a workbook (.xlsx). An error says
/// what helps.
pub fn read(path: &Path, bytes: &[u8]) -> Result<Grid, String> {
    let file = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase()).unwrap_or_default();
    let rows = if matches!(ending.as_str(), "csv" | "tsv" | "txt") {
        of_text(&file, bytes)?
    } else {
        of_workbook(&file, bytes)?
    };
    let mut rows = rows.into_iter().filter(|(_, cells)| cells.iter().any(|cell| !cell.trim().is_empty()));
    let (_, heads) =
        rows.next().ok_or_else(|| format!("{file} has no rows; the first must hold headings."))?;
    Ok(Grid { file, heads, rows: rows.collect() })
}

/// Comma, semicolon or tab, whichever the first line has most of.
fn of_text(file: &str, bytes: &[u8]) -> Result<Vec<(usize, Vec<String>)>, String> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let first = bytes.split(|byte| *byte == b'\n').next().unwrap_or_default();
    let first = String::from_utf8_lossy(first);
    let count = |sign: u8| first.matches(char::from(sign)).count();
    let sign =
        [b',', b';', b'\t'].into_iter().max_by_key(|sign| (count(*sign), *sign == b',')).unwrap_or(b',');
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).delimiter(sign).from_reader(bytes);
    let mut rows = Vec::new();
    for record in reader.byte_records() {
        let record = record.map_err(|why| format!("{file} cannot be read as a table: {why}."))?;
        let line = record.position().map_or(0, |at| {
            // After CR LF the reader stands before the LF and has not counted it yet.
            let byte = usize::try_from(at.byte()).ok().and_then(|byte| bytes.get(byte));
            usize::try_from(at.line()).unwrap_or(usize::MAX - 1) + usize::from(byte == Some(&b'\n'))
        });
        if record.len() > MOST_COLUMNS {
            return Err(too_wide(file));
        }
        if rows.len() > MOST_ROWS {
            return Err(too_long(file));
        }
        if record.iter().any(|cell| cell.len() > MOST_LETTERS * 4) {
            return Err(format!(
                "{file}, line {line} has a cell of more than {MOST_LETTERS} letters; a quotation mark may be missing."
            ));
        }
        let text = |cell: &[u8]| bare(String::from_utf8_lossy(cell).trim()).to_owned();
        rows.push((line, record.iter().map(text).collect()));
    }
    Ok(rows)
}

fn words(cell: &DataRef<'_>) -> String {
    match cell {
        DataRef::Empty | DataRef::Error(_) => String::new(),
        DataRef::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        other => Data::from(other.clone()).to_string().trim().to_owned(),
    }
}

fn of_workbook(file: &str, bytes: &[u8]) -> Result<Vec<(usize, Vec<String>)>, String> {
    let say = |why: &dyn std::fmt::Display| {
        let why = limits::said(&why.to_string());
        format!("{file} is no table that can be read: {why}. Save it as .xlsx or .csv and try again.")
    };
    let bytes = workbook::unpacked(bytes).map_err(|why| say(&why))?;
    let mut book: Xlsx<_> =
        calamine::open_workbook_from_rs(Cursor::new(bytes)).map_err(|why: XlsxError| say(&why))?;
    let sheet = book.sheet_names().first().cloned().ok_or_else(|| format!("{file} has no sheet."))?;
    let mut reader = book.worksheet_cells_reader(&sheet).map_err(|why| say(&why))?;
    // Cell by cell and never as a square: one stray cell in the last corner would make that of sixteen thousand million.
    let mut rows: BTreeMap<u32, BTreeMap<u32, String>> = BTreeMap::new();
    let mut letters = 0;
    while let Some(cell) = reader.next_cell().map_err(|why| say(&why))? {
        let words = words(cell.get_value());
        if words.is_empty() {
            continue;
        }
        letters += words.len();
        let (row, column) = cell.get_position();
        if column as usize >= MOST_COLUMNS {
            return Err(too_wide(file));
        }
        rows.entry(row).or_default().insert(column, words);
        if rows.len() > MOST_ROWS {
            return Err(too_long(file));
        }
        if letters as u64 > MOST_BYTES {
            return Err(say(&"it holds far more words than a collection"));
        }
    }
    let row = |(row, cells): (u32, BTreeMap<u32, String>)| {
        let wide = cells.last_key_value().map_or(0, |(column, _)| *column as usize + 1);
        let mut words = vec![String::new(); wide];
        for (column, cell) in cells {
            if let Some(slot) = words.get_mut(column as usize) {
                *slot = cell;
            }
        }
        (row as usize + 1, words)
    };
    Ok(rows.into_iter().map(row).collect())
}

fn too_long(file: &str) -> String {
    format!(
        "{file} has more than {MOST_ROWS} rows. Split it into several tables, or delete what is below the table."
    )
}

fn too_wide(file: &str) -> String {
    format!(
        "{file} has something beyond column {MOST_COLUMNS}. Delete what is to the right of the table and try again."
    )
}
