//! The review of several scores by hand: rows dragged, steps back, what would be lost, corrections of before; and many works in the
//! strip above.

#![expect(clippy::unwrap_used, reason = "a test helper that fails is a failed test")]

mod window;

use backrow::app::App;
use backrow::sample;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::edit::Edit;
use backrow_core::id::{LineId, ProgrammeId, WorkId};
use backrow_core::library::Library;
use backrow_core::music::Work;
use backrow_core::week::Programme;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::{Path, PathBuf};
use window::{centre, click_at, drag, harness, in_view, settle, wait_until};

const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);

/// The scores of a made-up week, under another name of the symphony where one is wanted.
fn scores(folder: &Path, title: &str) -> PathBuf {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/a_week_of_scores");
    let to = folder.join(title);
    std::fs::create_dir_all(&to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap().replace("Harbour Symphony", title);
        std::fs::write(to.join(path.file_name().unwrap()), text).unwrap();
    }
    to
}

fn read(h: &mut Harness<'_, App>, folder: PathBuf) {
    h.state_mut().ask_to_open(folder);
    wait_until(h, |h| in_view(h, |label| label.starts_with("7 of 7 files read")).is_some());
    settle(h);
}

fn library(h: &Harness<'_, App>) -> Library {
    h.state().history.now().clone()
}

/// The symphony's files from above to below.
fn order(h: &Harness<'_, App>) -> Vec<u32> {
    let mut rows: Vec<(f32, u32)> =
        (1..=4).map(|nth| (centre(h, &format!("Movement harbour_{nth}.musicxml")).y, nth)).collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    rows.into_iter().map(|(_, nth)| nth).collect()
}

#[test]
fn a_movement_is_dragged_to_another_place_and_back_by_steps() {
    let folder = tempfile::tempdir().unwrap();
    let mut h = harness(App::on_library(sample::small(), Settings::default()));
    read(&mut h, scores(folder.path(), "Harbour Symphony"));
    let before = library(&h);
    assert_eq!(order(&h), [1, 2, 3, 4]);
    let (from, to) = (centre(&h, "Movement harbour_4.musicxml"), centre(&h, "Movement harbour_1.musicxml"));
    drag(&mut h, from, to);
    assert_eq!(order(&h), [4, 1, 2, 3]);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert_eq!(order(&h), [1, 2, 3, 4], "{}", h.state().view.said);
    h.key_press_modifiers(CTRL_SHIFT, Key::Z);
    settle(&mut h);
    assert_eq!(order(&h), [4, 1, 2, 3]);
    h.get_by_label("Undo here").click();
    settle(&mut h);
    assert_eq!(order(&h), [1, 2, 3, 4]);
    // What was ticked is a step too, and the library behind it is as it was.
    h.get_by_label("Import harbour_2.musicxml").click();
    settle(&mut h);
    let ticked = |h: &Harness<'_, App>| {
        let tick = h.get_by_label("Import harbour_2.musicxml");
        egui_kittest::kittest::NodeT::accesskit_node(&tick).toggled()
    };
    let off = ticked(&h);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert_ne!(ticked(&h), off);
    assert_eq!(library(&h), before);
}

/// The symphony in the library after all works were imported.
fn imported(h: &mut Harness<'_, App>, folder: PathBuf, title: &str) -> Work {
    read(h, folder);
    h.get_by_label("Import 3 works").click();
    settle(h);
    let library = library(h);
    (**library.works.values().find(|work| work.title == title).expect("it was imported")).clone()
}

