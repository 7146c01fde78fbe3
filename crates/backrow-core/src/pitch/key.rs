//! Key numbers: the sounding pitch as a count of semitones, C4 = 60.

use std::fmt;

/// A sounding pitch in equal semitones, 0 to 127; C4 ("middle C") = 60.
///
/// The numbering is that of the MIDI 1.0 specification (MIDI Association), key number 60 = middle C.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KeyNumber(u8);

/// A count of semitones that is outside 0 to 127.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KeyNumberError(pub i32);

impl fmt::Display for KeyNumberError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "key number {} is outside 0 (C-1) to 127 (G9)", self.0)
    }
}

impl std::error::Error for KeyNumberError {}

impl KeyNumber {
    /// Middle C, C4.
    pub const MIDDLE_C: Self = Self(60);
    /// The A that orchestras tune to, A4.
    pub const A4: Self = Self(69);
    /// The lowest, C-1.
    pub const MIN: Self = Self(0);
    /// The highest, G9.
    pub const MAX: Self = Self(127);

    /// The key of that number; an error outside 0 to 127.
    pub fn new(number: i32) -> Result<Self, KeyNumberError> {
        match u8::try_from(number) {
            Ok(n) if n <= 127 => Ok(Self(n)),
            _ => Err(KeyNumberError(number)),
        }
    }

    /// The number, 0 to 127.
    pub const fn number(self) -> u8 {
        self.0
    }

    /// Semitones above C, 0 to 11.
    pub const fn pitch_class(self) -> u8 {
        self.0 % 12
    }

    /// The octave by scientific pitch notation, -1 to 9: C4 to B4 are octave 4.
    pub fn octave(self) -> i32 {
        i32::from(self.0 / 12) - 1
    }

    /// Whether the key is one of the seven naturals (lower row of a keyboard).
    pub const fn is_natural(self) -> bool {
        matches!(self.0 % 12, 0 | 2 | 4 | 5 | 7 | 9 | 11)
    }

    /// That many semitones higher; `None` outside the range.
    pub fn up(self, semitones: i32) -> Option<Self> {
        i32::from(self.0).checked_add(semitones).and_then(|n| Self::new(n).ok())
    }

    /// Every key from `self` to `last`, both included; empty when `last` is lower.
    pub fn through(self, last: Self) -> impl DoubleEndedIterator<Item = Self> + Clone {
        (self.0..=last.0).map(Self)
    }
}

impl fmt::Display for KeyNumber {
    /// The usual name with a sharp for the five accidentals: `F♯5`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        super::Spelled::usual(*self).fmt(f)
    }
}

impl fmt::Debug for KeyNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}={}", self.0, self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case(60, "C4", 4, true)]
    #[case(0, "C-1", -1, true)]
    #[case(127, "G9", 9, true)]
    #[case(66, "F♯4", 4, false)]
    #[case(108, "C8", 8, true)]
    fn names(#[case] n: i32, #[case] name: &str, #[case] octave: i32, #[case] natural: bool) {
        let key = KeyNumber::new(n).unwrap();
        assert_eq!((key.to_string().as_str(), key.octave(), key.is_natural()), (name, octave, natural));
    }

    #[test]
    fn outside_is_refused() {
        assert!(KeyNumber::new(-1).is_err());
        assert!(KeyNumber::new(128).unwrap_err().to_string().contains("128"));
        assert_eq!(KeyNumber::MAX.up(1), None);
    }
}
