//! A take's wave with its strikes: chosen by a click, their beginnings moved by dragging.

use crate::memo::Memo;
use crate::scene::Scene;
use crate::words::many;
use backrow_core::sound::Strike;
use egui::{Pos2, Rect, Sense, Stroke, Ui, pos2, vec2};
use std::sync::Arc;

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

/// Samples of a block, whose least and greatest are worked out once.
const BLOCK: usize = 256;

/// The shortest part that is seen, seconds: a millisecond is some points wide then.
const SHORTEST_S: f64 = 0.05;

/// A take's samples with their outline.
pub(super) struct Wave {
    samples: Arc<[f32]>,
    rate: u32,
    blocks: Vec<(f32, f32)>,
    /// The outline that was drawn last, and of what: the frames and how many parts.
    drawn: Memo<(usize, usize, usize), Vec<(f32, f32)>>,
}

fn least_and_greatest(samples: &[f32]) -> (f32, f32) {
    samples.iter().fold((0.0f32, 0.0f32), |(low, high), v| (low.min(*v), high.max(*v)))
}

impl Wave {
    /// Of a take; `rate` frames a second.
    pub(super) fn of(samples: &Arc<[f32]>, rate: u32) -> Self {
        let blocks = samples.chunks(BLOCK).map(least_and_greatest).collect();
        Self { samples: Arc::clone(samples), rate, blocks, drawn: Memo::default() }
    }

    fn length_s(&self) -> f64 {
        self.samples.len() as f64 / f64::from(self.rate.max(1))
    }

    fn frame(&self, at_s: f64) -> usize {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "minutes of frames")]
        let frame = (at_s.max(0.0) * f64::from(self.rate)) as usize;
        frame.min(self.samples.len())
    }

    /// The least and the greatest sample of each of so many parts of what lies between two frames.
    fn outline(&self, (from, to): (usize, usize), parts: usize) -> Vec<(f32, f32)> {
        let parts = parts.max(1);
        let at = |n: usize| from + n * to.saturating_sub(from) / parts;
        let part = |n: usize| {
            let (from, to) = (at(n), at(n + 1).max(at(n) + 1));
            if to - from < 4 * BLOCK {
                return least_and_greatest(
                    self.samples.get(from..to.min(self.samples.len())).unwrap_or_default(),
                );
            }
            let blocks =
                self.blocks.get(from / BLOCK..(to / BLOCK).min(self.blocks.len())).unwrap_or_default();
            blocks.iter().fold((0.0f32, 0.0f32), |all, one| (all.0.min(one.0), all.1.max(one.1)))
        };
        (0..parts).map(part).collect()
    }
}

/// Which part of a take is seen; all of it at first.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Seen {
    /// From where to where, seconds.
    part: Option<(f64, f64)>,
}

impl Seen {
    /// From where to where, seconds.
    fn of(self, length_s: f64) -> (f64, f64) {
        self.part.unwrap_or((0.0, length_s))
    }

    /// Makes what is seen so many times as long, around a moment; around the middle where there is none in sight.
    pub(super) fn zoom(&mut self, factor: f64, around_s: Option<f64>, length_s: f64) {
        let (from, to) = self.of(length_s);
        let around = around_s.filter(|at| (from..=to).contains(at)).unwrap_or(f64::midpoint(from, to));
        let long = ((to - from) * factor).max(SHORTEST_S);
        if long >= length_s {
            self.part = None;
            return;
        }
        let share = (around - from) / (to - from).max(1e-9);
        self.place(around - share * long, long, length_s);
    }

    /// Scrolls by so many seconds.
    fn scroll(&mut self, by_s: f64, length_s: f64) {
        if let Some((from, to)) = self.part {
            self.place(from + by_s, to - from, length_s);
        }
    }

    /// Scrolls so that a moment is in sight.
    pub(super) fn show(&mut self, at_s: f64, length_s: f64) {
        if let Some((from, to)) = self.part.filter(|(from, to)| !(*from..*to).contains(&at_s)) {
            let long = to - from;
            self.place(at_s - long / 4.0, long, length_s);
        }
    }

    fn place(&mut self, from: f64, long: f64, length_s: f64) {
        let from = from.min(length_s - long).max(0.0);
        self.part = Some((from, from + long));
    }
}

