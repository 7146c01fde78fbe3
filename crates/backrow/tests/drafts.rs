//! Nothing typed is lost: forms that are left are drafts, and are said to be.

mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::sample;
use backrow::settings::Settings;
use backrow::view::{Over, Place};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::Path;
use window::{harness, in_view};

/// A form for a new thing of the collection with a name typed into it.
fn typed() -> Harness<'static, App> {
    let app = App::on_library(sample::small(), Settings { place: Place::Collection, ..Settings::default() });
    let mut h = harness(app);
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Name").type_text("Borrowed xylophone");
    h.run();
    h
}

fn draft(h: &Harness<'_, App>) -> bool {
    in_view(h, |label| label.contains("Draft, not saved") && label.contains("Borrowed xylophone")).is_some()
}

#[test]
fn the_name_has_the_focus_at_once() {
    let app = App::on_library(sample::small(), Settings { place: Place::Collection, ..Settings::default() });
    let mut h = harness(app);
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h.run();
    assert!(h.ctx.text_edit_focused(), "what is typed goes into the form");
}

#[test]
fn esc_leaves_the_field_then_the_form_and_keeps_what_was_typed() {
    let mut h = typed();
    assert_eq!(h.state().places.unsaved(), 1);
    assert!(in_view(&h, |label| label == "1 draft").is_some(), "never said to be saved");
    h.key_press(Key::Escape);
    h.run();
    assert!(h.state().places.collection.has_form(), "the field was left, not the form");
    h.key_press(Key::Escape);
    h.run();
    assert!(!h.state().places.collection.has_form());
    assert!(draft(&h), "{}", h.state().view.said);
    h.query_all_by_label_contains("Resume the draft").next().expect("the way back").click();
    h.run();
    h.run();
    assert!(h.state().places.collection.has_form());
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    let library = h.state().history.now();
    assert!(library.instruments.values().any(|thing| thing.name == "Borrowed xylophone"));
    assert_eq!(h.state().places.unsaved(), 0);
}

#[test]
fn another_tab_or_place_throws_nothing_away() {
    let mut h = typed();
    h.get_by_role_and_label(egui::Role::Tab, "Players").click();
    h.run();
    assert!(draft(&h));
    h.state_mut().request(Intent::Go(Place::Week));
    h.run();
    h.state_mut().request(Intent::Go(Place::Collection));
    h.run();
    assert!(draft(&h));
    h.query_all_by_label_contains("Throw away the draft").next().expect("the way out").click();
    h.run();
    assert_eq!(h.state().places.unsaved(), 0);
}

#[test]
fn quitting_asks_first() {
    let mut h = typed();
    h.key_press(Key::Escape);
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Leaving));
    h.get_by_label("Stay").click();
    h.run();
    assert_eq!(h.state().shell.over(), None);
    assert_eq!(h.state().places.unsaved(), 1);
}

#[test]
fn the_orchestras_settings_stay_as_typed_when_something_else_changes() {
    let app = App::on_library(sample::small(), Settings { place: Place::Collection, ..Settings::default() });
    let mut h = harness(app);
    h.get_by_role_and_label(egui::Role::Tab, "Orchestra").click();
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Orchestra").focus();
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Orchestra").type_text(" of the Estuary");
    h.run();
    assert_eq!(h.state().places.unsaved(), 1);
    // Another change of the library meanwhile.
    let (id, thing) = {
        let library = h.state().history.now();
        let (id, thing) = library.instruments.iter().next().expect("an instrument");
        (id.clone(), (**thing).clone())
    };
    let renamed = backrow_core::collection::Instrument { name: "Renamed".to_owned(), ..thing };
    h.state_mut().request(Intent::Edit(backrow_core::edit::Edit::PutInstrument(renamed)));
    h.run();
    assert_eq!(h.state().history.now().instruments[&id].name, "Renamed");
    assert_eq!(h.state().places.unsaved(), 1, "what was typed is still there");
    in_view(&h, |label| label == "Not saved yet").expect("and said to be a draft");
}

