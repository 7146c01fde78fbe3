//! A file that somebody else changes while the window has it open: both versions are kept, shown, and change places.
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
use std::path::Path;
use window::{harness, in_view, wait_for};

#[test]
fn both_are_kept_shown_and_change_places() {
    let folder = tempfile::tempdir().unwrap();
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    let file = library.join("instruments/marimba-1.ron");
    let settings = Settings { place: Place::Collection, ..Settings::default() };
    let mut h = harness(App::open(&library, settings, None));
    h.key_press(Key::F2);
    h.run();
    assert!(h.state().view.said.contains("No file"), "{}", h.state().view.said);

    let theirs = std::fs::read_to_string(&file).unwrap().replace("Marimba 1", "Marimba of theirs");
    std::fs::write(&file, &theirs).unwrap();
    let id = InstrumentId::new("marimba-1").unwrap();
    let mut ours = (*h.state().history.now().instruments[&id]).clone();
    ours.name = "Marimba of ours".to_owned();
    h.state_mut().history.make(&Edit::PutInstrument(ours)).unwrap();
    h.run();
    assert!(h.state().view.said.contains("F2 compares them"), "{}", h.state().view.said);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), theirs, "never written over");

    h.key_press(Key::F2);
    h.run();
    let theirs_shown = "name, as it stands: Marimba of theirs";
    let ours_shown = "name, other version: Marimba of ours";
    assert!(h.query_by_label(theirs_shown).is_some() && h.query_by_label(ours_shown).is_some());
    h.get_by_label("By line").click();
    h.run();
    let both = |label: &str| label.contains("Marimba of theirs") && label.contains("Marimba of ours");
    assert!(in_view(&h, both).is_some(), "the line that differs, both ways");
    h.get_by_label("Use the other version").click();
    h.run();
    h.run();
    assert!(std::fs::read_to_string(&file).unwrap().contains("Marimba of ours"), "{}", h.state().view.said);
    assert_eq!(h.state().history.now().instruments[&id].name, "Marimba of ours");
    assert!(h.query_by_label("Use the other version").is_none(), "closed");
    assert!(h.query_by_label("Saved").is_some());
    assert!(backrow_files::library::kept_versions(&library).is_empty());
    assert!(earlier(&library).contains(&theirs), "theirs is kept in turn");
}

fn earlier(library: &Path) -> Vec<String> {
    backrow_files::library::earlier_versions(library).iter().map(|one| one.texts(library).1).collect()
}

/// A change of two fields by somebody else and of two by us, one of them the same field.
fn changed_twice(h: &mut Harness<'static, App>, library: &Path) -> String {
    let file = library.join("instruments/marimba-1.ron");
    let theirs = std::fs::read_to_string(&file).unwrap().replace("Marimba 1", "Marimba of theirs");
    let theirs = theirs.replacen("    id:", "    remark: \"theirs\",\n    id:", 1);
    std::fs::write(&file, &theirs).unwrap();
    let id = InstrumentId::new("marimba-1").unwrap();
    let mut ours = (*h.state().history.now().instruments[&id]).clone();
    (ours.name, ours.condition) = ("Marimba of ours".to_owned(), "worn".to_owned());
    h.state_mut().history.make(&Edit::PutInstrument(ours)).unwrap();
    h.run();
    h.key_press(Key::F2);
    h.run();
    theirs
}

