//! The routes of players from one thing to the next, each once, with its metres.

use backrow_core::collection::Player;
use backrow_core::evening::Evening;
use backrow_core::id::{InstrumentId, PlayerId, WorkId};
use backrow_core::moves::Route;
use backrow_core::stage::Stood;
use backrow_print::plan::{Spot, Way};
use std::collections::BTreeSet;

/// Where a player's disc is drawn at a thing: of several who stand at one place each is a little to the right of the one before.
pub(super) fn disc_at(thing: &Stood, player: &PlayerId) -> Spot {
    let at = thing.standing_of(player).place;
    let before = thing.played_by.iter().take_while(|other| *other != player);
    let shift = 0.35 * before.filter(|other| thing.standing_of(other).place == at).count() as f64;
    [at.x + shift, at.y]
}

/// A player's routes on the floor that holds for all works, or on the one of a work.
pub(super) fn of_player(evening: &Evening, player: &Player, work: Option<&WorkId>) -> Vec<Way> {
    let (timetable, programme) = (evening.timetable(), evening.programme());
    let mut seen: BTreeSet<(InstrumentId, InstrumentId)> = BTreeSet::new();
    let mut ways = Vec::new();
    for step in timetable.moves(&player.id) {
        let here = match work {
            Some(work) => step.from.line.work == *work,
            None => programme.setup.own_of(&step.from.line.work).is_none(),
        };
        if !here || step.need.same_place || step.from.line == step.to.line {
            continue;
        }
        let Some(Route { from: a, to: b, way }) = timetable.route(&step) else { continue };
        // There and back is one line on paper.
        let pair = if a < b { (a.clone(), b.clone()) } else { (b.clone(), a.clone()) };
        if way.points.len() > 1 && seen.insert(pair) {
            let mut points: Vec<Spot> = way.points.iter().map(|point| [point.x, point.y]).collect();
            // From disc to disc: of several who stand at one place each has their own beside it.
            let plan = evening.floor(Some(&step.from.line.work)).plan();
            let disc = |id: &InstrumentId| {
                let thing = plan.thing(id)?;
                let bearer = thing.on.and_then(|on| plan.things.get(on)).unwrap_or(thing);
                bearer.played_by.contains(&player.id).then(|| disc_at(bearer, &player.id))
            };
            if let (Some(first), Some(at)) = (points.first_mut(), disc(a)) {
                *first = at;
            }
            if let (Some(last), Some(at)) = (points.last_mut(), disc(b)) {
                *last = at;
            }
            ways.push(Way {
                points,
                bend_m: 0.0,
                metres: Some(step.need.metres),
                by: String::new(),
                changed: false,
            });
        }
    }
    ways
}

/// Everybody's routes in a work, each with its player's initials.
pub(super) fn of_work(evening: &Evening, work: &WorkId) -> Vec<Way> {
    let players = evening.library().roster().into_iter();
    let named = |player: &Player, way: Way| Way { by: player.initials.clone(), ..way };
    players
        .flat_map(|player| {
            of_player(evening, player, Some(work)).into_iter().map(move |way| named(player, way))
        })
        .collect()
}
