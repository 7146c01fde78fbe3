//! What a line puts into the hands that takes longer to take up and put down than ordinary beaters, and from which measure on.

use crate::collection::{Family, Head, Kind};
use crate::id::BeaterId;
use crate::library::Library;
use crate::music::{Line, LineNote, MalletCount, MeasureName};
use crate::seconds::Hold;
use std::collections::{BTreeMap, BTreeSet};

/// More notes at once than that cannot be struck with two mallets.
const TWO: usize = 2;

/// What is in the hands through a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Holds {
    /// From its first note to its last, by its kind and its beaters.
    always: BTreeSet<Hold>,
    /// How many mallets, in the order of the page; the first from the beginning.
    mallets: Vec<Mallets>,
}

/// Two or four mallets from a measure on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Mallets {
    /// The number of the measure; 0 for the beginning of the line.
    from: u32,
    are_four: bool,
}

impl Holds {
    /// What the line's kind, chords, words and beaters say.
    pub(super) fn of(library: &Library, line: &Line, beaters: &[BeaterId]) -> Self {
        let kind = line.kind.as_ref().and_then(|id| library.kinds.get(id));
        let heads = beaters.iter().filter_map(|id| library.beaters.get(id)).map(|beater| beater.head);
        let mut always: BTreeSet<Hold> = heads
            .filter_map(|head| match head {
                Head::Bow => Some(Hold::Bow),
                Head::Glove => Some(Hold::Gloves),
                _ => None,
            })
            .collect();
        if kind.is_some_and(|kind| kind.held) {
            always.insert(Hold::Cymbals);
        }
        let on_bars = kind.is_some_and(|kind| is_for_mallets(kind));
        Self { always, mallets: if on_bars { mallets_of(line) } else { Vec::new() } }
    }

    /// Whether the same is in the hands all through.
    pub(super) const fn is_one(&self) -> bool {
        self.mallets.len() < 2
    }

    /// What is in the hands in a measure of the page; in one without a number what there is at the beginning.
    pub(super) fn at(&self, measure: &MeasureName) -> BTreeSet<Hold> {
        let number = measure.number().unwrap_or(0);
        let in_force = self.mallets.iter().rev().find(|mallets| mallets.from <= number);
        let four = in_force.filter(|mallets| mallets.are_four).map(|_| Hold::FourMallets);
        self.always.iter().copied().chain(four).collect()
    }
}

/// Two or four mallets by the part's words, each count from its measure until the next. A chord of more than two notes asks for four
/// as far as the count goes in which it stands, whatever the words say.
fn mallets_of(line: &Line) -> Vec<Mallets> {
    let mut all = vec![Mallets { from: 0, are_four: false }];
    for said in line.beaters.iter().filter_map(|words| MalletCount::said_by(words)) {
        let from = said.from.as_ref().and_then(MeasureName::number).unwrap_or(0);
        let are_four = said.is_more_than_two();
        match all.iter_mut().find(|mallets| mallets.from == from) {
            Some(same) => same.are_four |= are_four,
            None => all.push(Mallets { from, are_four }),
        }
    }
    all.sort_by_key(|mallets| mallets.from);
    let most = most_at_once(line);
    for at in 0..all.len() {
        let until = all.get(at + 1).map_or(u32::MAX, |next| next.from);
        let Some(mallets) = all.get_mut(at) else { continue };
        let within = mallets.from..until;
        let chord = most.iter().any(|chord| chord.notes > TWO && within.contains(&chord.measure));
        mallets.are_four |= chord;
    }
    all.dedup_by_key(|mallets| mallets.are_four);
    all
}

/// Bars that are struck with mallets, and not from a keyboard or by hand.
fn is_for_mallets(kind: &Kind) -> bool {
    let struck = kind.usual.first().is_some_and(|usual| !matches!(usual.head, Head::Hand | Head::Bow));
    kind.family == Family::Keyboards && struck
}

/// Notes that are struck at one moment.
struct Chord {
    /// The number of its measure; 0 where that has none.
    measure: u32,
    notes: usize,
}

