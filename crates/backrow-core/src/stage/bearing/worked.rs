//! Stations and what lies on things, by hand.

use super::*;
use crate::collection::Shape;
use crate::sample;
use rstest::rstest;

fn id(name: &str) -> InstrumentId {
    InstrumentId::new(name).unwrap()
}

fn stood(name: &str, x: f64, kg: Option<f64>) -> Stood {
    let mut thing = sample::instrument(name, "xylophone", &[]);
    thing.mass = kg.map(|kg| Mass { kg, weighed: name != "guessed" });
    thing.footprint.shape = Shape::Box { width_m: 0.4, depth_m: 0.4 };
    let placement = Placement { at: Point::new(x, 3.0), turn_deg: 0.0, number: 1, locked: false };
    Stood::new(&thing.id.clone(), &thing, &placement, None)
}

/// Two standing places within 0.6 m are one: who plays the second stands where the first is played from.
#[rstest]
#[case(0.59, true)]
#[case(0.61, false)]
fn a_station_is_played_from_one_place(#[case] apart: f64, #[case] one: bool) {
    let mut plan =
        Plan { things: vec![stood("a", 0.0, None), stood("b", apart, None), stood("c", 5.0, None)] };
    let stations = [(id("b"), id("a")), (id("c"), id("gone")), (id("gone"), id("a"))].into();
    let setup = Setup { stations, ..Setup::default() };
    plan.gather(&setup);
    let place = |at: usize| plan.things[at].standing.place;
    assert_eq!(place(0) == place(1), one);
    assert_eq!(plan.things[1].station, Some(id("a")));
    assert_eq!((&plan.things[0].station, &plan.things[2].station), (&Some(id("a")), &None));
    assert!(plan.are_one(0, 1) && plan.are_one(1, 0) && !plan.are_one(0, 2) && !plan.are_one(2, 2));
    assert_eq!(plan.stations(), [vec![0, 1]]);
    plan.things[2].on = Some(1);
    assert!(plan.are_one(0, 2), "what lies on one of it is of the station");
    assert_eq!(plan.stations(), [vec![0, 1, 2]]);
    // Round two boxes of 0.4 m and their players, 0.35 m behind: from y = 2.45 to 3.2.
    let outline = plan.station_outline(&[0, 1]);
    let y = |of: fn(f64, f64) -> f64, from: f64| outline.iter().map(|p| p.y).fold(from, of);
    assert!((y(f64::min, 9.0) - 2.45).abs() < 1e-9 && (y(f64::max, 0.0) - 3.2).abs() < 1e-9);
}

/// A table of 10 kg with 0.5 kg and something of unknown mass on it presses with 10.5 kg; weighed only where all of it was.
#[test]
fn what_lies_on_a_thing_presses_through_it() {
    let mut plan = Plan {
        things: vec![
            stood("table", 0.0, Some(10.0)),
            stood("guessed", 0.0, Some(0.5)),
            stood("unknown", 0.0, None),
            stood("other", 2.0, Some(3.0)),
            stood("light", 2.0, None),
        ],
    };
    for (at, on) in [(1, 0), (2, 0), (3, 4)] {
        plan.things[at].on = Some(on);
    }
    let floor_load = plan.floor_load(0).unwrap();
    assert!((floor_load.kg - 10.5).abs() < 1e-12 && !floor_load.weighed);
    // Over 0.16 m²: 10.5 * 9.80665 / 160.
    assert!((floor_load.under_kn_m2 - 10.5 * 9.806_65 / 160.0).abs() < 1e-9);
    assert_eq!((plan.floor_load(2), plan.floor_load(9)), (None, None));
    assert!(plan.floor_load(3).is_some_and(|floor_load| floor_load.weighed));
    let through: Vec<bool> = plan.things.iter().map(|thing| plan.presses_through(thing)).collect();
    assert_eq!(through, [false, true, false, false, false], "on a stand of unknown mass it counts by itself");
    let tied = |a: usize, b: usize| (plan.are_tied(a, b), plan.are_tied(b, a));
    assert_eq!((tied(0, 1), tied(1, 2), tied(3, 4)), ((true, true), (true, true), (true, true)));
    assert_eq!((tied(0, 3), tied(1, 3), tied(0, 4)), ((false, false), (false, false), (false, false)));
}

/// What is moved and turned by a quarter takes along what stands with it, but for what is locked; what lies on it goes even so.
#[test]
fn locked_things_stay_unless_they_lie_on_what_goes() {
    let place = |x: f64, turn_deg: f64, locked: bool| Placement {
        at: Point::new(x, 3.0),
        turn_deg,
        number: 1,
        locked,
    };
    let base = [
        (id("head"), place(0.0, 0.0, false)),
        (id("peer"), place(1.0, 350.0, false)),
        (id("kept"), place(-1.0, 0.0, true)),
        (id("tray"), place(0.2, 10.0, true)),
    ]
    .into();
    let stations = [(id("peer"), id("head")), (id("kept"), id("head"))].into();
    let lies_on = [(id("tray"), id("head"))].into();
    let setup = Setup { base, lies_on, stations, ..Setup::default() };
    let to = Placement { at: Point::new(5.0, 6.0), turn_deg: 90.0, number: 1, locked: false };
    let along = carried(&setup, &[(id("head"), to)]);
    let told: Vec<(String, f64, f64, f64)> = along
        .iter()
        .map(|(id, p)| {
            (
                id.to_string(),
                (p.at.x * 1e9).round() / 1e9,
                (p.at.y * 1e9).round() / 1e9,
                (p.turn_deg * 1e9).round() / 1e9,
            )
        })
        .collect();
    // A metre to the right becomes a metre nearer to the audience; 350 + 90 is 80 degrees.
    let expected = [("peer".to_owned(), 5.0, 7.0, 80.0), ("tray".to_owned(), 5.0, 6.2, 100.0)];
    assert_eq!(told, expected);
    assert_eq!(carried_alone(&setup, &[(id("head"), to)]).len(), 1);
    assert!(carried(&setup, &[(id("elsewhere"), to)]).is_empty());
}
