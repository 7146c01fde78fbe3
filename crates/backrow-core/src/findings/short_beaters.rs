//! Beaters of which more players need a pair at once than there are pairs.

use super::{About, Case, Degree, Finding, Rule};
use crate::beaters::{Holding, Share};
use crate::carrying::people_words;

/// One finding a beater and movement.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for share in case.evening.shares() {
        let mut told: Vec<&Holding> = Vec::new();
        for lacking in share.lacking() {
            if told.iter().any(|other| (&other.work, &other.movement) == (&lacking.work, &lacking.movement)) {
                continue;
            }
            told.push(lacking);
            found.extend(finding(case, share, lacking));
        }
    }
    found
}

fn finding(case: &Case<'_>, share: &Share, lacking: &Holding) -> Option<Finding> {
    let beater = case.library.beaters.get(&share.beater)?;
    let here = |other: &&Holding| (&other.work, &other.movement) == (&lacking.work, &lacking.movement);
    let names: Vec<String> =
        share.holdings.iter().filter(here).map(|held| case.library.player_name(&held.player)).collect();
    let line = case.given().find(|taken| {
        taken.line.work == lacking.work
            && taken.movement == lacking.movement
            && taken.player.as_ref() == Some(&lacking.player)
            && taken.beaters.contains(&share.beater)
    })?;
    let enough = people_words(u32::try_from(share.pairs).unwrap_or(u32::MAX));
    Some(
        Finding::new(Rule::ShortBeaters, Degree::Care, format!("Too few beaters, {}", beater.name))
            .why(format!(
                "{} need them at once in {}; there are enough for {enough}.",
                names.join(" and "),
                case.line_words(&line.line)
            ))
            .remedy("Choose other beaters for one of them, or bring more.")
            .about([About::Line(line.line.clone()), About::Player(lacking.player.clone())]),
    )
}
