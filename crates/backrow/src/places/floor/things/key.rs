//! Numbers and names in a band below the plan.

use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans};
use backrow_core::stage::{Plan, Stood};
use egui::{Align2, Painter, Rect, pos2, vec2};

/// How wide a column is, and how high a row, points.
const COLUMN: f32 = 136.0;
const ROW: f32 = 17.0;
/// More rows than this take too much from the plan, and so does more than this part of the height.
const MOST_ROWS: usize = 7;
const MOST_HIGH: f32 = 0.25;

/// The band for so many things, cut from the foot of `area`; nothing for none.
pub(in super::super) fn band(area: Rect, things: usize) -> Rect {
    let rows = things.div_ceil(columns(area)).min(MOST_ROWS).min(rows_in(area.height() * MOST_HIGH).max(2));
    let height = if rows == 0 { 0.0 } else { ROW * rows as f32 + space::S };
    Rect::from_min_max(pos2(area.left(), area.bottom() - height), area.max)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few rows")]
fn rows_in(height: f32) -> usize {
    (height / ROW).max(0.0) as usize
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few columns")]
fn columns(area: Rect) -> usize {
    ((area.width() / COLUMN).max(1.0) as usize).max(1)
}

/// Draws it, column by column; where there are more than it holds it says so.
pub(in super::super) fn ui(painter: &Painter, scene: &Scene<'_>, plan: &Plan, band: Rect) {
    let mut things: Vec<&Stood> = plan.things.iter().collect();
    things.sort_by_key(|stood| stood.placement.number);
    let columns = columns(band);
    let rows = things.len().div_ceil(columns).clamp(1, rows_in(band.height()).max(1));
    let (room, ink) = (rows * columns, scene.tokens.ink2);
    let shown = if things.len() > room { room - 1 } else { things.len() };
    let cell = |at: usize| {
        let (column, row) = (at / rows, at % rows);
        let min = band.min + vec2(COLUMN * column as f32, space::S + ROW * row as f32);
        Rect::from_min_size(min, vec2(COLUMN - space::S, ROW))
    };
    for (at, stood) in things.iter().take(shown).enumerate() {
        let (rect, number) = (cell(at), stood.placement.number.to_string());
        let name = Rect::from_min_max(rect.min + vec2(24.0, 0.0), rect.max);
        let right = pos2(name.left() - 7.0, rect.center().y);
        marks::text(painter, right, Align2::RIGHT_CENTER, &number, sans(size::NOTE), scene.tokens.ink);
        let words = scene.library.instrument_name(&stood.instrument);
        marks::text_within(painter, name, Align2::LEFT_CENTER, &words, sans(size::NOTE), ink);
    }
    if shown < things.len() {
        let words = format!("and {} more, all on paper", things.len() - shown);
        marks::text_within(painter, cell(shown), Align2::LEFT_CENTER, &words, sans(size::NOTE), ink);
    }
}
