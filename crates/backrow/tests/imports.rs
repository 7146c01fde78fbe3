//! Tables, calendars and pictures as they come into the window: shown with how they were read, mended there, and imported.

mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::{Over, Place, Selected};
use backrow_core::id::InstrumentId;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::{Path, PathBuf};
use window::{harness, in_view, settle, wait_for};

/// The demo in a folder of its own, and that folder.
fn on_disk(place: Place) -> (tempfile::TempDir, Harness<'static, App>) {
    let home = tempfile::tempdir().expect("a temporary folder");
    let library = home.path().join("library");
    backrow_files::library::copy_demo(&library).expect("the demo library");
    let settings = Settings { place, ..Settings::default() };
    (home, harness(App::open(&library, settings, None)))
}

fn made(home: &Path, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
    let file = home.join(name);
    std::fs::write(&file, bytes).expect("made here");
    file
}

fn push(h: &mut Harness<'_, App>, label: &str) {
    h.get_by_role_and_label(egui::Role::Button, label).click();
    settle(h);
}

#[test]
fn a_cell_is_mended_where_it_is_shown() {
    let (home, mut h) = on_disk(Place::Collection);
    let table = made(
        home.path(),
        "more.csv",
        b"Our things\nInstrument;Gewicht kg\nGro\xdfe Trommel 9;heavy\nOddity;3\n",
    );
    h.state_mut().ask_to_open(table);
    settle(&mut h);
    assert_eq!(h.state().shell.over(), Some(Over::Importing), "{}", h.state().view.said);
    assert!(in_view(&h, |label| label == "Import 1 instrument").is_some());
    assert!(
        in_view(&h, |label| label.starts_with("Große Trommel 9")).is_some(),
        "letters as they were meant"
    );
    let field =
        h.get_by_role_and_label(egui::Role::TextInput, "Row 4, Instrument: no kind is called \"Oddity\"");
    field.focus();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    h.event(egui::Event::Text("Triangle 9".to_owned()));
    settle(&mut h);
    // Put aside by Esc and opened again, it is as it was left.
    for _ in 0..2 {
        h.key_press(Key::Escape);
        h.run();
    }
    assert_eq!(h.state().shell.over(), None);
    h.state_mut().ask_to_open(home.path().join("more.csv"));
    settle(&mut h);
    assert_eq!(h.state().view.said, "Shown as you left it.");
    push(&mut h, "Import 2 instruments");
    let names: Vec<String> =
        h.state().history.now().instruments.values().map(|thing| thing.name.clone()).collect();
    assert!(
        names.iter().any(|name| name == "Triangle 9") && names.iter().any(|name| name == "Große Trommel 9")
    );
    h.state_mut().request(Intent::Do(backrow::actions::Action::Undo));
    settle(&mut h);
    assert!(!h.state().history.now().instruments.values().any(|thing| thing.name == "Triangle 9"));
}

#[test]
fn a_table_of_the_tab_at_hand_is_of_its_things() {
    let (home, mut h) = on_disk(Place::Collection);
    h.get_by_role_and_label(egui::Role::Tab, "Stores").click();
    settle(&mut h);
    let table = made(home.path(), "x.csv", "Name;Remark\nBoat shed;damp\n");
    h.state_mut().request(Intent::ImportTable(table));
    settle(&mut h);
    push(&mut h, "Import 1 place");
    assert!(h.state().history.now().places.values().any(|place| place.name == "Boat shed"));
}

