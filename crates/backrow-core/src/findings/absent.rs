//! A player who misses a service of the programme, or is assigned what they do not play.

use super::{About, Case, Degree, Finding, Rule};
use crate::collection::Player;
use crate::week::{Presence, ServiceKind};
use std::collections::BTreeMap;

/// Players of the programme with absences, and lines of kinds that their player does not take.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut firsts = BTreeMap::new();
    for taken in case.given() {
        let Some(player) = taken.player.as_ref().and_then(|id| case.library.players.get(id)) else {
            continue;
        };
        firsts.entry(player.id.clone()).or_insert_with(|| taken.line.clone());
        if let Some(kind) = &taken.kind
            && !player.takes(kind)
        {
            let what = format!("{} does not play {}", player.name, case.library.kind_name(kind));
            found.push(
                Finding::new(Rule::DoesNotPlay, Degree::Clash, what)
                    .why(format!("{} is assigned to {}.", case.line_words(&taken.line), player.name))
                    .remedy("Assign it to another player.")
                    .about([About::Line(taken.line.clone()), About::Player(player.id.clone())])
                    .fix(case.to_another(&[&taken.line])),
            );
        }
    }
    for service in case.library.services_of(&case.programme.id) {
        for (id, line) in &firsts {
            let away = |player: &&Player| case.programme.presence(player, service) == Presence::Away;
            let player = case.library.players.get(id).map(|player| &**player).filter(away);
            let Some(player) = player else { continue };
            // A rehearsal can be missed, a concert cannot.
            let degree = if service.kind == ServiceKind::Concert { Degree::Clash } else { Degree::Care };
            let when = case.library.days().at(service.start);
            let what = format!("{} is away from the {} on {when}", player.name, service.kind.word());
            found.push(
                Finding::new(Rule::Absent, degree, what)
                    .why("Nobody covers their lines at that service.")
                    .about([About::Player(id.clone()), About::Line(line.clone())]),
            );
        }
    }
    found
}
