//! The lanes: a player each, with strips, tight gaps, and answers while a line is in hand.

use super::answered::{answer_words, assign};
use super::board::{Board, Lane};
use super::strip::{self, Look};
use super::{Time, measure};
use crate::intent::Intent;
use crate::places::section::Here;
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::widgets::focus_ring;
use crate::theme::{marks, motion, sans, semibold, serif_italic};
use crate::view::{Carried, Selected};
use backrow_core::collection::Player;
use backrow_core::moves::{Answer, Refusal};
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
    let height = |lane: &Lane| {
        let flags = if lane.tight.is_empty() { 0.0 } else { measure::FLAGS };
        10.0 + measure::ROW * lane.rows.max(1) as f32 + flags
    };
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
            one(ui, scene, view, board, time, (at, lane), (place, rect), answer);
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
    (place, lanes): (Rect, Rect),
    answer: Option<&Answer>,
) {
    let tokens = scene.tokens;
    let seen = place.intersect(lanes);
    let Some(player) = scene.library.players.get(&lane.player).cloned() else { return };
    let response =
        ui.interact(seen, ui.scope_id().with(("lane", player.id.as_str())), Sense::click_and_drag());
    let word = answer.map_or_else(String::new, |answer| format!(", {}", answer_words(answer).0));
    response
        .widget_info(|| WidgetInfo::labeled(egui::Role::Row, true, format!("Lane {}{word}", player.name)));
    // A player is taken by the head of the lane. Whoever drags over its empty length means something else.
    if ui.input(|i| i.pointer.press_origin()).is_none_or(|at| head_of(place).contains(at)) {
        response.dnd_set_drag_payload(Carried::Player(player.id.clone()));
    }
    let painter = ui.painter().with_clip_rect(seen);
    let fits = answer.is_some_and(|answer| answer_words(answer).1);
    if fits {
        painter.rect_filled(place, 0.0, tokens.soft);
        painter.rect_filled(Rect::from_min_size(place.min, vec2(4.0, place.height())), 0.0, tokens.accent);
    } else if answer.is_none() && response.hovered() {
        painter.rect_filled(head_of(place), 0.0, tokens.sunken);
    }
    if answer.is_some() && response.contains_pointer() {
        painter.rect_stroke(place, 0.0, Stroke::new(1.5, tokens.accent), StrokeKind::Inside);
    }
    focus_ring(ui, &response, &tokens);
    head(&painter, scene, (at, lane), &player, place);
    strips(ui, scene, view, board, time, (lane, player.order), (place, lanes));
    flags(ui, scene, time, lane, (place, seen));
    if let Some(answer) = answer {
        pill(&painter, scene, (board, lane), time, answer, place);
    }
    marks::hairline(&painter, place.x_range(), place.bottom() - 1.0, tokens.line);
    if response.clicked() {
        scene.ask(Intent::Select(Some(Selected::Player(player.id.clone()))));
    }
    if let Some(carried) = response.dnd_release_payload::<Carried>()
        && let Carried::Line(line) = &*carried
    {
        let alt = ui.input(|i| i.modifiers.alt);
        assign(
            scene,
            view,
            line,
            Some(&player.id),
            alt || answer.is_none_or(|answer| answer_words(answer).1),
            answer,
        );
    }
}

/// The lane's head: whose it is.
fn head_of(place: Rect) -> Rect {
    Rect::from_min_size(place.min, vec2(measure::HEAD + space::M, place.height()))
}

/// Disc, name with the key that assigns to it, and what is to be known of the player.
fn head(painter: &Painter, scene: &Scene<'_>, (at, lane): (usize, &Lane), player: &Player, place: Rect) {
    let tokens = scene.tokens;
    marks::disc(painter, place.min + vec2(27.0, 18.0), 22.0, player);
    let right = place.left() + measure::HEAD + space::S;
    let names = Rect::from_min_max(place.min + vec2(44.0, 5.0), pos2(right, place.top() + 41.0));
    let cap = pos2(right - 8.0, names.top() + 10.0);
    let (upper, lower) = names.split_top_bottom_at_fraction(0.5);
    let upper = if at < 8 { upper.with_max_x(cap.x - 14.0) } else { upper };
    marks::text_within(painter, upper, Align2::LEFT_CENTER, &player.name, sans(size::TEXT), tokens.ink);
    marks::text_within(painter, lower, Align2::LEFT_CENTER, &lane.fact, sans(size::NOTE), tokens.ink2);
    if at < 8 {
        marks::key_cap(painter, cap, &(at + 1).to_string(), &tokens);
    }
}

