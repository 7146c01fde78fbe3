//! Music stands and stools: small outlines, a stand with the line of its desk, a stool round.

use super::super::scale::Scale;
use crate::theme::Tokens;
use backrow_core::stage::{Furnishing, Furniture};
use egui::{Painter, Shape, Stroke};

/// Thin, as they are nobody's obstacle.
const WIDTH: f32 = 1.0;

pub(super) fn draw(painter: &Painter, all: &[Furniture], scale: &Scale, tokens: &Tokens) {
    let stroke = Stroke::new(WIDTH, tokens.ink2);
    for one in all {
        let outline = scale.line(&one.figure.outline);
        // The edge towards the player, on which the part stands.
        if let (Furnishing::MusicStand, [left, right, ..]) = (one.what, outline.as_slice()) {
            painter.line_segment([*left, *right], Stroke::new(2.0 * WIDTH, tokens.ink2));
        }
        painter.add(Shape::closed_line(outline, stroke));
    }
}
