//! Where players stand and what lies between two passages, in the seconds of the section's habits.

use super::number::{BeatersNo, LineNo, PlaceNo};
use super::problem::{Passage, PassageOf, PassageRef, Problem, Stances};
use crate::seconds::{self, Change, Hold, Leg, Need, Walk};
use std::collections::BTreeSet;

/// What a player has and needs between two passages.
pub type Move = seconds::Move<PassageRef>;

/// The move in words: "gap 2.0 s, walk 1.5 m in 2.25 s, change 1.5 s, lacking 1.75 s".
pub fn in_words(step: &Move) -> String {
    let mut words = vec![match step.has_us {
        _ if step.at_once && step.has_us >= 0 => "both start at once".to_owned(),
        gap if gap < 0 => format!("both sound for {}\u{202F}s", exact(-gap)),
        gap => format!("gap {}\u{202F}s", exact(gap)),
    }];
    let need = &step.need;
    if need.walk_us() > 0 {
        let guess = if need.assumed { " (assumed)" } else { "" };
        let steps = match need.steps {
            0 => String::new(),
            1 => " and a step".to_owned(),
            n => format!(" and {n} steps"),
        };
        words.push(format!(
            "walk {:.1}\u{202F}m{guess}{steps} in {}\u{202F}s",
            need.metres,
            exact(need.walk_us())
        ));
    }
    if need.change_us > 0 {
        words.push(format!("change {}\u{202F}s", exact(need.change_us)));
    }
    let verdict = if step.spare_us() < 0 { "lacking" } else { "spare" };
    words.push(format!("{verdict} {}\u{202F}s", exact(step.spare_us().abs())));
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
    /// How its player stands, where needs are given.
    pub(super) stances: Option<Stances>,
}

impl Spot {
    /// Where the player of a passage stands.
    pub(super) const fn of(line: LineNo, passage: &Passage) -> Self {
        Self { place: passage.place, line, stances: passage.stances }
    }
}

/// What was given for the way from the end of one passage to the start of another.
fn given(problem: &Problem, from: Option<Stances>, to: Option<Stances>) -> Option<&Need> {
    problem.needs.as_ref()?.find(from?.ends)?.find(to?.begins)
}

/// What lies between two passages of two lines.
pub(super) fn need(problem: &Problem, from: PassageOf<'_>, to: PassageOf<'_>) -> Need {
    if let Some(need) = given(problem, from.passage.stances, to.passage.stances) {
        return *need;
    }
    let spot = |of: PassageOf<'_>| Spot::of(of.line, of.passage);
    let none = BTreeSet::new();
    let holds = |key: Option<BeatersNo>| key.and_then(|key| problem.holds.find(key)).unwrap_or(&none);
    let (put_down, taken_up) = (from.passage.put_down(), to.passage.beaters);
    let change = Change::between(&problem.habits, put_down != taken_up, holds(put_down), holds(taken_up));
    Need::new(&problem.habits, leg(problem, spot(from), spot(to)), change)
}

