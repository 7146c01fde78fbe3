//! Proofs and refusals as sentences.

use super::{Impossible, Proof};
use crate::compass::PitchSet;
use crate::music::{MeasureName, Spelling};

/// "m. 12" or "mm. 12–18".
fn measures(from: &MeasureName, to: &MeasureName) -> String {
    crate::music::stretch_words(from, to).replace(' ', "\u{a0}")
}

/// Seconds to a tenth, never longer than they are: "1.4 s".
pub fn seconds(us: i64) -> String {
    let tenths = us.max(0) / 100_000;
    format!("{}.{}\u{202f}s", tenths / 10, tenths % 10)
}

/// "C3", "C3 and G2", "F2, C3 and D3".
fn pitches(keys: PitchSet, spelling: &Spelling) -> String {
    let names: Vec<String> = keys.iter().map(|key| spelling.of(key).to_string()).collect();
    match names.as_slice() {
        [] => "nothing".to_owned(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// "F2 and B♭2 follow each other at once"; "F2, B♭2 and E♭3 leave 1.0 s from the end of the first to the last".
fn follow(keys: PitchSet, within_us: i64, spelling: &Spelling) -> String {
    let pitches = pitches(keys, spelling);
    if within_us < AT_ONCE_US {
        return format!("{pitches} follow each other at once");
    }
    format!("{pitches} leave {} from the end of the first to the last", seconds(within_us))
}

/// Less than that reads as nothing, microseconds.
const AT_ONCE_US: i64 = 100_000;

/// Why fewer drums cannot do, as one sentence, in the part's own spelling.
pub fn proof_words(proof: &Proof, spelling: &Spelling) -> String {
    match proof {
        Proof::Nothing => "No pitch is asked for.".to_owned(),
        Proof::One => "One drum is enough.".to_owned(),
        Proof::Moment { keys, from, to, within_us, need_us } => format!(
            "Fewer drums are not enough: {}, {}, and a retuning needs {}.",
            measures(from, to),
            follow(*keys, *within_us, spelling),
            seconds(*need_us)
        ),
        Proof::Open { drums } => {
            format!("It is not known whether {drums} would be enough: the search was stopped early.")
        }
        Proof::Tried { drums, measure } => {
            let drums = if *drums == 1 { "one drum".to_owned() } else { format!("{drums} drums") };
            format!(
                "Fewer are not enough: every plan with {drums} was tried, and none gets past m.\u{a0}{measure}."
            )
        }
    }
}

/// Where and why it cannot be played, as one sentence, in the part's own spelling.
pub fn impossible_words(why: &Impossible, spelling: &Spelling) -> String {
    match why {
        Impossible::Unreached { keys } => {
            let which = if keys.len() == 1 { "No drum reaches it" } else { "No drum reaches them" };
            format!("{}: {}.", which, pitches(*keys, spelling))
        }
        Impossible::TooFew { keys, from, to, within_us, held } => format!(
            "Too few drums: {}, {}, and the drums hold {held} of these {} pitches at once.",
            measures(from, to),
            follow(*keys, *within_us, spelling),
            keys.len()
        ),
        Impossible::Stuck { measure, keys, have_us, need_us } => format!(
            "No way gets past m.\u{a0}{measure}: {} cannot be tuned in time. The rest before it is {}, and the quickest drum needs {}.",
            pitches(*keys, spelling),
            seconds(*have_us),
            seconds(*need_us)
        ),
        Impossible::NotFound { drums } => format!(
            "No plan was found on {drums} drums before the search stopped; it is not proven that there is none."
        ),
        Impossible::TooManyDrums { drums } => {
            format!("{drums} drums are more than are worked out at once ({}).", super::MOST_DRUMS)
        }
    }
}
