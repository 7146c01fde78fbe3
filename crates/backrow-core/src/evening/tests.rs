//! What an evening says, against sums by hand.

use super::*;
use crate::collection::{Point, Venue};
use crate::edit::{Edit, apply};
use crate::findings::check;
use crate::halt::Halt;
use crate::id::{PlayerId, ProgrammeId};
use crate::music::{MeasureName, Passage};
use crate::pitch::Octave;
use crate::sample::{at, library, line, venue, work};
use crate::week::{LineRef, Placement};

fn p() -> ProgrammeId {
    ProgrammeId::new("p").unwrap()
}

fn id(id: &str) -> InstrumentId {
    InstrumentId::new(id).unwrap()
}

fn w(id: &str) -> WorkId {
    WorkId::new(id).unwrap()
}

fn place(x: f64, y: f64, number: u32) -> Placement {
    Placement { at: Point::new(x, y), turn_deg: 0.0, number, locked: false }
}

fn hall() -> Venue {
    let corners = [(-6.0, 0.0), (6.0, 0.0), (6.0, 8.0), (-6.0, 8.0)];
    Venue { floor: corners.map(|(x, y)| Point::new(x, y)).to_vec(), ..venue("hall") }
}

fn edited(library: &Library, edits: Vec<Edit>) -> Library {
    apply(library, &Edit::Together { words: String::new(), edits }).unwrap()
}

fn of(library: &Library) -> Evening {
    Evening::of(library, library.programme(&p()).unwrap())
}

fn give(at: LineRef, thing: &str) -> Vec<Edit> {
    let player = Some(PlayerId::new("a").unwrap());
    vec![
        Edit::Assign { programme: p(), line: at.clone(), player },
        Edit::UseInstruments { programme: p(), line: at, instruments: vec![id(thing)] },
    ]
}

/// Works `w` and `v`, each with a xylophone from 0 to 2 s and a snare drum from 6 to 8 s, both for player `a`, 3.0 m apart.
fn two_works() -> Library {
    let later = Passage {
        from: MeasureName::from(4),
        to: MeasureName::from(5),
        from_s: 6.0,
        to_s: 8.0,
        notes: Vec::new(),
        unpitched: Vec::new(),
        dynamics: None,
    };
    let lines = || {
        let mut snare = line("sn", Some("snare_drum"), Octave::AS_WRITTEN, "");
        snare.passages = vec![later.clone()];
        vec![line("xyl", Some("xylophone"), Octave::ONE_UP, "C5 E5"), snare]
    };
    let mut programme = library().programme(&p()).unwrap().clone();
    programme.works = vec![w("w"), w("v")];
    let week = library().week_of(&p()).unwrap().id.clone();
    let mut edits = vec![
        Edit::PutVenue(hall()),
        Edit::PutWork(work("w", lines())),
        Edit::PutWork(work("v", lines())),
        Edit::PutProgramme { week, programme },
    ];
    for work in ["w", "v"] {
        edits.extend(give(at(work, "xyl"), "xylophone-1"));
        edits.extend(give(at(work, "sn"), "snare"));
    }
    edits.push(Edit::Stand { programme: p(), instrument: id("xylophone-1"), placement: place(-1.5, 3.0, 1) });
    edits.push(Edit::Stand { programme: p(), instrument: id("snare"), placement: place(1.5, 3.0, 2) });
    edited(&library(), edits)
}

fn stand_for_v(thing: &str, x: f64, y: f64, number: u32) -> Edit {
    let (programme, work) = (p(), w("v"));
    Edit::StandFor { programme, work, instrument: id(thing), placement: place(x, y, number) }
}

#[test]
fn each_work_is_timed_on_its_own_floor() {
    // For v the drum stands 4.8 m off: 4.8 / 1.2 + 1.0 = 5.0 s of the 4.0 s there are. For w 3.0 / 1.2 + 1.0 = 3.5 s.
    let library = edited(&two_works(), vec![stand_for_v("snare", 3.3, 3.0, 2)]);
    let evening = of(&library);
    let moves = evening.timetable().moves(&PlayerId::new("a").unwrap());
    let needs: Vec<i64> = moves.iter().map(|step| step.need.us()).collect();
    assert_eq!(needs, [3_500_000, 5_000_000]);
    assert_eq!(moves.iter().map(crate::moves::Move::fits).collect::<Vec<_>>(), [true, false]);
}

