//! Takes in the hand: left and resumed, changed after they were saved, told up the keyboard; strikes beside each other on Sounds, and a
//! sound at the microphone searched for. The device is none.

#[path = "window/sound_room.rs"]
mod sound_room;
mod window;

use backrow::app::App;
use backrow::view::{Over, Place, Selected};
use backrow_core::id::InstrumentId;
use backrow_core::sound::Take;
use backrow_sound::model::stand_in::{Plan, stand_in};
use egui::{Key, Modifiers, pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use sound_room::Room;
use std::path::Path;
use window::{in_view, settle, wait_for};

const SHIFTED: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

fn room(place: Place, takes: &[&str], before: impl Fn(&Path)) -> Room {
    sound_room::room(place, takes, before, |_| ())
}

fn id(name: &str) -> InstrumentId {
    InstrumentId::new(name).expect("an id")
}

fn takes<'a>(h: &'a Harness<'_, App>) -> Vec<&'a Take> {
    h.state().history.now().takes.values().map(|take| &**take).collect()
}

fn says(h: &Harness<'_, App>, words: &str) -> bool {
    in_view(h, |label| label.contains(words)).is_some()
}

/// Waits until something with these words is there.
fn wait_to_read(h: &mut Harness<'_, App>, words: &str) {
    for _ in 0..3_000 {
        h.run();
        if says(h, words) {
            return settle(h);
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("nobody says “{words}”: {}", h.state().view.said);
}

fn click(h: &mut Harness<'_, App>, label: &str) {
    wait_to_read(h, label);
    h.query_all_by_label(label).next().unwrap_or_else(|| panic!("no {label}")).click();
    settle(h);
}

fn record_window(h: &mut Harness<'_, App>, of: &str) {
    h.state_mut().view.selected = Some(Selected::Instrument(id(of)));
    h.run();
    h.key_press_modifiers(SHIFTED, Key::R);
    wait_for(h, |app| app.sound.now().meter.is_some());
    assert_eq!(h.state().shell.over(), Some(Over::Recording));
}

fn blows(h: &Harness<'_, App>) -> Vec<f32> {
    let library = h.state().history.now();
    let thing = &library.instruments[&id("anvil-1")];
    let dynamics = vec![backrow_core::music::Dynamic::F; 3];
    let plan = Plan { beaters: Vec::new(), most_bars: 1, dynamics, rings_s: 1.5 };
    stand_in(thing, &library.kinds[&thing.kind], &plan, 48_000).expect("an anvil has a model").0
}

/// Records three blows on the anvil; the take is in hand afterwards.
fn three_blows(room: &mut Room) {
    let Room { h, hand, .. } = room;
    record_window(h, "anvil-1");
    click(h, "Record");
    wait_for(h, |app| app.sound.now().recording_s.is_some());
    hand.sounds(&blows(h));
    wait_for(h, |app| app.sound.now().recording_s.is_some_and(|s| s > 3.0));
    click(h, "Stop");
    wait_for(h, |app| app.sound.now().recording_s.is_none());
    wait_to_read(h, "3 strikes found");
}

#[test]
fn a_take_that_is_left_is_a_draft_and_can_be_resumed() {
    let mut room = room(Place::Collection, &[], |_| {});
    three_blows(&mut room);
    let h = &mut room.h;
    assert_eq!(h.state().shell.unsaved(), 1, "a recording is not in the library");
    h.key_press(Key::Escape);
    settle(h);
    assert_eq!((h.state().shell.over(), h.state().shell.unsaved()), (Some(Over::Recording), 1));
    assert!(h.state().view.said.contains("Saved as a draft"), "{}", h.state().view.said);
    h.key_press(Key::Escape);
    settle(h);
    assert_eq!((h.state().shell.over(), h.state().shell.unsaved()), (None, 1), "closing throws nothing away");
    record_window(h, "anvil-1");
    wait_to_read(h, "Draft, not saved: take of");
    h.get_by_label_contains("Resume the draft take of").click();
    settle(h);
    click(h, "Save the take");
    wait_for(h, |app| !app.history.now().takes.is_empty());
    assert_eq!((takes(h)[0].strikes.len(), h.state().shell.unsaved()), (3, 0));
}

#[test]
fn closing_while_it_records_loses_nothing() {
    let mut room = room(Place::Collection, &[], |_| {});
    let Room { h, hand, .. } = &mut room;
    record_window(h, "anvil-1");
    click(h, "Record");
    wait_for(h, |app| app.sound.now().recording_s.is_some());
    hand.sounds(&blows(h));
    wait_for(h, |app| app.sound.now().recording_s.is_some_and(|s| s > 3.0));
    h.key_press(Key::Escape);
    wait_for(h, |app| app.sound.now().meter.is_none());
    settle(h);
    assert_eq!((h.state().shell.over(), h.state().shell.unsaved()), (None, 1));
}

/// The bars of a record are taken out of its file.
fn without_bars(record: &Path) {
    let text = std::fs::read_to_string(record).expect("a record");
    let mut pieces = text.split("bar: \"");
    let mut out = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        out.push_str(piece.split_once(',').expect("a comma behind the bar").1);
    }
    std::fs::write(record, out).expect("written");
}

#[test]
fn strikes_of_a_saved_take_are_told_by_pitch_dropped_and_undone() {
    let original = {
        let room = room(Place::Collection, &["marimba-1"], |_| {});
        takes(&room.h)[0].clone()
    };
    let mut room = room(Place::Collection, &["marimba-1"], |library| {
        without_bars(&library.join("sounds/marimba-1/by-model.ron"));
    });
    let h = &mut room.h;
    assert!(takes(h)[0].strikes.iter().all(|strike| strike.bar.is_none()));
    record_window(h, "marimba-1");
    click(h, "Change the strikes");
    wait_to_read(h, "strikes found");
    click(h, "Up the keyboard");
    wait_to_read(h, "Not struck:");
    click(h, "Save the strikes");
    let bars = |take: &Take| take.strikes.iter().map(|strike| strike.bar).collect::<Vec<_>>();
    assert_eq!(bars(takes(h)[0]), bars(&original), "{}", h.state().view.said);
    click(h, "Change the strikes");
    wait_to_read(h, "strikes found");
    // Each change is a step of the window's own.
    for (key, words) in [(Key::Delete, "8 strikes found"), (Key::S, "9 strikes found")] {
        h.key_press(key);
        settle(h);
        wait_to_read(h, words);
    }
    for words in ["8 strikes found", "9 strikes found"] {
        h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        settle(h);
        wait_to_read(h, words);
    }
    assert_eq!(takes(h)[0].strikes.len(), 9, "the library is not touched from here");
    h.key_press(Key::Plus);
    settle(h);
    wait_to_read(h, ", seen from ");
    h.key_press(Key::Minus);
    settle(h);
    assert!(!says(h, ", seen from "));
    click(h, "Drop");
    // Left with something changed, it is a draft.
    h.key_press(Key::Escape);
    settle(h);
    assert!(says(h, "Draft, not saved: strikes of by-model of"));
    h.get_by_label_contains("Resume the draft strikes of").click();
    settle(h);
    click(h, "Save the strikes");
    assert_eq!(takes(h)[0].strikes.len(), original.strikes.len() - 1);
    h.key_press(Key::Escape);
    settle(h);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(h);
    assert_eq!(takes(h)[0].strikes.len(), original.strikes.len());
}

#[test]
fn strikes_lie_over_each_other_as_waves_and_spectrograms() {
    let Room { folder: _folder, mut h, hand, .. } = room(Place::Sounds, &["anvil-1", "marimba-1"], |_| {});
    wait_to_read(&mut h, "Map of");
    h.key_press(Key::ArrowRight);
    settle(&mut h);
    // The map has the keys once it was clicked or stepped through.
    wait_for(&mut h, |_| !hand.played().is_empty());
    for (button, words) in
        [("Wave", "Waves of 1 strike over"), ("Spectrogram", "Spectrograms of 1 strike over")]
    {
        click(&mut h, button);
        wait_to_read(&mut h, words);
    }
    h.run();
    assert!(!h.ctx.has_requested_repaint(), "an idle picture asks for no more frames");
}

#[test]
fn strikes_are_laid_over_each_other_by_keyboard() {
    let Room { folder: _folder, mut h, .. } = room(Place::Sounds, &["anvil-1", "marimba-1"], |_| {});
    wait_to_read(&mut h, "Map of");
    wait_for(&mut h, |app| !app.sound.is_working());
    h.key_press(Key::ArrowRight);
    settle(&mut h);
    click(&mut h, "Wave");
    wait_to_read(&mut h, "Waves of 1 strike over");
    h.key_press(Key::Space);
    let step = |h: &mut Harness<'_, App>, modifiers: Modifiers, words: &str| {
        for key in [Key::ArrowRight, Key::ArrowLeft, Key::ArrowUp, Key::ArrowDown] {
            h.key_press_modifiers(modifiers, key);
            settle(h);
            if says(h, words) {
                break;
            }
        }
        wait_to_read(h, words);
    };
    step(&mut h, Modifiers::NONE, "Waves of 2 strikes over");
    step(&mut h, Modifiers::SHIFT, "Waves of 3 strikes over");
    h.key_press(Key::Escape);
    settle(&mut h);
    assert!(!says(&h, "Waves of"));
}

#[test]
fn a_sound_made_at_the_microphone_is_searched_for() {
    let Room { folder: _folder, mut h, hand, .. } =
        room(Place::Sounds, &["anvil-1", "marimba-1", "tam-tam-1", "snare-drum-1"], |_| {});
    wait_to_read(&mut h, "Map of");
    click(&mut h, "Like a sound …");
    click(&mut h, "Make it now");
    wait_for(&mut h, |app| app.sound.now().recording_s.is_some());
    hand.sounds(&blows(&h));
    wait_for(&mut h, |app| app.sound.now().recording_s.is_some_and(|s| s > 3.0));
    click(&mut h, "That was it");
    wait_to_read(&mut h, "Like the sound just made, but");
    let first = in_view(&h, |label| label.starts_with("Anvil 1") && label.contains(':'));
    assert!(first.is_some(), "what was struck is among the answers");
    wait_for(&mut h, |app| app.sound.now().meter.is_none());
    assert_eq!(h.state().shell.unsaved(), 0, "it is no take");
    h.key_press(Key::Escape);
    settle(&mut h);
    assert!(!says(&h, "Like the sound just made"));
}

#[test]
fn a_sound_in_a_file_is_searched_for() {
    let Room { folder: _folder, library, mut h, .. } = room(Place::Sounds, &["anvil-1", "marimba-1"], |_| {});
    wait_to_read(&mut h, "Map of");
    let wav = library.with_file_name("blow.wav");
    let bytes = backrow_files::sound::wav(&blows(&h), 48_000, backrow_files::sound::Depth::Sixteen);
    std::fs::write(&wav, bytes).expect("written");
    click(&mut h, "Like a sound …");
    let field = || egui::Role::TextInput;
    h.get_by_role_and_label(field(), "or a file").focus();
    h.run();
    h.get_by_role_and_label(field(), "or a file").type_text(&wav.to_string_lossy());
    settle(&mut h);
    click(&mut h, "Search for it");
    wait_to_read(&mut h, "Like blow.wav, but");
}

#[test]
fn what_the_pointer_rests_on_plays_softly_where_that_is_wished() {
    let Room { folder: _folder, mut h, hand, .. } = room(Place::Sounds, &["anvil-1", "marimba-1"], |_| {});
    wait_to_read(&mut h, "Map of");
    let map = h.get_by_label_contains("Map of").rect();
    let places: Vec<_> = (1..24)
        .flat_map(|row| (1..50).map(move |column| (row, column)))
        .map(|(row, column)| {
            pos2(
                map.left() + map.width() * column as f32 / 50.0,
                map.top() + map.height() * row as f32 / 24.0,
            )
        })
        .collect();
    let rest = |h: &mut Harness<'_, App>| {
        for place in &places {
            h.hover_at(*place);
            for _ in 0..4 {
                h.step();
            }
            if !hand.played().is_empty() {
                return true;
            }
        }
        false
    };
    assert!(!rest(&mut h), "without being wished nothing plays");
    click(&mut h, "Play under the pointer");
    let played = rest(&mut h);
    if !played {
        wait_for(&mut h, |_| !hand.played().is_empty());
    }
}

