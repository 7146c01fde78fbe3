//! Where each thing of a station stands, to the centimetre; worked out by hand. A player stands at 0, 0; the room behind a thing is
//! 0.70 m deep, so that a thing begins 0.35 m before its player.

use super::super::figure::to_local;
use super::*;
use crate::collection::{Family, Kind, Layout, Pitched, Shape};
use crate::edit::{Edit, apply};
use crate::sample;
use crate::week::Assignment;
use rstest::rstest;

fn round(id: &str, diameter_m: f64) -> Instrument {
    let mut thing = sample::instrument(id, "drum", &["C2-G2"]);
    thing.footprint.shape = Shape::Round { diameter_m };
    thing
}

fn boxed(id: &str, width_m: f64, depth_m: f64) -> Instrument {
    let mut thing = sample::instrument(id, "x", &[]);
    thing.footprint.shape = Shape::Box { width_m, depth_m };
    thing
}

fn near(spot: &Spot<'_>, x: f64, y: f64) -> bool {
    (spot.at.x - x).abs() < 1e-9 && (spot.at.y - y).abs() < 1e-9
}

fn each<'a>(draft: &'a Draft<'a>, places: &[(f64, f64)]) {
    assert_eq!(draft.len(), places.len());
    for (spot, (x, y)) in draft.iter().zip(places) {
        assert!(near(spot, *x, *y), "{} at {:?}, not {x}, {y}", spot.thing.id, spot.at);
    }
}

/// Two drums of 0.8 m: their middles 0.75 m from the player and 0.88 m (0.4 + 0.4 + 0.08) from each other, alike on both sides:
/// x = 0.44, y = sqrt(0.75² - 0.44²).
#[test]
fn two_drums_stand_alike_on_both_sides() {
    let drums = [round("a", 0.8), round("b", 0.8)];
    let draft = arc(&drums.iter().collect::<Vec<_>>());
    let y = (0.75_f64.powi(2) - 0.44_f64.powi(2)).sqrt();
    each(&draft, &[(0.44, y), (-0.44, y)]);
    // Each is turned by as much as it stands aside.
    let aside = (0.44_f64 / 0.75).asin().to_degrees();
    assert!((draft[0].turn_deg - (360.0 - aside)).abs() < 1e-6, "{}", draft[0].turn_deg);
    assert!((draft[1].turn_deg - aside).abs() < 1e-6, "{}", draft[1].turn_deg);
}

/// A drum of 0.6 and one of 1.0 m stand 0.65 and 0.85 m from the player and 0.88 m from each other.
#[test]
fn unlike_drums_keep_their_distances() {
    let drums = [round("a", 0.6), round("b", 1.0)];
    let draft = arc(&drums.iter().collect::<Vec<_>>());
    let away = |spot: &Spot<'_>| spot.at.x.hypot(spot.at.y);
    assert!((away(&draft[0]) - 0.65).abs() < 1e-9 && (away(&draft[1]) - 0.85).abs() < 1e-9);
    assert!((draft[0].at.distance(draft[1].at) - 0.88).abs() < 1e-9);
    assert!(
        (draft[0].turn_deg - 360.0 + draft[1].turn_deg).abs() < 1e-9,
        "the middle of the arc is straight ahead"
    );
}

/// Four of 0.81 m would go round the player by 216 degrees at arm's length; at 0.20 m more, the first step of 5 cm that does,
/// they stay within 170.
#[test]
fn many_drums_stand_farther_out() {
    let drums = ["a", "b", "c", "d"].map(|id| round(id, 0.81));
    let draft = arc(&drums.iter().collect::<Vec<_>>());
    for spot in &draft {
        assert!((spot.at.x.hypot(spot.at.y) - 0.955).abs() < 1e-9, "{:?}", spot.at);
    }
    for pair in draft.windows(2) {
        assert!((pair[0].at.distance(pair[1].at) - 0.89).abs() < 1e-9);
    }
    assert_eq!(arc(&[]).len(), 0);
}

