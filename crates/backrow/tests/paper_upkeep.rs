//! The tuner's list, the workshop's page and the year's care, printed and read back: they say what the library says.
#![expect(clippy::unwrap_used, reason = "a sheet that cannot be read back is a failed test")]

#[allow(dead_code, unreachable_pub, reason = "shared with the tests of backrow-print, which use all of it")]
#[path = "../../backrow-print/tests/reader/mod.rs"]
mod reader;

use backrow::sheets::{Plans, Printer, Sheet};
use backrow_core::evening::Evening;
use backrow_core::library::Library;
use backrow_print::{Paper, Press, Templates};
use jiff::civil::Date;
use reader::{Pdf, plain};

fn demo() -> Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library
}

/// A sheet of the demo as text, without the breaks of its lines.
fn text(library: &Library, sheet: &Sheet) -> String {
    text_of(library, library.programmes().next().unwrap().1, sheet)
}

fn text_of(library: &Library, programme: &backrow_core::week::Programme, sheet: &Sheet) -> String {
    let templates = Templates::default();
    let printer = Printer {
        evening: &Evening::of(library, programme),
        paper: Paper::A4,
        templates: &templates,
        plans: Plans::default(),
        today: Some(Date::new(2027, 10, 10).unwrap()),
        remembers: None,
    };
    let pages = printer.set(&Press::new(), sheet).unwrap();
    assert_eq!((pages.missing(), pages.warnings()), (&[][..], &[][..]), "{sheet:?}");
    let pdf = Pdf::new(&pages.pdf().unwrap());
    plain(&pdf.text())
}

/// How many pages a sheet of the demo fills.
fn pages(sheet: &Sheet) -> usize {
    let library = demo();
    let programme = library.programmes().next().unwrap().1;
    let templates = Templates::default();
    let printer = Printer {
        evening: &Evening::of(&library, programme),
        paper: Paper::A4,
        templates: &templates,
        plans: Plans::default(),
        today: Some(Date::new(2027, 10, 10).unwrap()),
        remembers: None,
    };
    printer.set(&Press::new(), sheet).unwrap().count()
}

/// One page for the workshop, of the demo's whole collection.
#[test]
fn the_workshop_has_its_page() {
    assert_eq!(pages(&Sheet::Workshop), 1);
}

/// Whether a page has the words; the reader gives them without blanks.
fn has(printed: &str, words: &str) -> bool {
    printed.contains(&words.replace([' ', '\u{a0}', '\u{202f}'], ""))
}

#[test]
fn every_bar_for_the_tuner_is_printed() {
    let library = demo();
    let printed = text(&library, &Sheet::Tuner);
    // Reckoned here by another path: each bar's hertz against its own target.
    let mut outside = 0;
    for care in library.care.values() {
        let thing = &library.instruments[&care.instrument];
        let Some(survey) = care.surveys.last() else { continue };
        for reading in &survey.readings {
            let a = thing.tuned_to.unwrap().value();
            let right = a * 2.0_f64.powf((f64::from(reading.bar.key.number()) - 69.0) / 12.0);
            if (reading.hz / right).ln().abs() * 1200.0 / 2.0_f64.ln() > 5.0 {
                outside += 1;
                assert!(has(&printed, &format!("{:.1}", reading.hz)), "{}: {}", thing.name, reading.bar);
            }
        }
    }
    assert!(outside >= 3, "the demo has bars for the tuner: {outside}");
    assert!(has(&printed, "Marimba 1") && has(&printed, "hair crack at the cord hole"));
}

#[test]
fn the_workshop_gets_faults_dues_and_what_wears() {
    let printed = text(&demo(), &Sheet::Workshop);
    for words in [
        "Faults",
        "washer missing",
        "buzzes at the boss",
        "head split",
        "Heads",
        "29 in",
        "Cords and felts",
        "new cord",
        "qualified riggers",
    ] {
        assert!(has(&printed, words), "{words} in {printed}");
    }
}

#[test]
fn sums_of_value_are_those_of_the_files() {
    let library = demo();
    let total: f64 =
        library.care.values().filter_map(|care| care.value.as_ref()).map(|value| value.amount).sum();
    let printed = text(&library, &Sheet::CareYear);
    assert!(has(&printed, &format!("{}\u{202F}EUR", backrow::words::thousands(total))), "{total}: {printed}");
    for words in ["cannot be replaced", "Air of the stores", "Room 3"] {
        assert!(has(&printed, words), "{words}");
    }
}

/// Every written note of every line for bells is printed with its count; what none of ours has is to borrow.
#[test]
fn lines_for_bells_say_what_we_can_give() {
    let library = demo();
    let mut lines = 0;
    for (_, programme) in library.programmes() {
        let sheets = Sheet::of(&library, programme);
        let works = programme.works.iter().filter_map(|id| library.works.get(id));
        let bells = works.flat_map(|work| &work.lines).filter(|line| {
            let kind = line.kind.as_ref().map_or("", |kind| kind.as_str());
            ["church_bells", "tubular_bells", "bell_plates"].contains(&kind) && !line.sounding().is_empty()
        });
        let bells: Vec<_> = bells.collect();
        assert_eq!(sheets.contains(&Sheet::Bells), !bells.is_empty(), "{}", programme.title);
        if bells.is_empty() {
            continue;
        }
        let printed = text_of(&library, programme, &Sheet::Bells);
        assert!(has(&printed, "qualified riggers"), "the caution stands on it");
        for line in bells {
            lines += 1;
            for (note, count) in line.written_counts() {
                assert!(has(&printed, &format!("{}{count}", note.written)), "{}: {}", line.id, note.written);
            }
        }
    }
    assert!(lines > 0, "the demo has lines for bells");
}
