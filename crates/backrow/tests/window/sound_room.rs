//! The window on a copy of the demo that has few takes or none, with a sound device that is none.

#![allow(dead_code, reason = "each test file uses some of it")]

use crate::window::harness;
use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_sound::device::{Fake, FakeHand};
use egui_kittest::Harness;
use std::path::{Path, PathBuf};

/// A window, and what stands in for the world around it.
pub(crate) struct Room {
    /// Is removed with the room.
    pub(crate) folder: tempfile::TempDir,
    /// Where the library is.
    pub(crate) library: PathBuf,
    /// The window.
    pub(crate) h: Harness<'static, App>,
    /// What the device hears and has played.
    pub(crate) hand: FakeHand,
}

/// The demo with the takes of these instruments alone, after something was done to its folder and then to the program.
pub(crate) fn room(
    place: Place,
    takes: &[&str],
    before: impl Fn(&Path),
    begun: impl FnOnce(&mut App),
) -> Room {
    let folder = tempfile::tempdir().expect("made here");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    for entry in std::fs::read_dir(library.join("sounds")).expect("there").flatten() {
        if !takes.contains(&entry.file_name().to_string_lossy().as_ref()) {
            std::fs::remove_dir_all(entry.path()).expect("removed");
        }
    }
    before(&library);
    let (fake, hand) = Fake::new();
    let mut app = App::open(&library, Settings { place, ..Settings::default() }, None);
    app.with_device(Box::new(fake));
    begun(&mut app);
    Room { folder, library, h: harness(app), hand }
}
