//! Which lines are played from the far side of an instrument: where two sound at once on one that two can play, the first
//! stands at the playing side and the other across. Plan, ways and seconds all ask here.

use crate::id::InstrumentId;
use crate::library::Library;
use crate::music::{Call, Passage};
use crate::week::{CallRef, Programme};
use std::collections::{BTreeMap, BTreeSet};

/// By line, the instruments at which it is played from across.
pub fn played_across(library: &Library, programme: &Programme) -> BTreeMap<CallRef, BTreeSet<InstrumentId>> {
    let mut across: BTreeMap<CallRef, BTreeSet<InstrumentId>> = BTreeMap::new();
    for work in programme.works_in_order().filter_map(|(_, id)| library.works.get(id)) {
        for movement in &work.movements {
            let mut near: Vec<(InstrumentId, &Call)> = Vec::new();
            for call in work.calls_of(&movement.id) {
                let at = CallRef { work: work.id.clone(), call: call.id.clone() };
                let Some(given) = programme.given(&at) else { continue };
                for id in &given.instruments {
                    if !library.instruments.get(id).is_some_and(|thing| thing.is_for_two()) {
                        continue;
                    }
                    if near.iter().any(|(other, line)| other == id && at_once(line, call)) {
                        across.entry(at.clone()).or_default().insert(id.clone());
                    } else {
                        near.push((id.clone(), call));
                    }
                }
            }
        }
    }
    across
}

fn at_once(one: &Call, other: &Call) -> bool {
    let overlap = |a: &Passage, b: &Passage| a.from_s < b.to_s && b.from_s < a.to_s;
    one.passages.iter().any(|a| other.passages.iter().any(|b| overlap(a, b)))
}
