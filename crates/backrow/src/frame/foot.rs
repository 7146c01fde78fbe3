//! The bottom line: the orchestra, its A and temperature, and what was just done or can be done.

use crate::actions::Action;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::marks;
use crate::theme::tokens::{shell, size, space};
use crate::theme::{sans, semibold};
use crate::view::View;
use egui::{Align2, Rect, RichText, Ui, pos2, vec2};

/// Draws the line.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View) {
    let tokens = scene.tokens;
    let full = ui.max_rect();
    let orchestra = &scene.library.orchestra;
    let name = if orchestra.name.is_empty() { "No name yet" } else { orchestra.name.as_str() };
    let middle = full.center().y;
    let text = |x: f32, words: &str, ink| {
        marks::text(ui.painter(), pos2(x, middle), Align2::LEFT_CENTER, words, sans(size::NOTE), ink).right()
    };
    let right = text(full.left() + space::L, name, tokens.ink2);
    let right = text(
        right + space::XL,
        &format!("A {}\u{202F}Hz, {}\u{202F}°C", orchestra.a.value(), orchestra.celsius),
        tokens.ink2,
    );
    let left = (right + space::XL).max(full.left() + shell::RAIL + 188.0);
    marks::upright(ui.painter(), left - space::M, full.y_range().shrink(5.0), tokens.line);
    let mut room = Rect::from_min_max(pos2(left, full.top()), full.max - vec2(space::L, 0.0));
    if let Some(words) = &view.under_way {
        room.max.x = under_way(ui, scene, words, room) - space::M;
    }
    let failed = view.has_failed();
    if failed {
        marks::mark(ui.painter(), pos2(room.left() + 4.0, middle), marks::Mark::Clash, &tokens);
        room.min.x += space::M;
    }
    let (font, ink) =
        if failed { (semibold(size::NOTE), tokens.clash) } else { (sans(size::NOTE), tokens.ink) };
    let cut = marks::text_within(ui.painter(), room, Align2::LEFT_CENTER, &view.said, font, ink);
    let response = ui.interact(room, ui.scope_id().with("said"), egui::Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &view.said));
    if cut {
        response.on_hover_text(&view.said);
    }
    marks::hairline(ui.painter(), full.x_range(), full.top(), tokens.line);
}

/// What goes on beside the frame, at the right end with a way to cancel it; gives where it begins.
fn under_way(ui: &mut Ui, scene: &mut Scene<'_>, words: &str, room: Rect) -> f32 {
    let layout = egui::Layout::right_to_left(egui::Align::Center);
    let mut right = ui.new_child(egui::UiBuilder::new().max_rect(room).layout(layout));
    let cancel = right.small_button("Cancel").on_hover_text(Action::CancelWork.key_words());
    if cancel.clicked() {
        scene.ask(Intent::Do(Action::CancelWork));
    }
    right.add_space(space::S);
    let words = RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2);
    right.label(words).rect.left()
}
