//! A footprint where it stands.

use super::plane::{area_m2, nearest_on_border};
use crate::collection::{Point, Shape};
use crate::week::Placement;

/// How many corners stand for a circle. Its corners lie on the circle, so for a drum of 0.81 m the sides run at most
/// 0.9 mm inside it.
pub(super) const ROUND_CORNERS: u32 = 48;

/// The outline of a thing on the floor, metres. Convex.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The middle of the footprint.
    pub middle: Point,
    /// Corners in clockwise order as seen on the plan. For a thing with straight sides the first two are the ends of
    /// its playing side, the high end first. A round thing has 48 corners, all on the circle.
    pub outline: Vec<Point>,
    /// The exact radius of a round thing.
    pub radius_m: Option<f64>,
}

impl Figure {
    /// Square metres that it covers; exact for round things too.
    pub fn area_m2(&self) -> f64 {
        self.radius_m.map_or_else(|| area_m2(&self.outline), |r| std::f64::consts::PI * r * r)
    }

    /// Whether a point of the floor is under it, the border included.
    pub fn holds(&self, p: Point) -> bool {
        self.distance_to(p) <= 0.0
    }

    /// How far a point is outside it, metres; negative inside: how far to the nearest border.
    pub fn distance_to(&self, p: Point) -> f64 {
        if let Some(radius) = self.radius_m {
            return self.middle.distance(p) - radius;
        }
        let border = nearest_on_border(p, &self.outline).map_or(f64::INFINITY, |q| p.distance(q));
        if self.is_behind_every_side(p) { -border } else { border }
    }

    fn is_behind_every_side(&self, p: Point) -> bool {
        use super::plane::{cross, minus, sides};
        sides(&self.outline).all(|(a, b)| cross(minus(b, a), minus(p, a)) >= 0.0)
    }
}

/// Metres that can be drawn: at least a centimetre, at most a hundred metres, whatever a file says.
pub(super) fn drawable(metres: f64) -> f64 {
    if metres.is_finite() { metres.clamp(0.01, 100.0) } else { 0.01 }
}

/// From a thing's own metres (middle at 0, player at small y, low end at large x) to the floor.
pub fn to_floor(placement: &Placement, own: Point) -> Point {
    let (sin, cos) = placement.turn_deg.to_radians().sin_cos();
    Point::new(placement.at.x + own.x * cos - own.y * sin, placement.at.y + own.x * sin + own.y * cos)
}

/// From the floor to a thing's own metres; the way back of [`to_floor`].
pub fn to_local(placement: &Placement, on_floor: Point) -> Point {
    let (sin, cos) = placement.turn_deg.to_radians().sin_cos();
    let (x, y) = (on_floor.x - placement.at.x, on_floor.y - placement.at.y);
    Point::new(x * cos + y * sin, -x * sin + y * cos)
}

/// The corners of a shape in its own metres, playing side first; for a round one `None`.
pub(super) fn own_corners(shape: Shape) -> Option<[Point; 4]> {
    let (width, high, low) = match shape {
        Shape::Keyboard { width_m, low_m, high_m } => (drawable(width_m), drawable(high_m), drawable(low_m)),
        Shape::Box { width_m, depth_m } | Shape::Hung { width_m, depth_m } => {
            (drawable(width_m), drawable(depth_m), drawable(depth_m))
        }
        Shape::Round { .. } => return None,
    };
    Some([
        Point::new(-width / 2.0, -high / 2.0),
        Point::new(width / 2.0, -low / 2.0),
        Point::new(width / 2.0, low / 2.0),
        Point::new(-width / 2.0, high / 2.0),
    ])
}

/// A shape where it stands.
pub fn figure(shape: Shape, placement: &Placement) -> Figure {
    if let Shape::Round { diameter_m } = shape {
        let radius = drawable(diameter_m) / 2.0;
        let corner = |n: u32| {
            let angle = f64::from(n) * std::f64::consts::TAU / f64::from(ROUND_CORNERS);
            to_floor(placement, Point::new(radius * angle.cos(), radius * angle.sin()))
        };
        let outline = (0..ROUND_CORNERS).map(corner).collect();
        return Figure { middle: placement.at, outline, radius_m: Some(radius) };
    }
    let corners = own_corners(shape).unwrap_or_default();
    let outline = corners.iter().map(|p| to_floor(placement, *p)).collect();
    Figure { middle: placement.at, outline, radius_m: None }
}

