//! Findings about the collection alone: instruments with figures that none of their kind has, and instruments that stand twice.

use super::{FindingRow, Fix};
use crate::intent::Intent;
use crate::theme::marks::Mark;
use crate::view::{Place, Selected};
use backrow_core::collection::{Instrument, alike, odd};
use backrow_core::id::{InstrumentId, KindId};
use backrow_core::library::Library;
use std::collections::BTreeMap;

/// What is odd about instruments, whatever the programme: a note each.
pub(super) fn rows(library: &Library) -> Vec<FindingRow> {
    let row = |id: &InstrumentId, title: String, detail: String| FindingRow {
        mark: Mark::Note,
        title,
        detail,
        place: Place::Collection,
        go: vec![Intent::Select(Some(Selected::Instrument(id.clone()))), Intent::Go(Place::Collection)],
        fix: Fix::GoTo(
            "Edit its record in Collection",
            vec![Intent::Record(Selected::Instrument(id.clone()))],
        ),
        formulas: &[],
    };
    let mut found = Vec::new();
    let mut by_name: BTreeMap<(&KindId, String), Vec<&Instrument>> = BTreeMap::new();
    for thing in library.instruments.values() {
        by_name.entry((&thing.kind, thing.name.trim().to_lowercase())).or_default().push(thing);
        let Some(kind) = library.kinds.get(&thing.kind) else { continue };
        let odd: Vec<String> = odd(kind, thing).into_iter().map(|odd| odd.words(kind)).collect();
        if !odd.is_empty() {
            let detail = format!("{}. Look again, or leave it where it is so.", odd.join("; "));
            found.push(row(&thing.id, format!("{}: unusual figures", thing.name), detail));
        }
    }
    for same in by_name.values() {
        if let [one, rest @ ..] = same.as_slice()
            && let Some(other) = rest.iter().find(|other| alike(one, other))
        {
            let detail = format!(
                "{} and {} have one name, kind, owner and compass. Take one out, or give them names apart.",
                one.id, other.id
            );
            found.push(row(&other.id, format!("{} appears twice", other.name), detail));
        }
    }
    found
}
