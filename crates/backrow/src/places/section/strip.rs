//! A strip: one line of the music in its time. It can be selected, dragged, and dropped upon.

use super::answered::assign_judged;
use super::board::{Piece, Strip};
use super::{Time, measure};
use crate::frame::playing_on;
use crate::intent::{Intent, PlayOn};
use crate::places::section::Here;
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size};
use crate::theme::{marks, sans, semibold, serif_italic};
use crate::view::{Carried, Selected};
use backrow_core::edit::Edit;
use backrow_core::id::{BeaterId, InstrumentId};
use egui::{
    Align2, Color32, CursorIcon, Painter, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

/// How high a passage is, points.
pub(super) const BAR: f32 = 18.0;
/// From the strip's top to its passages, points.
pub(super) const NAME: f32 = 16.0;

/// How a strip is drawn.
#[derive(Clone, Copy)]
pub(super) struct Look {
    pub(super) fill: Color32,
    pub(super) hollow: bool,
    /// Where the words must end: the next strip of the row.
    pub(super) until: f32,
    /// Where it is on its way to its place, points below it.
    pub(super) off: f32,
}

/// Draws a strip and takes what is done with it.
#[expect(clippy::too_many_arguments, reason = "what is drawn, where, and in which state")]
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    strip: &Strip,
    time: &Time,
    top: f32,
    (clip, look): (Rect, Look),
) {
    let (Some(first), Some(last)) = (strip.passages.first(), strip.passages.last()) else { return };
    let (left, right) = (time.x(first.from_s), time.x(last.to_s).max(time.x(first.from_s) + 24.0));
    let place = Rect::from_min_max(pos2(left, top), pos2(right, top + measure::ROW - 2.0));
    let response = ui.interact(
        place.intersect(clip),
        ui.scope_id().with(("strip", strip.at.work.as_str(), strip.at.line.as_str())),
        Sense::click_and_drag(),
    );
    let here = view.line.as_ref() == Some(&strip.at);
    response.widget_info(|| WidgetInfo::selected(egui::Role::ListItem, true, here, &strip.label));
    response.dnd_set_drag_payload(Carried::Line(strip.at.clone()));
    let response = response.on_hover_cursor(CursorIcon::Grab);
    let painter = ui.painter().with_clip_rect(clip.intersect(ui.clip_rect()));
    let place = place.translate(vec2(0.0, look.off));
    if response.hovered() && !response.dragged() {
        painter.rect_filled(place.expand2(vec2(4.0, 1.0)), 2.0, scene.tokens.sunken);
    }
    let named = name(&painter, strip, (pos2(left.max(clip.left() + 4.0), place.top()), look), &scene.tokens);
    let ground =
        if look.hollow && strip.player.is_none() { scene.tokens.sunken } else { scene.tokens.ground };
    passages(&painter, scene, strip, time, (place.top() + NAME, clip, ground), look);
    // What is said of it belongs to it: the frame runs round its words too.
    react(ui, scene, view, strip, &response, place.with_max_x(place.right().max(named)));
}

/// The strip's name, with a pin where it is locked, and its beaters; cut where the next strip of the row begins. Returns where they end.
fn name(painter: &Painter, strip: &Strip, (at, look): (egui::Pos2, Look), tokens: &Tokens) -> f32 {
    let end = look.until.min(painter.clip_rect().right() - 2.0);
    let ink = if strip.instrument || look.hollow { tokens.ink } else { tokens.care };
    let left = if strip.locked {
        pin(painter, at + vec2(4.0, 3.0), tokens.ink);
        at.x + 11.0
    } else {
        at.x
    };
    let room = |left: f32| Rect::from_min_max(pos2(left, at.y), pos2(end.max(left), at.y + NAME));
    let font = semibold(size::NOTE);
    let width = painter.layout_no_wrap(strip.name.clone(), font.clone(), ink).size().x;
    marks::text_within(painter, room(left), Align2::LEFT_TOP, &strip.name, font, ink);
    let beaters = room(left + width + 6.0);
    if beaters.width() > 24.0 && !strip.beaters.is_empty() {
        let font = serif_italic(size::NOTE);
        let width = painter.layout_no_wrap(strip.beaters.clone(), font.clone(), ink).size().x;
        marks::text_within(painter, beaters, Align2::LEFT_TOP, &strip.beaters, font, tokens.ink2);
        return (beaters.left() + width).min(end);
    }
    (left + width).min(end)
}

