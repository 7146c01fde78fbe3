//! No text overprints another or leaves the paper, in any sheet of the demo and of a library of long names.
#![expect(clippy::unwrap_used, reason = "a sheet that cannot be read back is a failed test")]

#[allow(dead_code, unreachable_pub, reason = "shared with the tests of backrow-print, which use all of it")]
#[path = "../../backrow-print/tests/reader/mod.rs"]
mod reader;

use backrow::sheets::{Printer, Sheet};
use backrow_core::evening::Evening;
use backrow_core::library::{Library, Shared};
use backrow_core::week::Programme;
use backrow_print::{Pages, Paper, Press, Templates};
use reader::Pdf;
use rstest::rstest;
use std::sync::Arc;

fn demo() -> Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library
}

fn each<K: Ord + Clone, V: Clone>(map: &mut Shared<K, V>, change: impl Fn(&mut V)) {
    for value in Arc::make_mut(map).values_mut() {
        change(Arc::make_mut(value));
    }
}

/// The demo with names as people type them who fear a mix-up.
fn long_names() -> Library {
    let mut library = demo();
    let longer = |name: &mut String, more: &str| {
        name.push_str(", ");
        name.push_str(more);
    };
    each(&mut library.instruments, |thing| {
        longer(&mut thing.name, "the old one from the cellar with the repaired frame and two wheels");
        longer(
            &mut thing.remark,
            "to be handled as the inventory of the year before last says on its page nine",
        );
    });
    each(&mut library.beaters, |beater| {
        longer(&mut beater.name, "the pair bound in tape by our predecessor");
    });
    each(&mut library.players, |player| {
        longer(&mut player.name, "of Featherstonehaugh-Wriothesley and Cholmondeley");
        longer(&mut player.role, "first deputy for the second half");
    });
    each(&mut library.places, |place| longer(&mut place.name, "behind the fire door of the north staircase"));
    each(&mut library.venues, |venue| {
        longer(&mut venue.name, "great hall of the former customs orchestra on the quay");
        venue.risers.iter_mut().for_each(|riser| longer(&mut riser.name, "as the orchestra crew calls it"));
        venue.keep_out.iter_mut().for_each(|area| longer(&mut area.name, "by order of the fire officer"));
    });
    each(&mut library.works, |work| {
        longer(&mut work.title, "a symphonic poem after seven engravings in the town museum");
        longer(&mut work.composer, "revised and shortened by the composer’s pupil");
        let movements = work.movements.iter_mut();
        movements.for_each(|movement| {
            longer(&mut movement.title, "with the greatest possible restraint throughout");
        });
    });
    each(&mut library.weeks, |week| {
        for programme in &mut week.programmes {
            longer(&mut programme.title, "the third subscription concert of the anniversary season");
            for hire in &mut programme.hires {
                longer(&mut hire.what, "with its case, its stand and a spare set of pedals");
                longer(&mut hire.lender, "instrument hire and transport, branch in the harbour");
            }
        }
    });
    library
}

fn sheets(library: &Library, programme: &Programme) -> Vec<Sheet> {
    let mut sheets = Sheet::of(library, programme);
    sheets.extend(Sheet::of_all());
    sheets.push(backrow::keymap::sheet());
    sheets
}

/// The built-in templates; for whoever changes them, those of the folder that `BACKROW_TEMPLATES` names.
fn templates() -> Templates {
    let mut own = Templates::default();
    let Some(folder) = std::env::var_os("BACKROW_TEMPLATES") else { return own };
    for name in Templates::names() {
        let text = std::fs::read_to_string(std::path::Path::new(&folder).join(name));
        own = text.into_iter().fold(own, |own, text| own.with(name, text));
    }
    own
}

fn set(evening: &Evening, sheet: &Sheet, paper: Paper, press: &Press) -> Pages {
    let templates = templates();
    let printer = Printer {
        evening,
        paper,
        templates: &templates,
        plans: backrow::sheets::Plans::default(),
        today: None,
        remembers: None,
    };
    printer.set(press, sheet).unwrap()
}

