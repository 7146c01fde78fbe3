//! A plain table of lines, a row a passage: for a part that is kept as a list.
//!
//! The first line names the columns, in any order and spelling of case, blanks and underscores: line, instrument, from
//! measure, to measure, from seconds, to seconds, notes, beaters. Line is needed; the rest may be empty. Notes are written
//! notes as in a typed line ("F5 A5 x3"), or a number of strokes.

use super::in_new_words;
use crate::limits::{MOST_COLUMNS, MOST_LETTERS, MOST_ROWS, has_more};
use crate::problem::Problem;
use crate::score::names::{NameTable, name_in};
use crate::score::{NoteCount, ReadLine, ReadPassage, ScoreReading};
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use backrow_core::music::typed::{Spans, Stretch, parse_line};
use backrow_core::music::{Degree, Line, MeasureName, Passage, PlayedMeasure, Timeline};
use backrow_core::pitch::Reading;
use std::collections::{BTreeMap, BTreeSet};

/// The columns by their names, blanks and underscores left out.
const COLUMNS: [&str; 8] =
    ["line", "instrument", "frommeasure", "tomeasure", "fromseconds", "toseconds", "notes", "beaters"];

/// The longest name of a line or an instrument, letters.
const LONGEST_NAME: usize = 400;

/// The most measures that a table may count up to.
const MOST_MEASURES: u32 = 20_000;

/// Seconds of a measure where the table says no seconds.
const UNSTATED_S: f64 = 2.0;

/// One row, read.
struct Row {
    line: String,
    instrument: String,
    stretch: Stretch,
    measured: bool,
    beaters: Vec<String>,
}

/// Reads the table in `bytes` as if it were a score; `name` is the file's name, and the work's title.
///
/// # Errors
/// When it cannot be read at all or has no column of lines. A row that cannot be read costs that row.
pub fn parse(name: &str, bytes: &[u8], kinds: &Shared<KindId, Kind>) -> Result<ScoreReading, Problem> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let mut reader =
        csv::ReaderBuilder::new().trim(csv::Trim::All).comment(Some(b'#')).flexible(true).from_reader(bytes);
    let first =
        reader.headers().map_err(|why| problem("table-read", name, &why.to_string(), "save it as UTF-8"))?;
    let plain = |title: &str| in_new_words(title.to_lowercase().replace([' ', '_', '-'], ""));
    let titles: Vec<String> = first.iter().map(plain).collect();
    if !titles.iter().any(|title| title == "line") {
        let expected = "name the columns in the first line: line, instrument, from measure, to measure, from seconds, to \
                        seconds, notes, beaters";
        return Err(problem(
            "table-column",
            &format!("{name}, line 1"),
            "the column “line” is missing",
            expected,
        ));
    }
    let mut problems = Vec::new();
    for title in titles.iter().filter(|title| !COLUMNS.contains(&title.as_str()) && !title.is_empty()) {
        let what = format!("the column “{title}” is not known and was not read");
        problems.push(problem(
            "table-column",
            &format!("{name}, line 1"),
            &what,
            "ignore this if it is only a remark",
        ));
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        if rows.len() >= MOST_ROWS || record.as_ref().is_ok_and(|record| record.len() > MOST_COLUMNS) {
            let what = format!("more than {MOST_ROWS} rows or {MOST_COLUMNS} columns are not read");
            problems.push(problem("table-size", name, &what, "split it into several tables"));
            break;
        }
        match record {
            Ok(record) => match one_row(&titles, &record) {
                Ok(row) => rows.push(row),
                Err(what) => {
                    let place = format!("{name}, line {}", record.position().map_or(0, csv::Position::line));
                    problems.push(problem(
                        "table-row",
                        &place,
                        &what,
                        "correct the cell; the row was skipped",
                    ));
                }
            },
            Err(why) => problems.push(problem("table-read", name, &why.to_string(), "save it as UTF-8")),
        }
    }
    Ok(reading(name, rows, kinds, problems))
}

fn problem(code: &'static str, place: &str, what: &str, remedy: &str) -> Problem {
    Problem { code, place: place.to_owned(), what: what.to_owned(), remedy: remedy.to_owned() }.cut()
}

