//! Whether a player sees the conductor: which way they face, and what stands tall between them.

use super::plan::{Plan, Stood};
use super::plane::{cross, dot, inside, minus, sides};
use crate::collection::{Point, Venue};

/// Eyes above the floor that one stands on, metres: about the mean of standing adults; ours, no published source.
pub const EYES_M: f64 = 1.55;
/// The conductor's eyes above the floor, on a podium of some 0.2 m; ours, no published source.
pub const CONDUCTOR_EYES_M: f64 = 1.75;
/// Facing the conductor within this angle either side counts as facing them, degrees; ours: beyond it a player turns the
/// back.
pub const FACING_DEG: f64 = 100.0;

/// A player's place from which the conductor is not seen over or past another thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hidden {
    /// The thing that is played there, as its place in the plan.
    pub thing: usize,
    /// The thing in between.
    pub by: usize,
}

/// A thing at which its player stands with the back to the conductor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Away {
    /// The thing, as its place in the plan.
    pub thing: usize,
    /// From straight ahead to the conductor, degrees, 0 to 180.
    pub degrees: f64,
}

impl Plan {
    /// Who does not see the conductor, of the things that somebody plays.
    pub(super) fn hidden(&self, venue: &Venue) -> Vec<Hidden> {
        let Some(conductor) = venue.conductor else { return Vec::new() };
        let mut found = Vec::new();
        for (thing, stood) in self.played() {
            let eyes = (stood.standing.place, level(venue, stood.standing.place) + EYES_M);
            // What the player stands at may hide the conductor too: a rack of bells is taller than most players.
            let others = self.things.iter().enumerate().filter(|(_, other)| other.on != Some(thing));
            let hides = |(_, other): &(usize, &Stood)| hides(venue, eyes, conductor, other);
            found.extend(others.into_iter().find(hides).map(|(by, _)| Hidden { thing, by }));
        }
        found
    }

    /// Who stands with the back to the conductor.
    pub(super) fn away(&self, venue: &Venue) -> Vec<Away> {
        let Some(conductor) = venue.conductor else { return Vec::new() };
        let turned = |(thing, stood): (usize, &Stood)| {
            let ahead = minus(stood.placement.at, stood.standing.place);
            let there = minus(conductor, stood.standing.place);
            let degrees = cross(ahead, there).atan2(dot(ahead, there)).to_degrees().abs();
            (degrees > FACING_DEG).then_some(Away { thing, degrees })
        };
        self.played().filter_map(turned).collect()
    }

    fn played(&self) -> impl Iterator<Item = (usize, &Stood)> {
        self.things.iter().enumerate().filter(|(_, stood)| stood.on.is_none() && !stood.played_by.is_empty())
    }
}

/// How high the floor is at a point: the highest riser there.
fn level(venue: &Venue, at: Point) -> f64 {
    let under = venue.risers.iter().filter(|riser| inside(at, &riser.outline));
    under.map(|riser| riser.height_m).fold(0.0, f64::max)
}

/// Whether a thing rises over the line from the eyes to the conductor's.
fn hides(venue: &Venue, (from, eyes_m): (Point, f64), conductor: Point, other: &Stood) -> bool {
    let top_m = level(venue, other.placement.at) + other.height_m;
    let end_m = level(venue, conductor) + CONDUCTOR_EYES_M;
    if top_m <= eyes_m.min(end_m) {
        return false;
    }
    let along = minus(conductor, from);
    let crossings = sides(&other.figure.outline).filter_map(|(a, b)| crossing((from, along), (a, b)));
    // The line is straight, so it is lowest over the thing at one of its edges.
    crossings.into_iter().any(|share| eyes_m + (end_m - eyes_m) * share < top_m - 1e-9)
}

