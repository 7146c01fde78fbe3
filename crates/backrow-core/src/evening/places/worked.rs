//! Proposals judged by the seconds, with sums by hand: pace 1.2 m/s, one second to settle.

use super::*;
use crate::collection::{Point, Venue};
use crate::edit::{Edit, apply};
use crate::library::Library;
use crate::pitch::Octave;
use crate::sample::{at, instrument, library, line, venue, work};
use crate::week::Placement;
use rstest::rstest;

fn p() -> ProgrammeId {
    ProgrammeId::new("p").unwrap()
}

fn id(id: &str) -> InstrumentId {
    InstrumentId::new(id).unwrap()
}

fn place(x: f64, y: f64, number: u32) -> Placement {
    Placement { at: Point::new(x, y), turn_deg: 0.0, number, locked: false }
}

/// A hall of 16 by 8 m without a conductor, so that everything faces straight ahead.
fn hall() -> Venue {
    let corners = [(-8.0, 0.0), (8.0, 0.0), (8.0, 8.0), (-8.0, 8.0)];
    Venue { floor: corners.map(|(x, y)| Point::new(x, y)).to_vec(), ..venue("hall") }
}

fn edited(library: &Library, edits: Vec<Edit>) -> Library {
    apply(library, &Edit::Together { words: String::new(), edits }).unwrap()
}

fn of(library: &Library) -> Evening {
    Evening::of(library, library.programme(&p()).unwrap())
}

/// One work; each row a line: on what, of whom, from and to in seconds.
fn music(rows: &[(&str, &str, f64, f64)]) -> Library {
    let lines = rows.iter().enumerate().map(|(n, (.., from_s, to_s))| {
        let mut line = line(&format!("l{n}"), Some("snare_drum"), Octave::AS_WRITTEN, "");
        (line.passages[0].from_s, line.passages[0].to_s) = (*from_s, *to_s);
        line
    });
    let mut edits = vec![Edit::PutVenue(hall()), Edit::PutWork(work("w", lines.collect()))];
    let things: BTreeSet<&str> = rows.iter().map(|(thing, ..)| *thing).collect();
    edits.extend(things.into_iter().map(|id| Edit::PutInstrument(instrument(id, "snare_drum", &[]))));
    let who = |name: &str| PlayerId::new(name).unwrap();
    let mut programme = library().programme(&p()).unwrap().clone();
    for (n, (thing, player, ..)) in rows.iter().enumerate() {
        let given = crate::week::Assignment {
            player: Some(who(player)),
            instruments: vec![id(thing)],
            ..Default::default()
        };
        programme.assign(at("w", &format!("l{n}")), given);
    }
    programme.works = vec![WorkId::new("w").unwrap()];
    let week = library().week_of(&p()).unwrap().id.clone();
    edits.push(Edit::PutProgramme { week, programme });
    edited(&library(), edits)
}

fn stand(library: &Library, all: &[(&str, f64, f64)]) -> Library {
    let edit = |(n, (thing, x, y)): (usize, &(&str, f64, f64))| {
        let number = u32::try_from(n).unwrap() + 1;
        Edit::Stand { programme: p(), instrument: id(thing), placement: place(*x, *y, number) }
    };
    edited(library, all.iter().enumerate().map(edit).collect())
}

/// How many moves of everybody lack their seconds, by another path than the search: the library with the edits carried out.
fn impossible(library: &Library, found: &Proposed) -> usize {
    let next = edited(library, edits(library.programme(&p()).unwrap(), found));
    let evening = of(&next);
    let players: BTreeSet<_> =
        evening.timetable().lines.iter().filter_map(|taken| taken.player.clone()).collect();
    let moves = players.iter().flat_map(|player| evening.timetable().moves(player));
    moves.filter(|step| !step.fits()).count()
}

fn proposed(library: &Library) -> Option<Proposed> {
    propose(&of(library), &hall(), None, &Halt::default())
}

/// The player's things stand at both ends of the floor, so that the one to place would stand midway, 7 m from the gong: 6.8 s. There are
/// 4 s, that is 3.6 m.
#[test]
fn what_is_to_be_placed_goes_where_the_seconds_ask() {
    let library = music(&[("gong", "a", 0.0, 2.0), ("drum", "a", 6.0, 8.0), ("bell", "a", 60.0, 62.0)]);
    let library = stand(&library, &[("gong", -7.0, 3.0), ("bell", 7.0, 3.0)]);
    // As it would stand for its player's sake alone.
    let naive = of(&library).place_for(None, &id("drum"), &hall()).unwrap();
    assert!(naive.at.x.abs() < 1.0, "{naive:?}");
    let alone = Proposed {
        sketch: Sketch { places: [(id("drum"), naive)].into(), ..Sketch::default() },
        ..Proposed::default()
    };
    assert_eq!(impossible(&library, &alone), 1);
    let found = proposed(&library).unwrap();
    assert_eq!((impossible(&library, &found), found.lacking.len(), found.moved.len()), (0, 0, 0));
    assert!(found.difference.impossible.is_empty());
}

