//! The rail: the places as words, each with the number of its findings.

use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::marks;
use crate::theme::tokens::{shell, size, space};
use crate::theme::widgets::focus_ring;
use crate::theme::{sans, semibold};
use crate::view::{Place, View};
use egui::{Align2, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

/// Draws the rail.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View) {
    let tokens = scene.tokens;
    let full = ui.max_rect();
    let mut top = full.top() + space::L;
    for place in Place::ALL.iter().copied() {
        if place == Place::Works {
            marks::hairline(
                ui.painter(),
                full.left() + space::L..=full.right() - space::L,
                top + space::S,
                tokens.line,
            );
            top += space::L;
        }
        let rect = Rect::from_min_size(pos2(full.left(), top), vec2(shell::RAIL, 28.0));
        top += 28.0;
        let here = view.place == place;
        let response = ui.interact(rect, ui.scope_id().with(place.word()), Sense::click());
        response.widget_info(|| {
            let found =
                scene.derived.worst(place).map(|(degree, count)| format!("{count} {}", degree.word(count)));
            let info =
                WidgetInfo::selected(egui::Role::Button, true, here, format!("Place {}", place.word()));
            WidgetInfo { current_text_value: found, ..info }
        });
        let response = response.on_hover_cursor(egui::CursorIcon::PointingHand);
        if response.hovered() && !here {
            ui.painter().rect_filled(rect, 0.0, tokens.sunken);
        }
        if here {
            ui.painter().rect_filled(rect, 0.0, tokens.soft);
            ui.painter().rect_filled(
                Rect::from_min_size(rect.min, vec2(3.0, rect.height())),
                0.0,
                tokens.accent,
            );
        }
        let font = if here { semibold(size::TEXT) } else { sans(size::TEXT) };
        marks::text(
            ui.painter(),
            rect.left_center() + vec2(space::L, 0.0),
            Align2::LEFT_CENTER,
            place.word(),
            font,
            tokens.ink,
        );
        count(ui, scene, place, rect);
        focus_ring(ui, &response, &tokens);
        if response.clicked() {
            scene.ask(Intent::Go(place));
        }
    }
    marks::upright(ui.painter(), full.right() - 1.0, full.y_range(), tokens.line);
}

/// The worst degree that a place has findings of, and how many.
fn count(ui: &Ui, scene: &Scene<'_>, place: Place, rect: Rect) {
    let Some((degree, count)) = scene.derived.worst(place) else { return };
    let tokens = scene.tokens;
    let ink = match degree {
        marks::Mark::Clash => tokens.clash,
        marks::Mark::Care => tokens.care,
        marks::Mark::Note => tokens.ink2,
    };
    let right = rect.right_center() - vec2(space::L, 0.0);
    let words =
        marks::text(ui.painter(), right, Align2::RIGHT_CENTER, &count.to_string(), sans(size::NOTE), ink);
    marks::mark(ui.painter(), pos2(words.left() - 10.0, right.y), degree, &tokens);
}