#[test]
fn the_loudspeaker_is_chosen() {
    let Room { folder: _folder, mut h, hand, .. } = room(Place::Section, &[], |_| {});
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
    wait_for(&mut h, |_| hand.played().iter().any(|sample| sample.abs() > 0.001));
    wait_for(&mut h, |app| !app.sound.now().plays);
    h.get_by_role_and_label(egui::Role::ComboBox, "Loudspeaker").click();
    wait_for(&mut h, |app| !app.sound.now().ports.is_empty());
    settle(&mut h);
    click(&mut h, "Loudspeaker of the test");
    assert_eq!(h.state().sound.on(), Some("speaker"));
}

#[test]
fn sounds_whose_take_is_gone_are_listed_and_brought_back() {
    let Room { folder: _folder, mut h, .. } = room(Place::Sounds, &["anvil-1", "marimba-1"], |library| {
        std::fs::remove_file(library.join("sounds/anvil-1/by-model.ron")).expect("removed");
    });
    click(&mut h, "Without a take: 1");
    click(&mut h, "Bring back");
    wait_for(&mut h, |app| app.history.now().takes.len() == 2);
    settle(&mut h);
    let take = takes(&h).into_iter().find(|take| take.instrument == id("anvil-1")).expect("brought back");
    assert_eq!((take.file.as_str(), take.by_model), ("by-model.flac", true));
    assert!(!take.strikes.is_empty() && !says(&h, "Without a take"));
}

