//! The place's name, the movements as tabs with their durations, and zoom.

use super::Scope;
use crate::places::section::Here;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{sans, serif};
use egui::{Rect, RichText, Ui, WidgetInfo};

/// Draws the heading.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, rect: Rect) {
    let tokens = scene.tokens;
    let builder =
        egui::UiBuilder::new().max_rect(rect).layout(egui::Layout::left_to_right(egui::Align::Center));
    let mut line = ui.new_child(builder);
    let ui = &mut line;
    ui.label(RichText::new("Section").font(serif(size::TITLE)).color(tokens.ink));
    ui.add_space(12.0);
    let work = view.work.as_ref().and_then(|id| scene.library.works.get(id)).cloned();
    let width = ui.available_width() - 290.0;
    egui::ScrollArea::horizontal().id_salt("movements").max_width(width).auto_shrink([true, false]).show(
        ui,
        |ui| {
            ui.horizontal_centered(|ui| {
                for movement in work.iter().flat_map(|work| &work.movements) {
                    let here = view.movement.as_ref() == Some(&movement.id);
                    let heading = movement.heading();
                    let heading = if heading.is_empty() { "whole work".to_owned() } else { heading };
                    let long = format!("{heading}  {}", length(movement.timeline.end_s));
                    // Numerals as tabs: the title stands on the chosen one, so that every movement is in sight.
                    let short = if movement.number.is_empty() { &heading } else { &movement.number };
                    let words = RichText::new(if here { &long } else { short }).font(serif(15.0));
                    let response = ui.selectable_label(here, words).on_hover_text(&long);
                    response.widget_info(|| {
                        WidgetInfo::selected(egui::Role::Tab, true, here, format!("Movement {heading}"))
                    });
                    if response.clicked() {
                        view.movement = Some(movement.id.clone());
                    }
                }
            });
        },
    );
    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
        let state = &mut *view.own;
        if ui.button("+").on_hover_text("Zoom in (+)").clicked() {
            state.zoom = (state.zoom + 1).min(10);
        }
        if ui.button("−").on_hover_text("Zoom out (−)").clicked() {
            state.zoom = state.zoom.saturating_sub(1);
        }
        if state.zoom > 0 {
            ui.label(RichText::new("Zoomed in: scroll to move").font(sans(size::NOTE)).color(tokens.ink2));
        }
        ui.add_space(12.0);
        for (scope, word, says) in [
            (Scope::Programme, "programme", "whole programme"),
            (Scope::Movement, "movement", "this movement"),
        ] {
            let response = ui
                .selectable_label(state.scope == scope, RichText::new(says).font(sans(size::NOTE)))
                .on_hover_text("Which music the player count, proposals and what-ifs cover (G)");
            response.widget_info(|| {
                WidgetInfo::selected(
                    egui::Role::RadioButton,
                    true,
                    state.scope == scope,
                    format!("Ask about the {word}"),
                )
            });
            if response.clicked() && state.scope != scope {
                state.turn_scope();
            }
        }
        ui.label(RichText::new("Plan for").font(sans(size::NOTE)).color(tokens.ink2));
    });
}

/// 3'31".
fn length(seconds: f64) -> String {
    let whole = seconds.round();
    format!("{:.0}′{:02.0}″", (whole / 60.0).floor(), whole % 60.0)
}
