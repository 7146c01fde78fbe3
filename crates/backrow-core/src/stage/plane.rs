//! Small plane geometry on [`Point`], and the bridge to the geometry library.

use crate::collection::Point;
use geo::{
    Area as _, BooleanOps as _, ConvexHull as _, Coord, LineString, MultiPoint, MultiPolygon, Polygon,
};

/// Below this many metres two places are one: a micrometre.
pub(super) const TINY_M: f64 = 1e-6;
/// Below this many square metres a common area is none: a square centimetre.
pub(super) const TINY_M2: f64 = 1e-4;

pub(super) fn minus(a: Point, b: Point) -> Point {
    Point::new(a.x - b.x, a.y - b.y)
}

pub(super) fn plus(a: Point, b: Point) -> Point {
    Point::new(a.x + b.x, a.y + b.y)
}

pub(super) fn times(a: Point, k: f64) -> Point {
    Point::new(a.x * k, a.y * k)
}

pub(super) fn dot(a: Point, b: Point) -> f64 {
    a.x * b.x + a.y * b.y
}

/// Positive when `b` lies clockwise of `a` as seen on the plan (y runs down).
pub(super) fn cross(a: Point, b: Point) -> f64 {
    a.x * b.y - a.y * b.x
}

/// The vector of length 1 in that direction; `None` for none.
pub(super) fn unit(a: Point) -> Option<Point> {
    let length = a.x.hypot(a.y);
    (length > 1e-12).then(|| times(a, 1.0 / length))
}

/// The sides of a closed outline.
pub(super) fn sides(outline: &[Point]) -> impl Iterator<Item = (Point, Point)> + Clone + '_ {
    outline.iter().copied().zip(outline.iter().copied().cycle().skip(1))
}

/// The point of the segment `a`-`b` that is nearest to `p`.
pub(super) fn nearest_on(p: Point, a: Point, b: Point) -> Point {
    let along = minus(b, a);
    let square = dot(along, along);
    if square <= 0.0 {
        return a;
    }
    plus(a, times(along, (dot(minus(p, a), along) / square).clamp(0.0, 1.0)))
}

/// The point of an outline's border that is nearest to `p`; `None` for an empty outline.
pub(super) fn nearest_on_border(p: Point, outline: &[Point]) -> Option<Point> {
    let near = sides(outline).map(|(a, b)| nearest_on(p, a, b));
    near.min_by(|a, b| p.distance(*a).total_cmp(&p.distance(*b)))
}

/// Lowest and highest x and y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bounds {
    pub(super) low: Point,
    pub(super) high: Point,
}

impl Bounds {
    pub(super) fn of(points: &[Point]) -> Self {
        let mut bounds = Self {
            low: Point::new(f64::INFINITY, f64::INFINITY),
            high: Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
        };
        for p in points {
            bounds.low = Point::new(bounds.low.x.min(p.x), bounds.low.y.min(p.y));
            bounds.high = Point::new(bounds.high.x.max(p.x), bounds.high.y.max(p.y));
        }
        bounds
    }

    /// Whether the two come nearer to each other than `reach` in both x and y.
    pub(super) fn meets(&self, other: &Self, reach: f64) -> bool {
        self.low.x - reach < other.high.x
            && other.low.x - reach < self.high.x
            && self.low.y - reach < other.high.y
            && other.low.y - reach < self.high.y
    }
}

/// Twice the signed area of the triangle, with a sign that is exact (Shewchuk's adaptive predicate, through `geo`).
pub(super) fn robust(p: Point, q: Point, r: Point) -> f64 {
    use geo::Kernel as _;
    let sign = geo::kernels::RobustKernel::orient2d(coord(p), coord(q), coord(r));
    match sign {
        geo::Orientation::CounterClockwise => 1.0,
        geo::Orientation::Clockwise => -1.0,
        geo::Orientation::Collinear => 0.0,
    }
}

pub(super) fn coord(p: Point) -> Coord<f64> {
    Coord { x: p.x, y: p.y }
}

