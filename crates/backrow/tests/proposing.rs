//! Instruments and beaters proposed for every line, by accessible labels: row by row, whole, with the next best, and undone.

mod window;

use backrow::app::App;
use backrow::sample;
use backrow::settings::Settings;
use backrow::view::{Over, Place};
use backrow_core::edit::Edit;
use backrow_core::id::{InstrumentId, LineId, WorkId};
use backrow_core::week::{Assignment, LineRef};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use window::harness;

fn open() -> Harness<'static, App> {
    let mut h = harness(App::on_library(sample::small(), Settings::default()));
    h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::P);
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Proposing), "{}", h.state().view.said);
    h
}

fn given(h: &Harness<'_, App>, line: &str) -> Assignment {
    let at =
        LineRef { work: WorkId::new("lanterns").expect("an id"), line: LineId::new(line).expect("an id") };
    let app = h.state();
    app.view.programme_in(app.history.now()).expect("a programme").assignment(&at)
}

fn on(h: &Harness<'_, App>, line: &str) -> Vec<String> {
    given(h, line).instruments.iter().map(ToString::to_string).collect()
}

#[test]
fn all_ticked_rows_are_one_step() {
    let mut h = open();
    h.get_by_label("Accept 5 ticked rows").click();
    h.run();
    assert_eq!(on(&h, "xylophone"), ["xylophone-1"]);
    assert_eq!(given(&h, "xylophone").beaters.len(), 1, "hard rubber, which is kept for it");
    assert_eq!(on(&h, "triangle"), ["triangle-1"]);
    assert_eq!(on(&h, "bass-drum"), ["bass-drum-1"]);
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(h.state().shell.over(), None);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert_eq!(on(&h, "xylophone"), Vec::<String>::new());
    assert_eq!(on(&h, "bass-drum"), Vec::<String>::new());
}

#[test]
fn one_row_is_taken_and_what_was_chosen_stays() {
    let mut h = open();
    h.get_by_label("Accept Marimba").click();
    h.run();
    assert_eq!(on(&h, "marimba"), ["marimba-1"]);
    assert_eq!(on(&h, "triangle"), Vec::<String>::new());
    assert_eq!(h.state().shell.over(), Some(Over::Proposing), "it goes on with what is left");
}

#[test]
fn the_next_best_is_taken_instead() {
    let mut h = open();
    let id = InstrumentId::new("marimba-1").expect("an id");
    let mut second = (*h.state().history.now().instruments[&id]).clone();
    second.id = InstrumentId::new("marimba-2").expect("an id");
    "Marimba 2".clone_into(&mut second.name);
    h.state_mut().history.make(&Edit::PutInstrument(second)).expect("made here");
    h.run();
    h.get_by_label("Use Marimba 2 instead").click();
    h.run();
    h.get_by_label("Accept Marimba").click();
    h.run();
    assert_eq!(on(&h, "marimba"), ["marimba-2"]);
}

#[test]
fn a_row_that_is_not_ticked_is_left_out() {
    let mut h = open();
    h.get_by_label("Tick Triangle").click();
    h.run();
    h.key_press(Key::Tab);
    h.get_by_label("Accept 4 ticked rows").click();
    h.run();
    assert_eq!(on(&h, "triangle"), Vec::<String>::new());
    assert_eq!(on(&h, "marimba"), ["marimba-1"]);
}

#[test]
fn findings_and_panel_lead_there() {
    let settings = Settings { place: Place::Compass, ..Settings::default() };
    let mut h = harness(App::on_library(sample::small(), settings));
    // Findings are worked out beside the frame.
    let leads = "Propose instruments and beaters …";
    for _ in 0..3_000 {
        h.run();
        if h.query_by_label(leads).is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    h.get_by_label(leads).click();
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Proposing));
    h.key_press(Key::Escape);
    h.run();
    h.state_mut().view.place = Place::Section;
    h.run();
    h.get_by_label("Instruments …").click();
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Proposing));
}

#[test]
fn compass_lists_what_a_line_without_pitch_asks_for() {
    let mut h = harness(App::on_library(sample::small(), Settings::default()));
    h.state_mut().view.line = Some(LineRef {
        work: WorkId::new("lanterns").expect("an id"),
        line: LineId::new("bass-drum").expect("an id"),
    });
    h.state_mut().view.place = Place::Compass;
    h.run();
    assert!(h.query_by_label("Bass drum 1, what the line asks for").is_some());
    assert!(h.query_by_label("Marimba 1").is_none(), "bars say nothing to it");
}
