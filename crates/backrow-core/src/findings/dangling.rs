//! Ids that a programme names and the library lacks: a file is missing or could not be read.

use super::{About, Case, Degree, Finding, Rule};
use std::collections::BTreeSet;

/// One finding for each missing instrument, player, beater, venue and line.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let (library, programme) = (case.library, case.programme);
    let mut missing: BTreeSet<(&'static str, String, About)> = BTreeSet::new();
    let of_programme = || About::Programme(programme.id.clone());
    if let Some(id) = programme.venue.as_ref().filter(|id| !library.venues.contains_key(*id)) {
        missing.insert(("venue", id.to_string(), of_programme()));
    }
    for id in programme.standing_anywhere() {
        if !library.instruments.contains_key(id) {
            missing.insert(("instrument", id.to_string(), About::Instrument(id.clone())));
        }
    }
    for (line, given) in programme.lines() {
        if library.works.contains_key(&line.work) && library.line(line).is_none() {
            missing.insert(("line", format!("{} in {}", line.line, line.work), of_programme()));
        }
        if let Some(id) = given.player.as_ref().filter(|id| !library.players.contains_key(*id)) {
            missing.insert(("player", id.to_string(), About::Player(id.clone())));
        }
        for id in given.uses().filter(|id| !library.instruments.contains_key(*id)) {
            missing.insert(("instrument", id.to_string(), About::Instrument(id.clone())));
        }
        for id in given.beaters.iter().filter(|id| !library.beaters.contains_key(*id)) {
            missing.insert(("beater", id.to_string(), About::Line(line.clone())));
        }
    }
    let row = |(noun, id, about): (&'static str, String, About)| {
        let rule = if noun == "venue" { Rule::UnknownVenue } else { Rule::Dangling };
        Finding::new(rule, Degree::Clash, format!("The library has no {noun} {id}"))
            .why(format!("{} names it. Its file is missing or could not be read.", programme.title))
            .remedy("Bring the file back, or choose another.")
            .about([about])
    };
    missing.into_iter().map(row).collect()
}