/// The metres between two spots.
pub(super) fn metres(problem: &Problem, a: Spot, b: Spot) -> f64 {
    match given(problem, a.stances, b.stances) {
        Some(need) => need.metres,
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
    use super::super::StanceNo;
    use super::*;

    #[test]
    fn steps_are_told_beside_metres_and_never_as_metres() {
        let need =
            Need::new(&seconds::Habits::default(), Leg::Measured(Walk { metres: 1.2, steps: 2 }), None);
        let at = PassageRef { line: LineNo(0), passage: super::super::number::PassageNo(0) };
        let step = Move { from: at, to: at, has_us: 4_500_000, at_once: false, need };
        assert_eq!(
            in_words(&step),
            "gap 4.5\u{202f}s, walk 1.2\u{202f}m and 2 steps in 4.0\u{202f}s, spare 0.5\u{202f}s"
        );
    }

    fn step(has_us: i64, at_once: bool, walk: Option<f64>, change: Option<Change>) -> String {
        let leg =
            walk.map_or(Leg::Here, |metres| Leg::Measured(Walk { metres, steps: u32::from(metres > 3.0) }));
        let need = Need::new(&seconds::Habits::default(), leg, change);
        let at = PassageRef { line: LineNo(0), passage: super::super::number::PassageNo(0) };
        in_words(&Move { from: at, to: at, has_us, at_once, need })
    }

    // 3.6 m at 1.2 m/s, a step of 1 s and 1 s to settle take 5 s.
    #[test]
    fn a_move_is_told_part_by_part() {
        assert_eq!(step(0, true, None, None), "both start at once, spare 0.0\u{202f}s");
        assert_eq!(step(0, false, None, None), "gap 0.0\u{202f}s, spare 0.0\u{202f}s");
        assert_eq!(step(-250_000, true, None, None), "both sound for 0.25\u{202f}s, lacking 0.25\u{202f}s");
        assert_eq!(
            step(4_000_000, false, Some(3.6), Some(Change::Beaters)),
            "gap 4.0\u{202f}s, walk 3.6\u{202f}m and a step in 5.0\u{202f}s, change 1.5\u{202f}s, lacking 2.5\u{202f}s"
        );
        assert_eq!((exact(1_500_001), exact(10_000_000)), ("1.500001".to_owned(), "10.0".to_owned()));
    }

    fn problem(text: &str) -> Problem {
        crate::rota::text::read(text).unwrap()
    }

    // 5 m from (0, 0) to (3, 4) at 1.2 m/s, 1 s to settle, 6 s for gloves: 11.166667 s; two microseconds for roundings.
    #[test]
    fn no_way_and_no_need_is_longer_than_the_longest() {
        let far = problem("extras 1\nline a at 0,0: 0-1\nline b at 3,4: 5-6");
        assert!((longest_way_m(&far) - 5.0).abs() < 1e-12);
        assert_eq!(longest_need(&far), 11_166_669);
        let wide = problem("extras 1\nline a at 1,7: 0-1\nline b at 9,7: 5-6");
        assert!((longest_way_m(&wide) - 8.0).abs() < 1e-12);
        let near = problem("extras 1\nline a at 1,1: 0-1");
        assert!((longest_way_m(&near) - 2.0).abs() < 1e-12, "the default distance");
        let mut given = far;
        let need = |metres| Need::new(&given.habits, Leg::Measured(Walk { metres, steps: 0 }), None);
        let row =
            |a: f64, b: f64| [need(a), need(b)].into_iter().collect::<super::super::List<StanceNo, Need>>();
        let needs = [row(0.0, 6.0), row(1.2, 0.0)].into_iter().collect();
        given.needs = Some(needs);
        assert!((longest_way_m(&given) - 6.0).abs() < 1e-12);
        // 6 m: 5 s and one to settle.
        assert_eq!(longest_need(&given), 6_000_000);
    }

    /// Where a place is not known lines on one instrument stand at one place, others the default distance apart.
    #[test]
    fn places_instruments_and_lines_say_how_far_it_is() {
        let text = "extras 1\nline a at 0,0 on m: 0-1\nline b at 3,4: 5-6\nline c on m: 9-10\nline d: 12-13";
        let problem = problem(text);
        let spot = |line: usize, place: Option<usize>| Spot {
            place: place.map(PlaceNo),
            line: LineNo(line),
            stances: None,
        };
        let m = |a: Spot, b: Spot| metres(&problem, a, b);
        assert!((m(spot(0, Some(0)), spot(1, Some(1))) - 5.0).abs() < 1e-12);
        assert!(m(spot(0, Some(0)), spot(2, None)).abs() < 1e-12, "on one instrument");
        assert!(m(spot(3, None), spot(3, None)).abs() < 1e-12, "one line");
        assert!((m(spot(2, None), spot(3, None)) - 2.0).abs() < 1e-12, "not known");
    }
}
