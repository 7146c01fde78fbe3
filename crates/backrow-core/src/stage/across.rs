//! Which lines are played from the far side of an instrument: where two sound at once on one that two can play, the first
//! stands at the playing side and the other across. Plan, ways and seconds all ask here.

use crate::id::InstrumentId;
use crate::library::Library;
use crate::music::{Line, Passage};
use crate::week::{LineRef, Programme};
use std::collections::{BTreeMap, BTreeSet};

/// By line, the instruments at which it is played from across.
pub fn played_across(library: &Library, programme: &Programme) -> BTreeMap<LineRef, BTreeSet<InstrumentId>> {
    let mut across: BTreeMap<LineRef, BTreeSet<InstrumentId>> = BTreeMap::new();
    for work in programme.works_in_order().filter_map(|(_, id)| library.works.get(id)) {
        for movement in &work.movements {
            let mut near: Vec<(InstrumentId, &Line)> = Vec::new();
            for line in work.lines_of(&movement.id) {
                let at = LineRef { work: work.id.clone(), line: line.id.clone() };
                let Some(given) = programme.given(&at) else { continue };
                for id in &given.instruments {
                    if !library.instruments.get(id).is_some_and(|thing| thing.for_two) {
                        continue;
                    }
                    if near.iter().any(|(other, row)| other == id && at_once(row, line)) {
                        across.entry(at.clone()).or_default().insert(id.clone());
                    } else {
                        near.push((id.clone(), line));
                    }
                }
            }
        }
    }
    across
}

fn at_once(one: &Line, other: &Line) -> bool {
    let overlap = |a: &Passage, b: &Passage| a.from_s < b.to_s && b.from_s < a.to_s;
    one.passages.iter().any(|a| other.passages.iter().any(|b| overlap(a, b)))
}
