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
use window::{harness, in_view, settle};

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

fn type_over(h: &mut Harness<'_, App>, label: &str, text: &str) {
    h.get_by_role_and_label(egui::Role::TextInput, label).focus();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    h.event(egui::Event::Text(text.to_owned()));
    settle(h);
}

#[test]
fn a_review_of_a_table_outlives_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let table = home.path().join("stock.csv");
    std::fs::write(&table, "Name;Instrument;Owner\nBig one;Bass drum;Vane\nOddity;nonsense;ours\n").unwrap();
    let mut h = on_disk(home.path(), Place::Collection);
    h.state_mut().ask_to_open(table.clone());
    settle(&mut h);
    assert_eq!(h.state().shell.over(), Some(Over::Importing), "{}", h.state().view.said);
    assert_eq!(h.state().shell.unsaved(), 0, "looked at and not changed");
    type_over(&mut h, "Row 3, Instrument: no kind is called \"nonsense\"", "triangle");
    type_over(&mut h, "Row 2, Name", "Big bass drum");
    assert_eq!(h.state().shell.unsaved(), 1);
    kill(h);

    let mut h = on_disk(home.path(), Place::Week);
    let way_back = "Resume the import of stock.csv";
    assert!(in_view(&h, |label| label == way_back).is_none(), "it belongs to the collection");
    h.state_mut().request(Intent::Go(Place::Collection));
    h.run();
    // Another table is looked at meanwhile; it takes nothing away.
    std::fs::write(home.path().join("other.csv"), "Name;Instrument\nSmall;Snare drum\n").unwrap();
    h.state_mut().ask_to_open(home.path().join("other.csv"));
    settle(&mut h);
    assert!(in_view(&h, |label| label == "Import 1 instrument").is_some(), "{}", h.state().view.said);
    h.get_by_label("Cancel").click();
    h.run();
    h.get_by_label(way_back).click();
    settle(&mut h);
    h.get_by_label("Import 2 instruments").click();
    settle(&mut h);
    let library = h.state().history.now();
    let names: Vec<&str> = library.instruments.values().map(|thing| thing.name.as_str()).collect();
    assert!(names.contains(&"Big bass drum") && names.contains(&"Oddity"), "{names:?}");
    let triangle = library.instruments.values().find(|thing| thing.name == "Oddity").expect("imported");
    assert_eq!(triangle.kind.as_str(), "triangle");
    h.run();
    kill(h);
    let h = on_disk(home.path(), Place::Collection);
    assert!(in_view(&h, |label| label == way_back).is_none(), "imported is imported");
}

#[test]
fn a_review_of_a_table_that_has_changed_since_is_kept_and_put_on_nothing_else() {
    let home = tempfile::tempdir().unwrap();
    let table = home.path().join("stock.csv");
    std::fs::write(&table, "Name;Instrument\nBig one;Bass drum\n").unwrap();
    let mut h = on_disk(home.path(), Place::Collection);
    h.state_mut().ask_to_open(table.clone());
    settle(&mut h);
    type_over(&mut h, "Row 2, Name", "Big bass drum");
    kill(h);
    std::fs::write(&table, "Name;Instrument\nSmall one;Snare drum\n").unwrap();
    let mut h = on_disk(home.path(), Place::Collection);
    h.state_mut().ask_to_open(table);
    settle(&mut h);
    h.get_by_label("Import 1 instrument").click();
    settle(&mut h);
    let library = h.state().history.now();
    assert!(library.instruments.values().any(|thing| thing.name == "Small one"), "as the file has it now");
    assert!(in_view(&h, |label| label == "Throw away the import of stock.csv").is_some(), "still there");
}

