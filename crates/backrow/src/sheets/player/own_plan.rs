//! The small plan on a player's sheet: the own stations with the routes between them; what others play is drawn thin.

use super::super::stage_plan::bare;
use backrow_core::collection::Player;
use backrow_core::evening::Evening;
use backrow_core::id::WorkId;
use backrow_core::stage::{Plan, Stood};
use backrow_print::plan::{PlanSheet, Spot, Thing, View};
use std::collections::BTreeSet;

/// Floor around the own things, metres.
const AROUND_M: f64 = 0.8;

/// On the floor that holds for all works, or on the own floor of one. `None` while nothing that the player plays has a place, and for
/// a work in which all of it stands as it does for all.
pub(super) fn own_plan(evening: &Evening, player: &Player, work: Option<&WorkId>) -> Option<PlanSheet> {
    let floor = evening.floor(work);
    if work.is_some() && moved(evening, player, floor.plan()).next().is_none() {
        return None;
    }
    let whole = bare(evening, floor);
    let things = floor.plan().things.iter();
    let mine: BTreeSet<String> = things
        .filter(|thing| thing.played_by.contains(&player.id))
        .map(|thing| thing.placement.number.to_string())
        .collect();
    if mine.is_empty() {
        return None;
    }
    let thing = |thing: Thing| {
        let own = mine.contains(&thing.number);
        let number = if own { thing.number.clone() } else { String::new() };
        Thing { number, unused: !own, low_end: thing.low_end.filter(|_| own), ..thing }
    };
    // What lies on somebody else's table is too small to draw.
    let seen = |thing: &Thing| !(thing.unused && thing.carried);
    let things: Vec<Thing> = whole.things.into_iter().map(thing).filter(seen).collect();
    let ways = super::super::routes::of_player(evening, player, work);
    let spots = things.iter().filter(|thing| !thing.unused).flat_map(corners);
    let spots = spots.chain(ways.iter().flat_map(|way| way.points.iter().copied()));
    let view = around(spots)?;
    let mut floor = whole.floor;
    floor.keep_out.clear();
    floor.risers.iter_mut().for_each(|riser| riser.words.clear());
    Some(PlanSheet {
        floor,
        view,
        things,
        ways,
        furniture: whole.furniture,
        work_note: if work.is_none() { elsewhere(evening, player) } else { String::new() },
        ..PlanSheet::default()
    })
}

/// A circle around the thing, as it may be turned.
fn corners(thing: &Thing) -> [Spot; 2] {
    let (width, depth) = thing.shape.extent();
    let half = if thing.carried { 0.0 } else { width.hypot(depth) / 2.0 };
    let [x, y] = thing.at;
    [[x - half, y - half], [x + half, y + half]]
}

fn around(spots: impl Iterator<Item = Spot>) -> Option<View> {
    let spread = spots.fold(None, |spread: Option<[f64; 4]>, [x, y]| {
        let [l, t, r, b] = spread.unwrap_or([x, y, x, y]);
        Some([l.min(x), t.min(y), r.max(x), b.max(y)])
    });
    let [l, t, r, b] = spread?;
    Some(View::Part { from: [l - AROUND_M, t - AROUND_M], to: [r + AROUND_M, b + AROUND_M] })
}

/// What the player plays on a floor and has elsewhere, or not at all, on the one that holds for all works.
fn moved<'a>(evening: &'a Evening, player: &'a Player, plan: &'a Plan) -> impl Iterator<Item = &'a Stood> {
    let base = evening.floor(None).plan();
    plan.things.iter().filter(|thing| {
        let stands = |one: &Stood| (one.placement.at, one.placement.turn_deg);
        thing.played_by.contains(&player.id)
            && base.thing(&thing.instrument).is_none_or(|other| stands(other) != stands(thing))
    })
}

/// The works for which something of the player's stands elsewhere: "in Lanterns on the Estuary 1 stands elsewhere".
fn elsewhere(evening: &Evening, player: &Player) -> String {
    let library = evening.library();
    let mut words = Vec::new();
    for (work, floor) in evening.floors().filter_map(|(work, floor)| Some((work?, floor))) {
        let moved = moved(evening, player, floor.plan());
        let numbers: Vec<String> = moved.map(|thing| thing.placement.number.to_string()).collect();
        let title = library.works.get(work).map_or_else(|| work.to_string(), |work| work.title.clone());
        match numbers.as_slice() {
            [] => {}
            [one] => words.push(format!("in {title} {one} stands elsewhere")),
            many => words.push(format!("in {title} {} stand elsewhere", many.join(", "))),
        }
    }
    words.join("; ")
}
