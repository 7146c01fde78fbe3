//! Players, and places in store.

use super::{AirDay, Lift};
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

/// How a role begins that is engaged for a programme only; in English, German, French and Italian. Common practice.
const EXTRA: [&str; 7] =
    ["extra", "freelance", "substitute", "aushilf", "supplément", "supplement", "aggiunt"];
/// How the role of whoever has the timpani begins, in those languages.
const TIMPANIST: [&str; 3] = ["timpan", "pauk", "timbal"];

fn begins(role: &str, words: &[&str]) -> bool {
    let role = role.trim_start().to_lowercase();
    words.iter().any(|word| role.starts_with(word))
}

impl Player {
    /// Whether the role says that the player is not a member of the section: how it begins.
    pub fn is_extra(&self) -> bool {
        begins(&self.role, &EXTRA)
    }

    /// Whether the role says that the player has the timpani: how it begins.
    pub fn is_timpanist(&self) -> bool {
        begins(&self.role, &TIMPANIST)
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
    /// Its lift; `None` where nobody has said whether there is one.
    pub lift: Option<Lift>,
    /// Its air, the earliest day first, each day once.
    pub air: Vec<AirDay>,
}

impl Place {
    /// What a loader must know of it, the lift first: "Lift, plate 1000 kg. Basement." May be empty.
    pub fn to_know(&self) -> String {
        let lift = self.lift.map(|lift| crate::id::begun(&lift.words()));
        [lift.unwrap_or_default(), self.remark.clone()]
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect::<Vec<_>>()
            .join(". ")
    }
}

#[cfg(test)]
mod tests {
    use super::{EXTRA, TIMPANIST, begins};

    #[test]
    fn roles_are_known_in_four_languages() {
        for role in ["extra, timpani", "Freelance", "Aushilfe", "supplémentaire", "aggiunto"] {
            assert!(begins(role, &EXTRA), "{role}");
        }
        assert!(
            begins("Paukerin", &TIMPANIST)
                && begins("timbalier", &TIMPANIST)
                && !begins("section", &TIMPANIST)
        );
    }
}