#[test]
fn a_thing_named_new_is_changed_and_not_doubled() {
    let mut library = sample::small();
    let thing = library.instruments.values().next().expect("an instrument");
    let id = backrow_core::id::InstrumentId::new("new").expect("an id");
    let named =
        backrow_core::collection::Instrument { id: id.clone(), name: "New".to_owned(), ..(**thing).clone() };
    library =
        backrow_core::edit::apply(&library, &backrow_core::edit::Edit::PutInstrument(named)).expect("put");
    let count = library.instruments.len();
    let mut app = App::on_library(library, Settings { place: Place::Collection, ..Settings::default() });
    app.view.selected = Some(backrow::view::Selected::Instrument(id));
    let mut h = harness(app);
    h.key_press(Key::Enter);
    h.run();
    assert!(h.state().places.collection.has_form());
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    assert!(!h.state().places.collection.has_form());
    assert_eq!(h.state().history.now().instruments.len(), count, "{}", h.state().view.said);
}

/// The window on a library on disk, with settings of its own in that folder.
fn on_disk(home: &Path, place: Place) -> Harness<'static, App> {
    let library = home.join("library");
    if !library.is_dir() {
        let kinds = backrow_files::kinds::standard().expect("the kinds table");
        backrow_files::library::create_from(&library, &sample::small(), &kinds).expect("made here");
    }
    let settings = Settings { place, ..Settings::default() };
    harness(App::open(&library, settings, Some(home.join("settings.ron"))))
}

/// Ended without a word, as by a kill: nothing of the program gets a turn.
fn kill(h: Harness<'static, App>) {
    std::mem::forget(h);
}

#[test]
fn drafts_of_the_collection_outlive_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Collection);
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Name").type_text("Borrowed xylophone");
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Mass, kg").focus();
    h.run();
    h.event(egui::Event::Text("36".to_owned()));
    h.run();
    kill(h);
    let mut h = on_disk(home.path(), Place::Collection);
    assert!(draft(&h), "{}", h.state().view.said);
    assert!(h.state().view.said.contains("1 draft"), "{}", h.state().view.said);
    h.query_all_by_label_contains("Resume the draft").next().expect("the way back").click();
    h.run();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    let library = h.state().history.now();
    let kept = library.instruments.values().find(|thing| thing.name == "Borrowed xylophone").expect("saved");
    assert!(kept.mass.is_some_and(|mass| (mass.kg - 36.0).abs() < 1e-9), "{:?}", kept.mass);
    h.run();
    kill(h);
    let h = on_disk(home.path(), Place::Collection);
    assert!(!draft(&h), "saved is saved");
}

#[test]
fn what_is_kept_on_disk_does_not_hold_the_window_open() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Collection);
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Name").type_text("Borrowed xylophone");
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    h.run();
    assert_eq!(h.state().shell.over(), None, "nothing would be lost, so nothing is asked");
    drop(h);
    assert!(draft(&on_disk(home.path(), Place::Collection)));
}

#[test]
fn a_work_on_the_desk_outlives_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Works);
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Title").type_text("Northern Lights");
    h.run();
    kill(h);
    let h = on_disk(home.path(), Place::Works);
    let there =
        in_view(&h, |label| label.starts_with("Resume the draft") && label.contains("Northern Lights"));
    assert!(there.is_some(), "{}", h.state().view.said);
}

#[test]
fn a_key_that_goes_to_a_place_types_nothing() {
    let mut h = typed();
    let alt_four = egui::Event::Key {
        key: Key::Num4,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::ALT,
    };
    // As a desktop sends them: the key and its text in one frame.
    h.input_mut().events.extend([alt_four, egui::Event::Text("4".to_owned())]);
    h.run();
    assert_eq!(h.state().view.place, Place::BarView);
    h.state_mut().request(Intent::Go(Place::Collection));
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    let library = h.state().history.now();
    assert!(library.instruments.values().any(|thing| thing.name == "Borrowed xylophone"));
}

#[test]
fn enter_in_a_line_saves() {
    let mut h = typed();
    h.key_press(Key::Enter);
    h.run();
    assert!(!h.state().places.collection.has_form(), "{}", h.state().view.said);
    let library = h.state().history.now();
    assert!(library.instruments.values().any(|thing| thing.name == "Borrowed xylophone"));
}

/// Whether a draft with that in its title is offered to be resumed.
fn offered(h: &Harness<'_, App>, title: &str) -> bool {
    in_view(h, |label| label.starts_with("Resume the draft") && label.contains(title)).is_some()
}

fn resume(h: &mut Harness<'static, App>) {
    h.query_all_by_label_contains("Resume the draft").next().expect("the way back").click();
    h.run();
    h.run();
}

