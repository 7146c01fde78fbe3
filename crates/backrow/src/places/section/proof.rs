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
use backrow_core::id::begun;
use egui::{Align2, Rect, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// The height of the row of the number and the buttons, points.
const ROW: f32 = 32.0;

/// Draws the answer, as tall as its words; returns the place it took.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, rect: Rect) -> Rect {
    let tokens = scene.tokens;
    let subject = Subject::of(view);
    let key = (scene.derived.stamp(), subject.clone());
    let evening = scene.derived.evening();
    let known = view.own.needs.get(ui.ctx(), "fewest players", &key, || {
        let evening = evening.cloned();
        move |stop: &Stop| needs(evening.as_ref(), &subject, stop)
    });
    let is_current = known.is_current && !scene.derived.is_working();
    let needs = known.value.cloned().unwrap_or_default();
    let beside = match (is_current, needs.beside.is_empty()) {
        (true, _) => needs.beside,
        (false, true) => "The players it needs are being counted …".to_owned(),
        (false, false) => format!("Being worked out anew … {}", needs.beside),
    };
    // The number stands with the buttons; why it is so has the whole width below.
    let (head, why) = needs.head.split_once(": ").unwrap_or((&needs.head, ""));
    let why = if why.is_empty() { String::new() } else { format!("{}. ", begun(why)) };
    let width = rect.width() - 2.0 * space::M;
    let lay = |words: String, font, ink| ui.painter().layout(words, font, ink, width);
    let words = lay(format!("{why}{beside}"), sans(size::NOTE), tokens.ink2);
    let height = ROW + words.size().y + space::XS + 2.0;
    let rect = Rect::from_min_size(rect.min, vec2(rect.width(), height));
    ui.painter().rect(rect, 0.0, tokens.raised, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
    let row = Rect::from_min_size(rect.min + vec2(space::M, 2.0), vec2(width, ROW - 2.0));
    let left = buttons(ui, scene, view, row);
    let ink = if is_current { tokens.ink } else { tokens.ink2 };
    let room = row.with_max_x(left - space::S);
    marks::text_within(ui.painter(), room, Align2::LEFT_CENTER, head, semibold(size::HEADING - 1.0), ink);
    let says = format!("{}. {beside}", needs.head);
    let response = ui.interact(rect.with_max_x(left), ui.scope_id().with("needs"), egui::Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &says));
    ui.painter().galley(rect.min + vec2(space::M, ROW), words, tokens.ink2);
    rect
}

/// What can be asked, in one row at the right; where it begins.
fn buttons(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, row: Rect) -> f32 {
    let of = match view.own.scope {
        Scope::Movement => "this movement",
        Scope::Programme => "the programme",
    };
    let builder =
        egui::UiBuilder::new().max_rect(row).layout(egui::Layout::right_to_left(egui::Align::Center));
    let mut ui = ui.new_child(builder);
    let ui = &mut ui;
    ui.spacing_mut().item_spacing.x = space::XS;
    let moves = "The moves with the fewest seconds to spare (M)";
    if ui.button("Tightest moves").on_hover_text(moves).clicked() {
        sheet::open_tightest(ui.ctx(), scene, view);
    }
    let hover = format!("Instruments and beaters for lines that have none ({})", Action::Propose.key_words());
    if ui.button("Instruments …").on_hover_text(hover).clicked() {
        scene.ask(Intent::Do(Action::Propose));
    }
    let what_if = "One player fewer, a player away, lines split (W)";
    if ui.button("What if …").on_hover_text(what_if).clicked() {
        sheet::open_what_if(view);
    }
    let hover = format!(
        "For {of}, shown beside the present assignments; locked lines stay, and what you assigned by hand where it can (S)"
    );
    if primary(ui, &scene.tokens, "Propose").on_hover_text(hover).clicked() {
        sheet::open_proposal(ui.ctx(), scene, view, None);
    }
    ui.min_rect().left()
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
