//! A line at a glance: its notes on a small keyboard with their strokes, and its passages along the movement.

use crate::scene::Scene;
use crate::theme::tokens::{Tokens, size};
use crate::theme::{marks, sans};
use backrow_core::compass::PitchSet;
use backrow_core::music::Line;
use backrow_core::pitch::KeyNumber;
use egui::{Align2, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

/// Draws keyboard and passages, side by side over the width that there is.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, line: &Line, end_s: f64) {
    let width = ui.available_width() - 8.0;
    let (rect, response) = ui.allocate_exact_size(vec2(width, 30.0), Sense::hover());
    let notes = notes_words(line);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, &notes));
    let keys = Rect::from_min_size(rect.min, vec2((width * 0.42).min(380.0), rect.height()));
    if line.is_pitched() {
        keyboard(ui, &scene.tokens, line, keys);
    } else {
        let at = keys.left_center();
        marks::text(ui.painter(), at, Align2::LEFT_CENTER, &notes, sans(size::NOTE), scene.tokens.ink2);
    }
    let time = Rect::from_min_max(pos2(keys.right() + 16.0, rect.top()), rect.max);
    passages(ui, &scene.tokens, line, end_s, time);
    let counts: Vec<String> =
        line.written_counts().iter().map(|(note, count)| format!("{} ×{count}", note.written)).collect();
    let hover = if counts.is_empty() { notes } else { format!("{notes}\n{}", counts.join("  ")) };
    response.on_hover_text(hover);
}

/// "19 notes, written E4–B6, sounding E5–B7, 214 strokes" or "24 strokes: high, low".
pub(super) fn notes_words(line: &Line) -> String {
    let counts = line.written_counts();
    let strokes: u32 = counts.iter().map(|(_, count)| count).sum();
    let sounding = line.sounding();
    if let (Some((low, _)), Some((high, _)), Some(from), Some(to)) =
        (counts.first(), counts.last(), sounding.lowest(), sounding.highest())
    {
        let spelling = line.spelling();
        return format!(
            "{} notes, written {}–{}, sounding {}–{}, {strokes} strokes",
            counts.len(),
            low.written,
            high.written,
            spelling.of(from),
            spelling.of(to)
        );
    }
    let mut names: Vec<&str> = Vec::new();
    let mut count = 0;
    for stroke in line.passages.iter().flat_map(|p| &p.unpitched) {
        count += stroke.count;
        if !stroke.name.is_empty() && !names.contains(&stroke.name.as_str()) {
            names.push(&stroke.name);
        }
    }
    let names = if names.is_empty() { String::new() } else { format!(": {}", names.join(", ")) };
    format!("{count} strokes without pitch{names}")
}

/// The octaves that the notes lie in, at sounding pitch; strokes as the height of a bar over each key.
fn keyboard(ui: &Ui, tokens: &Tokens, line: &Line, rect: Rect) {
    let sounding: PitchSet = line.sounding();
    let (Some(low), Some(high)) = (sounding.lowest(), sounding.highest()) else { return };
    let first = i32::from(low.number()) / 12 * 12;
    let last = i32::from(high.number()) / 12 * 12 + 12;
    let octaves = f32::from(i16::try_from((last - first) / 12).unwrap_or(1)).max(1.0);
    let lane = (rect.width() / (octaves * 12.0)).clamp(2.0, 7.0);
    let painter = ui.painter();
    let base = rect.bottom() - 8.0;
    let most = line.written_counts().iter().map(|(_, count)| *count).max().unwrap_or(1).max(1);
    for number in first..last {
        let Ok(key) = KeyNumber::new(number) else { continue };
        let x = rect.left() + f32::from(i16::try_from(number - first).unwrap_or(0)) * lane;
        let cell = Rect::from_min_size(pos2(x, base), vec2(lane - 0.5, 8.0));
        painter.rect_filled(cell, 0.0, if key.is_natural() { tokens.sunken } else { tokens.line });
        if key.pitch_class() == 0 {
            marks::upright(painter, x, rect.top() + 8.0..=rect.bottom(), tokens.line);
            let name = key.to_string();
            let at = pos2(x + 1.0, rect.top());
            marks::text(painter, at, Align2::LEFT_TOP, &name, sans(9.0), tokens.ink2);
        }
    }
    for (note, count) in line.written_counts() {
        let Some(key) = line.sounding_of(&note) else { continue };
        let x = rect.left() + f32::from(i16::try_from(i32::from(key.number()) - first).unwrap_or(0)) * lane;
        // Few strokes and many are told apart, yet one is still seen beside a thousand.
        let share = (f64::from(count).ln_1p() / f64::from(most).ln_1p()).clamp(0.0, 1.0);
        let height = 4.0 + 9.0 * crate::theme::to_f32(share);
        let bar = Rect::from_min_max(pos2(x, base - height), pos2(x + lane - 0.5, base));
        painter.rect_filled(bar, 0.0, tokens.ink);
    }
}

fn passages(ui: &Ui, tokens: &Tokens, line: &Line, end_s: f64, rect: Rect) {
    let painter = ui.painter();
    let middle = rect.center().y + 4.0;
    marks::hairline(painter, rect.x_range(), middle, tokens.line);
    let x = |at_s: f64| {
        rect.left() + rect.width() * crate::theme::to_f32((at_s / end_s.max(1e-9)).clamp(0.0, 1.0))
    };
    let mut free = f32::NEG_INFINITY;
    for passage in &line.passages {
        let (from, to) = (x(passage.from_s), x(passage.to_s).max(x(passage.from_s) + 2.0));
        let bar = Rect::from_min_max(pos2(from, middle - 5.0), pos2(to, middle + 5.0));
        painter.rect_filled(bar, 0.0, tokens.ink2);
        if from > free {
            let measures = if passage.from == passage.to {
                passage.from.to_string()
            } else {
                format!("{}–{}", passage.from, passage.to)
            };
            let words = std::iter::once(measures).chain(passage.dynamics.map(|both| both.to_string()));
            let words = words.collect::<Vec<_>>().join("  ");
            let words = painter.layout_no_wrap(words, sans(10.0), tokens.ink2);
            let left = from.min(rect.right() - words.size().x);
            if left < free {
                continue;
            }
            free = left + words.size().x + 6.0;
            painter.galley(pos2(left, rect.top() - 1.0), words, tokens.ink2);
        }
    }
}
