//! When the attacks of a passage are struck, as text: `:58 f ~0.25 0 1/2 1 3/2! :59 0@84.5`.
//!
//! `:58` says that the moments after it stand in the 58th measure as played, `f` is the dynamic (`-` for none) and
//! `~0.25` how many seconds they are written to last (`~?` where that is not known); each goes on until it changes. A
//! moment is how many quarter notes into its measure; `!` is a roll, and `@84.5` the second of the movement where it
//! does not follow from the measure's beginning and end. `?` is an attack whose moment is not known.

use super::timeline::LONGEST;
use super::wrap::Lines;
use backrow_core::music::{Dynamic, Struck, TICKS, Timeline, micros};
use serde::de::{Deserialize, Deserializer, Error, SeqAccess, Visitor};
use serde::{Serialize, Serializer};
use std::fmt::{self, Write as _};

/// The moments of a row of attacks.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Moments(Vec<Option<Moment>>);

/// A moment; its second only where it does not follow from the measure.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Moment {
    at_us: Option<u64>,
    struck: Struck,
}

impl Moments {
    /// Of attacks of a movement; empty when none is known.
    pub(super) fn of<'a>(
        struck: impl Iterator<Item = Option<&'a Struck>>,
        timeline: Option<&Timeline>,
    ) -> Self {
        let moment = |struck: &Struck| {
            let follows = timeline.and_then(|timeline| by_measure(struck, timeline)) == Some(struck.at_us);
            Moment { at_us: (!follows).then_some(struck.at_us), struck: Struck { at_us: 0, ..*struck } }
        };
        let all: Vec<Option<Moment>> = struck.map(|struck| struck.map(moment)).collect();
        if all.iter().any(Option::is_some) { Self(all) } else { Self::default() }
    }

    /// As many as were written.
    pub(super) fn len(&self) -> usize {
        self.0.len()
    }

    /// The moments in a movement's seconds.
    pub(super) fn values(self, timeline: &Timeline) -> impl Iterator<Item = Option<Struck>> {
        self.0.into_iter().map(move |moment| {
            let Moment { at_us, struck } = moment?;
            let at_us = at_us.or_else(|| by_measure(&struck, timeline)).unwrap_or(0);
            Some(Struck { at_us, ..struck })
        })
    }
}

/// The microsecond of a place in a measure that is played at one pace.
fn by_measure(struck: &Struck, timeline: &Timeline) -> Option<u64> {
    let played = struck.played as usize;
    let measure = timeline.measures.get(played).filter(|measure| measure.quarters > 0.0)?;
    let share = f64::from(struck.ticks) / f64::from(TICKS) / measure.quarters;
    Some(micros(measure.at_s + (timeline.end_of(played) - measure.at_s) * share))
}

impl Serialize for Moments {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match lines(&self.0).as_slice() {
            [line] => serializer.serialize_str(line),
            lines => lines.serialize(serializer),
        }
    }
}

impl<'de> Deserialize<'de> for Moments {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Lines;

        impl<'de> Visitor<'de> for Lines {
            type Value = Moments;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("moments as text, \":58 0 1/2\", or a list of such texts")
            }

            fn visit_str<E: Error>(self, text: &str) -> Result<Moments, E> {
                let mut reader = Reader::default();
                reader.line(text).map_err(E::custom)?;
                Ok(Moments(reader.moments))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut lines: A) -> Result<Moments, A::Error> {
                let mut reader = Reader::default();
                while let Some(line) = lines.next_element::<String>()? {
                    reader.line(&line).map_err(A::Error::custom)?;
                }
                Ok(Moments(reader.moments))
            }
        }

        deserializer.deserialize_any(Lines)
    }
}

/// What goes on from one moment to the next.
#[derive(Clone, Copy, Default, PartialEq)]
struct State {
    played: Option<u32>,
    dynamic: Option<Dynamic>,
    lasts_us: Option<u32>,
}

fn lines(moments: &[Option<Moment>]) -> Vec<String> {
    let (mut lines, mut state) = (Lines::default(), State::default());
    for moment in moments {
        for word in words(moment.as_ref(), &mut state) {
            lines.word(&word);
        }
    }
    lines.end()
}

fn words(moment: Option<&Moment>, state: &mut State) -> Vec<String> {
    let Some(Moment { at_us, struck }) = moment else { return vec!["?".to_owned()] };
    let mut words = Vec::new();
    if state.played != Some(struck.played) {
        words.push(format!(":{}", u64::from(struck.played) + 1));
    }
    if state.dynamic != struck.dynamic {
        words.push(struck.dynamic.map_or("-", Dynamic::sign).to_owned());
    }
    if state.lasts_us != struck.lasts_us {
        words.push(struck.lasts_us.map_or("~?".to_owned(), |us| format!("~{}", seconds(u64::from(us)))));
    }
    *state = State { played: Some(struck.played), dynamic: struck.dynamic, lasts_us: struck.lasts_us };
    let mut word = quarters(struck.ticks);
    if struck.rolled {
        word.push('!');
    }
    if let Some(at_us) = at_us {
        // A text in memory takes every write.
        write!(word, "@{}", seconds(*at_us)).unwrap_or_default();
    }
    words.push(word);
    words
}

