//! Where stands and stools stand, worked out by hand.

use super::Furnishing::{MusicStand, Stool};
use super::*;
use crate::collection::Venue;
use crate::edit::{Edit, apply};
use crate::id::PlayerId;
use crate::sample;
use rstest::rstest;

fn stood(id: &str, kind: &str, (x, y, turn_deg): (f64, f64, f64), played: bool) -> Stood {
    let thing = sample::instrument(id, kind, &[]);
    let placement = Placement { at: Point::new(x, y), turn_deg, number: 1, locked: false };
    let mut stood = Stood::new(&thing.id.clone(), &thing, &placement, None);
    stood.played_by.extend(PlayerId::new("a").ok().filter(|_| played));
    stood
}

fn library() -> Library {
    let mut timpani = sample::kind("timpani", crate::collection::Pitched::Yes, None);
    timpani.family = Family::Timpani;
    let drum = sample::instrument("drum", "timpani", &[]);
    let edits = vec![Edit::PutKind(timpani), Edit::PutInstrument(drum)];
    apply(&sample::library(), &Edit::Together { words: String::new(), edits }).unwrap()
}

/// A box of 1.0 by 0.5 m with its middle at (0, 4): its player stands at y = 3.4 and the far edge lies at 4.25, so that a desk 0.35 m deep
/// has its middle at 4.425 at the least: the first step beyond that is 1.05 m from the player. Turned by a quarter, everything turns.
#[rstest]
#[case(0.0, (0.0, 4.45))]
#[case(180.0, (0.0, 3.55))]
#[case(90.0, (-0.45, 4.0))]
fn the_stand_stands_beyond_the_instrument(#[case] turn_deg: f64, #[case] (x, y): (f64, f64)) {
    let plan = Plan { things: vec![stood("xylophone-1", "xylophone", (0.0, 4.0, turn_deg), true)] };
    let found = plan.furniture(&library(), None);
    let [stand] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!(stand.what, Furnishing::MusicStand);
    assert!((stand.at.x - x).abs() < 1e-9 && (stand.at.y - y).abs() < 1e-9, "{stand:?}");
    assert!((stand.turn_deg - turn_deg).abs() < 1e-9);
    assert!(super::super::overlap(&stand.figure, &plan.things[0].figure).is_none());
}

/// The conductor at (0, 8), the player at (3, 3.4): 33 degrees aside, to which the stand is turned; not where the instrument is turned
/// away.
#[rstest]
#[case(0.0, 33.1)]
#[case(180.0, 180.0)]
fn it_is_turned_to_the_conductor(#[case] turn_deg: f64, #[case] look: f64) {
    let hall = Venue { conductor: Some(Point::new(0.0, 8.0)), ..sample::venue("hall") };
    let plan = Plan { things: vec![stood("xylophone-1", "xylophone", (3.0, 4.0, turn_deg), true)] };
    let found = plan.furniture(&library(), Some(&hall));
    assert!((found[0].turn_deg - look).abs() < 0.1, "{}", found[0].turn_deg);
}

/// Nor does it stand where nothing may: with the ground beyond the instrument kept free it stands beside the player.
#[test]
fn it_keeps_out_of_what_is_kept_free() {
    let strip = |from: f64, to: f64| {
        [(-5.0, from), (5.0, from), (5.0, to), (-5.0, to)].map(|(x, y)| Point::new(x, y)).to_vec()
    };
    let mut hall = Venue { floor: strip(0.0, 8.0), ..sample::venue("hall") };
    let kept_for = crate::collection::AreaUse::NotToEnter;
    hall.keep_out = vec![crate::collection::Area { name: String::new(), kept_for, outline: strip(4.3, 8.0) }];
    let plan = Plan { things: vec![stood("xylophone-1", "xylophone", (0.0, 4.0, 0.0), true)] };
    let stand = plan.furniture(&library(), Some(&hall)).remove(0);
    assert!(stand.figure.outline.iter().all(|corner| corner.y <= 4.3), "{stand:?}");
    assert!(super::super::overlap(&stand.figure, &plan.things[0].figure).is_none());
}

/// One stand a station, whatever stands in it; one for each thing that stands alone; none where nobody plays. Timpani have a stool where
/// their player is.
#[test]
fn one_stand_serves_a_place() {
    let mut things = vec![
        stood("drum", "timpani", (0.0, 4.0, 0.0), true),
        stood("snare", "snare_drum", (1.2, 4.0, 0.0), true),
        stood("xylophone-1", "xylophone", (5.0, 4.0, 0.0), true),
        stood("gong", "snare_drum", (-5.0, 4.0, 0.0), false),
    ];
    let head = InstrumentId::new("drum").unwrap();
    for thing in things.iter_mut().take(2) {
        thing.station = Some(head.clone());
    }
    let found = Plan { things }.furniture(&library(), None);
    let told: Vec<_> = found.iter().map(|one| (one.what, one.station.as_str())).collect();
    assert_eq!(told, [(MusicStand, "drum"), (Stool, "drum"), (MusicStand, "xylophone-1")]);
    let stool = &found[1];
    assert!((stool.at.x - 0.0).abs() < 1e-9 && (stool.at.y - 3.4).abs() < 1e-9, "{stool:?}");
}

/// Where something stands before the player up to 2.2 m, the stand goes to a side; two stands never lie over each other.
#[test]
fn it_finds_room_aside() {
    let mut wall = sample::instrument("gong", "snare_drum", &[]);
    wall.footprint.shape = Shape::Box { width_m: 1.0, depth_m: 3.0 };
    let placement = Placement { at: Point::new(0.0, 5.76), turn_deg: 0.0, number: 2, locked: false };
    let wall = Stood::new(&wall.id.clone(), &wall, &placement, None);
    let plan = Plan {
        things: vec![
            stood("xylophone-1", "xylophone", (0.0, 4.0, 0.0), true),
            wall,
            stood("snare", "snare_drum", (1.1, 4.0, 0.0), true),
        ],
    };
    let found = plan.furniture(&library(), None);
    assert_eq!(found.len(), 2);
    let clear = |one: &Figure, other: &Figure| super::super::overlap(one, other).is_none();
    assert!(clear(&found[0].figure, &found[1].figure));
    assert!(found.iter().all(|stand| plan.things.iter().all(|thing| clear(&stand.figure, &thing.figure))));
}