#[rstest]
#[case::demo(demo(), Paper::A4)]
#[case::demo_on_letter(demo(), Paper::Letter)]
#[case::long_names(long_names(), Paper::A4)]
#[case::long_names_on_letter(long_names(), Paper::Letter)]
fn no_text_overprints_another_or_leaves_the_paper(#[case] library: Library, #[case] paper: Paper) {
    let press = Press::new();
    let mut wrong = Vec::new();
    let mut runs = 0;
    for (_, programme) in library.programmes() {
        let evening = Evening::of(&library, programme);
        for sheet in sheets(&library, programme) {
            let pages = set(&evening, &sheet, paper, &press);
            let pdf = Pdf::new(&pages.pdf().unwrap());
            runs += pdf.boxes().len();
            let word = sheet.word();
            wrong.extend(pdf.misplaced().into_iter().map(|why| format!("{}, {word}, {why}", programme.id)));
        }
    }
    assert!(runs > 5000, "text is read at all: {runs}");
    assert!(wrong.is_empty(), "{} places:\n{}", wrong.len(), wrong.join("\n"));
}

/// Labels of every size on their own paper, the smallest with the longest names too.
#[rstest]
#[case::demo(demo())]
#[case::long_names(long_names())]
fn no_label_overprints_another(#[case] library: Library) {
    use backrow::sheets::{LabelSize, Plans};
    let (press, templates) = (Press::new(), templates());
    let (_, programme) = library.programmes().next().unwrap();
    let evening = Evening::of(&library, programme);
    let mut wrong = Vec::new();
    for size in LabelSize::ALL {
        let plans = Plans { labels: size, ..Plans::default() };
        let (paper, templates) = (size.paper(), &templates);
        let printer = Printer { evening: &evening, paper, templates, plans, today: None, remembers: None };
        let pdf = Pdf::new(&printer.set(&press, &Sheet::Labels).unwrap().pdf().unwrap());
        assert!(pdf.boxes().len() > 20, "text is read at all");
        // Some sheets of labels have no margin; most printers leave up to 4.5 mm white (common practice, no source).
        wrong.extend(pdf.misplaced_within(4.5).into_iter().map(|why| format!("{}, {why}", size.word())));
    }
    assert!(wrong.is_empty(), "{} places:\n{}", wrong.len(), wrong.join("\n"));
}

/// The reader sees what it is there to see: two words set over each other, and one that runs over the edge.
#[test]
fn what_overprints_or_leaves_the_paper_is_seen() {
    let library = demo();
    let (_, programme) = library.programmes().next().unwrap();
    let evening = Evening::of(&library, programme);
    let text = "#let d = json(\"data.json\")\n#set page(width: 100mm, height: 100mm, margin: 20mm)\n\
        #place(top + left)[first word]\n#place(top + left, dx: 2mm)[second word]\n\
        #place(top + left, dx: 20mm, dy: 20mm, box(width: 80mm)[#h(40mm)over the edge])\n\
        #place(top + left, dy: 40mm)[alone]";
    let templates = Templates::default().with("list.typ", text);
    let printer = Printer {
        evening: &evening,
        paper: Paper::A4,
        templates: &templates,
        plans: backrow::sheets::Plans::default(),
        today: None,
        remembers: None,
    };
    let pages = printer.set(&Press::new(), &Sheet::Hires).unwrap();
    let wrong = Pdf::new(&pages.pdf().unwrap()).misplaced();
    assert_eq!(wrong.len(), 2, "{wrong:?}");
    assert!(wrong.iter().any(|why| why.contains("first word") && why.contains("second word")), "{wrong:?}");
    assert!(wrong.iter().any(|why| why.contains("over the edge") && why.contains("leaves")), "{wrong:?}");
}
