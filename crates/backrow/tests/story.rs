//! The whole line, once through, in a window without a display: read a score, see what reaches, give instrument and player,
//! stand it on the floor, ask for a bar, print, close, open again.

mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::sheets::{Printer, Sheet};
use backrow::view::{Place, Selected};
use backrow_core::evening::Evening;
use backrow_core::id::{InstrumentId, ProgrammeId, WorkId};
use backrow_core::week::LineRef;
use egui_kittest::kittest::Queryable;
use std::path::PathBuf;
use window::{centre, drag, harness, in_view, score, wait_for};

fn demo_copy() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("the demo library");
    (folder, library)
}

#[test]
#[expect(clippy::too_many_lines, reason = "one story, told through")]
fn from_a_score_to_a_printed_setup_and_back() {
    let (folder, library) = demo_copy();
    let mut h = harness(App::open(&library, Settings { place: Place::Works, ..Settings::default() }, None));
    let works = h.state().history.now().works.len();

    // Reads a score by its path, looks it over, takes it in.
    h.get_by_label("or type the path of a score, a table or a folder");
    h.state_mut().ask_to_open(score());
    h.run();
    wait_for(&mut h, |app| app.places.works.is_reviewing());
    let take = h
        .get_all_by_role(egui::Role::Button)
        .find(|n| label(n).starts_with("Import "))
        .expect("the button that takes it in");
    take.click();
    h.run();
    assert_eq!(h.state().history.now().works.len(), works + 1, "{}", h.state().view.said);

    // A line of the new work that some instrument reaches whole.
    let id: WorkId = h.state().view.work.clone().expect("the new work is current");
    let now = h.state().history.now().clone();
    let work = now.works.get(&id).expect("it is in the library").clone();
    let (line, instrument) = work
        .lines
        .iter()
        .filter(|line| line.is_pitched())
        .find_map(|line| {
            let cover = backrow_core::cover::cover(&now, line);
            cover.is_whole().then(|| (line.clone(), cover.fits[0].instrument.clone()))
        })
        .expect("a pitched line that is reached");
    let at = LineRef { work: id, line: line.id.clone() };
    let library_value = h.state().history.now().clone();
    h.state_mut().view.turn_to_line(&library_value, &at);

    // Compass: the row is dragged onto the line.
    h.state_mut().view.place = Place::Compass;
    h.run();
    // Only what reaches the line, so that the row is in sight.
    h.key_press(egui::Key::R);
    h.run();
    let name = now.instrument_name(&instrument);
    let row = in_view(&h, |label| label.starts_with(&format!("{name}, reaches all")));
    let card = in_view(&h, |label| label.starts_with("Line "));
    let (row, card) = (row.expect("the row"), card.expect("the line card"));
    drag(&mut h, row, card);
    let given = |h: &egui_kittest::Harness<'_, App>| {
        let app = h.state();
        app.view.programme_in(app.history.now()).expect("a programme").assignment(&at)
    };
    assert_eq!(given(&h).instruments, std::slice::from_ref(&instrument), "{}", h.state().view.said);

    // Section: the line is given by its number.
    h.state_mut().view.place = Place::Section;
    h.run();
    h.key_press_modifiers(egui::Modifiers::NONE, egui::Key::Num1);
    h.run();
    if given(&h).player.is_none() {
        h.key_press_modifiers(egui::Modifiers::NONE, egui::Key::Num2);
        h.run();
    }
    let player = given(&h).player.expect("a player has it now");

    // Floor: from the palette onto the plan.
    h.state_mut().view.place = Place::Floor;
    h.run();
    let placed = |h: &egui_kittest::Harness<'_, App>, id: &InstrumentId| {
        let app = h.state();
        app.view.programme_in(app.history.now()).expect("a programme").setup.place(id).copied()
    };
    if placed(&h, &instrument).is_none() {
        let card = in_view(&h, |label| label == format!("Place {name}")).expect("its card");
        let floor = centre(&h, "Floor of Quay Hall");
        drag(&mut h, card, floor);
    }
    assert!(placed(&h, &instrument).is_some(), "{}", h.state().view.said);

    // Bar view: the first written note of the line has a bar.
    h.state_mut().view.place = Place::BarView;
    h.state_mut().view.selected = Some(Selected::Instrument(instrument.clone()));
    h.run();
    h.key_press(egui::Key::ArrowRight);
    h.run();
    let said = in_view(&h, |label| label.starts_with(&format!("{name}: ")) && !label.contains("no bar"));
    assert!(said.is_some(), "the bar is said");

    // Paper, then close and open again.
    let programme: ProgrammeId = h.state().view.programme.clone().expect("a programme");
    let paper = folder.path().join("paper");
    let now = h.state().history.now();
    let printer = Printer {
        evening: &Evening::of(now, now.programme(&programme).expect("the programme")),
        paper: backrow_print::Paper::A4,
        templates: &backrow_print::Templates::default(),
        today: None,
        remembers: None,
        plans: backrow::sheets::Plans::default(),
    };
    let sheets = Sheet::of(now, printer.evening.programme());
    assert!(sheets.contains(&Sheet::Plan) && sheets.contains(&Sheet::Player(player.clone())));
    let printed = printer.print(&backrow_print::Press::new(), &sheets, &paper, false).expect("printed");
    assert_eq!((printed.files.len(), printed.signs), (sheets.len(), Vec::new()));
    for file in &printed.files {
        assert!(std::fs::read(file).expect("a sheet").starts_with(b"%PDF"));
    }
    let kept = h.state().history.now().clone();
    drop(h);
    let again = App::open(&library, Settings::default(), None);
    assert_eq!(*again.history.now(), kept);
    let assignment = again.history.now().programme(&programme).expect("the programme").assignment(&at);
    assert_eq!(assignment.player, Some(player));
}