/// An outline as the library's polygon.
pub(super) fn polygon(outline: &[Point]) -> Polygon<f64> {
    Polygon::new(LineString::new(outline.iter().copied().map(coord).collect()), Vec::new())
}

/// The corners of the largest piece, without the closing one; empty when there is none.
pub(super) fn largest(pieces: &MultiPolygon<f64>) -> Vec<Point> {
    let piece = pieces.iter().max_by(|a, b| a.unsigned_area().total_cmp(&b.unsigned_area()));
    piece.map_or_else(Vec::new, corners)
}

/// The corners of every piece.
pub(super) fn all_corners(pieces: &MultiPolygon<f64>) -> Vec<Point> {
    pieces.iter().flat_map(corners).collect()
}

fn corners(piece: &Polygon<f64>) -> Vec<Point> {
    let ring = &piece.exterior().0;
    let open = ring.len().saturating_sub(1);
    ring.iter().take(open).map(|c| Point::new(c.x, c.y)).collect()
}

/// Area of an outline, square metres.
pub(super) fn area_m2(outline: &[Point]) -> f64 {
    polygon(outline).unsigned_area()
}

/// Whether a point is inside an outline, not on its border. Counts the sides to the right of the point, with the
/// library's exact orientation test; the library's own answer would first copy the outline.
pub fn inside(p: Point, outline: &[Point]) -> bool {
    let mut odd = false;
    let within = |p: f64, a: f64, b: f64| p >= a.min(b) && p <= a.max(b);
    for (a, b) in sides(outline).filter(|(a, b)| within(p.y, a.y, b.y)) {
        let side = robust(a, b, p);
        if side == 0.0 && within(p.x, a.x, b.x) {
            return false;
        }
        if (a.y > p.y) != (b.y > p.y) {
            odd ^= (side > 0.0) == (b.y > a.y);
        }
    }
    odd
}

/// What two outlines have in common.
pub(super) fn common(a: &[Point], b: &[Point]) -> MultiPolygon<f64> {
    polygon(a).intersection(&polygon(b))
}

/// What `a` has and `b` has not.
pub(super) fn beyond(a: &[Point], b: &[Point]) -> MultiPolygon<f64> {
    polygon(a).difference(&polygon(b))
}

/// Square metres of all pieces together.
pub(super) fn pieces_m2(pieces: &MultiPolygon<f64>) -> f64 {
    pieces.unsigned_area()
}

/// How an outline lies to a larger area.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lies {
    Inside,
    Outside,
    /// Some of its border is on each side, or too near to say without working out the areas.
    Unclear,
}

/// The convex outline round points, corners in order and the first not repeated.
pub(super) fn hull(points: &[Point]) -> Vec<Point> {
    let all: MultiPoint<f64> = points.iter().map(|p| geo::Point::new(p.x, p.y)).collect();
    let ring = all.convex_hull();
    let mut corners: Vec<Point> = ring.exterior().coords().map(|c| Point::new(c.x, c.y)).collect();
    corners.pop();
    corners
}

/// A quick answer, without areas: wholly inside, wholly outside, or unclear.
pub(super) fn lies(outline: &[Point], area: &[Point]) -> Lies {
    if outline.is_empty() || area.len() < 3 || !Bounds::of(outline).meets(&Bounds::of(area), TINY_M) {
        return Lies::Outside;
    }
    let touches = sides(area).any(|(c, d)| {
        let box_of = Bounds::of(&[c, d]);
        Bounds::of(outline).meets(&box_of, TINY_M) && sides(outline).any(|(a, b)| meets(a, b, c, d))
    });
    if touches {
        return Lies::Unclear;
    }
    // No border meets: one is inside the other, or they are apart.
    let within = outline.first().is_some_and(|p| inside(*p, area));
    let around = area.first().is_some_and(|p| inside(*p, outline));
    match (within, around) {
        (true, _) => Lies::Inside,
        (false, true) => Lies::Unclear,
        (false, false) => Lies::Outside,
    }
}

