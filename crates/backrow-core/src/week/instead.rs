//! What was decided about a note that the instruments of a line do not have.

use crate::id::InstrumentId;
use crate::pitch::KeyNumber;
use std::fmt;
use std::str::FromStr;

/// What happens to a note that cannot be struck as the part asks.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Instead {
    /// It is not played.
    LeftOut,
    /// So many octaves higher (below 0: lower); never 0.
    Octaves(i8),
    /// On that instrument, which the line does not otherwise use.
    On(InstrumentId),
}

impl Instead {
    /// The instrument that it is played on instead.
    pub const fn on(&self) -> Option<&InstrumentId> {
        match self {
            Self::On(id) => Some(id),
            Self::LeftOut | Self::Octaves(_) => None,
        }
    }

    /// Where it is played octaves away: as which note.
    pub fn octave_of(&self, key: KeyNumber) -> Option<KeyNumber> {
        match self {
            Self::Octaves(octaves) => key.up(i32::from(*octaves) * 12),
            Self::LeftOut | Self::On(_) => None,
        }
    }

    /// "left out", "an octave higher", "two octaves lower"; `name` gives the name of an instrument.
    pub fn words(&self, name: impl FnOnce(&InstrumentId) -> String) -> String {
        match self {
            Self::LeftOut => "left out".to_owned(),
            Self::Octaves(octaves) => {
                let count = match octaves.unsigned_abs() {
                    1 => "an octave".to_owned(),
                    2 => "two octaves".to_owned(),
                    n => format!("{n} octaves"),
                };
                format!("{count} {}", if *octaves < 0 { "lower" } else { "higher" })
            }
            Self::On(id) => format!("on {}", name(id)),
        }
    }
}

/// As it stands in files: `left out`, `octaves -1`, `on vibraphone-2`.
impl fmt::Display for Instead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::LeftOut => f.write_str("left out"),
            Self::Octaves(octaves) => write!(f, "octaves {octaves}"),
            Self::On(id) => write!(f, "on {id}"),
        }
    }
}

impl FromStr for Instead {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let expected =
            || format!("\"{text}\" is not a decision; expected left out, octaves -1, or on INSTRUMENT");
        let (first, rest) = text.trim().split_once(' ').ok_or_else(expected)?;
        match (first, rest.trim()) {
            ("left", "out") => Ok(Self::LeftOut),
            ("octaves", count) => {
                let count = count.parse::<i8>().ok().filter(|n| *n != 0 && n.unsigned_abs() <= 8);
                count.map(Self::Octaves).ok_or_else(expected)
            }
            ("on", id) => InstrumentId::new(id).map(Self::On).map_err(|why| why.to_string()),
            _ => Err(expected()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("left out", "left out")]
    #[case("octaves -1", "an octave lower")]
    #[case("octaves 2", "two octaves higher")]
    #[case("on vibraphone-2", "on VIBRAPHONE-2")]
    fn text_and_words(#[case] text: &str, #[case] words: &str) {
        let instead: Instead = text.parse().unwrap();
        assert_eq!(instead.to_string(), text);
        assert_eq!(instead.words(|id| id.as_str().to_uppercase()), words);
    }

    #[rstest]
    #[case("octaves 0")]
    #[case("octaves many")]
    #[case("on")]
    #[case("")]
    fn what_is_no_decision_says_so(#[case] text: &str) {
        assert!(text.parse::<Instead>().is_err());
    }
}
