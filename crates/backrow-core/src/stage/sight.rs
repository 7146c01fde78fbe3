//! Whether a player sees the conductor: which way they face, and what stands tall between them.

use super::plan::{Plan, Stood};
use super::plane::{cross, dot, inside, minus, plus, sides};
use crate::collection::{Point, Venue};
use crate::id::InstrumentId;

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
    /// The same if the thing were turned by half a turn, so that its player stood on its other side, degrees, 0 to 180.
    pub turned_deg: f64,
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

    /// From the conductor, who looks away from the audience, to the middle of those instruments that stand here: degrees to the right,
    /// -180 to 180.
    pub(crate) fn bearing_deg(&self, venue: &Venue, instruments: &[InstrumentId]) -> Option<f64> {
        let conductor = venue.conductor?;
        let there: Vec<Point> =
            instruments.iter().filter_map(|id| self.thing(id)).map(|stood| stood.placement.at).collect();
        let count = there.len() as f64;
        let sum = there.iter().fold(Point::new(0.0, 0.0), |sum, at| plus(sum, *at));
        let from = minus(Point::new(sum.x / count, sum.y / count), conductor);
        // Taken off nothing, so that one beside the conductor has a plain nought and not a negative one.
        (count > 0.0).then(|| from.x.atan2(0.0 - from.y).to_degrees())
    }

    /// Who stands with the back to the conductor.
    pub(super) fn away(&self, venue: &Venue) -> Vec<Away> {
        let Some(conductor) = venue.conductor else { return Vec::new() };
        let turned = |(thing, stood): (usize, &Stood)| {
            let (middle, place) = (stood.placement.at, stood.standing.place);
            let degrees = turn(place, middle, conductor);
            let other_side = minus(plus(middle, middle), place);
            let turned_deg = turn(other_side, middle, conductor);
            (degrees > FACING_DEG).then_some(Away { thing, degrees, turned_deg })
        };
        self.played().filter_map(turned).collect()
    }

    fn played(&self) -> impl Iterator<Item = (usize, &Stood)> {
        self.things.iter().enumerate().filter(|(_, stood)| stood.on.is_none() && !stood.played_by.is_empty())
    }
}

