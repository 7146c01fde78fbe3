//! Words of the part that ask for a retuning: "muta in F", "Sol in La", "C nach D umstimmen", "changez Ré en Mi".
//!
//! They are evidence: the plan is worked out from the strokes and says where it and the words agree.

use super::{Plan, Stroke};
use crate::pitch::KeyNumber;

/// A retuning that the part asks for, by names of pitches without their octave.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Muta {
    /// What is given up, where it is said: the pitch classes that each name can mean. A "B" may be B flat.
    pub from: Vec<Vec<u8>>,
    /// What is asked for.
    pub to: Vec<Vec<u8>>,
}

/// What a plan makes of the words of the part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Said {
    /// A drum is retuned to it there.
    Agrees,
    /// A drum is there already that holds it.
    NotNeeded,
    /// The plan does otherwise.
    Differs,
}

/// Words that ask for a retuning, folded; the longer of two that begin alike first.
const ASKS: [&str; 16] = [
    "muta in",
    "muta",
    "mutano in",
    "cambia in",
    "umstimmen",
    "stimmen",
    "stimmt um",
    "nach",
    "changez en",
    "changez",
    "accordez en",
    "change to",
    "change",
    "retune to",
    "tune to",
    "retune",
];

/// What lies between what is given up and what is asked for.
const INTO: [&str; 6] = ["in", "en", "to", "nach", "auf", "a"];

/// The retuning that some words of a part ask for; `None` when they ask for none. Words that name an instrument ("muta
/// in celesta") hold no pitch and ask for none.
///
/// ```
/// let words = backrow_core::timpani::muta("muta Sol in La").unwrap();
/// assert_eq!((words.from, words.to), (vec![vec![7]], vec![vec![9]]));
/// ```
pub fn muta(words: &str) -> Option<Muta> {
    let folded = words.to_lowercase().replace(['.', ',', ';', ':', '(', ')', '“', '”', '"'], " ");
    let words: Vec<&str> = folded.split_whitespace().collect();
    let asks = ASKS.iter().any(|ask| {
        let ask: Vec<&str> = ask.split(' ').collect();
        words.windows(ask.len()).any(|window| window == ask)
    });
    // "Sol in La" alone, over a timpani part, is a retuning as well; "in La" alone is the tuning at the start.
    let mut said = Muta { from: Vec::new(), to: Vec::new() };
    let mut into = false;
    for word in &words {
        if INTO.contains(word) && !(*word == "a" && (into || said.from.is_empty())) {
            into = true;
        } else if let Some(classes) = classes(word) {
            if into { said.to.push(classes) } else { said.from.push(classes) }
        } else if !ASKS.iter().any(|ask| ask.split(' ').any(|part| part == *word)) && !is_joint(word) {
            return None;
        }
    }
    if !into && asks {
        // "muta F": what is named is what is asked for.
        said.to = std::mem::take(&mut said.from);
    }
    let whole = asks || !said.from.is_empty();
    Some(said).filter(|said| whole && !said.to.is_empty())
}

/// Words that may stand between names.
fn is_joint(word: &str) -> bool {
    matches!(
        word,
        "e" | "et"
            | "und"
            | "and"
            | "timp"
            | "timpani"
            | "pauken"
            | "timbales"
            | "il"
            | "la"
            | "the"
            | "-"
            | "&"
    )
}

