//! Every sheet, set with rich, long, many and no data, on both papers; the printed PDF read back by another library.

#![allow(clippy::unwrap_used, reason = "a sheet that cannot be set is a failed test")]

mod data;
#[allow(dead_code, reason = "shared with the tests of backrow")]
mod reader;

use backrow_print::load::LoadSheet;
use backrow_print::plan::{Floor, PlanScale, PlanSheet, Shape, Thing, View};
use backrow_print::player::PlayerSheet;
use backrow_print::{Orientation, Paper, Press, PrintError, Templates, load_pdf, plan_pdf};
use rstest::rstest;

fn plan_pages(sheet: &PlanSheet, paper: Paper) -> (Vec<u8>, usize) {
    let pages = Press::new().plan(sheet, paper, &Templates::default()).unwrap();
    assert_eq!(pages.warnings(), []);
    assert_eq!(pages.missing(), []);
    (pages.pdf().unwrap(), pages.count())
}

fn player_pages(sheet: &PlayerSheet, paper: Paper) -> (Vec<u8>, usize) {
    let pages = Press::new().player(sheet, paper, &Templates::default()).unwrap();
    assert_eq!(pages.warnings(), []);
    assert_eq!(pages.missing(), []);
    (pages.pdf().unwrap(), pages.count())
}

#[rstest]
#[case::rich(data::plan(), Paper::A4, 2)]
#[case::rich_letter(data::plan(), Paper::Letter, 2)]
#[case::long_names(data::long_names(), Paper::A4, 3)]
#[case::sixty(data::sixty(), Paper::A4, 3)]
#[case::sixty_letter(data::sixty(), Paper::Letter, 3)]
#[case::empty(PlanSheet::default(), Paper::A4, 1)]
fn a_plan_is_set(#[case] sheet: PlanSheet, #[case] paper: Paper, #[case] pages: usize) {
    let (pdf, count) = plan_pages(&sheet, paper);
    assert!(pdf.starts_with(b"%PDF"));
    assert_eq!(count, pages);
    let read = reader::Pdf::new(&pdf);
    assert_eq!(read.pages(), pages);
    read.assert_inside_the_paper();
    assert_eq!(read.misplaced(), Vec::<String>::new());
}

#[rstest]
#[case::rich(data::player(), Paper::A4)]
#[case::rich_letter(data::player(), Paper::Letter)]
#[case::long_names(data::long_player(), Paper::A4)]
#[case::empty(PlayerSheet::default(), Paper::A4)]
fn a_player_s_sheet_is_set(#[case] sheet: PlayerSheet, #[case] paper: Paper) {
    let (pdf, count) = player_pages(&sheet, paper);
    let read = reader::Pdf::new(&pdf);
    assert_eq!(read.pages(), count);
    read.assert_inside_the_paper();
    assert_eq!(read.misplaced(), Vec::<String>::new());
}

#[rstest]
#[case::rich(data::load(), Paper::A4)]
#[case::rich_letter(data::load(), Paper::Letter)]
#[case::long_names(data::long_load(), Paper::A4)]
#[case::empty(LoadSheet::default(), Paper::A4)]
fn a_load_list_is_set(#[case] sheet: LoadSheet, #[case] paper: Paper) {
    let pages = Press::new().load(&sheet, paper, &Templates::default()).unwrap();
    assert_eq!(pages.warnings(), []);
    assert_eq!(pages.missing(), []);
    let read = reader::Pdf::new(&pages.pdf().unwrap());
    assert_eq!(read.pages(), pages.count());
    read.assert_inside_the_paper();
    assert_eq!(read.misplaced(), Vec::<String>::new());
    let text = read.text();
    for thing in sheet.rooms.iter().flat_map(|room| &room.things) {
        assert!(text.contains(&reader::plain(&thing.name)), "{} is missing", thing.name);
    }
}