/// 0.5 + 0.3 + 0.4 m with 0.08 m between them: 1.36 m, from x = 0.68 on.
#[test]
fn a_row_goes_from_left_to_right() {
    let things = [boxed("a", 0.5, 0.4), boxed("b", 0.3, 0.2), boxed("c", 0.4, 0.6)];
    let draft = row(&things.iter().collect::<Vec<_>>());
    each(&draft, &[(0.43, 0.55), (-0.05, 0.45), (-0.48, 0.65)]);
    let head = boxed("head", 2.0, 1.0);
    let back = behind(&head, &things.iter().collect::<Vec<_>>());
    each(&back, &[(0.0, 0.85), (-0.43, -0.55), (0.05, -0.45), (0.48, -0.65)]);
    assert!(back.iter().skip(1).all(|spot| (spot.turn_deg - 180.0).abs() < 1e-9));
}

/// A keyboard of 2.4 by 0.9 m has its middle at y = 0.8 and its far edge at 1.25; at its ends, 0.08 m away: 1.28 m.
#[test]
fn small_things_go_back_along_their_player() {
    let head = boxed("marimba", 2.4, 0.9);
    let small = [
        boxed("a", 0.5, 0.4),
        boxed("b", 0.5, 0.5),
        boxed("c", 0.3, 0.3),
        boxed("d", 0.3, 0.3),
        boxed("e", 0.2, 0.2),
    ];
    let draft = at_the_ends(&head, &small.iter().collect::<Vec<_>>());
    each(
        &draft,
        &[
            (0.0, 0.8),
            (-1.53, 1.05),
            (1.53, 1.0),
            // 0.08 m before the first: from 0.77 down; and before the second: from 0.67.
            (-1.43, 0.62),
            (1.43, 0.52),
            // From 0.47 - 0.08.
            (-1.38, 0.29),
        ],
    );
}

/// A table of 0.9 by 0.6 m has its middle at y = 0.65: rows from x = 0.45 and y = 0.35 on.
#[test]
fn tiny_things_lie_in_rows() {
    let table = boxed("table", 0.9, 0.6);
    let tiny = [
        boxed("a", 0.3, 0.2),
        boxed("b", 0.35, 0.2),
        boxed("c", 0.3, 0.3),
        boxed("d", 0.2, 0.2),
        boxed("e", 0.3, 0.4),
        boxed("f", 0.35, 0.25),
    ];
    let draft = on_top(&table, &tiny.iter().collect::<Vec<_>>());
    each(
        &draft,
        &[
            (0.0, 0.65),
            (0.3, 0.45),
            (-0.025, 0.45),
            // The third has 0.25 m left, too little: a row begins 0.2 m on.
            (0.3, 0.7),
            (0.05, 0.65),
            (-0.2, 0.75),
            // A third row would begin at the far edge: it lies over the last one, within the table.
            (0.275, 0.825),
        ],
    );
    assert!(draft.iter().skip(1).all(|spot| spot.on.map(|on| on.id.as_str()) == Some("table")));
    // 0.05 m to the right of the middle are left and half a table besides: too little for 0.6 m.
    let wide = [boxed("a", 0.4, 0.2), boxed("b", 0.6, 0.2)];
    each(&on_top(&table, &wide.iter().collect::<Vec<_>>()), &[(0.0, 0.65), (0.25, 0.45), (0.15, 0.65)]);
    // Just as wide as what is left is wide enough.
    let full = [boxed("a", 0.5, 0.2), boxed("b", 0.4, 0.2)];
    each(&on_top(&table, &full.iter().collect::<Vec<_>>()), &[(0.0, 0.65), (0.2, 0.45), (-0.25, 0.45)]);
}

/// 0.65 m to the middle of a table of 0.9 by 0.6 m, and half its diagonal of 1.0817 m.
#[test]
fn how_far_a_draft_goes() {
    let table = boxed("table", 0.9, 0.6);
    let draft = vec![current(&table, 0.0)];
    assert!((reach_m(&draft) - (0.65 + 0.9_f64.hypot(0.6) / 2.0)).abs() < 1e-12);
    assert!((reach_m(&Vec::new()) - STANDING_DEPTH_M).abs() < 1e-12);
    // 0.2 m farther out it stands 0.85 m away.
    assert!((reached(&table, 0.0, 0.2).y - 0.85).abs() < 1e-12 && reached(&table, 0.0, 0.2).x.abs() < 1e-12);
    // Turned by a quarter it stands to the left of the plan, as far.
    let turned = reached(&table, 90.0, 0.2);
    assert!((turned.x + 0.85).abs() < 1e-12 && turned.y.abs() < 1e-12, "{turned:?}");
}

