//! The place works.

use crate::scene::Scene;
use crate::view::View;

/// What the place looks at.
#[derive(Default)]
pub struct State {
    review: Option<backrow_files::score::ScoreReading>,
}

impl State {
    /// Puts a reading up for review.
    pub fn review(&mut self, reading: backrow_files::score::ScoreReading) {
        self.review = Some(reading);
    }
}

/// Draws the place.
pub fn ui(ui: &mut egui::Ui, scene: &mut Scene<'_>, view: &mut View) {
    let _ = (ui, scene, view);
}

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[];
