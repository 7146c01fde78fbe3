//! The place `bar_view`.

use crate::scene::Scene;
use crate::view::View;

/// What the place looks at.
#[derive(Default)]
pub struct State {}

/// Draws the place.
pub fn ui(ui: &mut egui::Ui, scene: &mut Scene<'_>, view: &mut View) {
    let _ = (ui, scene, view);
}

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[];

impl State {
    /// Whether rail and panel are away.
    pub fn fills_window(&self) -> bool {
        false
    }

    /// Brings rail and panel back.
    pub fn leave_full(&mut self) {}
}
