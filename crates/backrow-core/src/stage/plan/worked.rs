//! What is wrong on a floor, centimetre by centimetre. Boxes of 1.0 by 0.5 m; a player's room is 0.7 m deep, and the player stands in
//! its middle.

use super::*;
use crate::sample;
use rstest::rstest;

fn stood(id: &str, x: f64, y: f64, turn_deg: f64) -> Stood {
    let thing = sample::instrument(id, "xylophone", &[]);
    let placement = Placement { at: Point::new(x, y), turn_deg, number: 1, locked: false };
    Stood::new(&thing.id.clone(), &thing, &placement, None)
}

fn small(id: &str, x: f64, y: f64) -> Stood {
    let mut thing = sample::instrument(id, "xylophone", &[]);
    thing.footprint.shape = Shape::Box { width_m: 0.1, depth_m: 0.1 };
    let placement = Placement { at: Point::new(x, y), turn_deg: 0.0, number: 1, locked: false };
    Stood::new(&thing.id.clone(), &thing, &placement, None)
}

fn plan(things: Vec<Stood>) -> Plan {
    Plan { things }
}

fn hall() -> Venue {
    let floor = [(-5.0, 0.0), (5.0, 0.0), (5.0, 8.0), (-5.0, 8.0)].map(|(x, y)| Point::new(x, y));
    Venue { floor: floor.to_vec(), ..sample::venue("hall") }
}

/// The room of a box at (0, 4) goes from y = 3.75 back to 3.05.
#[rstest]
#[case(0.0, &[3.25], 0.5)]
#[case(0.0, &[3.1, 3.25, 3.2], 0.5)]
#[case(0.0, &[3.9], 0.0)]
#[case(0.0, &[2.0], 0.7)]
#[case(0.0, &[], 0.7)]
fn what_is_left_of_a_room(#[case] turn: f64, #[case] y: &[f64], #[case] left: f64) {
    let taken: Vec<Point> = y.iter().map(|y| Point::new(0.2, *y)).collect();
    let own = stood("a", 0.0, 4.0, turn).standing;
    assert!((depth_left(&own, &taken) - left).abs() < 1e-9, "{}", depth_left(&own, &taken));
}

/// Turned by a quarter the player stands to the right: from x = 0.25 to 0.95.
#[test]
fn a_room_turns_with_its_thing() {
    let own = stood("a", 0.0, 4.0, 90.0).standing;
    assert!((depth_left(&own, &[Point::new(0.65, 4.3)]) - 0.4).abs() < 1e-9);
}

/// One behind the other: how far the second reaches into the room of the first, from y = 3.05 on.
#[rstest]
#[case(3.145, None)] // 0.095 m: it brushes it
#[case(3.16, Some((0.59, false)))]
#[case(3.39, Some((0.36, false)))]
#[case(3.41, Some((0.34, true)))] // the player stands at 3.40
#[case(3.75, Some((0.0, true)))]
fn a_thing_in_a_players_room(#[case] front: f64, #[case] expected: Option<(f64, bool)>) {
    let two = plan(vec![stood("a", 0.0, 4.0, 0.0), stood("b", 0.0, front - 0.25, 0.0)]);
    let blocked = two.checks(None, 0.6).blocked;
    let own: Vec<&Blocked> = blocked.iter().filter(|one| one.thing == 0).collect();
    assert_eq!(own.len(), usize::from(expected.is_some()), "{blocked:?}");
    if let (Some(one), Some((left, middle))) = (own.first(), expected) {
        assert_eq!((one.by, one.side, one.middle), (Some(1), Side::Playing, middle));
        assert!((one.left_m - left).abs() < 1e-9, "{}", one.left_m);
    }
}

/// The back edge of the floor at y = 0: a thing in the middle of y has its player's room from y - 0.25 to y - 0.95.
#[rstest]
#[case(0.86, None)]
#[case(0.84, Some((0.59, false)))]
#[case(0.61, Some((0.36, false)))]
#[case(0.59, Some((0.34, true)))]
fn the_edge_of_the_floor_takes_room_too(#[case] y: f64, #[case] expected: Option<(f64, bool)>) {
    let blocked = plan(vec![stood("a", 0.0, y, 0.0)]).checks(Some(&hall()), 0.6).blocked;
    assert_eq!(blocked.len(), usize::from(expected.is_some()), "{blocked:?}");
    if let (Some(one), Some((left, middle))) = (blocked.first(), expected) {
        assert_eq!((one.by, one.middle), (None, middle));
        assert!((one.left_m - left).abs() < 1e-6, "{}", one.left_m);
    }
}