fn one_row(titles: &[String], record: &csv::StringRecord) -> Result<Row, String> {
    let cell =
        |name: &str| titles.iter().position(|t| t == name).and_then(|i| record.get(i)).unwrap_or_default();
    if let Some(long) = COLUMNS.iter().find(|name| has_more(cell(name), MOST_LETTERS)) {
        return Err(format!("the cell in the column {long} has more than {MOST_LETTERS} letters"));
    }
    if let Some(long) = ["line", "instrument"].iter().find(|name| has_more(cell(name), LONGEST_NAME)) {
        return Err(format!("the name in the column {long} has more than {LONGEST_NAME} letters"));
    }
    if cell("line").is_empty() {
        return Err("the row names no line".to_owned());
    }
    let seconds = |name: &str, says: &str| match cell(name) {
        "" => Ok(None),
        text => {
            let value = backrow_core::numbers::typed(text).filter(|s| *s >= 0.0);
            value.map(Some).ok_or_else(|| format!("“{text}” in the column {says} is not a number of seconds"))
        }
    };
    let span = match (seconds("fromseconds", "from seconds")?, seconds("toseconds", "to seconds")?) {
        (Some(from), Some(to)) if from <= to => Some((from, to)),
        (Some(from), Some(to)) => {
            return Err(format!("{from}\u{202F}s comes after {to}\u{202F}s; the first comes first"));
        }
        (None, None) => None,
        _ => return Err("seconds need both from and to".to_owned()),
    };
    let measured = !cell("frommeasure").is_empty();
    let from = if measured { cell("frommeasure") } else { "1" };
    let to = if cell("tomeasure").is_empty() { from } else { cell("tomeasure") };
    if !measured && span.is_none() {
        return Err("the row has neither measures nor seconds".to_owned());
    }
    let notes = cell("notes");
    // A bare number of strokes, as people write it.
    let notes = if notes.parse::<u32>().is_ok() { format!("x{notes}") } else { notes.replace(',', " ") };
    let line = format!("x | {from}-{to} {notes}");
    let typed = parse_line(&line, Reading::English).map_err(|why| why.to_string())?;
    let mut stretch = typed.stretches.into_iter().next().ok_or("the row has no measures")?;
    stretch.seconds = span;
    let beaters = cell("beaters").split([';', ',']).map(str::trim).filter(|b| !b.is_empty());
    Ok(Row {
        line: cell("line").to_owned(),
        instrument: Some(cell("instrument")).filter(|i| !i.is_empty()).unwrap_or(cell("line")).to_owned(),
        stretch,
        measured,
        beaters: beaters.map(str::to_owned).collect(),
    })
}

fn reading(
    name: &str,
    rows: Vec<Row>,
    kinds: &Shared<KindId, Kind>,
    mut problems: Vec<Problem>,
) -> ScoreReading {
    let timeline = timeline(&rows);
    if rows.iter().any(|row| row.stretch.seconds.is_none()) {
        let what = format!("some rows give no seconds; {UNSTATED_S}\u{202F}s a measure are assumed there");
        problems.push(problem(
            "table-seconds",
            name,
            &what,
            "type the tempo lines, or add the columns of seconds",
        ));
    }
    let mut lines: Vec<(String, Vec<Row>)> = Vec::new();
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    for row in rows {
        if let Some((_, rows)) = known.get(&row.line).and_then(|at| lines.get_mut(*at)) {
            rows.push(row);
        } else {
            known.insert(row.line.clone(), lines.len());
            lines.push((row.line.clone(), vec![row]));
        }
    }
    let title = name.rsplit_once('.').map_or(name, |(stem, _)| stem).to_owned();
    let (names, spans) = (NameTable::new(kinds), Spans::of(&timeline));
    let read = |(line, rows): (String, Vec<Row>)| read_line(&line, &rows, (kinds, &names), &spans);
    let lines = lines.into_iter().filter_map(read).collect();
    ScoreReading {
        file: name.to_owned(),
        title,
        title_from: crate::score::TitleFrom::File,
        composer: String::new(),
        movement_number: String::new(),
        movement_title: String::new(),
        measures: timeline.printed(),
        quarters: timeline.quarters(),
        timeline,
        lines,
        problems,
    }
}

