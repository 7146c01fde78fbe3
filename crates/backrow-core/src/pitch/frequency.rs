//! Frequencies and cents.

use super::KeyNumber;
use std::fmt;

/// A frequency in hertz, finite and above zero.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Hertz(f64);

/// A signed interval in cents (1200 to the octave), finite.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Cents(f64);

/// The A4 that an orchestra tunes to, 380 to 500 Hz (ISO 16:1975 says 440).
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct ReferenceA(f64);

/// A physical figure out of its range.
#[derive(Clone, Debug, PartialEq)]
pub struct PitchRangeError {
    what: &'static str,
    value: f64,
}

impl fmt::Display for PitchRangeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} expected, not {}", self.what, self.value)
    }
}

impl std::error::Error for PitchRangeError {}

impl Hertz {
    /// A frequency; an error unless finite and above zero.
    pub fn new(hz: f64) -> Result<Self, PitchRangeError> {
        if hz.is_finite() && hz > 0.0 {
            Ok(Self(hz))
        } else {
            Err(PitchRangeError { what: "a frequency above 0 Hz", value: hz })
        }
    }

    /// In hertz.
    pub const fn value(self) -> f64 {
        self.0
    }

    /// How far `self` lies above `other`: 1200 log2 of the ratio, in cents.
    pub fn cents_above(self, other: Self) -> Cents {
        Cents(1200.0 * (self.0 / other.0).log2())
    }
}

impl Cents {
    /// An interval; an error unless finite.
    pub fn new(cents: f64) -> Result<Self, PitchRangeError> {
        if cents.is_finite() {
            Ok(Self(cents))
        } else {
            Err(PitchRangeError { what: "finite cents", value: cents })
        }
    }

    /// In cents.
    pub const fn value(self) -> f64 {
        self.0
    }
}

impl ReferenceA {
    /// ISO 16:1975, A4 = 440 Hz.
    pub const ISO_16: Self = Self(440.0);

    /// A reference; an error outside 380 to 500 Hz.
    pub fn new(hz: f64) -> Result<Self, PitchRangeError> {
        if (380.0..=500.0).contains(&hz) {
            Ok(Self(hz))
        } else {
            Err(PitchRangeError { what: "an A4 of 380 to 500 Hz", value: hz })
        }
    }

    /// In hertz.
    pub const fn value(self) -> f64 {
        self.0
    }

    /// The equal-tempered frequency of a key: A4 * 2^((key - 69) / 12).
    pub fn frequency(self, key: KeyNumber) -> Hertz {
        Hertz(self.0 * ((f64::from(key.number()) - 69.0) / 12.0).exp2())
    }

    /// The nearest key to a frequency, and how far the frequency lies above it; `None` outside the keys.
    pub fn nearest(self, hz: Hertz) -> Option<(KeyNumber, Cents)> {
        let exact = 69.0 + 12.0 * (hz.0 / self.0).log2();
        let near = exact.round();
        if !(0.0..=127.0).contains(&near) {
            return None;
        }
        #[expect(clippy::cast_possible_truncation, reason = "0 to 127 by the line above")]
        let key = KeyNumber::new(near as i32).ok()?;
        Some((key, Cents(100.0 * (exact - near))))
    }
}

impl Default for ReferenceA {
    fn default() -> Self {
        Self::ISO_16
    }
}
