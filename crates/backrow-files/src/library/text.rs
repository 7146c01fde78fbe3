//! Values that stand in a file as short text: ids, notes, ranges, sets, dates and the trade's words.

use super::problem::nearest;
use backrow_core::care::{Bar, Work};
use backrow_core::collection::{
    AreaUse, Family, Hardness, Head, Layout, Loudness, Material, Pitched, Side, TunedBy,
};
use backrow_core::compass::PitchSet;
use backrow_core::days::{Clock, Order};
use backrow_core::id::{
    BeaterId, DecisionId, InstrumentId, KindId, LineId, MovementId, PlaceId, PlayerId, ProgrammeId,
    ServiceId, TakeId, TrialId, VenueId, WeekId, WorkId,
};
use backrow_core::music::{Degree, Dynamic, Dynamics};
use backrow_core::pitch::{KeyNumber, Reading, Spelled, parse_note};
use backrow_core::timpani::Aim;
use backrow_core::trial::{Choice, How};
use backrow_core::tuning::bell::Partial;
use backrow_core::week::{HireState, Instead, ServiceKind, Standing};
use jiff::civil::{Date, DateTime};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Something with a short text form that leads back to the very same value.
pub(super) trait AsText: Sized {
    /// The value of a text; the error is a sentence that says what was expected.
    fn read(text: &str) -> Result<Self, String>;
    /// The text of the value.
    fn write(&self) -> String;
}

/// A value that stands in the file as its text.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Text<T>(pub T);

impl<T: AsText> Serialize for Text<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.write())
    }
}

impl<'de, T: AsText> Deserialize<'de> for Text<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        T::read(&text).map(Self).map_err(de::Error::custom)
    }
}

/// What follows the note of the second bar of a doubled pitch.
const SECOND: &str = " second";

/// Wraps a list.
pub(super) fn texts<T: Clone>(values: &[T]) -> Vec<Text<T>> {
    values.iter().cloned().map(Text).collect()
}

/// Unwraps a list.
pub(super) fn plain<T>(texts: Vec<Text<T>>) -> Vec<T> {
    texts.into_iter().map(|text| text.0).collect()
}

macro_rules! id_text {
    ($($name:ident)*) => { $(
        impl AsText for $name {
            fn read(text: &str) -> Result<Self, String> {
                Self::new(text).map_err(|error| error.to_string())
            }

            fn write(&self) -> String {
                self.as_str().to_owned()
            }
        }
    )* };
}

id_text! {
    BeaterId LineId DecisionId InstrumentId KindId MovementId PlaceId PlayerId ProgrammeId ServiceId TakeId TrialId VenueId WeekId
    WorkId
}

macro_rules! word_text {
    ($($name:ident, $what:literal, $all:expr;)*) => { $(
        impl AsText for $name {
            fn read(text: &str) -> Result<Self, String> {
                let all = $all;
                all.iter().copied().find(|value| value.word() == text).ok_or_else(|| {
                    no_word($what, text, &all.iter().map(|value| value.word()).collect::<Vec<_>>())
                })
            }

            fn write(&self) -> String {
                self.word().to_owned()
            }
        }
    )* };
}

fn no_word(what: &str, text: &str, words: &[&str]) -> String {
    let hint = nearest(text, words.iter().copied());
    let hint = hint.map(|word| format!("; the nearest is \"{word}\"")).unwrap_or_default();
    format!("\"{text}\" is not a {what}; expected one of {}{hint}", words.join(", "))
}