/// Of two that stand 12 m apart with 5 s between one is moved near the other, whatever else stands; one that is locked stays, and two
/// that are locked stay apart, which is told.
#[rstest]
#[case(&[], 0, 1)]
#[case(&["gong"], 0, 1)]
#[case(&["drum"], 0, 1)]
#[case(&["gong", "drum"], 1, 0)]
fn what_stands_is_moved_where_a_move_is_impossible(
    #[case] locked: &[&str],
    #[case] left: usize,
    #[case] moved: usize,
) {
    let library = music(&[("gong", "a", 0.0, 2.0), ("drum", "a", 7.0, 8.0), ("bell", "b", 0.0, 2.0)]);
    let library = stand(&library, &[("gong", -6.0, 3.0), ("bell", 0.0, 3.0), ("drum", 6.0, 3.0)]);
    let base = library.programme(&p()).unwrap().setup.base.clone();
    let lock = |thing: &&str| Edit::Stand {
        programme: p(),
        instrument: id(thing),
        placement: Placement { locked: true, ..base[&id(thing)] },
    };
    let library = edited(&library, locked.iter().map(lock).collect());
    let found = proposed(&library).unwrap();
    assert_eq!((impossible(&library, &found), found.lacking.len(), found.moved.len()), (left, left, moved));
    assert!(locked.iter().all(|thing| !found.moved.contains(&id(thing))));
    assert!(!found.moved.contains(&id("bell")), "nobody is short of seconds there");
    // It bears the number that it bore.
    let programme = library.programme(&p()).unwrap();
    assert!(found.sketch.places.iter().all(|(id, place)| programme.number_of(id) == Some(place.number)));
    if left == 1 {
        assert_eq!(found.lacking[0].why, Why::Locked);
        assert!(found.lacking[0].words(&library).contains("both are locked"));
        assert!(found.sketch.is_empty());
    } else {
        assert_eq!(found.difference.possible.len(), 1);
    }
}

/// Where nothing is impossible and everything stands there is nothing to propose.
#[test]
fn what_stands_stays_where_the_seconds_are_there() {
    let library = music(&[("gong", "a", 0.0, 2.0), ("drum", "a", 60.0, 62.0)]);
    assert_eq!(proposed(&stand(&library, &[("gong", -6.0, 3.0), ("drum", 6.0, 3.0)])), None);
}

/// Boxes 1.0 m wide, of which the nearest stand side by side: a metre and some, so 1.9 s and more. 1.5 s are too few on every floor, and
/// that lies with the music. With both at once no floor helps either.
#[rstest]
#[case(3.5, "needs 1.9")]
#[case(1.0, "both sound at once")]
fn what_no_floor_helps_is_named(#[case] from_s: f64, #[case] words: &str) {
    let library = music(&[("gong", "a", 0.0, 2.0), ("drum", "a", from_s, 8.0)]);
    let found = proposed(&library).unwrap();
    let [one] = found.lacking.as_slice() else { panic!("{:?}", found.lacking) };
    assert!(one.is_not_of_the_floor(), "{one:?}");
    let said = one.words(&library);
    assert!(said.contains(words) && said.contains("no floor helps"), "{said}");
    assert_eq!(impossible(&library, &found), 1);
}

/// Three players, each between two things with few seconds, some shared: as few impossible moves as by hand, where each pair stands
/// side by side.
#[test]
fn several_players_are_served_at_once() {
    let rows = [
        ("a1", "a", 0.0, 2.0),
        ("a2", "a", 5.0, 8.0),
        ("b1", "b", 0.0, 2.0),
        ("b2", "b", 5.0, 8.0),
        ("c1", "c", 0.0, 2.0),
        ("b2", "c", 12.0, 14.0),
        ("a2", "c", 18.0, 20.0),
    ];
    let library = music(&rows);
    // 3 s are 2.4 m, 4 s 3.6 m.
    let by_hand = stand(
        &library,
        &[("a1", -4.2, 3.0), ("a2", -2.1, 3.0), ("b2", 0.0, 3.0), ("b1", 2.1, 3.0), ("c1", 6.0, 3.0)],
    );
    assert_eq!(moves(&of(&by_hand), None).values().filter(|step| !step.fits()).count(), 0);
    let found = proposed(&library).unwrap();
    assert_eq!(impossible(&library, &found), 0, "{:?}", found.lacking);
}

