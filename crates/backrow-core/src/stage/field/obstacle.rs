//! One thing that ways go round, or the floor that they stay on.

use super::graph::Node;
use super::{HAIR_M, in_or_on};
use crate::collection::Point;
use crate::stage::figure::Figure;
use crate::stage::plane::{Bounds, cross, inside, minus, nearest_on, plus, sides, times, unit};

/// An outline, clockwise as seen on the plan.
#[derive(Clone, Debug)]
pub(super) struct Obstacle {
    outline: Vec<Point>,
    convex: bool,
    bounds: Bounds,
}

impl Obstacle {
    /// A footprint grown by `by` metres all round.
    pub(super) fn grown(figure: &Figure, by: f64) -> Self {
        let outline = match figure.radius_m {
            // Every other corner of the circle is enough: within 5 mm for a drum of 0.8 m.
            Some(radius) => {
                let out = |p: &Point| {
                    plus(figure.middle, times(minus(*p, figure.middle), (radius + by) / radius.max(1e-3)))
                };
                figure.outline.iter().step_by(2).map(out).collect()
            }
            None => grown_corners(&figure.outline, by),
        };
        Self::of(outline)
    }

    /// An area as drawn; `None` when it has fewer than three corners or no extent.
    pub(super) fn area(outline: &[Point]) -> Option<Self> {
        let twice: f64 = sides(outline).map(|(a, b)| cross(a, b)).sum();
        if outline.len() < 3 || !twice.is_finite() || twice.abs() < 1e-6 {
            return None;
        }
        let mut outline = outline.to_vec();
        if twice < 0.0 {
            outline.reverse();
        }
        Some(Self::of(outline))
    }

    fn of(outline: Vec<Point>) -> Self {
        let convex = bends(&outline).all(|(_, _, bend)| bend >= -1e-12);
        Self { bounds: Bounds::of(&outline), outline, convex }
    }

    pub(super) fn outline(&self) -> &[Point] {
        &self.outline
    }

    /// The corners at which a way may turn: outward ones of a thing (`around`), inward ones of a floor.
    pub(super) fn corners(&self, around: bool) -> Vec<Node> {
        let useful = |bend: f64| if around { bend > 1e-12 } else { bend < -1e-12 };
        bends(&self.outline)
            .filter(|(_, _, bend)| useful(*bend))
            .map(|(at, (before, after), _)| Node::corner(at, before, after))
            .collect()
    }

    /// Whether a point is strictly inside.
    pub(super) fn holds(&self, p: Point) -> bool {
        let point = Bounds { low: p, high: p };
        self.bounds.meets(&point, 0.0) && self.is_deep(p)
    }

    /// Whether a point is inside or on the border.
    pub(super) fn touches(&self, p: Point) -> bool {
        in_or_on(p, &self.outline)
    }

    fn is_deep(&self, p: Point) -> bool {
        if self.convex {
            return sides(&self.outline).all(|(a, b)| depth(a, b, p) > HAIR_M);
        }
        inside(p, &self.outline)
            && sides(&self.outline).all(|(a, b)| nearest_on(p, a, b).distance(p) > HAIR_M)
    }

    /// Whether the straight line from `p` to `q` goes through the inside.
    pub(super) fn stops(&self, p: Point, q: Point) -> bool {
        if !self.bounds.meets(&Bounds::of(&[p, q]), 0.0) {
            return false;
        }
        if self.convex {
            return self.clips(p, q);
        }
        pieces(&self.outline, p, q).into_iter().any(|middle| self.is_deep(middle))
    }

    /// Whether the straight line from `p` to `q` stays inside or on the border; both ends are known to.
    pub(super) fn keeps(&self, p: Point, q: Point) -> bool {
        self.convex || pieces(&self.outline, p, q).into_iter().all(|middle| self.touches(middle))
    }

