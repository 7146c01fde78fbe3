//! A station that stands already, taken up as it stands, to be put down elsewhere.

use super::{Draft, Group, Spot, What};
use crate::id::{InstrumentId, PlayerId};
use crate::library::Library;
use crate::stage::figure::to_local;
use crate::stage::furniture::faces_deg;
use crate::stage::plan::{Plan, Stood};
use crate::week::{Placement, Programme};
use std::collections::BTreeMap;

/// A station by its head, as it stands; `None` where it does not stand, is locked, or stands elsewhere for some work.
pub(in crate::stage) fn whole<'a>(
    library: &'a Library,
    programme: &Programme,
    (plan, owners): (&Plan, &BTreeMap<InstrumentId, PlayerId>),
    head: &InstrumentId,
) -> Option<Group<'a>> {
    let setup = &programme.setup;
    let first = plan.thing(head)?;
    let here = |stood: &&Stood| setup.station_of(&stood.instrument) == head && stood.instrument != *head;
    let all: Vec<&Stood> = std::iter::once(first).chain(plan.things.iter().filter(here)).collect();
    let differs = |id: &InstrumentId| {
        setup.own.values().any(|own| own.placements.contains_key(id) || own.away.contains(id))
    };
    if all.iter().any(|stood| stood.placement.locked || differs(&stood.instrument)) {
        return None;
    }
    let thing = |id: &InstrumentId| library.instruments.get(id).map(|thing| &**thing);
    let frame = Placement {
        at: first.standing.place,
        turn_deg: faces_deg(all.iter().copied()),
        number: 0,
        locked: false,
    };
    let spot = |stood: &&Stood| {
        Some(Spot {
            thing: thing(&stood.instrument)?,
            at: to_local(&frame, stood.placement.at),
            turn_deg: (stood.placement.turn_deg - frame.turn_deg).rem_euclid(360.0),
            on: setup
                .lies_on
                .get(&stood.instrument)
                .and_then(|by| plan.thing(by))
                .and_then(|by| thing(&by.instrument)),
        })
    };
    let draft: Draft<'a> = all.iter().map(spot).collect::<Option<_>>()?;
    // Whoever the head belongs to, else whoever plays most of the rest.
    let player = all.iter().find_map(|stood| owners.get(&stood.instrument)).cloned();
    Some(Group { player, what: What::Whole(draft) })
}
