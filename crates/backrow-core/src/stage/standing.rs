//! Where the player stands: a band along the playing side.

use super::figure::{Figure, drawable, own_corners, to_floor};
use super::plane::{minus, plus, times, unit};
use crate::collection::{Point, Shape};
use crate::week::Placement;

/// Depth of the standing room, metres. Common practice: 0.6 to 0.8 m.
pub const STANDING_DEPTH_M: f64 = 0.70;
/// The least width of the standing room, metres: a person's, whatever the instrument's. Common practice.
pub const LEAST_WIDTH_M: f64 = 0.60;

/// On which side of an instrument a player stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Side {
    /// Where the naturals are: upstage, unless turned.
    #[default]
    Playing,
    /// Across, where a second player may stand.
    Far,
}

/// A player's room at an instrument.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Where the player stands: the middle of the room.
    pub place: Point,
    /// The room, clockwise as seen on the plan; the first two corners are away from the instrument.
    pub room: [Point; 4],
}

impl Standing {
    /// The room as a figure, to compare with others.
    pub(super) fn figure(&self) -> Figure {
        Figure { middle: self.place, outline: self.room.to_vec(), radius_m: None }
    }
}

/// The standing room along one side of a shape where it stands: as wide as that side (at least [`LEAST_WIDTH_M`]) and
/// [`STANDING_DEPTH_M`] deep. A round thing's touches it at one point.
pub fn standing(shape: Shape, placement: &Placement, side: Side) -> Standing {
    let (left, right) = own_side(shape, side);
    let along = unit(minus(right, left)).unwrap_or(Point::new(1.0, 0.0));
    // The outward normal of a side that runs clockwise (y down).
    let out = Point::new(along.y, -along.x);
    let middle = times(plus(left, right), 0.5);
    let half = times(along, left.distance(right).max(LEAST_WIDTH_M) / 2.0);
    let (near_left, near_right) = (minus(middle, half), plus(middle, half));
    let back = times(out, STANDING_DEPTH_M);
    let floor = |p: Point| to_floor(placement, p);
    Standing {
        place: floor(plus(middle, times(back, 0.5))),
        room: [
            floor(plus(near_left, back)),
            floor(plus(near_right, back)),
            floor(near_right),
            floor(near_left),
        ],
    }
}

/// The ends of a side in the thing's own metres, so that the outside is on the left hand going from first to second.
fn own_side(shape: Shape, side: Side) -> (Point, Point) {
    let (left, right) = match (own_corners(shape), shape) {
        (Some([a, b, c, d]), _) => match side {
            Side::Playing => return (a, b),
            Side::Far => return (c, d),
        },
        (None, Shape::Round { diameter_m }) => {
            let radius = drawable(diameter_m) / 2.0;
            (Point::new(-radius, -radius), Point::new(radius, -radius))
        }
        (None, _) => (Point::default(), Point::default()),
    };
    match side {
        Side::Playing => (left, right),
        Side::Far => (Point::new(-left.x, -left.y), Point::new(-right.x, -right.y)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn stood(turn_deg: f64) -> Placement {
        Placement { at: Point::new(0.0, 4.0), turn_deg, number: 1, locked: false }
    }

    #[test]
    fn the_player_stands_upstage_of_a_box() {
        let room = standing(Shape::Box { width_m: 1.4, depth_m: 0.8 }, &stood(0.0), Side::Playing);
        // 4.0 - 0.4 - 0.35
        assert_relative_eq!(room.place.y, 3.25, epsilon = 1e-12);
        assert_relative_eq!(room.place.x, 0.0, epsilon = 1e-12);
        assert_relative_eq!(room.room[0].y, 2.9, epsilon = 1e-12);
        assert_relative_eq!(room.room[0].x, -0.7, epsilon = 1e-12);
        assert_relative_eq!(room.room[2].y, 3.6, epsilon = 1e-12);
    }

    #[test]
    fn turned_half_round_the_player_stands_downstage() {
        let room = standing(Shape::Box { width_m: 1.4, depth_m: 0.8 }, &stood(180.0), Side::Playing);
        assert_relative_eq!(room.place.y, 4.75, epsilon = 1e-12);
        let far = standing(Shape::Box { width_m: 1.4, depth_m: 0.8 }, &stood(0.0), Side::Far);
        assert_relative_eq!(far.place.y, 4.75, epsilon = 1e-12);
    }

    #[test]
    fn small_and_round_things_leave_room_for_a_person() {
        let room = standing(Shape::Round { diameter_m: 0.4 }, &stood(0.0), Side::Playing);
        assert_relative_eq!(room.room[0].distance(room.room[1]), LEAST_WIDTH_M, epsilon = 1e-12);
        // 4.0 - 0.2 - 0.35
        assert_relative_eq!(room.place.y, 3.45, epsilon = 1e-12);
    }

    #[test]
    fn a_keyboards_room_follows_its_slanted_side() {
        let shape = Shape::Keyboard { width_m: 2.0, low_m: 1.0, high_m: 0.6 };
        let room = standing(shape, &stood(0.0), Side::Playing);
        // The side runs from (-1, 3.7) to (1, 3.5); the room's inner corners are these.
        assert_relative_eq!(room.room[3].y, 3.7, epsilon = 1e-12);
        assert_relative_eq!(room.room[2].y, 3.5, epsilon = 1e-12);
        assert!(room.place.y < 3.3 && room.place.x < 0.0);
    }

    #[test]
    fn across_a_round_thing() {
        // 4.0 + 0.2 + 0.35
        let far = standing(Shape::Round { diameter_m: 0.4 }, &stood(0.0), Side::Far);
        assert_relative_eq!(far.place.y, 4.55, epsilon = 1e-12);
        assert_relative_eq!(far.place.x, 0.0, epsilon = 1e-12);
        assert_relative_eq!(far.room[0].y, 4.9, epsilon = 1e-12);
        assert_relative_eq!(far.room[2].y, 4.2, epsilon = 1e-12);
    }
}