/// The pitch classes that a name can mean, in four languages; a plain B may be B flat, as Germans write it.
fn classes(word: &str) -> Option<Vec<u8>> {
    let word =
        word.replace("bémol", "b").replace("bemolle", "b").replace("dièse", "#").replace("diesis", "#");
    let word = word.replace('♭', "b").replace('♯', "#").replace("ré", "re").replace('-', "");
    Some(match word.as_str() {
        "c" | "do" | "ut" | "his" | "b#" => vec![0],
        "cis" | "c#" | "do#" | "des" | "db" | "reb" => vec![1],
        "d" | "re" => vec![2],
        "dis" | "d#" | "re#" | "es" | "eb" | "mib" => vec![3],
        "e" | "mi" | "fes" => vec![4],
        "f" | "fa" | "eis" | "e#" => vec![5],
        "fis" | "f#" | "fa#" | "ges" | "gb" | "solb" => vec![6],
        "g" | "sol" => vec![7],
        "gis" | "g#" | "sol#" | "as" | "ab" | "lab" => vec![8],
        // "a" is also a small word; as a note it is taken where a note can stand.
        "a" | "la" => vec![9],
        "ais" | "a#" | "la#" | "bb" | "sib" => vec![10],
        "b" => vec![10, 11],
        "h" | "si" | "ces" | "cb" => vec![11],
        _ => return None,
    })
}

/// What a plan makes of words that stand at a moment, microseconds: each pitch asked for must come on a drum between the
/// last stroke before the words and the first stroke of that pitch after them.
pub fn said(plan: &Plan, strokes: &[Stroke], words: &Muta, at_us: i64) -> Said {
    let is = |classes: &[u8], key: KeyNumber| classes.contains(&key.pitch_class());
    let mut all = Said::Agrees;
    for classes in &words.to {
        let next = strokes.iter().find(|stroke| stroke.at_us >= at_us && is(classes, stroke.key));
        let until = next.map_or(i64::MAX, |stroke| stroke.at_us);
        // The composer may ask long before or after the rest that the plan takes: the drum's own rest is what counts.
        let own = |drum: usize, at: i64| {
            let struck =
                strokes.iter().zip(&plan.on).filter(|(stroke, on)| **on == drum && stroke.at_us < at);
            struck.map(|(stroke, _)| stroke.at_us).max().unwrap_or(i64::MIN)
        };
        let changed = plan.changes.iter().any(|change| {
            is(classes, change.to)
                && change.at_us < until
                && own(change.drum, change.at_us) <= at_us
                && plan.changes.iter().all(|later| {
                    later.drum != change.drum || later.at_us <= change.at_us || later.at_us >= at_us
                })
        });
        let held = || plan.tuned_at(at_us).into_iter().flatten().any(|key| is(classes, key));
        let one = match (changed, next) {
            (_, None) => Said::NotNeeded,
            (true, Some(_)) => Said::Agrees,
            (false, Some(_)) if held() => Said::NotNeeded,
            (false, Some(_)) => Said::Differs,
        };
        all = all.max(one);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// Pitch classes of each name, names apart by a space, classes of one by a bar.
    #[rstest]
    #[case("muta in F", "", "5")]
    #[case("Muta in C. D.", "", "0 2")]
    #[case("muta Sol in La", "7", "9")]
    #[case("Sol in La", "7", "9")]
    #[case("C nach D umstimmen", "0", "2")]
    #[case("G in As umstimmen", "7", "8")]
    #[case("changez Ré en Mi♭", "2", "3")]
    #[case("Change C to D", "0", "2")]
    #[case("muta in B, F", "", "10|11 5")]
    #[case("muta F", "", "5")]
    #[case("E to A", "4", "9")]
    fn what_is_asked_for(#[case] words: &str, #[case] from: &str, #[case] to: &str) {
        let set = |names: &str| -> Vec<Vec<u8>> {
            let names = names.split_whitespace();
            names.map(|name| name.split('|').map(|class| class.parse().unwrap()).collect()).collect()
        };
        assert_eq!(muta(words), Some(Muta { from: set(from), to: set(to) }));
    }

    #[rstest]
    #[case("muta in celesta")]
    #[case("in A, D")]
    #[case("a tempo")]
    #[case("solo")]
    #[case("dolce")]
    #[case("")]
    fn nothing_is_asked_for(#[case] words: &str) {
        assert_eq!(muta(words), None);
    }
}
