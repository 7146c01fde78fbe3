//! Works: what the library holds, what each work calls for, and reading scores into it.

mod calls;
mod list;
mod review;

use crate::scene::Scene;
use crate::theme::serif;
use crate::theme::tokens::{size, space};
use crate::view::View;
use backrow_files::score::ScoreReading;
use egui::{Frame, Margin, RichText, Ui};

/// What the place looks at.
#[derive(Default)]
pub struct State {
    review: Option<review::Review>,
    path: String,
    filter: String,
}

impl State {
    /// Puts a reading up for review.
    pub fn review(&mut self, reading: ScoreReading) {
        self.review = Some(review::Review::new(reading));
    }

    /// Whether a reading waits for an answer.
    pub const fn is_reviewing(&self) -> bool {
        self.review.is_some()
    }
}

/// Draws the place.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View) {
    Frame::new().inner_margin(Margin { left: 16, right: 16, top: 8, bottom: 0 }).show(ui, |ui| {
        let title = if view.works.is_reviewing() { "What the score calls for" } else { "Works" };
        ui.label(RichText::new(title).font(serif(size::TITLE)).color(scene.tokens.ink));
        ui.add_space(space::XS);
        if let Some(mut review) = view.works.review.take() {
            if review::ui(ui, scene, view, &mut review) {
                view.works.review = Some(review);
            }
        } else {
            list::read_line(ui, scene, &mut view.works);
            ui.add_space(space::S);
            let height = ui.available_height();
            ui.horizontal_top(|ui| {
                ui.allocate_ui(egui::vec2(236.0, height), |ui| list::ui(ui, scene, view));
                ui.add_space(space::M);
                ui.vertical(|ui| calls::ui(ui, scene, view));
            });
        }
    });
}

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[];
