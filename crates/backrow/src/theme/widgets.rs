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

/// Whether a row shows what can be done with it: it is chosen or pointed at, or one of its own controls has the focus. To be asked
/// in the row's own `Ui`; [`row_has`] says which controls are its own.
pub fn shows_actions(ui: &Ui, row: egui::Id, chosen: bool) -> bool {
    let own: Vec<egui::Id> = ui.data_mut(|data| data.get_temp(row)).unwrap_or_default();
    let focused = ui.memory(egui::Memory::focused);
    chosen || ui.response().contains_pointer() || focused.is_some_and(|id| own.contains(&id))
}

/// Remembers the controls of a row, for [`shows_actions`].
pub fn row_has(ui: &Ui, row: egui::Id, controls: &[&egui::Response]) {
    let ids: Vec<egui::Id> = controls.iter().map(|control| control.id).collect();
    ui.data_mut(|data| data.insert_temp(row, ids));
}

/// Two columns of dots: what can be taken hold of.
pub fn grip(painter: &egui::Painter, at: egui::Pos2, ink: egui::Color32) {
    for (x, y) in [(-2.0, -4.0), (2.0, -4.0), (-2.0, 0.0), (2.0, 0.0), (-2.0, 4.0), (2.0, 4.0)] {
        painter.circle_filled(at + egui::vec2(x, y), 1.2, ink);
    }
}

/// Words no wider than that, points; cut with an ellipsis if they must be.
pub fn cut(ui: &Ui, words: impl Into<egui::WidgetText>, most: f32) -> std::sync::Arc<egui::Galley> {
    words.into().into_galley(ui, Some(egui::TextWrapMode::Truncate), most, egui::TextStyle::Body)
}

/// Fields, ticks and buttons in a menu as they are elsewhere: a menu takes away the borders and the room around their words.
pub fn in_menu<R>(ui: &mut Ui, tokens: &Tokens, add: impl FnOnce(&mut Ui) -> R) -> R {
    ui.scope(|ui| {
        let widgets = &mut ui.visuals_mut().widgets;
        widgets.inactive.bg_stroke = egui::Stroke::new(1.0, tokens.ink3);
        widgets.hovered.bg_stroke = egui::Stroke::new(1.0, tokens.ink2);
        ui.spacing_mut().button_padding = ui.global_style().spacing.button_padding;
        add(ui)
    })
    .inner
}

/// Words about a row of a list while it is pointed at, above it: what stands below in the row stays in sight.
pub fn told_above(response: &egui::Response, words: &str) {
    let mut tooltip = egui::Tooltip::for_enabled(response);
    tooltip.popup = tooltip.popup.align(egui::RectAlign::TOP_START);
    tooltip.show(|ui| {
        ui.label(words);
    });
}
