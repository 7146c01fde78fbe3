//! Where players stand and what lies between two passages, in the seconds of the section's habits.

use super::number::{LineNo, PlaceNo};
use super::problem::{Passage, PassageRef, Problem};
use crate::seconds::{self, Change, Hold, Leg, Need, Walk};
use std::collections::BTreeSet;

/// What a player has and needs between two passages.
pub type Move = seconds::Move<PassageRef>;

/// The move in words: "gap 2.0 s, walk 1.5 m in 2.25 s, change 1.5 s, lacking 1.75 s".
pub fn in_words(step: &Move) -> String {
    let mut words = vec![match step.has_us {
        _ if step.at_once && step.has_us >= 0 => "both start at once".to_owned(),
        gap if gap < 0 => format!("both sound for {} s", exact(-gap)),
        gap => format!("gap {} s", exact(gap)),
    }];
    let need = &step.need;
    if need.walk_us() > 0 {
        let guess = if need.assumed { " (default distance)" } else { "" };
        let steps = match need.steps {
            0 => String::new(),
            1 => " and a step".to_owned(),
            n => format!(" and {n} steps"),
        };
        words.push(format!("walk {:.1} m{guess}{steps} in {} s", need.metres, exact(need.walk_us())));
    }
    if need.change_us > 0 {
        words.push(format!("change {} s", exact(need.change_us)));
    }
    let verdict = if step.spare_us() < 0 { "lacking" } else { "spare" };
    words.push(format!("{verdict} {} s", exact(step.spare_us().abs())));
    words.join(", ")
}

/// Seconds with as many decimals as needed, at least one.
fn exact(us: i64) -> String {
    let text = format!("{:.6}", us as f64 / 1e6);
    let short = text.trim_end_matches('0');
    if short.ends_with('.') { format!("{short}0") } else { short.to_owned() }
}

/// A start and an end in microseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Span {
    /// Start.
    pub(super) from: i64,
    /// End.
    pub(super) to: i64,
}

/// Where a player stands between passages, as far as is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Spot {
    /// The place, when one is known.
    pub(super) place: Option<PlaceNo>,
    /// The line, which stands in one place when nothing else is known.
    pub(super) line: LineNo,
}

/// What lies between two passages of two lines.
pub(super) fn need(problem: &Problem, from: (LineNo, &Passage), to: (LineNo, &Passage)) -> Need {
    if let Some(needs) = &problem.needs {
        return needs[from.0][to.0];
    }
    let spot = |(line, passage): (LineNo, &Passage)| Spot { place: passage.place, line };
    let none = BTreeSet::new();
    let holds = |passage: &Passage| passage.beaters.and_then(|key| problem.holds.find(key)).unwrap_or(&none);
    let differ = from.1.beaters != to.1.beaters;
    let change = Change::between(&problem.habits, differ, holds(from.1), holds(to.1));
    Need::new(&problem.habits, leg(problem, spot(from), spot(to)), change)
}

/// The metres between two spots.
pub(super) fn metres(problem: &Problem, a: Spot, b: Spot) -> f64 {
    match &problem.needs {
        Some(needs) => needs[a.line][b.line].metres,
        None => Need::new(&problem.habits, leg(problem, a, b), None).metres,
    }
}

/// The straight way between two spots; no way between lines on one instrument where no place is known.
fn leg(problem: &Problem, a: Spot, b: Spot) -> Leg {
    match (a.place, b.place) {
        (Some(from), Some(to)) => {
            let ([ax, ay], [bx, by]) = (problem.places_m[from], problem.places_m[to]);
            Leg::Measured(Walk { metres: (ax - bx).hypot(ay - by), steps: 0 })
        }
        _ if a.line == b.line || share_instrument(problem, a.line, b.line) => Leg::Here,
        _ => Leg::Assumed,
    }
}

/// Whether two lines have an instrument in common.
fn share_instrument(problem: &Problem, a: LineNo, b: LineNo) -> bool {
    problem.lines[a].instruments.iter().any(|i| problem.lines[b].instruments.contains(i))
}

/// An upper bound of every walk and change of the problem, in microseconds.
pub(super) fn longest_need(problem: &Problem) -> i64 {
    if let Some(needs) = &problem.needs {
        return needs.iter().flatten().map(Need::us).max().unwrap_or_default();
    }
    let walk = Walk { metres: longest_way_m(problem), steps: 0 };
    let changes = Hold::ALL.into_iter().map(Change::Take).chain([Change::Beaters]);
    let change = changes.max_by(|a, b| a.seconds(&problem.habits).total_cmp(&b.seconds(&problem.habits)));
    Need::new(&problem.habits, Leg::Measured(walk), change).us() + 2
}

/// An upper bound of every way of the problem, in metres.
pub(super) fn longest_way_m(problem: &Problem) -> f64 {
    if let Some(needs) = &problem.needs {
        return needs.iter().flatten().map(|need| need.metres).fold(0.0, f64::max);
    }
    let spread = |axis: fn(&[f64; 2]) -> f64| {
        let values = problem.places_m.iter().map(axis);
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
        if high > low { high - low } else { 0.0 }
    };
    spread(|[x, _]| *x).hypot(spread(|[_, y]| *y)).max(problem.habits.default_walk().metres)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_told_beside_metres_and_never_as_metres() {
        let need =
            Need::new(&seconds::Habits::default(), Leg::Measured(Walk { metres: 1.2, steps: 2 }), None);
        let at = PassageRef { line: LineNo(0), passage: super::super::number::PassageNo(0) };
        let step = Move { from: at, to: at, has_us: 4_500_000, at_once: false, need };
        assert_eq!(in_words(&step), "gap 4.5 s, walk 1.2 m and 2 steps in 4.0 s, spare 0.5 s");
    }
}
