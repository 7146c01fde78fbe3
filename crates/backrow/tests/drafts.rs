//! Nothing typed is lost: forms that are left are drafts, and are said to be.

#[path = "window/typing.rs"]
mod typing;
mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::sample;
use backrow::settings::Settings;
use backrow::view::{Over, Place};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use typing::{draft, on_disk, type_over, typed};
use window::{harness, in_view, settle};

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

/// In the lowest window that is spoken of, the button that saves stands above what scrolls.
#[test]
fn the_orchestras_settings_can_be_saved_in_a_low_window() {
    let app = App::on_library(sample::small(), Settings { place: Place::Collection, ..Settings::default() });
    let mut h = harness(app);
    h.set_size(egui::vec2(1024.0, 700.0));
    h.run();
    h.get_by_role_and_label(egui::Role::Tab, "Orchestra").click();
    h.run();
    type_over(&mut h, "Orchestra", "Westmere");
    let window = egui::Rect::from_min_size(egui::Pos2::ZERO, egui::vec2(1024.0, 700.0));
    let save = h.get_by_role_and_label(egui::Role::Button, "Save").rect();
    assert!(window.contains_rect(save), "{save:?}");
    h.key_press(Key::Enter);
    settle(&mut h);
    assert_eq!(h.state().history.now().orchestra.name, "Westmere", "Enter in a line saves");
}

/// A file of another program is replaced only when that was asked for twice, and not by Enter.
#[test]
fn a_file_that_is_there_is_not_replaced_in_silence() {
    let home = tempfile::tempdir().unwrap();
    let theirs = home.path().join("theirs.xlsx");
    std::fs::write(&theirs, "somebody's").unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    let is_theirs = || std::fs::read(&theirs).unwrap() == b"somebody's";
    h.state_mut().request(Intent::Do(backrow::actions::Action::SaveTables));
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    h.event(egui::Event::Text(theirs.display().to_string()));
    h.run();
    for _ in 0..2 {
        h.key_press(Key::Enter);
        h.run();
    }
    assert!(in_view(&h, |label| label.contains("theirs.xlsx is there already")).is_some());
    assert!(is_theirs());
    h.get_by_label("Replace it").click();
    settle(&mut h);
    assert!(!is_theirs(), "{}", h.state().view.said);
}

#[test]
fn no_services_make_no_calendar() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    let to = home.path().join("none.ics");
    h.state_mut().request(Intent::SaveServices(to.clone()));
    h.run();
    h.run();
    assert!(h.state().view.said.starts_with("There are no services"), "{}", h.state().view.said);
    assert!(!to.exists());
}

/// What was said of a form without a name is said no more when it has one, and keeps nothing from being saved.
#[test]
fn a_venue_that_was_refused_is_saved_when_it_has_a_name() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Floor);
    let edit = without_venues(h.state());
    h.state_mut().request(Intent::Edit(edit));
    settle(&mut h);
    h.get_by_label("Draw a new venue").click();
    h.run();
    h.run();
    assert!(h.ctx.text_edit_focused(), "its name has the focus at once");
    let refused = "The venue needs a name.";
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    assert!(in_view(&h, |label| label == refused).is_some());
    type_over(&mut h, "Name", "Town Hall");
    assert!(in_view(&h, |label| label == refused).is_none(), "it has one");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    let venues = &h.state().history.now().venues;
    assert!(venues.values().any(|venue| venue.name == "Town Hall"), "{}", h.state().view.said);
}

/// No venue in the library, and none for any programme.
fn without_venues(app: &App) -> backrow_core::edit::Edit {
    use backrow_core::edit::Edit;
    let library = app.history.now();
    let programmes = library.programmes().map(|(week, programme)| {
        let mut programme = programme.clone();
        programme.venue = None;
        Edit::PutProgramme { week: week.id.clone(), programme }
    });
    let edits = programmes.chain(library.venues.keys().cloned().map(Edit::RemoveVenue)).collect();
    Edit::Together { words: "No venue".to_owned(), edits }
}

#[test]
fn what_was_said_of_a_form_goes_when_it_is_corrected() {
    let mut h = typed();
    h.get_by_role_and_label(egui::Role::TextInput, "Mass, kg").focus();
    h.run();
    h.event(egui::Event::Text("heavy".to_owned()));
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    let says = |h: &Harness<'_, App>| in_view(h, |label| label.contains("a number such as 38.5")).is_some();
    assert!(says(&h), "said where it was typed");
    type_over(&mut h, "Mass, kg", "36");
    assert!(!says(&h), "it is a number now");
}
