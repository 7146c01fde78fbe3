//! Leaving a library while something in it is not saved: asked about, never thrown away.

use crate::actions::Action;
use crate::intent::{Intent, Leaving};
use crate::scene::Scene;
use crate::theme::dialog::{actions, dialog};
use crate::theme::serif;
use crate::theme::tokens::size;
use crate::theme::widgets::primary;
use egui::{RichText, Ui};

const fn without(leaving: &Leaving) -> &'static str {
    match leaving {
        Leaving::Quit => "Quit without saving",
        Leaving::Open(_) | Leaving::Begin(_) => "Leave without saving",
    }
}

/// Asks, while there is something to ask; `why` is what could not be saved.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut Option<Leaving>, why: &str) {
    let Some(leaving) = state.clone() else { return };
    let mut done = false;
    let modal = dialog(ui, "leaving").show(ui.ctx(), |ui| {
        ui.set_width(520.0);
        let tokens = scene.tokens;
        ui.label(RichText::new("Your last changes are not saved").font(serif(size::TITLE)).color(tokens.ink));
        ui.label(RichText::new(why).color(tokens.ink2));
        actions(ui, |ui| {
            if primary(ui, &scene.tokens, "Try again").clicked() {
                scene.ask(Intent::Do(Action::SaveNow));
                done = true;
            }
            if ui.button("Save a copy elsewhere …").clicked() {
                scene.ask(Intent::Do(Action::SaveCopy));
                done = true;
            }
            if ui.button(without(&leaving)).clicked() {
                scene.ask(Intent::Leave(leaving));
                done = true;
            }
            if ui.button("Stay").clicked() {
                done = true;
            }
        });
    });
    if done || modal.should_close() {
        *state = None;
    }
}
