//! The lanes: a player each, with strips, tight gaps, and answers while a line is in hand.

use super::board::{Board, Lane, Strip};
use super::{Time, measure};
use crate::intent::Intent;
use crate::places::section::Here;
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::{marks, sans, semibold, serif_italic};
use crate::view::{Carried, Selected};
use backrow_core::edit::Edit;
use backrow_core::moves::Answer;
use backrow_core::week::LineRef;
use egui::{Align2, Painter, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// Draws the lanes and takes what is dropped on them.
#[expect(clippy::too_many_arguments, reason = "what is drawn, where, and in which state")]
pub(super) fn ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    board: &Board,
    time: &Time,
    rect: Rect,
    answers: Option<&[Answer]>,
) {
    if board.lanes.is_empty() {
        let place = Rect::from_min_size(rect.min + vec2(space::L, space::L), vec2(420.0, 40.0));
        ui.new_child(egui::UiBuilder::new().max_rect(place))
            .label("No players yet. Add them in Collection; the lines below can wait.");
        return;
    }
    let height = |lane: &Lane| 14.0 + measure::ROW * lane.rows.max(1) as f32;
    let all: f32 = board.lanes.iter().map(height).sum();
    scroll(ui, view, board, time, rect, all);
    let mut top = rect.top() - view.own.scroll;
    for (at, lane) in board.lanes.iter().enumerate() {
        let place = Rect::from_min_size(pos2(rect.left(), top), vec2(rect.width(), height(lane)));
        top += place.height();
        let seen = place.intersect(rect);
        if seen.height() > 2.0 {
            let answer =
                answers.and_then(|answers| answers.iter().find(|answer| answer.player == lane.player));
            one(ui, scene, view, board, time, (at, lane), (place, seen), answer);
        }
    }
}

fn scroll(ui: &Ui, view: &mut Here<'_>, board: &Board, time: &Time, rect: Rect, height: f32) {
    let state = &mut *view.own;
    if ui.rect_contains_pointer(rect) {
        let (wheel, zoom) = ui.input(|i| (i.smooth_scroll_delta(), i.zoom_delta()));
        state.scroll -= wheel.y;
        state.from_s -= f64::from(wheel.x) / time.a_second.max(0.01);
        if zoom > 1.01 {
            state.zoom = (state.zoom + 1).min(10);
        } else if zoom < 0.99 {
            state.zoom = state.zoom.saturating_sub(1);
        }
    }
    state.scroll = state.scroll.clamp(0.0, (height - rect.height()).max(0.0));
    let seen = f64::from(time.right - time.left) / time.a_second.max(0.01);
    state.from_s = state.from_s.clamp(0.0, (board.end_s - seen).max(0.0));
}

#[expect(clippy::too_many_arguments, reason = "one lane with everything that it shows")]
fn one(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    board: &Board,
    time: &Time,
    (at, lane): (usize, &Lane),
    (place, seen): (Rect, Rect),
    answer: Option<&Answer>,
) {
    let tokens = scene.tokens;
    let Some(player) = scene.library.players.get(&lane.player).cloned() else { return };
    let response =
        ui.interact(seen, ui.scope_id().with(("lane", player.id.as_str())), Sense::click_and_drag());
    let word = answer.map_or_else(String::new, |answer| format!(", {}", answer_words(answer).0));
    response
        .widget_info(|| WidgetInfo::labeled(egui::Role::Row, true, format!("Lane {}{word}", player.name)));
    response.dnd_set_drag_payload(Carried::Player(player.id.clone()));
    let painter = ui.painter().with_clip_rect(seen);
    let fits = answer.is_some_and(|answer| answer_words(answer).1);
    if fits {
        painter.rect_filled(place, 0.0, tokens.soft);
        painter.rect_filled(Rect::from_min_size(place.min, vec2(4.0, place.height())), 0.0, tokens.accent);
    }
    if answer.is_some() && response.contains_pointer() {
        painter.rect_stroke(place, 0.0, Stroke::new(1.5, tokens.accent), StrokeKind::Inside);
    }
    marks::disc(&painter, place.min + vec2(27.0, 18.0), 22.0, &player);
    let names = Rect::from_min_max(
        place.min + vec2(44.0, 6.0),
        pos2(place.left() + measure::HEAD + 12.0, place.top() + 40.0),
    );
    let key = if at < 8 { format!("{}  {}", player.name, at + 1) } else { player.name.clone() };
    marks::text_within(&painter, names, Align2::LEFT_TOP, &key, sans(size::TEXT), tokens.ink);
    let (fact, ink) = match answer {
        Some(answer) => (answer_words(answer).0, if fits { tokens.accent } else { tokens.clash }),
        None => (lane.fact.clone(), tokens.ink2),
    };
    if answer.is_some() {
        let galley = painter.layout(fact, sans(11.0), ink, measure::HEAD + 8.0);
        painter.galley(place.min + vec2(12.0, 28.0), galley, ink);
    } else {
        marks::text_within(&painter, names, Align2::LEFT_BOTTOM, &fact, sans(size::NOTE), ink);
    }
    strips(ui, scene, view, board, time, (lane, player.order), (place, seen));
    marks::hairline(&painter, place.x_range(), place.bottom() - 1.0, tokens.line);
    if response.clicked() {
        scene.ask(Intent::Select(Some(Selected::Player(player.id.clone()))));
    }
    if let Some(carried) = response.dnd_release_payload::<Carried>()
        && let Carried::Line(line) = &*carried
    {
        let alt = ui.input(|i| i.modifiers.alt);
        give(
            scene,
            view,
            line,
            Some(&player.id),
            alt || answer.is_none_or(|answer| answer_words(answer).1),
            answer,
        );
    }
}