#[test]
fn a_load_list_says_what_its_data_say() {
    let text = reader::Pdf::new(&load_pdf(&data::load(), Paper::A4, &Templates::default()).unwrap()).text();
    for words in [
        "about 850 kg",
        "lifting gear and qualified people",
        "bell in its cradle about 268 gear pallet truck",
        "beech mallet 2.6 1",
        "Cellar cowbells ? 1",
        "comes Mon 08:00",
    ] {
        assert!(text.contains(&reader::plain(words)), "{words} is not in {text}");
    }
}

#[test]
fn a_plan_says_what_its_data_say() {
    let sheet = data::plan();
    let text = reader::Pdf::new(&plan_pages(&sheet, Paper::A4).0).text();
    for thing in &sheet.things {
        assert!(text.contains(&reader::plain(&thing.name)), "{} is not in {text}", thing.name);
    }
    for words in [
        "1 : 60",
        "3 m measure 50 mm",
        "N. Okafor",
        "large soft",
        "steel hammer",
        "page 1 of 2",
        "replaces 2 of 6 Oct",
        "0.48 m",
        "audience",
    ] {
        assert!(text.contains(&reader::plain(words)), "{words} is not in {text}");
    }
}

#[test]
fn sixty_things_are_each_in_the_key() {
    let sheet = data::sixty();
    let text = reader::Pdf::new(&plan_pages(&sheet, Paper::A4).0).text();
    for thing in &sheet.things {
        assert!(text.contains(&reader::plain(&thing.name)), "{} is missing", thing.name);
    }
    assert!(text.contains(&reader::plain("page 3 of 3")));
}

#[test]
fn a_list_longer_than_a_column_goes_on_under_the_name() {
    let mut sheet = data::sixty();
    for player in &mut sheet.players {
        let lines = player.lines.clone();
        player.lines.extend(lines.iter().cycle().take(2 * lines.len()).cloned());
        for (nth, line) in player.lines.iter_mut().enumerate() {
            line.instrument = format!("Thing {nth}");
        }
    }
    let text = reader::Pdf::new(&plan_pages(&sheet, Paper::A4).0).text();
    assert!(text.contains(&reader::plain("Player AB, continued")));
}

/// What one player strikes on one instrument is one row, whatever with; nothing of it is lost.
#[test]
fn an_instrument_stands_once_in_a_players_list() {
    let mut sheet = data::plan();
    let player = &mut sheet.players[0];
    player.lines.truncate(1);
    let first = player.lines[0].clone();
    let again =
        backrow_print::plan::PlayerLine { beaters: "wire brushes".into(), remark: "work 9".into(), ..first };
    player.lines.push(again);
    let name = reader::plain(&format!("{}{}", player.lines[0].number, player.lines[0].instrument));
    let players = sheet.players.clone();
    let only = |n: usize| PlanSheet { players: players[..n].to_vec(), ..sheet.clone() };
    let count = |n: usize| reader::Pdf::new(&plan_pages(&only(n), Paper::A4).0).text().matches(&name).count();
    assert_eq!(count(1) - count(0), 1);
    let text = reader::Pdf::new(&plan_pages(&only(1), Paper::A4).0).text();
    assert!(text.contains(&reader::plain("wire brushes (work 9)")), "{text}");
}

/// One player's one line goes on to the page of the plan, which is drawn a step smaller for it; a long list leaves the plan as it is.
#[test]
fn a_short_list_shares_the_page_of_its_plan() {
    let of = |lines: usize| {
        let rich = data::plan();
        let mut player = rich.players[0].clone();
        player.lines = vec![player.lines[0].clone(); lines];
        for (nth, line) in player.lines.iter_mut().enumerate() {
            line.instrument = format!("Thing {nth}");
        }
        let sheet = PlanSheet {
            floor: rich.floor,
            view: View::Part { from: [-9.0, 0.0], to: [9.0, 10.7] },
            players: vec![player],
            unplaced: vec!["Xylophone 1".into()],
            ..PlanSheet::default()
        };
        let (pdf, pages) = plan_pages(&sheet, Paper::A4);
        (pages, reader::Pdf::new(&pdf).text().contains("1:75printed"))
    };
    assert_eq!(of(1), (1, false));
    assert_eq!(of(60), (2, true));
}