#[test]
fn two_works_that_were_left_are_both_there() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Works);
    for title in ["Northern Lights", "Low Water"] {
        h.key_press_modifiers(Modifiers::COMMAND, Key::N);
        h.run();
        h.get_by_role_and_label(egui::Role::TextInput, "Title").type_text(title);
        h.run();
        h.get_by_label("Cancel").click();
        h.run();
    }
    kill(h);
    let h = on_disk(home.path(), Place::Works);
    assert!(offered(&h, "Northern Lights") && offered(&h, "Low Water"), "{}", h.state().view.said);
}

#[test]
fn a_venue_on_the_board_outlives_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Floor);
    let start = |label: &str| label == "Venue …: draw it" || label == "Draw a new venue";
    h.query_all(egui_kittest::kittest::by().predicate(move |node| node.label().is_some_and(|l| start(&l))))
        .next()
        .expect("the way to the board")
        .click();
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Name").focus();
    h.run();
    h.event(egui::Event::Text(" Annexe".to_owned()));
    h.run();
    h.get_by_label("Add a riser").click();
    h.run();
    h.run();
    kill(h);
    let mut h = on_disk(home.path(), Place::Floor);
    assert!(offered(&h, "Annexe"), "{}", h.state().view.said);
    resume(&mut h);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    let venues = &h.state().history.now().venues;
    let kept = venues.values().find(|venue| venue.name.contains("Annexe")).expect("saved");
    assert!(!kept.risers.is_empty(), "what was drawn too");
}

#[test]
fn a_survey_outlives_a_kill_and_the_removal_of_its_instrument() {
    let home = tempfile::tempdir().unwrap();
    let tuning = |home: &Path| {
        let mut h = on_disk(home, Place::Collection);
        h.get_by_role_and_label(egui::Role::Tab, "Tuning").click();
        h.run();
        h
    };
    let mut h = tuning(home.path());
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Who").focus();
    h.run();
    h.event(egui::Event::Text("A. Moss".to_owned()));
    h.run();
    assert_eq!(h.state().places.unsaved(), 1);
    kill(h);
    let mut h = tuning(home.path());
    assert!(offered(&h, "survey"), "{}", h.state().view.said);
    resume(&mut h);
    let who = h.get_by_role_and_label(egui::Role::TextInput, "Who");
    assert_eq!(egui_kittest::kittest::NodeT::accesskit_node(&who).value().as_deref(), Some("A. Moss"));
    kill(h);
    // The instrument goes while the draft is on disk, and comes back.
    let folder = home.path().join("library/instruments");
    let away = home.path().join("away");
    std::fs::rename(&folder, &away).unwrap();
    let mut h = tuning(home.path());
    assert!(!offered(&h, "survey"));
    h.key_press_modifiers(Modifiers::COMMAND, Key::K);
    h.run();
    kill(h);
    std::fs::rename(&away, &folder).unwrap();
    assert!(offered(&tuning(home.path()), "survey"), "a draft that cannot be shown is kept");
}

#[test]
fn a_decision_outlives_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let first_line = |h: &mut Harness<'static, App>| {
        let app = h.state_mut();
        let now = app.history.now().clone();
        let work = now.works.values().find(|work| !work.lines.is_empty()).expect("a work with lines");
        let at = backrow_core::week::LineRef { work: work.id.clone(), line: work.lines[0].id.clone() };
        app.view.turn_to_line(&now, &at);
        h.run();
    };
    for (key, field) in [(Key::D, "Why"), (Key::T, "Verdict")] {
        let mut h = on_disk(home.path(), Place::Section);
        first_line(&mut h);
        let shift = if key == Key::T { Modifiers::SHIFT } else { Modifiers::NONE };
        h.key_press_modifiers(Modifiers::COMMAND | shift, key);
        h.run();
        h.get_by_role_and_label(egui::Role::TextInput, field).focus();
        h.run();
        h.event(egui::Event::Text("the dry one carries".to_owned()));
        h.run();
        h.run();
        kill(h);
        let mut h = on_disk(home.path(), Place::Section);
        assert!(h.state().view.said.contains("draft"), "{}", h.state().view.said);
        first_line(&mut h);
        h.key_press_modifiers(Modifiers::COMMAND | shift, key);
        h.run();
        resume(&mut h);
        let typed = h.get_by_role_and_label(egui::Role::TextInput, field);
        let typed = egui_kittest::kittest::NodeT::accesskit_node(&typed).value();
        assert_eq!(typed.as_deref(), Some("the dry one carries"), "{field}");
        kill(h);
        drop(std::fs::remove_dir_all(home.path().join("drafts")));
    }
}
