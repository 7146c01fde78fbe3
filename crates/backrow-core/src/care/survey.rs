//! A survey: what every bar of an instrument sounded at on one day.

use crate::pitch::{KeyNumber, ReferenceA};
use crate::tuning;
use jiff::civil::Date;
use std::fmt;

/// One bar of an instrument: its key, and which of two where the pitch is doubled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Bar {
    /// Its sounding pitch.
    pub key: KeyNumber,
    /// The second bar of a doubled pitch.
    pub second: bool,
}

impl Bar {
    /// The first, mostly the only, bar of a key.
    pub const fn of(key: KeyNumber) -> Self {
        Self { key, second: false }
    }
}

impl fmt::Display for Bar {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.second { write!(f, "{} (second)", self.key) } else { self.key.fmt(f) }
    }
}

/// What one bar sounded at.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The bar.
    pub bar: Bar,
    /// Its first partial, hertz, above zero.
    pub hz: f64,
    /// Its second partial, hertz, where known.
    pub second_hz: Option<f64>,
    /// Its third partial, hertz, where known.
    pub third_hz: Option<f64>,
    /// Anything else: "cord loose".
    pub remark: String,
}

impl Reading {
    /// A bar with its first partial alone.
    pub const fn new(key: KeyNumber, hz: f64) -> Self {
        Self { bar: Bar::of(key), hz, second_hz: None, third_hz: None, remark: String::new() }
    }

    /// How far the bar lies above its equal-tempered pitch at an A, cents; `None` of a figure that is no frequency.
    pub fn cents(&self, a: ReferenceA) -> Option<f64> {
        tuning::cents(self.hz, a.frequency(self.bar.key).value())
    }
}

/// What an instrument's bars sounded at on one day.
#[derive(Clone, Debug, PartialEq)]
pub struct Survey {
    /// When.
    pub on: Date,
    /// The temperature of the bars, degrees Celsius, if known.
    pub celsius: Option<f64>,
    /// The A that its cents were read against, if stated; else the instrument's own or the orchestra's.
    pub a: Option<ReferenceA>,
    /// Who measured.
    pub who: String,
    /// How: "typed", "from a table", "from a take".
    pub how: String,
    /// From low to high.
    pub readings: Vec<Reading>,
    /// Anything else.
    pub remark: String,
}

impl Survey {
    /// An empty one of a day.
    pub const fn on(on: Date) -> Self {
        Self {
            on,
            celsius: None,
            a: None,
            who: String::new(),
            how: String::new(),
            readings: Vec::new(),
            remark: String::new(),
        }
    }

    /// What a bar sounded at; `None` where it was not measured.
    pub fn reading(&self, bar: Bar) -> Option<&Reading> {
        self.readings.iter().find(|reading| reading.bar == bar)
    }

    /// The middle (median) of all bars' cents above equal temperament at an A; `None` of no bars. A keyboard's own tuning as
    /// a whole.
    pub fn middle_cents(&self, a: ReferenceA) -> Option<f64> {
        tuning::median(self.readings.iter().filter_map(|reading| reading.cents(a)).collect())
    }

    /// The A at which the middle of its bars is in tune, hertz.
    pub fn own_a_hz(&self) -> Option<f64> {
        let iso = ReferenceA::ISO_16;
        Some(tuning::raised(iso.value(), self.middle_cents(iso)?))
    }

    /// The curve along the compass: each bar with its cents from its target at an A, from low to high.
    pub fn curve(&self, a: ReferenceA) -> Vec<(Bar, f64)> {
        let mut curve: Vec<(Bar, f64)> =
            self.readings.iter().filter_map(|reading| Some((reading.bar, reading.cents(a)?))).collect();
        curve.sort_by_key(|(bar, _)| *bar);
        curve
    }

    /// The curve of the second partials: each bar with how far its second partial lies from a ratio to its first, cents.
    pub fn second_curve(&self, ratio: f64) -> Vec<(Bar, f64)> {
        let off = |reading: &Reading| tuning::cents(reading.second_hz?, reading.hz * ratio);
        let mut curve: Vec<(Bar, f64)> =
            self.readings.iter().filter_map(|reading| Some((reading.bar, off(reading)?))).collect();
        curve.sort_by_key(|(bar, _)| *bar);
        curve
    }
}
