//! Two figures: how deep they overlap, or the gap between them.

use super::figure::Figure;
use super::plane::{
    Bounds, TINY_M, common, dot, largest, minus, nearest_on, nearest_on_border, sides, times, unit,
};
use crate::collection::Point;

/// Two figures that share some floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Overlap {
    /// The least distance by which one of them must move to come clear, metres; above zero.
    pub depth_m: f64,
    /// The direction in which the first must move by that much; length 1.
    pub push: Point,
    /// The floor that they share. Round things count as their 48 corners; empty when the share is too thin to draw.
    pub common: Vec<Point>,
}

/// Two figures that are apart, and where they come nearest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Metres between the nearest points; not below zero.
    pub metres: f64,
    /// The nearest point of the first.
    pub from: Point,
    /// The nearest point of the second.
    pub to: Point,
}

/// Whether two figures share floor, and how deep. `None` when they are apart or only touch.
///
/// Exact for convex outlines by the separating-axis theorem (Gottschalk, Lin, Manocha, SIGGRAPH 1996, on the axes
/// that are enough), and for circles by the distance of the centre.
pub fn overlap(a: &Figure, b: &Figure) -> Option<Overlap> {
    if !bounds(a).meets(&bounds(b), TINY_M) {
        return None;
    }
    let (depth_m, push) = match (a.radius_m, b.radius_m) {
        (Some(r), Some(s)) => rounds(a.middle, r, b.middle, s),
        (Some(r), None) => round_and_sides(a.middle, r, b),
        (None, Some(s)) => {
            let (depth, push) = round_and_sides(b.middle, s, a);
            (depth, times(push, -1.0))
        }
        (None, None) => both_sides(&a.outline, &b.outline),
    };
    if depth_m <= TINY_M {
        return None;
    }
    Some(Overlap { depth_m, push, common: largest(&common(&a.outline, &b.outline)) })
}

/// A circle's own bounds: its 48 corners would fall short of them by up to a millimetre.
fn bounds(figure: &Figure) -> Bounds {
    match figure.radius_m {
        Some(radius) => {
            let reach = Point::new(radius, radius);
            Bounds::of(&[minus(figure.middle, reach), minus(figure.middle, times(reach, -1.0))])
        }
        None => Bounds::of(&figure.outline),
    }
}

fn rounds(a: Point, r: f64, b: Point, s: f64) -> (f64, Point) {
    (r + s - a.distance(b), unit(minus(a, b)).unwrap_or(Point::new(1.0, 0.0)))
}

/// A circle against straight sides: the depth of its centre in the outline grown by its radius.
fn round_and_sides(centre: Point, radius: f64, other: &Figure) -> (f64, Point) {
    let away = other.distance_to(centre);
    let border = nearest_on_border(centre, &other.outline).unwrap_or(other.middle);
    let out = if away > 0.0 { minus(centre, border) } else { minus(border, centre) };
    let push = unit(out).or_else(|| unit(minus(centre, other.middle))).unwrap_or(Point::new(1.0, 0.0));
    (radius - away, push)
}

fn both_sides(a: &[Point], b: &[Point]) -> (f64, Point) {
    let mut best = (f64::INFINITY, Point::new(1.0, 0.0));
    for (p, q) in sides(a).chain(sides(b)) {
        let along = minus(q, p);
        let Some(axis) = unit(Point::new(along.y, -along.x)) else { continue };
        let ((a_low, a_high), (b_low, b_high)) = (reach(a, axis), reach(b, axis));
        // Moving the first up the axis clears it after b_high - a_low, down the axis after a_high - b_low.
        for (depth, push) in [(b_high - a_low, axis), (a_high - b_low, times(axis, -1.0))] {
            if depth < best.0 {
                best = (depth, push);
            }
        }
    }
    if best.0.is_finite() { best } else { (0.0, best.1) }
}

fn reach(outline: &[Point], axis: Point) -> (f64, f64) {
    outline
        .iter()
        .map(|p| dot(*p, axis))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)))
}

/// The gap between two figures, with its ends. `None` when they overlap. Exact, circles included.
pub fn gap(a: &Figure, b: &Figure) -> Option<Gap> {
    let (from, to) = match (a.radius_m, b.radius_m) {
        (Some(_), Some(_)) => (b.middle, a.middle),
        (Some(_), None) => (a.middle, nearest_on_border(a.middle, &b.outline)?),
        (None, Some(_)) => (nearest_on_border(b.middle, &a.outline)?, b.middle),
        (None, None) => nearest_corners(&a.outline, &b.outline)?,
    };
    let (from, to) = match (a.radius_m, b.radius_m) {
        (Some(r), Some(s)) => (rim(a.middle, r, b.middle), rim(b.middle, s, a.middle)),
        (Some(r), None) => (rim(a.middle, r, to), to),
        (None, Some(s)) => (from, rim(b.middle, s, from)),
        (None, None) => (from, to),
    };
    if overlap(a, b).is_some() {
        return None;
    }
    Some(Gap { metres: from.distance(to), from, to })
}

