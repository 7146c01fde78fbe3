//! A table as it stands in a file: headings and rows of words.

use super::columns::speaks_for;
use super::encoding::Encoding;
use super::field::Subject;
use super::workbook;
use crate::limits::{self, MOST_BYTES, MOST_COLUMNS, MOST_LETTERS, MOST_ROWS};
use crate::tables::table::bare;
use calamine::{Data, DataRef, Reader, Xlsx, XlsxError};
use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::Path;

/// Rows among which the headings are looked for: a title, a date and a line of thanks stand above them at the most.
const HEADINGS_WITHIN: usize = 15;

/// Headings and rows of words, each row with its line or row number as a spreadsheet counts.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Grid {
    /// The file's name.
    pub file: String,
    /// The row of headings.
    pub heads: Vec<String>,
    /// The rows below it; empty rows are left out.
    pub rows: Vec<(usize, Vec<String>)>,
    /// The rows above the headings, and which row they are.
    above: Vec<(usize, Vec<String>)>,
    heads_row: usize,
    /// How the letters were read; `None` for a workbook, which says so itself.
    pub encoding: Option<Encoding>,
    /// Whether some letters cannot be read in that encoding.
    pub faults: bool,
    /// The sheets of a workbook, and which of them this is.
    pub sheets: Vec<String>,
    /// See [`Self::sheets`].
    pub sheet: usize,
}

/// How a file is read; found out where nothing is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct How {
    /// The encoding of a plain table.
    pub encoding: Option<Encoding>,
    /// The sheet of a workbook, from 0; the first that is not empty.
    pub sheet: Option<usize>,
}

/// Rows with their numbers.
type Rows = Vec<(usize, Vec<String>)>;

/// Reads a table by its file name's ending: `.csv`, `.tsv` or `.txt`, else a sheet of a workbook (.xlsx). The row of headings is
/// the one among the first that speaks most of fields. An error says what helps.
pub fn read(path: &Path, bytes: &[u8]) -> Result<Grid, String> {
    read_as(path, bytes, How::default())
}

/// The same with what the user says about encoding and sheet.
pub fn read_as(path: &Path, bytes: &[u8], how: How) -> Result<Grid, String> {
    let file = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase()).unwrap_or_default();
    let mut grid = Grid { file, ..Grid::default() };
    let rows = if matches!(ending.as_str(), "csv" | "tsv" | "txt") {
        let encoding = how.encoding.unwrap_or_else(|| Encoding::guess(bytes));
        let (text, faults) = encoding.text(bytes);
        (grid.encoding, grid.faults) = (Some(encoding), faults);
        of_text(&grid.file, &text)?
    } else {
        of_workbook(&mut grid, bytes, how.sheet)?
    };
    let is_full = |row: &(usize, Vec<String>)| row.1.iter().any(|cell| !cell.trim().is_empty());
    grid.rows = rows.into_iter().filter(is_full).collect();
    if grid.rows.is_empty() {
        return Err(format!("{} has no rows; one must hold headings.", grid.file));
    }
    let heads = likeliest_heads(&grid.rows);
    grid.begin_at(heads);
    Ok(grid)
}

/// Which row holds the headings.
fn likeliest_heads(rows: &Rows) -> usize {
    let speaks = |cells: &[String]| Subject::ALL.map(|subject| speaks_for(subject, cells)).into_iter().max();
    let mut best = (0, 0);
    for (at, (_, cells)) in rows.iter().take(HEADINGS_WITHIN).enumerate() {
        let says = speaks(cells).unwrap_or(0);
        if says > best.1 {
            best = (at, says);
        }
    }
    best.0
}

impl Grid {
    fn begin_at(&mut self, at: usize) {
        let mut all = std::mem::take(&mut self.rows);
        let rest = all.split_off(at.min(all.len()));
        let mut rest = rest.into_iter();
        if let Some((row, heads)) = rest.next() {
            (self.heads_row, self.heads) = (row, heads);
        }
        self.above = all;
        self.rows = rest.collect();
        // A row may be longer than its headings: what stands there has a column too.
        let wide = self.rows.iter().map(|(_, cells)| cells.len()).max().unwrap_or(0);
        self.heads.resize(wide.max(self.heads.len()), String::new());
    }

    /// The row of headings, as a spreadsheet counts.
    pub const fn heads_row(&self) -> usize {
        self.heads_row
    }

