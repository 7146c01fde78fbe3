//! Places, homes and rules of a proposal, worked out by hand.

use super::*;
use crate::collection::{Area, AreaUse, Riser, Shape};
use crate::edit::{Edit, apply};
use crate::sample;
use crate::week::Assignment;
use rstest::rstest;

fn square(x: (f64, f64), y: (f64, f64)) -> Vec<Point> {
    [(x.0, y.0), (x.1, y.0), (x.1, y.1), (x.0, y.1)].map(|(x, y)| Point::new(x, y)).to_vec()
}

fn hall(floor: Vec<Point>) -> Venue {
    Venue { floor, ..sample::venue("hall") }
}

/// In a square of 1 m the places 0.25, 0.5 and 0.75 m from the corner lie within; those on the border do not.
#[test]
fn the_grid_lies_within_the_floor() {
    let places = grid(&hall(square((2.0, 3.0), (0.0, 1.0))), false);
    let found: Vec<(f64, f64)> = places.iter().map(|p| (p.x, p.y)).collect();
    let mut expected = Vec::new();
    for y in [0.25, 0.5, 0.75] {
        expected.extend([2.25, 2.5, 2.75].map(|x| (x, y)));
    }
    assert_eq!(found, expected);
    // Of a triangle only what is inside: (0.25, 0.25), (0.5, 0.25) and (0.25, 0.5) of the half square; the rest is beyond.
    let half = vec![Point::new(0.0, 0.0), Point::new(1.0, 0.0), Point::new(0.0, 1.0)];
    let found: Vec<(f64, f64)> = grid(&hall(half), false).iter().map(|p| (p.x, p.y)).collect();
    assert_eq!(found, [(0.25, 0.25), (0.5, 0.25), (0.25, 0.5)]);
}

#[rstest]
#[case(199.0, 1.0, true)]
#[case(200.0, 1.0, false)]
#[case(1.0, 199.0, true)]
#[case(1.0, 200.0, false)]
fn a_floor_beyond_all_measure_has_no_places(#[case] wide: f64, #[case] deep: f64, #[case] some: bool) {
    assert_eq!(!grid(&hall(square((0.0, wide), (0.0, deep))), false).is_empty(), some);
    assert!(grid(&hall(Vec::new()), false).is_empty());
}

/// The conductor at (0, 8), in steps of 15 degrees: from (3, 2) it is 26.6 degrees to the left, which is 30 clockwise.
#[rstest]
#[case((0.0, 2.0), 0.0)]
#[case((3.0, 2.0), 30.0)]
#[case((-3.0, 2.0), 330.0)]
#[case((12.0, 2.0), 45.0)]
#[case((-12.0, 2.0), 315.0)]
#[case((0.1, 7.9), 15.0)] // half a metre ahead at the least: 11.3 degrees
#[case((0.7, 2.0), 0.0)] // 6.7 degrees
fn a_player_faces_the_conductor(#[case] at: (f64, f64), #[case] turn: f64) {
    let mut hall = hall(square((-14.0, 14.0), (0.0, 9.0)));
    assert!(facing(&hall, Point::new(at.0, at.1)).abs() < 1e-12, "nobody to face");
    hall.conductor = Some(Point::new(0.0, 8.0));
    let found = facing(&hall, Point::new(at.0, at.1));
    assert!((found - turn).abs() < 1e-9, "{found}");
}

#[test]
fn the_middle_of_a_floor_is_two_metres_from_its_back() {
    let at = middle(&hall(square((1.0, 4.0), (0.0, 9.0))));
    assert!((at.x - 2.5).abs() < 1e-12 && (at.y - 2.0).abs() < 1e-12);
}

fn given(player: &str, things: &[&str]) -> Assignment {
    let instruments = things.iter().map(|id| InstrumentId::new(id).unwrap()).collect();
    Assignment { player: PlayerId::new(player).ok(), instruments, ..Assignment::default() }
}

/// Who has the most lines on an instrument; of two with as many the first.
#[test]
fn instruments_are_theirs_who_use_them_most() {
    let mut programme = sample::programme("p", &["w"]);
    for (line, player, thing) in [
        ("1", "b", "snare"),
        ("2", "a", "snare"),
        ("3", "b", "snare"),
        ("4", "b", "gong"),
        ("5", "a", "gong"),
    ] {
        programme.assign(sample::at("w", line), given(player, &[thing]));
    }
    programme.assign(sample::at("w", "6"), Assignment { player: None, ..given("a", &["whip"]) });
    let owners = owners(&programme);
    let of = |id: &str| owners.get(&InstrumentId::new(id).unwrap()).map(PlayerId::as_str);
    assert_eq!((of("snare"), of("gong"), of("whip")), (Some("b"), Some("a"), None));
}