word_text! {
    Head, "beater head", Head::ALL;
    Hardness, "hardness", Hardness::ALL;
    Material, "material", Material::ALL;
    Family, "family", Family::ALL;
    Pitched, "answer to whether it is pitched", Pitched::ALL;
    Layout, "layout", Layout::ALL;
    Loudness, "loudness", Loudness::ALL;
    Degree, "degree", [Degree::Sure, Degree::Likely, Degree::Unclear];
    ServiceKind, "kind of service", ServiceKind::ALL;
    HireState, "state of a hire", HireState::ALL;
    Standing, "standing of a player", Standing::ALL;
    AreaUse, "use of an area", AreaUse::ALL;
    TunedBy, "way of tuning a drum", TunedBy::ALL;
    Side, "side of the player", Side::ALL;
    Aim, "aim of a tuning plan", Aim::ALL;
    Order, "order of days", Order::ALL;
    Clock, "way of counting hours", Clock::ALL;
    Work, "sort of work", Work::ALL;
    Partial, "partial of a bell", Partial::ALL;
    How, "way of comparing", How::ALL;
    Choice, "answer to a pair", Choice::ALL;
}

impl AsText for Dynamics {
    fn read(text: &str) -> Result<Self, String> {
        Self::parse(text).ok_or_else(|| {
            format!("\"{text}\" is not a dynamic; expected a sign such as mf, or two such as p-ff")
        })
    }

    fn write(&self) -> String {
        self.ascii()
    }
}

impl AsText for Dynamic {
    fn read(text: &str) -> Result<Self, String> {
        Self::ALL
            .iter()
            .copied()
            .find(|dynamic| dynamic.sign() == text)
            .ok_or_else(|| format!("\"{text}\" is not a dynamic; expected a sign from pppp to ffff"))
    }

    fn write(&self) -> String {
        self.sign().to_owned()
    }
}

impl AsText for Spelled {
    fn read(text: &str) -> Result<Self, String> {
        parse_note(text, Reading::English).map_err(|error| error.to_string())
    }

    fn write(&self) -> String {
        self.ascii()
    }
}

impl AsText for Instead {
    fn read(text: &str) -> Result<Self, String> {
        text.parse()
    }

    fn write(&self) -> String {
        self.to_string()
    }
}

impl AsText for KeyNumber {
    fn read(text: &str) -> Result<Self, String> {
        Spelled::read(text).map(Spelled::key)
    }

    fn write(&self) -> String {
        Spelled::usual(*self).ascii()
    }
}

/// A bar of an instrument: `C5`, and `C5 second` for the second of a doubled pitch.
impl AsText for Bar {
    fn read(text: &str) -> Result<Self, String> {
        let (note, second) = text.strip_suffix(SECOND).map_or((text, false), |note| (note, true));
        Ok(Self { key: KeyNumber::read(note)?, second })
    }

    fn write(&self) -> String {
        format!("{}{}", self.key.write(), if self.second { SECOND } else { "" })
    }
}

/// From the lowest to the highest: `F4-C8`. The octave may be negative: `C-1-C5`.
impl AsText for (KeyNumber, KeyNumber) {
    fn read(text: &str) -> Result<Self, String> {
        let split = text.char_indices().zip(text.chars().skip(1)).find_map(|((at, before), dash)| {
            (before.is_ascii_digit() && matches!(dash, '-' | '–')).then_some(at + 1)
        });
        let (low, high) = split.and_then(|at| text.split_at_checked(at)).ok_or_else(|| {
            format!("\"{text}\" is not a range; expected the lowest and the highest note, such as F4-C8")
        })?;
        Ok((KeyNumber::read(low)?, KeyNumber::read(high.trim_start_matches(['-', '–']))?))
    }

    fn write(&self) -> String {
        format!("{}-{}", self.0.write(), self.1.write())
    }
}

/// Notes in an order of their own: `A4 C5 G4`.
impl AsText for Vec<KeyNumber> {
    fn read(text: &str) -> Result<Self, String> {
        text.split_whitespace().map(KeyNumber::read).collect()
    }

    fn write(&self) -> String {
        self.iter().map(KeyNumber::write).collect::<Vec<_>>().join(" ")
    }
}

