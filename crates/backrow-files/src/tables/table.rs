//! A table with typed cells, and its two ways out: comma-separated values (RFC 4180) and a workbook (Office Open XML).

use jiff::civil::{Date, DateTime};
use rust_xlsxwriter::{ExcelDateTime, Format, Workbook, Worksheet, XlsxError};

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing.
    Empty,
    /// Words.
    Text(String),
    /// A whole number.
    Whole(i64),
    /// A number.
    Number(f64),
    /// Yes or no.
    Bool(bool),
    /// A day.
    Date(Date),
    /// A day and hour, local.
    Time(DateTime),
}

impl Cell {
    /// Words; empty ones are no cell.
    pub fn text(words: impl Into<String>) -> Self {
        let words = words.into();
        if words.is_empty() { Self::Empty } else { Self::Text(words) }
    }

    /// A number, or nothing.
    pub fn number(value: Option<f64>) -> Self {
        value.filter(|value| value.is_finite()).map_or(Self::Empty, Self::Number)
    }

    /// As it stands in comma-separated values: numbers with a point, days as 2027-10-12, hours as 2027-10-12 19:30.
    fn plain(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(words) => guarded(words),
            Self::Whole(number) => number.to_string(),
            Self::Number(number) => number.to_string(),
            Self::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
            Self::Date(date) => date.to_string(),
            Self::Time(time) => time.strftime("%Y-%m-%d %H:%M").to_string(),
        }
    }
}

/// Signs with which a cell begins that a spreadsheet takes for a formula; of a tab or line break it looks at what follows.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// Words as they stand in a plain table: before what a spreadsheet would take for a formula stands an apostrophe, which makes
/// it words there and which [`bare`] takes off again. Words that begin with an apostrophe get one too, so that none is lost.
fn guarded(words: &str) -> String {
    if words.starts_with(FORMULA) || words.starts_with('\'') { format!("'{words}") } else { words.to_owned() }
}

/// The words of a cell of a plain table, without the apostrophe that stands before a formula or another apostrophe.
pub(crate) fn bare(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|rest| rest.starts_with(FORMULA) || rest.starts_with('\'')).unwrap_or(cell)
}

/// A table: a name, headings, rows.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// What it is called; the sheet's name in a workbook, at most 31 letters of it.
    pub name: String,
    /// The headings.
    pub heads: Vec<&'static str>,
    /// Rows of as many cells.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// As comma-separated values in UTF-8, headings first.
    pub fn csv(&self) -> Result<Vec<u8>, String> {
        let mut out = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
        let say = |why: csv::Error| format!("{} cannot be written as CSV: {why}", self.name);
        out.write_record(&self.heads).map_err(say)?;
        for row in &self.rows {
            out.write_record(row.iter().map(Cell::plain)).map_err(say)?;
        }
        out.into_inner().map_err(|why| format!("{} cannot be written as CSV: {why}", self.name))
    }
}

/// Tables as a workbook: a sheet each, headings bold and frozen, columns as wide as their words, real numbers and days.
pub fn workbook(tables: &[Table]) -> Result<Vec<u8>, String> {
    let mut book = Workbook::new();
    for (at, table) in tables.iter().enumerate() {
        let name: String = table.name.chars().filter(|c| !"[]:*?/\\'".contains(*c)).take(31).collect();
        let name = if name.is_empty() { format!("Table {}", at + 1) } else { name };
        let sheet = book.add_worksheet();
        fill(sheet, table, &name)
            .map_err(|why| format!("{} cannot be written as XLSX: {why}", table.name))?;
    }
    book.save_to_buffer().map_err(|why| format!("The workbook cannot be written: {why}"))
}

