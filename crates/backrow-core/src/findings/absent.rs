//! A player who misses a service of the programme, or is given what they do not play.

use super::{About, Case, Degree, Finding, ShowsOn};
use crate::week::ServiceKind;
use std::collections::BTreeMap;

/// Players of the programme with absences, and calls of kinds that their player does not take.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut firsts = BTreeMap::new();
    for taken in case.given() {
        let Some(player) = taken.player.as_ref().and_then(|id| case.library.players.get(id)) else {
            continue;
        };
        firsts.entry(player.id.clone()).or_insert_with(|| taken.call.clone());
        if let Some(kind) = &taken.kind
            && !player.takes(kind)
        {
            found.push(Finding {
                code: "not-taken",
                degree: Degree::Clash,
                shows_on: ShowsOn::Section,
                what: format!("{} does not play {}", player.name, case.library.kind_name(kind)),
                detail: format!(
                    "{} was given to {}. Give it to another player.",
                    case.call_words(&taken.call),
                    player.name
                ),
                about: vec![About::Call(taken.call.clone()), About::Player(player.id.clone())],
                fix: None,
            });
        }
    }
    for service in case.library.services_of(&case.programme.id) {
        for (id, call) in &firsts {
            let Some(player) = case.library.players.get(id).filter(|p| p.absences.contains(&service.id))
            else {
                continue;
            };
            // A rehearsal can be missed, a concert cannot.
            let degree = if service.kind == ServiceKind::Concert { Degree::Clash } else { Degree::Care };
            found.push(Finding {
                code: "absent",
                degree,
                shows_on: ShowsOn::Section,
                what: format!("{} misses a {}", player.name, service.kind.word()),
                detail: format!(
                    "{}. Their calls have nobody at that service.",
                    service.start.strftime("%-d %b, %H:%M")
                ),
                about: vec![About::Player(id.clone()), About::Call(call.clone())],
                fix: None,
            });
        }
    }
    found
}
