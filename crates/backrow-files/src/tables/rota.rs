//! The table of passages that the rota is asked from a shell: a row a passage.
//!
//! The first line names the columns, in any order: line, instrument, `from_s`, `to_s`, `x_m`, `y_m`, beaters;
//! optional players, together, kind. Other columns are told and not read. Lines before it that begin with `#` are remarks.
//! Cells are parted by commas, or by semicolons or tabs where the first line is; numbers may then have decimal commas.

use super::in_new_words;
use crate::limits::{MOST_BYTES, MOST_COLUMNS, MOST_LETTERS, MOST_PASSAGES, has_more};
use crate::problem::Problem;
use backrow_core::rota::table::Row;
use std::path::Path;

/// Columns that the reader knows.
const COLUMNS: [&str; 10] =
    ["line", "instrument", "from_s", "to_s", "x_m", "y_m", "beaters", "players", "together", "kind"];

/// Columns without which no row says anything.
const NEEDED: [&str; 3] = ["line", "from_s", "to_s"];

/// Reads the table in a file.
///
/// # Errors
/// When the file cannot be read at all or a needed column is missing. A row that cannot be read costs that row.
pub fn read(path: &Path) -> Result<(Vec<Row>, Vec<Problem>), Problem> {
    let name = path.display().to_string();
    let bytes = crate::limits::read_plain(path, MOST_BYTES)
        .map_err(|why| problem("table-file", &name, &why.to_string(), "check the name"))?;
    parse(&name, &bytes)
}

/// Reads the table in `bytes`; `name` stands in reports.
///
/// # Errors
/// As [`read`].
pub fn parse(name: &str, bytes: &[u8]) -> Result<(Vec<Row>, Vec<Problem>), Problem> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let (above, bytes) = remarks(bytes);
    let parted = parted_by(bytes);
    let mut reader =
        csv::ReaderBuilder::new().delimiter(parted).trim(csv::Trim::All).flexible(true).from_reader(bytes);
    let first =
        reader.headers().map_err(|why| problem("table-read", name, &why.to_string(), "save it as UTF-8"))?;
    let titles: Vec<String> = first.iter().map(|title| in_new_words(title.to_lowercase())).collect();
    if let Some(missing) = NEEDED.iter().find(|n| !titles.iter().any(|t| t == *n)) {
        let what = format!("the column “{missing}” is missing");
        let place = format!("{name}, line {}", above + 1);
        return Err(problem("table-column", &place, &what, "name it in the first line"));
    }
    let (mut rows, mut problems) = (Vec::new(), Vec::new());
    for title in titles.iter().filter(|t| !COLUMNS.contains(&t.as_str()) && !t.is_empty()) {
        let what = format!("the column “{title}” is not known and was not read");
        problems.push(problem(
            "table-column",
            &format!("{name}, line {}", above + 1),
            &what,
            "ignore this if it is only a remark",
        ));
    }
    for record in reader.records() {
        if rows.len() >= MOST_PASSAGES || record.as_ref().is_ok_and(|record| record.len() > MOST_COLUMNS) {
            let what = format!("more than {MOST_PASSAGES} passages or {MOST_COLUMNS} columns are not read");
            problems.push(problem("table-size", name, &what, "ask for one programme at a time"));
            break;
        }
        match record {
            Ok(record) => {
                let line = above + record.position().map_or(0, csv::Position::line);
                match one_row(&titles, &record, line, parted != b',') {
                    Ok(row) => rows.push(row),
                    Err(what) => {
                        let place = format!("{name}, line {line}");
                        problems.push(problem(
                            "table-row",
                            &place,
                            &what,
                            "correct the cell; the row was skipped",
                        ));
                    }
                }
            }
            Err(why) => problems.push(problem("table-read", name, &why.to_string(), "save it as UTF-8")),
        }
    }
    Ok((rows, problems))
}

/// How many lines at the top are remarks, and what follows them.
fn remarks(mut bytes: &[u8]) -> (u64, &[u8]) {
    let mut lines = 0;
    while bytes.first() == Some(&b'#') {
        let end = bytes.iter().position(|byte| *byte == b'\n').map_or(bytes.len(), |at| at + 1);
        bytes = bytes.get(end..).unwrap_or_default();
        lines += 1;
    }
    (lines, bytes)
}