/// A pin seen from the side: its head and its needle.
fn pin(painter: &Painter, at: egui::Pos2, ink: Color32) {
    painter.rect_filled(Rect::from_center_size(at, vec2(7.0, 2.0)), 0.0, ink);
    painter.rect_filled(Rect::from_center_size(at + vec2(0.0, 2.5), vec2(4.0, 4.0)), 0.0, ink);
    painter.line_segment([at + vec2(0.0, 4.0), at + vec2(0.0, 9.0)], Stroke::new(1.2, ink));
}

fn passages(
    painter: &Painter,
    scene: &Scene<'_>,
    strip: &Strip,
    time: &Time,
    (bar, clip, ground): (f32, Rect, Color32),
    look: Look,
) {
    let tokens = scene.tokens;
    let edge = if look.hollow { tokens.ink2 } else { tokens.edge(look.fill) };
    let span = |piece: &Piece| {
        let from = time.x(piece.from_s);
        Rect::from_min_max(pos2(from, bar), pos2(time.x(piece.to_s).max(from + 2.0), bar + BAR))
    };
    for (at, piece) in strip.passages.iter().enumerate() {
        let rect = span(piece);
        // One line of the music: its passages are tied by a thin line of its colour.
        if let Some(next) = strip.passages.get(at + 1).map(span) {
            let middle = bar + BAR / 2.0;
            let tie = Rect::from_min_max(pos2(rect.right(), middle - 0.75), pos2(next.left(), middle + 0.75));
            painter.rect_filled(tie, 0.0, edge);
        }
    }
    for (at, piece) in strip.passages.iter().enumerate() {
        let rect = span(piece);
        if look.hollow {
            painter.rect(rect, 0.0, tokens.raised, Stroke::new(1.2, edge), StrokeKind::Inside);
        } else {
            painter.rect(rect, 0.0, look.fill, Stroke::new(1.0, edge), StrokeKind::Inside);
        }
        let before = at.checked_sub(1).and_then(|at| strip.passages.get(at)).map(|p| span(p).right());
        // What a proposal brings, or the next strip of the row, ends the room for figures as the next passage does.
        let next = strip.passages.get(at + 1).map(|p| span(p).left()).or(Some(look.until));
        let inner = if look.hollow { tokens.ink2 } else { Tokens::on(look.fill) };
        figures(painter, piece, (rect, before, next), (clip, ground), (inner, tokens.ink2));
    }
}

/// A passage's measures: in it, after it or before it, the first number alone where there is room for no more.
fn figures(
    painter: &Painter,
    piece: &Piece,
    (rect, before, next): (Rect, Option<f32>, Option<f32>),
    (clip, ground): (Rect, Color32),
    (inner, outer): (Color32, Color32),
) {
    let first = piece.words.split('–').next().unwrap_or_default();
    for words in [piece.words.as_str(), first] {
        let galley = painter.layout_no_wrap(words.to_owned(), sans(size::NOTE), inner);
        let width = galley.size().x;
        let middle = rect.center();
        if width + 3.0 < rect.width() {
            painter.galley(middle - galley.size() / 2.0, galley, inner);
            return;
        }
        let after = rect.right() + width + 8.0 < next.unwrap_or(f32::INFINITY).min(clip.right());
        let ahead = rect.left() - width - 8.0 > before.unwrap_or(f32::NEG_INFINITY).max(clip.left());
        if after || ahead {
            let left = if after { rect.right() + 3.0 } else { rect.left() - width - 3.0 };
            let beside = Rect::from_min_size(pos2(left, middle.y - galley.size().y / 2.0), galley.size());
            // Figures interrupt the tie, never the reverse.
            painter.rect_filled(beside.expand2(vec2(1.0, 0.0)), 0.0, ground);
            painter.galley_with_override_text_color(beside.min, galley, outer);
            return;
        }
    }
}

