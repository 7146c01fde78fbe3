//! What is known of an instrument's tuning and care: surveys over time, the register of its bells, its log, its value.
//!
//! It is kept apart from the instrument itself: a survey a year makes a long file, and the collection is read more often than
//! its history.

mod bell_entry;
mod drift;
mod log;
mod moved;
mod survey;
mod tuner;
mod typed;

pub use bell_entry::{BellBeater, BellEntry, among};
pub use drift::{Drifts, coefficient, drift_cents, known};
pub use log::{Due, HeadAge, LogEntry, Work, cords_and_felts, due, heads};
pub use moved::{Moved, Verdict, moved};
pub use survey::{Bar, Reading, Survey};
pub use tuner::{ForTuner, TOLERANCE_CENTS, UPPER_TOLERANCE, for_tuner};
pub use typed::{LineError, parse_readings, text_of};

use crate::id::InstrumentId;
use jiff::civil::Date;

/// Everything about one instrument's tuning and care.
#[derive(Clone, Debug, PartialEq)]
pub struct Care {
    /// The instrument.
    pub instrument: InstrumentId,
    /// Surveys of its tuning, the oldest first.
    pub surveys: Vec<Survey>,
    /// What was done and what was noticed, the oldest first.
    pub log: Vec<LogEntry>,
    /// Its bells, where it has cast ones or others that are known singly; from low to high.
    pub bells: Vec<BellEntry>,
    /// Its resonators.
    pub resonators: Option<Resonators>,
    /// How far a bar may lie from its target, cents, where it differs from [`TOLERANCE_CENTS`].
    pub tolerance_cents: Option<f64>,
    /// What it is worth, for the insurance.
    pub value: Option<Value>,
    /// Why it cannot be replaced, in words; empty where it can.
    pub irreplaceable: String,
}

/// Resonators of a keyboard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resonators {
    /// The temperature at which they are right, degrees Celsius.
    pub right_at_c: f64,
    /// Inner radius of the tubes, metres: a middle one.
    pub radius_m: f64,
}

/// What a thing is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    /// In the orchestra's currency, 0 or more.
    pub amount: f64,
    /// Who said so, on what ground: "bought", "valued by the workshop".
    pub ground: String,
    /// When.
    pub on: Option<Date>,
}

impl Care {
    /// Nothing known yet.
    pub const fn of(instrument: InstrumentId) -> Self {
        Self {
            instrument,
            surveys: Vec::new(),
            log: Vec::new(),
            bells: Vec::new(),
            resonators: None,
            tolerance_cents: None,
            value: None,
            irreplaceable: String::new(),
        }
    }

    /// Whether nothing is known, so that it need not be kept.
    pub fn is_empty(&self) -> bool {
        *self == Self::of(self.instrument.clone())
    }

    /// The same with everything in its order: surveys and log by date, bells from low to high. What is of one date keeps its
    /// order.
    #[must_use]
    pub fn in_order(mut self) -> Self {
        self.surveys.sort_by_key(|survey| survey.on);
        self.log.sort_by_key(|entry| entry.on);
        self.bells.sort_by_key(|bell| bell.key);
        self
    }

    /// The latest survey.
    pub fn latest(&self) -> Option<&Survey> {
        self.surveys.last()
    }

    /// How far a bar may lie from its target, cents.
    pub fn tolerance(&self) -> f64 {
        self.tolerance_cents.unwrap_or(TOLERANCE_CENTS)
    }
}

#[cfg(test)]
mod tests;
