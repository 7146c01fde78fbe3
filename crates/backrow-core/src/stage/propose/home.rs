//! Where a proposal begins: whose things are whose, where each player's gather, which places are tried, and which way one faces.

use crate::collection::{Point, Venue};
use crate::id::{InstrumentId, PlayerId};
use crate::library::Library;
use crate::stage::plan::Plan;
use crate::week::Programme;
use std::collections::BTreeMap;

/// The grid of places that are tried, metres.
const GRID_M: f64 = 0.25;

/// The player who uses each instrument most.
pub(super) fn owners(programme: &Programme) -> BTreeMap<InstrumentId, PlayerId> {
    let mut counts: BTreeMap<(InstrumentId, PlayerId), usize> = BTreeMap::new();
    for (_, given) in programme.lines() {
        let Some(player) = &given.player else { continue };
        for id in given.uses() {
            *counts.entry((id.clone(), player.clone())).or_default() += 1;
        }
    }
    let mut owners: BTreeMap<InstrumentId, (usize, PlayerId)> = BTreeMap::new();
    for ((instrument, player), count) in counts {
        if owners.get(&instrument).is_none_or(|(most, _)| count > *most) {
            owners.insert(instrument, (count, player));
        }
    }
    owners.into_iter().map(|(instrument, (_, player))| (instrument, player)).collect()
}

/// Where each player's things gather: the mean of what stands already, else evenly across the back of the floor in roster
/// order.
pub(super) fn homes(library: &Library, programme: &Programme, venue: &Venue) -> BTreeMap<PlayerId, Point> {
    let playing: Vec<PlayerId> = library
        .roster()
        .iter()
        .map(|player| player.id.clone())
        .filter(|id| programme.has_lines_for(id))
        .collect();
    let (left, right) = venue
        .floor
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p.x), high.max(p.x)));
    let count = playing.len().max(1) as f64;
    let plan = Plan::of(library, programme);
    let home = |(nth, id): (usize, PlayerId)| {
        let own: Vec<Point> = plan
            .things
            .iter()
            .filter(|thing| thing.played_by.contains(&id))
            .map(|thing| thing.standing.place)
            .collect();
        let at = if own.is_empty() {
            Point::new(left + (right - left) * (nth as f64 + 0.5) / count, 1.8)
        } else {
            let many = own.len() as f64;
            Point::new(
                own.iter().map(|p| p.x).sum::<f64>() / many,
                own.iter().map(|p| p.y).sum::<f64>() / many,
            )
        };
        (id, at)
    };
    playing.into_iter().enumerate().map(home).collect()
}

/// The level, metres, of what each player has on the floor already: that of the thing with the lowest number.
pub(super) fn levels(library: &Library, programme: &Programme) -> BTreeMap<PlayerId, f64> {
    let plan = Plan::of(library, programme);
    let mut things: Vec<_> = plan.things.iter().collect();
    things.sort_by_key(|thing| std::cmp::Reverse(thing.placement.number));
    let of = |thing: &crate::stage::plan::Stood| {
        let level = thing.footing.height_m();
        thing.played_by.iter().map(move |player| (player.clone(), level)).collect::<Vec<_>>()
    };
    things.into_iter().flat_map(of).collect()
}

pub(super) fn middle(venue: &Venue) -> Point {
    let count = venue.floor.len().max(1) as f64;
    Point::new(venue.floor.iter().map(|p| p.x).sum::<f64>() / count, 2.0)
}

/// The places that are tried; twice as many each way where the floor is filled closely.
pub(super) fn grid(venue: &Venue, close: bool) -> Vec<Point> {
    let step_m = if close { GRID_M / 2.0 } else { GRID_M };
    let bounds = crate::stage::plane::Bounds::of(&venue.floor);
    let (low, high) = (bounds.low, bounds.high);
    if !(low.x.is_finite() && high.x - low.x < 200.0 && high.y - low.y < 200.0) {
        return Vec::new();
    }
    let mut places = Vec::new();
    let mut y = low.y + step_m;
    while y < high.y {
        let mut x = low.x + step_m;
        while x < high.x {
            let at = Point::new(x, y);
            if crate::stage::plane::inside(at, &venue.floor) {
                places.push(at);
            }
            x += step_m;
        }
        y += step_m;
    }
    places
}

/// The turn that lets a player upstage of the thing face the conductor, in steps of 15 degrees.
pub(super) fn facing(venue: &Venue, at: Point) -> f64 {
    let Some(conductor) = venue.conductor else { return 0.0 };
    // At 0 the player looks along growing y; turning is clockwise as seen.
    let angle = -(conductor.x - at.x).atan2((conductor.y - at.y).max(0.5)).to_degrees();
    ((angle / crate::stage::TURN_STEP_DEG).round() * crate::stage::TURN_STEP_DEG)
        .clamp(-45.0, 45.0)
        .rem_euclid(360.0)
}