#[test]
fn a_series_stands_in_one_row_and_is_matched_once() {
    let (home, mut h) = on_disk(Place::Week);
    let before = h.state().history.now().services().count();
    let calendar = made(
        home.path(),
        "weekly.ics",
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nBEGIN:VEVENT\r\nUID:w\r\nDTSTART;TZID=W. Europe Standard Time:20271102T100000\r\nDURATION:PT2H\r\nRRULE:FREQ=WEEKLY\r\nSUMMARY:Rehearsal Tidelands\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
    );
    h.state_mut().ask_to_open(calendar);
    settle(&mut h);
    assert!(
        in_view(&h, |label| label.starts_with("Show the ") && label.contains("times of Rehearsal")).is_some()
    );
    assert!(in_view(&h, |label| label == "Import event 1").is_none(), "not each by itself");
    // To the end of July after the season's last service: 2 November 2027 to 25 July 2028 are 39 Tuesdays.
    push(&mut h, "Import 39 services");
    assert_eq!(h.state().history.now().services().count(), before + 39, "{}", h.state().view.said);
    assert_eq!(h.state().history.now().orchestra.zone, "Europe/Berlin", "the zone is remembered");
}

/// A calendar of ten years: the rows in sight are drawn and no others, and a tick on one is counted.
#[test]
fn a_large_calendar_draws_the_rows_in_sight() {
    let (home, mut h) = on_disk(Place::Week);
    let event = |at: u32| {
        let (month, day, hour) = (1 + at % 12, 1 + at / 12 % 28, 10 + at / 336);
        format!(
            "BEGIN:VEVENT\r\nUID:{at}\r\nDTSTART;TZID=Europe/Berlin:2027{month:02}{day:02}T{hour:02}0000\r\nDURATION:PT1H\r\nSUMMARY:Rehearsal Tidelands {at}\r\nEND:VEVENT\r\n"
        )
    };
    let events: String = (0..3_000).map(event).collect();
    let text = format!("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n{events}END:VCALENDAR\r\n");
    h.state_mut().ask_to_open(made(home.path(), "decade.ics", text));
    settle(&mut h);
    assert!(in_view(&h, |label| label.starts_with("3000 events, 3000 with")).is_some());
    let rows = |h: &Harness<'_, App>| h.query_all_by_label_contains("Import event ").count();
    assert!((5..60).contains(&rows(&h)), "{} rows", rows(&h));
    let offered = |h: &Harness<'_, App>| {
        let all = h
            .query_all_by_label_contains("Import ")
            .filter_map(|node| egui_kittest::kittest::NodeT::accesskit_node(&node).label());
        all.into_iter().find(|label| label.ends_with(" services")).expect("the button")
    };
    let before = offered(&h);
    h.query_all_by_label_contains("Import event ").nth(2).expect("a row").click();
    settle(&mut h);
    assert_ne!(offered(&h), before);
}

#[test]
fn a_picture_is_dropped_on_its_instrument_and_shown() {
    let (home, mut h) = on_disk(Place::Collection);
    let id = InstrumentId::new("glockenspiel-1").expect("an id");
    assert!(h.state().history.now().instruments.contains_key(&id), "the demo has it");
    h.state_mut().view.selected = Some(Selected::Instrument(id.clone()));
    let picture = image::DynamicImage::new_rgb8(64, 32);
    let file = home.path().join("glock.png");
    picture.save(&file).expect("made here");
    h.state_mut().ask_to_open(file);
    wait_for(&mut h, |app| app.history.now().instruments[&id].picture.contains("glock-"));
    settle(&mut h);
    let name = h.state().history.now().instruments[&id].name.clone();
    assert!(in_view(&h, |label| label == format!("Picture of {name}")).is_some());
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert!(h.state().history.now().instruments[&id].picture.is_empty(), "undone");
}

