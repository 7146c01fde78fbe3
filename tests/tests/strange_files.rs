//! Files that are not what they say: workbooks with one cell in the last corner, counts that are made up, endless rows, cells as
//! long as books, calendars that repeat without end. Each is read or refused within a time and a size, in words.

#![expect(clippy::unwrap_used, reason = "a test stops where its footing gives way")]

use backrow_core::edit::apply;
use backrow_core::library::Library;
use backrow_core::pitch::Reading;
use backrow_files::calendar;
use backrow_files::limits::{MOST_EVENTS, MOST_ROWS};
use backrow_files::score::music_in;
use backrow_files::tables::{collection, lines, rota, table};
use rstest::rstest;
use std::fmt::Write as _;
use std::io::{Cursor, Write as _};
use std::path::Path;
use zip::write::{SimpleFileOptions, ZipWriter};

fn library() -> Library {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("libraries/format-1");
    backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library
}

/// A workbook with that sheet and those strings.
fn workbook(sheet: &str, strings: &str) -> Vec<u8> {
    let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let relations = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006/relationships";
    let types =
        "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\"></Types>".to_owned();
    let parts = [
        ("[Content_Types].xml", types),
        (
            "_rels/.rels",
            format!(
                "<Relationships xmlns=\"{package}\"><Relationship Id=\"r\" Type=\"{relations}/officeDocument\" \
                 Target=\"xl/workbook.xml\"/></Relationships>"
            ),
        ),
        (
            "xl/workbook.xml",
            format!(
                "<workbook xmlns=\"{main}\" xmlns:r=\"{relations}\"><sheets><sheet name=\"S\" sheetId=\"1\" r:id=\"s\"/>\
                 </sheets></workbook>"
            ),
        ),
        (
            "xl/_rels/workbook.xml.rels",
            format!(
                "<Relationships xmlns=\"{package}\"><Relationship Id=\"s\" Type=\"{relations}/worksheet\" \
                 Target=\"worksheets/sheet1.xml\"/></Relationships>"
            ),
        ),
        ("xl/sharedStrings.xml", format!("<sst xmlns=\"{main}\" {strings}</sst>")),
        ("xl/worksheets/sheet1.xml", format!("<worksheet xmlns=\"{main}\">{sheet}</worksheet>")),
    ];
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (path, text) in parts {
        writer.start_file(path, SimpleFileOptions::default()).unwrap();
        writer.write_all(text.as_bytes()).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

fn cell(at: &str, words: &str) -> String {
    format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{words}</t></is></c>")
}

fn read(name: &str, bytes: &[u8]) -> Result<collection::Grid, String> {
    collection::read(Path::new(name), bytes)
}

#[test]
fn a_plain_workbook_is_read() {
    let sheet = format!(
        "<dimension ref=\"A1:B2\"/><sheetData><row r=\"1\">{}{}</row><row r=\"2\">{}<c r=\"B2\"><v>43.5</v></c></row></sheetData>",
        cell("A1", "name"),
        cell("B1", "kg"),
        cell("A2", "Gong")
    );
    let grid = read("t.xlsx", &workbook(&sheet, "count=\"0\" uniqueCount=\"0\">")).unwrap();
    assert_eq!(grid.heads, ["name", "kg"]);
    assert_eq!(grid.rows, [(2, vec!["Gong".to_owned(), "43.5".to_owned()])]);
}

#[test]
fn one_cell_in_a_far_corner_asks_for_nothing() {
    let rows = |last: &str| {
        format!(
            "<dimension ref=\"A1:XFD1048576\"/><sheetData><row r=\"1\">{}</row><row r=\"2\">{}</row>{last}</sheetData>",
            cell("A1", "name"),
            cell("A2", "Gong")
        )
    };
    let far = rows(&format!("<row r=\"1048576\">{}</row>", cell("XFD1048576", "stray")));
    let why = read("t.xlsx", &workbook(&far, "uniqueCount=\"0\">")).unwrap_err();
    assert!(why.contains("beyond column 1000"), "{why}");
    // Below the table it is a row like any other.
    let below = rows(&format!("<row r=\"1048576\">{}</row>", cell("A1048576", "stray")));
    let grid = read("t.xlsx", &workbook(&below, "uniqueCount=\"0\">")).unwrap();
    assert_eq!(grid.rows.last().unwrap().0, 1_048_576);
}

#[rstest]
#[case("uniqueCount=\"18446744073709551615\">")]
#[case("uniqueCount=\"900000000000\" count=\"1\"><si><t>x</t></si>")]
fn a_count_of_strings_that_is_made_up_is_not_believed(#[case] strings: &str) {
    let sheet = format!("<sheetData><row r=\"1\">{}</row></sheetData>", cell("A1", "name"));
    assert_eq!(read("t.xlsx", &workbook(&sheet, strings)).unwrap().heads, ["name"]);
}

#[test]
fn a_workbook_that_unpacks_without_end_is_refused() {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    writer.start_file("xl/sharedStrings.xml", SimpleFileOptions::default()).unwrap();
    let block = vec![b' '; 1 << 20];
    for _ in 0..300 {
        writer.write_all(&block).unwrap();
    }
    let bomb = writer.finish().unwrap().into_inner();
    assert!(bomb.len() < 2 << 20);
    let why = read("t.xlsx", &bomb).unwrap_err();
    assert!(why.contains("256 MB"), "{why}");
}

#[test]
fn tables_are_read_row_by_row_however_alike_the_rows() {
    let library = library();
    let rows = |count: usize| {
        let mut text = String::from("name,kind,place\n");
        for number in 0..count {
            writeln!(text, "Bell of one name,glockenspiel,Far shelf {}", number % 700).unwrap();
        }
        text
    };
    let grid = read("t.csv", rows(5_000).as_bytes()).unwrap();
    let taken = collection::take(&library, &collection::Import::new(&library, grid, None, Reading::English));
    assert_eq!((taken.things.len(), taken.places.len()), (5_000, 700));
    let ids: std::collections::BTreeSet<_> = taken
        .things
        .iter()
        .filter_map(|(_, thing, _)| match thing {
            collection::Thing::Instrument(thing) => Some(&thing.id),
            _ => None,
        })
        .collect();
    assert_eq!(ids.len(), 5_000, "each has an id of its own");
    let why = read("t.csv", rows(MOST_ROWS + 2).as_bytes()).unwrap_err();
    assert!(why.contains("more than"), "{why}");
    let wide = "x,".repeat(300_000);
    let why = read("t.csv", format!("{wide}\n{wide}\n").as_bytes()).unwrap_err();
    assert!(why.contains("beyond column"), "{why}");
}

#[test]
fn no_message_quotes_a_whole_cell() {
    let library = library();
    let long = "ü".repeat(9_000);
    let grid = read("t.csv", format!("name,kind\nGong,{long}\n").as_bytes()).unwrap();
    let taken = collection::take(&library, &collection::Import::new(&library, grid, None, Reading::English));
    let said = taken.troubles[0].problem.to_string();
    assert!(said.chars().count() < 400 && said.contains('…'), "{said}");
    let why = read("t.csv", format!("name\n{}\n", "x".repeat(10_000_000)).as_bytes()).unwrap_err();
    assert!(why.len() < 400, "{}", why.len());
    let kinds = backrow_files::kinds::standard().unwrap();
    let huge = "x".repeat(5_000_000);
    let table = format!(
        "line,from measure,to measure,from seconds,to seconds,notes\n{huge},1,2,,,4\na,1,2,{huge},3,4\n"
    );
    let reading = lines::parse("t.csv", table.as_bytes(), &kinds).unwrap();
    assert!(reading.problems.iter().all(|problem| problem.to_string().len() < 500));
    let ics = format!("BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nSUMMARY:{huge}\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n");
    let read = calendar::read("t.ics", ics.as_bytes(), None).unwrap();
    assert!(read.problems.iter().all(|problem| problem.to_string().len() < 500));
}

#[test]
fn tables_of_lines_and_passages_are_bounded() {
    let kinds = backrow_files::kinds::standard().unwrap();
    let mut text = String::from("line,from measure,to measure,from seconds,to seconds,notes\n");
    for number in 0..MOST_ROWS + 10 {
        writeln!(text, "c{},{},{},,,4", number % 3_000, number % 900 + 1, number % 900 + 1).unwrap();
    }
    let reading = lines::parse("t.csv", text.as_bytes(), &kinds).unwrap();
    assert_eq!(reading.lines.len(), 3_000);
    assert!(reading.problems.iter().any(|problem| problem.code == "table-size"));
    let mut text = String::from("line,from_s,to_s\n");
    for number in 0..5_000 {
        writeln!(text, "c{number},{number},{}", number + 1).unwrap();
    }
    let (rows, problems) = rota::parse("t.csv", text.as_bytes()).unwrap();
    assert_eq!(rows.len(), 2_000);
    assert!(problems.iter().any(|problem| problem.code == "table-size"));
}

#[test]
fn a_cell_as_long_as_a_book_costs_its_row() {
    let long = "x".repeat(10_001);
    for column in ["line", "players", "beaters"] {
        let text = format!("line,from_s,to_s,{column}\n{long},0,1,{long}\nbells,1,2,\n");
        let text =
            if column == "line" { text.replacen(",line", "", 1) } else { text.replacen(&long, "gong", 1) };
        let (rows, problems) = rota::parse("t.csv", text.as_bytes()).unwrap();
        assert_eq!(rows.len(), 1, "{column}");
        assert_eq!(rows[0].line, "bells");
        let told = problems.iter().filter(|problem| problem.what.contains("more than 10000 letters"));
        assert_eq!(told.count(), 1, "{problems:?}");
    }
}

/// What is left out of a folder of scores is said.
#[test]
fn a_folder_of_scores_says_what_it_leaves_out() {
    let home = tempfile::tempdir().unwrap();
    let empty = music_in(home.path()).unwrap();
    assert!(empty.files.is_empty() && empty.problems.is_empty());
    let deep = |depth: usize| {
        let folder = (0..depth).fold(home.path().to_owned(), |path, at| path.join(format!("d{at}")));
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(folder.join("deep.mid"), "").unwrap();
    };
    deep(8);
    let found = music_in(home.path()).unwrap();
    assert_eq!((found.files.len(), found.problems.len()), (1, 0), "so deep it is looked through");
    deep(9);
    let found = music_in(home.path()).unwrap();
    assert_eq!((found.files.len(), found.problems.len()), (1, 1));
    assert!(found.problems[0].to_string().contains("more than 8 folders deep"), "{}", found.problems[0]);
    for number in 0..2_003 {
        std::fs::write(home.path().join(format!("{number:04}.mid")), "").unwrap();
    }
    let found = music_in(home.path()).unwrap();
    assert_eq!((found.files.len(), found.problems.len()), (2_000, 2));
    assert_eq!(found.problems[1].place, "2000.mid", "the first in order are read");
    assert!(found.problems[1].what.contains("2004 scores"), "{}", found.problems[1]);
}

fn calendar_of(events: &str) -> String {
    format!("BEGIN:VCALENDAR\r\nX-WR-TIMEZONE:Europe/Berlin\r\n{events}END:VCALENDAR\r\n")
}

fn event(number: usize, more: &str) -> String {
    let (day, hour) = (number % 28 + 1, number / 28 % 24);
    format!(
        "BEGIN:VEVENT\r\nUID:u{number}\r\nSUMMARY:Rehearsal {number}\r\nDTSTART:202710{day:02}T{hour:02}0000\r\n{more}END:VEVENT\r\n"
    )
}

#[test]
fn a_calendar_of_thousands_is_read_matched_and_taken_in() {
    let library = library();
    let title = library.programmes().next().unwrap().1.title.clone();
    let mut events = String::new();
    for number in 0..3_000 {
        events += &event(number, "DURATION:PT2H\r\n").replace("Rehearsal", &format!("{title} rehearsal"));
    }
    let calendar = calendar::read("t.ics", calendar_of(&events).as_bytes(), None).unwrap();
    assert_eq!(calendar.events.len(), 3_000);
    let proposals = calendar::propose(&library, &calendar);
    assert!(proposals.iter().all(|proposal| proposal.programme.is_some()));
    let edit = calendar::edit(&library, "t.ics", &proposals).unwrap();
    let next = apply(&library, &edit).unwrap();
    assert!(next.services().count() >= 3_000);
}

#[test]
fn what_repeats_without_end_is_cut_and_told() {
    let mut events = String::new();
    for number in 0..2_000 {
        events += &event(number, "DURATION:PT2H\r\nRRULE:FREQ=DAILY\r\n");
    }
    let calendar = calendar::read("t.ics", calendar_of(&events).as_bytes(), None).unwrap();
    assert_eq!(calendar.events.len(), MOST_EVENTS);
    assert!(calendar.problems.iter().any(|problem| problem.code == "many"));
}

#[rstest]
#[case("DURATION:P99999999999999999999D\r\n", "more than a week")]
#[case("DTEND:20271001T000000\r\nX:1\r\n", "does not end after it begins")]
#[case("", "does not say how long")]
fn lengths_that_cannot_be_are_told(#[case] more: &str, #[case] says: &str) {
    // The event itself begins on the second at midnight.
    let calendar = calendar::read("t.ics", calendar_of(&event(1, more)).as_bytes(), None).unwrap();
    assert_eq!(calendar.events[0].minutes, 120);
    assert!(calendar.problems.iter().any(|problem| problem.what.contains(says)), "{:?}", calendar.problems);
}

#[test]
fn a_bare_root_is_a_score_without_parts() {
    let kinds = backrow_files::kinds::standard().unwrap();
    let options = backrow_files::score::ReadOptions::default();
    let error =
        backrow_files::score::read_score("t.musicxml", b"<score-partwise/>", &kinds, &options).unwrap_err();
    assert_ne!(error.0.code, "not-a-score", "{error}");
}

#[test]
fn what_a_spreadsheet_would_work_out_comes_back_as_words() {
    let names = ["=1+1", "+49", "-3", "@home", "'tis", "plain"];
    let rows = names.iter().map(|name| vec![table::Cell::text(*name), table::Cell::text("gong")]).collect();
    let all = table::Table { name: "T".to_owned(), heads: vec!["name", "kind"], rows };
    let csv = all.csv().unwrap();
    let text = String::from_utf8(csv.clone()).unwrap();
    assert!(text.lines().all(|line| !line.starts_with(['=', '+', '-', '@'])), "{text}");
    let grid = read("t.csv", &csv).unwrap();
    let back: Vec<&str> = grid.rows.iter().map(|(_, cells)| cells[0].as_str()).collect();
    assert_eq!(back, names);
}

/// Bytes changed at random (xorshift, Marsaglia 2003), so that every reader is tried on what is nearly right. The targets in
/// `fuzz` do the same for longer. `BACKROW_ROUNDS` makes it longer by hand.
#[test]
fn readers_take_any_bytes() {
    let rounds: u64 = std::env::var("BACKROW_ROUNDS").ok().and_then(|n| n.parse().ok()).unwrap_or(300);
    let kinds = backrow_files::kinds::standard().unwrap();
    let options = backrow_files::score::ReadOptions::default();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("libraries/format-1");
    let file = |name: &str| (name.to_owned(), std::fs::read(folder.join(name)).unwrap());
    let mut samples: Vec<(String, Vec<u8>)> = ["house", "players", "beaters", "places", "kinds"]
        .iter()
        .map(|name| file(&format!("{name}.ron")))
        .chain([file("instruments/marimba-1.ron"), file("works/salt.ron"), file("weeks/2027-41.ron")])
        .collect();
    let sheet = format!("<sheetData><row r=\"1\">{}</row></sheetData>", cell("A1", "name"));
    samples.push(("t.xlsx".to_owned(), workbook(&sheet, "uniqueCount=\"1\"><si><t>x</t></si>")));
    samples.push(("t.csv".to_owned(), b"name,kind\n\"Gong, large\",gong\n".to_vec()));
    samples.push((
        "t.ics".to_owned(),
        calendar_of(&event(3, "DURATION:PT2H\r\nRRULE:FREQ=DAILY;COUNT=3\r\n")).into(),
    ));
    let mut dice = 88_172_645_463_325_252_u64;
    let mut roll = |below: usize| {
        dice ^= dice << 13;
        dice ^= dice >> 7;
        dice ^= dice << 17;
        usize::try_from(dice % (below.max(1) as u64)).unwrap()
    };
    let (mut read_by_one, mut read_by_all) = (0_u64, 0_u64);
    for round in 0..rounds {
        for (name, bytes) in &samples {
            read_by_one += 1;
            let mut bytes = bytes.clone();
            for _ in 0..=roll(6) {
                let (at, with) = (roll(bytes.len()), u8::try_from(roll(256)).unwrap());
                match roll(4) {
                    0 => bytes.insert(at, with),
                    1 => drop(bytes.remove(at)),
                    2 => bytes.truncate(at.max(1)),
                    _ => bytes[at] = with,
                }
                if bytes.is_empty() {
                    bytes.push(with);
                }
            }
            let text = String::from_utf8_lossy(&bytes);
            match name.rsplit_once('.').map(|(_, ending)| ending) {
                Some("ron") => drop(backrow_files::library::check_text(name, &text)),
                Some("ics") => drop(calendar::read(name, &bytes, None)),
                _ => drop(read(name, &bytes)),
            }
            if round % 8 == 0 {
                read_by_all += 1;
                drop(lines::parse(name, &bytes, &kinds));
                drop(rota::parse(name, &bytes));
                drop(backrow_files::score::read_score("t.musicxml", &bytes, &kinds, &options));
            }
        }
    }
    eprintln!("{read_by_one} changed files, {read_by_all} of them read as scores, lines and passages too");
    assert!(read_by_one >= rounds && read_by_all > 0);
}
