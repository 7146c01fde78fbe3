//! Spelled notes: a letter, an accidental and an octave, as on the page.

use super::{KeyNumber, KeyNumberError};
use std::fmt;

/// One of the seven letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the letters say themselves")]
pub enum Letter {
    C,
    D,
    E,
    F,
    G,
    A,
    B,
}

impl Letter {
    /// All seven, from C.
    pub const ALL: [Self; 7] = [Self::C, Self::D, Self::E, Self::F, Self::G, Self::A, Self::B];

    /// Semitones of the natural above C, 0 to 11.
    pub const fn semitones(self) -> i32 {
        match self {
            Self::C => 0,
            Self::D => 2,
            Self::E => 4,
            Self::F => 5,
            Self::G => 7,
            Self::A => 9,
            Self::B => 11,
        }
    }

    /// The letter as a capital.
    pub const fn as_char(self) -> char {
        match self {
            Self::C => 'C',
            Self::D => 'D',
            Self::E => 'E',
            Self::F => 'F',
            Self::G => 'G',
            Self::A => 'A',
            Self::B => 'B',
        }
    }
}

/// How far the letter is raised or lowered: two semitones down to two up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the names are the standard terms")]
pub enum Accidental {
    DoubleFlat,
    Flat,
    Natural,
    Sharp,
    DoubleSharp,
}

impl Accidental {
    /// Semitones, -2 to 2.
    pub const fn semitones(self) -> i32 {
        match self {
            Self::DoubleFlat => -2,
            Self::Flat => -1,
            Self::Natural => 0,
            Self::Sharp => 1,
            Self::DoubleSharp => 2,
        }
    }

    /// The accidental of that many semitones, -2 to 2; `None` beyond.
    pub const fn from_semitones(semitones: i32) -> Option<Self> {
        Some(match semitones {
            -2 => Self::DoubleFlat,
            -1 => Self::Flat,
            0 => Self::Natural,
            1 => Self::Sharp,
            2 => Self::DoubleSharp,
            _ => return None,
        })
    }

    /// The music sign, empty for a natural.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::DoubleFlat => "𝄫",
            Self::Flat => "♭",
            Self::Natural => "",
            Self::Sharp => "♯",
            Self::DoubleSharp => "𝄪",
        }
    }

    /// Plain ASCII for files: `bb`, `b`, nothing, `#`, `##`.
    pub const fn ascii(self) -> &'static str {
        match self {
            Self::DoubleFlat => "bb",
            Self::Flat => "b",
            Self::Natural => "",
            Self::Sharp => "#",
            Self::DoubleSharp => "##",
        }
    }
}

/// A note as written: letter, accidental and octave in scientific pitch notation (C4 = middle C).
///
/// Its key number is always within 0 to 127, so `B#3` (60) and `Cb4` (59) are notes and `Cb-1` is not.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Spelled {
    octave: i8,
    letter: Letter,
    accidental: Accidental,
}

impl Spelled {
    /// The note; an error when its key number is outside 0 to 127.
    pub fn new(letter: Letter, accidental: Accidental, octave: i32) -> Result<Self, KeyNumberError> {
        let number = octave
            .saturating_add(1)
            .saturating_mul(12)
            .saturating_add(letter.semitones() + accidental.semitones());
        KeyNumber::new(number)?;
        let octave = i8::try_from(octave).map_err(|_far| KeyNumberError(number))?;
        Ok(Self { octave, letter, accidental })
    }

    /// The usual spelling of a key: naturals plain, the five others with a sharp.
    pub fn usual(key: KeyNumber) -> Self {
        Self::of(key, false)
    }

    /// The spelling of a key with flats for the five others.
    pub fn flat(key: KeyNumber) -> Self {
        Self::of(key, true)
    }

    /// The spelling of a key that a key signature suggests: of all spellings the one that lies nearest on the circle of fifths.
    /// `fifths` counts the signature's sharps, flats below 0; beyond seven of either counts as seven. In minor the raised sixth
    /// and seventh are sharps. For music that says no spelling of its own, such as MIDI.
    pub fn in_key(key: KeyNumber, fifths: i8, minor: bool) -> Self {
        let fifths = i32::from(fifths.clamp(-7, 7));
        // Twelve fifths that hold each pitch class once; C is 0, G 1. Common practice: from the lowered sixth of a major key (A
        // flat in C) to its raised first (C sharp), and three fifths higher in minor, up to the leading note.
        let lowest = fifths + if minor { -3 } else { -4 };
        let class = i32::from(key.pitch_class());
        // Seven is the inverse of seven modulo twelve: the place of a pitch class among the fifths.
        let place = (0..12).map(|step| lowest + step).find(|place| (place * 7).rem_euclid(12) == class);
        let Some(place) = place else { return Self::usual(key) };
        let letter = match place.rem_euclid(7) {
            0 => Letter::C,
            1 => Letter::G,
            2 => Letter::D,
            3 => Letter::A,
            4 => Letter::E,
            5 => Letter::B,
            _ => Letter::F,
        };
        // From F (-1) to B (5) the letters are natural.
        let Some(accidental) = Accidental::from_semitones((place + 1).div_euclid(7)) else {
            return Self::usual(key);
        };
        let number = i32::from(key.number()) - letter.semitones() - accidental.semitones();
        Self::new(letter, accidental, number.div_euclid(12) - 1).unwrap_or_else(|_far| Self::usual(key))
    }