fn fill(sheet: &mut Worksheet, table: &Table, name: &str) -> Result<(), XlsxError> {
    sheet.set_name(name)?;
    let bold = Format::new().set_bold().set_border_bottom(rust_xlsxwriter::FormatBorder::Thin);
    let day = Format::new().set_num_format("yyyy-mm-dd");
    let hour = Format::new().set_num_format("yyyy-mm-dd hh:mm");
    for (column, head) in (0..).zip(&table.heads) {
        sheet.write_string_with_format(0, column, *head, &bold)?;
        let widest = table.rows.iter().filter_map(|row| row.get(usize::from(column)));
        let widest = widest.map(|cell| cell.plain().chars().count()).chain([head.chars().count()]).max();
        let width = u16::try_from(widest.unwrap_or(8).clamp(6, 48)).unwrap_or(48);
        sheet.set_column_width(column, f64::from(width) + 1.5)?;
    }
    for (row, cells) in (1..).zip(&table.rows) {
        for (column, cell) in (0..).zip(cells) {
            match cell {
                Cell::Empty => {}
                Cell::Text(words) => {
                    sheet.write_string(row, column, words)?;
                }
                #[expect(
                    clippy::cast_precision_loss,
                    reason = "a workbook has no other numbers; counts are small"
                )]
                Cell::Whole(number) => {
                    sheet.write_number(row, column, *number as f64)?;
                }
                Cell::Number(number) => {
                    sheet.write_number(row, column, *number)?;
                }
                Cell::Bool(yes) => {
                    sheet.write_boolean(row, column, *yes)?;
                }
                Cell::Date(date) => match moment(date.at(0, 0, 0, 0)) {
                    Some(moment) => {
                        sheet.write_datetime_with_format(row, column, &moment, &day)?;
                    }
                    None => {
                        sheet.write_string(row, column, cell.plain())?;
                    }
                },
                Cell::Time(time) => match moment(*time) {
                    Some(moment) => {
                        sheet.write_datetime_with_format(row, column, &moment, &hour)?;
                    }
                    None => {
                        sheet.write_string(row, column, cell.plain())?;
                    }
                },
            }
        }
    }
    sheet.set_freeze_panes(1, 0)?;
    Ok(())
}

/// A day and hour as a workbook knows it; `None` before 1900 or after 9999.
fn moment(time: DateTime) -> Option<ExcelDateTime> {
    let (year, month, day) =
        (u16::try_from(time.year()).ok()?, u8::try_from(time.month()).ok()?, u8::try_from(time.day()).ok()?);
    let (hour, minute) = (u16::try_from(time.hour()).ok()?, u8::try_from(time.minute()).ok()?);
    ExcelDateTime::from_ymd(year, month, day).ok()?.and_hms(hour, minute, f64::from(time.second())).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> Table {
        Table {
            name: "Lines: all".into(),
            heads: vec!["name", "kg", "on"],
            rows: vec![
                vec![
                    Cell::text("Tam-tam, \"large\""),
                    Cell::Number(43.5),
                    Cell::Date(Date::constant(2027, 10, 12)),
                ],
                vec![Cell::text("=SUM(A1)"), Cell::number(None), Cell::text("")],
            ],
        }
    }

    /// RFC 4180: quotes doubled, lines ended with CR LF.
    #[test]
    fn as_csv() {
        let csv = String::from_utf8(table().csv().unwrap()).unwrap();
        assert_eq!(csv, "name,kg,on\r\n\"Tam-tam, \"\"large\"\"\",43.5,2027-10-12\r\n'=SUM(A1),,\r\n");
    }

    #[test]
    fn formulas_are_words_in_a_plain_table_and_come_back() {
        for words in ["=SUM(A1)", "+1", "-3 dB", "@x", "'quoted'", "plain", "'", "''=", "\tx"] {
            let cell = Cell::Text(words.to_owned()).plain();
            assert!(!cell.starts_with(FORMULA), "{cell}");
            assert_eq!(bare(&cell), words);
        }
        assert_eq!(Cell::Number(-3.5).plain(), "-3.5", "a number is a number");
    }

    #[test]
    fn a_workbook_is_read_back_with_its_types() {
        use calamine::{Data, Reader, Xlsx};
        let bytes = workbook(&[table()]).unwrap();
        let mut book: Xlsx<_> = calamine::open_workbook_from_rs(std::io::Cursor::new(bytes)).unwrap();
        let sheet = book.worksheet_range("Lines all").unwrap();
        assert_eq!(sheet.get_value((1, 1)), Some(&Data::Float(43.5)));
        assert_eq!(sheet.get_value((2, 0)), Some(&Data::String("=SUM(A1)".into())), "words, not a formula");
        assert!(
            matches!(sheet.get_value((1, 2)), Some(Data::DateTime(day)) if (day.as_f64() - 46672.0).abs() < 1e-9)
        );
    }
}
