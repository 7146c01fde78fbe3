//! Metres to points and back.

use crate::places::floor::Here;
use crate::theme::to_f32;
use backrow_core::collection::{Point, Venue};
use egui::{Pos2, Rect, pos2, vec2};

/// How high the line above the plan is, points.
pub(super) const ABOVE: f32 = 32.0;
/// How much higher while places are proposed: three rows say what they do to the moves.
const SAID: f32 = 56.0;

/// How the floor lies in the drawing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    pub(super) area: Rect,
    /// The line above it, for figures and what is proposed.
    pub(super) above: Rect,
    /// Points a metre; whole while the whole floor is shown, so that the grid falls on pixels.
    pub(super) a_metre: f32,
    middle: Point,
}

impl Scale {
    /// The floor in what `full` leaves below the line.
    pub(super) fn new(full: Rect, venue: &Venue, view: &Here<'_>) -> Self {
        let high = if view.own.proposal.is_some() { ABOVE + SAID } else { ABOVE };
        let above = Rect::from_min_size(full.min, vec2(full.width(), high));
        let area = Rect::from_min_max(above.left_bottom(), full.max);
        let all = || {
            venue
                .floor
                .iter()
                .chain(venue.risers.iter().flat_map(|riser| &riser.outline))
                .chain(venue.conductor.iter())
        };
        let bound = |pick: fn(&Point) -> f64, start: f64, join: fn(f64, f64) -> f64| {
            all().map(pick).fold(start, join)
        };
        let (left, right) = (bound(|p| p.x, 0.0, f64::min), bound(|p| p.x, 1.0, f64::max));
        let (top, bottom) = (bound(|p| p.y, 0.0, f64::min), bound(|p| p.y, 1.0, f64::max));
        let across = area.width() / to_f32(right - left + 0.6);
        let down = area.height() / to_f32(bottom - top + 1.1);
        let zoom = 1.25_f32.powi(view.own.zoom);
        let a_metre = (across.min(down).floor().max(4.0) * zoom).clamp(4.0, 1000.0);
        let middle = Point::new(
            f64::midpoint(left, right) + view.own.pan.x,
            f64::midpoint(top, bottom) + 0.15 + view.own.pan.y,
        );
        Self { area, above, a_metre, middle }
    }

    pub(super) fn pos(&self, point: Point) -> Pos2 {
        let center = self.area.center();
        pos2(
            center.x + to_f32(point.x - self.middle.x) * self.a_metre,
            center.y + to_f32(point.y - self.middle.y) * self.a_metre,
        )
    }

    pub(super) fn point(&self, pos: Pos2) -> Point {
        let center = self.area.center();
        Point::new(
            self.middle.x + f64::from((pos.x - center.x) / self.a_metre),
            self.middle.y + f64::from((pos.y - center.y) / self.a_metre),
        )
    }

    pub(super) fn line(&self, points: &[Point]) -> Vec<Pos2> {
        points.iter().map(|point| self.pos(*point)).collect()
    }
}