#[test]
fn a_take_that_cannot_be_written_is_a_draft_again() {
    let mut room = room(Place::Collection, &[], |library| {
        // Nobody can make a folder where a file lies.
        std::fs::remove_dir_all(library.join("sounds")).expect("removed");
        std::fs::write(library.join("sounds"), "in the way").expect("written");
    });
    three_blows(&mut room);
    let h = &mut room.h;
    click(h, "Save the take");
    wait_to_read(h, "Draft, not saved: take of");
    assert!(h.state().view.has_failed(), "{}", h.state().view.said);
    assert_eq!((takes(h).len(), h.state().shell.unsaved()), (0, 1));
}

/// One strike of two partials, two octaves apart and about as strong.
fn two_octaves() -> Vec<f32> {
    let one = |at: f64, hz: f64| (-1000_f64.ln() * at / 1.2).exp() * (std::f64::consts::TAU * hz * at).sin();
    (0..120_000_u32)
        .map(|at| {
            let at = f64::from(at) / 48_000.0 - 0.5;
            let hz = 442.0 * (3.0_f64 / 12.0).exp2();
            let value = if at < 0.0 { 0.0 } else { 0.2 * one(at, hz) + 0.18 * one(at, 4.0 * hz) };
            #[expect(clippy::cast_possible_truncation, reason = "samples")]
            let sample = value as f32;
            sample
        })
        .collect()
}