/// A table of any length: a few rows over the end of a page are drawn onto it, and a page more is never opened for them.
#[test]
fn no_list_ends_on_a_few_rows() {
    use backrow_print::list::{Column, ListSheet, Row, Section};
    let press = Press::new();
    let of = |rows: usize| {
        let rows = (0..rows).map(|n| Row::of([format!("row {n}")])).collect();
        let columns = vec![Column::text("what", 1.0)];
        let section = Section { title: "Rows".into(), columns, rows, ..Section::default() };
        let sheet = ListSheet { title: "Rows".into(), sections: vec![section], ..ListSheet::default() };
        press.list(&sheet, Paper::A4, &Templates::default()).unwrap()
    };
    let first = (30..80).find(|rows| of(*rows).count() == 2).expect("more than a page");
    let on_the_last = |rows: usize| {
        let boxes = reader::Pdf::new(&of(rows).pdf().unwrap()).boxes();
        boxes.iter().filter(|one| one.page == 2 && one.text.starts_with("row")).count()
    };
    assert!(on_the_last(first) >= 8, "{first} rows leave {} on page 2", on_the_last(first));
    assert_eq!(of(first - 1).count(), 1);
}

#[test]
fn long_names_lose_no_letter() {
    let sheet = data::long_names();
    let text = reader::Pdf::new(&plan_pages(&sheet, Paper::A4).0).text();
    for thing in &sheet.things {
        assert!(text.contains(&reader::plain(&thing.name)), "{} is missing", thing.name);
    }
}

#[test]
fn a_player_s_sheet_says_what_its_data_say() {
    let text = reader::Pdf::new(&player_pages(&data::player(), Paper::A4).0).text();
    for words in [
        "L. Brandt",
        "205–214",
        "1.2 s too short",
        "1′26″",
        "57 measures’ rest",
        "tacet",
        "leave it by m. 64",
        "Never under the bell",
        "8 of 30 bars",
        "drawn: C2–B3 and C5–C7",
        "Lay out before the concert",
        "walking at 1.2 m/s",
    ] {
        assert!(text.contains(&reader::plain(words)), "{words} is not in {text}");
    }
}

/// A floor of 10 metres is 200 mm wide at 1 : 50, 100 mm at 1 : 100.
#[rstest]
#[case(50, 200.0)]
#[case(75, 133.333_333)]
#[case(100, 100.0)]
fn the_plan_is_to_scale(#[case] scale: u32, #[case] mm: f64) {
    let sheet = PlanSheet {
        floor: Floor {
            outlines: vec![vec![[-5.0, 0.0], [5.0, 0.0], [5.0, 3.0], [-5.0, 3.0]]],
            ..Floor::default()
        },
        scale: PlanScale::OneTo(scale),
        ..PlanSheet::default()
    };
    let pdf = plan_pdf(&sheet, Paper::A4, &Templates::default()).unwrap();
    let widths = reader::Pdf::new(&pdf).closed_path_sizes_mm();
    let depth = mm * 0.3;
    let found = widths.iter().any(|(w, d)| (w - mm).abs() < 0.05 && (d - depth).abs() < 0.05);
    assert!(found, "no floor of {mm} x {depth} mm among {widths:?}");
}

