//! What others do in the library's folder while the window has it open, and what the window does with what it cannot save.

#![expect(clippy::unwrap_used, reason = "a test helper that fails is a failed test")]

mod window;

use backrow::actions::Action;
use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::{Path, PathBuf};
use window::{harness, wait_for};

fn marimba() -> InstrumentId {
    InstrumentId::new("marimba-1").unwrap()
}

fn open(library: &Path) -> Harness<'static, App> {
    let settings = Settings { place: Place::Collection, ..Settings::default() };
    harness(App::open(library, settings, None))
}

fn demo(home: &tempfile::TempDir) -> PathBuf {
    let library = home.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    library
}

fn name_of(app: &App) -> String {
    app.history.now().instruments[&marimba()].name.clone()
}

fn rename(h: &mut Harness<'_, App>, name: &str) {
    let mut ours = (*h.state().history.now().instruments[&marimba()]).clone();
    name.clone_into(&mut ours.name);
    h.state_mut().request(Intent::Edit(Edit::PutInstrument(ours)));
    h.run();
    h.run();
}

#[test]
fn what_others_change_is_taken_in_and_undo_takes_it_back() {
    let home = tempfile::tempdir().unwrap();
    let library = demo(&home);
    let file = library.join("instruments/marimba-1.ron");
    let mut h = open(&library);
    let theirs = std::fs::read_to_string(&file).unwrap().replace("Marimba 1", "Marimba of theirs");
    std::fs::write(&file, &theirs).unwrap();
    std::fs::write(library.join("instruments/new.ron"), theirs.replace("marimba-1", "new")).unwrap();
    std::fs::remove_file(library.join("instruments/marimba-2.ron")).unwrap();
    wait_for(&mut h, |app| name_of(app) == "Marimba of theirs");
    let now = h.state().history.now().clone();
    assert!(now.instruments.contains_key(&InstrumentId::new("new").unwrap()));
    assert!(!now.instruments.contains_key(&InstrumentId::new("marimba-2").unwrap()));
    assert!(h.state().view.said.contains("Somebody else has changed 3 files"), "{}", h.state().view.said);
    assert!(h.query_by_label("Saved").is_some());
    // What is done here from now on goes over theirs, for it was seen.
    rename(&mut h, "Marimba of ours");
    assert!(std::fs::read_to_string(&file).unwrap().contains("Marimba of ours"));
    assert!(backrow_files::library::kept_versions(&library).is_empty());
    for _ in 0..2 {
        h.state_mut().request(Intent::Do(Action::Undo));
        h.run();
        h.run();
    }
    assert_eq!(name_of(h.state()), "Marimba 1");
    assert!(std::fs::read_to_string(&file).unwrap().contains("Marimba 1"));
    let earlier = backrow_files::library::earlier_versions(&library);
    let texts: Vec<String> = earlier.iter().map(|one| one.texts(&library).1).collect();
    assert!(texts.contains(&theirs), "theirs is among the earlier versions");
}

#[test]
fn after_a_clash_it_says_two_versions_until_there_is_one() {
    let home = tempfile::tempdir().unwrap();
    let library = demo(&home);
    let file = library.join("instruments/marimba-1.ron");
    let mut h = open(&library);
    let theirs = std::fs::read_to_string(&file).unwrap().replace("Marimba 1", "Marimba of theirs");
    std::fs::write(&file, &theirs).unwrap();
    rename(&mut h, "Marimba of ours");
    assert!(h.query_by_label("Two versions").is_some(), "{}", h.state().view.said);
    rename(&mut h, "Marimba of ours again");
    assert!(h.query_by_label("Two versions").is_some() && h.query_by_label("Saved").is_none());
    assert_eq!(std::fs::read_to_string(&file).unwrap(), theirs);
    h.key_press(Key::F2);
    h.run();
    h.get_by_label("Use the other version").click();
    h.run();
    h.run();
    assert_eq!(name_of(h.state()), "Marimba of ours again");
}

#[test]
fn what_cannot_be_saved_is_never_left_behind_unasked() {
    let home = tempfile::tempdir().unwrap();
    let library = demo(&home);
    let other = home.path().join("other");
    backrow_files::library::copy_demo(&other).unwrap();
    let mut h = open(&library);
    // A file stands where the folder was: nothing can be written there.
    let away = home.path().join("away");
    std::fs::rename(library.join("instruments"), &away).unwrap();
    std::fs::write(library.join("instruments"), "in the way").unwrap();
    rename(&mut h, "Marimba of ours");
    assert!(h.query_by_label("Not saved").is_some(), "{}", h.state().view.said);
    for leaves in [Intent::Do(Action::Quit), Intent::Open(other)] {
        h.state_mut().request(leaves);
        h.run();
        h.run();
        assert!(h.query_by_label("Your last changes are not saved").is_some());
        h.get_by_label("Stay").click();
        h.run();
    }
    assert_eq!(name_of(h.state()), "Marimba of ours");
    // A copy elsewhere holds it.
    let copy = home.path().join("copy");
    h.state_mut().request(Intent::SaveCopy(copy.clone()));
    wait_for(&mut h, |app| app.view.said.starts_with("Saved a copy"));
    let kept = std::fs::read_to_string(copy.join("instruments/marimba-1.ron")).unwrap();
    assert!(kept.contains("Marimba of ours"), "{}", h.state().view.said);
    // When it can be written again it is, by itself.
    std::fs::remove_file(library.join("instruments")).unwrap();
    std::fs::rename(&away, library.join("instruments")).unwrap();
    wait_for(&mut h, |app| app.view.said.contains("Everything is saved now"));
    assert!(h.query_by_label("Saved").is_some(), "{}", h.state().view.said);
    assert!(
        std::fs::read_to_string(library.join("instruments/marimba-1.ron"))
            .unwrap()
            .contains("Marimba of ours")
    );
}