/// Two players on a floor from -5 to 5 m: a quarter and three quarters across; whose things stand already is at home among them,
/// at the mean of where they are played from: boxes of 0.5 m depth at y = 3 are played from 2.4.
#[test]
fn players_are_at_home_among_their_things() {
    let library = sample::library();
    let mut programme = sample::programme("p", &["w"]);
    programme.assign(sample::at("w", "xyl"), given("a", &["xylophone-1", "snare"]));
    programme.assign(sample::at("w", "sn"), given("b", &["snare"]));
    let floor = hall(square((-5.0, 5.0), (0.0, 8.0)));
    let at = |programme: &Programme, id: &str| {
        let home = homes(&library, programme, &floor)[&PlayerId::new(id).unwrap()];
        ((home.x * 1e6).round() / 1e6, (home.y * 1e6).round() / 1e6)
    };
    assert_eq!((at(&programme, "a"), at(&programme, "b")), ((-2.5, 1.8), (2.5, 1.8)));
    let stand = |programme: &mut Programme, id: &str, x: f64, y: f64| {
        let place = Placement { at: Point::new(x, y), turn_deg: 0.0, number: 1, locked: false };
        programme.setup.stand(InstrumentId::new(id).unwrap(), place);
    };
    stand(&mut programme, "xylophone-1", 1.0, 3.0);
    assert_eq!((at(&programme, "a"), at(&programme, "b")), ((1.0, 2.4), (2.5, 1.8)));
    stand(&mut programme, "snare", 4.0, 5.0);
    assert_eq!((at(&programme, "a"), at(&programme, "b")), ((2.5, 3.4), (4.0, 4.4)));
}

fn stood(id: &str, x: f64, y: f64, turn_deg: f64, venue: Option<&Venue>) -> Stood {
    let thing = sample::instrument(id, "xylophone", &[]);
    let placement = Placement { at: Point::new(x, y), turn_deg, number: 1, locked: false };
    Stood::new(&thing.id.clone(), &thing, &placement, venue)
}

/// Boxes of 1.0 by 0.5 m; a way of 0.6 m is asked for, and nearer than 0.3 m things stand together.
#[rstest]
#[case(1.0, 0.0, true)] // touching
#[case(1.2, 0.0, true)] // 0.2 m
#[case(1.4, 0.0, false)] // 0.4 m: neither together nor a way
#[case(1.6, 0.0, true)] // 0.6 m
#[case(0.8, 0.0, false)] // they overlap
#[case(0.0, -0.8, false)] // it stands where the first one's player does
#[case(0.0, 0.8, false)] // the first one stands where its player does
#[case(0.0, 1.25, true)] // its player has just room
fn what_is_clear_of_each_other(#[case] x: f64, #[case] y: f64, #[case] clear: bool) {
    let one = stood("a", 0.0, 4.0, 0.0, None);
    let other = stood("b", x, 4.0 + y, 0.0, None);
    assert_eq!(is_clear(&one, &one.standing.figure(), &other, 0.6), clear);
}

#[test]
fn a_thing_stands_on_one_level_on_the_floor_and_nowhere_else() {
    let mut venue = hall(square((-5.0, 5.0), (0.0, 8.0)));
    venue.risers = vec![Riser {
        name: String::new(),
        outline: square((-5.0, 5.0), (0.0, 2.0)),
        height_m: 0.4,
        rated_kn_m2: None,
    }];
    let outline = square((2.0, 5.0), (5.0, 8.0));
    venue.keep_out = vec![Area { name: String::new(), kept_for: AreaUse::NotToEnter, outline }];
    let at = |x: f64, y: f64| fits(&stood("a", x, y, 0.0, Some(&venue)), &venue);
    assert!(at(0.0, 1.0) && at(0.0, 4.0), "on the riser, and on the floor");
    assert!(!at(0.0, 2.0), "across the edge");
    assert!(!at(4.8, 4.0), "off the floor");
    assert!(!at(3.0, 6.0) && at(1.5, 6.0), "in the area, and beside it");
    // Half the diagonal of 1.0 by 0.5 m and the depth of a player's room.
    assert!((reach(&stood("a", 0.0, 4.0, 0.0, None)) - (1.0_f64.hypot(0.5) / 2.0 + 0.7)).abs() < 1e-12);
}