/// The lane's answer where it is decided: at the measures that it speaks of, whole, with a tick or a cross.
fn pill(
    painter: &Painter,
    scene: &Scene<'_>,
    (board, lane): (&Board, &Lane),
    time: &Time,
    answer: &Answer,
    place: Rect,
) {
    let tokens = scene.tokens;
    let (words, fits) = answer_words(answer);
    let ink = if fits { tokens.accent } else { tokens.clash };
    let at_s = match &answer.refusal {
        Some(Refusal::BothSound(step) | Refusal::TooShort(step)) => {
            board.at(&step.from).map(|piece| piece.to_s)
        }
        _ => answer.tightest.as_ref().and_then(|step| board.at(&step.from)).map(|piece| piece.to_s),
    };
    let most = (time.right - time.left - 40.0).max(80.0);
    let galley = painter.layout(words, semibold(size::NOTE), ink, most);
    let size = galley.size() + vec2(26.0, 6.0);
    let from = at_s.map_or(time.left, |at_s| time.x(at_s));
    let top = (place.bottom() - size.y - 3.0).max(place.top() + 2.0);
    let wish = from.min(time.right - size.x).max(time.left - 2.0);
    let left = beside_passages(board, lane, time, &Wish { place, top, left: wish, width: size.x });
    let rect = Rect::from_min_size(pos2(left, top), size);
    painter.rect(rect, size.y.min(24.0) / 2.0, tokens.raised, Stroke::new(1.5, ink), StrokeKind::Inside);
    marks::verdict(painter, rect.left_center() + vec2(13.0, 0.0), fits, ink);
    painter.galley(rect.min + vec2(21.0, 3.0), galley, ink);
}

/// Where a pill would lie, points.
struct Wish {
    /// The lane's place.
    place: Rect,
    top: f32,
    left: f32,
    width: f32,
}

/// Where a pill covers no passage of the rows that it lies over, as near to where it belongs as can be.
fn beside_passages(board: &Board, lane: &Lane, time: &Time, wish: &Wish) -> f32 {
    let Wish { place, top, left: wish, width } = *wish;
    let covered = |row: usize| row_top(place, row) + strip::NAME + strip::BAR > top;
    let rows = lane.strips.iter().filter(|(_, row)| covered(*row));
    let pieces = rows.filter_map(|(at, _)| board.strips.get(*at)).flat_map(|strip| &strip.passages);
    let taken: Vec<(f32, f32)> =
        pieces.map(|piece| (time.x(piece.from_s) - 4.0, time.x(piece.to_s) + 4.0)).collect();
    let free = |left: &f32| {
        let inside = *left >= time.left - 2.0 && left + width <= time.right + space::S;
        inside && taken.iter().all(|(from, to)| left + width <= *from || *to <= *left)
    };
    let beside = taken.iter().flat_map(|(from, to)| [*to, from - width]);
    let near = |a: &f32, b: &f32| (a - wish).abs().total_cmp(&(b - wish).abs());
    std::iter::once(wish).chain(beside).filter(free).min_by(near).unwrap_or(wish)
}

#[expect(clippy::too_many_arguments, reason = "what is drawn, where, and in which state")]
fn strips(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    board: &Board,
    time: &Time,
    (lane, order): (&Lane, u32),
    (place, lanes): (Rect, Rect),
) {
    let fill = Tokens::player(order);
    let all = in_order(board, lane);
    for (at, row) in &lane.strips {
        let Some(strip) = board.strips.get(*at) else { continue };
        let top = row_top(place, *row);
        // What has just changed lanes is seen to come from where it was.
        let id = ui.scope_id().with(("strip’s way", strip.at.work.as_str(), strip.at.line.as_str()));
        let whole = top - lanes.top() + view.own.scroll;
        let off = motion::glide(ui.ctx(), id, whole) - whole;
        let until = until(board, &all, (*at, *row), time);
        let clip = Rect::from_x_y_ranges(time.left - 4.0..=time.right + space::L, lanes.y_range());
        let look = Look { fill, hollow: strip.leaves, until, off };
        strip::ui(ui, scene, view, strip, time, top, (clip, look));
    }
    ghosts(ui, scene, board, time, (lane, order), (place, place.intersect(lanes)));
}

