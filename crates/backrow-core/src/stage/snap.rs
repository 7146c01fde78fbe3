//! Snapping to the grid and to edges; what is under the pointer.

use super::figure::{Figure, figure};
use super::plane::{cross, dot, minus, nearest_on, plus, sides, times, unit};
use super::standing::{Side, standing};
use crate::collection::{Point, Shape};
use crate::week::Placement;

/// So many lines of the grid for things to a metre: 5 cm from one to the next.
const GRID_LINES: f64 = 20.0;
/// The steps of turning, degrees.
pub const TURN_STEP_DEG: f64 = 15.0;

/// What a thing may snap to.
#[derive(Clone, Copy, Debug)]
pub struct Snap<'a> {
    /// To the grid of 5 cm. A thing keeps its turn: who moves it has not asked for another.
    pub grid: bool,
    /// Outlines whose sides attract: floor, risers, neighbours. A side attracts a parallel side (within 5 degrees) of the
    /// thing; the thing is then turned true to it.
    pub outlines: &'a [&'a [Point]],
    /// Where players stand at other things: a place attracts the thing's own, so that one who only turns round reaches both.
    pub places: &'a [Point],
    /// How near a side or place must be to attract, metres.
    pub reach_m: f64,
}

/// Within so many degrees of a side a thing turns true to it.
const TRUE_DEG: f64 = 5.0;

/// Where a thing comes to stand: the nearest grid point, unless a side or a player's place within reach attracts it;
/// the nearest does.
pub fn snap(shape: Shape, placement: &Placement, to: &Snap<'_>) -> Placement {
    let moved = |found: &Placement| found.at.distance(placement.at);
    let found = beside(shape, placement, to).into_iter().chain(shared(shape, placement, to));
    if let Some(found) = found.min_by(|a, b| moved(a).total_cmp(&moved(b))) {
        return found;
    }
    let mut next = *placement;
    if to.grid {
        // Divided, not multiplied by 0.05: the same figure then stands in the file as on the screen, 2.85.
        let grid = |v: f64| (v * GRID_LINES).round() / GRID_LINES;
        next.at = Point::new(grid(next.at.x), grid(next.at.y));
    }
    next
}

/// The same place in figures that a person would write down: metres to a tenth of a millimetre, degrees to a hundredth, the
/// turn from 0 up to but not including 360.
pub fn written(placement: &Placement) -> Placement {
    // Adding 0 makes -0 plain.
    let metres = |v: f64| (v * 1e4).round() / 1e4 + 0.0;
    let turn_deg = ((placement.turn_deg * 100.0).round() / 100.0).rem_euclid(360.0) + 0.0;
    Placement { at: Point::new(metres(placement.at.x), metres(placement.at.y)), turn_deg, ..*placement }
}

/// Moved so that its player's place is that at another thing.
fn shared(shape: Shape, placement: &Placement, to: &Snap<'_>) -> Option<Placement> {
    let own = standing(shape, placement, Side::Playing).place;
    let near = to.places.iter().filter(|place| place.distance(own) <= to.reach_m);
    let place = near.min_by(|a, b| a.distance(own).total_cmp(&b.distance(own)))?;
    Some(Placement { at: plus(placement.at, minus(*place, own)), ..*placement })
}

fn beside(shape: Shape, placement: &Placement, to: &Snap<'_>) -> Option<Placement> {
    let mut best: Option<(f64, Placement)> = None;
    for (a, b) in to.outlines.iter().flat_map(|outline| sides(outline)) {
        let Some(found) = against(shape, placement, (a, b)) else { continue };
        let moved = found.at.distance(placement.at);
        if moved <= to.reach_m && best.is_none_or(|(least, _)| moved < least) {
            best = Some((moved, found));
        }
    }
    best.map(|(_, found)| found)
}

