//! Libraries are begun and opened safely: what is open stays open until the other is there.

mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::{Over, Place};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::PathBuf;
use window::{harness, in_view, settle};

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

#[test]
fn a_path_that_will_not_do_is_said_where_it_was_typed() {
    let (_folder, _, mut h) = open();
    h.key_press_modifiers(Modifiers::COMMAND, Key::O);
    h.run();
    let field = "The folder of a library, any file in it, or a copy that ends with .zip";
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
