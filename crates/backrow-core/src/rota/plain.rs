//! Reads and writes that cannot fail, and sets of players as bits.
//!
//! The search loops live on lists of numbers. A place outside a list reads as the type's zero and
//! is not written, so that no slip here can bring the window down; the independent checker sees it.

/// The value at `index`, or zero outside the list.
pub(super) fn at<T: Copy + Default>(list: &[T], index: usize) -> T {
    list.get(index).copied().unwrap_or_default()
}

/// Writes `value` at `index`; does nothing outside the list.
pub(super) fn put<T>(list: &mut [T], index: usize, value: T) {
    if let Some(slot) = list.get_mut(index) {
        *slot = value;
    }
}

/// The row at `index`, or an empty one outside the list.
pub(super) fn row<T>(rows: &[Vec<T>], index: usize) -> &[T] {
    rows.get(index).map_or(&[], Vec::as_slice)
}

/// The most players a problem may name, extras included: a set of players is one word of bits.
pub(super) const MOST_PLAYERS: usize = 64;

/// The set that holds only `player`; empty beyond [`MOST_PLAYERS`].
pub(super) fn bit(player: usize) -> u64 {
    if player < MOST_PLAYERS { 1 << player } else { 0 }
}

/// The set of the players `0..count`.
pub(super) fn first(count: usize) -> u64 {
    if count >= MOST_PLAYERS { u64::MAX } else { (1 << count) - 1 }
}

/// The number of players in a set.
pub(super) fn size(set: u64) -> usize {
    set.count_ones() as usize
}

/// The lowest player of a set; [`MOST_PLAYERS`] when it is empty.
pub(super) fn lowest(set: u64) -> usize {
    set.trailing_zeros() as usize
}

/// The players of a set, lowest first.
pub(super) fn each(mut set: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        if set == 0 {
            return None;
        }
        let player = lowest(set);
        set &= set - 1;
        Some(player)
    })
}