#[test]
fn a_library_goes_into_one_file_and_is_opened_from_it() {
    let (home, mut h) = on_disk(Place::Collection);
    // Desktops know a library by the whole ending (`packaging/org.backrow.Backrow.mime.xml`); half of it is enough to type.
    let type_of_desktops = include_str!("../../../packaging/org.backrow.Backrow.mime.xml");
    assert!(type_of_desktops.contains("glob pattern=\"*.backrow.zip\""));
    h.state_mut().request(Intent::SaveCopy(home.path().join("demo.zip")));
    wait_for(&mut h, |app| app.view.said.starts_with("Saved a copy"));
    let file = home.path().join("demo.backrow.zip");
    assert!(file.is_file() && !home.path().join("demo.zip").exists(), "{}", h.state().view.said);
    assert!(h.state().view.said.contains("demo.backrow.zip"), "{}", h.state().view.said);
    // A zip of any name is opened all the same.
    let plain = home.path().join("old.zip");
    std::fs::copy(&file, &plain).expect("made here");
    h.state_mut().ask_to_open(plain);
    settle(&mut h);
    assert_eq!(h.state().shell.over(), Some(Over::Question));
    h.key_press(Key::Escape);
    settle(&mut h);
    let count = h.state().history.now().instruments.len();
    h.state_mut().ask_to_open(file);
    settle(&mut h);
    assert_eq!(h.state().shell.over(), Some(Over::Question));
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.run();
    let to = home.path().join("unpacked");
    h.event(egui::Event::Text(to.display().to_string()));
    h.run();
    h.key_press(Key::Enter);
    wait_for(&mut h, |app| app.settings.library.as_deref() == Some(to.as_path()));
    assert_eq!(h.state().history.now().instruments.len(), count);
    assert!(to.join("pictures/xylophone-drawn.jpg").is_file(), "pictures go with it");
}

/// A copy is saved beside the frame, one at a time, and is cancelled without a trace: asked for and cancelled within one frame, so that it
/// cannot be done before.
#[test]
fn a_copy_is_cancelled_without_a_trace() {
    let (home, mut h) = on_disk(Place::Collection);
    let place = home.path().join("place");
    std::fs::create_dir(&place).expect("made here");
    for to in [place.join("copy.zip"), place.join("copy")] {
        h.state_mut().request(Intent::SaveCopy(to));
        h.state_mut().request(Intent::SaveCopy(place.join("other")));
        h.state_mut().request(Intent::Do(backrow::actions::Action::CancelWork));
        h.step();
        wait_for(&mut h, |app| app.view.under_way.is_none());
        assert_eq!(h.state().view.said, "Cancelled: no copy is saved.");
        assert_eq!(std::fs::read_dir(&place).expect("there").count(), 0, "nothing is left");
    }
}

#[test]
fn the_guide_opens_at_the_current_place() {
    let (_home, mut h) = on_disk(Place::Floor);
    h.key_press_modifiers(Modifiers::COMMAND, Key::F1);
    settle(&mut h);
    assert_eq!(h.state().shell.over(), Some(Over::Guide));
    assert!(in_view(&h, |label| label.starts_with("The venue, drawn to scale.")).is_some());
    h.key_press(Key::Escape);
    settle(&mut h);
    assert_eq!(h.state().shell.over(), None);
}

/// What was chosen for an event stays when the zone of the hours is another.
#[test]
fn what_was_matched_in_a_calendar_outlives_another_zone() {
    let (home, mut h) = on_disk(Place::Week);
    let event = |uid: &str, hour: u32| {
        format!(
            "BEGIN:VEVENT\r\nUID:{uid}\r\nDTSTART:20270412T{hour}0000Z\r\nDURATION:PT2H\r\nSUMMARY:Call {uid}\r\nEND:VEVENT\r\n"
        )
    };
    let text =
        format!("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n{}{}END:VCALENDAR\r\n", event("a", 10), event("b", 14));
    let calendar = made(home.path(), "spring.ics", text);
    h.state_mut().ask_to_open(calendar);
    settle(&mut h);
    let title = h.state().history.now().programmes().next().expect("one").1.title.clone();
    h.query_all_by_label_contains("Programme of the event: none").nth(1).expect("its programme").click();
    h.run();
    h.query_all_by_label(&title).last().expect("in the list").click();
    settle(&mut h);
    assert!(in_view(&h, |label| label == "Import 1 service").is_some(), "{}", h.state().view.said);
    h.get_by_role_and_label(egui::Role::ComboBox, "Hours in").click();
    h.run();
    h.run();
    h.event(egui::Event::Text("Helsinki".to_owned()));
    h.run();
    h.run();
    h.query_all_by_label_contains("Helsinki").last().expect("in the list").click();
    settle(&mut h);
    push(&mut h, "Import 1 service");
    let starts: Vec<String> = h.state().history.now().services().map(|one| one.start.to_string()).collect();
    assert!(starts.iter().any(|start| start.starts_with("2027-04-12T17:00")), "14:00 UTC: {starts:?}");
}

