//! Everything that can lie over the places, opened as a user would.

#![allow(dead_code, reason = "each test file uses some of it")]

use crate::window::harness;
use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::{Over, Place, Selected};
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::week::LineRef;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use std::path::{Path, PathBuf};

/// The demo in that place with a line that has a player and an instrument that stands, both selected in turn.
pub(crate) struct Room {
    pub(crate) folder: tempfile::TempDir,
    pub(crate) library: PathBuf,
    pub(crate) h: Harness<'static, App>,
}

pub(crate) fn room(place: Place) -> Room {
    room_with(place, |_| Vec::new())
}

/// The same on a library that was changed before.
pub(crate) fn room_with(place: Place, changes: impl FnOnce(&Library) -> Vec<Edit>) -> Room {
    let folder = tempfile::tempdir().expect("made here");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    let mut app = App::open(&library, Settings { place, ..Settings::default() }, None);
    for edit in changes(&app.history.now().clone()) {
        app.history.make(&edit).expect("made here");
    }
    let mut h = harness(app);
    let app = h.state_mut();
    let now = app.history.now().clone();
    let programme = app.view.programme_in(&now).expect("made here");
    let given = programme.lines().find(|(_, given)| given.player.is_some() && !given.locked);
    let at: LineRef = given.expect("made here").0.clone();
    app.view.turn_to_line(&now, &at);
    let stands: InstrumentId = programme.setup.places().next().expect("made here").0.clone();
    match place {
        Place::Floor | Place::Collection => app.view.selected = Some(Selected::Instrument(stands)),
        _ => {}
    }
    h.run();
    if place == Place::Week {
        // The first service comes to hand.
        h.key_press(Key::ArrowDown);
        h.run();
    }
    Room { folder, library, h }
}

/// Opens what is to lie over the place.
pub(crate) fn open(room: &mut Room, over: Over) {
    let (h, folder) = (&mut room.h, room.folder.path());
    match over {
        Over::Question => h.key_press_modifiers(Modifiers::COMMAND, Key::O),
        Over::OtherKind => {
            let app = h.state_mut();
            let line = app.view.line.clone().expect("turned to");
            let asked = app.history.now().line(&line).expect("is there").1.kind.clone();
            let other =
                app.history.now().instruments.values().find(|thing| Some(&thing.kind) != asked.as_ref());
            let instrument = other.expect("in the demo").id.clone();
            app.request(Intent::PlayOn(backrow::intent::PlayOn { line, instrument, beside: false }));
        }
        Over::Welcome => h.state_mut().welcome(),
        Over::Importing => h.state_mut().request(Intent::ImportCalendar(calendar(folder))),
        Over::Versions => {
            let id = InstrumentId::new("marimba-1").expect("made here");
            let file = room.library.join("instruments/marimba-1.ron");
            let theirs =
                std::fs::read_to_string(&file).expect("made here").replace("Marimba 1", "Marimba of theirs");
            std::fs::write(&file, theirs).expect("made here");
            let mut ours = (*h.state().history.now().instruments[&id]).clone();
            "Marimba of ours".clone_into(&mut ours.name);
            h.state_mut().history.make(&Edit::PutInstrument(ours)).expect("made here");
            h.run();
            h.key_press(Key::F2);
        }
        Over::Leaving => h.state_mut().shell.leaving = Some(backrow::intent::Leaving::Quit),
        Over::Earlier => {
            let id = InstrumentId::new("marimba-1").expect("made here");
            let mut ours = (*h.state().history.now().instruments[&id]).clone();
            "Marimba of ours".clone_into(&mut ours.name);
            h.state_mut().history.make(&Edit::PutInstrument(ours)).expect("made here");
            h.run();
            h.key_press_modifiers(Modifiers::SHIFT, Key::F2);
        }
        Over::KeyMap => h.key_press(Key::F1),
        Over::Guide => h.key_press_modifiers(Modifiers::COMMAND, Key::F1),
        Over::Sheets => h.key_press_modifiers(Modifiers::COMMAND, Key::P),
        Over::Recording => {
            let id = InstrumentId::new("anvil-1").expect("made here");
            h.state_mut().request(Intent::Sound(backrow::sound::Wish::Record(id)));
        }
        Over::Proposing => h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::P),
        Over::Remembering => h.key_press_modifiers(Modifiers::COMMAND, Key::D),
        Over::Comparing => {
            let trial = h.state().history.now().works.values().find_map(|work| {
                let trial = work.memory.trials.iter().find(|trial| trial.how.needs_takes())?;
                Some((work.id.clone(), trial.id.clone()))
            });
            let (work, trial) = trial.expect("in the demo");
            h.state_mut().request(Intent::Remember(backrow::intent::Remember::Listen(work, trial)));
        }
        Over::Finder => h.key_press_modifiers(Modifiers::COMMAND, Key::K),
    }
    h.run();
    h.run();
    assert_eq!(h.state().shell.over(), Some(over), "{}", h.state().view.said);
}

fn calendar(folder: &Path) -> PathBuf {
    let file = folder.join("season.ics");
    let text = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//made//here//EN\r\nBEGIN:VEVENT\r\nUID:one\r\n\
                DTSTAMP:20270101T000000Z\r\nDTSTART:20271012T100000\r\nDTEND:20271012T123000\r\n\
                SUMMARY:Rehearsal\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n";
    std::fs::write(&file, text).expect("made here");
    file
}