/// The lane's answer in words, and whether it goes.
pub(super) fn answer_words(answer: &Answer) -> (String, bool) {
    match &answer.refusal {
        Some(_) => (format!("No: {}", answer.reason), false),
        None if answer.reason.is_empty() => ("Fits".to_owned(), true),
        None => (format!("Fits: {}", answer.reason), true),
    }
}

/// Gives a line to a player or to nobody; a refused one says why and how it goes all the same.
pub(super) fn give(
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    line: &LineRef,
    player: Option<&backrow_core::id::PlayerId>,
    goes: bool,
    answer: Option<&Answer>,
) {
    let Some(programme) = view.programme.clone() else { return };
    view.in_hand = None;
    if goes {
        scene.edit(Edit::Give { programme, line: line.clone(), player: player.cloned() });
    } else if let Some(answer) = answer {
        scene.ask(Intent::Say(format!("{}. Hold Alt to give it all the same.", answer_words(answer).0)));
    }
}

/// Gives a line to a player when it goes, or `all_the_same`; else says why not.
pub(super) fn give_judged(
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    line: &LineRef,
    player: &backrow_core::id::PlayerId,
    all_the_same: bool,
) {
    let answers = super::answers(scene.derived.evening(), line);
    let answer = answers.iter().find(|answer| answer.player == *player);
    let goes = all_the_same || answer.is_none_or(|answer| answer_words(answer).1);
    give(scene, view, line, Some(player), goes, answer);
}

#[expect(clippy::too_many_arguments, reason = "what is drawn, where, and in which state")]
fn strips(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    board: &Board,
    time: &Time,
    (lane, order): (&Lane, u32),
    (place, seen): (Rect, Rect),
) {
    let ink = Tokens::player(order);
    for (at, row) in &lane.strips {
        let Some(strip) = board.strips.get(*at) else { continue };
        let top = place.top() + 4.0 + measure::ROW * *row as f32;
        let until = until(board, &lane.strips, (*at, *row), time);
        let clip = Rect::from_x_y_ranges(time.left - 4.0..=time.right + space::L, seen.y_range());
        strip_ui(
            ui,
            scene,
            view,
            strip,
            time,
            top,
            (clip, Look { fill: ink, ink: Tokens::on_player(order), hollow: strip.leaves, until }),
        );
    }
    ghosts(ui, scene, board, time, (lane, order), (place, seen));
    let tokens = scene.tokens;
    let painter = ui.painter().with_clip_rect(seen);
    for tight in &lane.tight {
        let (from, to) = (time.x(tight.from_s), time.x(tight.to_s));
        let need = Rect::from_min_max(
            pos2(from, place.bottom() - 6.0),
            pos2(time.x(tight.from_s + tight.needs_s).max(from + 2.0), place.bottom() - 2.0),
        );
        let ink = if tight.short { tokens.clash } else { tokens.care };
        painter.rect_filled(need, 0.0, ink);
        for x in [from, to] {
            marks::upright(&painter, x, place.bottom() - 20.0..=place.bottom() - 2.0, ink);
        }
        let galley = painter.layout_no_wrap(tight.words.clone(), semibold(size::NOTE), tokens.on_fill());
        let words = Rect::from_min_size(
            pos2(from.max(to) + 4.0, place.bottom() - 19.0),
            galley.size() + vec2(8.0, 1.0),
        );
        if tight.short {
            painter.rect_filled(words, 0.0, ink);
            painter.galley(words.min + vec2(4.0, 0.0), galley, tokens.on_fill());
        } else {
            marks::text(
                &painter,
                words.min + vec2(2.0, 0.0),
                Align2::LEFT_TOP,
                &tight.words,
                sans(size::NOTE),
                tokens.ink2,
            );
        }
    }
}