/// The thing moved straight onto a side, turned true to it; `None` when no side of its own is nearly parallel or it is
/// not beside the segment.
fn against(shape: Shape, placement: &Placement, (a, b): (Point, Point)) -> Option<Placement> {
    let along = unit(minus(b, a))?;
    let angle = along.y.atan2(along.x).to_degrees();
    let mut turned = *placement;
    if !matches!(shape, Shape::Round { .. }) {
        let off = (placement.turn_deg - angle + 45.0).rem_euclid(90.0) - 45.0;
        if off.abs() > TRUE_DEG {
            return None;
        }
        turned.turn_deg = (placement.turn_deg - off).rem_euclid(360.0);
    }
    let foot = nearest_on(turned.at, a, b);
    let past_an_end = dot(minus(turned.at, foot), along).abs() > 1e-9;
    if past_an_end {
        return None;
    }
    let out = Point::new(along.y, -along.x);
    let side = if cross(along, minus(turned.at, a)) < 0.0 { 1.0 } else { -1.0 };
    let out = times(out, side);
    let reach = figure_reach(&figure(shape, &turned), out);
    let distance = dot(minus(turned.at, a), out);
    turned.at = plus(turned.at, times(out, reach - distance));
    Some(turned)
}

/// How far the figure reaches from its middle against the direction `out`.
fn figure_reach(figure: &Figure, out: Point) -> f64 {
    if let Some(radius) = figure.radius_m {
        return radius;
    }
    figure.outline.iter().map(|p| dot(minus(figure.middle, *p), out)).fold(0.0, f64::max)
}

