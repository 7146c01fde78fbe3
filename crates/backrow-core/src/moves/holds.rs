//! What a line puts into the hands that takes longer to take up and put down than ordinary beaters.

use crate::collection::{Family, Head, Kind};
use crate::id::BeaterId;
use crate::library::Library;
use crate::music::Line;
use crate::seconds::Hold;
use std::collections::{BTreeMap, BTreeSet};

/// More notes at once than that cannot be struck with two mallets.
const TWO: usize = 2;

/// What the line's kind, chords and beaters say.
pub(super) fn of(library: &Library, line: &Line, beaters: &[BeaterId]) -> BTreeSet<Hold> {
    let kind = line.kind.as_ref().and_then(|id| library.kinds.get(id));
    let heads = beaters.iter().filter_map(|id| library.beaters.get(id)).map(|beater| beater.head);
    let mut holds: BTreeSet<Hold> = heads
        .filter_map(|head| match head {
            Head::Bow => Some(Hold::Bow),
            Head::Glove => Some(Hold::Gloves),
            _ => None,
        })
        .collect();
    if kind.is_some_and(|kind| kind.held) {
        holds.insert(Hold::Cymbals);
    }
    let four = most_at_once(line) > TWO || line.beaters.iter().any(|words| asks_for_four(words));
    if kind.is_some_and(|kind| is_for_mallets(kind)) && four {
        holds.insert(Hold::FourMallets);
    }
    holds
}

/// Whether the part's words for its beaters count four of them: "4 mallets", "four sticks", "4 Schlägel", "quatre baguettes",
/// "quattro bacchette".
fn asks_for_four(words: &str) -> bool {
    let words = words.to_lowercase();
    let mut each = words.split(|c: char| !c.is_alphanumeric());
    each.any(|word| matches!(word, "4" | "four" | "vier" | "quatre" | "quattro"))
}

/// Bars that are struck with mallets, and not from a keyboard or by hand.
fn is_for_mallets(kind: &Kind) -> bool {
    let struck = kind.usual.first().is_some_and(|usual| !matches!(usual.head, Head::Hand | Head::Bow));
    kind.family == Family::Keyboards && struck
}

/// The most notes that are struck at one moment, as far as moments are known.
fn most_at_once(line: &Line) -> usize {
    let mut counts: BTreeMap<u64, usize> = BTreeMap::new();
    let struck = line.passages.iter().flat_map(|passage| &passage.notes).filter_map(|note| note.struck);
    for struck in struck {
        *counts.entry(struck.at_us).or_default() += 1;
    }
    counts.into_values().max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::{Hardness, Pitched, UsualBeater};
    use crate::pitch::Octave;
    use crate::sample;
    use rstest::rstest;

    #[rstest]
    #[case("4 mallets", true)]
    #[case("four sticks", true)]
    #[case("4 Schlägel", true)]
    #[case("quatre baguettes dures", true)]
    #[case("quattro bacchette", true)]
    #[case("with 4 mallets", true)]
    #[case("hard mallets", false)]
    #[case("14 mallets", false)]
    #[case("2 mallets", false)]
    fn four_mallets_by_the_parts_words(#[case] words: &str, #[case] four: bool) {
        let mut library = sample::library();
        let mut vibraphone = sample::kind("vibraphone", Pitched::Yes, None);
        vibraphone.family = Family::Keyboards;
        vibraphone.usual = vec![UsualBeater { head: Head::Yarn, hardness: Some(Hardness::Medium) }];
        library = crate::edit::apply(&library, &crate::edit::Edit::PutKind(vibraphone)).unwrap();
        let mut line = sample::line("v", Some("vibraphone"), Octave::AS_WRITTEN, "");
        line.beaters = vec![words.to_owned()];
        assert_eq!(of(&library, &line, &[]).contains(&Hold::FourMallets), four);
        // Of a drum it says how many drum sticks are meant, and not how they are held.
        line.kind = None;
        assert!(of(&library, &line, &[]).is_empty());
    }
}
