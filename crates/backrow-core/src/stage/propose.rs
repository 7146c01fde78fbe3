//! A first setup to begin from: what one player uses stands together, faces the conductor, and leaves the ways free.
//!
//! Greedy: the largest first, each at the best place of a grid that breaks no rule. It is a proposal like any other, and no
//! claim that none is better.

use super::plan::{Plan, Stood};
use super::{STANDING_DEPTH_M, gap, overlap};
use crate::collection::{Instrument, Point, Venue};
use crate::id::{InstrumentId, PlayerId};
use crate::library::Library;
use crate::week::{Placement, Programme};
use std::collections::{BTreeMap, BTreeSet};

/// The grid of places that are tried, metres.
const GRID_M: f64 = 0.25;
/// How far towards the conductor a proposal goes, as a share of the way from the back. Ours.
const REAR_SHARE: f64 = 0.62;
/// How many places are tried at the most, over all things.
const MOST_TRIES: usize = 400_000;

/// Places for those of these instruments that do not stand yet, whether the programme uses them or not; what stands stays. A
/// thing for which there is no place is left out.
pub(crate) fn propose_these(
    library: &Library,
    programme: &Programme,
    venue: &Venue,
    these: &BTreeSet<&InstrumentId>,
) -> BTreeMap<InstrumentId, Placement> {
    let mut setup = programme.clone();
    let owners = owners(programme);
    // What stands for one work alone has its place.
    let standing = programme.standing_anywhere();
    let mut wanted: Vec<&Instrument> = these
        .iter()
        .copied()
        .filter(|id| !standing.contains(id))
        .filter_map(|id| library.instruments.get(id).map(|thing| &**thing))
        .collect();
    let area = |thing: &Instrument| {
        let (width, depth) = thing.footprint.shape.extent();
        width * depth
    };
    wanted.sort_by(|a, b| area(b).total_cmp(&area(a)).then_with(|| a.id.cmp(&b.id)));
    // The section stands behind the orchestra: well on the far side of the conductor.
    let front = venue.conductor.map_or(f64::INFINITY, |conductor| conductor.y * REAR_SHARE);
    let places: Vec<Point> = grid(venue).into_iter().filter(|at| at.y <= front).collect();
    let homes = homes(library, programme, venue);
    let mut found = BTreeMap::new();
    let mut tries = 0;
    for thing in wanted {
        let player = owners.get(&thing.id);
        let home = player.and_then(|id| homes.get(id)).copied().unwrap_or_else(|| middle(venue));
        let plan = Plan::of(library, &setup);
        let mut order: Vec<Point> = places.clone();
        let cost = |p: &Point| (p.x - home.x).hypot(p.y - home.y) + 0.3 * p.y;
        order.sort_by(|a, b| cost(a).total_cmp(&cost(b)));
        let number = setup.setup.next_number();
        for at in order {
            tries += 1;
            if tries > MOST_TRIES {
                return found;
            }
            let placement = Placement { at, turn_deg: facing(venue, at), number, locked: false };
            let stood = Stood::new(&thing.id, thing, &placement, Some(venue));
            if fits(&stood, &plan, venue, library.orchestra.habits.way_m) {
                setup.setup.stand(thing.id.clone(), placement);
                found.insert(thing.id.clone(), placement);
                break;
            }
        }
    }
    found
}

