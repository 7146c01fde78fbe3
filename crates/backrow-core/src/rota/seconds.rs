//! The seconds between two passages: gap, walk and change, exact at the border.
//!
//! All times become whole microseconds, rounded to the nearest, before they are compared. So a gap
//! that equals the need on paper equals it here too, whatever binary fractions make of 0.1.

use super::problem::{PassageRef, Problem};

/// Rounds to whole microseconds (or millimetres times a thousand), to the nearest.
#[expect(clippy::cast_possible_truncation, reason = "inputs are checked to lie below a year: 3.2e13")]
pub(super) fn micros(seconds: f64) -> i64 {
    (seconds * 1e6).round() as i64
}

/// The way from the end of one passage to the start of another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    /// The passage that starts first.
    pub from: PassageRef,
    /// The one that follows.
    pub to: PassageRef,
    /// From the end of the first to the start of the second, in microseconds; negative while both sound.
    pub gap_us: i64,
    /// Walking and settling, in microseconds.
    pub walk_us: i64,
    /// Changing beaters, in microseconds.
    pub change_us: i64,
    /// The way on the floor, in metres.
    pub walk_m: f64,
    /// Whether the default distance stood in for a place that is not known.
    pub guessed: bool,
    /// Whether both start at the same microsecond, which no player can do however short they are.
    pub at_once: bool,
}

impl Move {
    /// Microseconds to spare; negative when seconds lack.
    pub fn spare_us(&self) -> i64 {
        self.gap_us - self.walk_us - self.change_us
    }

    /// Whether one player can do it. A gap exactly equal to the need is enough.
    pub fn fits(&self) -> bool {
        self.spare_us() >= 0 && !self.at_once
    }

    /// The gap in seconds.
    pub fn gap_s(&self) -> f64 {
        self.gap_us as f64 / 1e6
    }

    /// Walking and settling, in seconds.
    pub fn walk_s(&self) -> f64 {
        self.walk_us as f64 / 1e6
    }

    /// Changing beaters, in seconds.
    pub fn change_s(&self) -> f64 {
        self.change_us as f64 / 1e6
    }

    /// Seconds to spare; negative when seconds lack.
    pub fn spare_s(&self) -> f64 {
        self.spare_us() as f64 / 1e6
    }

    /// The move in words: "gap 2.0 s, walk 1.5 m in 2.25 s, change 1.5 s, lacking 1.75 s".
    pub fn in_words(&self) -> String {
        let mut words = vec![match self.gap_us {
            _ if self.at_once && self.gap_us >= 0 => "both start at once".to_owned(),
            gap if gap < 0 => format!("both sound for {} s", seconds_text(-gap)),
            gap => format!("gap {} s", seconds_text(gap)),
        }];
        if self.walk_us > 0 {
            let guess = if self.guessed { " (default distance)" } else { "" };
            words.push(format!("walk {:.1} m{guess} in {} s", self.walk_m, seconds_text(self.walk_us)));
        }
        if self.change_us > 0 {
            words.push(format!("change {} s", seconds_text(self.change_us)));
        }
        let verdict = if self.spare_us() < 0 { "lacking" } else { "spare" };
        words.push(format!("{verdict} {} s", seconds_text(self.spare_us().abs())));
        words.join(", ")
    }
}

/// Seconds with as many decimals as needed, at least one.
fn seconds_text(us: i64) -> String {
    let text = format!("{:.6}", us as f64 / 1e6);
    let short = text.trim_end_matches('0');
    if short.ends_with('.') { format!("{short}0") } else { short.to_owned() }
}

/// A start and an end in microseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
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
    pub(super) place: Option<usize>,
    /// The call, which stands in one place when nothing else is known.
    pub(super) call: usize,
}

/// The way between two spots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Way {
    /// Length in metres.
    pub(super) metres: f64,
    /// Whether it is one and the same place: no walk and no settling.
    pub(super) same: bool,
    /// Whether the default distance stood in.
    pub(super) guessed: bool,
}

/// The way between two spots: the given length, else the straight line, else the default distance.
pub(super) fn way(problem: &Problem, a: Spot, b: Spot) -> Way {
    let here = Way { metres: 0.0, same: true, guessed: false };
    let (Some(from), Some(to)) = (a.place, b.place) else {
        if a.call == b.call || share_instrument(problem, a.call, b.call) {
            return here;
        }
        return Way { metres: problem.habits.default_distance_m, same: false, guessed: true };
    };
    if from == to {
        return here;
    }
    let straight = match (problem.places_m.get(from), problem.places_m.get(to)) {
        (Some(&[ax, ay]), Some(&[bx, by])) => Some((ax - bx).hypot(ay - by)),
        _ => None,
    };
    if straight == Some(0.0) {
        return here;
    }
    let given = problem.ways_m.get(from).and_then(|r| r.get(to)).copied();
    match given.or(straight) {
        Some(0.0) => here,
        Some(metres) => Way { metres, same: false, guessed: false },
        None => Way { metres: problem.habits.default_distance_m, same: false, guessed: true },
    }
}

/// Whether two calls have an instrument in common.
fn share_instrument(problem: &Problem, a: usize, b: usize) -> bool {
    match (problem.calls.get(a), problem.calls.get(b)) {
        (Some(a), Some(b)) => a.instruments.iter().any(|i| b.instruments.contains(i)),
        _ => false,
    }
}

/// The microseconds of walking and settling along a way.
pub(super) fn walk_us(problem: &Problem, way: Way) -> i64 {
    if way.same { 0 } else { micros(way.metres / problem.habits.pace_m_s + problem.habits.settle_s) }
}
