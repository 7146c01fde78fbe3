//! A table as it stands in a file: headings and rows of words.

use calamine::{Data, Reader, Sheets};
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

/// Reads a table by its file name's ending: `.csv`, `.tsv` or `.txt`, else a workbook's first sheet. An error says what helps.
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
        let text = |cell: &[u8]| String::from_utf8_lossy(cell).trim().to_owned();
        rows.push((line, record.iter().map(text).collect()));
    }
    Ok(rows)
}

fn of_workbook(file: &str, bytes: &[u8]) -> Result<Vec<(usize, Vec<String>)>, String> {
    let say = |why: calamine::Error| {
        format!("{file} is no table that can be read: {why}. Save it as .xlsx or .csv and try again.")
    };
    let mut book: Sheets<_> = calamine::open_workbook_auto_from_rs(Cursor::new(bytes)).map_err(say)?;
    let sheet = book.worksheet_range_at(0).ok_or_else(|| format!("{file} has no sheet."))?.map_err(say)?;
    let start = sheet.start().map_or(0, |(row, _)| usize::try_from(row).unwrap_or(usize::MAX));
    let rows = sheet.rows().enumerate();
    Ok(rows.map(|(at, cells)| (start + at + 1, cells.iter().map(words).collect())).collect())
}

fn words(cell: &Data) -> String {
    match cell {
        Data::Empty | Data::Error(_) => String::new(),
        Data::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        other => other.to_string().trim().to_owned(),
    }
}
