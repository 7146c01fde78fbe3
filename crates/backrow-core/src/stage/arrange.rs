//! Several things at once: lined up, spread evenly, mirrored.

use super::figure::figure;
use super::plane::Bounds;
use crate::collection::{Point, Shape};
use crate::week::Placement;

/// What is brought into one line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// The edges away from the audience.
    Backs,
    /// The edges towards the audience.
    Fronts,
    /// The left edges as the audience sees.
    Lefts,
    /// The right edges as the audience sees.
    Rights,
    /// The middles, side by side: at one distance from the back.
    MiddlesAcross,
    /// The middles, one behind the other.
    MiddlesAlong,
}

impl Line {
    /// All, as a menu lists them.
    pub const ALL: [Self; 6] =
        [Self::Backs, Self::Fronts, Self::Lefts, Self::Rights, Self::MiddlesAcross, Self::MiddlesAlong];

    /// "Backs in line", and so on.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Backs => "Backs in line",
            Self::Fronts => "Fronts in line",
            Self::Lefts => "Left edges in line",
            Self::Rights => "Right edges in line",
            Self::MiddlesAcross => "Middles in a row",
            Self::MiddlesAlong => "Middles in a column",
        }
    }
}

/// A thing by its shape and place.
pub type Placed = (Shape, Placement);

fn bounds((shape, placement): &Placed) -> Bounds {
    Bounds::of(&figure(*shape, placement).outline)
}

fn moved(placement: &Placement, x: f64, y: f64) -> Placement {
    Placement { at: Point::new(placement.at.x + x, placement.at.y + y), ..*placement }
}

/// The same things with that part of each in one line: that of the thing farthest that way; middles at their mean.
pub fn align(things: &[Placed], line: Line) -> Vec<Placement> {
    let all: Vec<Bounds> = things.iter().map(bounds).collect();
    let least = |of: fn(&Bounds) -> f64| all.iter().map(of).fold(f64::INFINITY, f64::min);
    let most = |of: fn(&Bounds) -> f64| all.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
    let count = things.len().max(1) as f64;
    let mean = |of: fn(&Placement) -> f64| things.iter().map(|(_, p)| of(p)).sum::<f64>() / count;
    let step = |(thing, bounds): (&Placed, &Bounds)| {
        let at = thing.1.at;
        let (x, y) = match line {
            Line::Backs => (0.0, least(|b| b.low.y) - bounds.low.y),
            Line::Fronts => (0.0, most(|b| b.high.y) - bounds.high.y),
            Line::Lefts => (least(|b| b.low.x) - bounds.low.x, 0.0),
            Line::Rights => (most(|b| b.high.x) - bounds.high.x, 0.0),
            Line::MiddlesAcross => (0.0, mean(|p| p.at.y) - at.y),
            Line::MiddlesAlong => (mean(|p| p.at.x) - at.x, 0.0),
        };
        moved(&thing.1, x, y)
    };
    things.iter().zip(&all).map(step).collect()
}

/// The same things with equal gaps between them, from the first to the last, which stay; `across` from left to right, else
/// from the back towards the audience.
pub fn spread(things: &[Placed], across: bool) -> Vec<Placement> {
    let low = |b: &Bounds| if across { b.low.x } else { b.low.y };
    let high = |b: &Bounds| if across { b.high.x } else { b.high.y };
    let all: Vec<Bounds> = things.iter().map(bounds).collect();
    let mut order: Vec<usize> = (0..things.len()).collect();
    let middle = |at: usize| all.get(at).map_or(0.0, |b| low(b) + high(b));
    order.sort_by(|a, b| middle(*a).total_cmp(&middle(*b)));
    let mut out: Vec<Placement> = things.iter().map(|(_, placement)| *placement).collect();
    let (Some(first), Some(last)) =
        (order.first().and_then(|at| all.get(*at)), order.last().and_then(|at| all.get(*at)))
    else {
        return out;
    };
    if things.len() < 3 {
        return out;
    }
    let taken: f64 = all.iter().map(|b| high(b) - low(b)).sum();
    let gap = (high(last) - low(first) - taken) / (things.len() - 1) as f64;
    let mut edge = low(first);
    for at in order {
        let (Some(bounds), Some(placement)) = (all.get(at), out.get_mut(at)) else { continue };
        let by = edge - low(bounds);
        *placement = if across { moved(placement, by, 0.0) } else { moved(placement, 0.0, by) };
        edge += high(bounds) - low(bounds) + gap;
    }
    out
}

