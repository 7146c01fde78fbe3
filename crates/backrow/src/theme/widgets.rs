//! Small widgets that every place uses.

use super::tokens::{Tokens, size};
use super::{marks, sans, semibold};
use egui::{RichText, Ui};

/// A button filled with the accent.
pub fn primary(ui: &mut Ui, tokens: &Tokens, words: &str) -> egui::Response {
    let text = RichText::new(words).font(semibold(size::TEXT)).color(tokens.on_fill());
    ui.add(egui::Button::new(text).fill(tokens.accent))
}

/// A line of caution, with its triangle.
pub fn caution(ui: &mut Ui, tokens: &Tokens, words: &str) {
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(14.0, 16.0), egui::Sense::hover());
        marks::mark(ui.painter(), rect.center(), marks::Mark::Care, tokens);
        ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2)).wrap());
    });
}

/// Shows that a painted thing has the keyboard's focus.
pub fn focus_ring(ui: &Ui, response: &egui::Response, tokens: &Tokens) {
    if response.has_focus() {
        let stroke = egui::Stroke::new(1.5, tokens.accent);
        ui.painter().rect_stroke(response.rect.shrink(1.0), 2.0, stroke, egui::StrokeKind::Inside);
    }
}

/// What is wrong with what was typed, where it was typed.
pub fn trouble(ui: &mut Ui, tokens: &Tokens, words: &str) {
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(14.0, 18.0), egui::Sense::hover());
        marks::mark(ui.painter(), rect.center(), marks::Mark::Clash, tokens);
        ui.add(egui::Label::new(RichText::new(words).color(tokens.clash)).wrap());
    });
}
