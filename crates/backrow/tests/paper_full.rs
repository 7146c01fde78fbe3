//! Pages are filled: no sheet of the demo turns to a page that is all but empty, and none leaves one in its midst.
#![expect(clippy::unwrap_used, reason = "a sheet that cannot be read back is a failed test")]

#[allow(dead_code, unreachable_pub, reason = "shared with the tests of backrow-print, which use all of it")]
#[path = "../../backrow-print/tests/reader/mod.rs"]
mod reader;

use backrow::sheets::{Plans, Printer, Sheet};
use backrow_core::evening::Evening;
use backrow_core::library::Library;
use backrow_print::{Paper, Press, Templates};
use jiff::civil::Date;
use reader::Pdf;
use rstest::rstest;

/// Of the height that text may take, so much of a page is used at the least: a page two thirds empty is not.
const LEAST: f64 = 1.0 / 3.0;

fn demo() -> Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library
}

/// The pages of each sheet that are two thirds empty, in words.
fn empty_pages(library: &Library, sheets: &dyn Fn(&Evening) -> Vec<Sheet>, paper: Paper) -> Vec<String> {
    let (press, templates) = (Press::new(), Templates::default());
    let mut wrong = Vec::new();
    for (_, programme) in library.programmes() {
        let evening = Evening::of(library, programme);
        for sheet in sheets(&evening) {
            let printer = Printer {
                evening: &evening,
                paper,
                templates: &templates,
                plans: Plans::default(),
                today: Some(Date::new(2027, 10, 10).unwrap()),
                remembers: None,
            };
            let pages = printer.set(&press, &sheet).unwrap();
            if pages.count() == 1 {
                continue;
            }
            let filled = Pdf::new(&pages.pdf().unwrap()).filled(38.0, 22.0);
            if filled.iter().any(|part| *part < LEAST) {
                let parts: Vec<String> = filled.iter().map(|part| format!("{part:.2}")).collect();
                wrong.push(format!("{}, {}: {}", programme.id, sheet.word(), parts.join(", ")));
            }
        }
    }
    wrong
}

/// Labels stand on ready-made sheets, of which the last is as full as they come.
#[rstest]
#[case::a4(Paper::A4)]
#[case::letter(Paper::Letter)]
fn no_page_is_two_thirds_empty(#[case] paper: Paper) {
    let library = demo();
    let of_programme = |evening: &Evening| Sheet::of(evening.library(), evening.programme());
    let mut wrong = empty_pages(&library, &of_programme, paper);
    let first = library.programmes().next().unwrap().1.id.clone();
    let of_all = |evening: &Evening| {
        let sheets = Sheet::of_all().into_iter().filter(|_| evening.programme().id == first);
        sheets.filter(|sheet| !matches!(sheet, Sheet::Labels | Sheet::AllLabels)).collect()
    };
    wrong.extend(empty_pages(&library, &of_all, paper));
    assert!(wrong.is_empty(), "{} sheets:\n{}", wrong.len(), wrong.join("\n"));
}
