//! Libraries are begun and opened safely: what is open stays open until the other is there.

mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::sheets::Sheet;
use backrow::view::{Over, Place};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::PathBuf;
use window::{harness, in_view, settle, wait_until};

fn open() -> (tempfile::TempDir, PathBuf, Harness<'static, App>) {
    let folder = tempfile::tempdir().expect("made here");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    let h = harness(App::open(&library, Settings::default(), None));
    (folder, library, h)
}

#[test]
fn a_folder_that_is_no_library_is_refused_and_what_is_open_stays() {
    let (folder, library, mut h) = open();
    let before = h.state().history.now().clone();
    let empty = folder.path().join("documents");
    std::fs::create_dir(&empty).expect("made here");
    for path in [empty, library.join("instruments"), folder.path().join("nowhere")] {
        h.state_mut().request(Intent::Open(path.clone()));
        settle(&mut h);
        assert_eq!(*h.state().history.now(), before, "{}", path.display());
        assert_eq!(h.state().settings.library.as_deref(), Some(library.as_path()));
        assert!(h.state().view.has_failed(), "{}", h.state().view.said);
    }
    // It is not told at the next place.
    h.state_mut().request(Intent::Go(Place::Week));
    h.run();
    assert!(!h.state().view.has_failed());
}

#[test]
fn another_library_comes_in_the_place_of_the_first() {
    let (folder, library, mut h) = open();
    let other = folder.path().join("other");
    h.state_mut().request(Intent::NewLibrary(other.clone()));
    settle(&mut h);
    assert!(h.state().history.now().instruments.is_empty());
    h.state_mut().request(Intent::Open(library.clone()));
    settle(&mut h);
    assert!(!h.state().history.now().instruments.is_empty(), "{}", h.state().view.said);
    assert_eq!(h.state().settings.recent, [library, other]);
}

/// What is edited while another library is read cannot be saved: it is asked about before the other takes its place.
#[test]
fn what_is_edited_while_another_opens_is_not_left_behind_unasked() {
    let (folder, library, mut h) = open();
    let other = folder.path().join("other");
    backrow_files::library::copy_demo(&other).expect("made here");
    std::fs::rename(library.join("instruments"), folder.path().join("away")).expect("made here");
    std::fs::write(library.join("instruments"), "in the way").expect("made here");
    let mut thing = (**h.state().history.now().instruments.values().next().expect("one")).clone();
    thing.name = "Edited meanwhile".to_owned();
    let id = thing.id.clone();
    h.state_mut().request(Intent::Open(other.clone()));
    h.state_mut().request(Intent::Edit(backrow_core::edit::Edit::PutInstrument(thing)));
    settle(&mut h);
    assert!(h.query_by_label("Your last changes are not saved").is_some(), "{}", h.state().view.said);
    assert_eq!(h.state().history.now().instruments[&id].name, "Edited meanwhile");
    assert_eq!(h.state().settings.library.as_deref(), Some(library.as_path()));
    h.get_by_label("Leave without saving").click();
    settle(&mut h);
    assert_eq!(h.state().settings.library.as_deref(), Some(other.as_path()), "{}", h.state().view.said);
}

/// Settings that cannot be read are no reason to show the demo as if nobody had been here.
#[test]
fn without_readable_settings_it_starts_without_a_library_and_says_why() {
    let folder = tempfile::tempdir().expect("made here");
    let file = folder.path().join("settings.ron");
    std::fs::write(&file, "(library: Some(\"/the/orchestra").expect("made here");
    // Once put aside they are told of until a library has been opened.
    for _ in 0..2 {
        let h = harness(App::start_with(None, Some(file.clone())));
        assert!(h.state().history.now().instruments.is_empty());
        let said = &h.state().view.said;
        assert!(said.contains("settings.broken.ron") && said.contains("Ctrl O"), "{said}");
    }
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    let settings = Settings { library: Some(library), ..Settings::default() };
    settings.write(&file).expect("made here");
    let h = harness(App::start_with(None, Some(file)));
    assert!(!h.state().history.now().instruments.is_empty(), "{}", h.state().view.said);
}