/// The player who uses each instrument most.
fn owners(programme: &Programme) -> BTreeMap<InstrumentId, PlayerId> {
    let mut counts: BTreeMap<(InstrumentId, PlayerId), usize> = BTreeMap::new();
    for (_, given) in programme.lines() {
        let Some(player) = &given.player else { continue };
        for id in &given.instruments {
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
fn homes(library: &Library, programme: &Programme, venue: &Venue) -> BTreeMap<PlayerId, Point> {
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

fn middle(venue: &Venue) -> Point {
    let count = venue.floor.len().max(1) as f64;
    Point::new(venue.floor.iter().map(|p| p.x).sum::<f64>() / count, 2.0)
}

fn grid(venue: &Venue) -> Vec<Point> {
    let bounds = super::plane::Bounds::of(&venue.floor);
    let (low, high) = (bounds.low, bounds.high);
    if !(low.x.is_finite() && high.x - low.x < 200.0 && high.y - low.y < 200.0) {
        return Vec::new();
    }
    let mut places = Vec::new();
    let mut y = low.y + GRID_M;
    while y < high.y {
        let mut x = low.x + GRID_M;
        while x < high.x {
            let at = Point::new(x, y);
            if super::plane::inside(at, &venue.floor) {
                places.push(at);
            }
            x += GRID_M;
        }
        y += GRID_M;
    }
    places
}

/// The turn that lets a player upstage of the thing face the conductor, in steps of 15 degrees.
fn facing(venue: &Venue, at: Point) -> f64 {
    let Some(conductor) = venue.conductor else { return 0.0 };
    // At 0 the player looks along growing y; turning is clockwise as seen.
    let angle = -(conductor.x - at.x).atan2((conductor.y - at.y).max(0.5)).to_degrees();
    ((angle / super::TURN_STEP_DEG).round() * super::TURN_STEP_DEG).clamp(-45.0, 45.0).rem_euclid(360.0)
}

/// Whether it stands on one level of the floor, clear of everything, with its own standing room free and leaving others
/// theirs.
fn fits(stood: &Stood, plan: &Plan, venue: &Venue, way_m: f64) -> bool {
    if super::outside(&stood.figure, &venue.floor).is_some() || stood.footing.step_m().is_some() {
        return false;
    }
    let inside = |p: &Point| super::plane::inside(*p, &venue.floor);
    if !stood.standing.room.iter().all(inside) {
        return false;
    }
    if venue.keep_out.iter().any(|area| super::intrusion(&stood.figure, &area.outline).is_some()) {
        return false;
    }
    let own = stood.standing.figure();
    plan.things.iter().all(|other| {
        if stood.placement.at.distance(other.placement.at) > reach(stood) + reach(other) + way_m {
            return true;
        }
        let clear = overlap(&stood.figure, &other.figure).is_none()
            && overlap(&own, &other.figure).is_none()
            && overlap(&stood.figure, &other.standing.figure()).is_none();
        // Near enough to stand together, or far enough to pass.
        clear
            && gap(&stood.figure, &other.figure)
                .is_none_or(|gap| gap.metres < super::BODY_M || gap.metres >= way_m)
    })
}

fn reach(thing: &Stood) -> f64 {
    let (width, depth) = thing.shape.extent();
    (width.hypot(depth)) / 2.0 + STANDING_DEPTH_M
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::{Edit, apply};
    use crate::sample::{at, library};

    #[test]
    fn a_proposal_breaks_no_rule_and_moves_nothing() {
        let id = |name: &str| InstrumentId::new(name).unwrap();
        let programme = crate::id::ProgrammeId::new("p").unwrap();
        let edits = vec![
            Edit::UseInstruments {
                programme: programme.clone(),
                line: at("w", "xyl"),
                instruments: vec![id("xylophone-1")],
            },
            Edit::UseInstruments {
                programme: programme.clone(),
                line: at("w", "sn"),
                instruments: vec![id("snare")],
            },
            Edit::Give {
                programme: programme.clone(),
                line: at("w", "xyl"),
                player: Some(PlayerId::new("a").unwrap()),
            },
        ];
        let library = apply(&library(), &Edit::Together { words: "x".into(), edits }).unwrap();
        let venue = library.venues.values().next().unwrap();
        let own = library.programme(&programme).unwrap();
        let used: BTreeSet<&InstrumentId> = own.lines().flat_map(|(_, given)| &given.instruments).collect();
        let found = propose_these(&library, own, venue, &used);
        assert_eq!(found.len(), 2, "{found:?}");
        let mut set = own.clone();
        set.setup.base = found.clone();
        let checks = Plan::of(&library, &set).checks(Some(venue), library.orchestra.habits.way_m);
        assert!(checks.overlaps.is_empty() && checks.troubles.is_empty() && checks.blocked.is_empty());
        assert!(checks.narrow.is_empty(), "{:?}", checks.narrow);
        assert!(propose_these(&library, &set, venue, &used).is_empty(), "what stands stays");
        let numbers: BTreeSet<u32> = found.values().map(|placement| placement.number).collect();
        assert_eq!(numbers.len(), 2, "each with a number of its own");
    }
}