    fn of(key: KeyNumber, flats: bool) -> Self {
        use Accidental::{Flat, Natural, Sharp};
        let (letter, accidental) = match (key.pitch_class(), flats) {
            (0, _) => (Letter::C, Natural),
            (1, false) => (Letter::C, Sharp),
            (1, true) => (Letter::D, Flat),
            (2, _) => (Letter::D, Natural),
            (3, false) => (Letter::D, Sharp),
            (3, true) => (Letter::E, Flat),
            (4, _) => (Letter::E, Natural),
            (5, _) => (Letter::F, Natural),
            (6, false) => (Letter::F, Sharp),
            (6, true) => (Letter::G, Flat),
            (7, _) => (Letter::G, Natural),
            (8, false) => (Letter::G, Sharp),
            (8, true) => (Letter::A, Flat),
            (9, _) => (Letter::A, Natural),
            (10, false) => (Letter::A, Sharp),
            (10, true) => (Letter::B, Flat),
            _ => (Letter::B, Natural),
        };
        let octave = i8::try_from(key.octave()).unwrap_or(4);
        Self { octave, letter, accidental }
    }

    /// The letter.
    pub const fn letter(self) -> Letter {
        self.letter
    }

    /// The accidental.
    pub const fn accidental(self) -> Accidental {
        self.accidental
    }

    /// The octave of the letter, by scientific pitch notation.
    pub const fn octave(self) -> i32 {
        self.octave as i32
    }

    /// The key number of the note as written.
    pub fn key(self) -> KeyNumber {
        let number = (self.octave() + 1) * 12 + self.letter.semitones() + self.accidental.semitones();
        // `new` has checked the range; the fallback cannot be reached.
        KeyNumber::new(number).unwrap_or(KeyNumber::MIDDLE_C)
    }

    /// The same spelling that many octaves higher; `None` outside the range.
    pub fn octaves_up(self, octaves: i32) -> Option<Self> {
        Self::new(self.letter, self.accidental, self.octave().checked_add(octaves)?).ok()
    }

    /// The same name moved by whole octaves so that it sounds `key`: a B flat stays a B flat. The usual name where no octave does.
    #[must_use]
    pub fn moved_to(self, key: KeyNumber) -> Self {
        let semitones = i32::from(key.number()) - i32::from(self.key().number());
        let same = (semitones % 12 == 0).then(|| self.octaves_up(semitones / 12)).flatten();
        same.unwrap_or_else(|| Self::usual(key))
    }

    /// Plain ASCII for files, such as `F#5` or `Bb3`.
    pub fn ascii(self) -> String {
        format!("{}{}{}", self.letter.as_char(), self.accidental.ascii(), self.octave)
    }

    /// The name without its octave, such as `F♯`.
    pub fn name(self) -> String {
        format!("{}{}", self.letter.as_char(), self.accidental.sign())
    }
}

impl fmt::Display for Spelled {
    /// With music signs: `F♯5`, `B♭3`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}{}", self.letter.as_char(), self.accidental.sign(), self.octave)
    }
}

