//! Off the floor, or where nobody may stand.

use super::figure::Figure;
use super::plane::{
    Lies, TINY_M2, all_corners, beyond, common, inside, largest, lies, nearest_on_border, pieces_m2,
};
use crate::collection::Point;
use geo::MultiPolygon;

/// A figure where it must not be.
#[derive(Clone, Debug, PartialEq)]
pub struct Intrusion {
    /// How far it reaches beyond the border, metres.
    pub by_m: f64,
    /// How much of it, square metres. Round things count as their 48 corners.
    pub area_m2: f64,
    /// The largest piece of it.
    pub piece: Vec<Point>,
}

/// What of a figure lies outside the floor; `None` when nothing does, or the floor has no outline.
pub fn outside(figure: &Figure, floor: &[Point]) -> Option<Intrusion> {
    if floor.len() < 3 || lies(&figure.outline, floor) == Lies::Inside {
        return None;
    }
    intrusion_of(&beyond(&figure.outline, floor), floor, false)
}

/// What of a figure lies in an area; `None` when nothing does.
pub fn intrusion(figure: &Figure, area: &[Point]) -> Option<Intrusion> {
    if area.len() < 3 || lies(&figure.outline, area) == Lies::Outside {
        return None;
    }
    intrusion_of(&common(&figure.outline, area), area, true)
}

fn intrusion_of(pieces: &MultiPolygon<f64>, border: &[Point], inward: bool) -> Option<Intrusion> {
    let area_m2 = pieces_m2(pieces);
    if area_m2 <= TINY_M2 {
        return None;
    }
    // The library's results are rounded to a fine grid; corners that lie on the border count as nothing.
    let depth = |p: Point| {
        let far = nearest_on_border(p, border).map_or(0.0, |q| p.distance(q));
        if far < 1e-6 || inside(p, border) == inward { far } else { 0.0 }
    };
    let by_m = all_corners(pieces).into_iter().map(depth).fold(0.0, f64::max);
    Some(Intrusion { by_m, area_m2, piece: largest(pieces) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::Shape;
    use crate::stage::figure;
    use crate::week::Placement;
    use approx::assert_relative_eq;

    fn square(side: f64) -> Vec<Point> {
        [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)].map(|(x, y)| Point::new(x, y)).to_vec()
    }

    fn crate_at(x: f64, y: f64) -> Figure {
        let shape = Shape::Box { width_m: 1.0, depth_m: 0.6 };
        figure(shape, &Placement { at: Point::new(x, y), turn_deg: 0.0, number: 1, locked: false })
    }

    #[test]
    fn out_of_the_floor_by_so_much() {
        assert_eq!(outside(&crate_at(5.0, 5.0), &square(10.0)), None);
        assert_eq!(outside(&crate_at(0.5, 0.3), &square(10.0)), None, "flush with the corner");
        let over = outside(&crate_at(9.7, 5.0), &square(10.0)).unwrap();
        assert_relative_eq!(over.by_m, 0.2, epsilon = 1e-6);
        assert_relative_eq!(over.area_m2, 0.12, epsilon = 1e-6);
        let gone = outside(&crate_at(20.0, 5.0), &square(10.0)).unwrap();
        assert_relative_eq!(gone.by_m, 10.5, epsilon = 1e-6);
        assert_eq!(outside(&crate_at(20.0, 5.0), &[]), None, "no floor drawn yet");
    }

    #[test]
    fn in_an_area_by_so_much() {
        assert_eq!(intrusion(&crate_at(-0.5, 5.0), &square(10.0)), None, "it only touches");
        let into = intrusion(&crate_at(-0.3, 5.0), &square(10.0)).unwrap();
        assert_relative_eq!(into.by_m, 0.2, epsilon = 1e-6);
        // An area that lies wholly under the thing.
        let around = intrusion(&crate_at(0.1, 0.1), &square(0.2)).unwrap();
        assert_relative_eq!(around.area_m2, 0.04, epsilon = 1e-6);
    }

    /// A floor of three corners: what stands in the half beyond its slanted side is off it. The middle of a box of 1.0 by 0.6 m at
    /// (6, 6) lies 2 / sqrt(2) m beyond the side from (10, 0) to (0, 10), its far corner 0.8 / sqrt(2) m more.
    #[test]
    fn a_triangle_is_a_floor() {
        let triangle: Vec<Point> =
            [(0.0, 0.0), (10.0, 0.0), (0.0, 10.0)].map(|(x, y)| Point::new(x, y)).to_vec();
        assert_eq!(outside(&crate_at(2.0, 2.0), &triangle), None);
        let over = outside(&crate_at(6.0, 6.0), &triangle).unwrap();
        assert_relative_eq!(over.by_m, 2.8 / 2.0_f64.sqrt(), epsilon = 1e-6);
        assert_relative_eq!(over.area_m2, 0.6, epsilon = 1e-6);
        assert_eq!(intrusion(&crate_at(6.0, 6.0), &triangle), None);
        assert_relative_eq!(intrusion(&crate_at(2.0, 2.0), &triangle).unwrap().area_m2, 0.6, epsilon = 1e-6);
        assert_eq!(intrusion(&crate_at(2.0, 2.0), &triangle[..2]), None);
    }
}
