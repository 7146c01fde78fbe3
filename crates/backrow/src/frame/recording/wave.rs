//! A take's wave with its strikes: chosen by a click, their beginnings moved by dragging.

use crate::scene::Scene;
use backrow_core::sound::Strike;
use egui::{Pos2, Rect, Sense, Stroke, Ui, pos2, vec2};

/// How high it is drawn, points.
const HIGH: f32 = 120.0;

/// How near to a strike's beginning the pointer takes hold of it, points.
const NEAR: f32 = 6.0;

/// What was done to the wave.
pub(super) enum Touched {
    /// The moment of a click, seconds.
    At(f64),
    /// The beginning of a strike was dragged to a moment, seconds.
    Moved(usize, f64),
}

/// The least and the greatest sample of each of so many parts.
pub(super) fn outline(samples: &[f32], parts: usize) -> Vec<(f32, f32)> {
    let part = |n: usize| {
        let (from, to) = (n * samples.len() / parts.max(1), (n + 1) * samples.len() / parts.max(1));
        let piece = samples.get(from..to).unwrap_or_default();
        piece.iter().fold((0.0f32, 0.0f32), |(low, high), v| (low.min(*v), high.max(*v)))
    };
    (0..parts).map(part).collect()
}

/// Draws the wave and its strikes.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &Scene<'_>,
    wave: &[(f32, f32)],
    length_s: f64,
    (strikes, chosen): (&[Strike], usize),
) -> Option<Touched> {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HIGH), Sense::click_and_drag());
    let words = format!("Wave of {length_s:.1} seconds with {} strikes", strikes.len());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &words));
    let x = |s: f64| {
        #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
        let x = rect.left() + rect.width() * (s / length_s.max(1e-6)) as f32;
        x
    };
    paint(ui, scene, (rect, wave), &x, (strikes, chosen));
    let seconds = |at: Pos2| f64::from((at.x - rect.left()) / rect.width()).clamp(0.0, 1.0) * length_s;
    let pointer = response.interact_pointer_pos()?;
    if response.dragged() {
        let from = ui.input(|input| input.pointer.press_origin()).unwrap_or(pointer);
        let held = ui.data(|data| data.get_temp::<usize>(response.id));
        let near = || strikes.iter().position(|strike| (x(strike.from_s) - from.x).abs() < NEAR);
        let near = held.or_else(near)?;
        ui.data_mut(|data| data.insert_temp(response.id, near));
        return Some(Touched::Moved(near, seconds(pointer)));
    }
    ui.data_mut(|data| data.remove::<usize>(response.id));
    response.clicked().then(|| Touched::At(seconds(pointer)))
}

fn paint(
    ui: &Ui,
    scene: &Scene<'_>,
    (rect, wave): (Rect, &[(f32, f32)]),
    x: &dyn Fn(f64) -> f32,
    (strikes, chosen): (&[Strike], usize),
) {
    let tokens = scene.tokens;
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 2.0, tokens.sunken);
    if let Some(strike) = strikes.get(chosen) {
        let lit = Rect::from_x_y_ranges(x(strike.from_s)..=x(strike.to_s), rect.y_range());
        painter.rect_filled(lit, 0.0, tokens.soft);
    }
    let middle = rect.center().y;
    for (n, (low, high)) in wave.iter().enumerate() {
        let at = rect.left() + rect.width() * (n as f32 + 0.5) / wave.len().max(1) as f32;
        let line = [pos2(at, middle - high * HIGH / 2.0), pos2(at, middle - low * HIGH / 2.0 + 1.0)];
        painter.line_segment(line, Stroke::new(1.0, tokens.ink2));
    }
    for (n, strike) in strikes.iter().enumerate() {
        let width = if n == chosen { 2.0 } else { 1.0 };
        let at = x(strike.from_s);
        painter
            .line_segment([pos2(at, rect.top()), pos2(at, rect.bottom())], Stroke::new(width, tokens.accent));
        let font = crate::theme::sans(crate::theme::tokens::size::NOTE);
        let place = pos2(at + 3.0, rect.top() + 2.0);
        painter.text(place, egui::Align2::LEFT_TOP, (n + 1).to_string(), font, tokens.ink);
    }
}