/// Notes and ranges from low to high: `C#8 D8`, `C4-F5 A5`.
impl AsText for PitchSet {
    fn read(text: &str) -> Result<Self, String> {
        let mut set = Self::EMPTY;
        for word in text.split_whitespace() {
            set = match KeyNumber::read(word) {
                Ok(key) => set.with(key),
                Err(error) => {
                    let (low, high) = <(KeyNumber, KeyNumber)>::read(word).map_err(|_no_range| error)?;
                    set.union(Self::range(low, high))
                }
            };
        }
        Ok(set)
    }

    fn write(&self) -> String {
        let mut runs: Vec<(KeyNumber, KeyNumber)> = Vec::new();
        for key in self.iter() {
            match runs.last_mut() {
                Some((_, high)) if high.up(1) == Some(key) => *high = key,
                _ => runs.push((key, key)),
            }
        }
        // Two neighbours read better as two notes.
        let words = runs.iter().map(|(low, high)| match i32::from(high.number()) - i32::from(low.number()) {
            0 => low.write(),
            1 => format!("{} {}", low.write(), high.write()),
            _ => (*low, *high).write(),
        });
        words.collect::<Vec<_>>().join(" ")
    }
}

impl AsText for Date {
    fn read(text: &str) -> Result<Self, String> {
        text.parse().map_err(|_bad| format!("\"{text}\" is not a date; expected year-month-day: 2027-03-14"))
    }

    fn write(&self) -> String {
        self.to_string()
    }
}

/// `2027-03-14T19:30`, with seconds only where there are any.
impl AsText for DateTime {
    fn read(text: &str) -> Result<Self, String> {
        text.parse().map_err(|_bad| {
            format!(
                "\"{text}\" is not a date and time; expected year-month-day, T, hour:minute: 2027-03-14T19:30"
            )
        })
    }

    fn write(&self) -> String {
        let text = self.to_string();
        if self.second() == 0 && self.subsec_nanosecond() == 0 {
            text.strip_suffix(":00").unwrap_or(&text).to_owned()
        } else {
            text
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    fn key(text: &str) -> KeyNumber {
        KeyNumber::read(text).unwrap()
    }

    #[rstest]
    #[case("F4-C8", "F4", "C8")]
    #[case("C-1-C5", "C-1", "C5")]
    #[case("Bb2–F♯3", "A#2", "F#3")]
    #[case("C-1-D-1", "C-1", "D-1")]
    fn ranges(#[case] text: &str, #[case] low: &str, #[case] high: &str) {
        assert_eq!(<(KeyNumber, KeyNumber)>::read(text), Ok((key(low), key(high))));
    }

    #[rstest]
    #[case("", "")]
    #[case("D8 C#8", "C#8 D8")]
    #[case("C4-F4 A5", "C4-F4 A5")]
    fn sets(#[case] text: &str, #[case] written: &str) {
        assert_eq!(PitchSet::read(text).unwrap().write(), written);
    }

    #[test]
    fn refusals_say_what_was_expected() {
        assert!(<(KeyNumber, KeyNumber)>::read("F4").unwrap_err().contains("F4-C8"));
        assert!(Head::read("yearn").unwrap_err().contains("nearest is \"yarn\""));
        assert!(Date::read("14.3.2027").unwrap_err().contains("2027-03-14"));
        assert!(DateTime::read("tonight").unwrap_err().contains("T19:30"));
        assert!(PitchSet::read("F4 X").unwrap_err().contains("\"X\" is not a note"));
    }

    proptest! {
        #[test]
        fn sets_come_back(keys in proptest::collection::vec(0_i32..=127, 0..40)) {
            let set: PitchSet = keys.iter().map(|n| KeyNumber::new(*n).unwrap()).collect();
            prop_assert_eq!(PitchSet::read(&set.write()), Ok(set));
        }

        #[test]
        fn ranges_come_back(low in 0_i32..=127, high in 0_i32..=127) {
            let range = (KeyNumber::new(low).unwrap(), KeyNumber::new(high).unwrap());
            prop_assert_eq!(<(KeyNumber, KeyNumber)>::read(&range.write()), Ok(range));
        }
    }
}
