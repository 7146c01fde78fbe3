//! The right panel: what is selected, then what was found.

pub mod call;
pub mod thing;

use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, semibold};
use crate::view::{Selected, View};
use egui::{RichText, Ui};

/// Draws the panel.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View) {
    egui::ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        ui.set_width(crate::theme::tokens::shell::PANEL - 2.0 * space::L - 6.0);
        ui.spacing_mut().item_spacing.y = 3.0;
        match view.selected.clone() {
            Some(Selected::Call(at)) => call::ui(ui, scene, view, &at),
            Some(Selected::Instrument(id)) => thing::instrument(ui, scene, view, &id),
            Some(Selected::Player(id)) => thing::player(ui, scene, view, &id),
            Some(Selected::Beater(id)) => thing::beater(ui, scene, view, &id),
            None => {
                let words = "Nothing selected. Click a call, an instrument or a player to see it here.";
                ui.label(RichText::new(words).color(scene.tokens.ink2));
            }
        }
        ui.add_space(space::M);
        findings(ui, scene);
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
                ui.label(RichText::new(word).font(sans(size::NOTE)).color(scene.tokens.ink2));
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

fn findings(ui: &mut Ui, scene: &mut Scene<'_>) {
    let tokens = scene.tokens;
    let found = scene.derived.findings();
    marks::heading(ui, "Findings", &found.len().to_string(), &tokens);
    rule(ui, scene);
    if scene.derived.is_working() {
        let words = "The floor has changed: seconds and findings are being worked out.";
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
    } else if found.is_empty() {
        ui.label(
            RichText::new("Nothing to mend in this programme.").font(sans(size::NOTE)).color(tokens.ink2),
        );
    }
    let mut asked: Vec<Intent> = Vec::new();
    for (at, finding) in found.iter().enumerate() {
        ui.push_id(("finding", at), |ui| {
            ui.horizontal_top(|ui| {
                let (rect, _) = ui.allocate_exact_size(egui::vec2(14.0, 16.0), egui::Sense::hover());
                marks::mark(ui.painter(), rect.center(), finding.mark, &tokens);
                ui.vertical(|ui| {
                    let title = egui::Label::new(
                        RichText::new(&finding.title).font(semibold(size::NOTE)).color(tokens.ink),
                    );
                    let response = ui.add(title.wrap().sense(egui::Sense::click()));
                    if response.on_hover_cursor(egui::CursorIcon::PointingHand).clicked() {
                        asked.extend(finding.go.iter().cloned());
                    }
                    ui.add(
                        egui::Label::new(
                            RichText::new(&finding.detail).font(sans(size::NOTE)).color(tokens.ink2),
                        )
                        .wrap(),
                    );
                    if let Some((words, edit)) = &finding.fix
                        && ui.link(RichText::new(words).font(semibold(size::NOTE))).clicked()
                    {
                        asked.push(Intent::Edit(edit.clone()));
                    }
                    if let Some(action) = finding.helps
                        && ui.link(RichText::new(action.label()).font(semibold(size::NOTE))).clicked()
                    {
                        asked.push(Intent::Do(action));
                    }
                });
            });
            ui.add_space(space::XS);
        });
    }
    scene.intents.extend(asked);
}