#[test]
fn what_would_be_lost_is_listed_before_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let mut h = harness(App::on_library(sample::small(), Settings::default()));
    let scores = scores(folder.path(), "Harbour Symphony");
    let work = imported(&mut h, scores.clone(), "Harbour Symphony");
    // By hand: a line of the first movement that no file holds.
    let mut own = work.lines_of(&work.movements[0].id).next().unwrap().clone();
    own.id = LineId::fresh("of my own", |_| false);
    own.kind = Some(backrow_core::id::KindId::new("anvil").unwrap());
    own.printed = "Anvil".to_owned();
    let put = Edit::PutLine { work: work.id.clone(), line: own };
    h.state_mut().history.make(&put).unwrap();
    read(&mut h, scores);
    let says = |h: &Harness<'_, App>, words: &str| in_view(h, |label| label.contains(words)).is_some();
    assert!(says(&h, "The files do not hold these lines of Harbour Symphony; importing removes them:"));
    assert!(says(&h, "Anvil, mm."));
    // Without that movement nothing is lost.
    h.get_by_label("Import harbour_2.musicxml").click();
    settle(&mut h);
    assert!(!says(&h, "importing removes them"), "only what is ticked counts");
}

#[test]
fn a_correction_is_offered_for_a_whole_folder() {
    let folder = tempfile::tempdir().unwrap();
    let mut h = harness(App::on_library(sample::small(), Settings::default()));
    let work = imported(&mut h, scores(folder.path(), "Harbour Symphony"), "Harbour Symphony");
    let line = work.lines.iter().find(|line| !line.is_pitched() && !line.printed.is_empty()).unwrap();
    let anvil = backrow_core::id::KindId::new("anvil").unwrap();
    let corrected = line.with_kind(Some(anvil.clone()), Some("anvil"));
    h.state_mut().history.make(&Edit::PutLine { work: work.id.clone(), line: corrected }).unwrap();
    read(&mut h, scores(folder.path(), "Estuary Symphony"));
    let offer = format!("“{}” was corrected to anvil in Harbour Symphony", line.printed);
    let tick = in_view(&h, |label| label.starts_with(&offer)).expect("it is offered");
    click_at(&mut h, tick);
    h.get_by_label("Import 1 work").click();
    settle(&mut h);
    let library = library(&h);
    let other = library.works.values().find(|work| work.title == "Estuary Symphony");
    let other = other.unwrap_or_else(|| panic!("imported: {}", h.state().view.said));
    let same = other.lines.iter().find(|other| other.printed == line.printed).unwrap();
    assert_eq!((&same.kind, same.is_chosen()), (&Some(anvil), true));
}

#[test]
fn a_click_into_the_field_of_a_menu_leaves_the_menu_open() {
    let folder = tempfile::tempdir().unwrap();
    let mut h = harness(App::on_library(sample::small(), Settings::default()));
    read(&mut h, scores(folder.path(), "Harbour Symphony"));
    let review = in_view(&h, |label| label == "Review Harbour Symphony").expect("the button");
    click_at(&mut h, review);
    let menu = in_view(&h, |label| label.starts_with("Join or cut ")).expect("the menu of a line");
    click_at(&mut h, menu);
    let field = {
        let role = egui::Role::TextInput;
        h.get_by_role_and_label(role, "Cut before measure").rect().center()
    };
    click_at(&mut h, field);
    assert!(egui::Popup::is_any_open(&h.ctx), "the menu is still there");
    h.event(egui::Event::Text("7".to_owned()));
    h.run();
    let field = h.get_by_role_and_label(egui::Role::TextInput, "Cut before measure");
    let value = egui_kittest::kittest::NodeT::accesskit_node(&field).value();
    assert_eq!(value.as_deref(), Some("7"), "and the key went into it");
    h.key_press(Key::Escape);
    h.run();
    h.run();
    assert!(!egui::Popup::is_any_open(&h.ctx));
}