/// What was said about columns and rows stays when the letters are read in another encoding.
#[test]
fn what_was_said_of_a_table_outlives_another_encoding() {
    let (home, mut h) = on_disk(Place::Collection);
    let table =
        made(home.path(), "more.csv", "Name;Instrument;Spalte\nBig;Bass drum;Vane\nSmall;Triangle;Moss\n");
    h.state_mut().request(Intent::ImportTable(table));
    settle(&mut h);
    h.get_by_label("Import row 3").click();
    settle(&mut h);
    assert!(in_view(&h, |label| label == "Import 1 instrument").is_some());
    let choose = |h: &mut Harness<'_, App>, from: &str, to: &str| {
        h.get_by_role_and_label(egui::Role::ComboBox, from).click();
        settle(h);
        h.query_all_by_label(to).last().expect("in the list").click();
        settle(h);
    };
    choose(&mut h, "Column Spalte: left out", "owner");
    choose(&mut h, "Encoding", "Windows-1252");
    assert!(in_view(&h, |label| label == "Column Spalte: owner").is_some(), "the column");
    push(&mut h, "Import 1 instrument");
    let library = h.state().history.now();
    let of = |name: &str| library.instruments.values().find(|thing| thing.name == name);
    let lent = backrow_core::collection::Owner::Other("Vane".to_owned());
    assert_eq!(of("Big").expect("imported").owner, lent);
    assert!(of("Small").is_none(), "the row was left out");
}

/// A large score tells in the bottom line how far its reading has come; its Stop ends it, and nothing is imported.
#[test]
fn reading_a_large_score_is_told_and_can_be_stopped() {
    let (home, mut h) = on_disk(Place::Works);
    let note = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>1</duration><voice>1</voice><type>quarter</type></note>";
    let measure = |n: usize| format!("<measure number=\"{n}\">{}</measure>", note.repeat(40));
    let measures: String = (2..8_000).map(measure).collect();
    let first = format!(
        "<measure number=\"1\"><attributes><divisions>1</divisions><time><beats>40</beats><beat-type>4</beat-type></time>\
         </attributes>{}</measure>",
        note.repeat(40)
    );
    let score = format!(
        "<?xml version=\"1.0\"?><score-partwise><part-list><score-part id=\"P1\"><part-name>Xylophone</part-name></score-part>\
         </part-list><part id=\"P1\">{first}{measures}</part></score-partwise>"
    );
    let file = made(home.path(), "tide.musicxml", score);
    let works = h.state().history.now().works.len();
    h.state_mut().ask_to_open(file);
    let told = |h: &Harness<'_, App>| {
        in_view(h, |label| label.starts_with("Reading tide.musicxml: ") && label.ends_with(" %")).is_some()
    };
    h.step();
    // As long as it is read and no longer: a reading that is never told fails.
    while !told(&h) {
        h.step();
        assert!(h.state().view.under_way.is_some(), "it ended untold: {}", h.state().view.said);
    }
    h.get_by_role_and_label(egui::Role::Button, "Cancel").click();
    h.step();
    h.step();
    assert_eq!(h.state().view.said, "Cancelled: the score is not imported.");
    settle(&mut h);
    assert!(h.state().view.under_way.is_none() && h.state().history.now().works.len() == works);
}
