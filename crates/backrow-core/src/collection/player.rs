//! Players, and places in store.

use super::AirDay;
use crate::id::{KindId, PlaceId, PlayerId, ServiceId};

/// A player of the section or an extra. Own instruments name the player as their owner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Player {
    /// Stable for ever.
    pub id: PlayerId,
    /// "N. Okafor".
    pub name: String,
    /// Two or three letters, as in discs and on paper.
    pub initials: String,
    /// "principal", "section", "timpani", "extra".
    pub role: String,
    /// The player's place in roster order, from 0; the colour follows it.
    pub order: u32,
    /// Kinds that the player alone takes; empty for any.
    pub only: Vec<KindId>,
    /// Kinds that the player does not take.
    pub never: Vec<KindId>,
    /// Services that the player misses.
    pub absences: Vec<ServiceId>,
}

impl Player {
    /// Whether the role says that the player is no member of the section: its first word is "extra".
    pub fn is_extra(&self) -> bool {
        self.role.trim_start().to_lowercase().starts_with("extra")
    }

    /// Whether the role says that the player has the timpani: its first word is "timpani" or "timpanist".
    pub fn is_timpanist(&self) -> bool {
        self.role.trim_start().to_lowercase().starts_with("timpani")
    }

    /// Whether the player takes lines of that kind.
    pub fn takes(&self, kind: &KindId) -> bool {
        (self.only.is_empty() || self.only.contains(kind)) && !self.never.contains(kind)
    }
}

/// A place in store: a room, a bay, a shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Stable for ever.
    pub id: PlaceId,
    /// "room 3, bay 2".
    pub name: String,
    /// Anything that a loader must know: steps, width of the door, humidity.
    pub remark: String,
    /// Its air, the earliest day first, each day once.
    pub air: Vec<AirDay>,
}