#[test]
fn a_work_s_own_floor_is_checked() {
    assert_eq!(check(&of(&two_works())), []);
    let library = edited(&two_works(), vec![stand_for_v("snare", -1.2, 3.0, 2)]);
    let found = check(&of(&library));
    let what: Vec<&str> = found.iter().map(|one| one.what.as_str()).collect();
    assert!(what.contains(&"2 snare and 1 xylophone 1 overlap by 0.50\u{202f}m"), "{what:?}");
    let overlap = found.iter().find(|one| one.rule.code() == "overlap").unwrap();
    assert!(overlap.why.starts_with("In Work v’s own setup. "), "{}", overlap.why);
    // What mends it changes that work's floor and no other.
    let (_, fix) = overlap.fix.clone().unwrap();
    let mended = apply(&library, &fix).unwrap();
    assert!(check(&of(&mended)).iter().all(|one| one.rule.code() != "overlap"));
    assert_eq!(of(&mended).floor(None).plan(), of(&library).floor(None).plan());
    let outside = edited(&two_works(), vec![stand_for_v("xylophone-1", -9.0, 3.0, 1)]);
    assert!(check(&of(&outside)).iter().any(|one| one.rule.code() == "off-floor"));
}

#[test]
fn too_short_on_a_work_s_own_floor_is_found() {
    let library = edited(&two_works(), vec![stand_for_v("snare", 3.3, 3.0, 2)]);
    let found = check(&of(&library));
    let short: Vec<&str> =
        found.iter().filter(|one| one.rule.code() == "too-short").map(|one| one.what.as_str()).collect();
    assert_eq!(short, ["1.0\u{202f}s short: Player a, Work v I, mm. 1–4"]);
}

#[test]
fn what_all_floors_have_in_common_is_told_once() {
    // The xylophone is moved for v, off the floor; the drum stands off it for both.
    let snare = Edit::Stand { programme: p(), instrument: id("snare"), placement: place(9.0, 3.0, 2) };
    let library = edited(&two_works(), vec![snare, stand_for_v("xylophone-1", -2.0, 3.0, 1)]);
    let found = check(&of(&library));
    assert_eq!(found.iter().filter(|one| one.rule.code() == "off-floor").count(), 1, "{found:#?}");
}

#[test]
fn a_floor_that_no_work_is_played_on_is_not_checked() {
    let bad = Edit::Stand { programme: p(), instrument: id("snare"), placement: place(9.0, 3.0, 2) };
    let good = |work: &str| Edit::StandFor {
        programme: p(),
        work: w(work),
        instrument: id("snare"),
        placement: place(1.5, 3.0, 2),
    };
    let library = edited(&two_works(), vec![bad, good("w"), good("v")]);
    assert_eq!(of(&library).floors().count(), 2);
    assert_eq!(check(&of(&library)), []);
}

#[test]
fn brought_for_one_work_stands_on_the_floor() {
    let library = edited(
        &two_works(),
        vec![Edit::TakeOff { programme: p(), instrument: id("snare") }, stand_for_v("snare", 1.5, 3.0, 2)],
    );
    let found = check(&of(&library));
    // For w it is missing, and only there.
    let missing = found.iter().find(|one| one.rule.code() == "not-placed").unwrap();
    assert_eq!(missing.what, "An instrument is not on the floor yet");
    assert!(of(&library).stands(&id("snare")));
}

#[test]
fn ways_are_taken_over_while_nothing_is_moved() {
    let before = of(&two_works());
    before.work_out();
    let give = Edit::Assign { programme: p(), line: at("w", "sn"), player: None };
    let library = edited(before.library(), vec![give]);
    let after = before.after(&library, library.programme(&p()).unwrap());
    assert!(std::sync::Arc::ptr_eq(before.floor(None).ways(), after.floor(None).ways()));
    assert_eq!(after.timetable(), of(&library).timetable());
    let moved = edited(
        before.library(),
        vec![Edit::Stand { programme: p(), instrument: id("snare"), placement: place(2.5, 3.0, 2) }],
    );
    let after = before.after(&moved, moved.programme(&p()).unwrap());
    assert!(!after.is_worked_out());
    assert_eq!(after.timetable(), of(&moved).timetable());
}

