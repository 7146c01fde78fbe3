//! The octave question: does the range fit the kind's usual compasses, and if not, would another convention?

use super::names::fits;
use backrow_core::collection::Kind;
use backrow_core::pitch::{KeyNumber, Octave};

/// What to say about a line's octave.
#[derive(Debug, PartialEq)]
pub(crate) enum OctaveAnswer {
    /// It fits, or there is nothing to compare with.
    Fine,
    /// It fits as the score sounds it, and also under the kind's usual convention, which differs.
    Either(Octave),
    /// It does not fit, but would under this convention.
    Offer(Octave),
    /// It fits under none.
    None,
}

/// Compares a written range with the usual compasses; `step` is sounding minus written by the score.
pub(crate) fn question(kind: &Kind, range: (i32, i32), step: i32) -> OctaveAnswer {
    if kind.compasses.is_empty() {
        return OctaveAnswer::Fine;
    }
    let usual = kind.octave;
    if fits(kind, range, step) {
        return match usual {
            Some(usual) if step == 0 && usual.semitones() != 0 && fits(kind, range, usual.semitones()) => {
                OctaveAnswer::Either(usual)
            }
            _ => OctaveAnswer::Fine,
        };
    }
    let others = [0, 12, 24, -12, 36, -24].into_iter().filter_map(|semitones| Octave::new(semitones).ok());
    usual
        .into_iter()
        .chain(others)
        .find(|octave| octave.semitones() != step && fits(kind, range, octave.semitones()))
        .map_or(OctaveAnswer::None, OctaveAnswer::Offer)
}

/// Of written keys, those that no usual compass of the kind holds together with the most of the others; empty where the kind
/// has no compasses.
pub(crate) fn outside(kind: &Kind, keys: &[i32], step: i32) -> Vec<usize> {
    let beyond = |compass: &&backrow_core::collection::UsualCompass| -> Vec<usize> {
        let (low, high) = (i32::from(compass.low.number()), i32::from(compass.high.number()));
        let out = |key: i32| !(low..=high).contains(&(key + step));
        keys.iter().enumerate().filter(|(_, key)| out(**key)).map(|(at, _)| at).collect()
    };
    kind.compasses.iter().map(|compass| beyond(&compass)).min_by_key(Vec::len).unwrap_or_default()
}

/// A range in words: "F4 to C6".
pub(crate) fn range_words((low, high): (i32, i32)) -> String {
    let name =
        |number: i32| KeyNumber::new(number).map_or_else(|_| number.to_string(), |key| key.to_string());
    if low == high { name(low) } else { format!("{} to {}", name(low), name(high)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_read_as_notes() {
        assert_eq!(range_words((60, 72)), "C4 to C5");
        assert_eq!(range_words((60, 60)), "C4");
    }
}