/// Measures from 1 to the last that is named, in seconds between what the rows say of them.
fn timeline(rows: &[Row]) -> Timeline {
    let number = |name: &MeasureName| name.number().unwrap_or(1).clamp(1, MOST_MEASURES);
    let last = rows.iter().map(|row| number(&row.stretch.to)).max().unwrap_or(0);
    // Where measure edges lie: edge n is where measure n + 1 begins.
    let mut known: Vec<(u32, f64)> = vec![(0, 0.0)];
    for row in rows.iter().filter(|row| row.measured) {
        if let Some((from_s, to_s)) = row.stretch.seconds {
            known.push((number(&row.stretch.from) - 1, from_s));
            known.push((number(&row.stretch.to), to_s));
        }
    }
    known.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    known.dedup_by_key(|(edge, _)| *edge);
    let mut rising: Vec<(u32, f64)> = Vec::new();
    for (edge, at_s) in known {
        if rising.last().is_none_or(|(_, before)| at_s >= *before) {
            rising.push((edge, at_s));
        }
    }
    let at = |edge: u32| {
        let after = rising.get(rising.partition_point(|(known, _)| *known < edge));
        let upto = rising.partition_point(|(known, _)| *known <= edge);
        let before = upto.checked_sub(1).and_then(|at| rising.get(at)).copied().unwrap_or((0, 0.0));
        match after {
            Some((known, at_s)) if *known > before.0 => {
                let share = f64::from(edge - before.0) / f64::from(known - before.0);
                before.1 + share * (at_s - before.1)
            }
            Some((_, at_s)) => *at_s,
            None => before.1 + f64::from(edge - before.0) * UNSTATED_S,
        }
    };
    let measures =
        (1..=last).map(|n| PlayedMeasure { name: n.into(), at_s: at(n - 1), quarters: 4.0, of: 4 }).collect();
    let ends = rows.iter().filter_map(|row| row.stretch.seconds).map(|(_, to)| to);
    Timeline { measures, end_s: ends.fold(at(last), f64::max), marks: Vec::new() }
}

fn read_line(
    name: &str,
    rows: &[Row],
    (kinds, names): (&Shared<KindId, Kind>, &NameTable),
    spans: &Spans<'_>,
) -> Option<ReadLine> {
    let instrument = rows.first().map(|row| row.instrument.clone())?;
    let guess = name_in(&instrument, names).into_iter().next();
    let kind = guess.as_ref().map(|guess| guess.kind.clone());
    let usual = kind.as_ref().and_then(|id| kinds.get(id)).and_then(|kind| kind.octave);
    let typed = backrow_core::music::typed::TypedLine {
        name: instrument.clone(),
        octave: None,
        stretches: rows.iter().map(|row| row.stretch.clone()).collect(),
        beaters: Vec::new(),
        part: name.to_owned(),
    };
    let ids = (
        backrow_core::id::LineId::fresh("line", |_| false),
        backrow_core::id::MovementId::fresh("1", |_| false),
    );
    let line: Line = typed.line_in(ids, (kind.clone(), usual), spans, None).ok()?;
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let beaters = rows.iter().flat_map(|row| &row.beaters).filter(|beater| seen.insert(beater.as_str()));
    let beaters: Vec<String> = beaters.cloned().collect();
    let notes = line.written_counts().into_iter().filter_map(|(note, count)| {
        Some(NoteCount { written: note.written, sounding: line.sounding_of(&note)?, count })
    });
    let mut unpitched: Vec<backrow_core::music::UnpitchedNote> = Vec::new();
    let mut known: BTreeMap<&str, usize> = BTreeMap::new();
    for stroke in line.passages.iter().flat_map(|p| &p.unpitched) {
        if let Some(known) = known.get(stroke.name.as_str()).and_then(|at| unpitched.get_mut(*at)) {
            known.count = known.count.saturating_add(stroke.count);
        } else {
            known.insert(&stroke.name, unpitched.len());
            unpitched.push(stroke.clone());
        }
    }
    Some(ReadLine {
        part: name.to_owned(),
        part_name: name.to_owned(),
        kind,
        candidates: guess.as_ref().map(|guess| guess.candidates.clone()).unwrap_or_default(),
        printed: instrument.clone(),
        octave: line.is_pitched().then_some(line.octave),
        usual_octave: line.octave,
        octave_offer: None,
        notes: notes.collect(),
        unpitched,
        passages: line.passages.iter().map(read_passage).collect(),
        beaters,
        evidence: vec![match &guess {
            Some(guess) => format!("table: “{instrument}” -> {}", guess.kind),
            None => format!("table: “{instrument}” names no instrument that is known"),
        }],
        doubts: Vec::new(),
        degree: guess.map_or(Degree::Unclear, |guess| guess.degree),
    })
}

