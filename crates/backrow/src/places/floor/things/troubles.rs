//! What is wrong or narrow, marked where it is, with words.

use super::super::labels::{Labels, Look};
use super::super::scale::Scale;
use crate::scene::Scene;
use crate::theme::semibold;
use crate::theme::tokens::{Tokens, size};
use backrow_core::collection::{Area, Venue};
use backrow_core::stage::{Checks, Plan};
use egui::{Painter, Pos2, Rect, Shape, Stroke, vec2};

/// Draws what is wrong; its words go into the layer of labels.
pub(super) fn troubles(
    painter: &Painter,
    scene: &Scene<'_>,
    (venue, plan, checks): (&Venue, &Plan, &Checks),
    scale: &Scale,
    labels: &mut Labels,
) {
    let tokens = scene.tokens;
    for over in &checks.overlaps {
        let common = scale.line(&over.overlap.common);
        let bounds = Rect::from_points(&common);
        painter.add(Shape::convex_polygon(common, tokens.clash, Stroke::NONE));
        labels.words(format!("overlap {:.2}\u{202F}m", over.overlap.depth_m), Look::Flag, bounds);
    }
    for trouble in &checks.troubles {
        let piece = scale.line(&trouble.intrusion.piece);
        let bounds = Rect::from_points(&piece);
        painter.add(Shape::closed_line(piece, Stroke::new(2.0, tokens.clash)));
        let area = trouble.area.and_then(|at| venue.keep_out.get(at));
        labels.words(area.map_or_else(|| "off the floor".to_owned(), Area::words), Look::Flag, bounds);
    }
    for hidden in &checks.hidden {
        let (Some(stood), Some(other)) = (plan.things.get(hidden.thing), plan.things.get(hidden.by)) else {
            continue;
        };
        let line = [scale.pos(stood.standing.place), scale.pos(other.placement.at)];
        painter.extend(Shape::dashed_line(&line, Stroke::new(1.2, tokens.care), 5.0, 4.0));
        labels.words_at("conductor hidden", Look::Care, line[0] + (line[1] - line[0]) * 0.5);
    }
    for away in &checks.away {
        let Some(stood) = plan.things.get(away.thing) else { continue };
        let at = Rect::from_center_size(scale.pos(stood.standing.place), vec2(18.0, 18.0));
        labels.words("turned backwards", Look::Care, at);
    }
    for narrow in &checks.narrow {
        let (from, to) = (scale.pos(narrow.gap.from), scale.pos(narrow.gap.to));
        painter.line_segment([from, to], Stroke::new(1.5, tokens.care));
        labels.words(format!("{:.2}\u{202F}m", narrow.gap.metres), Look::Care, Rect::from_two_pos(from, to));
    }
}

/// Words on a bar of clash.
pub(super) fn flag(painter: &Painter, at: Pos2, words: &str, tokens: &Tokens) {
    let galley = painter.layout_no_wrap(words.to_owned(), semibold(size::NOTE), tokens.on_fill());
    let rect = Rect::from_min_size(at, galley.size() + vec2(10.0, 3.0));
    painter.rect_filled(rect, 0.0, tokens.clash);
    painter.galley(rect.min + vec2(5.0, 1.0), galley, tokens.on_fill());
}
