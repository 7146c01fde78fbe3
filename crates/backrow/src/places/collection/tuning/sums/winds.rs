//! How far this orchestra's winds rise with the air: as the speed of sound has it, or by the orchestra's own figure.

use super::formula_ui;
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use backrow_core::edit::Edit;
use backrow_core::library::Orchestra;
use backrow_core::tuning::{air, formula};
use egui::{RichText, Ui};

/// A kelvin by the speed of sound where pitch is stated, cents.
fn published() -> f64 {
    air::winds_cents(air::USUAL_C, air::USUAL_C + 1.0)
}

/// The winds' figure with its source, to be changed, saved and set back.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, typed: &mut Option<f64>) {
    let own = scene.library.orchestra.winds_cents_k;
    let stated = own.unwrap_or_else(published);
    let mut each = typed.unwrap_or(stated);
    let words = format!(
        "Winds: {stated:.2} cents a kelvin{}. By the speed of sound it is {:.2}; players\u{2019} lips and slides are not in it.",
        if own.is_some() { ", ours" } else { "" },
        published()
    );
    let note = RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2);
    ui.add(egui::Label::new(note).wrap());
    formula_ui(ui, &scene.tokens, formula::WINDS);
    ui.horizontal_wrapped(|ui| {
        let label = ui.label("Our own figure for the winds, cents a kelvin");
        let field = egui::DragValue::new(&mut each).range(0.0..=6.0).speed(0.05).max_decimals(2);
        if ui.add(field).labelled_by(label.id).changed() {
            *typed = Some(each);
        }
        let differs = (each - stated).abs() > 0.004;
        if ui.add_enabled(differs, egui::Button::new("Save for our winds")).clicked() {
            save(scene, Some(each));
            *typed = None;
        }
        if own.is_some() && ui.button("As published").clicked() {
            save(scene, None);
            *typed = None;
        }
    });
}

fn save(scene: &mut Scene<'_>, winds_cents_k: Option<f64>) {
    let next = Orchestra { winds_cents_k, ..(*scene.library.orchestra).clone() };
    scene.edit(Edit::SetOrchestra(next));
}
