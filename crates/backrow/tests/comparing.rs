//! A trial with takes, by keyboard: hidden names, an order by chance, no figure before the end, the next listener, the way to a decision.

mod window;

use backrow::app::App;
use backrow::intent::{Intent, Remember};
use backrow::sample;
use backrow::settings::Settings;
use backrow::view::{Over, Place};
use backrow_core::edit::Edit;
use backrow_core::id::{InstrumentId, LineId, TrialId, WorkId};
use backrow_core::recall;
use backrow_core::trial::{Candidate, How, Trial};
use backrow_core::week::LineRef;
use egui::{Key, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use window::{harness, in_view};

fn at() -> LineRef {
    LineRef { work: WorkId::new("lanterns").expect("an id"), line: LineId::new("xylophone").expect("an id") }
}

fn open(how: How, rounds: u32) -> Harness<'static, App> {
    let mut h = harness(App::on_library(sample::small(), Settings::default()));
    let now = h.state().history.now().clone();
    let of = |id: &str| Candidate {
        instruments: vec![InstrumentId::new(id).expect("an id")],
        ..Candidate::default()
    };
    let trial = Trial {
        id: TrialId::new("t").expect("an id"),
        about: recall::about(&now, now.line(&at()).expect("a line").1),
        when: jiff::civil::date(2027, 10, 1),
        question: String::new(),
        candidates: vec![of("xylophone-1"), of("marimba-1")],
        how,
        rounds,
        blind: true,
        seed: 5,
        listeners: Vec::new(),
        verdict: String::new(),
        conductor: String::new(),
    };
    let app = h.state_mut();
    app.history.make(&Edit::PutTrial { work: at().work, trial }).expect("made here");
    app.request(Intent::Remember(Remember::Listen(at().work, TrialId::new("t").expect("an id"))));
    h.run();
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Comparing), "{}", h.state().view.said);
    h.get_by_role_and_label(Role::TextInput, "Who listens").focus();
    h.run();
    h.get_by_role_and_label(Role::TextInput, "Who listens").type_text("A. Lind");
    h.run();
    h.get_by_label("Begin").click();
    h.run();
    h
}

fn trial(h: &Harness<'_, App>) -> Trial {
    h.state().history.now().works[&at().work].memory.trials.first().cloned().expect("it is there")
}

#[test]
fn two_by_two_with_hidden_names() {
    let mut h = open(How::Pairs, 2);
    for answered in 0..2 {
        assert_eq!(trial(&h).listeners.first().map(|one| one.answers.len()), Some(answered));
        let named = in_view(&h, |words| words.contains("first: ") || words.contains("Decide on"));
        assert!(named.is_none(), "names are hidden");
        h.key_press(Key::ArrowLeft);
        h.run();
        assert_eq!(trial(&h).listeners.first().map(|one| one.answers.len()), Some(answered), "heard first");
        for key in [Key::Num1, Key::Num2, Key::ArrowLeft] {
            h.key_press(key);
            h.run();
        }
    }
    assert_eq!(trial(&h).listeners.first().map(|one| one.answers.len()), Some(2));
    h.get_by_label("Show what came of it").click();
    h.run();
    h.run();
    assert!(in_view(&h, |words| words.starts_with("Decide on")).is_some(), "names are told at the end");
}

#[test]
fn no_figure_before_the_last_answer() {
    let mut h = open(How::Abx, 5);
    for _ in 0..5 {
        assert!(in_view(&h, |words| words.contains(" right")).is_none());
        for key in [Key::Num1, Key::Num2, Key::Num3, Key::ArrowRight] {
            h.key_press(key);
            h.run();
        }
    }
    h.get_by_label("Show what came of it").click();
    h.run();
    h.run();
    assert!(in_view(&h, |words| words.contains(" of 5 right")).is_some());
}

#[test]
fn sounds_says_what_to_do_first() {
    let settings = Settings { place: Place::Sounds, ..Settings::default() };
    let h = harness(App::on_library(sample::small(), settings));
    assert!(in_view(&h, |words| words.starts_with("No instrument has been recorded yet")).is_some());
}
