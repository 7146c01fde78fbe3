//! What has moved between two surveys: all bars alike, which is the air or the measuring, or some alone, which is the bars.

use super::{Bar, Survey};
use crate::pitch::signed;
use crate::tuning::{self, median};
use std::fmt::Write;

/// How far a bar must stand out from the rest before it is told, cents, at the least. Ours: about what a trained listener hears.
const ALONE_CENTS: f64 = tuning::beats::JUST_HEARD_CENTS;

/// How far bars may scatter about the common shift before one stands out, in median distances. Ours, a usual rule against outliers.
const ALONE_SCATTERS: f64 = 4.0;

/// What two surveys say of each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// The middle of all bars' moves, cents: what all have in common.
    pub common_cents: f64,
    /// What the two temperatures and the material let one expect, cents, where they are known.
    pub expected_cents: Option<f64>,
    /// Bars that moved by other than the common shift, with how far beyond it, cents; the farthest first.
    pub alone: Vec<(Bar, f64)>,
    /// Bars of the earlier survey that the later one lacks.
    pub gone: Vec<Bar>,
    /// How many bars stand in both.
    pub compared: usize,
}

/// What it most likely means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Nothing has moved that one would hear.
    Still,
    /// All alike: the air, the measuring device, or another A.
    Together,
    /// Some alone: damage, a loose cord, a cracked bar, or work on them.
    Alone,
    /// Both.
    Both,
}

impl Moved {
    /// How far all moved together beyond what the temperature explains, cents.
    pub fn unexplained_cents(&self) -> f64 {
        self.common_cents - self.expected_cents.unwrap_or(0.0)
    }

    /// What it most likely means.
    pub fn verdict(&self) -> Verdict {
        match (self.common_cents.abs() >= 2.0, self.alone.is_empty()) {
            (false, true) => Verdict::Still,
            (true, true) => Verdict::Together,
            (false, false) => Verdict::Alone,
            (true, false) => Verdict::Both,
        }
    }

    fn common_reason(&self) -> String {
        match self.expected_cents {
            Some(expected) if (self.common_cents - expected).abs() < 2.0 => {
                format!(": the temperature explains it ({}).", signed(expected, 1))
            }
            Some(expected) => format!(
                ": the temperature explains {}; the rest is another A, the humidity or the measuring.",
                signed(expected, 1)
            ),
            None => ": the air, another A or the measuring, not single bars.".to_owned(),
        }
    }

    /// In a sentence or two.
    pub fn words(&self) -> String {
        if self.compared == 0 {
            return "The two surveys share no bar.".to_owned();
        }
        let mut words = match self.verdict() {
            Verdict::Still | Verdict::Alone => "As a whole it has not moved.".to_owned(),
            Verdict::Together | Verdict::Both => {
                format!(
                    "All bars moved alike by {} cents{}",
                    signed(self.common_cents, 1),
                    self.common_reason()
                )
            }
        };
        if let [(worst, off), rest @ ..] = self.alone.as_slice() {
            let others = match rest.len() {
                0 => String::new(),
                1 => " and one other bar".to_owned(),
                n => format!(" and {n} other bars"),
            };
            // Writing to a string cannot fail.
            _ = write!(
                words,
                " {worst} ({} cents){others} moved alone: look for a loose cord, a crack, or work that was done.",
                signed(*off, 1)
            );
        }
        words
    }
}

/// Compares two surveys of one instrument. `expected` gives the move, in cents, that its material makes from one temperature to
/// another, where that is known.
pub fn moved(before: &Survey, after: &Survey, expected: impl Fn(f64, f64) -> Option<f64>) -> Moved {
    let both = before.readings.iter().filter_map(|old| {
        let new = after.reading(old.bar)?;
        Some((old.bar, tuning::cents(new.hz, old.hz)?))
    });
    let moves: Vec<(Bar, f64)> = both.collect();
    let common = median(moves.iter().map(|(_, by)| *by).collect()).unwrap_or(0.0);
    let scatter = median(moves.iter().map(|(_, by)| (by - common).abs()).collect()).unwrap_or(0.0);
    let limit = ALONE_CENTS.max(ALONE_SCATTERS * scatter);
    let mut alone: Vec<(Bar, f64)> =
        moves.iter().map(|(bar, by)| (*bar, by - common)).filter(|(_, off)| off.abs() >= limit).collect();
    alone.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    let gone = before.readings.iter().map(|old| old.bar).filter(|bar| after.reading(*bar).is_none());
    Moved {
        common_cents: common,
        expected_cents: before.celsius.zip(after.celsius).and_then(|(from, to)| expected(from, to)),
        alone,
        gone: gone.collect(),
        compared: moves.len(),
    }
}
