//! How what is read, matched and edited grows with its rows, events and lines: each is done with n, 2n, 4n and 8n of them, and the slope
//! of the logarithms of time on those of n is printed. 1 is linear, n log n comes out a little above 1, and 2 is every pair.
//! A table, not a statistic: of three tries the shortest counts. `cargo bench -p backrow-files --bench growth`.

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::cast_precision_loss,
    reason = "a table on data that cannot fail to be made"
)]

use backrow_core::edit::{Edit, apply};
use backrow_core::library::Library;
use backrow_core::pitch::Reading;
use backrow_files::calendar::{edit, propose, read, words_of_all};
use backrow_files::tables::collection::{self, Import, Subject, take};
use backrow_files::tables::lines;
use std::fmt::Write;
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

/// How often the smallest count is doubled.
const DOUBLINGS: u32 = 3;

/// Does it with n, 2n, 4n and 8n, and prints the times and the slope. `make` is not counted.
fn row<T>(name: &str, n: usize, make: impl Fn(usize) -> T, work: impl Fn(&T)) {
    let mut points = Vec::new();
    print!("{name:<52}");
    for count in (0..=DOUBLINGS).map(|doubling| n << doubling) {
        let made = make(count);
        let once = || {
            let begun = Instant::now();
            work(&made);
            begun.elapsed()
        };
        let shortest = (0..3).map(|_| once()).min().unwrap_or(Duration::ZERO);
        print!("{count:>7}: {:>9.2} ms", shortest.as_secs_f64() * 1e3);
        points.push(((count as f64).ln(), shortest.as_secs_f64().max(1e-9).ln()));
    }
    println!("   exponent {:.2}", slope(&points));
}

/// The slope of the straight line that lies nearest to the points.
fn slope(points: &[(f64, f64)]) -> f64 {
    let of = points.len() as f64;
    let mean = |part: fn(&(f64, f64)) -> f64| points.iter().map(part).sum::<f64>() / of;
    let (x, y) = (mean(|p| p.0), mean(|p| p.1));
    let up: f64 = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    up / points.iter().map(|p| (p.0 - x).powi(2)).sum::<f64>()
}

fn demo() -> Library {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    backrow_files::library::open(&demo, &backrow_files::kinds::standard().unwrap()).library
}

/// A table of so many rows, each said by its number.
fn table(library: &Library, head: &str, count: usize, of: impl Fn(usize) -> String) -> Import {
    let mut text = head.to_owned();
    for at in 0..count {
        text.push('\n');
        text.push_str(&of(at));
    }
    let grid = collection::read(Path::new("made.csv"), text.as_bytes()).unwrap();
    Import::new(library, grid, Some(Subject::Instruments), Reading::English)
}

fn tables(library: &Library) {
    let head = "name;kind;place;owner";
    let kinds = [
        ("rows, each with a store and an owner of its own", 0),
        ("rows of one name, stores of names that are one id", 1),
        ("rows of things that are there, all of one name", 2),
    ];
    for (name, what) in kinds {
        let of = move |at: usize| match what {
            0 => format!("Gong {at};gong;Store {at};Player {at}"),
            // Letters that no slug holds: every store's id is "unnamed" with a number.
            1 => format!("Gong;gong;{};X", "б".repeat(1 + at % 40) + &"в".repeat(1 + at / 40)),
            _ => "Gong;gong;Store;X".to_owned(),
        };
        let make = |count: usize| {
            let import = table(library, head, count, of);
            let edit = take(library, &import).edit("made.csv").filter(|_| what == 2);
            let library = edit.map_or_else(|| library.clone(), |edit| apply(library, &edit).unwrap());
            (library, import)
        };
        row(name, 500, make, |(library, import)| {
            let edit = take(library, import).edit("made.csv");
            black_box(edit.map(|edit| apply(library, &edit).unwrap().instruments.len()));
        });
    }
}

/// A calendar of so many events; every tenth of the demo's programme, the others with names of their own.
fn calendar(count: usize, of_programme: usize) -> String {
    let mut text = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\n".to_owned();
    for at in 0..count {
        let (day, month, year) = (1 + at % 28, 1 + at / 28 % 12, 2027 + at / 336);
        let title = if at % of_programme == 0 { "Tidelands" } else { "Hall" };
        write!(
            text,
            "BEGIN:VEVENT\r\nUID:{at}\r\nDTSTART:{year}{month:02}{day:02}T100000\r\nDURATION:PT2H\r\nSUMMARY:{title} {at}\r\nLOCATION:Room {at}\r\nEND:VEVENT\r\n"
        )
        .unwrap();
    }
    text + "END:VCALENDAR\r\n"
}

fn calendars(library: &Library) {
    let parse = |text: &String| read("made.ics", text.as_bytes(), Some("Europe/Berlin")).unwrap();
    row("events read", 500, |count| calendar(count, 10), |text| drop(black_box(parse(text))));
    let read = |count| parse(&calendar(count, 1));
    row("events matched, put into the library, and in words", 500, read, |calendar| {
        let proposals = propose(library, calendar);
        let next = edit(library, "made.ics", &proposals).map(|edit| apply(library, &edit).unwrap());
        black_box((next, words_of_all(library, &proposals)));
    });
    let known = |count| {
        let calendar = parse(&calendar(count, 1));
        let edit = edit(library, "made.ics", &propose(library, &calendar)).unwrap();
        (apply(library, &edit).unwrap(), calendar)
    };
    row("the same events again, all there already", 500, known, |(library, calendar)| {
        let proposals = propose(library, calendar);
        black_box((edit(library, "made.ics", &proposals), words_of_all(library, &proposals)));
    });
    row("all of them removed", 500, known, |(library, _)| {
        let ids = library.services().map(|service| Edit::RemoveService(service.id.clone()));
        let edit = Edit::Together { words: "Remove".to_owned(), edits: ids.collect() };
        black_box(apply(library, &edit).unwrap());
    });
}

fn tables_of_lines() {
    let kinds = backrow_files::kinds::standard().unwrap();
    for (name, one) in [("rows of one line in as many measures", true), ("rows of as many lines", false)] {
        let make = |count: usize| {
            let mut text = "line,instrument,from measure,to measure,notes".to_owned();
            for at in 1..=count {
                let line = if one { "1".to_owned() } else { format!("Gong {at}") };
                write!(text, "\n{line},gong,{at},{at},3").unwrap();
            }
            text
        };
        row(name, 500, make, |text| {
            let read = lines::parse("made.csv", text.as_bytes(), &kinds).unwrap();
            black_box(read.lines.len());
        });
    }
}

fn main() {
    // `cargo test --benches` only asks whether it builds.
    if !std::env::args().any(|arg| arg == "--bench") {
        return;
    }
    let library = demo();
    tables(&library);
    calendars(&library);
    tables_of_lines();
}
