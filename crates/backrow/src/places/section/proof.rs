//! How many players the movement needs, why not fewer, and a share-out to propose.

use super::board::{Board, Key};
use crate::frame::panel::thing::primary;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{sans, semibold};
use crate::view::View;
use egui::{Rect, RichText, Stroke, StrokeKind, Ui, vec2};

/// The answer, in words.
#[derive(Clone, Debug, Default)]
pub(super) struct Needs {
    head: String,
    beside: String,
}

/// Draws the line.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, board: &Board, key: &Key, rect: Rect) {
    let tokens = scene.tokens;
    let needs = view.section.needs.get(key.clone(), || needs(board)).clone();
    ui.painter().rect(rect, 0.0, tokens.raised, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
    let inner = rect.shrink2(vec2(space::M, space::XS));
    let builder =
        egui::UiBuilder::new().max_rect(inner).layout(egui::Layout::left_to_right(egui::Align::Center));
    let mut line = ui.new_child(builder);
    line.label(RichText::new(&needs.head).font(semibold(size::HEADING)).color(tokens.ink));
    line.add_space(space::S);
    let room = line.available_width() - 170.0;
    line.allocate_ui(vec2(room, 20.0), |ui| {
        ui.add(
            egui::Label::new(RichText::new(&needs.beside).font(sans(size::NOTE)).color(tokens.ink2))
                .truncate(),
        );
    });
    line.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
        let open = view.call.is_some();
        if open
            && primary(ui, scene, "Choose instruments").on_hover_text("Lays the call over Compass").clicked()
        {
            scene.ask(Intent::Go(crate::view::Place::Compass));
        }
    });
}

/// The most calls that sound at one moment: no fewer players can do, whatever the ways.
fn needs(board: &Board) -> Needs {
    let mut edges: Vec<(f64, bool, usize)> = Vec::new();
    for (at, strip) in board.strips.iter().enumerate() {
        for piece in &strip.passages {
            edges.push((piece.from_s, true, at));
            edges.push((piece.to_s, false, at));
        }
    }
    // An end comes before a beginning at the same moment.
    edges.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut sounding: Vec<usize> = Vec::new();
    let mut most: (usize, f64, Vec<usize>) = (0, 0.0, Vec::new());
    for (at_s, begins, strip) in edges {
        if begins {
            sounding.push(strip);
            if sounding.len() > most.0 {
                most = (sounding.len(), at_s, sounding.clone());
            }
        } else if let Some(place) = sounding.iter().position(|s| *s == strip) {
            sounding.remove(place);
        }
    }
    let measure = board.measures.iter().rev().find(|m| m.at_s <= most.1 + 1e-6).map_or(0, |m| m.number);
    let names: Vec<&str> =
        most.2.iter().filter_map(|at| board.strips.get(*at)).map(|s| s.name.as_str()).collect();
    let given = board.lanes.iter().filter(|lane| !lane.strips.is_empty()).count();
    let players = if most.0 == 1 { "player" } else { "players" };
    Needs {
        head: format!("At least {} {players}: {} at once at m. {measure}", most.0, most.0),
        beside: format!("{}. Now spread over {given}.", names.join(", ")),
    }
}