#[test]
fn a_path_that_will_not_do_is_said_where_it_was_typed() {
    let (_folder, _, mut h) = open();
    h.key_press_modifiers(Modifiers::COMMAND, Key::O);
    h.run();
    let field = "The folder of a library, any file in it, or a copy that ends with .backrow.zip";
    // What stood there is selected, so that typing replaces it.
    h.get_by_role_and_label(egui::Role::TextInput, field).type_text("percussion");
    h.run();
    h.key_press(Key::Enter);
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Question), "the question stays");
    let refused = |label: &str| label.contains("“percussion” is not a whole path");
    assert!(in_view(&h, refused).is_some());
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(h.state().shell.over(), None);
}

#[test]
fn the_first_start_says_what_is_open_and_offers_to_begin() {
    let (_folder, _, mut h) = open();
    h.state_mut().welcome();
    h.run();
    assert!(in_view(&h, |label| label.contains("invented orchestra")).is_some());
    h.get_by_label("Look round");
    h.get_by_label("Begin mine …").click();
    h.run();
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Question));
    h.get_by_label("Begin a new library");
}

#[test]
fn sheets_are_printed_beside_the_window() {
    let (folder, _, mut h) = open();
    let paper = folder.path().join("paper");
    h.state_mut().request(Intent::Print(paper.clone()));
    h.run();
    assert!(h.state().view.said.starts_with("Print"), "{}", h.state().view.said);
    settle(&mut h);
    assert!(h.state().view.said.starts_with("Printed"), "{}", h.state().view.said);
    let file =
        std::fs::read_dir(&paper).expect("made here").next().expect("made here").expect("made here").path();
    assert!(std::fs::read(file).expect("made here").starts_with(b"%PDF"));
}

/// Only the page that is looked at is drawn; another is drawn when it is turned to.
#[test]
fn pages_are_turned_in_the_preview() {
    let (_folder, library, mut h) = open();
    let shows = |page: usize| {
        let label = format!("page {page} of");
        move |h: &Harness<'_, App>| {
            h.query_by_label_contains(&label).is_some() && h.query_by_label("The page").is_some()
        }
    };
    h.state_mut().request(Intent::ShowSheet(Sheet::AllLabels));
    wait_until(&mut h, shows(1));
    h.get_by_label("Next page").click();
    h.run();
    wait_until(&mut h, shows(2));
    h.key_press(Key::PageDown);
    h.run();
    wait_until(&mut h, shows(3));
    h.key_press(Key::PageUp);
    h.key_press(Key::PageUp);
    h.run();
    wait_until(&mut h, shows(1));
    // What a template does wrong stands in the page's place.
    std::fs::create_dir_all(library.join("print")).expect("made here");
    std::fs::write(library.join("print/list.typ"), "#set page(width: 1e9pt)\nx").expect("made here");
    h.state_mut().request(Intent::ShowSheet(Sheet::Hires));
    wait_until(&mut h, |h| h.query_by_label_contains("at most 5\u{202f}m a side").is_some());
}

/// How far it is stands in the bottom line, with a way to cancel it; then no file and no folder is left.
#[test]
fn printing_tells_how_far_it_is_and_is_cancelled() {
    let (folder, _, mut h) = open();
    let paper = folder.path().join("paper");
    h.state_mut().request(Intent::Print(paper.clone()));
    h.step();
    h.step();
    let told = h.state().view.under_way.clone().expect("it takes longer than a frame");
    assert!(told.starts_with("Printing"), "{told}");
    h.get_by_label("Cancel").click();
    h.step();
    settle(&mut h);
    assert_eq!(h.state().view.said, "Cancelled: nothing was printed.");
    assert!(h.state().view.under_way.is_none() && !paper.exists());
}

