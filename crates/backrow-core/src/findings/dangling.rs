//! Ids that a programme names and the library lacks: a file is missing or could not be read.

use super::{About, Case, Degree, Finding, ShowsOn};
use std::collections::BTreeSet;

/// One finding for each missing instrument, player, beater, venue and call.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let (library, programme) = (case.library, case.programme);
    let mut missing: BTreeSet<(&'static str, String, About)> = BTreeSet::new();
    let of_programme = || About::Programme(programme.id.clone());
    if let Some(id) = programme.venue.as_ref().filter(|id| !library.venues.contains_key(*id)) {
        missing.insert(("venue", id.to_string(), of_programme()));
    }
    for id in programme.setup.placements.keys().filter(|id| !library.instruments.contains_key(*id)) {
        missing.insert(("instrument", id.to_string(), About::Instrument(id.clone())));
    }
    for (call, given) in &programme.share_out {
        if library.works.contains_key(&call.work) && library.call(call).is_none() {
            missing.insert(("call", format!("{} in {}", call.call, call.work), of_programme()));
        }
        if let Some(id) = given.player.as_ref().filter(|id| !library.players.contains_key(*id)) {
            missing.insert(("player", id.to_string(), About::Player(id.clone())));
        }
        for id in given.instruments.iter().filter(|id| !library.instruments.contains_key(*id)) {
            missing.insert(("instrument", id.to_string(), About::Instrument(id.clone())));
        }
        for id in given.beaters.iter().filter(|id| !library.beaters.contains_key(*id)) {
            missing.insert(("beater", id.to_string(), About::Call(call.clone())));
        }
    }
    let row = |(noun, id, about): (&'static str, String, About)| Finding {
        code: "dangling",
        degree: Degree::Clash,
        shows_on: if noun == "venue" { ShowsOn::Floor } else { ShowsOn::Section },
        what: format!("The library has no {noun} {id}"),
        detail: format!(
            "{} names it. Its file is missing or could not be read: bring the file back, or choose another.",
            programme.title
        ),
        about: vec![about],
        fix: None,
    };
    missing.into_iter().map(row).collect()
}
