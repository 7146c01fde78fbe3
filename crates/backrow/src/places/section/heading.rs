//! The place's name, the movements as tabs with their durations, and zoom.

use super::{Scope, State};
use crate::page;
use crate::places::section::Here;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{sans, serif};
use backrow_core::id::MovementId;
use backrow_core::music::Work;
use egui::{Rect, RichText, Ui, WidgetInfo};

/// What the switch and the zoom take at the right, points; and where there is no room for the words before the switch.
const RIGHT: f32 = 340.0;
const CLOSE: f32 = 226.0;
/// A heading narrower than this has no room for them, points.
const NARROW: f32 = 580.0;

/// Draws the heading; the scope and the zoom where there is something to ask about.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, slot: Rect, any: bool) {
    page::heading(ui, slot, &scene.tokens, "Section", |ui| {
        let narrow = ui.available_width() < NARROW;
        movements(ui, scene, view, if narrow { CLOSE } else { RIGHT });
        if any {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                zoom(ui, scene, view.own);
                ui.add_space(12.0);
                scope(ui, scene, view.own, narrow);
            });
        }
    });
}

fn movements(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, right: f32) {
    let work = view.work.as_ref().and_then(|id| scene.library.works.get(id)).cloned();
    let width = (ui.available_width() - right).max(80.0);
    let titled = work.as_ref().is_none_or(|work| has_room(ui, work, view.movement.as_ref(), width));
    let area =
        egui::ScrollArea::horizontal().id_salt("movements").max_width(width).auto_shrink([true, false]);
    area.show(ui, |ui| {
        ui.horizontal_centered(|ui| {
            if !titled {
                (ui.spacing_mut().button_padding.x, ui.spacing_mut().item_spacing.x) = (5.0, 2.0);
            }
            for movement in work.iter().flat_map(|work| &work.movements) {
                let here = view.movement.as_ref() == Some(&movement.id);
                let heading = movement.heading();
                let heading = if heading.is_empty() { "whole work".to_owned() } else { heading };
                let long = format!("{heading}  {}", length(movement.timeline.end_s));
                // Numerals as tabs: the title stands on the chosen one, so that every movement is in sight.
                let short = if movement.number.is_empty() { &heading } else { &movement.number };
                let timed = format!("{short}  {}", length(movement.timeline.end_s));
                let chosen = if titled || movement.number.is_empty() { &long } else { &timed };
                let words = RichText::new(if here { chosen } else { short }).font(serif(15.0));
                let response = ui.selectable_label(here, words).on_hover_text(&long);
                response.widget_info(|| {
                    WidgetInfo::selected(egui::Role::Tab, true, here, format!("Movement {heading}"))
                });
                if response.clicked() {
                    view.movement = Some(movement.id.clone());
                }
            }
        });
    });
}

/// Whether the title of the chosen movement fits beside the numerals of the others.
fn has_room(ui: &Ui, work: &Work, chosen: Option<&MovementId>, width: f32) -> bool {
    let wide = |words: String| {
        let galley = ui.painter().layout_no_wrap(words, serif(15.0), egui::Color32::PLACEHOLDER);
        galley.size().x + 2.0 * ui.spacing().button_padding.x + ui.spacing().item_spacing.x
    };
    let each = work.movements.iter().map(|movement| {
        if chosen == Some(&movement.id) {
            wide(format!("{}  {}", movement.heading(), length(movement.timeline.end_s)))
        } else {
            wide(movement.number.clone())
        }
    });
    each.sum::<f32>() <= width
}

fn zoom(ui: &mut Ui, scene: &Scene<'_>, state: &mut State) {
    if ui.button("+").on_hover_text("Zoom in (+)").clicked() {
        state.zoom = (state.zoom + 1).min(10);
    }
    if ui.button("−").on_hover_text("Zoom out (−)").clicked() {
        state.zoom = state.zoom.saturating_sub(1);
    }
    if state.zoom > 0 && ui.available_width() > 330.0 {
        let words = RichText::new("Zoomed in: scroll to move").font(sans(size::NOTE));
        ui.label(words.color(scene.tokens.ink2));
    }
}

/// Which music is asked about, as a switch of two.
fn scope(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, narrow: bool) {
    for (scope, word, says) in
        [(Scope::Programme, "programme", "whole programme"), (Scope::Movement, "movement", "this movement")]
    {
        let here = state.scope == scope;
        let response = ui
            .selectable_label(here, RichText::new(if narrow { word } else { says }).font(sans(size::NOTE)))
            .on_hover_text("Which music the player count, proposals and what-ifs cover (G)");
        response.widget_info(|| {
            WidgetInfo::selected(egui::Role::RadioButton, true, here, format!("Ask about the {word}"))
        });
        if response.clicked() && !here {
            state.turn_scope();
        }
    }
    if narrow {
        return;
    }
    ui.label(RichText::new("Plan for").font(sans(size::NOTE)).color(scene.tokens.ink2));
}

/// 3'31".
fn length(seconds: f64) -> String {
    let whole = seconds.round();
    format!("{:.0}′{:02.0}″", (whole / 60.0).floor(), whole % 60.0)
}