#[test]
fn the_longer_of_two_at_once_is_not_forgotten() {
    // The triangle (0 to 9 s) hangs over the cymbal (1 to 3 s); the drum begins at 10 s, 3.0 m off: 3.5 s are needed and 1 s
    // is there from the triangle, however long ago the cymbal ended.
    let passage = |from_s: f64, to_s: f64| Passage {
        from: MeasureName::from(1),
        to: MeasureName::from(2),
        from_s,
        to_s,
        notes: Vec::new(),
        unpitched: Vec::new(),
        dynamics: None,
    };
    let sounds = |id: &str, from_s, to_s| {
        let mut row = line(id, Some("snare_drum"), Octave::AS_WRITTEN, "");
        row.passages = vec![passage(from_s, to_s)];
        row
    };
    let mut one = work("w", vec![sounds("tri", 0.0, 9.0), sounds("cym", 1.0, 3.0), sounds("dr", 10.0, 11.0)]);
    one.together.push((at("w", "tri").line, at("w", "cym").line));
    let mut edits = vec![Edit::PutVenue(hall()), Edit::PutWork(one)];
    edits.extend(["tri", "cym"].into_iter().flat_map(|id| give(at("w", id), "xylophone-1")));
    edits.extend(give(at("w", "dr"), "snare"));
    edits.push(Edit::Stand { programme: p(), instrument: id("xylophone-1"), placement: place(-1.5, 3.0, 1) });
    edits.push(Edit::Stand { programme: p(), instrument: id("snare"), placement: place(1.5, 3.0, 2) });
    let library = edited(&library(), edits);
    let evening = of(&library);
    let moves = evening.timetable().moves(&PlayerId::new("a").unwrap());
    let told: Vec<(&str, i64, i64)> =
        moves.iter().map(|step| (step.from.line.line.as_str(), step.has_us, step.need.us())).collect();
    assert_eq!(told, [("tri", 1_000_000, 3_500_000)]);
    // On the way there: the cymbal under the triangle asks for no move; the rest before the drum is counted from the triangle.
    let arrivals = evening.timetable().arrivals(&PlayerId::new("a").unwrap());
    let told: Vec<(&str, bool, Option<&str>)> = arrivals
        .iter()
        .map(|arrival| {
            let since = arrival.since.as_ref().map(|step| step.from.line.line.as_str());
            (arrival.to.line.line.as_str(), arrival.together, since)
        })
        .collect();
    assert_eq!(told, [("tri", false, None), ("cym", true, Some("tri")), ("dr", false, Some("tri"))]);
}