/// By how much somebody who looks ahead has to turn to look there, degrees, 0 to 180.
fn turn(from: Point, ahead: Point, there: Point) -> f64 {
    let (ahead, there) = (minus(ahead, from), minus(there, from));
    cross(ahead, there).atan2(dot(ahead, there)).to_degrees().abs()
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
    use super::super::plane::times;
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

    // The conductor stands at y = 8; three metres in front and three to the right are 45 degrees.
    #[rstest]
    #[case(&["a"], 45.0)]
    #[case(&["b"], -45.0)]
    #[case(&["a", "b"], 0.0)]
    #[case(&["a", "not-here"], 45.0)]
    #[case(&["beside"], 90.0)]
    fn a_bearing_is_told_from_the_conductor(#[case] of: &[&str], #[case] expected: f64) {
        let at = |id, x, y| stood(id, (x, y), 0.0, 1.0, true);
        let plan = Plan { things: vec![at("a", 3.0, 5.0), at("b", -3.0, 5.0), at("beside", 1.0, 8.0)] };
        let of: Vec<InstrumentId> = of.iter().map(|id| InstrumentId::new(id).unwrap()).collect();
        let is = plan.bearing_deg(&hall((0.0, 8.0)), &of).unwrap();
        assert!((is - expected).abs() < 1e-9, "{is}");
        assert_eq!(plan.bearing_deg(&hall((0.0, 8.0)), &[]), None);
        assert_eq!(plan.bearing_deg(&Venue { conductor: None, ..sample::venue("hall") }, &of), None);
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

    /// The line is straight: from 1.55 m at y = 1.4 to 1.75 m at y = 9.4 it is 1.65 m high half-way. A box of 0.5 m depth in the
    /// middle is passed lowest at its edge towards the player, at 1.64375 m.
    #[rstest]
    #[case(1.643, false)]
    #[case(1.645, true)]
    fn just_over_the_edge(#[case] height_m: f64, #[case] hides: bool) {
        let plan = Plan {
            things: vec![
                stood("a", (0.0, 2.0), 0.0, 1.0, true),
                stood("b", (0.0, 5.4), 0.0, height_m, false),
            ],
        };
        assert_eq!(!plan.hidden(&hall((0.0, 9.4))).is_empty(), hides);
    }

    /// On a riser of 0.5 m a thing of 1.2 m rises as high as one of 1.7 m on the floor; a player on it sees over one of 1.7 m.
    #[test]
    fn levels_lift_things_and_eyes() {
        let riser = |y: (f64, f64), height_m: f64| crate::collection::Riser {
            name: String::new(),
            outline: [(-9.0, y.0), (9.0, y.0), (9.0, y.1), (-9.0, y.1)]
                .map(|(x, y)| Point::new(x, y))
                .to_vec(),
            height_m,
            rated_kn_m2: None,
        };
        let plan = |height_m: f64| Plan {
            things: vec![
                stood("a", (0.0, 2.0), 0.0, 1.0, true),
                stood("b", (0.0, 5.4), 0.0, height_m, false),
            ],
        };
        let hidden = |height_m: f64, risers: Vec<crate::collection::Riser>| {
            let venue = Venue { risers, ..hall((0.0, 9.4)) };
            !plan(height_m).hidden(&venue).is_empty()
        };
        assert!(!hidden(1.2, vec![]) && hidden(1.2, vec![riser((4.0, 7.0), 0.5)]));
        assert!(hidden(1.7, vec![]) && !hidden(1.7, vec![riser((0.0, 3.0), 0.5)]));
        let nested = [riser((0.0, 9.0), 0.2), riser((0.0, 3.0), 0.5)];
        let venue = Venue { risers: nested.to_vec(), ..hall((0.0, 9.4)) };
        assert!((level(&venue, Point::new(0.0, 2.0)) - 0.5).abs() < 1e-12, "the higher one counts");
        assert!((level(&venue, Point::new(0.0, 5.0)) - 0.2).abs() < 1e-12);
        assert!(level(&venue, Point::new(0.0, 9.5)).abs() < 1e-12);
    }

    /// The conductor stands straight ahead; turned by so much the player looks past by as much.
    #[rstest]
    #[case(100.0, false)]
    #[case(110.0, true)]
    #[case(250.0, true)]
    fn how_far_the_back_is_turned(#[case] turn_deg: f64, #[case] away: bool) {
        // Seen from far away the place of the player is as good as that of the thing.
        let plan = Plan { things: vec![stood("a", (0.0, 2.0), turn_deg, 1.0, true)] };
        let found = plan.away(&hall((0.0, 10_000.0)));
        assert_eq!(!found.is_empty(), away, "{found:?}");
        if let Some(one) = found.first() {
            assert!((one.degrees - turn_deg.min(360.0 - turn_deg)).abs() < 0.1, "{one:?}");
        }
        assert!(plan.away(&sample::venue("hall")).is_empty(), "without a conductor nobody is looked for");
        assert!(plan.hidden(&sample::venue("hall")).is_empty());
    }

    #[test]
    fn what_lies_on_a_thing_hides_nobody_from_it_and_is_not_looked_from() {
        let mut plan = Plan {
            things: vec![stood("a", (0.0, 2.0), 0.0, 1.0, true), stood("b", (0.0, 2.0), 0.0, 2.0, true)],
        };
        assert_eq!(plan.hidden(&hall((0.0, 8.0))).len(), 2);
        plan.things[1].on = Some(0);
        assert_eq!(plan.hidden(&hall((0.0, 8.0))), []);
    }

    #[test]
    fn a_crossing_is_where_both_go() {
        let cross = |from: (f64, f64), to: (f64, f64), a: (f64, f64), b: (f64, f64)| {
            let p = |(x, y): (f64, f64)| Point::new(x, y);
            crossing((p(from), minus(p(to), p(from))), (p(a), p(b)))
        };
        let quarter = cross((1.0, 0.0), (1.0, 8.0), (0.0, 1.0), (4.0, 5.0)).unwrap();
        assert!((quarter - 0.25).abs() < 1e-12, "at (1, 2)");
        assert_eq!(cross((1.0, 0.0), (1.0, 8.0), (2.0, 1.0), (4.0, 5.0)), None, "beside it");
        assert_eq!(cross((1.0, 0.0), (1.0, 8.0), (0.0, 9.0), (4.0, 9.0)), None, "beyond its end");
        assert_eq!(cross((1.0, 0.0), (1.0, 8.0), (0.0, -1.0), (4.0, -1.0)), None, "before its start");
        assert_eq!(cross((1.0, 0.0), (1.0, 8.0), (2.0, 0.0), (2.0, 8.0)), None, "side by side");
    }
}