    /// Cyrus and Beck's clipping of a line by a convex outline, a hair inside its border.
    fn clips(&self, p: Point, q: Point) -> bool {
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        for (a, b) in sides(&self.outline) {
            let (at_p, at_q) = (depth(a, b, p) - HAIR_M, depth(a, b, q) - HAIR_M);
            match (at_p > 0.0, at_q > 0.0) {
                (false, false) => return false,
                (true, true) => {}
                (true, false) => leaves = leaves.min(at_p / (at_p - at_q)),
                (false, true) => enters = enters.max(at_p / (at_p - at_q)),
            }
        }
        enters < leaves
    }
}

/// How deep a point lies behind a side, metres; negative outside.
fn depth(a: Point, b: Point, p: Point) -> f64 {
    let along = minus(b, a);
    cross(along, minus(p, a)) / along.x.hypot(along.y).max(1e-12)
}

/// Each corner with its neighbours, and how the outline bends there: above zero outward.
fn bends(outline: &[Point]) -> impl Iterator<Item = (Point, (Point, Point), f64)> + '_ {
    let count = outline.len();
    let before = outline.iter().copied().cycle().skip(count.saturating_sub(1));
    let after = outline.iter().copied().cycle().skip(1);
    outline
        .iter()
        .zip(before.zip(after))
        .map(|(at, (before, after))| (*at, (before, after), cross(minus(*at, before), minus(after, *at))))
}

/// The middles of the pieces into which an outline cuts the line from `p` to `q`.
pub(super) fn pieces(outline: &[Point], p: Point, q: Point) -> Vec<Point> {
    let mut cuts = vec![0.0, 1.0];
    cuts_into(outline, p, q, &mut cuts);
    middles(cuts, p, q)
}

/// Adds where the sides of an outline cut the line, as shares of its length.
pub(super) fn cuts_into(outline: &[Point], p: Point, q: Point, cuts: &mut Vec<f64>) {
    let way = minus(q, p);
    let square = (way.x * way.x + way.y * way.y).max(1e-18);
    for (a, b) in sides(outline) {
        let side = minus(b, a);
        let (at_a, at_b) = (cross(way, minus(a, p)), cross(way, minus(b, p)));
        let slack = HAIR_M * square.sqrt();
        for (corner, off) in [(a, at_a), (b, at_b)] {
            if off.abs() <= slack {
                let to = minus(corner, p);
                cuts.push(((to.x * way.x + to.y * way.y) / square).clamp(0.0, 1.0));
            }
        }
        if at_a * at_b < 0.0 {
            let off = minus(a, p);
            let t = cross(off, side) / cross(way, side);
            if (0.0..=1.0).contains(&t) {
                cuts.push(t);
            }
        }
    }
}

/// The middles between neighbouring cuts that are not at one place.
pub(super) fn middles(mut cuts: Vec<f64>, p: Point, q: Point) -> Vec<Point> {
    cuts.sort_by(f64::total_cmp);
    let long = p.distance(q);
    let pairs = cuts.iter().zip(cuts.iter().skip(1));
    pairs
        .filter(|(s, t)| (*t - *s) * long > 4.0 * HAIR_M)
        .map(|(s, t)| plus(p, times(minus(q, p), f64::midpoint(*s, *t))))
        .collect()
}

/// A convex outline grown by `by` metres; each corner becomes three points on its arc, which cut at most 14 % of `by` off it
/// where the outline turns by 120 degrees or less.
fn grown_corners(outline: &[Point], by: f64) -> Vec<Point> {
    let mut grown = Vec::new();
    for (at, (before, after), _) in bends(outline) {
        let normal = |a: Point, b: Point| unit(minus(b, a)).map(|along| Point::new(along.y, -along.x));
        let (Some(first), Some(last)) = (normal(before, at), normal(at, after)) else { continue };
        let middle = unit(plus(first, last)).unwrap_or(first);
        grown.extend([first, middle, last].map(|out| plus(at, times(out, by))));
    }
    grown
}

#[cfg(test)]
mod worked;