    /// The rows that may hold the headings: those above, the row itself, and the first below it.
    pub fn may_be_heads(&self) -> Vec<(usize, String)> {
        let heads = std::iter::once((self.heads_row, &self.heads));
        let all = self.above.iter().map(|(row, cells)| (*row, cells)).chain(heads);
        let all = all.chain(self.rows.iter().map(|(row, cells)| (*row, cells)));
        let said = |cells: &Vec<String>| {
            let full = cells.iter().filter(|cell| !cell.trim().is_empty());
            limits::quoted(&full.map(String::as_str).collect::<Vec<_>>().join(", "))
        };
        all.take(HEADINGS_WITHIN).map(|(row, cells)| (row, said(cells))).collect()
    }

    /// Makes another row the headings.
    pub fn set_heads_row(&mut self, row: usize) {
        let mut all = std::mem::take(&mut self.above);
        all.push((self.heads_row, std::mem::take(&mut self.heads)));
        all.append(&mut self.rows);
        let at = all.iter().position(|(number, _)| *number == row).unwrap_or(0);
        self.rows = all;
        self.begin_at(at);
    }

    /// Mends one cell; a row or column that is not there is left alone.
    pub fn mend(&mut self, row: usize, column: usize, words: &str) {
        let wide = self.heads.len();
        if let Some((_, cells)) = self.rows.iter_mut().find(|(number, _)| *number == row) {
            if cells.len() < wide {
                cells.resize(wide, String::new());
            }
            if let Some(cell) = cells.get_mut(column) {
                words.clone_into(cell);
            }
        }
    }
}

/// The sign that stands between cells: the one that the most of the first lines have, outside quotes; of several the semicolon,
/// as a comma may stand in numbers.
fn separator(text: &str) -> u8 {
    let has = |line: &str, sign: char| {
        let mut quoted = false;
        line.chars().any(|c| {
            quoted ^= c == '"';
            c == sign && !quoted
        })
    };
    let lines: Vec<&str> = text.lines().filter(|line| !line.trim().is_empty()).take(20).collect();
    let count = |sign: u8| lines.iter().filter(|line| has(line, char::from(sign))).count();
    // Of equals the last wins.
    [b',', b'\t', b';']
        .into_iter()
        .max_by_key(|sign| count(*sign))
        .filter(|sign| count(*sign) > 0)
        .unwrap_or(b',')
}

fn of_text(file: &str, text: &str) -> Result<Rows, String> {
    let bytes = text.as_bytes();
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator(text))
        .from_reader(bytes);
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
        let words = |cell: &[u8]| String::from_utf8_lossy(cell).into_owned();
        if record.iter().any(|cell| cell.len() > MOST_LETTERS && limits::has_more(&words(cell), MOST_LETTERS))
        {
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

fn of_workbook(grid: &mut Grid, bytes: &[u8], sheet: Option<usize>) -> Result<Rows, String> {
    let file = grid.file.clone();
    let say = |why: &dyn std::fmt::Display| {
        let why = limits::said(&why.to_string());
        format!("{file} is not a table that can be read: {why}. Save it as .xlsx or .csv and try again.")
    };
    let bytes = workbook::unpacked(bytes).map_err(|why| say(&why))?;
    let mut book: Xlsx<_> =
        calamine::open_workbook_from_rs(Cursor::new(bytes)).map_err(|why: XlsxError| say(&why))?;
    grid.sheets = book.sheet_names();
    if grid.sheets.is_empty() {
        return Err(format!("{file} has no sheet."));
    }
    let wanted: Vec<usize> = sheet.map_or_else(|| (0..grid.sheets.len()).collect(), |one| vec![one]);
    for at in wanted {
        let Some(name) = grid.sheets.get(at) else { return Err(format!("{file} has no such sheet.")) };
        let rows = of_sheet(&file, &mut book, name, &say)?;
        if !rows.is_empty() {
            grid.sheet = at;
            return Ok(rows);
        }
    }
    Ok(Vec::new())
}

fn of_sheet(
    file: &str,
    book: &mut Xlsx<Cursor<Vec<u8>>>,
    sheet: &str,
    say: &dyn Fn(&dyn std::fmt::Display) -> String,
) -> Result<Rows, String> {
    let mut reader = book.worksheet_cells_reader(sheet).map_err(|why| say(&why))?;
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
