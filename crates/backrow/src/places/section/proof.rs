//! How many players the music needs, why not fewer, and what can be asked next.

use super::Time;
use super::assigning::{Scope, Subject, needs};
use super::sheet;
use crate::actions::Action;
use crate::background::Stop;
use crate::intent::Intent;
use crate::places::section::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{marks, sans, semibold};
use egui::{Rect, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// The width of the buttons at the right.
const BUTTONS: f32 = 236.0;

/// Draws the answer, as tall as its words; returns the place it took.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, rect: Rect) -> Rect {
    let tokens = scene.tokens;
    let subject = Subject::of(view);
    let key = (scene.derived.stamp(), subject.clone());
    let evening = scene.derived.evening();
    let known = view.own.needs.get(ui.ctx(), "fewest players", &key, || {
        let evening = evening.cloned();
        move |_: &Stop| needs(evening.as_ref(), &subject)
    });
    let is_current = known.is_current && !scene.derived.is_working();
    let needs = known.value.cloned().unwrap_or_default();
    let beside = match (is_current, needs.beside.is_empty()) {
        (true, _) => needs.beside,
        (false, true) => "The players it needs are being counted …".to_owned(),
        (false, false) => format!("Being worked out anew … {}", needs.beside),
    };
    let ink = if is_current { tokens.ink } else { tokens.ink2 };
    let width = rect.width() - 2.0 * space::M - BUTTONS - space::S;
    let lay = |words: &str, font, ink| ui.painter().layout(words.to_owned(), font, ink, width);
    let head = lay(&needs.head, semibold(size::HEADING - 1.0), ink);
    let says = format!("{}. {beside}", needs.head);
    let beside = lay(&beside, sans(size::NOTE), tokens.ink2);
    let height = (head.size().y + beside.size().y + 2.0 * space::XS + 4.0).max(rect.height());
    let rect = Rect::from_min_size(rect.min, vec2(rect.width(), height));
    ui.painter().rect(rect, 0.0, tokens.raised, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
    let at = rect.min + vec2(space::M, space::XS + 1.0);
    let words = Rect::from_min_size(at, vec2(width, height));
    let response = ui.interact(words, ui.scope_id().with("needs"), egui::Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &says));
    let below = at + vec2(0.0, head.size().y);
    ui.painter().galley(at, head, tokens.ink);
    ui.painter().galley(below, beside, tokens.ink2);
    buttons(ui, scene, view, rect);
    rect
}

fn buttons(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, rect: Rect) {
    let column = Rect::from_min_max(
        pos2(rect.right() - space::M - BUTTONS, rect.top() + space::XS),
        rect.max - vec2(space::M, space::XS),
    );
    let mut lines = ui
        .new_child(egui::UiBuilder::new().max_rect(column).layout(egui::Layout::top_down(egui::Align::Max)));
    lines.spacing_mut().item_spacing = vec2(space::XS, 2.0);
    let of = match view.own.scope {
        Scope::Movement => "this movement",
        Scope::Programme => "the programme",
    };
    let hover = format!(
        "For {of}, shown beside what is; pinned lines stay, and what you assigned by hand where it can (S)"
    );
    if primary(&mut lines, &scene.tokens, "Propose").on_hover_text(hover).clicked() {
        sheet::open_proposal(ui.ctx(), scene, view, None);
    }
    lines.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
        let moves = "The moves with the fewest seconds to spare (M)";
        if ui.small_button("Tightest").on_hover_text(moves).clicked() {
            sheet::open_tightest(ui.ctx(), scene, view);
        }
        let hover =
            format!("Instruments and beaters for lines that have none ({})", Action::Propose.key_words());
        if ui.small_button("Instruments …").on_hover_text(hover).clicked() {
            scene.ask(Intent::Do(Action::Propose));
        }
        let what_if = "One player fewer, a player missing, lines split (W)";
        if ui.small_button("What if …").on_hover_text(what_if).clicked() {
            sheet::open_what_if(view);
        }
    });
}

/// The moment that proves the number: a line through the lanes, its measure on ink in the ruler.
pub(super) fn moment(ui: &Ui, scene: &Scene<'_>, view: &Here<'_>, time: &Time, (ruler, lanes): (Rect, Rect)) {
    let held = view.own.needs.held();
    let Some((at_s, number)) = held.and_then(|needs| needs.moment.clone()) else { return };
    let x = time.x(at_s);
    if x < time.left - 1.0 || x > time.right + 1.0 {
        return;
    }
    let tokens = scene.tokens;
    marks::upright(ui.painter(), x, ruler.bottom()..=lanes.bottom(), tokens.ink);
    let galley = ui.painter().layout_no_wrap(number, semibold(size::NOTE), tokens.ground);
    let size = galley.size() + vec2(8.0, 2.0);
    let tag = Rect::from_min_size(pos2(x - size.x / 2.0, ruler.bottom() - size.y - 2.0), size);
    ui.painter().rect_filled(tag, 2.0, tokens.ink);
    ui.painter().galley(tag.min + vec2(4.0, 1.0), galley, tokens.ground);
}
