//! The octave convention of a line: how many semitones the sounding note lies above the written one.

use super::{KeyNumber, Spelled};
use std::fmt;

/// Sounding minus written, in semitones, -48 to 48. Glockenspiel +24, xylophone +12, marimba 0 are usual.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Octave(i8);

/// A convention beyond four octaves either way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OctaveError(pub i32);

impl fmt::Display for OctaveError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} semitones between written and sounding: -48 to 48 was expected", self.0)
    }
}

impl std::error::Error for OctaveError {}

impl Octave {
    /// Sounding as written.
    pub const AS_WRITTEN: Self = Self(0);
    /// Sounding an octave above the written note.
    pub const ONE_UP: Self = Self(12);
    /// Sounding two octaves above the written note.
    pub const TWO_UP: Self = Self(24);

    /// A convention of that many semitones, -48 to 48 (whole octaves are usual, transposing parts are not barred).
    pub fn new(semitones: i32) -> Result<Self, OctaveError> {
        i8::try_from(semitones)
            .ok()
            .filter(|s| (-48..=48).contains(s))
            .map(Self)
            .ok_or(OctaveError(semitones))
    }

    /// Sounding minus written, semitones.
    pub const fn semitones(self) -> i32 {
        self.0 as i32
    }

    /// The sounding pitch of a written note; `None` outside the keys.
    pub fn sounding(self, written: Spelled) -> Option<KeyNumber> {
        written.key().up(self.semitones())
    }

    /// The written note of a sounding pitch, spelled in the usual way; `None` outside the keys.
    pub fn written(self, sounding: KeyNumber) -> Option<Spelled> {
        sounding.up(-self.semitones()).map(Spelled::usual)
    }

    /// The convention in words: "as written", "an octave higher", "two octaves lower", "5 semitones higher".
    pub fn words(self) -> String {
        let way = if self.0 < 0 { "lower" } else { "higher" };
        match self.0.unsigned_abs() {
            0 => "as written".to_owned(),
            12 => format!("an octave {way}"),
            24 => format!("two octaves {way}"),
            36 => format!("three octaves {way}"),
            48 => format!("four octaves {way}"),
            1 => format!("a semitone {way}"),
            n => format!("{n} semitones {way}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::{Reading, parse_note};
    use proptest::prelude::*;

    #[test]
    fn glockenspiel_sounds_two_octaves_up() {
        let written = parse_note("F#5", Reading::English).unwrap();
        assert_eq!(Octave::TWO_UP.sounding(written).unwrap().to_string(), "F♯7");
        assert_eq!(Octave::TWO_UP.written(KeyNumber::new(102).unwrap()).unwrap(), written);
    }

    proptest! {
        #[test]
        fn written_and_sounding_are_inverse(n in 0..128, semitones in -48..=48) {
            let key = KeyNumber::new(n).unwrap();
            let octave = Octave::new(semitones).unwrap();
            if let Some(written) = octave.written(key) {
                prop_assert_eq!(octave.sounding(written), Some(key));
            }
            let written = Spelled::usual(key);
            if let Some(sounding) = octave.sounding(written) {
                prop_assert_eq!(octave.written(sounding), Some(written));
                prop_assert_eq!(i32::from(sounding.number()) - n, semitones);
            }
        }
    }

    #[test]
    fn words_for_people() {
        assert_eq!(Octave::new(-24).unwrap().words(), "two octaves lower");
        assert_eq!(Octave::AS_WRITTEN.words(), "as written");
        assert!(Octave::new(49).is_err());
    }
}