#[test]
fn undo_and_redo_reach_back_over_the_disk() {
    let (_folder, library) = demo_copy();
    let mut h = harness(App::open(&library, Settings { place: Place::Floor, ..Settings::default() }, None));
    let before = h.state().history.now().clone();
    let (programme, instrument) = {
        let app = h.state();
        let programme = app.view.programme_in(app.history.now()).expect("a programme");
        (programme.id.clone(), programme.setup.places().next().expect("something stands").0.clone())
    };
    h.state_mut().view.selected = Some(Selected::Instrument(instrument.clone()));
    h.run();
    h.key_press(egui::Key::R);
    h.run();
    assert_ne!(*h.state().history.now(), before);
    h.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::Z);
    h.run();
    assert_eq!(*h.state().history.now(), before);
    h.key_press_modifiers(egui::Modifiers::COMMAND.plus(egui::Modifiers::SHIFT), egui::Key::Z);
    h.run();
    let after = h.state().history.now().clone();
    drop(h);
    let again = App::open(&library, Settings::default(), None);
    assert_eq!(*again.history.now(), after);
    assert!(again.history.now().programme(&programme).is_some());
}

#[test]
fn every_place_draws_with_the_demo_and_with_nothing() {
    let (_folder, library) = demo_copy();
    for place in Place::ALL.iter().copied() {
        let mut h = harness(App::open(&library, Settings { place, ..Settings::default() }, None));
        h.run();
        let mut h =
            harness(App::on_library(backrow::sample::empty(), Settings { place, ..Settings::default() }));
        h.run();
    }
}

#[test]
fn bad_input_gets_words_and_loses_nothing() {
    let (folder, library) = demo_copy();
    let mut h = harness(App::open(&library, Settings::default(), None));
    let before = h.state().history.now().clone();
    let broken = folder.path().join("broken.mxl");
    std::fs::write(&broken, b"PK\x03\x04 not a zip").expect("written");
    h.state_mut().ask_to_open(broken);
    h.run();
    wait_for(&mut h, |app| !app.view.said.starts_with("Reading") && !app.view.said.starts_with("Opened"));
    assert!(h.state().view.said.contains("broken.mxl"), "{}", h.state().view.said);
    h.state_mut().ask_to_open(folder.path().join("nowhere.musicxml"));
    h.run();
    wait_for(&mut h, |app| {
        app.view.said.contains("nowhere.musicxml") && !app.view.said.starts_with("Reading")
    });
    assert_eq!(*h.state().history.now(), before);
}

fn label(node: &egui_kittest::Node<'_>) -> String {
    use egui_kittest::kittest::NodeT;
    node.accesskit_node().label().unwrap_or_default()
}

/// Paper has the bundled faces alone: a name in letters that they lack is told, letter by letter, and the rest is printed.
#[test]
fn a_name_that_paper_has_no_letters_for_is_told() {
    let (folder, library) = demo_copy();
    let now = App::open(&library, Settings::default(), None).history.now().clone();
    let programme = now.programmes().next().expect("the demo has one").1.id.clone();
    let mut player = now.players.values().next().expect("the demo has players").as_ref().clone();
    player.name = "נעמי 2".to_owned();
    let id = player.id.clone();
    let now = backrow_core::edit::apply(&now, &backrow_core::edit::Edit::PutPlayer(player))
        .expect("a name is free");
    let printer = Printer {
        evening: &Evening::of(&now, now.programme(&programme).expect("the programme")),
        paper: backrow_print::Paper::A4,
        templates: &backrow_print::Templates::default(),
        today: None,
        remembers: None,
        plans: backrow::sheets::Plans::default(),
    };
    let paper = folder.path().join("paper");
    let sheets = [Sheet::Player(id)];
    let printed = printer.print(&backrow_print::Press::new(), &sheets, &paper, false).expect("printed");
    assert_eq!(printed.files.len(), 1);
    for letter in ["U+05E0", "U+05E2", "U+05DE", "U+05D9"] {
        assert!(printed.signs.iter().any(|told| told.contains(letter)), "{letter}: {:?}", printed.signs);
    }
    assert!(printed.signs.iter().all(|told| told.contains("spell it in another way")));
}