/// What parts the cells of the first line: the one of comma, semicolon and tab that it has most of.
fn parted_by(bytes: &[u8]) -> u8 {
    let line = bytes.split(|byte| *byte == b'\n').next().unwrap_or_default();
    let count = |sign: &u8| line.split(|byte| byte == sign).count();
    [b'\t', b';', b','].into_iter().max_by_key(count).unwrap_or(b',')
}

fn problem(code: &'static str, place: &str, what: &str, remedy: &str) -> Problem {
    Problem { code, place: place.to_owned(), what: what.to_owned(), remedy: remedy.to_owned() }.cut()
}

fn one_row(
    titles: &[String],
    record: &csv::StringRecord,
    row: u64,
    decimal_commas: bool,
) -> Result<Row, String> {
    let cell =
        |name: &str| titles.iter().position(|t| t == name).and_then(|i| record.get(i)).unwrap_or_default();
    if let Some(long) = COLUMNS.iter().find(|name| has_more(cell(name), MOST_LETTERS)) {
        return Err(format!("the cell in the column {long} has more than {MOST_LETTERS} letters"));
    }
    let number = |name: &str| {
        let text = cell(name);
        let plain = if decimal_commas { text.replace(',', ".") } else { text.to_owned() };
        plain.parse::<f64>().map_err(|_ignored| format!("“{text}” in the column {name} is not a number"))
    };
    let place_m = match (cell("x_m"), cell("y_m")) {
        ("", "") => None,
        ("", _) | (_, "") => return Err("a place needs both x_m and y_m".to_owned()),
        _ => Some([number("x_m")?, number("y_m")?]),
    };
    Ok(Row {
        row: usize::try_from(row).unwrap_or_default(),
        line: cell("line").to_owned(),
        instrument: cell("instrument").to_owned(),
        from_s: number("from_s")?,
        to_s: number("to_s")?,
        place_m,
        beaters: cell("beaters").to_owned(),
        players: cell("players").to_owned(),
        together: cell("together").to_owned(),
        kind: cell("kind").to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_in_any_order_and_bad_cells_told_by_line() {
        let text = "to_s,line,from_s,x_m,y_m,colour\n2,bells,1,0,0,red\n3,gong,two,0,0,\n4, gong ,3,,,\n5,gong,4,1,,\n";
        let (rows, problems) = parse("t.csv", text.as_bytes()).unwrap();
        assert_eq!(rows.len(), 2);
        assert_eq!((rows[1].line.as_str(), rows[1].row, rows[1].place_m), ("gong", 4, None));
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert_eq!(told.len(), 3, "{told:?}");
        assert!(
            told[1].starts_with("t.csv, line 3: “two” in the column from_s is not a number"),
            "{}",
            told[1]
        );
        assert!(told[2].contains("line 5"), "{}", told[2]);
    }

    #[test]
    fn a_limit_of_letters_counts_letters() {
        let read = |letters: usize| {
            parse("t.csv", format!("line,from_s,to_s\n{},1,2\n", "ä".repeat(letters)).as_bytes())
                .unwrap()
                .0
                .len()
        };
        assert_eq!((read(MOST_LETTERS), read(MOST_LETTERS + 1)), (1, 0));
    }

    #[test]
    fn semicolons_go_with_decimal_commas() {
        let text = "# from a spreadsheet\nline;from_s;to_s;x_m;y_m\n#1 gong;1,5;2;0,25;1\nbells;x;3;;\n";
        let (rows, problems) = parse("t.csv", text.as_bytes()).unwrap();
        let row = rows.first().unwrap();
        assert_eq!((row.line.as_str(), row.from_s, row.place_m), ("#1 gong", 1.5, Some([0.25, 1.0])));
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert!(told.len() == 1 && told[0].starts_with("t.csv, line 4"), "{told:?}");
    }

    #[test]
    fn a_missing_column_is_named() {
        let why = parse("t.csv", b"line,from_s\na,1\n").unwrap_err();
        assert_eq!(why.to_string(), "t.csv, line 1: the column “to_s” is missing; name it in the first line");
    }
}
