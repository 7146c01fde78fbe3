//! Seconds: the section's habits, what lies between two passages, and whether the time is enough. Everything in the
//! program that speaks of seconds asks here; this room knows no library, no floor and no set of assignments.
//!
//! All times become whole microseconds, to the nearest, before they are compared, so that a gap which equals the need on
//! paper equals it here too. A gap that equals the need is enough.

mod change;
mod need;
mod text;

pub use change::{Change, Hold};
pub use need::{Leg, Move, Need, Walk};
pub use text::{Round, tenths_s, text};

/// Seconds that each step up or down between two levels of the floor costs. Ours, no published source.
pub const STEP_S: f64 = 1.0;

/// Seconds as whole microseconds, to the nearest; figures that are not finite count as 0.
#[expect(clippy::cast_possible_truncation, reason = "clamped to about 30 years either way")]
pub fn micros(seconds: f64) -> i64 {
    if seconds.is_finite() { (seconds.clamp(-1e9, 1e9) * 1e6).round() as i64 } else { 0 }
}

/// The section's own figures for moves; no published source, common practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// Walking pace, m/s, above zero.
    pub pace_m_s: f64,
    /// To settle after a walk, seconds; none where the place is the same.
    pub settle_s: f64,
    /// To change beaters when they differ, seconds. Players' rule of thumb, 1 to 2.
    pub change_s: f64,
    /// To pick up a pair of cymbals or put it down without a sound, seconds. Players' rule of thumb, 2 to 4.
    pub cymbals_s: f64,
    /// To change between two and four mallets, seconds. Players' rule of thumb, 3 to 5.
    pub four_mallets_s: f64,
    /// To pick up a bow or put it down, seconds. Players' rule of thumb, 2 to 3.
    pub bow_s: f64,
    /// To put on gloves or take them off, seconds. Ours, no source.
    pub gloves_s: f64,
    /// Between two places of which one is not known, metres.
    pub default_distance_m: f64,
    /// The least width of a way, metres.
    pub gangway_m: f64,
    /// How far from the middle of the body a player reaches with a stick, metres, to the nearest edge of a thing: an arm of
    /// some 0.7 m forward and part of a stick. Ours, no published source.
    pub reach_m: f64,
}

impl Default for Habits {
    fn default() -> Self {
        Self {
            pace_m_s: 1.2,
            settle_s: 1.0,
            change_s: 1.5,
            cymbals_s: 3.0,
            four_mallets_s: 4.0,
            bow_s: 2.5,
            gloves_s: 6.0,
            default_distance_m: 2.0,
            gangway_m: 0.6,
            reach_m: 0.9,
        }
    }
}

impl Habits {
    /// The pace that is assumed, m/s: the usual one where the section's is no pace at all.
    pub fn pace(&self) -> f64 {
        if self.pace_m_s.is_finite() && self.pace_m_s > 0.0 {
            self.pace_m_s
        } else {
            Self::default().pace_m_s
        }
    }

    /// The way that stands in where a place is not known.
    pub fn default_walk(&self) -> Walk {
        let metres = if self.default_distance_m.is_finite() { self.default_distance_m.max(0.0) } else { 0.0 };
        Walk { metres, steps: 0 }
    }
}