fn read_passage(passage: &Passage) -> ReadPassage {
    let strokes: u32 = passage.unpitched.iter().map(|stroke| stroke.count).sum();
    let notes = u32::try_from(passage.notes.len()).unwrap_or(u32::MAX);
    ReadPassage { passage: passage.clone(), attacks: notes.saturating_add(strokes) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> ScoreReading {
        parse("tide.csv", text.as_bytes(), &crate::kinds::standard().unwrap()).unwrap()
    }

    #[test]
    fn rows_become_lines_with_columns_in_any_order() {
        let table = "Notes,LINE,Instrument,from_measure,To Measure,From seconds,to seconds,beaters,colour\n\
                     F5 A5*3,perc 1,Xyl.,5,8,10,18,hard rubber,red\n\
                     C6,perc 1,Xyl.,21,21,50,52,plastic,\n\
                     24,perc 2,Gran cassa,5,6,10,14,,\n";
        let reading = read(table);
        assert_eq!((reading.title.as_str(), reading.lines.len()), ("tide", 2));
        let xylophone = reading.lines.first().unwrap();
        assert_eq!(xylophone.kind.as_ref().map(KindId::as_str), Some("xylophone"));
        assert_eq!(xylophone.passages.len(), 2);
        assert_eq!(xylophone.beaters, ["hard rubber", "plastic"]);
        let counts: Vec<(String, u32)> =
            xylophone.notes.iter().map(|n| (n.written.ascii(), n.count)).collect();
        assert_eq!(counts, [("F5".to_owned(), 1), ("A5".to_owned(), 3), ("C6".to_owned(), 1)]);
        let drum = reading.lines.get(1).unwrap();
        assert_eq!(drum.unpitched.first().map(|u| u.count), Some(24));
        assert_eq!(drum.kind.as_ref().map(KindId::as_str), Some("bass_drum"));
        assert_eq!(reading.problems.len(), 1, "the colour: {:?}", reading.problems);
    }

    /// Letters of two bytes count once.
    #[test]
    fn a_limit_of_letters_counts_letters() {
        let read = |letters: usize| {
            let name = "ä".repeat(letters);
            parse(
                "t.csv",
                format!("line,from measure\n{name},1\n").as_bytes(),
                &crate::kinds::standard().unwrap(),
            )
            .unwrap()
        };
        assert_eq!(read(LONGEST_NAME).lines.len(), 1);
        let refused = read(LONGEST_NAME + 1);
        assert!(refused.lines.is_empty() && refused.problems[0].what.contains("more than 400 letters"));
    }

    #[test]
    fn measures_lie_between_the_seconds_that_are_known() {
        let reading =
            read("line,from measure,to measure,from seconds,to seconds,notes\na,5,8,8,16,4\nb,13,16,,,4\n");
        let at: Vec<f64> = reading.timeline.measures.iter().map(|m| m.at_s).collect();
        assert_eq!(at.get(..6), Some(&[0.0, 2.0, 4.0, 6.0, 8.0, 10.0][..]));
        let b = reading.lines.get(1).unwrap().passages.first().unwrap();
        assert_eq!((b.passage.from_s, b.passage.to_s), (24.0, 32.0), "2 s a measure stand in");
        assert!(reading.problems.iter().any(|p| p.code == "table-seconds"));
    }

    #[test]
    fn bad_rows_are_told_by_their_line() {
        let table = "line,from measure,to measure,from seconds,to seconds,notes\n,1,2,,,4\na,,,,,4\na,1,2,9,3,4\n\
                     a,1,2,x,3,4\na,1,2,,,Q9\na,1,2,1,,4\nok,1,2,,,4\n";
        let reading = read(table);
        assert_eq!(reading.lines.len(), 1);
        let told: Vec<String> = reading.problems.iter().map(ToString::to_string).collect();
        for (row, says) in [
            (2, "names no line"),
            (3, "neither measures nor seconds"),
            (4, "the first comes first"),
            (5, "not a number of seconds"),
            (6, "not a note"),
            (7, "both from and to"),
        ] {
            let fits = |one: &&String| one.contains(&format!("line {row}:")) && one.contains(says);
            assert!(told.iter().any(|one| fits(&one)), "line {row}: {told:#?}");
        }
        let none =
            parse("t.csv", b"instrument,notes\nxyl,4\n", &crate::kinds::standard().unwrap()).unwrap_err();
        assert!(none.to_string().contains("“line” is missing"));
    }
}
