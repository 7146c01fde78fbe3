//! What is wrong or narrow, marked where it is, with words.

use super::super::scale::Scale;
use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size};
use crate::theme::{marks, semibold};
use backrow_core::collection::{Area, Venue};
use backrow_core::stage::{Checks, Plan};
use egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, vec2};

/// Draws them. `discs` are the middles of the players' discs, over which no words go.
pub(super) fn troubles(
    painter: &Painter,
    scene: &Scene<'_>,
    (venue, plan, checks): (&Venue, &Plan, &Checks),
    scale: &Scale,
    discs: &[Pos2],
) {
    let tokens = scene.tokens;
    let flag = |bounds: Rect, words: &str| flag_beside(painter, bounds, words, discs, &tokens);
    for over in &checks.overlaps {
        let common = scale.line(&over.overlap.common);
        let bounds = Rect::from_points(&common);
        painter.add(Shape::convex_polygon(common, tokens.clash, Stroke::NONE));
        let words = format!("overlap {:.2} m", over.overlap.depth_m);
        flag(bounds, &words);
    }
    for trouble in &checks.troubles {
        let piece = scale.line(&trouble.intrusion.piece);
        let bounds = Rect::from_points(&piece);
        painter.add(Shape::closed_line(piece, Stroke::new(2.0, tokens.clash)));
        let area = trouble.area.and_then(|at| venue.keep_out.get(at));
        flag(bounds, &area.map_or_else(|| "off the floor".to_owned(), Area::words));
    }
    for hidden in &checks.hidden {
        let (Some(stood), Some(other)) = (plan.things.get(hidden.thing), plan.things.get(hidden.by)) else {
            continue;
        };
        let line = [scale.pos(stood.standing.place), scale.pos(other.placement.at)];
        painter.extend(Shape::dashed_line(&line, Stroke::new(1.2, tokens.care), 5.0, 4.0));
        care(painter, line[0] + (line[1] - line[0]) * 0.5, "conductor hidden", &tokens);
    }
    for away in &checks.away {
        let Some(stood) = plan.things.get(away.thing) else { continue };
        let at = scale.pos(stood.standing.place) + vec2(0.0, 14.0);
        care(painter, at, "turned backwards", &tokens);
    }
    for narrow in &checks.narrow {
        let (from, to) = (scale.pos(narrow.gap.from), scale.pos(narrow.gap.to));
        painter.line_segment([from, to], Stroke::new(1.5, tokens.care));
        let at = from + (to - from) * 0.5 + vec2(10.0, 8.0);
        care(painter, at, &format!("{:.2} m", narrow.gap.metres), &tokens);
    }
}

/// The sign of care with its words.
fn care(painter: &Painter, at: Pos2, words: &str, tokens: &Tokens) {
    marks::mark(painter, at, marks::Mark::Care, tokens);
    let right = at + vec2(10.0, 0.0);
    marks::text(painter, right, Align2::LEFT_CENTER, words, semibold(size::NOTE), tokens.care);
}

/// Words on a bar of clash below what they tell of, or where they hide no player.
fn flag_beside(painter: &Painter, bounds: Rect, words: &str, discs: &[Pos2], tokens: &Tokens) {
    let galley = painter.layout_no_wrap(words.to_owned(), semibold(size::NOTE), tokens.on_fill());
    let size = galley.size() + vec2(10.0, 3.0);
    let places = [
        bounds.left_bottom() + vec2(0.0, 6.0),
        bounds.right_bottom() + vec2(-size.x, 6.0),
        bounds.left_top() - vec2(0.0, size.y + 6.0),
        bounds.right_center() + vec2(6.0, -size.y / 2.0),
        bounds.left_center() - vec2(size.x + 6.0, size.y / 2.0),
        bounds.left_bottom() + vec2(0.0, 30.0),
    ];
    let hides = |at: &Pos2| {
        let bar = Rect::from_min_size(*at, size);
        discs.iter().filter(|disc| bar.expand(8.0).contains(**disc)).count()
    };
    if let Some(at) = places.into_iter().min_by_key(hides) {
        flag(painter, at, words, tokens);
    }
}

/// Words on a bar of clash.
pub(super) fn flag(painter: &Painter, at: Pos2, words: &str, tokens: &Tokens) {
    let galley = painter.layout_no_wrap(words.to_owned(), semibold(size::NOTE), tokens.on_fill());
    let rect = Rect::from_min_size(at, galley.size() + vec2(10.0, 3.0));
    painter.rect_filled(rect, 0.0, tokens.clash);
    painter.galley(rect.min + vec2(5.0, 1.0), galley, tokens.on_fill());
}