/// The point of a circle's rim towards another point.
fn rim(middle: Point, radius: f64, towards: Point) -> Point {
    let out = unit(minus(towards, middle)).unwrap_or(Point::new(1.0, 0.0));
    Point::new(middle.x + out.x * radius, middle.y + out.y * radius)
}

/// Outlines that are apart come nearest at a corner of one of them.
fn nearest_corners(a: &[Point], b: &[Point]) -> Option<(Point, Point)> {
    let from_a = a.iter().flat_map(|p| sides(b).map(move |(c, d)| (*p, nearest_on(*p, c, d))));
    let from_b = b.iter().flat_map(|p| sides(a).map(move |(c, d)| (nearest_on(*p, c, d), *p)));
    from_a.chain(from_b).min_by(|(p, q), (r, s)| p.distance(*q).total_cmp(&r.distance(*s)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::Shape;
    use crate::stage::figure;
    use crate::week::Placement;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn at(shape: Shape, x: f64, y: f64, turn_deg: f64) -> Figure {
        figure(shape, &Placement { at: Point::new(x, y), turn_deg, number: 1, locked: false })
    }

    const BOX: Shape = Shape::Box { width_m: 1.0, depth_m: 1.0 };
    const DRUM: Shape = Shape::Round { diameter_m: 1.0 };

    #[test]
    fn a_circle_reaches_beyond_the_corners_it_is_drawn_with() {
        // Turned by half a corner, its drawn outline ends 1 mm short of the rim; the rim overlaps by 0.3 mm.
        let found = overlap(&at(DRUM, 0.9997, 0.0, 3.75), &at(BOX, 0.0, 0.0, 0.0)).unwrap();
        assert_relative_eq!(found.depth_m, 0.0003, epsilon = 1e-9);
    }

    #[test]
    fn boxes_side_by_side_overlap_by_what_they_share() {
        let found = overlap(&at(BOX, 0.0, 0.0, 0.0), &at(BOX, 0.88, 0.3, 0.0)).unwrap();
        assert_relative_eq!(found.depth_m, 0.12, epsilon = 1e-9);
        assert_relative_eq!(found.push.x, -1.0, epsilon = 1e-9);
        // 0.12 * 0.7
        assert_relative_eq!(super::super::plane::area_m2(&found.common), 0.084, epsilon = 1e-6);
    }

    #[test]
    fn touching_is_no_overlap_and_a_gap_of_nothing() {
        let (a, b) = (at(BOX, 0.0, 0.0, 0.0), at(BOX, 1.0, 0.0, 0.0));
        assert_eq!(overlap(&a, &b), None);
        assert_relative_eq!(gap(&a, &b).unwrap().metres, 0.0, epsilon = 1e-9);
    }

    #[test]
    fn round_things_are_exact() {
        let found = overlap(&at(DRUM, 0.0, 0.0, 0.0), &at(DRUM, 0.6, 0.8, 0.0));
        assert_eq!(found, None, "centres 1.0 m apart: they touch");
        let found = overlap(&at(DRUM, 0.0, 0.0, 0.0), &at(DRUM, 0.3, 0.4, 0.0)).unwrap();
        assert_relative_eq!(found.depth_m, 0.5, epsilon = 1e-9);
        // The corner of the box at (0.5, 0.5) is 0.3*sqrt(2) from the centre of the drum at (0.8, 0.8).
        let found = overlap(&at(DRUM, 0.8, 0.8, 0.0), &at(BOX, 0.0, 0.0, 0.0)).unwrap();
        assert_relative_eq!(found.depth_m, 0.5 - 0.3 * 2.0_f64.sqrt(), epsilon = 1e-9);
        assert!(found.push.x > 0.7 && found.push.y > 0.7);
        let found = gap(&at(DRUM, 1.5, 0.0, 0.0), &at(BOX, 0.0, 0.0, 0.0)).unwrap();
        assert_relative_eq!(found.metres, 0.5, epsilon = 1e-9);
        assert_relative_eq!(found.from.x, 1.0, epsilon = 1e-9);
    }

    fn shape() -> impl Strategy<Value = Shape> {
        prop_oneof![
            (0.3..2.6_f64, 0.3..1.1_f64, 0.3..1.1_f64).prop_map(|(width_m, low_m, high_m)| Shape::Keyboard {
                width_m,
                low_m,
                high_m
            }),
            (0.3..1.5_f64, 0.3..1.5_f64).prop_map(|(width_m, depth_m)| Shape::Box { width_m, depth_m }),
            (0.3..1.2_f64).prop_map(|diameter_m| Shape::Round { diameter_m }),
        ]
    }

    proptest! {
        #[test]
        fn overlap_is_symmetric_and_pushing_clears_it(
            s in shape(), t in shape(), x in -1.5..1.5_f64, y in -1.5..1.5_f64,
            turn in 0.0..360.0_f64, other in 0.0..360.0_f64,
        ) {
            let (a, b) = (at(s, 0.0, 0.0, turn), at(t, x, y, other));
            match (overlap(&a, &b), overlap(&b, &a)) {
                (Some(one), Some(two)) => {
                    prop_assert!((one.depth_m - two.depth_m).abs() < 1e-9);
                    let away = times(one.push, one.depth_m + 1e-5);
                    prop_assert_eq!(overlap(&at(s, away.x, away.y, turn), &b), None);
                    let less = times(one.push, one.depth_m - 1e-4);
                    prop_assert!(one.depth_m < 1e-4 || overlap(&at(s, less.x, less.y, turn), &b).is_some());
                    prop_assert!(gap(&a, &b).is_none());
                }
                (None, None) => {
                    let (one, two) = (gap(&a, &b).unwrap(), gap(&b, &a).unwrap());
                    prop_assert!((one.metres - two.metres).abs() < 1e-9);
                    prop_assert!(a.distance_to(one.from).abs() < 1e-9 && b.distance_to(one.to).abs() < 1e-9);
                }
                other => prop_assert!(false, "not symmetric: {other:?}"),
            }
        }

        #[test]
        fn moving_and_turning_both_changes_nothing(
            s in shape(), t in shape(), x in -1.5..1.5_f64, y in -1.5..1.5_f64, turn in 0.0..360.0_f64,
            by in 0.0..360.0_f64, dx in -9.0..9.0_f64, dy in -9.0..9.0_f64,
        ) {
            let depth = |a: &Figure, b: &Figure| overlap(a, b).map_or(0.0, |o| o.depth_m);
            let still = depth(&at(s, 0.0, 0.0, 0.0), &at(t, x, y, turn));
            let carry = Placement { at: Point::new(dx, dy), turn_deg: by, number: 1, locked: false };
            let moved = crate::stage::to_floor(&carry, Point::new(x, y));
            let after = depth(&at(s, dx, dy, by), &at(t, moved.x, moved.y, turn + by));
            prop_assert!((still - after).abs() < 1e-6, "{still} {after}");
        }
    }

    #[test]
    fn a_gap_has_its_ends_on_both_rims() {
        let near = |p: Point, x: f64, y: f64| p.distance(Point::new(x, y)) < 1e-9;
        // Five metres from middle to middle.
        let found = gap(&at(DRUM, 0.0, 0.0, 0.0), &at(DRUM, 3.0, 4.0, 0.0)).unwrap();
        assert!((found.metres - 4.0).abs() < 1e-9 && near(found.from, 0.3, 0.4) && near(found.to, 2.7, 3.6));
        let found = gap(&at(BOX, 0.0, 0.0, 0.0), &at(DRUM, 0.0, 3.0, 0.0)).unwrap();
        assert!((found.metres - 2.0).abs() < 1e-9 && near(found.from, 0.0, 0.5) && near(found.to, 0.0, 2.5));
        let found = gap(&at(DRUM, 0.0, 3.0, 0.0), &at(BOX, 0.0, 0.0, 0.0)).unwrap();
        assert!((found.metres - 2.0).abs() < 1e-9 && near(found.from, 0.0, 2.5) && near(found.to, 0.0, 0.5));
        // From corner to corner: 3 and 4 m.
        let found = gap(&at(BOX, 0.0, 0.0, 0.0), &at(BOX, 4.0, 5.0, 0.0)).unwrap();
        assert!((found.metres - 5.0).abs() < 1e-9 && near(found.from, 0.5, 0.5) && near(found.to, 3.5, 4.5));
        // Two circles round one point have some way out, of the sum of both radii.
        let one = overlap(&at(DRUM, 1.0, 1.0, 0.0), &at(DRUM, 1.0, 1.0, 0.0)).unwrap();
        assert!((one.depth_m - 1.0).abs() < 1e-9 && near(one.push, 1.0, 0.0));
    }

    /// The first is pushed away from the second, whichever of them is round.
    #[test]
    fn pushes_go_away_from_the_other() {
        let push = |a: &Figure, b: &Figure| {
            let found = overlap(a, b).unwrap();
            ((found.depth_m * 1e9).round() / 1e9, found.push.x.round(), found.push.y.round())
        };
        let (left, right) = (at(BOX, 0.0, 0.0, 0.0), at(BOX, 0.9, 0.0, 0.0));
        assert_eq!((push(&left, &right), push(&right, &left)), ((0.1, -1.0, 0.0), (0.1, 1.0, 0.0)));
        let drum = at(DRUM, 0.9, 0.0, 0.0);
        assert_eq!((push(&left, &drum), push(&drum, &left)), ((0.1, -1.0, 0.0), (0.1, 1.0, 0.0)));
        let under = at(BOX, 0.0, 0.8, 0.0);
        assert_eq!((push(&left, &under), push(&under, &left)), ((0.2, 0.0, -1.0), (0.2, 0.0, 1.0)));
        // A drum whose middle lies in the box: out by the nearest side.
        let within = at(DRUM, 0.4, 0.1, 0.0);
        assert_eq!(push(&within, &left), (0.6, 1.0, 0.0));
    }
}