impl fmt::Debug for Spelled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.ascii())
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    /// Any note that there is.
    pub(crate) fn notes() -> impl Strategy<Value = Spelled> {
        (0_usize..7, -2_i32..=2, -1_i32..=9).prop_filter_map(
            "beyond the keys",
            |(letter, semitones, octave)| {
                Spelled::new(Letter::ALL[letter], Accidental::from_semitones(semitones)?, octave).ok()
            },
        )
    }

    #[rstest]
    #[case::sharp_over_the_octave(Letter::B, Accidental::Sharp, 3, 60)]
    #[case::flat_under_the_octave(Letter::C, Accidental::Flat, 4, 59)]
    #[case::double_sharp(Letter::F, Accidental::DoubleSharp, 5, 79)]
    #[case::double_flat(Letter::B, Accidental::DoubleFlat, 3, 57)]
    #[case::lowest(Letter::C, Accidental::Natural, -1, 0)]
    #[case::highest(Letter::G, Accidental::Natural, 9, 127)]
    #[case::named_above_the_highest(Letter::A, Accidental::DoubleFlat, 9, 127)]
    fn keys(#[case] letter: Letter, #[case] accidental: Accidental, #[case] octave: i32, #[case] key: u8) {
        assert_eq!(Spelled::new(letter, accidental, octave).unwrap().key().number(), key);
    }

    #[rstest]
    #[case(Letter::C, Accidental::Flat, -1)]
    #[case(Letter::G, Accidental::Sharp, 9)]
    #[case(Letter::C, Accidental::Natural, 127)]
    #[case(Letter::C, Accidental::Natural, i32::MAX)]
    #[case(Letter::C, Accidental::Natural, i32::MIN)]
    fn beyond_the_keys(#[case] letter: Letter, #[case] accidental: Accidental, #[case] octave: i32) {
        assert!(Spelled::new(letter, accidental, octave).is_err());
    }

    #[test]
    fn enharmonic_notes_share_a_key_and_are_not_equal() {
        let of = |letter, accidental, octave| Spelled::new(letter, accidental, octave).unwrap();
        let all = [
            of(Letter::C, Accidental::Natural, 4),
            of(Letter::B, Accidental::Sharp, 3),
            of(Letter::D, Accidental::DoubleFlat, 4),
        ];
        assert!(all.iter().all(|note| note.key() == KeyNumber::MIDDLE_C));
        assert!(all[0] != all[1] && all[1] != all[2]);
    }

    // The twelve keys from middle C up by the signature. Scales by any primer of music; the chromatic ones by common practice.
    #[rstest]
    #[case::c_major(0, false, "C4 C#4 D4 Eb4 E4 F4 F#4 G4 Ab4 A4 Bb4 B4")]
    #[case::a_minor(0, true, "C4 C#4 D4 Eb4 E4 F4 F#4 G4 G#4 A4 Bb4 B4")]
    #[case::b_flat_major(-2, false, "C4 Db4 D4 Eb4 E4 F4 Gb4 G4 Ab4 A4 Bb4 B4")]
    #[case::c_minor(-3, true, "C4 Db4 D4 Eb4 E4 F4 Gb4 G4 Ab4 A4 Bb4 B4")]
    #[case::e_major(4, false, "C4 C#4 D4 D#4 E4 E#4 F#4 G4 G#4 A4 A#4 B4")]
    #[case::c_flat_major(-7, false, "C4 Db4 Ebb4 Eb4 Fb4 F4 Gb4 Abb4 Ab4 Bbb4 Bb4 Cb5")]
    fn signatures_suggest_spellings(#[case] fifths: i8, #[case] minor: bool, #[case] names: &str) {
        let keys = (60..72).map(|n| KeyNumber::new(n).unwrap());
        let found: Vec<String> = keys.map(|key| Spelled::in_key(key, fifths, minor).ascii()).collect();
        assert_eq!(found.join(" "), names);
    }

    proptest! {
        #[test]
        fn a_signature_never_moves_a_key(n in 0..128, fifths in -9_i8..10, minor: bool) {
            let key = KeyNumber::new(n).unwrap();
            prop_assert_eq!(Spelled::in_key(key, fifths, minor).key(), key);
        }

        #[test]
        fn usual_spellings_have_their_key(n in 0..128) {
            let key = KeyNumber::new(n).unwrap();
            prop_assert_eq!(Spelled::usual(key).key(), key);
            prop_assert_eq!(Spelled::flat(key).key(), key);
            prop_assert_eq!(Spelled::usual(key).octave(), key.octave());
        }

        #[test]
        fn a_name_moved_to_a_key_sounds_it(note in notes(), n in 0..128) {
            let key = KeyNumber::new(n).unwrap();
            let moved = note.moved_to(key);
            prop_assert_eq!(moved.key(), key);
            prop_assert!((n - i32::from(note.key().number())) % 12 != 0 || moved.name() == note.name() || moved == Spelled::usual(key));
        }

        #[test]
        fn octaves_move_the_key_by_twelve(note in notes(), octaves in -12..=12) {
            let moved = note.octaves_up(octaves);
            prop_assert_eq!(moved.map(Spelled::key), note.key().up(12 * octaves));
            if let Some(moved) = moved {
                prop_assert_eq!((moved.letter(), moved.accidental()), (note.letter(), note.accidental()));
                prop_assert_eq!(moved.octaves_up(-octaves), Some(note));
            }
        }

        #[test]
        fn moving_up_keeps_the_order(a in 0..128, b in 0..128, by in -130..=130) {
            let (a, b) = (KeyNumber::new(a).unwrap(), KeyNumber::new(b).unwrap());
            if let (Some(up_a), Some(up_b)) = (a.up(by), b.up(by)) {
                prop_assert_eq!(up_a.cmp(&up_b), a.cmp(&b));
                prop_assert_eq!(up_a.up(-by), Some(a));
            }
        }
    }
}
