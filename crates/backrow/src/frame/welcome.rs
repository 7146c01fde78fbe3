//! The first start: it says that an invented orchestra is open, and offers to begin one's own.

use crate::actions::Action;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::dialog::{actions, dialog};
use crate::theme::serif;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use egui::{RichText, Ui};

/// Shows it while it is wanted.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, shown: &mut bool) {
    if !*shown {
        return;
    }
    let tokens = scene.tokens;
    let modal = dialog(ui, "welcome").show(ui.ctx(), |ui| {
        ui.set_width(520.0);
        ui.label(RichText::new("Welcome to Backrow").font(serif(size::TITLE)).color(tokens.ink));
        ui.add_space(space::S);
        let words = "This is an invented orchestra. Nobody in it exists; look round, and change what you like. \
                     When you begin your own, it starts empty, and this one stays where it is.";
        ui.add(egui::Label::new(RichText::new(words).color(tokens.ink)).wrap());
        actions(ui, |ui| {
            if primary(ui, &tokens, "Begin mine …").clicked() {
                *shown = false;
                scene.ask(Intent::Do(Action::NewLibrary));
            }
            if ui.button("Look round").on_hover_text("Esc").clicked() {
                *shown = false;
            }
        });
    });
    if modal.should_close() {
        *shown = false;
    }
}
