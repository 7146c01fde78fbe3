//! Which bar a pitch is: its frame, row, count and group, from the player's side.

use super::{Instrument, Layout};
use crate::pitch::KeyNumber;

/// Where a bar is, as the player counts from the left (the low end).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BarPlace {
    /// Index of the frame, from 0 at the player's left.
    pub frame: usize,
    /// Which row of the frame.
    pub row: Row,
    /// Its number in the row, from 1 at the player's left.
    pub number: u32,
    /// How many bars the row has.
    pub of: u32,
    /// In the upper row of a keyboard: its twos and threes.
    pub group: Option<BarGroup>,
    /// Whether it sounds; `false` for a dead bar.
    pub sounds: bool,
    /// Whether there are two of it.
    pub doubled: bool,
}

/// A row of bars.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Row {
    /// Naturals, near the player.
    Lower,
    /// Accidentals, behind.
    Upper,
    /// The only one.
    Only,
}

impl Row {
    /// "lower", "upper" or "only".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Lower => "lower",
            Self::Upper => "upper",
            Self::Only => "only",
        }
    }
}

/// A bar's place among the twos and threes of the upper row, counting only bars that are there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BarGroup {
    /// 2 (C♯ D♯) or 3 (F♯ G♯ A♯) on a whole keyboard; fewer where bars lack.
    pub size: u32,
    /// Its number in the group, from 1 at the left.
    pub number: u32,
    /// Which of the groups of that kind (twos or threes), from 1 at the low end.
    pub group: u32,
    /// Whether the group is one of the threes (F♯ G♯ A♯), by pitch, however many bars of it are there.
    pub three: bool,
}

/// The place of the bar of a sounding pitch; `None` when no frame has one. The first frame with a sounding bar wins,
/// then the first with a dead one.
pub fn bar_place(instrument: &Instrument, key: KeyNumber) -> Option<BarPlace> {
    let with_bar = |sounding: bool| {
        instrument.frames.iter().position(|frame| {
            if sounding { frame.compass().contains(key) } else { frame.bars().contains(key) }
        })
    };
    let sounding = with_bar(true);
    let at = sounding.or_else(|| with_bar(false))?;
    let frame = instrument.frames.get(at)?;
    let bars: Vec<KeyNumber> = match instrument.layout {
        Layout::Rack if !frame.order.is_empty() => frame.order.clone(),
        _ => frame.bars().iter().collect(),
    };
    let two_rows = instrument.layout == Layout::TwoRows;
    let row = match (two_rows, key.is_natural()) {
        (false, _) => Row::Only,
        (true, true) => Row::Lower,
        (true, false) => Row::Upper,
    };
    let in_row: Vec<KeyNumber> =
        bars.iter().copied().filter(|bar| !two_rows || bar.is_natural() == key.is_natural()).collect();
    let number = in_row.iter().position(|bar| *bar == key)?;
    let group = (row == Row::Upper).then(|| group_of(&in_row, key));
    Some(BarPlace {
        frame: at,
        row,
        number: u32::try_from(number).unwrap_or(u32::MAX).saturating_add(1),
        of: u32::try_from(in_row.len()).unwrap_or(u32::MAX),
        group,
        sounds: sounding.is_some(),
        doubled: frame.doubled.contains(key),
    })
}

fn is_three(key: KeyNumber) -> bool {
    key.pitch_class() >= 5
}