#[test]
fn fields_are_chosen_one_by_one_and_undo_takes_the_choice_back() {
    let folder = tempfile::tempdir().unwrap();
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    let file = library.join("instruments/marimba-1.ron");
    let id = InstrumentId::new("marimba-1").unwrap();
    let settings = Settings { place: Place::Collection, ..Settings::default() };
    let mut h = harness(App::open(&library, settings, None));
    let had_remark = h.state().history.now().instruments[&id].remark.clone();
    assert_eq!(had_remark, "", "the test adds one");
    let theirs = changed_twice(&mut h, &library);
    // The name of theirs stays, our condition comes in, their remark stays.
    h.get_by_label("condition, other version: worn").click();
    h.run();
    h.get_by_label("Use the chosen fields").click();
    h.run();
    h.run();
    let now = h.state().history.now().instruments[&id].clone();
    assert_eq!(
        (now.name.as_str(), now.condition.as_str(), now.remark.as_str()),
        ("Marimba of theirs", "worn", "theirs")
    );
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(text.contains("Marimba of theirs") && text.contains("worn"), "{text}");
    assert!(backrow_files::library::kept_versions(&library).is_empty());
    assert!(h.query_by_label("Saved").is_some(), "{}", h.state().view.said);
    let kept = earlier(&library);
    assert!(
        kept.contains(&theirs) && kept.iter().any(|text| text.contains("Marimba of ours")),
        "both are kept"
    );
    h.state_mut().request(Intent::Do(Action::Undo));
    h.run();
    h.run();
    assert_eq!(h.state().history.now().instruments[&id].name, "Marimba of ours");
    assert!(std::fs::read_to_string(&file).unwrap().contains("Marimba of ours"));
}

#[test]
fn a_copy_that_a_sync_tool_leaves_is_noticed_and_offered() {
    let folder = tempfile::tempdir().unwrap();
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    let file = library.join("instruments/marimba-1.ron");
    let settings = Settings { place: Place::Collection, ..Settings::default() };
    let mut h = harness(App::open(&library, settings, None));
    let copy = "instruments/marimba-1 (conflicted copy 2027-01-05 101112).ron";
    let theirs = std::fs::read_to_string(&file).unwrap().replace("Marimba 1", "Marimba of theirs");
    std::fs::write(library.join(copy), &theirs).unwrap();
    wait_for(&mut h, |app| app.view.said.contains("second version"));
    assert!(
        h.state().view.said.contains(copy) && h.state().view.said.contains("F2"),
        "{}",
        h.state().view.said
    );
    h.key_press(Key::F2);
    h.run();
    assert!(
        in_view(&h, |label| label.contains("a sync tool left") || label.contains("conflicted copy"))
            .is_some()
    );
    h.get_by_label("name, other version: Marimba of theirs").click();
    h.run();
    h.get_by_label("Use the chosen fields").click();
    h.run();
    h.run();
    assert!(std::fs::read_to_string(&file).unwrap().contains("Marimba of theirs"), "{}", h.state().view.said);
    assert!(!library.join(copy).exists());
}

#[test]
fn the_marks_of_version_control_are_told_and_offered() {
    let folder = tempfile::tempdir().unwrap();
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    let file = library.join("instruments/marimba-1.ron");
    let text = std::fs::read_to_string(&file).unwrap();
    let line = text.lines().position(|line| line.contains("Marimba 1")).unwrap();
    let marked: String = text
        .lines()
        .enumerate()
        .map(|(at, one)| {
            let theirs = one.replace("Marimba 1", "Marimba of theirs");
            if at == line {
                format!("<<<<<<< HEAD\n{one}\n=======\n{theirs}\n>>>>>>> theirs\n")
            } else {
                format!("{one}\n")
            }
        })
        .collect();
    std::fs::write(&file, &marked).unwrap();
    let settings = Settings { place: Place::Collection, ..Settings::default() };
    let mut h = harness(App::open(&library, settings, None));
    let id = InstrumentId::new("marimba-1").unwrap();
    assert!(!h.state().history.now().instruments.contains_key(&id));
    h.key_press(Key::F2);
    h.run();
    h.get_by_label("name, other version: Marimba of theirs").click();
    h.run();
    h.get_by_label("Use the chosen fields").click();
    h.run();
    h.run();
    assert_eq!(h.state().history.now().instruments[&id].name, "Marimba of theirs", "{}", h.state().view.said);
    let written = std::fs::read_to_string(&file).unwrap();
    assert!(written.contains("Marimba of theirs") && !written.contains("<<<<"), "{written}");
    assert!(earlier(&library).contains(&marked));
}