/// Where along the line (0 at its start, 1 at its end) it crosses a side.
fn crossing((from, along): (Point, Point), (a, b): (Point, Point)) -> Option<f64> {
    let side = minus(b, a);
    let turn = cross(along, side);
    if turn.abs() < 1e-12 {
        return None;
    }
    let share = cross(minus(a, from), side) / turn;
    let on_side = cross(minus(a, from), along) / turn;
    ((0.0..=1.0).contains(&share) && (0.0..=1.0).contains(&on_side)).then_some(share)
}

#[cfg(test)]
mod tests {
    use super::super::plane::{plus, times};
    use super::*;
    use crate::id::PlayerId;
    use crate::sample;
    use crate::week::Placement;
    use rstest::rstest;

    fn stood(id: &str, at: (f64, f64), turn_deg: f64, height_m: f64, played: bool) -> Stood {
        let mut thing = sample::instrument(id, "xylophone", &[]);
        thing.footprint.height_m = height_m;
        let placement = Placement { at: Point::new(at.0, at.1), turn_deg, number: 1, locked: false };
        let mut stood = Stood::new(&thing.id.clone(), &thing, &placement, None);
        if played {
            stood.played_by.insert(PlayerId::new("a").unwrap());
        }
        stood
    }

    fn hall(conductor: (f64, f64)) -> Venue {
        Venue { conductor: Some(Point::new(conductor.0, conductor.1)), ..sample::venue("hall") }
    }

    // The player stands behind a thing at y = 2 and looks to the conductor at y = 8; the wall stands at y = 5, where the line
    // of sight is some 1.65 m high.
    #[rstest]
    #[case(1.9, 0.0, true)]
    #[case(1.5, 0.0, false)]
    #[case(1.9, 3.0, false)]
    fn what_is_tall_and_between_hides(#[case] height_m: f64, #[case] x: f64, #[case] hides: bool) {
        let plan = Plan {
            things: vec![stood("a", (0.0, 2.0), 0.0, 1.0, true), stood("b", (x, 5.0), 0.0, height_m, false)],
        };
        let hidden = plan.hidden(&hall((0.0, 8.0)));
        assert_eq!(!hidden.is_empty(), hides, "{hidden:?}");
    }

    #[rstest]
    #[case(1.95, true)]
    #[case(1.1, false)]
    fn a_thing_can_hide_its_own_player(#[case] height_m: f64, #[case] hides: bool) {
        let plan = Plan { things: vec![stood("a", (0.0, 2.0), 0.0, height_m, true)] };
        assert_eq!(
            plan.hidden(&hall((0.0, 8.0))),
            if hides { vec![Hidden { thing: 0, by: 0 }] } else { vec![] }
        );
    }

    #[rstest]
    #[case(0.0, false)]
    #[case(90.0, false)]
    #[case(150.0, true)]
    #[case(180.0, true)]
    #[case(270.0, false)]
    fn a_back_turned_is_told(#[case] turn_deg: f64, #[case] away: bool) {
        let plan = Plan { things: vec![stood("a", (0.0, 2.0), turn_deg, 1.0, true)] };
        let found = plan.away(&hall((0.0, 12.0)));
        assert_eq!(!found.is_empty(), away, "{found:?}");
    }

    #[test]
    fn nobody_is_told_of_what_nobody_plays() {
        let plan = Plan { things: vec![stood("a", (0.0, 2.0), 180.0, 1.0, false)] };
        assert!(plan.away(&hall((0.0, 12.0))).is_empty());
    }

    #[test]
    fn a_crossing_lies_on_both() {
        let (from, to) = (Point::new(0.0, 0.0), Point::new(0.0, 4.0));
        let share = crossing((from, minus(to, from)), (Point::new(-1.0, 1.0), Point::new(1.0, 1.0))).unwrap();
        assert_eq!(plus(from, times(minus(to, from), share)), Point::new(0.0, 1.0));
        assert_eq!(crossing((from, minus(to, from)), (Point::new(1.0, 1.0), Point::new(2.0, 1.0))), None);
    }
}
