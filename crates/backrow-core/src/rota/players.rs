//! Sets of players, as bits of one word.

use super::number::PlayerNo;
use std::ops::{BitAnd, BitAndAssign, BitOr, BitOrAssign, Sub};

/// The most players a problem may name, extras included.
pub(super) const MOST_PLAYERS: usize = 64;

/// A set of players.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct PlayerSet(u64);

impl PlayerSet {
    /// Nobody.
    pub(super) const NOBODY: Self = Self(0);

    /// Only this player.
    #[track_caller]
    pub(super) fn only(player: PlayerNo) -> Self {
        assert!(player.0 < MOST_PLAYERS, "player {player} of at most {MOST_PLAYERS}");
        Self(1 << player.0)
    }

    /// The first `count` players, at most [`MOST_PLAYERS`].
    pub(super) fn first(count: usize) -> Self {
        if count >= MOST_PLAYERS { Self(u64::MAX) } else { Self((1 << count) - 1) }
    }

    /// How many they are.
    pub(super) fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    /// Whether there is nobody in it.
    pub(super) fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Whether the player is in it.
    pub(super) fn has(self, player: PlayerNo) -> bool {
        !(self & Self::only(player)).is_empty()
    }

    /// Whether everybody in it is also in the other.
    pub(super) fn is_within(self, other: Self) -> bool {
        (self - other).is_empty()
    }

    /// Adds a player.
    pub(super) fn insert(&mut self, player: PlayerNo) {
        *self |= Self::only(player);
    }

    /// Takes a player out.
    pub(super) fn remove(&mut self, player: PlayerNo) {
        *self = *self - Self::only(player);
    }

    /// The players, lowest first.
    pub(super) fn each(self) -> impl Iterator<Item = PlayerNo> {
        let mut left = self;
        std::iter::from_fn(move || {
            let lowest = left.lowest()?;
            left.remove(lowest);
            Some(lowest)
        })
    }

    /// The lowest of them.
    pub(super) fn lowest(self) -> Option<PlayerNo> {
        (self.0 != 0).then(|| PlayerNo(self.0.trailing_zeros() as usize))
    }
}

impl FromIterator<PlayerNo> for PlayerSet {
    fn from_iter<I: IntoIterator<Item = PlayerNo>>(players: I) -> Self {
        players.into_iter().fold(Self::NOBODY, |set, player| set | Self::only(player))
    }
}

impl BitAnd for PlayerSet {
    type Output = Self;

    fn bitand(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }
}

impl BitOr for PlayerSet {
    type Output = Self;

    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl Sub for PlayerSet {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }
}

impl BitAndAssign for PlayerSet {
    fn bitand_assign(&mut self, other: Self) {
        *self = *self & other;
    }
}

impl BitOrAssign for PlayerSet {
    fn bitor_assign(&mut self, other: Self) {
        *self = *self | other;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(players: &[usize]) -> PlayerSet {
        players.iter().map(|&p| PlayerNo(p)).collect()
    }

    #[test]
    fn the_first_so_many() {
        assert_eq!((PlayerSet::first(0), PlayerSet::first(3)), (PlayerSet::NOBODY, set(&[0, 1, 2])));
        let all_but_one = PlayerSet::first(63);
        assert!(all_but_one.len() == 63 && all_but_one.has(PlayerNo(62)) && !all_but_one.has(PlayerNo(63)));
        assert_eq!((PlayerSet::first(64).len(), PlayerSet::first(99).len()), (64, 64));
    }

    #[test]
    fn sets_of_players_behave_as_sets() {
        let (one, other) = (set(&[0, 2, 5]), set(&[2, 3]));
        assert_eq!((one & other, one | other, one - other), (set(&[2]), set(&[0, 2, 3, 5]), set(&[0, 5])));
        assert!(one.has(PlayerNo(5)) && !one.has(PlayerNo(3)));
        assert!(set(&[0, 5]).is_within(one) && one.is_within(one) && !one.is_within(other));
        assert!(PlayerSet::NOBODY.is_within(other) && !other.is_within(PlayerSet::NOBODY));
        assert_eq!(one.each().map(|p| p.0).collect::<Vec<_>>(), [0, 2, 5]);
        assert_eq!((one.lowest(), PlayerSet::NOBODY.lowest()), (Some(PlayerNo(0)), None));
        assert!(PlayerSet::NOBODY.is_empty() && !one.is_empty());
        let mut changed = one;
        changed.insert(PlayerNo(3));
        changed.insert(PlayerNo(0));
        changed.remove(PlayerNo(2));
        changed.remove(PlayerNo(7));
        assert_eq!(changed, set(&[0, 3, 5]));
        changed &= other;
        assert_eq!(changed, set(&[3]));
        changed |= one;
        assert_eq!(changed, set(&[0, 2, 3, 5]));
    }

    #[test]
    #[should_panic(expected = "player 64 of at most 64")]
    fn nobody_beyond_the_most_is_let_in() {
        let _ = PlayerSet::only(PlayerNo(64));
    }
}
