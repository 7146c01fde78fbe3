//! The right panel: what is selected, then what was found.

mod findings;
pub mod line;
pub mod thing;

use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans};
use crate::view::{Selected, View};
use egui::{RichText, Ui};

/// What the panel shows of itself.
#[derive(Default)]
pub struct State {
    findings: findings::State,
    remembered: line::Remembered,
}

/// What is left of the panel when it is folded: the way back, and whether anything was found.
pub fn folded(ui: &mut Ui, scene: &mut Scene<'_>) {
    ui.add_space(space::S);
    let words = crate::actions::Action::FoldPanel.label();
    let button = ui.small_button("‹").on_hover_text(format!("{words} (F9)"));
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, words));
    if button.clicked() {
        scene.ask(Intent::Do(crate::actions::Action::FoldPanel));
    }
}

/// Draws the panel, as wide as it has been given.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, state: &mut State) {
    let fold =
        egui::Rect::from_min_size(ui.max_rect().right_top() - egui::vec2(8.0, 12.0), egui::vec2(20.0, 20.0));
    // In a corner of its own: it must not make the panel wider.
    let button = ui.new_child(egui::UiBuilder::new().max_rect(fold)).add(egui::Button::new("›").small());
    let words = crate::actions::Action::FoldPanel.label();
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, words));
    if button.on_hover_text(format!("{words} (F9)")).clicked() {
        scene.ask(Intent::Do(crate::actions::Action::FoldPanel));
    }
    egui::ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        ui.set_width(ui.available_width() - 6.0);
        ui.spacing_mut().item_spacing.y = 3.0;
        super::first_steps::ui(ui, scene, view);
        match view.selected.clone() {
            Some(Selected::Line(at)) => line::ui(ui, scene, view, (&at, &mut state.remembered)),
            Some(Selected::Instrument(id)) => thing::instrument(ui, scene, view, &id),
            Some(Selected::Player(id)) => thing::player(ui, scene, view, &id),
            Some(Selected::Beater(id)) => thing::beater(ui, scene, view, &id),
            None => {
                let words = "Nothing selected. Click a line, an instrument or a player to see it here.";
                ui.label(RichText::new(words).color(scene.tokens.ink2));
            }
        }
        ui.add_space(space::M);
        findings::ui(ui, scene, view.place, &mut state.findings);
    });
}

/// A row of the panel: a quiet word and what it says.
pub fn fact(ui: &mut Ui, scene: &Scene<'_>, word: &str, value: impl Into<RichText>) {
    ui.horizontal_top(|ui| {
        ui.allocate_ui_with_layout(
            egui::vec2(64.0, 16.0),
            egui::Layout::left_to_right(egui::Align::Min),
            |ui| {
                ui.set_min_width(64.0);
                let text = RichText::new(word).font(sans(size::NOTE)).color(scene.tokens.ink2);
                crate::terms::caption(ui, &scene.tokens, word, text);
            },
        );
        ui.add(egui::Label::new(value.into().font(sans(size::NOTE)).color(scene.tokens.ink)).wrap());
    });
}

/// A hairline across the panel.
pub fn rule(ui: &mut Ui, scene: &Scene<'_>) {
    let (rect, _) = ui.allocate_exact_size(egui::vec2(ui.available_width(), 9.0), egui::Sense::hover());
    marks::hairline(ui.painter(), rect.x_range(), rect.center().y, scene.tokens.line);
}
