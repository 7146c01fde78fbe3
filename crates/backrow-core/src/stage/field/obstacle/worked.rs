//! Depths, cuts and grown corners by hand. Outlines run clockwise as seen on the plan, with y down.

use super::*;
use crate::collection::Shape;
use crate::stage::figure::figure;
use crate::week::Placement;
use rstest::rstest;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn points(all: &[(f64, f64)]) -> Vec<Point> {
    all.iter().map(|(x, y)| p(*x, *y)).collect()
}

fn near(a: Point, x: f64, y: f64) -> bool {
    a.distance(p(x, y)) < 1e-9
}

/// An L: 4 by 4 m without the quarter at large x and large y.
const L: [(f64, f64); 6] = [(0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (2.0, 2.0), (2.0, 4.0), (0.0, 4.0)];
const SQUARE: [(f64, f64); 4] = [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)];

#[test]
fn depth_is_counted_from_the_side_inwards() {
    assert!((depth(p(0.0, 0.0), p(5.0, 0.0), p(3.0, 2.0)) - 2.0).abs() < 1e-12);
    assert!((depth(p(0.0, 0.0), p(5.0, 0.0), p(3.0, -2.0)) + 2.0).abs() < 1e-12);
    // From the side through (0, 0) and (3, 4): (4, 0) lies on the other hand of it by 16 / 5.
    assert!((depth(p(0.0, 0.0), p(3.0, 4.0), p(4.0, 0.0)) + 3.2).abs() < 1e-12);
}

/// A square of 2 m grown by 0.15 m: each corner becomes three points, two straight out of its sides and one between.
#[test]
fn a_footprint_grows_by_half_a_body() {
    let grown = grown_corners(&points(&SQUARE), 0.15);
    assert_eq!(grown.len(), 12);
    let aslant = 0.15 / 2.0_f64.sqrt();
    assert!(near(grown[0], -0.15, 0.0) && near(grown[2], 0.0, -0.15), "{grown:?}");
    assert!(near(grown[1], -aslant, -aslant), "{grown:?}");
    assert!(near(grown[7], 2.0 + aslant, 2.0 + aslant));
    let drum = figure(
        Shape::Round { diameter_m: 0.8 },
        &Placement { at: p(1.0, 1.0), turn_deg: 0.0, number: 1, locked: false },
    );
    let round = Obstacle::grown(&drum, 0.15);
    assert_eq!(round.outline().len(), 24);
    assert!(round.outline().iter().all(|corner| (corner.distance(p(1.0, 1.0)) - 0.55).abs() < 1e-9));
    assert!(round.holds(p(1.5, 1.0)) && !round.holds(p(1.56, 1.0)));
}

/// Drawn the one way or the other, an area is the same; what has no extent is none.
#[test]
fn areas_are_drawn_either_way() {
    let mut back = points(&L);
    back.reverse();
    for outline in [points(&L), back] {
        let area = Obstacle::area(&outline).unwrap();
        assert!(!area.convex);
        assert!(area.holds(p(1.0, 3.0)) && area.holds(p(3.0, 1.0)) && !area.holds(p(3.0, 3.0)));
        assert!(!area.holds(p(2.0, 3.0)) && area.touches(p(2.0, 3.0)), "on the border");
        assert!(!area.touches(p(2.1, 3.0)));
        // Five corners bend outward, one inward.
        assert_eq!((area.corners(true).len(), area.corners(false).len()), (5, 1));
        assert!(near(area.corners(false)[0].at, 2.0, 2.0));
    }
    assert!(Obstacle::area(&points(&SQUARE)).unwrap().convex);
    assert!(Obstacle::area(&points(&SQUARE[..3])).is_some_and(|triangle| triangle.convex));
    assert!(Obstacle::area(&points(&SQUARE[..2])).is_none());
    assert!(Obstacle::area(&points(&[(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)])).is_none(), "a line");
    assert!(Obstacle::area(&points(&[(0.0, 0.0), (1.0, 0.0), (1.0, f64::NAN)])).is_none());
}