/// Its player stands at (2, 3) and looks to the left of the plan: what was 0.3 m to the right is 0.3 m nearer to the audience.
#[test]
fn a_draft_on_the_floor() {
    let thing = boxed("a", 0.4, 0.4);
    let spot = Spot { thing: &thing, at: Point::new(0.3, 0.5), turn_deg: 300.0, on: None };
    let placed = on_floor(&spot, Point::new(2.0, 3.0), 90.0, 7);
    assert!((placed.at.x - 1.5).abs() < 1e-9 && (placed.at.y - 3.3).abs() < 1e-9, "{placed:?}");
    assert!((placed.turn_deg - 30.0).abs() < 1e-9 && placed.number == 7 && !placed.locked);
    let back = to_local(
        &Placement { at: Point::new(2.0, 3.0), turn_deg: 90.0, number: 0, locked: false },
        placed.at,
    );
    assert!((back.x - 0.3).abs() < 1e-9 && (back.y - 0.5).abs() < 1e-9);
}

/// The kinds `timpani` and `x`, and these instruments in use by player `a`, each in the works that are named.
fn in_use(things: &[(Instrument, &[&str])]) -> (Library, Programme, BTreeMap<InstrumentId, PlayerId>) {
    let timpani = Kind {
        family: Family::Timpani,
        layout: Layout::Drums,
        ..sample::kind("timpani", Pitched::Yes, None)
    };
    let mut edits = vec![Edit::PutKind(timpani), Edit::PutKind(sample::kind("x", Pitched::No, None))];
    let a = PlayerId::new("a").unwrap();
    let mut programme = sample::programme("p", &["w", "v", "u"]);
    for (thing, works) in things {
        edits.push(Edit::PutInstrument(thing.clone()));
        for work in *works {
            let line = sample::at(work, thing.id.as_str());
            let given = Assignment {
                player: Some(a.clone()),
                instruments: vec![thing.id.clone()],
                ..Assignment::default()
            };
            programme.assign(line, given);
        }
    }
    let library = apply(&sample::library(), &Edit::Together { words: "x".into(), edits }).unwrap();
    let owners = things.iter().map(|(thing, _)| (thing.id.clone(), a.clone())).collect();
    (library, programme, owners)
}

fn grouped(things: &[(Instrument, &[&str])], tables: &[Instrument], owned: bool) -> Vec<Vec<String>> {
    let (library, programme, owners) = in_use(things);
    let owners = if owned { owners } else { BTreeMap::new() };
    let wanted: Vec<&Instrument> = things.iter().map(|(thing, _)| thing).collect();
    let tables: Vec<&Instrument> = tables.iter().collect();
    let found = groups(&library, &programme, &owners, (&wanted, &tables, &Near::new()));
    found.iter().map(|group| group.things().iter().map(|thing| thing.id.to_string()).collect()).collect()
}

fn drum(id: &str, range: &str) -> Instrument {
    let mut thing = sample::instrument(id, "timpani", &[range]);
    thing.layout = Layout::Drums;
    thing.footprint.shape = Shape::Round { diameter_m: 0.7 };
    thing
}

const W: &[&str] = &["w"];

/// The drums of a player are a set, from the low one on; small things (up to 0.80 m) join the large one that is used in the same
/// works; the largest group comes first.
#[test]
fn who_stands_with_whom() {
    let things = [
        (drum("t26", "A#2-F3"), W),
        (drum("t32", "D2-A2"), W),
        (boxed("marimba", 2.4, 0.9), &["v", "u"][..]),
        (boxed("vibraphone", 1.5, 0.8), W),
        (boxed("snare", 0.80, 0.4), W),
        (boxed("block", 0.3, 0.2), &["v"][..]),
        (boxed("large", 0.81, 0.2), &["u"][..]),
    ];
    assert_eq!(
        grouped(&things, &[], true),
        [
            // 2.16 + 0.06; 1.2 + 0.32; 0.98; 0.162 m².
            vec!["marimba", "block"],
            vec!["vibraphone", "snare"],
            vec!["t32", "t26"],
            vec!["large"]
        ]
    );
    // Nobody's things stand each by itself, the drums together.
    assert_eq!(
        grouped(&things, &[], false),
        [
            vec!["marimba"],
            vec!["vibraphone"],
            vec!["t32", "t26"],
            vec!["snare"],
            vec!["large"],
            vec!["block"]
        ]
    );
    // One drum by itself is no set.
    assert_eq!(grouped(&[(drum("t26", "A#2-F3"), W)], &[], true), [vec!["t26"]]);
}

