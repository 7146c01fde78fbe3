//! Recording a take and hearing a line, with a sound device that is none.

#[path = "window/sound_room.rs"]
mod sound_room;
mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::sound::Wish;
use backrow::view::{Over, Place, Selected};
use backrow_core::id::InstrumentId;
use backrow_core::sound::Take;
use backrow_sound::device::Fake;
use backrow_sound::model::stand_in::{Plan, stand_in};
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use sound_room::Room;
use window::{harness, wait_for};

const SHIFTED: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// The demo without takes.
fn room(place: Place) -> Room {
    sound_room::room(place, &[], |_| (), |_| ())
}

fn anvil() -> InstrumentId {
    InstrumentId::new("anvil-1").expect("an id")
}

/// Three blows on the anvil, made by its model.
fn blows(h: &Harness<'_, App>) -> Vec<f32> {
    let library = h.state().history.now();
    let (thing, kind) = (&library.instruments[&anvil()], &library.kinds[&library.instruments[&anvil()].kind]);
    let dynamics = vec![backrow_core::music::Dynamic::F; 3];
    let plan = Plan { beaters: Vec::new(), most_bars: 1, dynamics, rings_s: 1.5 };
    let (sound, strikes) = stand_in(thing, kind, &plan, 48_000).expect("an anvil has a model");
    assert_eq!(strikes.len(), 3);
    sound
}

fn takes<'a>(h: &'a Harness<'_, App>) -> Vec<&'a Take> {
    h.state().history.now().takes.values().map(|take| &**take).collect()
}

