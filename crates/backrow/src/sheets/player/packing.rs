//! What to lay out before the concert.

use super::super::names;
use super::Case;
use backrow_core::id::{BeaterId, InstrumentId};
use backrow_print::player::Packing;
use std::collections::{BTreeMap, BTreeSet};

/// The player's beaters, with what they are for and where they are kept.
pub(super) fn packing(case: &Case<'_>) -> Vec<Packing> {
    let mut uses: BTreeMap<&BeaterId, (BTreeSet<InstrumentId>, BTreeSet<usize>)> = BTreeMap::new();
    for taken in case.timetable.calls.iter().filter(|taken| taken.player.as_ref() == Some(&case.player.id)) {
        let work = case.programme.works.iter().position(|id| *id == taken.call.work).unwrap_or_default();
        for beater in &taken.beaters {
            let entry = uses.entry(beater).or_default();
            entry.0.extend(taken.instruments.iter().cloned());
            entry.1.insert(work + 1);
        }
    }
    uses.into_iter()
        .map(|(id, (instruments, works))| {
            let beater = case.library.beaters.get(id);
            let things: Vec<InstrumentId> = instruments.into_iter().collect();
            let works: Vec<String> = works.iter().map(ToString::to_string).collect();
            let word = if works.len() == 1 { "work" } else { "works" };
            let place =
                beater.and_then(|beater| beater.place.as_ref()).and_then(|id| case.library.places.get(id));
            Packing {
                beaters: names::beaters(case.library, std::iter::once(id)),
                count: beater.map_or_else(String::new, |beater| beater.count.to_string()),
                place: place.map_or_else(String::new, |place| format!("from {}", place.name)),
                used_for: format!("{}, {word} {}", names::numbers(case.programme, &things), works.join(", ")),
            }
        })
        .collect()
}