/// Nine works with forty movements in all, as one programme.
fn long_programme() -> Library {
    let mut library = sample::small();
    let work = library.works.values().next().map(|work| (**work).clone()).unwrap();
    let (week, programme) =
        library.programmes().next().map(|(week, p)| (week.id.clone(), p.clone())).unwrap();
    let mut ids: Vec<WorkId> = Vec::new();
    for nth in 0..9 {
        let mut one = work.clone();
        one.id = WorkId::new(&format!("long-{nth}")).unwrap();
        one.title = format!("Suite number {nth} for a small hall");
        let movement = one.movements[0].clone();
        one.lines.retain(|line| line.movement == movement.id);
        one.movements = (0..if nth < 4 { 5 } else { 4 })
            .map(|at| {
                let mut next = movement.clone();
                if at > 0 {
                    next.id = backrow_core::id::MovementId::new(&format!("m{at}")).unwrap();
                }
                next.title = format!("Movement {at} of {nth}");
                next
            })
            .collect();
        one.together.clear();
        ids.push(one.id.clone());
        library = backrow_core::edit::apply(&library, &Edit::PutWork(one)).unwrap();
    }
    let mut long = Programme::new(ProgrammeId::new("long").unwrap(), "A long evening");
    long.works = ids;
    long.venue = programme.venue;
    backrow_core::edit::apply(&library, &Edit::PutProgramme { week, programme: long }).unwrap()
}

fn long_window(place: Place) -> Harness<'static, App> {
    let library = long_programme();
    let movements: usize = library
        .works
        .values()
        .filter(|work| work.id.as_str().starts_with("long-"))
        .map(|w| w.movements.len())
        .sum();
    assert_eq!(movements, 40);
    let mut h = harness(App::on_library(library, Settings { place, ..Settings::default() }));
    h.state_mut().request(backrow::intent::Intent::Programme(ProgrammeId::new("long").unwrap()));
    settle(&mut h);
    h
}

fn tab(nth: usize) -> String {
    format!("Work Suite number {nth} for a small hall")
}

#[test]
fn nine_works_stay_readable_in_the_strip_the_finder_and_the_list() {
    let mut h = long_window(Place::Works);
    let tabs: Vec<egui::Rect> = (0..9).map(|nth| h.get_by_label(&tab(nth)).rect()).collect();
    for pair in tabs.windows(2) {
        assert!(pair[0].right() <= pair[1].left() + 0.5, "{pair:?}");
    }
    // Two lines of words of some ten letters, and all in the window.
    assert!(tabs.iter().all(|tab| tab.width() >= 60.0 && tab.right() <= 1280.0), "{tabs:?}");
    h.key_press_modifiers(Modifiers::COMMAND, Key::K);
    h.run();
    h.event(egui::Event::Text("suite number 7".to_owned()));
    settle(&mut h);
    assert!(in_view(&h, |label| label.starts_with("Suite number 7 for a small hall")).is_some(), "found");
    // The lists show every work by its name.
    h.key_press(Key::Escape);
    settle(&mut h);
    for nth in 0..9 {
        let title = format!("Show Suite number {nth} for a small hall");
        let row = in_view(&h, |label| label == title).expect("a row of the list");
        assert!(h.ctx.content_rect().contains(row), "{title} at {row:?}");
    }
}

#[test]
fn works_in_the_strip_are_put_in_another_order_by_drag_and_by_key() {
    let mut h = long_window(Place::Section);
    let works = |h: &Harness<'_, App>| -> Vec<usize> {
        let now = h.state().history.now();
        let ids = &h.state().view.programme_in(now).unwrap().works;
        ids.iter().map(|id| id.as_str().trim_start_matches("long-").parse().unwrap()).collect()
    };
    let (from, to) = (centre(&h, &tab(0)), centre(&h, &tab(2)));
    drag(&mut h, from, to);
    assert_eq!(works(&h), [1, 2, 0, 3, 4, 5, 6, 7, 8]);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert_eq!(works(&h), [0, 1, 2, 3, 4, 5, 6, 7, 8]);
    h.get_by_label(&tab(4)).focus();
    h.run();
    h.key_press_modifiers(Modifiers::ALT, Key::ArrowLeft);
    settle(&mut h);
    assert_eq!(works(&h), [0, 1, 2, 4, 3, 5, 6, 7, 8]);
    // A click still turns to the work.
    let there = centre(&h, &tab(6));
    click_at(&mut h, there);
    assert_eq!(h.state().view.work.as_ref().map(WorkId::as_str), Some("long-6"));
}
