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