/// Draws the wave and its strikes.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (wave, seen): (&mut Wave, &mut Seen),
    (strikes, chosen): (&[Strike], usize),
) -> Option<Touched> {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HIGH), Sense::click_and_drag());
    let length_s = wave.length_s();
    let (from_s, to_s) = seen.of(length_s);
    let part =
        if seen.part.is_some() { format!(", seen from {from_s:.2} to {to_s:.2}") } else { String::new() };
    let words = format!("Wave of {length_s:.1} seconds with {}{part}", many(strikes.len(), "strike"));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &words));
    let x = |s: f64| {
        #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
        let x = rect.left() + rect.width() * ((s - from_s) / (to_s - from_s).max(1e-6)) as f32;
        x
    };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few thousand points")]
    let parts = rect.width().max(1.0) as usize;
    let span = (wave.frame(from_s), wave.frame(to_s));
    let mut drawn = std::mem::take(&mut wave.drawn);
    let lines = drawn.get((span.0, span.1, parts), || wave.outline(span, parts));
    paint(ui, scene, (rect, lines), &x, (strikes, chosen));
    wave.drawn = drawn;
    let seconds =
        |at: Pos2| from_s + f64::from((at.x - rect.left()) / rect.width()).clamp(0.0, 1.0) * (to_s - from_s);
    wheel(ui, &response, seen, seconds, length_s);
    let pointer = response.interact_pointer_pos()?;
    if response.dragged() {
        let from = ui.input(|input| input.pointer.press_origin()).unwrap_or(pointer);
        let held = ui.data(|data| data.get_temp::<Option<usize>>(response.id));
        // What the drag began on stays in the hand, a strike or the wave itself.
        let near = || strikes.iter().position(|strike| (x(strike.from_s) - from.x).abs() < NEAR);
        let near = held.unwrap_or_else(near);
        ui.data_mut(|data| data.insert_temp(response.id, near));
        if near.is_none() {
            let by = f64::from(-response.drag_delta().x / rect.width()) * (to_s - from_s);
            seen.scroll(by, length_s);
        }
        return near.map(|near| Touched::Moved(near, seconds(pointer)));
    }
    ui.data_mut(|data| data.remove::<Option<usize>>(response.id));
    response.clicked().then(|| Touched::At(seconds(pointer)))
}

/// The wheel zooms at the pointer; sideways, or with Shift, it scrolls.
fn wheel(ui: &Ui, response: &egui::Response, seen: &mut Seen, seconds: impl Fn(Pos2) -> f64, length_s: f64) {
    let Some(at) = response.hover_pos() else { return };
    let (wheel, zoom) = ui.input(|input| (input.smooth_scroll_delta(), input.zoom_delta()));
    let (from, to) = seen.of(length_s);
    if wheel.x.abs() > 0.0 {
        seen.scroll(f64::from(-wheel.x / response.rect.width()) * (to - from), length_s);
    }
    let factor = f64::from(zoom.recip()) * f64::from(-wheel.y / 200.0).exp();
    if (factor - 1.0).abs() > 1e-3 {
        seen.zoom(factor, Some(seconds(at)), length_s);
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zoom_stays_within_the_take_and_keeps_the_moment_in_its_place() {
        let mut seen = Seen::default();
        seen.zoom(0.5, Some(150.0), 600.0);
        assert_eq!(seen.of(600.0), (75.0, 375.0));
        for _ in 0..40 {
            seen.zoom(0.5, Some(150.0), 600.0);
        }
        let (from, to) = seen.of(600.0);
        assert!((to - from - SHORTEST_S).abs() < 1e-9 && (from..to).contains(&150.0), "{from} {to}");
        seen.scroll(1e9, 600.0);
        assert!((seen.of(600.0).1 - 600.0).abs() < 1e-9);
        seen.show(3.0, 600.0);
        assert!((seen.of(600.0).0..seen.of(600.0).1).contains(&3.0));
        for _ in 0..40 {
            seen.zoom(2.0, None, 600.0);
        }
        assert_eq!(seen, Seen::default());
    }

    #[test]
    fn the_outline_is_the_same_by_blocks_and_by_samples() {
        let samples: Vec<f32> = (0..200_000_u32).map(|n| ((n * 37) % 1000) as f32 / 1000.0 - 0.5).collect();
        let wave = Wave::of(&samples.into(), 48_000);
        for (low, high) in wave.outline((0, 200_000), 100) {
            assert!((low + 0.5).abs() < 1e-6 && (high - 0.499).abs() < 1e-6, "{low} {high}");
        }
        assert_eq!(wave.outline((10, 14), 4).len(), 4);
        assert_eq!(Wave::of(&Vec::<f32>::new().into(), 48_000).outline((0, 0), 3), [(0.0, 0.0); 3]);
    }
}
