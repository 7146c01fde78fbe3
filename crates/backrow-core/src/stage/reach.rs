//! Whether several things can be played from one place.

use super::plan::{Plan, Stood};
use crate::collection::Point;
use crate::id::InstrumentId;

impl Plan {
    /// How far, from the best place to stand, the furthest of these things is, metres from the middle of the body to the
    /// nearest edge. Tried are each thing's own standing place and the middle of them all, and of each two. What lies on
    /// something else is reached where that is. `None` unless two or more of them are on the floor, on different stands.
    pub fn reach_m<'a>(&self, instruments: impl IntoIterator<Item = &'a InstrumentId>) -> Option<f64> {
        let mut at: Vec<usize> = instruments
            .into_iter()
            .filter_map(|id| self.things.iter().position(|thing| thing.instrument == *id))
            .map(|at| self.things.get(at).and_then(|thing| thing.on).unwrap_or(at))
            .collect();
        at.sort_unstable();
        at.dedup();
        let things: Vec<&Stood> = at.iter().filter_map(|at| self.things.get(*at)).collect();
        if things.len() < 2 {
            return None;
        }
        let own: Vec<Point> = things.iter().map(|thing| thing.standing.place).collect();
        let mut places = own.clone();
        places.push(middle(&own));
        for (nth, one) in own.iter().enumerate() {
            places.extend(own.iter().skip(nth + 1).map(|other| middle(&[*one, *other])));
        }
        let furthest =
            |place: &Point| things.iter().map(|thing| thing.figure.distance_to(*place)).fold(0.0, f64::max);
        places.iter().map(furthest).min_by(f64::total_cmp)
    }
}

fn middle(points: &[Point]) -> Point {
    let count = points.len().max(1) as f64;
    let sum = points.iter().fold(Point::default(), |sum, p| Point::new(sum.x + p.x, sum.y + p.y));
    Point::new(sum.x / count, sum.y / count)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;
    use crate::week::Placement;

    fn stood(id: &str, x: f64) -> Stood {
        // Boxes of 1.0 by 0.5 m; the player stands 0.35 m behind the back edge.
        let thing = sample::instrument(id, "xylophone", &[]);
        let placement = Placement { at: Point::new(x, 3.0), turn_deg: 0.0, number: 1, locked: false };
        Stood::new(&thing.id.clone(), &thing, &placement, None)
    }

    #[test]
    fn from_the_middle_between_two() {
        let id = |id: &str| InstrumentId::new(id).unwrap();
        let plan = Plan { things: vec![stood("a", 0.0), stood("b", 2.0), stood("c", 5.0)] };
        // Half-way between: 0.5 m across to each edge and 0.35 m forward.
        let near = plan.reach_m([&id("a"), &id("b")]).unwrap();
        assert!((near - 0.5_f64.hypot(0.35)).abs() < 1e-9, "{near}");
        // 3.0 m apart: 1.0 m across.
        let far = plan.reach_m([&id("b"), &id("c")]).unwrap();
        assert!((far - 1.0_f64.hypot(0.35)).abs() < 1e-9, "{far}");
        assert_eq!(plan.reach_m([&id("a")]), None);
        assert_eq!(plan.reach_m([&id("a"), &id("away")]), None);
        let mut on_it = plan;
        on_it.things[1].on = Some(0);
        assert_eq!(on_it.reach_m([&id("a"), &id("b")]), None, "one stand");
    }
}
