//! Who plays at a service of a programme, and why not: what the programme states of its players and what the players miss, in one
//! answer. Board, findings, assignments, screens, sheets and tables ask here.

use super::{Programme, Service, Standing};
use crate::collection::Player;

/// How a player stands to one service of a programme.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Presence {
    /// Is engaged, and comes.
    In,
    /// Is held in reserve: comes when asked, and nobody has asked.
    Reserve,
    /// Misses it.
    Away,
    /// Is engaged for other services of the programme.
    OnlyOthers,
    /// Is not engaged for the programme.
    Free,
}

impl Presence {
    /// All, in the order in which sentences name them.
    pub const ALL: [Self; 5] = [Self::In, Self::Reserve, Self::Away, Self::OnlyOthers, Self::Free];

    /// The word for screens and paper: "in", "in reserve", "away", "not engaged for it" or "not engaged".
    pub const fn word(self) -> &'static str {
        match self {
            Self::In => "in",
            Self::Reserve => Standing::Reserve.word(),
            Self::Away => "away",
            Self::OnlyOthers => "not engaged for it",
            Self::Free => Standing::Free.word(),
        }
    }

    /// Whether the player is surely not at the service: away from it, or engaged for others alone. Somebody who has lines and is
    /// not engaged at all may still come, and is told of as such.
    pub const fn misses(self) -> bool {
        matches!(self, Self::Away | Self::OnlyOthers)
    }
}

impl Programme {
    /// How a player stands to one of its services, whether there is something for the player to play or not. An absence goes
    /// before everything else, as it holds whoever engages the player.
    pub fn presence(&self, player: &Player, service: &Service) -> Presence {
        let engaged = self.roster.of(player);
        if player.absences.contains(&service.id) {
            Presence::Away
        } else if engaged.standing == Standing::Free {
            Presence::Free
        } else if !engaged.covers(&service.id) {
            Presence::OnlyOthers
        } else if engaged.standing == Standing::Reserve {
            Presence::Reserve
        } else {
            Presence::In
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::ServiceId;
    use crate::sample::{player, programme, service};
    use crate::week::Engagement;
    use rstest::rstest;

    #[rstest]
    #[case::a_member(None, "section", false, Presence::In)]
    #[case::an_extra(None, "extra", false, Presence::Reserve)]
    #[case::away_though_engaged(Some((Standing::Engaged, "")), "section", true, Presence::Away)]
    #[case::away_though_free(Some((Standing::Free, "")), "section", true, Presence::Away)]
    #[case::stated_goes_before_the_role(Some((Standing::Engaged, "")), "extra", false, Presence::In)]
    #[case::free(Some((Standing::Free, "")), "section", false, Presence::Free)]
    #[case::for_this_one(Some((Standing::Engaged, "s")), "section", false, Presence::In)]
    #[case::for_another(Some((Standing::Engaged, "t")), "section", false, Presence::OnlyOthers)]
    #[case::in_reserve_for_another(Some((Standing::Reserve, "t")), "section", false, Presence::OnlyOthers)]
    fn who_plays_and_why_not(
        #[case] stated: Option<(Standing, &str)>,
        #[case] role: &str,
        #[case] away: bool,
        #[case] expected: Presence,
    ) {
        let (mut one, at) = (player("a", 0), service("s", "p", 10));
        one.role = role.to_owned();
        if away {
            one.absences.push(at.id.clone());
        }
        let mut p = programme("p", &[]);
        if let Some((standing, only)) = stated {
            let services = ServiceId::new(only).into_iter().collect();
            p.roster.stated.insert(one.id.clone(), Engagement { standing, timpani: false, services });
        }
        let found = p.presence(&one, &at);
        assert_eq!(found, expected);
        assert_eq!(found.misses(), matches!(expected, Presence::Away | Presence::OnlyOthers));
    }

    #[test]
    fn no_two_share_a_word() {
        let words: std::collections::BTreeSet<&str> = Presence::ALL.map(Presence::word).into();
        assert_eq!(words.len(), Presence::ALL.len());
    }
}