/// Whether two closed segments share a point.
fn meets(a: Point, b: Point, c: Point, d: Point) -> bool {
    if !Bounds::of(&[a, b]).meets(&Bounds::of(&[c, d]), TINY_M) {
        return false;
    }
    robust(a, b, c) * robust(a, b, d) <= 0.0 && robust(c, d, a) * robust(c, d, b) <= 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::Contains as _;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn inside_is_the_librarys_answer(
            corners in proptest::collection::vec((-4..4_i32, -4..4_i32), 3..9), x in -9..9_i32, y in -9..9_i32,
        ) {
            // Sorted by angle round a middle of their own, so that the outline does not cross itself; whole and half
            // numbers, so that points often lie on corners and sides.
            let middle = (0.31, 0.17);
            let mut outline: Vec<Point> =
                corners.iter().map(|(x, y)| Point::new(f64::from(*x), f64::from(*y))).collect();
            outline.sort_by(|a, b| {
                let angle = |p: &Point| (p.y - middle.1).atan2(p.x - middle.0);
                angle(a).total_cmp(&angle(b))
            });
            outline.dedup();
            let p = Point::new(f64::from(x) / 2.0, f64::from(y) / 2.0);
            let twice: f64 = sides(&outline).map(|(a, b)| cross(a, b)).sum();
            prop_assume!(outline.len() >= 3 && twice.abs() > 1e-9);
            prop_assert_eq!(inside(p, &outline), polygon(&outline).contains(&coord(p)));
        }
    }

    fn p(x: f64, y: f64) -> Point {
        Point::new(x, y)
    }

    fn square(x: (f64, f64), y: (f64, f64)) -> Vec<Point> {
        vec![p(x.0, y.0), p(x.1, y.0), p(x.1, y.1), p(x.0, y.1)]
    }

    #[test]
    fn vectors_by_hand() {
        assert_eq!(
            (plus(p(1.0, 2.0), p(3.0, 5.0)), minus(p(1.0, 2.0), p(3.0, 5.0))),
            (p(4.0, 7.0), p(-2.0, -3.0))
        );
        assert_eq!(times(p(1.0, -2.0), 3.0), p(3.0, -6.0));
        // 3*5 + 4*2 and 3*2 - 4*5.
        assert_eq!((dot(p(3.0, 4.0), p(5.0, 2.0)), cross(p(3.0, 4.0), p(5.0, 2.0))), (23.0, -14.0));
        assert_eq!((unit(p(0.0, -2.0)), unit(p(0.0, 0.0))), (Some(p(0.0, -1.0)), None));
        assert!(unit(p(3.0, 4.0)).is_some_and(|one| one.distance(p(0.6, 0.8)) < 1e-12));
        assert!(robust(p(0.0, 0.0), p(1.0, 0.0), p(0.0, 1.0)) > 0.0);
        assert!(robust(p(0.0, 0.0), p(0.0, 1.0), p(1.0, 0.0)) < 0.0);
    }

    #[test]
    fn the_nearest_point_lies_on_the_segment() {
        let (a, b) = (p(1.0, 1.0), p(5.0, 1.0));
        let near = |q: Point| nearest_on(q, a, b);
        assert_eq!((near(p(2.0, 3.0)), near(p(0.0, 3.0)), near(p(9.0, 0.0))), (p(2.0, 1.0), a, b));
        assert_eq!(nearest_on(p(9.0, 9.0), a, a), a, "a segment of no length");
        let outline = square((0.0, 4.0), (0.0, 2.0));
        assert_eq!(nearest_on_border(p(3.5, 1.0), &outline), Some(p(4.0, 1.0)));
        assert_eq!(nearest_on_border(p(3.5, 1.0), &[]), None);
    }

    #[test]
    fn bounds_meet_when_they_come_near_enough_both_ways() {
        let one = Bounds::of(&[p(0.0, 2.0), p(1.0, 0.0), p(0.5, 1.0)]);
        assert_eq!((one.low, one.high), (p(0.0, 0.0), p(1.0, 2.0)));
        let at = |x: f64, y: f64| Bounds::of(&[p(x, y), p(x + 1.0, y + 2.0)]);
        // Half a metre to the right, left, behind and before; nearer than so much, not as near.
        for (x, y) in [(1.5, 0.0), (-1.5, 0.0), (0.0, 2.5), (0.0, -2.5)] {
            let other = at(x, y);
            assert!(one.meets(&other, 0.6) && !one.meets(&other, 0.5) && !one.meets(&other, 0.4), "{x} {y}");
        }
        assert!(!one.meets(&at(1.5, 0.5), 0.2) && !one.meets(&at(0.5, 2.5), 0.2), "in one of the two alone");
        assert!(one.meets(&at(0.5, 0.5), 0.0));
    }

    #[test]
    fn areas_corners_and_hulls() {
        let one = square((0.0, 4.0), (0.0, 2.0));
        assert!((area_m2(&one) - 8.0).abs() < 1e-9);
        let both = common(&one, &square((3.0, 9.0), (-1.0, 1.0)));
        assert!((pieces_m2(&both) - 1.0).abs() < 1e-6);
        assert_eq!(all_corners(&both).len(), 4);
        // A strip through the middle leaves two pieces, of 2 and 4 m².
        let parted = beyond(&one, &square((1.0, 2.0), (-1.0, 3.0)));
        assert!((pieces_m2(&parted) - 6.0).abs() < 1e-6);
        assert!((area_m2(&largest(&parted)) - 4.0).abs() < 1e-6);
        assert_eq!(all_corners(&parted).len(), 8);
        assert_eq!(largest(&common(&one, &square((8.0, 9.0), (8.0, 9.0)))), Vec::<Point>::new());
        let round = hull(&[p(0.0, 0.0), p(2.0, 0.0), p(1.0, 0.5), p(2.0, 2.0), p(0.0, 2.0)]);
        assert!(round.len() == 4 && (area_m2(&round) - 4.0).abs() < 1e-9, "{round:?}");
    }

    #[test]
    fn how_an_outline_lies_to_an_area() {
        let area = square((0.0, 4.0), (0.0, 4.0));
        let at = |x: f64, y: f64, side: f64| lies(&square((x, x + side), (y, y + side)), &area);
        assert_eq!(at(1.0, 1.0, 1.0), Lies::Inside);
        assert_eq!(
            (at(6.0, 1.0, 1.0), at(1.0, 6.0, 1.0), at(-3.0, 1.0, 1.0)),
            (Lies::Outside, Lies::Outside, Lies::Outside)
        );
        assert_eq!(at(3.5, 1.0, 1.0), Lies::Unclear, "across the border");
        assert_eq!(at(3.0, 1.0, 1.0), Lies::Unclear, "it touches from within");
        assert_eq!(at(-1.0, -1.0, 9.0), Lies::Unclear, "all round it");
        assert_eq!(lies(&[], &area), Lies::Outside);
        assert_eq!(lies(&area, &area[..2]), Lies::Outside);
        // Beside a slanted side the boxes of both meet, and nothing else does.
        let triangle = vec![p(0.0, 0.0), p(4.0, 0.0), p(0.0, 4.0)];
        assert_eq!(lies(&square((3.0, 3.5), (3.0, 3.5)), &triangle), Lies::Outside);
        assert_eq!(lies(&square((0.5, 1.0), (0.5, 1.0)), &triangle), Lies::Inside);
    }

    #[test]
    fn segments_that_share_a_point() {
        let (a, b) = (p(0.0, 0.0), p(4.0, 0.0));
        assert!(meets(a, b, p(2.0, -1.0), p(2.0, 1.0)), "they cross");
        assert!(meets(a, b, p(2.0, 0.0), p(2.0, 1.0)), "one ends on the other");
        assert!(meets(a, b, p(4.0, 0.0), p(6.0, 1.0)), "end to end");
        assert!(!meets(a, b, p(2.0, 0.5), p(2.0, 1.0)));
        assert!(!meets(a, b, p(5.0, -1.0), p(5.0, 1.0)));
        assert!(!meets(p(0.0, 0.0), p(4.0, 4.0), p(3.0, 0.0), p(4.0, 1.0)), "their boxes meet");
        assert!(!meets(p(3.0, 0.0), p(4.0, 1.0), p(0.0, 0.0), p(4.0, 4.0)));
    }
}
