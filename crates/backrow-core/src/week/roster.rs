//! Who is engaged for a programme, and for what.
//!
//! What is stated here holds for one programme. Where nothing is stated the player's role says it: a member of the section
//! is engaged for every service, an extra is held in reserve, and a timpanist has the timpani.

use crate::collection::Player;
use crate::id::{PlayerId, ServiceId, WorkId};
use std::collections::{BTreeMap, BTreeSet};

/// Who is engaged for a programme.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Roster {
    /// What is stated of players.
    pub stated: BTreeMap<PlayerId, Engagement>,
    /// Who owns a printed part, and so should have its lines.
    pub parts: BTreeMap<PartRef, PlayerId>,
}

/// A printed part of a work.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartRef {
    /// The work.
    pub work: WorkId,
    /// As printed: "Percussion 2".
    pub part: String,
}

/// What a player is engaged for.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Engagement {
    /// Whether the player plays.
    pub standing: Standing,
    /// Whether the player has the timpani.
    pub timpani: bool,
    /// The services that the player is engaged for; empty for all.
    pub services: BTreeSet<ServiceId>,
}

/// How a player stands to a programme.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Standing {
    /// Plays.
    #[default]
    Engaged,
    /// Is asked only when everybody engaged is used up.
    Reserve,
    /// Does not play.
    Free,
}

impl Standing {
    /// All, in order.
    pub const ALL: [Self; 3] = [Self::Engaged, Self::Reserve, Self::Free];

    /// The word for screens, paper and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Engaged => "engaged",
            Self::Reserve => "in reserve",
            Self::Free => "not engaged",
        }
    }
}

impl Engagement {
    /// What a player's role says where nothing is stated.
    pub fn usual(player: &Player) -> Self {
        let standing = if player.is_extra() { Standing::Reserve } else { Standing::Engaged };
        Self { standing, timpani: player.is_timpanist(), services: BTreeSet::new() }
    }

    /// Whether the player is engaged for a service.
    pub fn covers(&self, service: &ServiceId) -> bool {
        self.services.is_empty() || self.services.contains(service)
    }
}

impl Roster {
    /// What a player is engaged for: as stated, else as usual.
    pub fn of(&self, player: &Player) -> Engagement {
        self.stated.get(&player.id).cloned().unwrap_or_else(|| Engagement::usual(player))
    }

    /// Lets go everything that is stated of a player.
    pub fn forget_player(&mut self, player: &PlayerId) {
        self.stated.remove(player);
        self.parts.retain(|_, owner| owner != player);
    }

    /// Lets go the parts of a work.
    pub fn forget_work(&mut self, work: &WorkId) {
        self.parts.retain(|part, _| part.work != *work);
    }

    /// Lets go services that are no more. Who was engaged for none but these is engaged for no service, which is to be free.
    pub fn forget_services(&mut self, gone: &BTreeSet<ServiceId>) {
        for engagement in self.stated.values_mut().filter(|e| !e.services.is_empty()) {
            engagement.services.retain(|service| !gone.contains(service));
            if engagement.services.is_empty() {
                engagement.standing = Standing::Free;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::player;
    use rstest::rstest;

    #[rstest]
    #[case("principal", Standing::Engaged, false)]
    #[case("extra, also timpani", Standing::Reserve, false)]
    #[case("Extra", Standing::Reserve, false)]
    #[case("timpani", Standing::Engaged, true)]
    #[case("Timpanist", Standing::Engaged, true)]
    #[case("", Standing::Engaged, false)]
    fn a_role_says_what_nobody_stated(#[case] role: &str, #[case] standing: Standing, #[case] timpani: bool) {
        let mut one = player("a", 0);
        one.role = role.to_owned();
        let usual = Roster::default().of(&one);
        assert_eq!((usual.standing, usual.timpani), (standing, timpani));
        let stated = Engagement { standing: Standing::Free, ..Engagement::default() };
        let roster = Roster { stated: [(one.id.clone(), stated.clone())].into(), ..Roster::default() };
        assert_eq!(roster.of(&one), stated, "what is stated goes before the role");
    }

    #[test]
    fn services_that_are_gone_leave_nobody_engaged_for_all() {
        let [friday, sunday] = ["friday", "sunday"].map(|id| ServiceId::new(id).unwrap());
        let one = player("a", 0);
        let stated = Engagement { services: [friday.clone()].into(), ..Engagement::default() };
        let mut roster = Roster { stated: [(one.id.clone(), stated)].into(), ..Roster::default() };
        assert!(roster.of(&one).covers(&friday) && !roster.of(&one).covers(&sunday));
        roster.forget_services(&[friday].into());
        assert_eq!(roster.of(&one).standing, Standing::Free);
    }

    #[test]
    fn what_is_forgotten_of_a_roster() {
        assert_eq!(Standing::ALL.map(Standing::word), ["engaged", "in reserve", "not engaged"]);
        let (one, other) = (player("a", 0), player("b", 1));
        let part = |work: &str| PartRef { work: WorkId::new(work).unwrap(), part: "Percussion 1".to_owned() };
        let mut roster = Roster {
            stated: [(one.id.clone(), Engagement::default()), (other.id.clone(), Engagement::default())]
                .into(),
            parts: [(part("w"), one.id.clone()), (part("v"), other.id.clone()), (part("u"), one.id.clone())]
                .into(),
        };
        roster.forget_work(&WorkId::new("u").unwrap());
        assert_eq!(roster.parts.keys().collect::<Vec<_>>(), [&part("v"), &part("w")]);
        roster.forget_player(&one.id);
        assert_eq!((roster.stated.len(), roster.parts.keys().collect::<Vec<_>>()), (1, vec![&part("v")]));
        // Who was engaged for all services, or for one that stays, is so still.
        let [friday, sunday] = ["friday", "sunday"].map(|id| ServiceId::new(id).unwrap());
        let both = Engagement { services: [friday.clone(), sunday.clone()].into(), ..Engagement::default() };
        roster.stated = [(one.id.clone(), both), (other.id.clone(), Engagement::default())].into();
        roster.forget_services(&[friday].into());
        assert!(roster.of(&one).covers(&sunday) && roster.of(&one).standing == Standing::Engaged);
        assert!(roster.of(&other).standing == Standing::Engaged && roster.of(&other).covers(&sunday));
    }
}
