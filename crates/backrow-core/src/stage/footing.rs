//! What a thing stands on: the floor, a riser, or across an edge.

use super::figure::Figure;
use super::plane::{Lies, TINY_M2, common, lies, polygon};
use crate::collection::Riser;
use geo::{Area as _, BooleanOps as _, MultiPolygon};

/// One level that a figure stands on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Index of the riser in the venue; `None` for the floor itself.
    pub riser: Option<usize>,
    /// The share of its footprint there, above 0 to 1.
    pub share: f64,
    /// Height of that level above the floor, metres.
    pub height_m: f64,
}

/// What a figure stands on. Where risers lie over each other the higher one counts.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Footing {
    /// From the largest share to the smallest; the shares add up to 1.
    pub parts: Vec<Part>,
}

/// Levels nearer than this are one: risers side by side with a joint between them.
const LEVEL_M: f64 = 0.01;

impl Footing {
    /// The riser that bears most of it; `None` when that is the floor.
    pub fn riser(&self) -> Option<usize> {
        self.parts.first().and_then(|part| part.riser)
    }

    /// Height of the level that bears most of it, metres.
    pub fn height_m(&self) -> f64 {
        self.parts.first().map_or(0.0, |part| part.height_m)
    }

    /// Whether it stands across an edge, and the greatest step under it, metres.
    pub fn step_m(&self) -> Option<f64> {
        let heights = self.parts.iter().map(|part| part.height_m);
        let high = heights.clone().fold(f64::NEG_INFINITY, f64::max);
        let low = heights.fold(f64::INFINITY, f64::min);
        (high - low > LEVEL_M).then_some(high - low)
    }
}

/// What a figure stands on among a venue's risers.
pub fn footing(figure: &Figure, risers: &[Riser]) -> Footing {
    let mut order: Vec<(usize, &Riser)> =
        risers.iter().enumerate().filter(|(_, riser)| riser.outline.len() >= 3).collect();
    order.sort_by(|(i, a), (j, b)| b.height_m.total_cmp(&a.height_m).then(i.cmp(j)));
    let whole = polygon(&figure.outline).unsigned_area();
    let mut rest: Option<MultiPolygon<f64>> = None;
    let mut left = whole;
    let mut parts = Vec::new();
    for (index, riser) in order {
        let on_it = match lies(&figure.outline, &riser.outline) {
            Lies::Outside => continue,
            Lies::Inside => left,
            Lies::Unclear => {
                let area = polygon(&riser.outline);
                let before = rest.unwrap_or_else(|| polygon(&figure.outline).into());
                let on_it = before.intersection(&area).unsigned_area();
                rest = Some(before.difference(&MultiPolygon::from(area)));
                on_it
            }
        };
        if on_it > TINY_M2 {
            parts.push(Part { riser: Some(index), share: on_it / whole, height_m: riser.height_m });
            left -= on_it;
        }
        if left <= TINY_M2 {
            break;
        }
    }
    if left > TINY_M2 || parts.is_empty() {
        parts.push(Part { riser: None, share: left / whole, height_m: 0.0 });
    }
    parts.sort_by(|a, b| b.share.total_cmp(&a.share));
    Footing { parts }
}