/// The top of a row of strips in a lane.
fn row_top(place: Rect, row: usize) -> f32 {
    place.top() + 5.0 + measure::ROW * row as f32
}

/// Gaps that are too short, or nearly, in a row of their own below the strips: what is needed to scale, and the figures.
fn flags(ui: &Ui, scene: &Scene<'_>, time: &Time, lane: &Lane, (place, seen): (Rect, Rect)) {
    let tokens = scene.tokens;
    let painter = ui.painter().with_clip_rect(seen.intersect(ui.clip_rect()));
    let foot = place.bottom() - 3.0;
    let mut free = f32::MIN;
    for tight in &lane.tight {
        let (from, to) = (time.x(tight.from_s), time.x(tight.to_s));
        if from > time.right || to < time.left {
            continue;
        }
        let ink = if tight.short { tokens.clash } else { tokens.care };
        let end = time.x(tight.from_s + tight.needs_s).max(from + 2.0);
        painter.rect_filled(Rect::from_min_max(pos2(from, foot - 4.0), pos2(end, foot)), 0.0, ink);
        for x in [from, to] {
            marks::upright(&painter, x, foot - measure::FLAGS..=foot, ink);
        }
        let words_ink = if tight.short { tokens.on_fill() } else { tokens.care };
        let galley = painter.layout_no_wrap(tight.words.clone(), semibold(size::NOTE), words_ink);
        let size = galley.size() + vec2(8.0, 1.0);
        let left = (from.max(to).max(end) + 4.0).max(free).min(time.right + space::S - size.x);
        let words = Rect::from_min_size(pos2(left, foot - size.y), size);
        if tight.short {
            painter.rect_filled(words, 0.0, ink);
        }
        painter.galley(words.min + vec2(4.0, 0.0), galley, words_ink);
        free = words.right() + space::XS;
    }
}

/// The lane's strips and those that a proposal would bring, in the order of time.
fn in_order(board: &Board, lane: &Lane) -> Vec<(usize, usize)> {
    let begin =
        |at: usize| board.strips.get(at).and_then(|s| s.passages.first()).map_or(0.0, |piece| piece.from_s);
    let mut all = [lane.strips.as_slice(), lane.ghosts.as_slice()].concat();
    all.sort_by(|(a, _), (b, _)| begin(*a).total_cmp(&begin(*b)));
    all
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
    let stroke = Stroke::new(1.5, scene.tokens.edge(Tokens::player(order)));
    for (at, row) in &lane.ghosts {
        let Some(strip) = board.strips.get(*at) else { continue };
        let top = row_top(place, *row);
        let left = strip.passages.first().map_or(time.left, |p| time.x(p.from_s));
        let from = pos2(left.max(time.left), top);
        let end = until(board, &in_order(board, lane), (*at, *row), time).min(time.right + space::L);
        let room = Rect::from_min_size(from, vec2((end - from.x).max(0.0), measure::ROW));
        let (font, ink) = (serif_italic(size::NOTE), scene.tokens.ink2);
        // Dashes say that it is proposed; where there is room for its name alone, that is what is read.
        let whole = format!("proposed: {}", strip.name);
        let fits = painter.layout_no_wrap(whole.clone(), font.clone(), ink).size().x <= room.width();
        let words = if fits { &whole } else { &strip.name };
        marks::text_within(&painter, room, Align2::LEFT_TOP, words, font, ink);
        for piece in &strip.passages {
            let rect = Rect::from_min_max(
                pos2(time.x(piece.from_s), top + strip::NAME),
                pos2(time.x(piece.to_s).max(time.x(piece.from_s) + 3.0), top + strip::NAME + strip::BAR),
            )
            .shrink(0.75);
            let corners =
                [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
            painter.extend(egui::Shape::dashed_line(&corners, stroke, 4.0, 3.0));
        }
    }
}