/// Four small things join one large thing, evenly where they are used alike; those for which there is no room stand round one
/// place, six at the most.
#[rstest]
#[case(4, &[5])]
#[case(5, &[5, 1])]
#[case(10, &[5, 6])]
#[case(11, &[5, 6, 1])]
fn so_many_join(#[case] small: usize, #[case] sizes: &[usize]) {
    let mut things = vec![(boxed("marimba", 2.4, 0.9), W)];
    things.extend((0..small).map(|nth| (boxed(&format!("s{nth:02}"), 0.3, 0.3), W)));
    let found: Vec<usize> = grouped(&things, &[], true).iter().map(Vec::len).collect();
    assert_eq!(found, sizes);
}

#[test]
fn two_large_things_share_the_small_ones() {
    let mut things = vec![(boxed("marimba", 2.4, 0.9), W), (boxed("vibraphone", 1.5, 0.8), W)];
    things.extend(["a", "b", "c", "d"].map(|id| (boxed(id, 0.3, 0.3), W)));
    let sizes: Vec<usize> = grouped(&things, &[], true).iter().map(Vec::len).collect();
    assert_eq!(sizes, [3, 3]);
}

/// Tiny things (up to 0.36 m) lie on a table, as far as four fifths of it are covered: 0.8 x 0.9 x 0.6 = 0.432 m².
#[rstest]
#[case(&[(0.36, 0.36), (0.3, 0.3)], &["table", "n0", "n1"])] // 0.1296 + 0.09
#[case(&[(0.37, 0.36), (0.3, 0.3), (0.3, 0.3)], &["table", "n1", "n2"])]
#[case(&[(0.36, 0.3), (0.36, 0.3), (0.36, 0.3), (0.36, 0.3), (0.1, 0.1)], &["table", "n0", "n1", "n2", "n3"])] // 4 x 0.108
#[case(&[(0.36, 0.31), (0.36, 0.31), (0.36, 0.31), (0.36, 0.31), (0.1, 0.1)], &["table", "n0", "n1", "n2", "n4"])]
#[case(&[(0.3, 0.3)], &["n0"])] // a table for one thing is none
fn what_lies_on_a_table(#[case] sizes: &[(f64, f64)], #[case] first: &[&str]) {
    let things: Vec<(Instrument, &[&str])> = sizes
        .iter()
        .enumerate()
        .map(|(nth, (wide, deep))| (boxed(&format!("n{nth}"), *wide, *deep), W))
        .collect();
    let table = boxed("table", 0.9, 0.6);
    let found = grouped(&things, &[table], true);
    assert!(found.iter().any(|group| group == first), "{found:?}");
}

#[test]
fn a_group_stands_in_several_ways_and_may_be_parted() {
    let (head, small) = (boxed("head", 2.0, 1.0), boxed("small", 0.3, 0.3));
    let group = |what| Group { player: None, what };
    let ids = |group: &Group<'_>| group.things().iter().map(|thing| thing.id.to_string()).collect::<Vec<_>>();
    let alone = group(What::Beside(&head, Vec::new()));
    assert_eq!((alone.drafts().len(), alone.apart().len()), (1, 0));
    let beside = group(What::Beside(&head, vec![&small]));
    assert_eq!(beside.drafts().len(), 2);
    assert_eq!(beside.apart().iter().map(ids).collect::<Vec<_>>(), [vec!["head"], vec!["small"]]);
    let set = group(What::Arc(vec![&head, &small]));
    assert_eq!((set.drafts().len(), set.apart().len()), (2, 0), "a set is not torn apart");
    let table = group(What::Table(&head, vec![&small]));
    assert_eq!(table.drafts().len(), 1);
    assert_eq!(table.apart().iter().map(ids).collect::<Vec<_>>(), [vec!["small"]]);
}