/// A sketch is put onto a setup and into another one, whole.
#[test]
fn sketches_are_joined() {
    let id = |id: &str| InstrumentId::new(id).unwrap();
    let place = Placement { at: Point::new(1.0, 2.0), turn_deg: 0.0, number: 3, locked: false };
    let one = Sketch {
        places: [(id("a"), place)].into(),
        stations: [(id("b"), id("a"))].into(),
        lies_on: [(id("c"), id("a"))].into(),
    };
    let mut all = Sketch::default();
    assert!(all.is_empty() && !one.is_empty());
    all.extend(one.clone());
    assert_eq!(all, one);
    let mut setup = Setup::default();
    one.onto(&mut setup);
    assert_eq!((&setup.base, &setup.stations, &setup.lies_on), (&one.places, &one.stations, &one.lies_on));
}

/// Of tables those are brought that stand nowhere, that no other programme of the week has, and that are not asked for themselves.
#[test]
fn tables_that_are_to_be_had() {
    let mut kind = sample::kind("table", crate::collection::Pitched::No, None);
    kind.bears = true;
    let put = |id: &str| Edit::PutInstrument(sample::instrument(id, "table", &[]));
    let place = Placement { at: Point::new(1.0, 2.0), turn_deg: 0.0, number: 3, locked: false };
    let mut other = sample::programme("q", &["w"]);
    other.setup.stand(InstrumentId::new("theirs").unwrap(), place);
    let week = crate::id::WeekId::new("k").unwrap();
    let edits = vec![
        Edit::PutKind(kind),
        put("free"),
        put("theirs"),
        put("standing"),
        put("wanted"),
        Edit::PutProgramme { week, programme: other },
    ];
    let library = apply(&sample::library(), &Edit::Together { words: "x".into(), edits }).unwrap();
    let mut programme = sample::programme("p", &["w"]);
    programme.setup.stand(InstrumentId::new("standing").unwrap(), place);
    let wanted = sample::instrument("wanted", "table", &[]);
    let found = tables(&library, &programme, &[&wanted]);
    assert_eq!(found.iter().map(|thing| thing.id.as_str()).collect::<Vec<_>>(), ["free"]);
}

/// One thing in an empty hall of 10 by 8 m, whose conductor stands at (0, 7): the places up to y = 4.25 are tried, and the nearest to
/// the middle of the back is taken: 2 m from the back, and 0.3 m for each metre nearer to the audience.
#[rstest]
#[case(None, 0.0, (0.0, 2.0))]
#[case(Some((0.0, 7.0)), 0.0, (0.0, 2.0))]
#[case(Some((0.0, 2.0)), 0.0, (0.0, 1.0))] // up to 0.62 of two metres: 1.24
fn the_best_place_for_one_thing(
    #[case] conductor: Option<(f64, f64)>,
    #[case] turn: f64,
    #[case] player_at: (f64, f64),
) {
    let mut venue = hall(square((-5.0, 5.0), (0.0, 8.0)));
    venue.conductor = conductor.map(|(x, y)| Point::new(x, y));
    let library = sample::library();
    let programme = sample::programme("p", &["w"]);
    let snare = InstrumentId::new("snare").unwrap();
    let found = propose_these(&library, &programme, &venue, &BTreeSet::from([&snare]), &Halt::default());
    // The thing's middle is half its depth of 0.5 m and half the room of 0.7 m before its player.
    let place = found.places[&snare];
    assert!((place.turn_deg - turn).abs() < 1e-9, "{place:?}");
    let (x, y) = (place.at.x - player_at.0, place.at.y - player_at.1 - 0.6);
    assert!(x.abs() < 1e-9 && y.abs() < 1e-9, "{place:?}");
    assert_eq!(place.number, 1);
}

/// A floor that begins between the lines of the grid: its places are counted from its own edge.
#[test]
fn the_grid_begins_at_the_edge() {
    let places = grid(&hall(square((0.1, 0.7), (0.1, 0.7))), false);
    let found: Vec<(f64, f64)> =
        places.iter().map(|p| ((p.x * 1e9).round() / 1e9, (p.y * 1e9).round() / 1e9)).collect();
    assert_eq!(found, [(0.35, 0.35), (0.6, 0.35), (0.35, 0.6), (0.6, 0.6)]);
}