/// Square metres of a riser. What lies under a higher riser is not taken off.
pub(super) fn riser_m2(riser: &Riser) -> f64 {
    common(&riser.outline, &riser.outline).unsigned_area()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::{Point, Shape};
    use crate::stage::figure;
    use crate::week::Placement;
    use approx::assert_relative_eq;

    fn riser(x0: f64, x1: f64, height_m: f64) -> Riser {
        let outline = [(x0, 0.0), (x1, 0.0), (x1, 3.0), (x0, 3.0)].map(|(x, y)| Point::new(x, y)).to_vec();
        Riser { name: String::new(), outline, height_m, rated_kn_m2: None }
    }

    fn crate_at(x: f64) -> Figure {
        let shape = Shape::Box { width_m: 1.0, depth_m: 1.0 };
        figure(shape, &Placement { at: Point::new(x, 1.5), turn_deg: 0.0, number: 1, locked: false })
    }

    #[test]
    fn on_a_riser_off_it_or_across_its_edge() {
        let risers = [riser(0.0, 4.0, 0.4)];
        assert_eq!(footing(&crate_at(2.0), &risers).riser(), Some(0));
        assert_eq!(footing(&crate_at(2.0), &risers).step_m(), None);
        assert_eq!(footing(&crate_at(6.0), &risers).riser(), None);
        assert_eq!(footing(&crate_at(3.5), &risers).step_m(), None, "flush with the edge");
        let across = footing(&crate_at(3.8), &risers);
        assert_relative_eq!(across.step_m().unwrap(), 0.4);
        assert_relative_eq!(across.parts[0].share, 0.7, epsilon = 1e-6);
        assert_eq!(across.riser(), Some(0));
    }

    #[test]
    fn risers_of_one_height_side_by_side_are_one_level() {
        let across = footing(&crate_at(4.0), &[riser(0.0, 4.0, 0.4), riser(4.0, 8.0, 0.4)]);
        assert_eq!(across.step_m(), None);
        assert_relative_eq!(across.parts.iter().map(|p| p.share).sum::<f64>(), 1.0, epsilon = 1e-6);
    }

    #[test]
    fn the_higher_of_two_levels_counts() {
        let nested = [riser(0.0, 8.0, 0.2), riser(4.0, 8.0, 0.6)];
        let on_top = footing(&crate_at(6.0), &nested);
        assert_eq!((on_top.riser(), on_top.parts.len()), (Some(1), 1));
        let across = footing(&crate_at(4.0), &nested);
        assert_relative_eq!(across.step_m().unwrap(), 0.4, epsilon = 1e-9);
        assert_relative_eq!(across.parts[1].share, 0.5, epsilon = 1e-6);
    }

    /// Three tenths over the edge: told are both levels with their shares, the greater first.
    #[test]
    fn shares_are_told_by_level() {
        let risers = [riser(0.0, 4.0, 0.4)];
        let told = |x: f64, risers: &[Riser]| {
            let footing = footing(&crate_at(x), risers);
            let part = |part: &Part| (part.riser, (part.share * 1e6).round() / 1e6, part.height_m);
            (footing.parts.iter().map(part).collect::<Vec<_>>(), footing.height_m())
        };
        assert_eq!(told(3.8, &risers), (vec![(Some(0), 0.7, 0.4), (None, 0.3, 0.0)], 0.4));
        assert_eq!(told(4.2, &risers), (vec![(None, 0.7, 0.0), (Some(0), 0.3, 0.4)], 0.0));
        assert_eq!(told(2.0, &risers), (vec![(Some(0), 1.0, 0.4)], 0.4));
        assert_eq!(told(9.0, &risers), (vec![(None, 1.0, 0.0)], 0.0));
        // Three levels under one thing: 0.2 on the highest, 0.5 on the middle one and 0.3 on the floor.
        let three = [riser(0.0, 4.0, 0.2), riser(3.5, 4.0, 0.6)];
        let found = told(3.8, &three);
        assert_eq!(found.0, [(Some(1), 0.5, 0.6), (None, 0.3, 0.0), (Some(0), 0.2, 0.2)]);
        assert_eq!(footing(&crate_at(3.8), &three).step_m(), Some(0.6));
        assert_eq!(told(2.0, &[Riser { outline: Vec::new(), ..riser(0.0, 4.0, 0.4) }]).0, [(None, 1.0, 0.0)]);
        assert!((riser_m2(&riser(0.0, 4.0, 0.4)) - 12.0).abs() < 1e-6);
    }

    /// A joint of a centimetre is no step, more is one.
    #[test]
    fn a_small_difference_is_no_step() {
        let pair =
            |high: f64| footing(&crate_at(4.0), &[riser(0.0, 4.0, 0.4), riser(4.0, 8.0, high)]).step_m();
        assert_eq!(pair(0.409), None);
        assert!((pair(0.42).unwrap() - 0.02).abs() < 1e-9);
    }

    /// A box of 2 by 1 m, a quarter of it over the edge.
    #[test]
    fn shares_are_of_its_own_area() {
        let shape = Shape::Box { width_m: 2.0, depth_m: 1.0 };
        let wide =
            figure(shape, &Placement { at: Point::new(3.5, 1.5), turn_deg: 0.0, number: 1, locked: false });
        let found = footing(&wide, &[riser(0.0, 4.0, 0.4)]);
        let shares: Vec<f64> = found.parts.iter().map(|part| part.share).collect();
        assert!(
            shares.len() == 2 && (shares[0] - 0.75).abs() < 1e-6 && (shares[1] - 0.25).abs() < 1e-6,
            "{shares:?}"
        );
    }
}