#[test]
fn what_a_stopped_program_had_left_half_done_is_said_at_the_next_start() {
    let (_folder, library, h) = open();
    drop(h);
    let file = library.join("instruments/marimba-1.ron");
    let text = std::fs::read_to_string(&file).expect("made here").replace("marimba-1", "marimba-new");
    let journal =
        format!("(format:1,steps:[(file:\"instruments/marimba-new.ron\",before:None,after:Some({text:?}))])");
    std::fs::create_dir_all(library.join(".backrow")).expect("made here");
    std::fs::write(library.join(".backrow/save-1-2-3.ron"), journal).expect("made here");
    let h = harness(App::open(&library, Settings::default(), None));
    let said = &h.state().view.said;
    assert!(said.contains("The last save was cut short, and was finished now"), "{said}");
    assert!(said.contains("instruments/marimba-new.ron"), "{said}");
    let id = backrow_core::id::InstrumentId::new("marimba-new").expect("an id");
    assert!(h.state().history.now().instruments.contains_key(&id));
    drop(h);
    let h = harness(App::open(&library, Settings::default(), None));
    assert!(!h.state().view.said.contains("cut short"), "said once: {}", h.state().view.said);
}

#[test]
fn a_library_of_a_newer_program_is_shown_and_takes_no_changes() {
    let (_folder, library, h) = open();
    drop(h);
    let file = library.join("orchestra.ron");
    let newer =
        std::fs::read_to_string(&file).expect("made here").replacen("format: 2,", "format: 9, glow: 3,", 1);
    std::fs::write(&file, &newer).expect("made here");
    let mut h = harness(App::open(&library, Settings::default(), None));
    let before = h.state().history.now().clone();
    assert!(!before.instruments.is_empty(), "it can be looked at");
    assert!(h.query_by_label("Read-only").is_some(), "the strip says so: {}", h.state().view.said);
    let mut thing = (**before.instruments.values().next().expect("one")).clone();
    thing.name = "Changed".to_owned();
    h.state_mut().request(Intent::Edit(backrow_core::edit::Edit::PutInstrument(thing)));
    h.run();
    assert!(h.state().view.said.contains("newer Backrow"), "{}", h.state().view.said);
    assert_eq!(*h.state().history.now(), before);
    assert_eq!(std::fs::read_to_string(&file).expect("made here"), newer);
}

/// The same holds for a folder that is named when the program starts: by hand, or by a file manager.
#[test]
fn a_folder_that_is_no_library_is_refused_at_the_start_too() {
    let folder = tempfile::tempdir().expect("made here");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    let empty = folder.path().join("documents");
    std::fs::create_dir_all(empty.join("works")).expect("made here");
    for asked in [empty, folder.path().join("nowhere")] {
        let settings = Settings { library: Some(library.clone()), ..Settings::default() };
        let mut h = harness(App::start(Some(asked), settings, None));
        settle(&mut h);
        assert!(!h.state().history.now().instruments.is_empty(), "the last library is open");
        assert!(h.state().view.has_failed(), "{}", h.state().view.said);
        assert_eq!(h.state().settings.library.as_deref(), Some(library.as_path()));
    }
    // A library that is named comes to hand.
    let other = folder.path().join("other");
    backrow_files::library::copy_demo(&other).expect("made here");
    let settings = Settings { library: Some(library), ..Settings::default() };
    let h = harness(App::start(Some(other.clone()), settings, None));
    assert_eq!(h.state().settings.library.as_deref(), Some(other.as_path()));
}

/// The path field of Works takes what other path fields take: a path that hangs on where the program was started is refused.
#[test]
fn the_path_in_works_is_a_whole_one() {
    let (_folder, _, mut h) = open();
    h.state_mut().request(Intent::Go(Place::Works));
    settle(&mut h);
    let field = "or type the path of a score, a table or a folder";
    h.get_by_role_and_label(egui::Role::TextInput, field).focus();
    h.run();
    h.event(egui::Event::Text("scores/tide.musicxml".to_owned()));
    h.run();
    h.key_press(Key::Enter);
    settle(&mut h);
    assert!(h.state().view.said.contains("is not a whole path"), "{}", h.state().view.said);
}