/// Two tiny things of one player lie on a table that is brought for them; they stand with nothing.
#[test]
fn tiny_things_are_proposed_on_a_table() {
    let mut kind = sample::kind("table", crate::collection::Pitched::No, None);
    kind.bears = true;
    let tiny = |id: &str| {
        let mut thing = sample::instrument(id, "snare_drum", &[]);
        thing.footprint.shape = Shape::Box { width_m: 0.3, depth_m: 0.2 };
        Edit::PutInstrument(thing)
    };
    let edits = vec![
        Edit::PutKind(kind),
        Edit::PutInstrument(sample::instrument("table", "table", &[])),
        tiny("block"),
        tiny("whip"),
    ];
    let library = apply(&sample::library(), &Edit::Together { words: "x".into(), edits }).unwrap();
    let mut programme = sample::programme("p", &["w"]);
    programme.assign(sample::at("w", "sn"), given("a", &["block", "whip"]));
    let id = |id: &str| InstrumentId::new(id).unwrap();
    let these = [id("block"), id("whip")];
    let found = propose_these(
        &library,
        &programme,
        &hall(square((-5.0, 5.0), (0.0, 8.0))),
        &these.iter().collect(),
        &Halt::default(),
    );
    assert_eq!(found.places.len(), 3);
    assert_eq!(found.lies_on, [(id("block"), id("table")), (id("whip"), id("table"))].into());
    assert!(found.stations.is_empty());
    let numbers: BTreeSet<u32> = found.places.values().map(|place| place.number).collect();
    assert_eq!(numbers, [1, 2, 3].into());
    // One alone stands by itself, and no table is brought.
    let one = propose_these(
        &library,
        &programme,
        &hall(square((-5.0, 5.0), (0.0, 8.0))),
        &these.iter().take(1).collect(),
        &Halt::default(),
    );
    assert_eq!((one.places.len(), one.lies_on.len()), (1, 0));
}

/// The middle of the back is wherever the floor lies.
#[test]
fn the_best_place_on_a_floor_beside_the_middle() {
    let venue = hall(square((2.0, 12.0), (0.0, 8.0)));
    let snare = InstrumentId::new("snare").unwrap();
    let programme = sample::programme("p", &["w"]);
    let found =
        propose_these(&sample::library(), &programme, &venue, &BTreeSet::from([&snare]), &Halt::default());
    let at = found.places[&snare].at;
    assert!((at.x - 7.0).abs() < 1e-9 && (at.y - 2.6).abs() < 1e-9, "{at:?}");
}

/// A player who would face the conductor with the back off the floor looks straight ahead: at (3.9, 0.75) a room of 2.0 by 0.7 m turned
/// by 30 degrees begins at 0.75 - 0.5 - 0.30 m.
#[test]
fn straight_ahead_where_facing_finds_no_room() {
    let mut venue = hall(square((-5.0, 5.0), (0.0, 8.0)));
    venue.conductor = Some(Point::new(0.0, 8.0));
    let library = sample::library();
    let programme = sample::programme("p", &["w"]);
    let mut thing = sample::instrument("wide", "xylophone", &[]);
    thing.footprint.shape = Shape::Box { width_m: 2.0, depth_m: 0.5 };
    let floor = Hall::new(&library, &programme, &venue, false);
    let draft: Draft<'_> = vec![super::super::station::Spot {
        thing: &thing,
        at: Point::new(0.0, 0.6),
        turn_deg: 0.0,
        on: None,
    }];
    let turn = |y: f64| {
        let found = floor.stood(&Plan::default(), &draft, Point::new(3.9, y), None);
        found.map(|stood| stood[0].placement.turn_deg.round())
    };
    assert_eq!((turn(1.5), turn(0.75), turn(0.3)), (Some(30.0), Some(0.0), None));
}

/// What would rise between a player and the conductor is not proposed there; what hides the conductor from its own player is.
#[test]
fn nothing_is_proposed_before_the_eyes_of_others() {
    let mut venue = hall(square((-5.0, 5.0), (0.0, 8.0)));
    venue.conductor = Some(Point::new(0.0, 7.5));
    let library = sample::library();
    let programme = sample::programme("p", &["w"]);
    let floor = Hall::new(&library, &programme, &venue, false);
    let one = |id: &str, x: f64, y: f64, height_m: f64| {
        let mut thing = sample::instrument(id, "xylophone", &[]);
        thing.footprint.height_m = height_m;
        let placement = Placement { at: Point::new(x, y), turn_deg: 0.0, number: 1, locked: false };
        let mut stood = Stood::new(&thing.id.clone(), &thing, &placement, Some(&venue));
        stood.played_by.insert(PlayerId::new(id).unwrap());
        stood
    };
    let plan = Plan { things: vec![one("a", 0.0, 2.0, 0.9)] };
    assert!(!floor.hides_nothing(&plan, &[one("b", 0.0, 5.0, 2.0)]));
    assert!(floor.hides_nothing(&plan, &[one("b", 0.0, 5.0, 0.9)]), "it is low");
    assert!(floor.hides_nothing(&plan, &[one("b", 3.0, 5.0, 2.0)]), "beside; its own player sees nothing");
    // A thing that stands already and rises before the new one's player speaks against it as well.
    let tall = Plan { things: vec![one("a", 0.0, 5.0, 2.0)] };
    assert!(!floor.hides_nothing(&tall, &[one("b", 0.0, 2.0, 0.9)]));
}