/// The index of the figure under a point: the smallest when several are. `slack_m` makes small things easier to hit.
pub fn hit(figures: &[&Figure], p: Point, slack_m: f64) -> Option<usize> {
    let hits = |slack: f64| {
        let under = figures.iter().enumerate().filter(|(_, figure)| figure.distance_to(p) <= slack);
        under.min_by(|(_, a), (_, b)| a.area_m2().total_cmp(&b.area_m2())).map(|(index, _)| index)
    };
    hits(0.0).or_else(|| hits(slack_m))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use rstest::rstest;

    const BOX: Shape = Shape::Box { width_m: 1.0, depth_m: 0.6 };

    fn stood(x: f64, y: f64, turn_deg: f64) -> Placement {
        Placement { at: Point::new(x, y), turn_deg, number: 1, locked: false }
    }

    #[test]
    fn to_the_grid_and_not_turned() {
        let to = Snap { grid: true, outlines: &[], places: &[], reach_m: 0.15 };
        let next = snap(BOX, &stood(1.234, 2.276, 352.6), &to);
        assert_relative_eq!(next.at.x, 1.25, epsilon = 1e-12);
        assert_relative_eq!(next.at.y, 2.30, epsilon = 1e-12);
        assert_relative_eq!(next.turn_deg, 352.6);
        let free = Snap { grid: false, ..to };
        assert_eq!(snap(BOX, &stood(1.234, 2.276, 352.6), &free), stood(1.234, 2.276, 352.6));
    }

    #[test]
    fn the_grid_is_written_in_short_figures() {
        let to = Snap { grid: true, outlines: &[], places: &[], reach_m: 0.15 };
        for step in -400..400 {
            let near = f64::from(step) * 0.05 + 0.003;
            let text = snap(BOX, &stood(near, 0.0, 0.0), &to).at.x.to_string();
            assert!(text.len() <= 6, "{text}");
        }
    }

    #[rstest]
    #[case((2.849_999_999_999_999_6, -0.0, 359.999), (2.85, 0.0, 0.0))]
    #[case((1.234_56, 3.1, -7.123), (1.2346, 3.1, 352.88))]
    fn places_are_written_short(#[case] (x, y, turn): (f64, f64, f64), #[case] expected: (f64, f64, f64)) {
        let short = written(&stood(x, y, turn));
        assert_eq!((short.at.x, short.at.y, short.turn_deg), expected);
        assert!(short.at.y.is_sign_positive());
        assert_eq!(written(&short), short);
    }

    #[test]
    fn to_an_edge_within_reach_turned_true() {
        let wall = [Point::new(0.0, 0.0), Point::new(10.0, 0.0), Point::new(10.0, 8.0), Point::new(0.0, 8.0)];
        let outlines: [&[Point]; 1] = [&wall];
        let to = Snap { grid: true, outlines: &outlines, places: &[], reach_m: 0.15 };
        // Half of 0.6 m from the back edge.
        let next = snap(BOX, &stood(4.02, 0.38, 3.0), &to);
        assert_relative_eq!(next.at.y, 0.3, epsilon = 1e-9);
        assert_relative_eq!(next.turn_deg, 0.0, epsilon = 1e-9);
        // Against the right-hand side, quarter turned.
        let next = snap(BOX, &stood(9.6, 4.0, 91.0), &to);
        assert_relative_eq!(next.at.x, 9.7, epsilon = 1e-9);
        assert_relative_eq!(next.turn_deg, 90.0, epsilon = 1e-9);
        // Too far.
        assert_relative_eq!(snap(BOX, &stood(4.0, 2.0, 3.0), &to).at.y, 2.0, epsilon = 1e-9);
    }

    #[test]
    fn to_the_place_where_a_player_stands_already() {
        // Its player stands half of 0.6 m and half of the room's 0.7 m upstage: at (2.0, 2.35).
        let places = [Point::new(2.07, 2.41)];
        let to = Snap { grid: true, outlines: &[], places: &places, reach_m: 0.15 };
        let next = snap(BOX, &stood(2.0, 3.0, 0.0), &to);
        let place = standing(BOX, &next, Side::Playing).place;
        assert_relative_eq!(place.distance(places[0]), 0.0, epsilon = 1e-12);
        let far = Snap { reach_m: 0.05, ..to };
        assert_relative_eq!(snap(BOX, &stood(2.0, 3.0, 0.0), &far).at.x, 2.0);
    }

    #[test]
    fn the_smallest_thing_under_the_pointer() {
        let table = figure(BOX, &stood(0.0, 0.0, 0.0));
        let drum = figure(Shape::Round { diameter_m: 0.3 }, &stood(0.2, 0.0, 0.0));
        assert_eq!(hit(&[&table, &drum], Point::new(0.2, 0.0), 0.1), Some(1));
        assert_eq!(hit(&[&table, &drum], Point::new(-0.3, 0.0), 0.1), Some(0));
        assert_eq!(hit(&[&table, &drum], Point::new(-0.55, 0.0), 0.1), Some(0));
        assert_eq!(hit(&[&table, &drum], Point::new(-0.75, 0.0), 0.1), None);
    }

    /// A wall along y = 0 from 0 to 10 m, seen from both sides.
    const WALL: [Point; 2] = [Point { x: 0.0, y: 0.0 }, Point { x: 10.0, y: 0.0 }];

    fn at_walls(walls: &[&[Point]], placement: Placement, shape: Shape) -> (f64, f64, f64) {
        let to = Snap { grid: false, outlines: walls, places: &[], reach_m: 0.15 };
        let next = snap(shape, &placement, &to);
        let round = |v: f64| (v * 1e9).round() / 1e9;
        (round(next.at.x), round(next.at.y), round(next.turn_deg))
    }

    // The box reaches 0.3 m from its middle.
    #[rstest]
    #[case((4.0, 0.38, 0.0), (4.0, 0.3, 0.0))]
    #[case((4.0, 0.22, 0.0), (4.0, 0.3, 0.0))] // it stood in the wall
    #[case((4.0, -0.38, 0.0), (4.0, -0.3, 0.0))] // from behind
    #[case((4.0, 0.38, 5.0), (4.0, 0.3, 0.0))]
    #[case((4.0, 0.38, 5.1), (4.0, 0.38, 5.1))] // not nearly parallel
    #[case((4.0, 0.38, 355.0), (4.0, 0.3, 0.0))]
    #[case((4.0, 0.38, 178.0), (4.0, 0.3, 180.0))]
    #[case((4.0, 0.46, 0.0), (4.0, 0.46, 0.0))] // out of reach
    #[case((10.0, 0.38, 0.0), (10.0, 0.3, 0.0))]
    #[case((10.2, 0.38, 0.0), (10.2, 0.38, 0.0))] // past the end
    #[case((-0.2, 0.38, 0.0), (-0.2, 0.38, 0.0))]
    #[case((4.0, 0.58, 91.0), (4.0, 0.5, 90.0))] // its narrow side, half a metre from the middle
    fn to_one_wall(#[case] at: (f64, f64, f64), #[case] to: (f64, f64, f64)) {
        assert_eq!(at_walls(&[&WALL], stood(at.0, at.1, at.2), BOX), to);
    }

    #[test]
    fn the_nearer_of_two_walls_attracts_and_a_round_thing_keeps_its_turn() {
        let upper = [Point::new(0.0, 0.7), Point::new(10.0, 0.7)];
        assert_eq!(at_walls(&[&WALL, &upper], stood(4.0, 0.38, 0.0), BOX), (4.0, 0.4, 0.0));
        assert_eq!(at_walls(&[&upper, &WALL], stood(4.0, 0.38, 0.0), BOX), (4.0, 0.4, 0.0));
        assert_eq!(at_walls(&[&WALL, &upper], stood(4.0, 0.33, 0.0), BOX), (4.0, 0.3, 0.0));
        let drum = Shape::Round { diameter_m: 0.5 };
        assert_eq!(at_walls(&[&WALL], stood(4.0, 0.35, 33.0), drum), (4.0, 0.25, 33.0));
        // A slanted wall of 45 degrees: 0.25 m from it.
        let slant = [Point::new(0.0, 0.0), Point::new(10.0, 10.0)];
        let (x, y, _) = at_walls(&[&slant], stood(5.2, 4.8, 0.0), drum);
        assert!(((x - y) / 2.0_f64.sqrt() - 0.25).abs() < 1e-8, "{x} {y}");
        assert!((x + y - 10.0).abs() < 1e-8);
    }

    #[test]
    fn of_a_place_and_a_wall_the_nearer_attracts() {
        let places = [Point::new(4.05, 0.0)];
        let to = Snap { grid: false, outlines: &[&WALL], places: &places, reach_m: 0.15 };
        // Its player stands 0.65 m behind its middle: at (4.0, -0.02) with the middle at y = 0.63; the wall is 0.33 m away.
        let next = snap(BOX, &stood(4.0, 0.63, 0.0), &to);
        assert_relative_eq!(next.at.x, 4.05, epsilon = 1e-9);
        assert_relative_eq!(next.at.y, 0.65, epsilon = 1e-9);
        let two = [Point::new(4.1, -0.02), Point::new(3.95, -0.02)];
        let nearer = snap(BOX, &stood(4.0, 0.63, 0.0), &Snap { outlines: &[], places: &two, ..to });
        assert_relative_eq!(nearer.at.x, 3.95, epsilon = 1e-9);
    }

    #[test]
    fn how_far_a_figure_reaches() {
        let turned = figure(BOX, &stood(0.0, 0.0, 90.0));
        assert_relative_eq!(figure_reach(&turned, Point::new(0.0, 1.0)), 0.5, epsilon = 1e-12);
        assert_relative_eq!(figure_reach(&turned, Point::new(1.0, 0.0)), 0.3, epsilon = 1e-12);
        let drum = figure(Shape::Round { diameter_m: 0.5 }, &stood(0.0, 0.0, 0.0));
        assert_relative_eq!(figure_reach(&drum, Point::new(1.0, 0.0)), 0.25);
    }

    /// To the outside of a box as to the inside of a hall.
    #[rstest]
    #[case((4.0, -0.38), (4.0, -0.3))]
    #[case((4.0, 8.38), (4.0, 8.3))]
    #[case((4.0, 7.62), (4.0, 7.7))]
    #[case((-0.58, 4.0), (-0.5, 4.0))]
    #[case((10.58, 4.0), (10.5, 4.0))]
    fn to_either_side_of_an_outline(#[case] at: (f64, f64), #[case] to: (f64, f64)) {
        let wall = [Point::new(0.0, 0.0), Point::new(10.0, 0.0), Point::new(10.0, 8.0), Point::new(0.0, 8.0)];
        assert_eq!(at_walls(&[&wall], stood(at.0, at.1, 0.0), BOX), (to.0, to.1, 0.0));
    }
}