/// Two works on a floor of 5 by 4 m: a drum that both use, and a table of 3.6 m for each. One of them stands for each work alone, the drum
/// for both, and the change between them is told.
fn too_small() -> (Library, Venue) {
    let corners = [(-2.5, 0.0), (2.5, 0.0), (2.5, 4.0), (-2.5, 4.0)];
    let small = Venue { floor: corners.map(|(x, y)| Point::new(x, y)).to_vec(), ..venue("hall") };
    let lines =
        |names: [&str; 2]| names.map(|id| line(id, Some("snare_drum"), Octave::AS_WRITTEN, "")).to_vec();
    let wide = |id: &str| {
        let mut thing = instrument(id, "snare_drum", &[]);
        thing.footprint.shape = crate::collection::Shape::Box { width_m: 3.6, depth_m: 2.4 };
        Edit::PutInstrument(thing)
    };
    let mut programme = library().programme(&p()).unwrap().clone();
    programme.works = vec![WorkId::new("w").unwrap(), WorkId::new("v").unwrap()];
    for (work, row, thing) in
        [("w", "one", "left"), ("w", "two", "drum"), ("v", "one", "right"), ("v", "two", "drum")]
    {
        let player = PlayerId::new(if row == "one" { "a" } else { "b" }).ok();
        let given = crate::week::Assignment { player, instruments: vec![id(thing)], ..Default::default() };
        programme.assign(at(work, row), given);
    }
    let week = library().week_of(&p()).unwrap().id.clone();
    let mut drum = instrument("drum", "snare_drum", &[]);
    drum.footprint.shape = crate::collection::Shape::Round { diameter_m: 0.5 };
    let edits = vec![
        Edit::PutVenue(small.clone()),
        Edit::PutWork(work("w", lines(["one", "two"]))),
        Edit::PutWork(work("v", lines(["one", "two"]))),
        wide("left"),
        wide("right"),
        Edit::PutInstrument(drum),
        Edit::PutProgramme { week, programme },
    ];
    (edited(&library(), edits), small)
}

#[test]
fn where_one_floor_is_too_small_each_work_has_its_own() {
    let (library, small) = too_small();
    let found = propose(&of(&library), &small, None, &Halt::default()).unwrap();
    let own = found.for_works.clone().unwrap();
    assert!(found.left(library.programme(&p()).unwrap()).is_empty());
    assert_eq!(own.setup.base.keys().collect::<Vec<_>>(), [&id("drum")]);
    let next = edited(&library, edits(library.programme(&p()).unwrap(), &found));
    let evening = of(&next);
    assert_eq!(evening.programme().setup, own.setup, "the edits lead there");
    for (work, thing, other) in [("w", "left", "right"), ("v", "right", "left")] {
        let work = WorkId::new(work).unwrap();
        let plan = evening.floor(Some(&work)).plan();
        assert!(plan.thing(&id(thing)).is_some() && plan.thing(&id("drum")).is_some());
        assert!(plan.thing(&id(other)).is_none());
        assert!(evening.floor(Some(&work)).checks().overlaps.is_empty());
    }
    let numbers: BTreeSet<Option<u32>> =
        ["drum", "left", "right"].map(|thing| own.setup.number_of(&id(thing))).into();
    assert_eq!(numbers.len(), 3, "a number each");
    // One is brought and one taken away, and that is said with people and minutes: 0.5 min to take hold of each, and 10 m at 20 m/min.
    assert_eq!(own.changes.iter().map(|change| change.steps.len()).collect::<Vec<_>>(), [2]);
    assert!((own.changes[0].minutes() - 2.0).abs() < 1e-9, "{}", own.changes[0].minutes());
    let said = own.words();
    assert!(said.contains("1 place for all of them, 2 works have") && said.contains("2 steps"), "{said}");
    // Nothing more to propose then.
    assert_eq!(propose(&evening, &small, None, &Halt::default()), None);
}

/// What stands for all works and only one uses is moved away for the other, where that needs the room; what is locked stays.
#[rstest]
#[case(false, &[])]
#[case(true, &["right"])]
fn what_a_work_does_not_use_makes_room(#[case] locked: bool, #[case] left: &[&str]) {
    let (library, small) = too_small();
    let placement = Placement { locked, ..place(-0.7, 2.0, 1) };
    let stand = Edit::Stand { programme: p(), instrument: id("left"), placement };
    let library = edited(&library, vec![stand]);
    let found = propose(&of(&library), &small, None, &Halt::default());
    let programme = library.programme(&p()).unwrap();
    let open: Vec<InstrumentId> = found.iter().flat_map(|found| found.left(programme)).collect();
    assert_eq!(open, left.iter().map(|thing| id(thing)).collect::<Vec<_>>(), "{found:?}");
    if !locked {
        let own = found.unwrap().for_works.unwrap();
        let away = &own.setup.own[&WorkId::new("v").unwrap()].away;
        assert_eq!(away.iter().collect::<Vec<_>>(), [&id("left")]);
    }
}

/// A work alone: its own things and no others.
#[test]
fn for_one_work_only_what_it_uses_is_placed() {
    let (library, small) = too_small();
    let work = WorkId::new("v").unwrap();
    let programme = library.programme(&p()).unwrap().for_work(&work);
    let found = propose(&Evening::of(&library, &programme), &small, Some(&work), &Halt::default()).unwrap();
    assert_eq!(found.sketch.places.keys().collect::<Vec<_>>(), [&id("drum"), &id("right")]);
}