/// Clicks what is drawn a frame after the device has answered.
fn click_when_there(h: &mut Harness<'_, App>, label: &str) {
    for _ in 0..500 {
        h.step();
        if let Some(node) = h.query_by_label(label) {
            return node.click();
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("no {label} within five seconds");
}

#[test]
fn a_take_is_recorded_looked_through_and_saved() {
    let Room { folder: _folder, library, mut h, hand } = room(Place::Collection);
    h.state_mut().view.selected = Some(Selected::Instrument(anvil()));
    h.run();
    h.key_press_modifiers(SHIFTED, Key::R);
    wait_for(&mut h, |app| app.sound.now().meter.is_some());
    assert_eq!(h.state().shell.over(), Some(Over::Recording));
    h.get_by_label_contains("Very loud at arm’s length, more so in a store room");
    click_when_there(&mut h, "Record");
    wait_for(&mut h, |app| app.sound.now().recording_s.is_some());
    hand.sounds(&blows(&h));
    wait_for(&mut h, |app| app.sound.now().recording_s.is_some_and(|s| s > 3.0));
    h.get_by_label("Stop").click();
    wait_for(&mut h, |app| app.sound.now().recording_s.is_none());
    window::settle(&mut h);
    h.get_by_label("Save the take").click();
    wait_for(&mut h, |app| !app.history.now().takes.is_empty());
    let take = takes(&h)[0].clone();
    assert_eq!((take.strikes.len(), take.by_model, take.rate_hz), (3, false, 48_000));
    assert!(take.faults.is_empty() && take.when.is_some(), "{take:?}");
    assert_eq!(take.device, "Microphone of the test");
    let file = library.join("sounds/anvil-1").join(&take.file);
    let bytes = std::fs::read(&file).expect("its sound");
    assert_eq!(backrow_files::library::content_hash(&bytes), take.content);
    // The record is undone, the sound is not lost.
    h.key_press(Key::Escape);
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert!(takes(&h).is_empty() && file.exists());
    h.key_press_modifiers(SHIFTED, Key::Z);
    h.run();
    assert_eq!(takes(&h).len(), 1);
    wait_for(&mut h, |app| app.sound.now().meter.is_none());
}

#[test]
fn a_pulled_plug_is_said_and_what_was_recorded_is_kept() {
    let Room { folder: _folder, mut h, hand, .. } = room(Place::Collection);
    h.state_mut().view.selected = Some(Selected::Instrument(anvil()));
    h.run();
    h.key_press_modifiers(SHIFTED, Key::R);
    wait_for(&mut h, |app| app.sound.now().meter.is_some());
    click_when_there(&mut h, "Record");
    wait_for(&mut h, |app| app.sound.now().recording_s.is_some());
    hand.sounds(&blows(&h));
    wait_for(&mut h, |app| app.sound.now().recording_s.is_some_and(|s| s > 3.0));
    hand.fails("The microphone has gone.");
    wait_for(&mut h, |app| app.sound.now().why_not.is_some());
    window::settle(&mut h);
    assert!(
        h.query_all_by_label_contains("The microphone has gone.").count() > 1,
        "in the window and in the bottom line"
    );
    h.get_by_label("Save the take");
}

#[test]
fn a_loudspeaker_that_goes_while_it_plays_is_said_and_can_be_tried_again() {
    let Room { folder: _folder, mut h, hand, .. } = room(Place::Section);
    let library = h.state().history.now().clone();
    let programme = h.state().view.programme_in(&library).expect("the demo has one");
    let line =
        programme.lines().find(|(_, given)| !given.instruments.is_empty()).expect("it is given").0.clone();
    h.state_mut().view.turn_to_line(&library, &line);
    h.run();
    hand.plays_on();
    h.key_press_modifiers(Modifiers::COMMAND, Key::H);
    wait_for(&mut h, |app| app.sound.now().plays);
    hand.fails("This loudspeaker is no longer there. Plug it in, or choose another.");
    wait_for(&mut h, |app| app.sound.now().why_not.is_some());
    window::settle(&mut h);
    assert!(!h.state().sound.now().plays && h.state().view.has_failed());
    assert!(
        h.query_all_by_label_contains("This loudspeaker is no longer there.").count() > 1,
        "beside the candidates and in the bottom line"
    );
    assert!(h.state().sound.line().is_some(), "the line is still ready to be heard");
}

#[test]
fn recordings_are_dropped_on_the_window() {
    let Room { folder: _folder, library, mut h, .. } = room(Place::Collection);
    h.state_mut().view.selected = Some(Selected::Instrument(anvil()));
    let sound = blows(&h);
    let wav = library.with_file_name("three blows.wav");
    std::fs::write(&wav, backrow_files::sound::wav(&sound, 48_000, backrow_files::sound::Depth::Sixteen))
        .expect("written");
    let text = library.with_file_name("text.wav");
    std::fs::write(&text, "no sound").expect("written");
    let wish = Wish::Import(anvil(), vec![wav, text]);
    h.state_mut().request(backrow::intent::Intent::Sound(wish));
    wait_for(&mut h, |app| !app.history.now().takes.is_empty());
    let take = takes(&h)[0];
    assert_eq!((take.id.as_str(), take.strikes.len()), ("three-blows", 3));
    assert!(
        h.state().view.has_failed() && h.state().view.said.contains("text.wav"),
        "{}",
        h.state().view.said
    );
}

#[test]
fn a_line_is_heard_on_its_candidates() {
    let Room { folder: _folder, mut h, hand, .. } = room(Place::Section);
    let library = h.state().history.now().clone();
    let programme = h.state().view.programme_in(&library).expect("the demo has one");
    let line = programme
        .lines()
        .find(|(at, given)| {
            let kind = library.line(at).and_then(|(_, line)| line.kind.clone());
            !given.instruments.is_empty() && kind.is_some_and(|kind| kind.as_str() == "xylophone")
        })
        .map(|(at, _)| at.clone())
        .expect("the demo has a line of a xylophone");
    h.state_mut().view.turn_to_line(&library, &line);
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::H);
    // Before it begins it does not play either.
    wait_for(&mut h, |_| hand.played().iter().any(|sample| sample.abs() > 0.001));
    wait_for(&mut h, |app| !app.sound.ready().1.is_empty() && !app.sound.now().plays);
    let ready = h.state().sound.ready().1.to_vec();
    assert!(ready.len() > 1, "several xylophones stand in the demo");
    assert!(ready.iter().all(|one| one.by_model && one.words.contains("by model")), "{ready:?}");
    let heard = hand.played();
    let peak = heard.iter().fold(0.0f32, |peak, v| peak.max(v.abs()));
    assert!(peak > 0.001 && peak < 0.25, "it begins softly: {peak}");
    assert!(h.query_all_by_label_contains("no takes yet: by model").count() > 1);
    h.key_press_modifiers(SHIFTED, Key::H);
    wait_for(&mut h, |app| app.sound.chosen() == 1);
    wait_for(&mut h, |_| hand.played().len() > heard.len());
    h.get_by_label("As recorded").click();
    wait_for(&mut h, |app| app.sound.how().as_recorded);
    h.get_by_label("Close").click();
    wait_for(&mut h, |app| app.sound.line().is_none());
}

#[test]
fn a_take_in_hand_outlives_a_kill() {
    let Room { folder, library, h, .. } = room(Place::Collection);
    drop(h);
    let again = || {
        let (fake, hand) = Fake::new();
        let settings = Settings { place: Place::Collection, ..Settings::default() };
        let mut app = App::open(&library, settings, Some(folder.path().join("settings.ron")));
        app.with_device(Box::new(fake));
        (harness(app), hand)
    };
    let (mut h, hand) = again();
    h.state_mut().view.selected = Some(Selected::Instrument(anvil()));
    h.run();
    h.key_press_modifiers(SHIFTED, Key::R);
    click_when_there(&mut h, "Record");
    wait_for(&mut h, |app| app.sound.now().recording_s.is_some());
    hand.sounds(&blows(&h));
    wait_for(&mut h, |app| app.sound.now().recording_s.is_some_and(|s| s > 3.0));
    h.get_by_label("Stop").click();
    wait_for(&mut h, |app| app.sound.now().recording_s.is_none());
    window::settle(&mut h);
    h.get_by_role_and_label(egui::Role::TextInput, "Note").focus();
    h.run();
    h.event(egui::Event::Text("the new hammer".to_owned()));
    wait_for(&mut h, |app| app.shell.recording.would_be_lost() == 0);
    for _ in 0..60 {
        h.step();
    }
    // As by a kill: nothing of the program gets a turn.
    std::mem::forget((h, hand));
    let (mut h, _hand) = again();
    assert!(h.state().view.said.contains("1 draft"), "{}", h.state().view.said);
    assert_eq!(h.state().shell.unsaved(), 1);
    window::wait_until(&mut h, |h| h.query_by_label_contains("Resume the draft take of").is_some());
    h.get_by_label_contains("Resume the draft take of").click();
    window::settle(&mut h);
    assert_eq!(h.state().shell.over(), Some(Over::Recording));
    h.get_by_label("Save the take").click();
    wait_for(&mut h, |app| !app.history.now().takes.is_empty());
    let take = takes(&h)[0].clone();
    assert_eq!((take.strikes.len(), take.note.as_str()), (3, "the new hammer"));
    assert_eq!(take.device, "Microphone of the test");
    for _ in 0..60 {
        h.step();
    }
    let left = std::fs::read_dir(folder.path().join("drafts")).map_or(0, Iterator::count);
    assert_eq!((left, h.state().shell.unsaved()), (0, 0), "saved is saved");
}
