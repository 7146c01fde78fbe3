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

/// A difference in words, with its sign and so many decimals: "+1.2", "−3", "0".
pub fn signed(figure: f64, decimals: usize) -> String {
    let size = format!("{:.decimals$}", figure.abs());
    let sign = match size.bytes().any(|digit| (b'1'..=b'9').contains(&digit)) {
        true if figure < 0.0 => "−",
        true => "+",
        false => "",
    };
    format!("{sign}{size}")
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

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use rstest::rstest;

    #[rstest]
    #[case(1.25, 1, "+1.2")] // halves go to the even digit
    #[case(-3.0, 0, "−3")]
    #[case(-0.04, 1, "0.0")]
    #[case(0.0, 0, "0")]
    #[case(-0.5, 1, "−0.5")]
    fn differences_in_words(#[case] figure: f64, #[case] decimals: usize, #[case] words: &str) {
        assert_eq!(signed(figure, decimals), words);
    }

    #[test]
    fn worked_values() {
        // 500 Hz is B4 and 21.3094853649 cents: worked value in the Emacs Calc manual, "Musical Notes".
        let (key, cents) = ReferenceA::ISO_16.nearest(Hertz::new(500.0).unwrap()).unwrap();
        assert_eq!(key.to_string(), "B4");
        assert_relative_eq!(cents.value(), 21.309_485_364_9, max_relative = 1e-11);
        // 1200 log2(442 / 440), by the definition of the cent (A. J. Ellis, 1885).
        let above = ReferenceA::new(442.0).unwrap().frequency(KeyNumber::A4);
        assert_relative_eq!(
            above.cents_above(ReferenceA::ISO_16.frequency(KeyNumber::A4)).value(),
            7.851_415_040_126_142,
            max_relative = 1e-12
        );
    }

    #[test]
    fn figures_out_of_range_are_refused() {
        for hz in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(Hertz::new(hz).is_err());
            assert!(ReferenceA::new(hz).is_err());
        }
        assert!(ReferenceA::new(379.9).is_err() && ReferenceA::new(500.1).is_err());
        assert!(ReferenceA::new(379.0).unwrap_err().to_string().contains("380 to 500"));
        assert!(Cents::new(f64::NAN).is_err());
        assert_eq!(ReferenceA::ISO_16.nearest(Hertz::new(1.0).unwrap()), None);
        assert_eq!(ReferenceA::ISO_16.nearest(Hertz::new(1e9).unwrap()), None);
    }

    proptest! {
        #[test]
        fn nearest_finds_the_key_again(n in 0..128, a in 380.0..=500.0_f64, off in -49.0..49.0_f64) {
            let key = KeyNumber::new(n).unwrap();
            let a = ReferenceA::new(a).unwrap();
            let hz = Hertz::new(a.frequency(key).value() * (off / 1200.0).exp2()).unwrap();
            let (near, cents) = a.nearest(hz).unwrap();
            prop_assert_eq!(near, key);
            prop_assert!((cents.value() - off).abs() < 1e-6);
        }

        #[test]
        fn an_octave_doubles(n in 0..116, a in 380.0..=500.0_f64) {
            let a = ReferenceA::new(a).unwrap();
            let key = KeyNumber::new(n).unwrap();
            let ratio = a.frequency(key.up(12).unwrap()).value() / a.frequency(key).value();
            prop_assert!((ratio - 2.0).abs() < 1e-12);
        }

        #[test]
        fn cents_there_and_back(a in 10.0..20_000.0_f64, b in 10.0..20_000.0_f64) {
            let (a, b) = (Hertz::new(a).unwrap(), Hertz::new(b).unwrap());
            prop_assert!((a.cents_above(b).value() + b.cents_above(a).value()).abs() < 1e-9);
        }
    }
}