/// Side by side with so much between them; a way of 0.6 m is asked for, to half a millimetre, and nearer than 0.3 m they stand
/// together.
#[rstest]
#[case(0.29, 0)]
#[case(0.31, 1)]
#[case(0.59, 1)]
#[case(0.5997, 0)]
#[case(0.61, 0)]
fn narrow_ways(#[case] gap: f64, #[case] narrow: usize) {
    let two = plan(vec![stood("a", 0.0, 4.0, 0.0), stood("b", 1.0 + gap, 4.0, 0.0)]);
    let checks = two.checks(None, 0.6);
    assert_eq!((checks.narrow.len(), checks.overlaps.len()), (narrow, 0));
    if let Some(one) = checks.narrow.first() {
        assert!((one.a, one.b) == (0, 1) && (one.gap.metres - gap).abs() < 1e-9);
    }
    let mut lying = two.clone();
    lying.things[1].on = Some(0);
    assert!(lying.checks(None, 0.6).narrow.is_empty(), "what lies on something has no way beside it");
}

/// Between 0.5 and 1.5 m: looked at are the quarters, at 0.75, 1.0 and 1.25 m.
#[rstest]
#[case(0.6, false)]
#[case(0.75, true)]
#[case(1.0, true)]
#[case(1.25, true)]
#[case(1.4, false)]
fn a_thing_in_the_gap(#[case] x: f64, #[case] crossed: bool) {
    let three = plan(vec![stood("a", 0.0, 4.0, 0.0), stood("b", 2.0, 4.0, 0.0), small("c", x, 4.1)]);
    let gap = Gap { metres: 1.0, from: Point::new(0.5, 4.1), to: Point::new(1.5, 4.1) };
    assert_eq!(three.is_crossed(&gap, 0, 1), crossed);
    assert!(
        !three.is_crossed(&gap, 0, 2) && !three.is_crossed(&gap, 2, 1),
        "the two themselves are not between"
    );
    let upright = Gap { metres: 1.0, from: Point::new(1.0, 3.0), to: Point::new(1.0, 5.2) };
    let below = plan(vec![stood("a", 9.0, 4.0, 0.0), stood("b", 8.0, 4.0, 0.0), small("c", 1.0, 3.55)]);
    assert!(below.is_crossed(&upright, 0, 1), "a quarter of the way down");
}

/// What stands across is played from there, and its room is looked at as well.
#[test]
fn who_stands_where_at_a_thing_for_two() {
    let (a, b) = (PlayerId::new("a").unwrap(), PlayerId::new("b").unwrap());
    let mut thing = stood("a", 0.0, 4.0, 0.0);
    assert_eq!(thing.standing_at(Side::Far), thing.standing, "nobody stands across");
    let far = standing(thing.shape, &thing.placement, Side::Far);
    thing.across = Some(far);
    thing.played_by = [a.clone(), b.clone()].into();
    thing.near = [a.clone()].into();
    assert_eq!((thing.standing_of(&a), thing.standing_of(&b)), (thing.standing, far));
    assert_eq!(thing.standing_of(&PlayerId::new("c").unwrap()), thing.standing);
    assert_eq!((thing.standing_at(Side::Playing), thing.standing_at(Side::Far)), (thing.standing, far));
    // The room across goes from y = 4.25 to 4.95: a thing that begins at 4.65 leaves 0.40 m of it.
    let blocked = plan(vec![thing, stood("b", 0.0, 4.9, 180.0)]).checks(None, 0.6).blocked;
    let across: Vec<&Blocked> = blocked.iter().filter(|one| one.thing == 0).collect();
    assert_eq!((across.len(), across[0].side, across[0].middle), (1, Side::Far, false));
    assert!((across[0].left_m - 0.4).abs() < 1e-9, "{}", across[0].left_m);
}

/// What lies on a thing, or stands as one with it, takes no room of its player; what stands far off does not either.
#[test]
fn what_is_of_ones_own_place_takes_no_room() {
    let two = || plan(vec![stood("a", 0.0, 4.0, 0.0), stood("b", 0.0, 3.3, 0.0), stood("c", 4.0, 4.0, 0.0)]);
    let blocked = |plan: &Plan| plan.checks(None, 0.6).blocked.iter().filter(|one| one.thing == 0).count();
    assert_eq!(blocked(&two()), 1);
    let mut lying = two();
    lying.things[1].on = Some(0);
    assert_eq!(blocked(&lying), 0);
    let mut station = two();
    for thing in station.things.iter_mut().take(2) {
        thing.station = Some(InstrumentId::new("a").unwrap());
    }
    assert_eq!(blocked(&station), 0);
}

/// A wide thing's room is as deep as any: 0.5 m are left at y = 3.25 behind an edge at y = 3.75.
#[test]
fn width_does_not_count_in_depth() {
    let mut thing = sample::instrument("a", "xylophone", &[]);
    thing.footprint.shape = Shape::Box { width_m: 2.0, depth_m: 0.5 };
    let placement = Placement { at: Point::new(0.0, 4.0), turn_deg: 0.0, number: 1, locked: false };
    let wide = Stood::new(&thing.id.clone(), &thing, &placement, None);
    assert!((depth_left(&wide.standing, &[Point::new(0.8, 3.25)]) - 0.5).abs() < 1e-9);
}
