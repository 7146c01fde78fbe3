//! How many players the movement needs, why not fewer, and a share-out to propose.

use super::Time;
use super::board::{Board, Key};
use super::share_out::{needs, propose};
use crate::frame::panel::thing::primary;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, semibold};
use crate::view::View;
use egui::{Rect, RichText, Stroke, StrokeKind, Ui, pos2, vec2};

/// Draws the line.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, board: &Board, key: &Key, rect: Rect) {
    let tokens = scene.tokens;
    let library = scene.library;
    let mut remembered = std::mem::take(&mut view.section.needs);
    let needs = remembered.get(key.clone(), || needs(library, view, board)).clone();
    view.section.needs = remembered;
    ui.painter().rect(rect, 0.0, tokens.raised, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
    let inner = rect.shrink2(vec2(space::M, space::XS));
    let words = Rect::from_min_max(inner.min, pos2(inner.right() - 176.0, inner.bottom()));
    let mut lines = ui.new_child(egui::UiBuilder::new().max_rect(words));
    lines.spacing_mut().item_spacing.y = 0.0;
    let head = RichText::new(&needs.head).font(semibold(size::HEADING)).color(tokens.ink);
    lines.add(egui::Label::new(head).truncate());
    let beside = RichText::new(&needs.beside).font(sans(size::NOTE)).color(tokens.ink2);
    lines.add(egui::Label::new(beside).truncate());
    let builder =
        egui::UiBuilder::new().max_rect(inner).layout(egui::Layout::right_to_left(egui::Align::Center));
    let mut line = ui.new_child(builder);
    let hover = "For this movement. Pinned calls stay, and one undo puts it back. (S)";
    if primary(&mut line, scene, "Propose a share-out").on_hover_text(hover).clicked() {
        ask_for_share_out(scene, view, board);
    }
}

/// Works out a share-out and asks for it as one step, or says why there is none.
pub(super) fn ask_for_share_out(scene: &mut Scene<'_>, view: &View, board: &Board) {
    match propose(scene.library, view, board) {
        Ok((edit, words)) => {
            scene.edit(edit);
            scene.ask(Intent::Say(words));
        }
        Err(words) => scene.ask(Intent::Say(words)),
    }
}

/// The moment that proves the number: a line through the lanes, its measure on ink in the ruler.
pub(super) fn moment(ui: &Ui, scene: &Scene<'_>, view: &View, time: &Time, (ruler, lanes): (Rect, Rect)) {
    let Some((at_s, number)) = view.section.needs.held().and_then(|needs| needs.moment) else { return };
    let x = time.x(at_s);
    if x < time.left - 1.0 || x > time.right + 1.0 {
        return;
    }
    let tokens = scene.tokens;
    marks::upright(ui.painter(), x, ruler.bottom()..=lanes.bottom(), tokens.ink);
    let galley = ui.painter().layout_no_wrap(number.to_string(), semibold(size::NOTE), tokens.ground);
    let size = galley.size() + vec2(8.0, 2.0);
    let tag = Rect::from_min_size(pos2(x - size.x / 2.0, ruler.bottom() - size.y - 2.0), size);
    ui.painter().rect_filled(tag, 2.0, tokens.ink);
    ui.painter().galley(tag.min + vec2(4.0, 1.0), galley, tokens.ground);
}