#[test]
fn an_octave_in_doubt_is_asked() {
    let Room { folder: _folder, library, mut h, .. } = room(Place::Collection, &[], |_| {});
    let wav = library.with_file_name("doubt.wav");
    let bytes = backrow_files::sound::wav(&two_octaves(), 48_000, backrow_files::sound::Depth::Sixteen);
    std::fs::write(&wav, bytes).expect("written");
    let wish = backrow::sound::Wish::Import(id("marimba-1"), vec![wav]);
    h.state_mut().request(backrow::intent::Intent::Sound(wish));
    wait_for(&mut h, |app| !app.history.now().takes.is_empty());
    record_window(&mut h, "marimba-1");
    click(&mut h, "Change the strikes");
    wait_to_read(&mut h, "1 strike found");
    click(&mut h, "Up the keyboard");
    wait_to_read(&mut h, "Strike 1 may be C5 or C7.");
    click(&mut h, "It is C7");
    assert!(!says(&h, "Strike 1 may be"), "an answer is not asked again");
    click(&mut h, "Save the strikes");
    let bar = takes(&h)[0].strikes[0].bar.expect("its bar");
    assert_eq!(bar.to_string(), "C7");
}

#[test]
fn without_sound_every_press_says_so() {
    let Room { folder: _folder, mut h, hand, .. } = room(Place::Sounds, &["anvil-1", "marimba-1"], |_| {});
    wait_to_read(&mut h, "Map of");
    hand.fails("There is no sound server on this machine.");
    for time in 0..2 {
        h.state_mut().view.said.clear();
        let before = h.state().sound.now().failures;
        h.key_press(if time == 0 { Key::ArrowRight } else { Key::Enter });
        wait_for(&mut h, |app| app.sound.now().failures > before);
        settle(&mut h);
        assert_eq!(h.state().view.said, "There is no sound server on this machine.");
        assert!(h.state().view.has_failed());
    }
}

