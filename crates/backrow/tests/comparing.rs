//! A trial with takes, by keyboard: hidden names, an order by chance, no figure before the end, the next listener, the way to a decision.

mod window;

use backrow::app::App;
use backrow::intent::{Intent, Remember};
use backrow::settings::Settings;
use backrow::view::{Over, Place};
use backrow_core::edit::Edit;
use backrow_core::id::{InstrumentId, TrialId, WorkId};
use backrow_core::recall;
use backrow_core::sound::Take;
use backrow_core::trial::{Candidate, How, Trial};
use backrow_sound::device::{Fake, FakeHand};
use egui::{Key, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use window::{harness, in_view, settle, wait_for};

struct Room {
    folder: tempfile::TempDir,
    h: Harness<'static, App>,
    hand: FakeHand,
    work: WorkId,
}

/// The demo with a trial of these instruments, each heard by the first strike of its first take; the device is none.
fn room(how: How, rounds: u32, instruments: [&str; 2]) -> Room {
    let folder = tempfile::tempdir().expect("made here");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    let (fake, hand) = Fake::new();
    let mut app = App::open(&library, Settings::default(), Some(folder.path().join("settings.ron")));
    app.with_device(Box::new(fake));
    let mut h = harness(app);
    let now = h.state().history.now().clone();
    let work = now.works.values().find(|work| !work.lines.is_empty()).expect("the demo has lines");
    let of = |id: &str| {
        let id = InstrumentId::new(id).expect("an id");
        let strike = now.takes_of(&id).flat_map(Take::keyed).next().map(|(key, _)| (key.take, key.number));
        Candidate { instruments: vec![id], strike, ..Candidate::default() }
    };
    let trial = Trial {
        id: TrialId::new("t").expect("an id"),
        about: recall::about(&now, &work.lines[0]),
        when: jiff::civil::date(2027, 10, 1),
        question: String::new(),
        candidates: instruments.map(of).to_vec(),
        how,
        rounds,
        blind: true,
        seed: 5,
        listeners: Vec::new(),
        verdict: String::new(),
        conductor: String::new(),
    };
    let app = h.state_mut();
    let work = work.id.clone();
    app.history.make(&Edit::PutTrial { work: work.clone(), trial }).expect("made here");
    app.request(Intent::Remember(Remember::Listen(work.clone(), TrialId::new("t").expect("an id"))));
    h.run();
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Comparing), "{}", h.state().view.said);
    Room { folder, h, hand, work }
}

/// As [`room`], and somebody has begun to listen.
fn open(how: How, rounds: u32) -> Room {
    let mut room = room(how, rounds, ["anvil-1", "marimba-1"]);
    let h = &mut room.h;
    h.get_by_role_and_label(Role::TextInput, "Who listens").focus();
    h.run();
    h.get_by_role_and_label(Role::TextInput, "Who listens").type_text("A. Lind");
    h.run();
    h.get_by_label("Begin").click();
    h.run();
    room
}

/// Answers of the one who listens.
fn answered(room: &Room) -> Option<usize> {
    let memory = &room.h.state().history.now().works[&room.work].memory;
    let trial = memory.trial(&TrialId::new("t").expect("an id")).expect("it is there");
    trial.listeners.first().map(|one| one.answers.len())
}

/// Plays what a key stands for, and waits until it sounds.
fn hear(h: &mut Harness<'_, App>, key: Key) {
    let before = h.state().sound.now().begun;
    h.key_press(key);
    wait_for(h, |app| app.sound.now().begun > before);
    settle(h);
}

#[test]
fn two_by_two_with_hidden_names() {
    let mut room = open(How::Pairs, 2);
    for so_far in 0..2 {
        assert_eq!(answered(&room), Some(so_far));
        let named = in_view(&room.h, |words| words.contains("first: ") || words.contains("Decide on"));
        assert!(named.is_none(), "names are hidden");
        room.h.key_press(Key::ArrowLeft);
        room.h.run();
        assert_eq!(answered(&room), Some(so_far), "heard first");
        hear(&mut room.h, Key::Num1);
        hear(&mut room.h, Key::Num2);
        room.h.key_press(Key::ArrowLeft);
        room.h.run();
    }
    assert_eq!(answered(&room), Some(2));
    let h = &mut room.h;
    h.get_by_label("Show what came of it").click();
    h.run();
    h.run();
    assert!(in_view(h, |words| words.starts_with("Decide on")).is_some(), "names are told at the end");
    assert!(in_view(h, |words| words.starts_with("All candidates were played by a model")).is_some());
}

#[test]
fn no_figure_before_the_last_answer() {
    let Room { mut h, folder: _folder, .. } = open(How::Abx, 5);
    for _ in 0..5 {
        assert!(in_view(&h, |words| words.contains(" right")).is_none());
        for key in [Key::Num1, Key::Num2, Key::Num3] {
            hear(&mut h, key);
        }
        h.key_press(Key::ArrowRight);
        h.run();
    }
    h.get_by_label("Show what came of it").click();
    h.run();
    h.run();
    assert!(in_view(&h, |words| words.contains(" of 5 right")).is_some());
}

