//! What was typed outlives a kill: forms, works, venues, surveys, decisions, and reviews of tables, calendars and scores.

#[path = "window/typing.rs"]
mod typing;
mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::view::{Over, Place};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::Path;
use typing::{draft, kill, offered, on_disk, resume, type_over, until, value_of};
use window::{in_view, settle};

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
fn a_figure_of_the_orchestra_that_cannot_be_read_is_told_where_it_stands_and_outlives_a_kill() {
    let home = tempfile::tempdir().unwrap();
    let mut h = on_disk(home.path(), Place::Collection);
    let to_orchestra = |h: &mut Harness<'static, App>| {
        h.get_by_role_and_label(egui::Role::Tab, "Orchestra").click();
        h.run();
    };
    to_orchestra(&mut h);
    type_over(&mut h, "A, Hz", "4x0");
    h.key_press(Key::Enter);
    settle(&mut h);
    let field = h.get_by_role_and_label(egui::Role::TextInput, "A, Hz").rect();
    let told = |label: &str| label == "A, Hz: a number from 380 to 500 was expected.";
    let beside: Vec<_> = h
        .query_all(egui_kittest::kittest::by().predicate(move |node| node.value().is_some_and(|v| told(&v))))
        .filter(|node| node.rect().center().y > field.top() && node.rect().center().y < field.bottom())
        .collect();
    assert_eq!(beside.len(), 1, "told beside its field");
    drop(beside);
    assert_eq!(h.state().places.unsaved(), 1);
    kill(h);
    let mut h = on_disk(home.path(), Place::Collection);
    assert!(offered(&h, "the orchestra’s settings"), "{}", h.state().view.said);
    resume(&mut h);
    assert_eq!(value_of(&h, "A, Hz"), "4x0");
    type_over(&mut h, "A, Hz", "441,5");
    h.key_press(Key::Enter);
    settle(&mut h);
    let a = h.state().history.now().orchestra.a.value();
    assert!((a - 441.5).abs() < 1e-9, "{a}");
    assert_eq!(h.state().places.unsaved(), 0);
    // Left with something typed, it is a draft like any other.
    type_over(&mut h, "Walking pace, m/s", "1.4");
    h.get_by_role_and_label(egui::Role::Tab, "Players").click();
    h.run();
    assert!(offered(&h, "the orchestra’s settings"), "{}", h.state().view.said);
    to_orchestra(&mut h);
    assert_eq!(value_of(&h, "Walking pace, m/s"), "1.4");
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
    h.get_by_label("Import two.csv").click();
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
