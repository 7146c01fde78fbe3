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