/// Ticks as quarter notes: "0", "3/2", "1/3".
fn quarters(ticks: u32) -> String {
    let (mut a, mut b) = (ticks, TICKS);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    let common = a.max(1);
    match (ticks / common, TICKS / common) {
        (whole, 1) => whole.to_string(),
        (above, below) => format!("{above}/{below}"),
    }
}

/// Microseconds as seconds, no longer than needed.
fn seconds(us: u64) -> String {
    let text = format!("{}.{:06}", us / 1_000_000, us % 1_000_000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[derive(Default)]
struct Reader {
    moments: Vec<Option<Moment>>,
    state: State,
}

impl Reader {
    fn line(&mut self, text: &str) -> Result<(), String> {
        for word in text.split_whitespace() {
            let bad = || {
                format!(
                    "\"{word}\": a moment was expected: quarter notes into the measure, \"3/2\"; a measure, \":58\"; a dynamic, \"mf\"; or a length in seconds, \"~0.25\""
                )
            };
            if self.moments.len() >= LONGEST * 10 {
                return Err(format!("a passage of more than {} attacks", LONGEST * 10));
            }
            if word == "?" {
                self.moments.push(None);
            } else if let Some(number) = word.strip_prefix(':') {
                let number = number.parse::<u64>().ok().and_then(|n| n.checked_sub(1)).ok_or_else(bad)?;
                self.state.played = Some(u32::try_from(number).map_err(|_large| bad())?);
            } else if word == "-" {
                self.state.dynamic = None;
            } else if let Some(length) = word.strip_prefix('~') {
                self.state.lasts_us = match length {
                    "?" => None,
                    length => {
                        let us = read_seconds(length).and_then(|us| u32::try_from(us).ok());
                        Some(us.ok_or_else(bad)?)
                    }
                };
            } else if let Some(dynamic) = Dynamic::of_sign(word) {
                self.state.dynamic = Some(dynamic);
            } else {
                let moment = self.moment(word).ok_or_else(bad)?;
                self.moments.push(Some(moment));
            }
        }
        Ok(())
    }

    fn moment(&self, word: &str) -> Option<Moment> {
        let (head, at_us) = match word.split_once('@') {
            Some((head, at)) => (head, Some(read_seconds(at)?)),
            None => (word, None),
        };
        let (head, rolled) = head.strip_suffix('!').map_or((head, false), |head| (head, true));
        let (above, below) = head.split_once('/').unwrap_or((head, "1"));
        let (above, below) = (above.parse::<u64>().ok()?, below.parse::<u64>().ok()?);
        let ticks = above.checked_mul(u64::from(TICKS))?.checked_div(below)?;
        let State { played, dynamic, lasts_us } = self.state;
        let ticks = u32::try_from(ticks).ok()?;
        let struck = Struck { at_us: 0, played: played?, ticks, lasts_us, dynamic, rolled };
        Some(Moment { at_us, struck })
    }
}

/// Microseconds of "84.5".
fn read_seconds(text: &str) -> Option<u64> {
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(part) || part.len() > 6 {
        return None;
    }
    let part: u64 = format!("{part:0<6}").parse().ok()?;
    whole.parse::<u64>().ok()?.checked_mul(1_000_000)?.checked_add(part)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    fn read(lines: &[String]) -> Result<Moments, String> {
        let mut reader = Reader::default();
        lines.iter().try_for_each(|line| reader.line(line))?;
        Ok(Moments(reader.moments))
    }

    #[rstest]
    #[case(":58 f ~0.25 0 1/2 1 3/2! :59 - 0@84.5")]
    #[case(":1 1/3 2/3 ? ~0 0 ~? 4")]
    #[case("?")]
    fn texts_come_back(#[case] text: &str) {
        assert_eq!(lines(&read(&[text.to_owned()]).unwrap().0), [text]);
    }

    #[rstest]
    #[case("0")]
    #[case(":0 0")]
    #[case(":1 1/0")]
    #[case(":1 ~x 0")]
    #[case(":1 0@1.2345678")]
    #[case(":1 C4")]
    fn refusals_say_what_was_expected(#[case] text: &str) {
        assert!(read(&[text.to_owned()]).unwrap_err().contains("was expected"));
    }

    proptest! {
        #[test]
        fn moments_come_back(
            timeline in crate::library::any::timeline(),
            struck in prop::collection::vec(prop::option::of(crate::library::any::struck()), 0..40),
        ) {
            let moments = Moments::of(struck.iter().map(Option::as_ref), Some(&timeline));
            let back = read(&lines(&moments.0)).unwrap();
            prop_assert_eq!(&back, &moments);
            if struck.iter().any(Option::is_some) {
                prop_assert_eq!(back.values(&timeline).collect::<Vec<_>>(), struck);
            }
        }
    }
}
