//! Numbers and names in the plan's empty corners.

use super::super::scale::Scale;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans};
use backrow_core::stage::{Plan, Stood};
use egui::{Align2, Painter, Rect, pos2, vec2};

/// Numbers and names in the plan's empty corners; only in the left one while the loads take the right.
pub(super) fn key(painter: &Painter, scene: &Scene<'_>, plan: &Plan, scale: &Scale, left_only: bool) {
    let tokens = scene.tokens;
    if plan.things.is_empty() {
        let words = "Nothing stands here yet. Drag the largest first, from below.";
        marks::text(
            painter,
            scale.area.center(),
            Align2::CENTER_CENTER,
            words,
            sans(size::TEXT),
            tokens.ink2,
        );
        return;
    }
    let mut things: Vec<&Stood> = plan.things.iter().collect();
    things.sort_by_key(|stood| stood.placement.number);
    let rows = 6;
    for (at, stood) in things.iter().enumerate() {
        let (column, row) = (at / rows, at % rows);
        if left_only && column > 1 {
            break;
        }
        let bottom = scale.area.bottom() - 40.0 - 17.0 * (rows - 1 - row) as f32;
        // Two columns at the left, the rest at the right, clear of the conductor.
        let x = if column < 2 {
            scale.area.left() + space::M + 150.0 * column as f32
        } else {
            scale.area.right() - 165.0 * (column - 1) as f32
        };
        let words =
            format!("{}  {}", stood.placement.number, scene.library.instrument_name(&stood.instrument));
        let rect = Rect::from_min_size(pos2(x, bottom - 15.0), vec2(145.0, 15.0));
        if rect.left() > scale.area.center().x - 60.0 || column < 2 {
            let wide = painter.layout_no_wrap(words.clone(), sans(size::NOTE), tokens.ink2).size().x;
            let ground = Rect::from_min_size(rect.min, vec2(wide.min(rect.width()) + 4.0, 15.0));
            painter.rect_filled(ground, 0.0, tokens.raised);
            marks::text_within(painter, rect, Align2::LEFT_CENTER, &words, sans(size::NOTE), tokens.ink2);
        }
    }
}