/// The demo's line that is played on an instrument of this kind.
fn line_of(h: &Harness<'_, App>, kind: &str) -> backrow_core::week::LineRef {
    let library = h.state().history.now();
    let programme = h.state().view.programme_in(library).expect("the demo has one");
    let is = |at: &backrow_core::week::LineRef| {
        library.line(at).is_some_and(|(_, line)| line.kind.as_ref().is_some_and(|one| one.as_str() == kind))
    };
    let mut all = programme.lines().filter(|(at, given)| is(at) && !given.instruments.is_empty());
    all.next().map(|(at, _)| at.clone()).expect("the demo has such a line")
}

#[test]
fn strikes_that_nobody_has_told_the_bar_of_are_no_recorded_bars() {
    let Room { folder: _folder, mut h, .. } =
        room(Place::Section, &["xylophone-1", "xylophone-2"], |library| {
            for name in ["xylophone-1", "xylophone-2"] {
                let record = library.join("sounds").join(name).join("by-model.ron");
                if record.exists() {
                    without_bars(&record);
                }
            }
        });
    assert!(!takes(&h).is_empty(), "a xylophone has a take in the demo");
    let at = line_of(&h, "xylophone");
    h.state_mut().request(backrow::intent::Intent::Sound(backrow::sound::Wish::Line(at)));
    wait_for(&mut h, |app| !app.sound.ready().1.is_empty());
    let words: Vec<String> = h.state().sound.ready().1.iter().map(|one| one.words.clone()).collect();
    assert!(words.iter().any(|words| words.contains("have no bar yet (Up the keyboard)")), "{words:?}");
    assert!(!words.iter().any(|words| words.contains("recorded")), "{words:?}");
}

#[test]
fn answers_keep_to_the_filters_and_what_is_being_measured_is_recorded() {
    let Room { folder: _folder, mut h, .. } =
        room(Place::Sounds, &["anvil-1", "marimba-1", "tam-tam-1", "snare-drum-1"], |_| {});
    wait_to_read(&mut h, "Map of");
    h.get_by_label("Sound in words").focus();
    h.run();
    h.get_by_label("Sound in words").type_text("metal");
    settle(&mut h);
    assert!(says(&h, "Anvil 1"));
    click(&mut h, "Recorded only");
    wait_to_read(&mut h, "Nothing that was recorded answers this within the filters.");
}