/// A stage of 18 m by 9 m at 1 : 50 is 360 mm by 180 mm: no A4, so the sheet is A3 across (420 by 297 mm, ISO 216) and says so;
/// 30 m by 20 m fits on no paper here at that scale.
#[rstest]
#[case::on_larger_paper((18.0, 9.0), Some((420.0, 297.0)), true, "The plan to 1 : 50 needs A3: print it at 100 %.")]
#[case::on_none((30.0, 20.0), None, false, "1 : 50 is too large for any paper here")]
fn a_scale_that_needs_more_paper(
    #[case] (width, depth): (f64, f64),
    #[case] paper_mm: Option<(f64, f64)>,
    #[case] as_asked: bool,
    #[case] says: &str,
) {
    let (left, right) = (-width / 2.0, width / 2.0);
    let sheet = PlanSheet {
        floor: Floor {
            outlines: vec![vec![[left, 0.0], [right, 0.0], [right, depth], [left, depth]]],
            ..Floor::default()
        },
        scale: PlanScale::OneTo(50),
        ..PlanSheet::default()
    };
    let pages = Press::new().plan(&sheet, Paper::A4, &Templates::default()).unwrap();
    let remark = pages.remarks().first().unwrap();
    assert!(remark.as_asked == as_asked && remark.words.starts_with(says), "{remark:?}");
    let sizes = reader::Pdf::new(&pages.pdf().unwrap()).closed_path_sizes_mm();
    let to_scale =
        sizes.iter().any(|(w, d)| (w - width * 20.0).abs() < 0.05 && (d - depth * 20.0).abs() < 0.05);
    assert_eq!(to_scale, as_asked, "{sizes:?}");
    let size = pages.size_pt(0).map(|(w, h)| (w / 72.0 * 25.4, h / 72.0 * 25.4)).unwrap();
    let (w, h) = paper_mm.unwrap_or(if size.0 > size.1 { (297.0, 210.0) } else { (210.0, 297.0) });
    assert!((size.0 - w).abs() < 0.1 && (size.1 - h).abs() < 0.1, "{size:?}");
}

#[test]
fn the_same_data_give_the_same_bytes() {
    let once = plan_pdf(&data::plan(), Paper::A4, &Templates::default()).unwrap();
    assert!(once == plan_pdf(&data::plan(), Paper::A4, &Templates::default()).unwrap());
}

#[test]
fn a_page_can_be_looked_at() {
    let pages = Press::new().plan(&data::plan(), Paper::A4, &Templates::default()).unwrap();
    let picture = pages.picture(0, 0.5).unwrap();
    // Across, as the plan is larger so.
    assert_eq!((picture.width, picture.height), (421, 298));
    assert_eq!(picture.rgba.len(), 421 * 298 * 4);
    let dark = picture.rgba.chunks(4).filter(|p| p[0] < 128).count();
    assert!(dark > 1000, "only {dark} dark pixels");
    assert!(picture.rgba.chunks(4).all(|p| p[0].abs_diff(p[1]) < 3 && p[3] == 255), "black only, opaque");
    assert!(pages.picture(7, 1.0).unwrap_err().to_string().contains("no page 8"));
}

/// A template may ask for any paper: what no memory holds is refused, and what is only large is drawn less finely.
#[test]
fn a_huge_page_is_refused_and_a_large_one_is_drawn_within_bounds() {
    let of = |page: &str| {
        let own = Templates::default().with("list.typ", format!("#set page({page})\n#rect(width: 100%)"));
        Press::new().list(&data::list(), Paper::A4, &own)
    };
    for page in ["width: 1e9pt", "height: 20000pt", "width: 5.1e3mm, height: 10pt"] {
        let refused = of(page).unwrap_err().to_string();
        assert!(refused.contains("at most 5\u{202f}m a side"), "{page}: {refused}");
    }
    let pages = of("width: 480cm, height: 10cm, margin: 1cm").unwrap();
    let picture = pages.picture(0, 10.0).unwrap();
    assert!((8191..=8193).contains(&picture.width), "{} by {}", picture.width, picture.height);
    assert!(pages.pdf().unwrap().starts_with(b"%PDF"));
}

/// What breaks only when it is drawn is told as well.
#[test]
fn a_panic_of_the_renderer_is_told() {
    let fill = "#rect(width: 1cm, height: 1cm, fill: tiling(size: (1e9pt, 1e9pt))[x])";
    let own = Templates::default().with("list.typ", fill);
    let drawn = Press::new().list(&data::list(), Paper::A4, &own).and_then(|pages| pages.picture(0, 1.0));
    let told = drawn.unwrap_err().to_string();
    assert!(told.contains("broke off"), "{told}");
}

