//! What is seen inside an outline: bars in their true rows, drum heads, racks, the low end.

use super::super::labels::{Labels, Look};
use super::super::scale::Scale;
use crate::theme::tokens::Tokens;
use crate::theme::{marks, sans};
use backrow_core::collection::{Instrument, Layout, Point, Shape as Outline, Side};
use backrow_core::pitch::KeyNumber;
use backrow_core::stage::{Stood, to_floor};
use egui::{Align2, Painter, Rect, Shape, Stroke, vec2};

/// Bars in their true rows, drum heads, racks.
pub(super) fn inside(
    painter: &Painter,
    (instrument, low): (&Instrument, Side),
    stood: &Stood,
    scale: &Scale,
    (labels, tokens): (&mut Labels, &Tokens),
) {
    let at = |x: f64, y: f64| scale.pos(to_floor(&stood.placement, Point::new(x, y)));
    match stood.shape {
        Outline::Round { diameter_m } => {
            let ink = Tokens::mix(tokens.raised, tokens.material(instrument.material), 0.55);
            let radius = crate::theme::to_f32(diameter_m / 2.0) * scale.a_metre;
            painter.circle(at(0.0, 0.0), radius * 0.84, ink, Stroke::new(1.0, tokens.ink2));
        }
        Outline::Hung { width_m, .. } => {
            let bar = [at(-width_m * 0.43, 0.0), at(width_m * 0.43, 0.0)];
            painter.line_segment(bar, Stroke::new(3.0, tokens.edge(tokens.material(instrument.material))));
        }
        Outline::Box { .. } if instrument.is_set() => {
            drums(painter, instrument, low, &at, (scale, labels, tokens));
        }
        Outline::Box { width_m, depth_m } if instrument.is_pitched() => {
            let count = instrument.bar_count().max(1);
            for bar in 0..count {
                let x = width_m * ((f64::from(bar) + 0.5) / f64::from(count) - 0.5) * 0.9;
                let y = if bar % 2 == 0 { -depth_m * 0.15 } else { depth_m * 0.15 };
                painter.circle_filled(at(x, y), 2.0, tokens.edge(tokens.material(instrument.material)));
            }
        }
        Outline::Box { .. } => {}
        Outline::Keyboard { width_m, low_m, high_m } => {
            keyboard(painter, instrument, (width_m, low_m, high_m), &at, tokens);
        }
    }
}

/// The drums of a set in their arc, the low one with its size.
fn drums(
    painter: &Painter,
    instrument: &Instrument,
    low: Side,
    at: &impl Fn(f64, f64) -> egui::Pos2,
    (scale, labels, tokens): (&Scale, &mut Labels, &Tokens),
) {
    let ink = Tokens::mix(tokens.raised, tokens.material(instrument.material), 0.55);
    for (frame, spot) in instrument.frames.iter().zip(instrument.drum_spots(low)) {
        let middle = at(spot.at.x, spot.at.y);
        let radius = crate::theme::to_f32(spot.radius_m) * scale.a_metre;
        painter.circle(middle, radius * 0.94, ink, Stroke::new(1.0, tokens.ink2));
        let size = frame.name.trim_end_matches(" in");
        if radius > 12.0 {
            let words =
                marks::text(painter, middle, Align2::CENTER_CENTER, size, sans(11.0), Tokens::on(ink));
            labels.keep_clear(words);
        }
    }
}

fn keyboard(
    painter: &Painter,
    instrument: &Instrument,
    (width, low_m, high_m): (f64, f64, f64),
    at: &impl Fn(f64, f64) -> egui::Pos2,
    tokens: &Tokens,
) {
    let bars: Vec<KeyNumber> = instrument.bars().iter().collect();
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else { return };
    let natural = |key: &KeyNumber| f64::from(key.number()) * 7.0 / 12.0;
    let (from, span) = (natural(first), natural(last) - natural(first) + 1.0);
    let ink = tokens.edge(tokens.material(instrument.material));
    for key in &bars {
        // The low end is at the right of an unturned plan.
        let share = (natural(key) - from + 0.5) / span;
        let x = width * (0.5 - share) * 0.95;
        let depth = low_m + (high_m - low_m) * share;
        let two = instrument.layout == Layout::TwoRows;
        let (near, far) = match (two, key.is_natural()) {
            (true, true) => (-0.45, 0.0),
            (true, false) => (0.04, 0.45),
            (false, _) => (-0.4, 0.4),
        };
        let half = (width / span * 0.38).min(0.05);
        let corners = [(x - half, near), (x + half, near), (x + half, far), (x - half, far)]
            .map(|(x, y)| at(x, y * depth))
            .to_vec();
        painter.add(Shape::convex_polygon(corners, ink, Stroke::NONE));
    }
}

pub(super) fn wedge(
    painter: &Painter,
    scale: &Scale,
    instrument: &Instrument,
    stood: &Stood,
    low: Point,
    (labels, tokens): (&mut Labels, &Tokens),
) {
    let (tip, middle) = (scale.pos(low), scale.pos(stood.placement.at));
    let out = (tip - middle).normalized();
    let side = vec2(-out.y, out.x);
    let base = tip + out * 3.0;
    let corners = vec![base + side * 4.0, base + out * 7.0, base - side * 4.0];
    painter.add(Shape::convex_polygon(corners, tokens.ink, Stroke::NONE));
    if let Some(key) = instrument.bars().lowest() {
        let wedge = Rect::from_points(&[tip, base + out * 7.0]).expand(4.0);
        labels.keep_clear(wedge);
        labels.words(key.to_string(), Look::Small, wedge);
    }
}