/// What is struck at each moment, as far as moments are known.
fn most_at_once(line: &Line) -> Vec<Chord> {
    let mut chords: BTreeMap<u64, Chord> = BTreeMap::new();
    let known = |note: &'_ LineNote| Some((note.struck?.at_us, note.measure.number().unwrap_or(0)));
    for (at_us, measure) in line.notes().filter_map(known) {
        chords.entry(at_us).or_insert(Chord { measure, notes: 0 }).notes += 1;
    }
    chords.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::{Hardness, Pitched, UsualBeater};
    use crate::music::Struck;
    use crate::pitch::{Octave, Reading, parse_note};
    use crate::sample;
    use rstest::rstest;

    fn with_vibraphone() -> Library {
        let mut vibraphone = sample::kind("vibraphone", Pitched::Yes, None);
        vibraphone.family = Family::Keyboards;
        vibraphone.usual = vec![UsualBeater { head: Head::Yarn, hardness: Some(Hardness::Medium) }];
        crate::edit::apply(&sample::library(), &crate::edit::Edit::PutKind(vibraphone)).unwrap()
    }

    fn line(words: &[&str]) -> Line {
        let mut line = sample::line("v", Some("vibraphone"), Octave::AS_WRITTEN, "");
        line.beaters = words.iter().map(|words| (*words).to_owned()).collect();
        line
    }

    fn four_at(line: &Line, measure: &str) -> bool {
        let holds = Holds::of(&with_vibraphone(), line, &[]);
        holds.at(&MeasureName::new(measure)).contains(&Hold::FourMallets)
    }

    #[rstest]
    #[case("4 mallets", true)]
    #[case("quatre baguettes dures", true)]
    #[case("hard mallets", false)]
    #[case("2 mallets", false)]
    fn four_mallets_by_the_parts_words(#[case] words: &str, #[case] four: bool) {
        let mut line = line(&[words]);
        assert_eq!(four_at(&line, "1"), four);
        assert!(Holds::of(&with_vibraphone(), &line, &[]).is_one());
        // Of a drum it says how many drum sticks are meant, and not how they are held.
        line.kind = None;
        assert!(!four_at(&line, "1"));
    }

    /// Four from the beginning, two from m. 20, four again from m. 40.
    #[rstest]
    #[case("1", true)]
    #[case("19", true)]
    #[case("20", false)]
    #[case("39b", false)]
    #[case("40", true)]
    #[case("200", true)]
    #[case("X1", true)] // without a number: as at the beginning
    fn a_count_holds_until_the_next(#[case] measure: &str, #[case] four: bool) {
        let words = ["4 mallets from m. 40", "4 mallets", "2 mallets from m. 20"];
        assert_eq!(four_at(&line(&words), measure), four);
        assert!(!Holds::of(&with_vibraphone(), &line(&words), &[]).is_one());
    }

    #[test]
    fn the_same_count_again_is_no_change() {
        let holds = Holds::of(&with_vibraphone(), &line(&["4 mallets", "four from m. 20"]), &[]);
        assert!(holds.is_one() && holds.at(&MeasureName::from(30)).contains(&Hold::FourMallets));
    }

    /// A chord of three in m. 8 asks for four as far as its count goes, though two are written from m. 5.
    #[test]
    fn a_chord_says_more_than_words() {
        let struck =
            Struck { at_us: 1_000_000, played: 0, ticks: 0, lasts_us: None, dynamic: None, rolled: false };
        let note = |name| LineNote {
            struck: Some(struck),
            ..LineNote::new(parse_note(name, Reading::English).unwrap(), 8.into())
        };
        let mut line = line(&["2 mallets from m. 5", "2 mallets from m. 12"]);
        line.passages[0].notes = ["C5", "E5", "G5"].map(note).to_vec();
        let four: Vec<bool> = ["4", "5", "11", "12"].iter().map(|measure| four_at(&line, measure)).collect();
        assert_eq!(four, [false, true, true, false]);
    }
}