/// Where the mark of the low end belongs: the middle of that end. `None` for shapes that have no low end.
pub fn low_end(shape: Shape, placement: &Placement) -> Option<Point> {
    match shape {
        Shape::Keyboard { width_m, .. } => {
            Some(to_floor(placement, Point::new(drawable(width_m) / 2.0, 0.0)))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use rstest::rstest;

    fn stood(x: f64, y: f64, turn_deg: f64) -> Placement {
        Placement { at: Point::new(x, y), turn_deg, number: 1, locked: false }
    }

    const MARIMBA: Shape = Shape::Keyboard { width_m: 2.6, low_m: 1.1, high_m: 0.5 };

    // Turned by a quarter clockwise as seen, what was at the right is at the foot (larger y).
    #[rstest]
    #[case(0.0, 3.3, 2.0)]
    #[case(90.0, 2.0, 3.3)]
    #[case(180.0, 0.7, 2.0)]
    #[case(270.0, 2.0, 0.7)]
    fn low_end_turns_clockwise(#[case] turn: f64, #[case] x: f64, #[case] y: f64) {
        let mark = low_end(MARIMBA, &stood(2.0, 2.0, turn)).unwrap();
        assert_relative_eq!(mark.x, x, epsilon = 1e-12);
        assert_relative_eq!(mark.y, y, epsilon = 1e-12);
    }

    #[test]
    fn keyboard_area_is_that_of_the_trapezoid() {
        // (1.1 + 0.5) / 2 * 2.6 = 2.08
        assert_relative_eq!(figure(MARIMBA, &stood(-3.0, 4.0, 33.0)).area_m2(), 2.08, epsilon = 1e-12);
    }

    #[test]
    fn a_circle_is_exact_beside_its_corners() {
        let drum = figure(Shape::Round { diameter_m: 0.8 }, &stood(1.0, 1.0, 0.0));
        assert_relative_eq!(drum.area_m2(), std::f64::consts::PI * 0.16, epsilon = 1e-12);
        assert_eq!(drum.outline.len(), 48);
        assert_relative_eq!(drum.distance_to(Point::new(2.0, 1.0)), 0.6, epsilon = 1e-12);
        assert!(drum.holds(Point::new(1.39, 1.0)) && !drum.holds(Point::new(1.41, 1.0)));
    }

    #[test]
    fn nonsense_sizes_are_drawn_small_not_refused() {
        let odd = Shape::Box { width_m: f64::NAN, depth_m: -3.0 };
        assert!(
            figure(odd, &stood(0.0, 0.0, 0.0)).outline.iter().all(|p| p.x.is_finite() && p.y.is_finite())
        );
    }

    proptest! {
        #[test]
        fn local_is_the_way_back(x in -20.0..20.0_f64, y in 0.0..15.0_f64, turn in 0.0..360.0_f64,
                                 px in -3.0..3.0_f64, py in -3.0..3.0_f64) {
            let placement = stood(x, y, turn);
            let back = to_local(&placement, to_floor(&placement, Point::new(px, py)));
            prop_assert!(back.distance(Point::new(px, py)) < 1e-9);
        }

        #[test]
        fn turning_keeps_area_and_order(turn in 0.0..360.0_f64) {
            let turned = figure(MARIMBA, &stood(0.0, 5.0, turn));
            prop_assert!((turned.area_m2() - 2.08).abs() < 1e-9);
            prop_assert!(turned.holds(Point::new(0.0, 5.0)));
        }
    }

    #[test]
    fn corners_stand_where_they_are_turned_to() {
        let near = |a: Point, x: f64, y: f64| a.distance(Point::new(x, y)) < 1e-12;
        // The high end, 0.5 m deep, at small x; the low end of 1.1 m at large x.
        let flat = figure(MARIMBA, &stood(0.0, 0.0, 0.0)).outline;
        assert!(near(flat[0], -1.3, -0.25) && near(flat[1], 1.3, -0.55));
        assert!(near(flat[2], 1.3, 0.55) && near(flat[3], -1.3, 0.25));
        // A quarter clockwise: what was to the right is nearer to the audience.
        let turned = figure(MARIMBA, &stood(2.0, 3.0, 90.0)).outline;
        assert!(near(turned[1], 2.55, 4.3) && near(turned[0], 2.25, 1.7), "{turned:?}");
        assert!(near(to_local(&stood(2.0, 3.0, 90.0), Point::new(2.55, 4.3)), 1.3, -0.55));
        let drum = figure(Shape::Round { diameter_m: 1.0 }, &stood(1.0, 1.0, 0.0)).outline;
        assert!(near(drum[0], 1.5, 1.0) && near(drum[12], 1.0, 1.5) && near(drum[24], 0.5, 1.0));
        assert_eq!(low_end(Shape::Box { width_m: 1.0, depth_m: 1.0 }, &stood(0.0, 0.0, 0.0)), None);
    }

    #[rstest]
    #[case(0.0, 0.0, -0.25)]
    #[case(0.4, 0.0, -0.1)]
    #[case(0.0, 0.2, -0.05)]
    #[case(0.5, 0.0, 0.0)]
    #[case(1.5, 0.0, 1.0)]
    #[case(0.8, 0.65, 0.5)] // from the corner: 0.3 and 0.4 m
    fn how_far_from_a_box(#[case] x: f64, #[case] y: f64, #[case] metres: f64) {
        let thing = figure(Shape::Box { width_m: 1.0, depth_m: 0.5 }, &stood(0.0, 0.0, 0.0));
        assert_relative_eq!(thing.distance_to(Point::new(x, y)), metres, epsilon = 1e-12);
        assert_eq!(thing.holds(Point::new(x, y)), metres <= 0.0);
    }

    #[test]
    fn sizes_are_drawn_between_a_centimetre_and_a_hundred_metres() {
        let all = [0.001, 0.5, 300.0, f64::NAN, f64::INFINITY].map(|metres| drawable(metres).to_string());
        assert_eq!(all, ["0.01", "0.5", "100", "0.01", "0.01"]);
    }
}