#[test]
fn a_template_that_cannot_be_read_is_not_replaced_unsaid() {
    for (name, main) in [("list.typ", true), ("common.typ", false)] {
        let own = Templates::default().unread(name, format!("print/{name} cannot be read"));
        let refused = Press::new().list(&data::list(), Paper::A4, &own).unwrap_err().to_string();
        assert!(refused.contains(&format!("print/{name} cannot be read")), "{refused}");
        // A sheet that has nothing to do with it is set.
        if main {
            assert!(Press::new().plan(&data::plan(), Paper::A4, &own).is_ok());
        }
    }
}

#[test]
fn a_broken_template_says_where() {
    let own =
        Templates::default().with("plan.typ", "#let d = json(\"data.json\")\n\n  #d.nothing-of-that-name\n");
    let error = plan_pdf(&data::plan(), Paper::A4, &own).unwrap_err();
    let PrintError::Template(problems) = &error else { panic!("{error}") };
    assert_eq!((problems[0].file.as_str(), problems[0].line, problems[0].column), ("plan.typ", 3, 6));
    assert!(error.to_string().starts_with("plan.typ:3:6: "), "{error}");
}

#[test]
fn a_fault_in_an_imported_template_names_that_file() {
    let own = Templates::default().with("common.typ", "#let broken = (\n");
    let PrintError::Template(problems) = plan_pdf(&data::plan(), Paper::A4, &own).unwrap_err() else {
        panic!()
    };
    assert_eq!((problems[0].file.as_str(), problems[0].line), ("common.typ", 1));
}

#[test]
fn a_template_sees_no_other_file() {
    let own = Templates::default().with("plan.typ", "#read(\"/etc/hostname\")");
    assert!(matches!(plan_pdf(&data::plan(), Paper::A4, &own), Err(PrintError::Template(_))));
}

#[test]
fn a_sign_that_no_font_has_is_told() {
    let mut sheet = data::plan();
    sheet.things[0].name = "Marimba \u{1F941}".into();
    let pages = Press::new().plan(&sheet, Paper::A4, &Templates::default()).unwrap();
    assert_eq!(pages.missing().iter().map(|m| m.sign).collect::<Vec<_>>(), ['\u{1F941}']);
    assert!(pages.missing()[0].to_string().contains("U+1F941"));
}

#[test]
fn what_cannot_be_drawn_is_refused_with_its_name() {
    let wrong = |change: &dyn Fn(&mut Thing)| {
        let mut sheet = data::plan();
        change(&mut sheet.things[3]);
        plan_pdf(&sheet, Paper::A4, &Templates::default()).unwrap_err().to_string()
    };
    assert!(wrong(&|t| t.at[0] = f64::NAN).contains("4 Glockenspiel 1: its place"));
    assert!(wrong(&|t| t.shape = Shape::Round { diameter_m: 0.0 }).contains("4 Glockenspiel 1: its size"));
    assert!(wrong(&|t| t.turn_deg = f64::INFINITY).contains("4 Glockenspiel 1: its place"));
}

#[rstest]
#[case::around(View::AroundThings { margin_m: 0.4 })]
#[case::part(View::Part { from: [-2.0, 0.0], to: [3.0, 4.0] })]
#[case::backwards(View::Part { from: [3.0, 4.0], to: [-2.0, 0.0] })]
#[case::nothing(View::Part { from: [3.0, 4.0], to: [3.0, 4.0] })]
fn a_part_of_the_floor_can_be_drawn(#[case] view: View) {
    let sheet = PlanSheet { view, orientation: Orientation::Across, ..data::plan() };
    let (pdf, _) = plan_pages(&sheet, Paper::A4);
    let read = reader::Pdf::new(&pdf);
    read.assert_inside_the_paper();
    assert_eq!(read.misplaced(), Vec::<String>::new());
}