fn group_of(upper: &[KeyNumber], key: KeyNumber) -> BarGroup {
    let same_kind = |bar: &&KeyNumber| is_three(**bar) == is_three(key);
    let same_group: Vec<&KeyNumber> =
        upper.iter().filter(same_kind).filter(|bar| bar.octave() == key.octave()).collect();
    let mut octaves: Vec<i32> = upper.iter().filter(same_kind).map(|bar| bar.octave()).collect();
    octaves.dedup();
    let count = |at: Option<usize>| u32::try_from(at.unwrap_or(0)).unwrap_or(u32::MAX).saturating_add(1);
    BarGroup {
        size: u32::try_from(same_group.len()).unwrap_or(u32::MAX),
        number: count(same_group.iter().position(|bar| **bar == key)),
        group: count(octaves.iter().position(|octave| *octave == key.octave())),
        three: is_three(key),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::DeadBar;
    use crate::sample::{frame, instrument, key, pitches};
    use proptest::prelude::*;
    use rstest::rstest;

    fn place(instrument: &Instrument, note: &str) -> Option<(usize, &'static str, u32, u32)> {
        bar_place(instrument, key(note)).map(|bar| (bar.frame, bar.row.word(), bar.number, bar.of))
    }

    /// Counted by hand on a keyboard from F4 to C8: 4 naturals to B4, 7 an octave, one C8: 26; 3 + 5 + 5 + 5 = 18 others.
    #[rstest]
    #[case("F4", Some((0, "lower", 1, 26)))]
    #[case("B4", Some((0, "lower", 4, 26)))]
    #[case("C6", Some((0, "lower", 12, 26)))]
    #[case("C8", Some((0, "lower", 26, 26)))]
    #[case("F#4", Some((0, "upper", 1, 18)))]
    #[case("C#5", Some((0, "upper", 4, 18)))]
    #[case("A#7", Some((0, "upper", 18, 18)))]
    #[case("E4", None)]
    #[case("C#8", None)]
    fn on_a_xylophone(#[case] note: &str, #[case] found: Option<(usize, &'static str, u32, u32)>) {
        assert_eq!(place(&instrument("x", "xylophone", &["F4-C8"]), note), found);
    }

    /// From F4 the first group is F# G# A#, the first of the threes; then C# D#, the first of the twos.
    #[rstest]
    #[case("F#4", 3, 1, 1, true)]
    #[case("A#4", 3, 3, 1, true)]
    #[case("C#5", 2, 1, 1, false)]
    #[case("D#5", 2, 2, 1, false)]
    #[case("G#5", 3, 2, 2, true)]
    #[case("D#7", 2, 2, 3, false)]
    #[case("A#7", 3, 3, 4, true)]
    fn twos_and_threes(
        #[case] note: &str,
        #[case] size: u32,
        #[case] number: u32,
        #[case] group: u32,
        #[case] three: bool,
    ) {
        let bar = bar_place(&instrument("x", "xylophone", &["F4-C8"]), key(note)).unwrap();
        assert_eq!(bar.group, Some(BarGroup { size, number, group, three }));
    }

    #[test]
    fn lower_rows_have_no_groups() {
        assert_eq!(bar_place(&instrument("x", "xylophone", &["F4-C8"]), key("C6")).unwrap().group, None);
    }

    #[test]
    fn gaps_are_not_counted() {
        // C#5 is lacking, so D#5 is the only one of its two and the fourth of the upper row.
        let set = instrument("x", "xylophone", &["F4-C5 D5-C8"]);
        assert_eq!(place(&set, "C#5"), None);
        assert_eq!(place(&set, "D#5"), Some((0, "upper", 4, 17)));
        let bar = bar_place(&set, key("D#5")).unwrap();
        assert_eq!(bar.group, Some(BarGroup { size: 1, number: 1, group: 1, three: false }));
        assert_eq!(place(&set, "C6"), Some((0, "lower", 12, 26)));
    }

    #[test]
    fn two_frames_from_the_left() {
        let set = instrument("x", "crotales", &["C6-C7", "C7-C8"]);
        assert_eq!(place(&set, "C7"), Some((0, "lower", 8, 8)), "the first frame that has it");
        assert_eq!(place(&set, "D7"), Some((1, "lower", 2, 8)));
    }

    #[test]
    fn a_dead_bar_yields_to_a_sounding_one() {
        let mut set = instrument("x", "crotales", &["C6-C7", "C7-C8"]);
        let dead = |note| DeadBar { key: key(note), since: None, why: "cracked".to_owned() };
        set.frames[0].dead = vec![dead("C7"), dead("D6")];
        assert_eq!(place(&set, "C7"), Some((1, "lower", 1, 8)), "the second frame's C7 sounds");
        let bar = bar_place(&set, key("D6")).unwrap();
        assert!(!bar.sounds && bar.frame == 0 && bar.number == 2);
        assert_eq!(set.compass(), pitches("C6-C8").without(key("D6")));
        assert_eq!(set.dead(), pitches("D6"));
    }

    #[test]
    fn of_a_doubled_bar_both_must_be_dead() {
        let mut set = instrument("x", "crotales", &["C6-C7"]);
        set.frames[0].doubled = pitches("D6");
        let dead = DeadBar { key: key("D6"), since: None, why: String::new() };
        set.frames[0].dead = vec![dead.clone()];
        let bar = bar_place(&set, key("D6")).unwrap();
        assert!(bar.sounds && bar.doubled);
        assert_eq!(set.bar_count(), 14);
        set.frames[0].dead.push(dead);
        assert!(!bar_place(&set, key("D6")).unwrap().sounds);
    }

    #[test]
    fn a_rack_is_counted_in_its_own_order() {
        let mut rack = instrument("x", "almglocken", &["C4 D4 E4 F#4"]);
        rack.layout = Layout::Rack;
        assert_eq!(place(&rack, "F#4"), Some((0, "only", 4, 4)), "low to high where no order is stated");
        rack.frames[0].order = vec![key("F#4"), key("C4"), key("E4"), key("D4")];
        assert_eq!(place(&rack, "F#4"), Some((0, "only", 1, 4)));
        assert_eq!(place(&rack, "D4"), Some((0, "only", 4, 4)));
        assert_eq!(bar_place(&rack, key("F#4")).unwrap().group, None);
    }

    #[test]
    fn one_row_and_drums_have_no_upper_row() {
        let mut row = instrument("x", "handbells", &["C5-C6"]);
        row.layout = Layout::OneRow;
        assert_eq!(place(&row, "C#5"), Some((0, "only", 2, 13)));
        let mut drums = instrument("t", "timpani", &["D2-A2", "F2-C3"]);
        drums.layout = Layout::Drums;
        assert_eq!(place(&drums, "C3"), Some((1, "only", 8, 8)));
    }

    #[test]
    fn extra_bars_lie_beyond_the_range() {
        let mut frame = frame("", "C4-F5");
        frame.extra = pitches("A5");
        assert_eq!(frame.bars(), pitches("C4-F5 A5"));
        let only_extra = crate::collection::Frame { extra: pitches("A5"), ..Default::default() };
        assert_eq!(only_extra.bars(), pitches("A5"));
    }

    proptest! {
        #[test]
        fn every_bar_has_its_own_place(set in crate::compass::naive::some_set(), other in crate::compass::naive::some_set()) {
            let mut thing = instrument("x", "y", &["C4", "C4"]);
            for (frame, bars) in thing.frames.iter_mut().zip([set, other]) {
                frame.range = bars.lowest().zip(bars.highest());
                frame.gaps = bars.gaps();
            }
            let mut seen = std::collections::BTreeSet::new();
            for key in KeyNumber::MIN.through(KeyNumber::MAX) {
                let bar = bar_place(&thing, key);
                prop_assert_eq!(bar.is_some(), set.union(other).contains(key));
                let Some(bar) = bar else { continue };
                prop_assert!(bar.number >= 1 && bar.number <= bar.of);
                prop_assert!(seen.insert((bar.frame, bar.row, bar.number)), "{} has another's place", key);
                if let Some(group) = bar.group {
                    prop_assert!(group.number >= 1 && group.number <= group.size && group.size <= 3);
                }
            }
        }
    }
}