/// Where a strip's words must end: at the next strip of its row. A row's strips are in the order of time.
fn until(board: &Board, placed: &[(usize, usize)], (at, row): (usize, usize), time: &Time) -> f32 {
    let begin = |at: usize| board.strips.get(at).and_then(|s| s.passages.first()).map(|p| p.from_s);
    let after = placed.iter().skip_while(|(other, _)| *other != at).skip(1);
    let next = after.filter(|(_, other)| *other == row).find_map(|(at, _)| begin(*at));
    next.map_or(f32::INFINITY, |from_s| time.x(from_s) - 4.0)
}

/// What a proposal would bring to the lane: passages in dashes of the player's colour, a click takes it.
fn ghosts(
    ui: &Ui,
    scene: &Scene<'_>,
    board: &Board,
    time: &Time,
    (lane, order): (&Lane, u32),
    (place, seen): (Rect, Rect),
) {
    let painter = ui
        .painter()
        .with_clip_rect(Rect::from_x_y_ranges(time.left - 4.0..=time.right + space::L, seen.y_range()));
    let stroke = Stroke::new(1.5, Tokens::player(order));
    for (at, row) in &lane.ghosts {
        let Some(strip) = board.strips.get(*at) else { continue };
        let top = place.top() + 4.0 + measure::ROW * *row as f32;
        let left = strip.passages.first().map_or(time.left, |p| time.x(p.from_s));
        let from = pos2(left.max(time.left), top);
        let words = format!("proposed: {}", strip.name);
        let room =
            vec2((until(board, &lane.ghosts, (*at, *row), time) - from.x).clamp(0.0, 9999.0), measure::ROW);
        let (room, ink) = (Rect::from_min_size(from, room), scene.tokens.ink2);
        marks::text_within(&painter, room, Align2::LEFT_TOP, &words, serif_italic(size::NOTE), ink);
        for piece in &strip.passages {
            let rect = Rect::from_min_max(
                pos2(time.x(piece.from_s), top + measure::ROW - 18.0),
                pos2(time.x(piece.to_s).max(time.x(piece.from_s) + 3.0), top + measure::ROW - 3.0),
            )
            .shrink(0.75);
            let corners =
                [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
            painter.extend(egui::Shape::dashed_line(&corners, stroke, 4.0, 3.0));
        }
    }
}

/// How a strip is drawn.
#[derive(Clone, Copy)]
pub(super) struct Look {
    pub(super) fill: egui::Color32,
    pub(super) ink: egui::Color32,
    pub(super) hollow: bool,
    /// Where the words must end: the next strip of the row.
    pub(super) until: f32,
}

/// Draws a strip; it can be selected, dragged, and dropped upon.
#[expect(clippy::too_many_arguments, reason = "what is drawn, where, and in which state")]
pub(super) fn strip_ui(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    strip: &Strip,
    time: &Time,
    top: f32,
    (clip, look): (Rect, Look),
) {
    let tokens = scene.tokens;
    let (Some(first), Some(last)) = (strip.passages.first(), strip.passages.last()) else { return };
    let (left, right) = (time.x(first.from_s), time.x(last.to_s).max(time.x(first.from_s) + 24.0));
    let place = Rect::from_min_max(pos2(left, top), pos2(right, top + measure::ROW - 3.0));
    let response = ui.interact(
        place.intersect(clip),
        ui.scope_id().with(("strip", strip.at.work.as_str(), strip.at.line.as_str())),
        Sense::click_and_drag(),
    );
    let here = view.line.as_ref() == Some(&strip.at);
    response.widget_info(|| WidgetInfo::selected(egui::Role::ListItem, true, here, &strip.label));
    response.dnd_set_drag_payload(Carried::Line(strip.at.clone()));
    let painter = ui.painter().with_clip_rect(clip.intersect(ui.clip_rect()));
    let bar = place.bottom() - 15.0;
    let ground = if look.hollow && strip.player.is_none() { tokens.sunken } else { tokens.ground };
    let pin = if strip.pinned { "• " } else { "" };
    let before_next = Rect::from_x_y_ranges(f32::NEG_INFINITY..=look.until, painter.clip_rect().y_range());
    let words = painter.with_clip_rect(painter.clip_rect().intersect(before_next));
    let name = marks::text(
        &words,
        pos2(left.max(clip.left() + 4.0), top),
        Align2::LEFT_TOP,
        &format!("{pin}{}", strip.name),
        semibold(size::NOTE),
        if strip.instrument || look.hollow { tokens.ink } else { tokens.care },
    );
    marks::text(
        &words,
        pos2(name.right() + 6.0, top),
        Align2::LEFT_TOP,
        &strip.beaters,
        serif_italic(size::NOTE),
        tokens.ink2,
    );
    for (at, piece) in strip.passages.iter().enumerate() {
        let rect = Rect::from_min_max(
            pos2(time.x(piece.from_s), bar),
            pos2(time.x(piece.to_s).max(time.x(piece.from_s) + 2.0), bar + 15.0),
        );
        if look.hollow {
            painter.rect(rect, 0.0, tokens.raised, Stroke::new(1.2, tokens.ink2), StrokeKind::Inside);
        } else {
            painter.rect_filled(rect, 0.0, look.fill);
        }
        let next = strip.passages.get(at + 1).map_or(f32::INFINITY, |next| time.x(next.from_s));
        let ink = if look.hollow { tokens.ink2 } else { look.ink };
        let galley = painter.layout_no_wrap(piece.words.clone(), sans(11.0), ink);
        let beside = galley.size().x + 8.0;
        let before = at.checked_sub(1).and_then(|at| strip.passages.get(at)).map(|p| time.x(p.to_s));
        let mut free = rect.right();
        if galley.size().x + 6.0 < rect.width() {
            painter.galley(pos2(rect.center().x - galley.size().x / 2.0, bar + 0.5), galley, ink);
        } else if rect.right() + beside < next.min(clip.right()) {
            let at = pos2(rect.right() + 4.0, bar + 0.5);
            free = marks::text(&painter, at, Align2::LEFT_TOP, &piece.words, sans(11.0), tokens.ink2).right()
                + 2.0;
        } else if next.is_infinite() && before.is_none_or(|before| before + beside < rect.left()) {
            // At the right edge the words stand before it, on the ground of the dots.
            let words = Rect::from_min_size(pos2(rect.left() - beside + 2.0, bar + 0.5), galley.size());
            painter.rect_filled(words.expand2(vec2(2.0, 0.0)), 0.0, ground);
            marks::text(&painter, words.min, Align2::LEFT_TOP, &piece.words, sans(11.0), tokens.ink2);
        }
        // Words interrupt the dotted line, never the reverse.
        if next.is_finite() {
            dots(&painter, free..=next, bar + 7.5, look.fill);
        }
    }
    react(ui, scene, view, strip, &response, place);
}

fn dots(painter: &Painter, x: std::ops::RangeInclusive<f32>, y: f32, ink: egui::Color32) {
    let (from, to) = (x.start().max(painter.clip_rect().left()), x.end().min(painter.clip_rect().right()));
    if to > from {
        painter.extend(egui::Shape::dotted_line(&[pos2(from + 3.0, y), pos2(to, y)], ink, 5.0, 0.9));
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
    let in_hand = view.in_hand == Some(Carried::Line(strip.at.clone())) || response.dragged();
    if view.line.as_ref() == Some(&strip.at) || in_hand || response.has_focus() {
        let width = if in_hand { 2.0 } else { 1.5 };
        ui.painter().rect_stroke(
            place.expand(2.0).intersect(ui.clip_rect()),
            1.0,
            Stroke::new(width, tokens.accent),
            StrokeKind::Outside,
        );
    }
    if response.dragged()
        && let Some(at) = ui.input(|i| i.pointer.hover_pos())
    {
        let painter = ui
            .ctx()
            .layer_painter(egui::LayerId::new(egui::Order::Tooltip, egui::Id::unique("carried line")));
        let galley = painter.layout_no_wrap(strip.name.clone(), semibold(size::NOTE), tokens.ink);
        let rect = Rect::from_min_size(at + vec2(12.0, 8.0), galley.size() + vec2(16.0, 8.0));
        painter.rect(rect, 2.0, tokens.raised, Stroke::new(2.0, tokens.accent), StrokeKind::Inside);
        painter.galley(rect.min + vec2(8.0, 4.0), galley, tokens.ink);
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
    if for_strip && let Some(carried) = response.dnd_release_payload::<Carried>() {
        let line = strip.at.clone();
        match &*carried {
            Carried::Instrument(id) => {
                scene.edit(Edit::UseInstruments { programme, line, instruments: vec![id.clone()] });
            }
            Carried::Beater(id) => {
                scene.edit(Edit::UseBeaters { programme, line, beaters: vec![id.clone()] });
            }
            Carried::Player(id) => {
                let alt = ui.input(|i| i.modifiers.alt);
                give_judged(scene, view, &line, id, alt);
            }
            Carried::Line(_) => {}
        }
    }
}