fn react(
    ui: &Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    strip: &Strip,
    response: &egui::Response,
    place: Rect,
) {
    let tokens = scene.tokens;
    // A short strip has no room for its measures.
    if let Some((_, line)) = scene.library.line(&strip.at) {
        let words = format!("{}, {}", scene.library.line_name(line), line.where_played());
        response.clone().on_hover_text(words);
    }
    let in_hand = view.in_hand == Some(Carried::Line(strip.at.clone())) || response.dragged();
    if view.line.as_ref() == Some(&strip.at) || in_hand || response.has_focus() {
        let stroke = Stroke::new(if in_hand { 2.0 } else { 1.5 }, tokens.accent);
        let outline = place.expand(2.0).intersect(ui.clip_rect());
        ui.painter().rect_stroke(outline, 1.0, stroke, StrokeKind::Outside);
    }
    if response.dragged()
        && let Some(at) = ui.input(|i| i.pointer.hover_pos())
    {
        slip(ui, &strip.name, at, &tokens);
    }
    if response.clicked() {
        scene.ask(Intent::Select(Some(Selected::Line(strip.at.clone()))));
    }
    if response.double_clicked() {
        scene.ask(Intent::Line(strip.at.clone()));
        scene.ask(Intent::Go(crate::view::Place::Compass));
    }
    let Some(programme) = view.programme.clone() else { return };
    // A line is for the lane below: importing it here would swallow the drop.
    let for_strip =
        response.dnd_hover_payload::<Carried>().is_some_and(|carried| !matches!(*carried, Carried::Line(_)));
    let alt = ui.input(|i| i.modifiers.alt);
    let on = |id: &InstrumentId| PlayOn { line: strip.at.clone(), instrument: id.clone(), beside: alt };
    let with = |id: &BeaterId| Edit::UseBeaters {
        programme: programme.clone(),
        line: strip.at.clone(),
        beaters: vec![id.clone()],
    };
    if for_strip
        && let Some(carried) = response.dnd_hover_payload::<Carried>()
        && let Some(at) = ui.input(|i| i.pointer.hover_pos())
    {
        // What it would take the place of is said before it is let go.
        let words = match &*carried {
            Carried::Instrument(id) => playing_on::words(scene.library, &programme, &on(id)),
            Carried::Beater(id) => backrow_core::edit::words(scene.library, &with(id)),
            Carried::Player(_) | Carried::Line(_) => String::new(),
        };
        if !words.is_empty() {
            slip(ui, &words, at, &tokens);
        }
    }
    if for_strip && let Some(carried) = response.dnd_release_payload::<Carried>() {
        let line = strip.at.clone();
        match &*carried {
            Carried::Instrument(id) => scene.ask(Intent::PlayOn(on(id))),
            Carried::Beater(id) => scene.edit(with(id)),
            Carried::Player(id) => {
                assign_judged(scene, view, &line, id, alt);
            }
            Carried::Line(_) => {}
        }
    }
}

/// The slip under the pointer while a strip is carried.
fn slip(ui: &Ui, words: &str, at: egui::Pos2, tokens: &Tokens) {
    let layer = egui::LayerId::new(egui::Order::Tooltip, egui::Id::unique("carried line"));
    let painter = ui.ctx().layer_painter(layer);
    let galley = painter.layout_no_wrap(words.to_owned(), semibold(size::NOTE), tokens.ink);
    let rect = Rect::from_min_size(at + vec2(12.0, 8.0), galley.size() + vec2(16.0, 8.0));
    painter.rect(rect, 2.0, tokens.raised, Stroke::new(2.0, tokens.accent), StrokeKind::Inside);
    painter.galley(rect.min + vec2(8.0, 4.0), galley, tokens.ink);
}