#[test]
fn a_review_of_a_calendar_outlives_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let calendar = home.path().join("spring.ics");
    let event = |uid: &str, hour: u32| {
        format!(
            "BEGIN:VEVENT\r\nUID:{uid}\r\nDTSTART:20270412T{hour}0000\r\nDURATION:PT2H\r\nSUMMARY:Call {uid}\r\nEND:VEVENT\r\n"
        )
    };
    let text =
        format!("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n{}{}END:VCALENDAR\r\n", event("a", 10), event("b", 14));
    std::fs::write(&calendar, text).unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    h.state_mut().ask_to_open(calendar);
    settle(&mut h);
    assert_eq!(h.state().shell.unsaved(), 0);
    let combo = h.query_all_by_label_contains("Programme of the event: none").nth(1).expect("its programme");
    combo.click();
    h.run();
    let title = h.state().history.now().programmes().next().expect("one").1.title.clone();
    h.query_all_by_label(&title).last().expect("in the list").click();
    settle(&mut h);
    assert!(in_view(&h, |label| label == "Import 1 service").is_some(), "{}", h.state().view.said);
    kill(h);
    let mut h = on_disk(home.path(), Place::Week);
    h.get_by_label("Resume the import of spring.ics").click();
    settle(&mut h);
    let before = h.state().history.now().services().count();
    h.get_by_label("Import 1 service").click();
    settle(&mut h);
    let starts: Vec<String> = h.state().history.now().services().map(|one| one.start.to_string()).collect();
    assert_eq!(starts.len(), before + 1);
    assert!(starts.iter().any(|start| start.starts_with("2027-04-12T14:00")), "{starts:?}");
}

/// Until something is read in the background.
fn until(h: &mut Harness<'_, App>, label: &str) {
    for _ in 0..3_000 {
        h.run();
        if in_view(h, |there| there == label).is_some() {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("no {label} after a minute: {}", h.state().view.said);
}

#[test]
fn a_review_of_several_scores_outlives_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let scores = home.path().join("scores");
    std::fs::create_dir(&scores).unwrap();
    for (name, instrument) in [("one.csv", "snare drum"), ("two.csv", "triangle")] {
        let text = format!("line,instrument,from measure,notes\na,{instrument},3,24\n");
        std::fs::write(scores.join(name), text).unwrap();
    }
    let mut h = on_disk(home.path(), Place::Works);
    h.state_mut().ask_to_open(scores.clone());
    until(&mut h, "Import 2 works");
    assert_eq!(h.state().places.unsaved(), 0, "read and not changed");
    type_over(&mut h, "Title of one.csv", "First Tide");
    h.get_by_label("Take two.csv").click();
    settle(&mut h);
    assert_eq!(h.state().places.unsaved(), 1);
    kill(h);
    let mut h = on_disk(home.path(), Place::Works);
    let way_back = h.query_all_by_label_contains("Resume the review of").next().expect("the way back");
    way_back.click();
    until(&mut h, "Import 1 work");
    h.get_by_label("Import 1 work").click();
    settle(&mut h);
    let titles: Vec<String> = h.state().history.now().works.values().map(|work| work.title.clone()).collect();
    assert!(titles.iter().any(|title| title == "First Tide"), "{titles:?}");
    assert!(!titles.iter().any(|title| title == "two"), "{titles:?}");
    h.run();
    kill(h);
    let h = on_disk(home.path(), Place::Works);
    assert!(in_view(&h, |label| label.starts_with("Resume the review of")).is_none(), "imported is imported");
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

/// Opens the first line of the work at hand as text on the desk, and its label there.
fn open_as_text(h: &mut Harness<'static, App>) -> String {
    h.key_press_modifiers(Modifiers::COMMAND, Key::E);
    h.run();
    h.query_all_by_label_contains("As a line: ").next().expect("a line on the desk").click();
    h.run();
    h.run();
    let field = h.query_all_by_label_contains("Line of ").next().expect("its text");
    egui_kittest::kittest::NodeT::accesskit_node(&field).label().expect("its label")
}

fn value_of(h: &Harness<'_, App>, label: &str) -> String {
    let field = h.get_by_role_and_label(egui::Role::TextInput, label);
    egui_kittest::kittest::NodeT::accesskit_node(&field).value().unwrap_or_default()
}

#[test]
fn what_is_typed_over_a_line_of_a_work_outlives_esc_and_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Works);
    let label = open_as_text(&mut h);
    assert_eq!(h.state().places.unsaved(), 0, "looked at and not changed");
    type_over(&mut h, &label, "snare drum | 3-");
    assert_eq!(h.state().places.unsaved(), 1);
    assert!(in_view(&h, |label| label == "1 draft").is_some(), "never said to be saved");
    // The button that closes it does not close over what cannot be read.
    h.query_all_by_label_contains("Close the line: ").next().expect("it is open").click();
    h.run();
    assert_eq!(value_of(&h, &label), "snare drum | 3-");
    // Nor is the work saved without it.
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    h.run();
    assert!(h.state().places.works.is_reviewing(), "{}", h.state().view.said);
    h.key_press(Key::Escape);
    h.run();
    h.key_press(Key::Escape);
    h.run();
    assert!(!h.state().places.works.is_reviewing());
    assert_eq!(h.state().places.unsaved(), 1);
    kill(h);
    let mut h = on_disk(home.path(), Place::Works);
    resume(&mut h);
    assert_eq!(value_of(&h, &label), "snare drum | 3-");
    h.get_by_role_and_label(egui::Role::Button, "Throw away").click();
    h.run();
    assert!(in_view(&h, |other| other == label).is_none(), "thrown away when that is asked for");
}