#[test]
fn a_folder_that_is_emptied_is_not_called_saved() {
    let home = tempfile::tempdir().unwrap();
    let library = demo(&home);
    let mut h = open(&library);
    let count = h.state().history.now().instruments.len();
    for entry in std::fs::read_dir(library.join("instruments")).unwrap() {
        std::fs::remove_file(entry.unwrap().path()).unwrap();
    }
    for entry in std::fs::read_dir(library.join("works")).unwrap() {
        std::fs::remove_file(entry.unwrap().path()).unwrap();
    }
    wait_for(&mut h, |app| app.view.said.contains("no longer in its folder"));
    rename(&mut h, "Marimba of ours");
    assert!(h.query_by_label("Not saved").is_some(), "{}", h.state().view.said);
    assert_eq!(h.state().history.now().instruments.len(), count, "kept in memory");
    h.key_press_modifiers(egui::Modifiers::COMMAND, Key::S);
    h.run();
    h.run();
    assert!(h.query_by_label("Saved").is_some(), "{}", h.state().view.said);
    assert_eq!(std::fs::read_dir(library.join("instruments")).unwrap().count(), count);
}

#[test]
fn a_library_that_a_newer_program_takes_over_is_read_only_from_then_on() {
    let home = tempfile::tempdir().unwrap();
    let library = demo(&home);
    let mut h = open(&library);
    let orchestra = library.join("orchestra.ron");
    let newer = std::fs::read_to_string(&orchestra).unwrap().replacen("format: 2", "format: 9", 1);
    std::fs::write(&orchestra, &newer).unwrap();
    wait_for(&mut h, |app| app.view.said.contains("read-only"));
    assert!(h.state().view.said.contains("newer") && h.query_by_label("Read-only").is_some());
    let file = library.join("instruments/marimba-1.ron");
    let before = std::fs::read_to_string(&file).unwrap();
    rename(&mut h, "Marimba of ours");
    assert_eq!(name_of(h.state()), "Marimba 1", "{}", h.state().view.said);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), before);
    assert_eq!(std::fs::read_to_string(&orchestra).unwrap(), newer);
}

/// What is refused stays in its form, to be copied or saved elsewhere.
#[test]
fn a_form_that_is_refused_stays_open() {
    let home = tempfile::tempdir().unwrap();
    let library = demo(&home);
    let mut h = open(&library);
    h.state_mut().request(Intent::Go(Place::Week));
    h.run();
    let services = h.state().history.now().services().count();
    h.key_press_modifiers(egui::Modifiers::COMMAND, Key::N);
    h.run();
    assert!(h.query_by_label("Save").is_some());
    let orchestra = library.join("orchestra.ron");
    let newer = std::fs::read_to_string(&orchestra).unwrap().replacen("format: 2", "format: 9", 1);
    std::fs::write(&orchestra, &newer).unwrap();
    wait_for(&mut h, |app| app.view.said.contains("read-only"));
    h.key_press_modifiers(egui::Modifiers::COMMAND, Key::Enter);
    h.run();
    h.run();
    assert_eq!(h.state().history.now().services().count(), services);
    assert!(h.query_by_label("Save").is_some(), "the form is still there");
    let told = |label: &str| label.starts_with("The library is read-only. ");
    assert!(window::in_view(&h, told).is_some(), "and says why");
}

#[test]
fn an_earlier_version_is_looked_at_and_brought_back() {
    let home = tempfile::tempdir().unwrap();
    let library = demo(&home);
    let mut h = open(&library);
    h.key_press_modifiers(egui::Modifiers::SHIFT, Key::F2);
    h.run();
    assert!(
        h.state().view.said.contains("no earlier version yet") || h.state().view.said.contains("No file")
    );
    rename(&mut h, "Marimba renamed");
    h.key_press_modifiers(egui::Modifiers::SHIFT, Key::F2);
    h.run();
    assert!(h.query_by_label("Earlier versions").is_some());
    h.get_by_label("Bring this version back").click();
    h.run();
    h.run();
    assert_eq!(name_of(h.state()), "Marimba 1", "{}", h.state().view.said);
    let file = library.join("instruments/marimba-1.ron");
    assert!(std::fs::read_to_string(&file).unwrap().contains("Marimba 1"));
    h.state_mut().request(Intent::Do(Action::Undo));
    h.run();
    h.run();
    assert_eq!(name_of(h.state()), "Marimba renamed");
}