#[test]
fn a_short_passage_far_off_counts_though_a_longer_one_ends_later() {
    // The xylophone (0 to 9 s) and, together with it, the snare drum 3.0 m off (1 to 8.5 s); at 10 s the xylophone again. From
    // the xylophone nothing is needed; from the drum 3.5 s are, and 1.5 are there. Both are playable together, so that neither
    // asks for a move; without that mark the drum does.
    let passage = |from_s: f64, to_s: f64| Passage {
        from: MeasureName::from(1),
        to: MeasureName::from(2),
        from_s,
        to_s,
        notes: Vec::new(),
        unpitched: Vec::new(),
        dynamics: None,
    };
    let with = |marked: bool| {
        let mut long = line("long", Some("snare_drum"), Octave::AS_WRITTEN, "");
        long.passages = vec![passage(0.0, 9.0), passage(10.0, 11.0)];
        let mut far = line("far", Some("snare_drum"), Octave::AS_WRITTEN, "");
        far.passages = vec![passage(1.0, 8.5)];
        let mut one = work("w", vec![long, far]);
        if marked {
            one.together.push((at("w", "long").line, at("w", "far").line));
        }
        let mut edits = vec![Edit::PutVenue(hall()), Edit::PutWork(one)];
        edits.extend(give(at("w", "long"), "xylophone-1"));
        edits.extend(give(at("w", "far"), "snare"));
        let stand = |instrument: &str, placement| Edit::Stand {
            programme: p(),
            instrument: id(instrument),
            placement,
        };
        edits.push(stand("xylophone-1", place(-1.5, 3.0, 1)));
        edits.push(stand("snare", place(1.5, 3.0, 2)));
        of(&edited(&library(), edits)).timetable().arrivals(&PlayerId::new("a").unwrap()).pop().unwrap()
    };
    let apart = with(false);
    let tightest = apart.tightest.unwrap();
    assert_eq!(
        (tightest.from.line.line.as_str(), tightest.has_us, tightest.fits()),
        ("far", 1_500_000, false)
    );
    assert_eq!(apart.since.unwrap().has_us, 1_000_000, "the rest is counted from the longer");
    assert!(!apart.together);
    let marked = with(true);
    assert!(!marked.together, "its own earlier passage is no other line that is played with it");
    assert!(marked.tightest.unwrap().need.same_place);
}

#[test]
fn who_plays_across_stands_and_walks_across() {
    // Two lines at once on a drum for two: the first at the playing side, the second across. For v one line alone.
    let mut drum = (**library().instruments.get(&id("snare")).unwrap()).clone();
    drum.for_two = true;
    let (one, two) = (line("one", Some("snare_drum"), Octave::AS_WRITTEN, ""), "two");
    let second = crate::music::Line { id: crate::id::LineId::new(two).unwrap(), ..one.clone() };
    let mut later = line("xyl", Some("xylophone"), Octave::ONE_UP, "C5");
    for passage in &mut later.passages {
        (passage.from_s, passage.to_s) = (20.0, 21.0);
    }
    let b = || PlayerId::new("b").unwrap();
    let mut edits = vec![
        Edit::PutVenue(hall()),
        Edit::PutInstrument(drum),
        Edit::PutWork(work("w", vec![one, second, later])),
    ];
    edits.extend(give(at("w", "one"), "snare"));
    edits.extend(give(at("w", two), "snare"));
    edits.extend(give(at("w", "xyl"), "xylophone-1"));
    edits.push(Edit::Assign { programme: p(), line: at("w", two), player: Some(b()) });
    edits.push(Edit::Assign { programme: p(), line: at("w", "xyl"), player: Some(b()) });
    edits.push(Edit::Stand { programme: p(), instrument: id("snare"), placement: place(0.0, 3.0, 1) });
    // Upside down and nearer the audience: its player stands at y = 5.6, the far side of the drum is at y = 3.6.
    let turned = Placement { turn_deg: 180.0, ..place(0.0, 5.0, 2) };
    edits.push(Edit::Stand { programme: p(), instrument: id("xylophone-1"), placement: turned });
    let library = edited(&library(), edits);
    let evening = of(&library);
    let stood = evening.floor(None).plan().thing(&id("snare")).unwrap().clone();
    let far = stood.across.unwrap();
    assert_eq!(stood.standing_of(&b()), far);
    assert_eq!(stood.standing_of(&PlayerId::new("a").unwrap()), stood.standing);
    let step = evening.timetable().moves(&b()).remove(0);
    let way = evening.timetable().route(&step).unwrap().way;
    assert_eq!(way.points.first(), Some(&far.place));
    approx::assert_relative_eq!(step.need.metres, way.walk.metres);
    let near = evening.floor(None).ways().between(&id("snare"), &id("xylophone-1")).unwrap();
    assert!(step.need.metres < near.metres - 0.5, "{} {}", step.need.metres, near.metres);
    // And while the other thing is in the hand.
    let held: BTreeMap<InstrumentId, Placement> = [(id("xylophone-1"), turned)].into();
    let floor = evening.moved(None, &held);
    let mut hand = evening.hand(&floor, &held.keys().cloned().collect());
    approx::assert_relative_eq!(
        hand.timetable(&floor).moves(&b())[0].need.metres,
        way.walk.metres,
        epsilon = 0.001
    );
    // Nobody stands across where one plays after the other.
    let mut after = (**library.works.get(&w("w")).unwrap()).clone();
    for passage in
        after.lines.iter_mut().filter(|row| row.id.as_str() == two).flat_map(|row| &mut row.passages)
    {
        (passage.from_s, passage.to_s) = (10.0, 12.0);
    }
    let library = edited(&library, vec![Edit::PutWork(after)]);
    assert!(of(&library).floor(None).plan().thing(&id("snare")).unwrap().across.is_none());
}