#[test]
fn what_is_typed_over_a_line_is_saved_with_the_work() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Works);
    let label = open_as_text(&mut h);
    let before = value_of(&h, &label);
    let beaters = "felt of another sort";
    let parts: Vec<&str> = before.split('|').collect();
    let typed = format!("{}|{}| {beaters}", parts[0], parts[1]);
    type_over(&mut h, &label, &typed);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    assert!(!h.state().places.works.is_reviewing(), "{}", h.state().view.said);
    let library = h.state().history.now();
    let lines = library.works.values().flat_map(|work| &work.lines);
    let with = lines.filter(|line| line.beaters.iter().any(|one| one == beaters)).count();
    assert_eq!(with, 1);
}

/// Titles and remarks of Week, and the title in the programme's menu: the words, and what the library has.
fn remark(h: &Harness<'_, App>) -> String {
    h.state().view.programme_in(h.state().history.now()).expect("a programme").remark.clone()
}

fn type_a_remark(h: &mut Harness<'static, App>) {
    h.get_by_role_and_label(egui::Role::Tab, "Programme and works").click();
    h.run();
    type_over(h, "Remark on the programme", "Bring the low gong");
    assert!(h.ctx.text_edit_focused());
    assert!(in_view(h, |label| label == "1 draft").is_some(), "never said to be saved while it is typed");
}

#[test]
fn a_remark_is_saved_when_a_key_goes_to_another_place() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    type_a_remark(&mut h);
    h.key_press_modifiers(Modifiers::ALT, Key::Num1);
    settle(&mut h);
    assert_eq!(h.state().view.place, Place::Section);
    assert_eq!(remark(&h), "Bring the low gong", "{}", h.state().view.said);
    assert!(in_view(&h, |label| label == "Saved").is_some());
    h.key_press_modifiers(Modifiers::ALT, Key::Num5);
    settle(&mut h);
    assert_eq!(value_of(&h, "Remark on the programme"), "Bring the low gong");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert_eq!(remark(&h), "", "undone");
}

#[test]
fn a_remark_is_saved_when_the_program_is_quitted() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    type_a_remark(&mut h);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    h.run();
    assert_eq!(h.state().shell.over(), None, "nothing would be lost, so nothing is asked");
    kill(h);
    assert_eq!(remark(&on_disk(home.path(), Place::Week)), "Bring the low gong");
}

#[test]
fn titles_and_remarks_outlive_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    type_a_remark(&mut h);
    kill(h);
    let mut h = on_disk(home.path(), Place::Week);
    settle(&mut h);
    assert_eq!(remark(&h), "Bring the low gong");
    type_over(&mut h, "Title of the week", "The long week");
    kill(h);
    let h = on_disk(home.path(), Place::Section);
    assert!(h.state().history.now().weeks.values().any(|week| week.title == "The long week"));
}

/// What is done beside a title that is typed takes nothing away from it.
#[test]
fn a_title_and_another_change_of_the_programme_go_together() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Week);
    type_a_remark(&mut h);
    let works =
        |h: &Harness<'_, App>| h.state().view.programme_in(h.state().history.now()).expect("one").works.len();
    let count = works(&h);
    let row = h.query_all_by_label_contains("No. 1: ").next().expect("a work");
    row.click_secondary();
    h.run();
    h.run();
    h.query_all_by_label("Remove from programme").last().expect("in the menu").click();
    settle(&mut h);
    assert_eq!((works(&h), remark(&h).as_str()), (count - 1, "Bring the low gong"));
}

#[test]
fn the_title_in_the_menu_is_saved_when_the_menu_closes() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Section);
    h.query_all_by_label_contains("Programme ").next().expect("the programme").click();
    h.run();
    h.run();
    type_over(&mut h, "Title", "Low water");
    assert!(in_view(&h, |label| label == "1 draft").is_some());
    h.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    h.run();
    kill(h);
    let h = on_disk(home.path(), Place::Section);
    let title = &h.state().view.programme_in(h.state().history.now()).expect("one").title;
    assert_eq!(title, "Low water");
}