/// The place on the other side of the centre line, turned the other way round.
pub fn mirrored(placement: &Placement) -> Placement {
    Placement {
        at: Point::new(-placement.at.x, placement.at.y),
        turn_deg: (-placement.turn_deg).rem_euclid(360.0),
        ..*placement
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f64, y: f64, width_m: f64, turn_deg: f64) -> Placed {
        let placement = Placement { at: Point::new(x, y), turn_deg, number: 1, locked: false };
        (Shape::Box { width_m, depth_m: 0.5 }, placement)
    }

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-9
    }

    #[test]
    fn edges_come_into_line() {
        let things = [at(0.0, 1.0, 1.0, 0.0), at(3.0, 2.0, 2.0, 90.0), at(5.0, 1.5, 1.0, 0.0)];
        for line in Line::ALL {
            let next = align(&things, line);
            let all: Vec<Bounds> = things.iter().zip(&next).map(|(t, p)| bounds(&(t.0, *p))).collect();
            let of = |b: &Bounds| match line {
                Line::Backs => b.low.y,
                Line::Fronts => b.high.y,
                Line::Lefts => b.low.x,
                Line::Rights => b.high.x,
                Line::MiddlesAcross => f64::midpoint(b.low.y, b.high.y),
                Line::MiddlesAlong => f64::midpoint(b.low.x, b.high.x),
            };
            let first = all.first().map(of).unwrap();
            assert!(all.iter().all(|b| near(of(b), first)), "{line:?}");
            assert_eq!(align(&[], line), vec![]);
        }
    }

    #[test]
    fn gaps_become_equal_and_the_ends_stay() {
        let things = [at(9.0, 0.0, 2.0, 0.0), at(0.0, 0.0, 2.0, 0.0), at(2.5, 0.0, 1.0, 0.0)];
        let next = spread(&things, true);
        assert!(near(next[0].at.x, 9.0) && near(next[1].at.x, 0.0));
        // From 1 to 8 lie 7 m; 6 m of them are free, 3 m on each side of the one that is 1 m wide.
        assert!(near(next[2].at.x, 4.5), "{}", next[2].at.x);
    }

    #[test]
    fn a_mirror_twice_is_nothing() {
        let (_, placement) = at(2.0, 3.0, 1.0, 30.0);
        let once = mirrored(&placement);
        assert!(near(once.at.x, -2.0) && near(once.turn_deg, 330.0));
        assert_eq!(mirrored(&once), placement);
    }

    /// Boxes of 1.0, 2.0 (turned by a quarter) and 1.0 m: their backs at 0.75, 1.0 and 1.25 m.
    #[test]
    fn each_goes_to_the_one_farthest_that_way() {
        let things = [at(0.0, 1.0, 1.0, 0.0), at(3.0, 2.0, 2.0, 90.0), at(5.0, 1.5, 1.0, 0.0)];
        let xy = |line: Line| {
            let round = |v: f64| (v * 1e9).round() / 1e9;
            align(&things, line).iter().map(|p| (round(p.at.x), round(p.at.y))).collect::<Vec<_>>()
        };
        assert_eq!(xy(Line::Backs), [(0.0, 1.0), (3.0, 1.75), (5.0, 1.0)]);
        assert_eq!(xy(Line::Fronts), [(0.0, 2.75), (3.0, 2.0), (5.0, 2.75)]);
        assert_eq!(xy(Line::Lefts), [(0.0, 1.0), (-0.25, 2.0), (0.0, 1.5)]);
        assert_eq!(xy(Line::Rights), [(5.0, 1.0), (5.25, 2.0), (5.0, 1.5)]);
        assert_eq!(xy(Line::MiddlesAcross), [(0.0, 1.5), (3.0, 1.5), (5.0, 1.5)]);
        let third = 8.0 / 3.0;
        let third = (third * 1e9_f64).round() / 1e9;
        assert_eq!(xy(Line::MiddlesAlong), [(third, 1.0), (third, 2.0), (third, 1.5)]);
        let words: Vec<&str> = Line::ALL.iter().map(|line| line.words()).collect();
        assert_eq!(words[..2], ["Backs in line", "Fronts in line"]);
        assert_eq!(words.iter().collect::<std::collections::BTreeSet<_>>().len(), 6);
    }

    #[test]
    fn from_the_back_towards_the_audience_gaps_become_equal_too() {
        // 0.5 m deep each, from y = 0 to 5: 5.5 m in all, 4.0 m free between four things.
        let things =
            [at(0.0, 5.0, 1.0, 0.0), at(1.0, 0.0, 1.0, 0.0), at(2.0, 1.0, 1.0, 0.0), at(3.0, 0.7, 1.0, 0.0)];
        let next = spread(&things, false);
        let y: Vec<f64> = next.iter().map(|p| (p.at.y * 1e9).round() / 1e9).collect();
        let third = |n: f64| (n * 5.0 / 3.0 * 1e9).round() / 1e9;
        assert_eq!(y, [5.0, 0.0, third(2.0), third(1.0)]);
        assert!(next.iter().zip(&things).all(|(p, (_, old))| near(p.at.x, old.at.x)));
        assert_eq!(spread(&things[..2], true), [things[0].1, things[1].1], "two are as they are");
        assert_eq!(spread(&[], true), []);
    }

    #[test]
    fn left_of_the_middle_is_left() {
        // From -3.5 to 4.5: 8 m, of which 3 are taken; 2.5 m on both sides of the one between.
        let things = [at(-3.0, 0.0, 1.0, 0.0), at(0.5, 0.0, 1.0, 0.0), at(4.0, 0.0, 1.0, 0.0)];
        let x: Vec<f64> = spread(&things, true).iter().map(|p| (p.at.x * 1e9).round() / 1e9).collect();
        assert_eq!(x, [-3.0, 0.5, 4.0]);
        let aside = [at(-3.0, 0.0, 1.0, 0.0), at(-2.0, 0.0, 1.0, 0.0), at(4.0, 0.0, 1.0, 0.0)];
        assert!(near(spread(&aside, true)[1].at.x, 0.5));
    }
}