/// The xylophone stands at the far left with its player; the snare drum has no place yet and 4 s after the xylophone.
fn one_to_place() -> (Library, Venue) {
    let library = edited(&two_works(), vec![Edit::TakeOff { programme: p(), instrument: id("snare") }]);
    (library, hall())
}

#[test]
fn proposed_places_say_what_they_do_to_the_moves() {
    let (library, venue) = one_to_place();
    let before = of(&library);
    let proposed = places::propose(&before, &venue, None, &Halt::default()).unwrap();
    let ended = places::propose(&before, &venue, None, &Halt::when(|_| true));
    assert!(ended.is_none(), "a search that is ended proposes nothing");
    assert!(proposed.sketch.places.contains_key(&id("snare")));
    // Once more by another path: every move of the evening with those places, beside the one before.
    let after = of(&edited(&library, places::edits(library.programme(&p()).unwrap(), &proposed)));
    let player = PlayerId::new("a").unwrap();
    let pairs = before.timetable().moves(&player).into_iter().zip(after.timetable().moves(&player));
    let (mut shorter, mut longer, mut impossible) = (0, 0, 0);
    for (then, now) in pairs {
        match (now.need.us() - then.need.us(), then.fits(), now.fits()) {
            (_, true, false) => impossible += 1,
            (more, ..) if more > 50_000 => longer += 1,
            (more, ..) if more < -50_000 => shorter += 1,
            _ => {}
        }
    }
    let said = &proposed.difference;
    assert_eq!((said.shorter.len(), said.longer.len(), said.impossible.len()), (shorter, longer, impossible));
}

#[test]
fn a_floor_that_is_far_makes_a_move_impossible_and_says_so() {
    let (library, _) = one_to_place();
    let before = of(&library);
    // 4 s at 1.2 m/s less a second to settle are 3.6 m; 9 m is too far, by hand.
    let far = Edit::Stand { programme: p(), instrument: id("snare"), placement: place(5.4, 6.0, 9) };
    let after = of(&edited(&library, vec![far]));
    let difference = places::Difference::between(&before, &after, None);
    assert!(!difference.impossible.is_empty());
    assert!(difference.impossible.iter().all(|one| one.before.fits() && !one.after.fits()));
    let back = places::Difference::between(&after, &before, None);
    assert_eq!(back.possible.len(), difference.impossible.len());
    assert!(places::Difference::between(&before, &before, None).is_empty());
    let only = places::Difference::between(&before, &after, Some(&w("v")));
    assert!(only.impossible.len() < difference.impossible.len());
}

#[test]
fn who_is_an_extra_is_what_the_programme_states_beside_the_role() {
    let library = edited(&two_works(), Vec::new());
    let a = PlayerId::new("a").unwrap();
    let before = of(&library).needs().clone();
    assert_eq!((before.players.as_slice(), before.extras.as_slice()), (&[a.clone()][..], &[][..]));
    let mut programme = library.programme(&p()).unwrap().clone();
    let stands = |standing| crate::week::Engagement { standing, ..Default::default() };
    programme.roster.stated.insert(a.clone(), stands(crate::week::Standing::Reserve));
    let week = library.week_of(&p()).unwrap().id.clone();
    let put = |programme| Edit::PutProgramme { week: week.clone(), programme };
    let stated = edited(&library, vec![put(programme.clone())]);
    assert_eq!(of(&stated).needs().extras, std::slice::from_ref(&a), "whatever the role says");
    // To engage an extra does not make a member of the section.
    let mut extra = (**library.players.get(&a).unwrap()).clone();
    extra.role = "extra".to_owned();
    programme.roster.stated.insert(a.clone(), stands(crate::week::Standing::Engaged));
    let engaged = edited(&library, vec![put(programme), Edit::PutPlayer(extra)]);
    assert_eq!(of(&engaged).needs().extras, [a]);
}

