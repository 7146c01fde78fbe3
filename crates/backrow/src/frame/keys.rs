//! The keyboard map: every action with its key, then each place's own keys.

use crate::actions::Action;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{sans, semibold, serif};
use crate::view::View;
use egui::{RichText, Ui};

/// Keys that belong to one place: what they do there.
pub const OF_PLACES: [(&str, &[(&str, &str)]); 6] = [
    ("Section", crate::places::section::KEYS),
    ("Compass", crate::places::compass::KEYS),
    ("Floor", crate::places::floor::KEYS),
    ("Bar view", crate::places::bar_view::KEYS),
    ("Week", crate::places::week::KEYS),
    ("Collection and Works", crate::places::collection::KEYS),
];

/// Shows the map when it is asked for.
pub fn ui(ui: &mut Ui, scene: &Scene<'_>, view: &mut View) {
    if !view.keys_shown {
        return;
    }
    let tokens = scene.tokens;
    let response = egui::Modal::new(egui::Id::unique("keyboard map")).show(ui.ctx(), |ui| {
        ui.set_max_width(760.0);
        ui.horizontal(|ui| {
            ui.label(RichText::new("Keyboard map").font(serif(size::TITLE)).color(tokens.ink));
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                if ui.button("Close").clicked() {
                    view.keys_shown = false;
                }
            });
        });
        let height = (ui.ctx().content_rect().height() - 140.0).max(120.0);
        egui::ScrollArea::vertical().max_height(height).show(ui, |ui| {
            ui.columns(2, |columns| {
                if let [left, right] = columns {
                    rows(
                        left,
                        "Everywhere",
                        &tokens,
                        Action::ALL.iter().map(|a| (a.key_words(), a.label().to_owned())),
                    );
                    for (place, keys) in OF_PLACES {
                        rows(
                            right,
                            place,
                            &tokens,
                            keys.iter().map(|(key, what)| ((*key).to_owned(), (*what).to_owned())),
                        );
                    }
                }
            });
        });
    });
    if response.should_close() {
        view.keys_shown = false;
    }
}

fn rows(
    ui: &mut Ui,
    title: &str,
    tokens: &crate::theme::Tokens,
    rows: impl Iterator<Item = (String, String)>,
) {
    ui.label(RichText::new(title).font(serif(size::HEADING)).color(tokens.ink));
    egui::Grid::new(("keys", title)).num_columns(2).spacing([16.0, 2.0]).show(ui, |ui| {
        for (key, what) in rows {
            ui.label(RichText::new(key).font(semibold(size::NOTE)).color(tokens.ink));
            ui.label(RichText::new(what).font(sans(size::NOTE)).color(tokens.ink2));
            ui.end_row();
        }
    });
    ui.add_space(8.0);
}