// What goes through the inside of a square, along its border, and past it.
#[rstest]
#[case((-1.0, 1.0), (3.0, 1.0), true)]
#[case((1.0, 1.0), (1.5, 1.2), true)] // within
#[case((1.0, 1.0), (5.0, 1.0), true)] // out of it
#[case((5.0, 1.0), (1.0, 1.0), true)] // into it
#[case((-1.0, 0.0), (3.0, 0.0), false)] // along a side
#[case((-1.0, 1.0), (1.0, -1.0), false)] // over a corner
#[case((-1.0, 1.5), (1.5, -1.0), true)] // a corner cut off
#[case((3.0, 1.0), (5.0, 1.0), false)]
#[case((-1.0, 3.0), (3.0, 3.0), false)]
fn what_an_obstacle_stops(#[case] from: (f64, f64), #[case] to: (f64, f64), #[case] stopped: bool) {
    let square = Obstacle::area(&points(&SQUARE)).unwrap();
    assert_eq!(square.stops(p(from.0, from.1), p(to.0, to.1)), stopped);
    // The same square with a corner more on one side is drawn as if it were not convex.
    let mut bent = square.clone();
    bent.convex = false;
    assert_eq!(bent.stops(p(from.0, from.1), p(to.0, to.1)), stopped, "piece by piece");
}

#[rstest]
#[case((1.0, 3.0), (3.0, 1.0), true)] // over the inward corner
#[case((1.0, 3.5), (3.5, 1.0), false)] // outside between
#[case((1.0, 3.0), (1.0, 1.0), true)]
#[case((2.0, 3.5), (2.0, 0.5), true)] // along the border
fn what_stays_on_a_floor(#[case] from: (f64, f64), #[case] to: (f64, f64), #[case] kept: bool) {
    let floor = Obstacle::area(&points(&L)).unwrap();
    assert_eq!(floor.keeps(p(from.0, from.1), p(to.0, to.1)), kept);
    assert_eq!(floor.keeps(p(to.0, to.1), p(from.0, from.1)), kept);
}

/// The line from (-2, 1) to (4, 1) enters the square after a third of its way and leaves it after two.
#[test]
fn a_line_is_cut_where_it_crosses() {
    let cut = |from: Point, to: Point| {
        let mut cuts = Vec::new();
        cuts_into(&points(&SQUARE), from, to, &mut cuts);
        cuts.sort_by(f64::total_cmp);
        cuts
    };
    let third = cut(p(-2.0, 1.0), p(4.0, 1.0));
    assert!(
        third.len() == 2 && (third[0] - 1.0 / 3.0).abs() < 1e-9 && (third[1] - 2.0 / 3.0).abs() < 1e-9,
        "{third:?}"
    );
    // Through two corners, each of which ends two sides; a fourth and three fourths of the way along the diagonal.
    let corners = cut(p(-1.0, -1.0), p(3.0, 3.0));
    assert!(
        corners.iter().all(|t| (t - 0.25).abs() < 1e-9 || (t - 0.75).abs() < 1e-9) && corners.len() == 4,
        "{corners:?}"
    );
    assert_eq!(cut(p(-2.0, 5.0), p(4.0, 5.0)), [0.0; 0]);
    assert_eq!(cut(p(3.0, 1.0), p(4.0, 1.0)), [0.0; 0], "it ends before the square, or begins behind it");
    let middles = pieces(&points(&SQUARE), p(-2.0, 1.0), p(4.0, 1.0));
    assert!(
        middles.len() == 3
            && near(middles[0], -1.0, 1.0)
            && near(middles[1], 1.0, 1.0)
            && near(middles[2], 3.0, 1.0)
    );
    assert_eq!(
        super::middles(vec![0.5, 0.0, 0.5, 1.0], p(0.0, 0.0), p(4.0, 0.0)),
        [p(1.0, 0.0), p(3.0, 0.0)]
    );
}