#[test]
fn lines_that_nobody_plays_are_open_in_playing_order() {
    let library =
        edited(&two_works(), vec![Edit::Assign { programme: p(), line: at("w", "sn"), player: None }]);
    let open: Vec<String> =
        of(&library).needs().open.iter().map(|at| format!("{}/{}", at.work, at.line)).collect();
    assert!(open.contains(&"w/sn".to_owned()) && !open.contains(&"w/xyl".to_owned()), "{open:?}");
}

/// What moving in the hand says is what the evening says once it is let go; the numbers by another path: a second evening.
#[test]
fn what_is_in_the_hand_is_as_where_it_is_let_go() {
    let library = two_works();
    let evening = of(&library);
    let to = place(2.5, 3.0, 2);
    let places: BTreeMap<InstrumentId, Placement> = [(id("snare"), to)].into();
    let floor = evening.moved(None, &places);
    let stand = Edit::Stand { programme: p(), instrument: id("snare"), placement: to };
    let after = of(&edited(&library, vec![stand]));
    assert_eq!(floor.plan(), after.floor(None).plan());
    assert_eq!(floor.checks(), after.floor(None).checks());
    let mut hand = evening.hand(&floor, &places.keys().cloned().collect());
    let player = PlayerId::new("a").unwrap();
    let held = hand.timetable(&floor).moves(&player);
    let let_go = after.timetable_on(None).moves(&player);
    assert_eq!(held.len(), let_go.len());
    for (one, other) in held.iter().zip(&let_go) {
        assert!((one.need.us() - other.need.us()).abs() < 20_000, "{one:?} beside {other:?}");
    }
    assert!(held.iter().any(|step| step.need.us() > 0));
}

/// A move that was possible from the passage before it, and is impossible from another on the new floor, is told.
#[test]
fn a_move_from_elsewhere_that_becomes_impossible_is_told() {
    let mut library = two_works();
    let mut work = (**library.works.get(&w("w")).unwrap()).clone();
    // The gong from 2 to 5 s, the xylophone from 4 to 4.5 s, the snare drum from 9 s on: it comes from the gong while all stands close
    // by, and from the xylophone where that is far.
    let mut gong = line("gong", Some("snare_drum"), Octave::AS_WRITTEN, "");
    (gong.passages[0].from_s, gong.passages[0].to_s) = (2.0, 5.0);
    for line in &mut work.lines {
        let times = if line.id.as_str() == "xyl" { (4.0, 4.5) } else { (9.0, 10.0) };
        (line.passages[0].from_s, line.passages[0].to_s) = times;
    }
    work.lines.push(gong);
    work.together = vec![(work.lines[0].id.clone(), work.lines[2].id.clone())];
    let mut edits =
        vec![Edit::PutInstrument(crate::sample::instrument("gong", "snare_drum", &[])), Edit::PutWork(work)];
    edits.extend(give(at("w", "gong"), "gong"));
    edits.push(Edit::Stand { programme: p(), instrument: id("gong"), placement: place(-1.7, 3.0, 3) });
    library = edited(&library, edits);
    let moved = edited(
        &library,
        vec![
            Edit::Stand { programme: p(), instrument: id("gong"), placement: place(1.0, 5.0, 3) },
            Edit::Stand { programme: p(), instrument: id("xylophone-1"), placement: place(-5.0, 3.0, 1) },
        ],
    );
    let (before, after) = (of(&library), of(&moved));
    let difference = places::Difference::between(&before, &after, Some(&w("w")));
    let told: Vec<(&str, &str)> = difference
        .impossible
        .iter()
        .map(|one| (one.before.from.line.line.as_str(), one.after.from.line.line.as_str()))
        .collect();
    assert_eq!(told, [("gong", "xyl")]);
}