#[test]
fn what_did_not_sound_cannot_be_answered() {
    let mut room = open(How::Pairs, 2);
    room.hand.fails("There is no sound server.");
    for key in [Key::Num1, Key::Num2] {
        let before = room.h.state().sound.now().failures;
        room.h.key_press(key);
        wait_for(&mut room.h, |app| app.sound.now().failures > before);
        settle(&mut room.h);
        assert!(room.h.state().view.has_failed(), "{}", room.h.state().view.said);
    }
    room.h.key_press(Key::ArrowLeft);
    room.h.run();
    assert_eq!(answered(&room), Some(0), "nothing was heard");
}

#[test]
fn a_candidate_that_was_not_recorded_keeps_a_trial_from_beginning() {
    let bare = {
        let room = room(How::Pairs, 2, ["anvil-1", "marimba-1"]);
        let now = room.h.state().history.now();
        let bare = now.instruments.values().find(|thing| now.takes_of(&thing.id).next().is_none());
        bare.expect("not everything was recorded").clone()
    };
    let Room { h, folder: _folder, .. } = room(How::Pairs, 2, ["anvil-1", bare.id.as_str()]);
    let said = in_view(&h, |words| words.starts_with("Not recorded: ") && words.contains(&bare.name));
    assert!(said.is_some() && h.query_by_label("Begin").is_none());
}

#[test]
fn sounds_says_what_to_do_first() {
    let settings = Settings { place: Place::Sounds, ..Settings::default() };
    let h = harness(App::on_library(backrow::sample::small(), settings));
    assert!(in_view(&h, |words| words.starts_with("No instrument has been recorded yet")).is_some());
}

fn grade(h: &Harness<'_, App>) -> Option<f64> {
    let slider = h.get_by_role_and_label(Role::Slider, "Grade 1");
    egui_kittest::kittest::NodeT::accesskit_node(&slider).numeric_value()
}

#[test]
fn grades_that_are_not_handed_in_outlive_the_trial_and_the_program() {
    let Room { folder, mut h, .. } = open(How::Graded, 1);
    h.get_by_role_and_label(Role::Slider, "Grade 1").focus();
    h.run();
    for _ in 0..3 {
        h.key_press(Key::ArrowRight);
        h.run();
    }
    assert_eq!(grade(&h), Some(53.0));
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(h.state().shell.over(), None);
    assert!(h.state().view.said.contains("draft"), "{}", h.state().view.said);
    h.state_mut().request(Intent::Go(Place::Sounds));
    for _ in 0..60 {
        h.step();
    }
    // As by a kill: nothing of the program gets a turn.
    std::mem::forget(h);
    let library = folder.path().join("library");
    let settings = Settings { place: Place::Sounds, ..Settings::default() };
    let mut h = harness(App::open(&library, settings, Some(folder.path().join("settings.ron"))));
    assert!(h.state().view.said.contains("1 draft"), "{}", h.state().view.said);
    h.query_all_by_label_contains("Resume the draft grades of").next().expect("the way back").click();
    h.run();
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::Comparing));
    assert_eq!(grade(&h), Some(53.0));
}

#[test]
fn what_was_heard_stays_when_the_trial_is_changed() {
    let mut room = open(How::Pairs, 2);
    hear(&mut room.h, Key::Num1);
    hear(&mut room.h, Key::Num2);
    room.h.key_press(Key::ArrowLeft);
    room.h.run();
    assert_eq!(answered(&room), Some(1));
    let (work, id) = (room.work.clone(), TrialId::new("t").expect("an id"));
    let candidates = |room: &Room| {
        let memory = &room.h.state().history.now().works[&room.work].memory;
        let trial = memory.trial(&TrialId::new("t").expect("an id")).expect("it is there");
        // Saving writes their names beside them.
        let unnamed = |one: &Candidate| Candidate { name: String::new(), ..one.clone() };
        trial.candidates.iter().map(unnamed).collect::<Vec<_>>()
    };
    let before = candidates(&room);
    for _ in 0..2 {
        room.h.key_press(Key::Escape);
        room.h.run();
    }
    room.h.state_mut().request(Intent::Remember(Remember::GoOn(work, id)));
    room.h.run();
    room.h.run();
    let h = &mut room.h;
    for words in ["Remove Candidate A", "Add a candidate", "Candidate A: on", "Candidate B: heard by"] {
        assert!(h.get_by_label(words).accesskit_node().is_disabled(), "{words}");
    }
    h.get_by_label("Save").click();
    h.run();
    h.run();
    assert_eq!(candidates(&room), before);
    assert_eq!(answered(&room), Some(1));
}

#[test]
fn who_listened_on_stage_is_not_lost_to_another_way_of_comparing() {
    let mut room = open(How::Pairs, 2);
    let h = &mut room.h;
    let work = room.work.clone();
    let now = h.state().history.now().clone();
    let at = backrow_core::week::LineRef { work: work.clone(), line: now.works[&work].lines[0].id.clone() };
    h.key_press(Key::Escape);
    h.run();
    h.key_press(Key::Escape);
    h.run();
    h.state_mut().request(Intent::Remember(Remember::Try(at)));
    h.run();
    h.run();
    h.get_by_label("Listener 1: name").focus();
    h.run();
    h.get_by_label("Listener 1: name").type_text("B. Holm");
    h.run();
    for words in [How::Pairs.label(), How::Graded.label()] {
        assert!(h.get_by_label(words).accesskit_node().is_disabled(), "{words}");
    }
    h.get_by_label("Remove Listener 1").click();
    h.run();
    h.run();
    assert!(!h.get_by_label(How::Pairs.label()).accesskit_node().is_disabled());
}
