//! The program: the library with its history, what is looked at, and the one place where intents are carried out.

mod carry_out;
mod copying;
mod drafts;
mod import;
mod keyboard;
mod open;
mod print;
mod saving;
mod sound;
mod window;

use crate::background::Job;
use crate::derived::Derived;
use crate::frame::Shell;
use crate::intent::Intent;
use crate::pictures::Pictures;
use crate::places::Places;
use crate::settings::{Settings, ThemeChoice};
use crate::store::{SaveState, Store};
use crate::view::View;
use backrow_core::days::Days;
use backrow_core::edit::History;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use std::path::PathBuf;

pub use window::run;

/// The whole program behind the window.
pub struct App {
    /// The library as it is, with its past and future.
    pub history: History,
    /// What is looked at.
    pub view: View,
    /// Each place's own state.
    pub places: Places,
    /// What is open around and over the places.
    pub shell: Shell,
    /// The user's settings.
    pub settings: Settings,
    settings_file: Option<PathBuf>,
    settings_kept: Settings,
    derived: Derived,
    /// What is heard and recorded.
    pub sound: crate::sound::Session,
    /// What was measured of every strike, while somebody looks at it.
    measures: crate::sound::measured::Memory,
    /// Takes whose file is gone.
    missing: crate::sound::measured::Missing,
    saved: SaveState,
    saved_revision: u64,
    /// When a save that failed is tried again, in the window's seconds.
    try_again: f64,
    /// The revision of which a copy was saved elsewhere.
    copied_revision: Option<u64>,
    /// Whether the window had the focus in the frame before.
    in_front: bool,
    store: Option<Store>,
    pictures: Pictures,
    /// A picture that is being taken in, and the instrument that it is of.
    picture: Option<(InstrumentId, Job<Result<String, String>>)>,
    drafts: drafts::Keeping,
    reading: Option<open::Reading>,
    opening: Option<Job<Option<(Store, Library)>>>,
    copying: Option<copying::Copying>,
    printing: Option<print::Printing>,
    intents: Vec<Intent>,
    /// Keys that were asked for by their words, to be pressed in the frame that comes.
    presses: Vec<egui::KeyboardShortcut>,
    /// Whether a text field had the focus when the frame before ended: Esc takes it away before anybody can ask.
    was_typing: bool,
    dressed: bool,
    /// How this machine's region shows days and hours, and the day it is.
    here: Days,
}

impl App {
    /// The program on a library that is not on disk, for tests and pictures.
    pub fn on_library(library: Library, settings: Settings) -> Self {
        let mut view = View { place: settings.place, ..View::default() };
        view.programme =
            settings.programme.as_deref().and_then(|id| backrow_core::id::ProgrammeId::new(id).ok());
        view.settle(&library);
        Self {
            history: History::new(library),
            view,
            places: Places::default(),
            shell: Shell::default(),
            settings_kept: settings.clone(),
            settings,
            settings_file: None,
            derived: Derived::default(),
            sound: crate::sound::Session::default(),
            measures: crate::sound::measured::Memory::default(),
            missing: crate::sound::measured::Missing::default(),
            saved: SaveState::Saved,
            saved_revision: 0,
            try_again: 0.0,
            copied_revision: None,
            in_front: false,
            store: None,
            pictures: Pictures::default(),
            picture: None,
            drafts: drafts::Keeping::default(),
            reading: None,
            opening: None,
            copying: None,
            printing: None,
            intents: Vec::new(),
            presses: Vec::new(),
            was_typing: false,
            dressed: false,
            here: Days::default(),
        }
    }

    /// Shows days and hours as that region does where the orchestra has not said, without the year that it is. Before anything has
    /// been changed.
    pub fn live_in(&mut self, here: Days) {
        self.here = here;
        self.history = History::new(Library { here, ..self.history.now().clone() });
    }

    /// Asks for something, to be carried out with the next frame.
    pub fn request(&mut self, intent: Intent) {
        self.intents.push(intent);
    }

    /// Whether the library takes no changes, and why.
    fn read_only(&self) -> Option<&str> {
        match &self.saved {
            SaveState::ReadOnly(why) => Some(why),
            // Somebody's newer program has taken the library over while something was not saved yet.
            _ => self.store.as_ref().and_then(|store| store.read_only.as_deref()),
        }
    }

    fn dress(&mut self, ctx: &egui::Context) {
        if !self.dressed {
            crate::theme::fonts::install(ctx);
            crate::theme::style::install(ctx);
            if let Some(zoom) = self.settings.zoom {
                ctx.set_zoom_factor(zoom.clamp(0.5, 3.0));
            }
            self.dressed = true;
        }
        let glide = if self.settings.still { 0.0 } else { crate::theme::motion::SECONDS };
        if (ctx.global_style().animation_time - glide).abs() > 1e-4 {
            ctx.all_styles_mut(|style| style.animation_time = glide);
        }
        let wanted = match self.settings.theme {
            ThemeChoice::System => egui::ThemePreference::System,
            ThemeChoice::Paper => egui::ThemePreference::Light,
            ThemeChoice::Stage => egui::ThemePreference::Dark,
        };
        if ctx.options(|o| o.theme_preference) != wanted {
            ctx.set_theme(wanted);
        }
    }
}
