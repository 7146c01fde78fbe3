//! What findings say to the letter, and where each rule begins and ends; the figures are worked out by hand.

use super::*;
use crate::collection::{Family, Kind};

fn all(library: &Library, code: &str) -> Vec<Finding> {
    found(library).into_iter().filter(|finding| finding.rule.code() == code).collect()
}

fn whats(library: &Library, code: &str) -> Vec<String> {
    all(library, code).into_iter().map(|finding| finding.what).collect()
}

fn passage(measure: u32, from_s: f64, to_s: f64) -> Passage {
    let (from, to) = (MeasureName::from(measure), MeasureName::from(measure));
    Passage { from, to, from_s, to_s, notes: Vec::new(), unpitched: Vec::new(), dynamics: None }
}

/// A line of the sample in these measures, each from and to so many seconds.
fn played(library: &Library, id: &str, spans: &[(u32, f64, f64)]) -> Edit {
    let passages = spans.iter().map(|(measure, from_s, to_s)| passage(*measure, *from_s, *to_s)).collect();
    changed_line(library, id, |line| line.passages = passages)
}

fn changed_kind(library: &Library, id: &str, change: impl FnOnce(&mut Kind)) -> Edit {
    let mut kind = (**library.kinds.get(&KindId::new(id).unwrap()).unwrap()).clone();
    change(&mut kind);
    Edit::PutKind(kind)
}

fn changed_thing(
    library: &Library,
    id: &str,
    change: impl FnOnce(&mut crate::collection::Instrument),
) -> Edit {
    let mut thing = (**library.instruments.get(&instrument(id)).unwrap()).clone();
    change(&mut thing);
    Edit::PutInstrument(thing)
}

fn changed_player(library: &Library, id: &str, change: impl FnOnce(&mut crate::collection::Player)) -> Edit {
    let mut one = (**library.players.get(&player(id)).unwrap()).clone();
    change(&mut one);
    Edit::PutPlayer(one)
}

fn stand_for(thing: &str, number: u32, x: f64, y: f64) -> Edit {
    let placement = Placement { at: Point::new(x, y), turn_deg: 0.0, number, locked: false };
    let work = WorkId::new("w").unwrap();
    Edit::StandFor { programme: programme(), work, instrument: instrument(thing), placement }
}

fn use_beaters(line: &str, ids: &[&str]) -> Edit {
    let beaters = ids.iter().map(|id| BeaterId::new(id).unwrap()).collect();
    Edit::UseBeaters { programme: programme(), line: at("w", line), beaters }
}

/// The work `w` with so many lines more, of snare drums without anybody.
fn more_lines(library: &Library, count: usize) -> Edit {
    let mut work = (**library.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    for nth in 0..count {
        work.lines.push(crate::sample::line(
            &format!("more{nth}"),
            Some("snare_drum"),
            crate::pitch::Octave::AS_WRITTEN,
            "",
        ));
    }
    Edit::PutWork(work)
}

#[test]
fn degrees_have_words_and_details_are_one_text() {
    let words = [Degree::Clash, Degree::Care, Degree::Note].map(Degree::word);
    assert_eq!(words, ["clash", "care", "note"]);
    let one = Finding::new(Rule::Loud, Degree::Note, "what");
    assert_eq!(one.detail(), "");
    assert_eq!(one.clone().remedy("Mend it.").detail(), "Mend it.");
    assert_eq!(one.why("It is so.").remedy("Mend it.").detail(), "It is so. Mend it.");
    assert_eq!((sentence("rubber"), sentence("")), ("Rubber".to_owned(), String::new()));
}

#[test]
fn who_is_away_and_who_does_not_play_what_they_have() {
    let base = settled();
    let library = edited(
        &base,
        vec![changed_player(&base, "a", |one| {
            one.absences = vec![service("s", "p", 10).id];
            one.never = vec![KindId::new("xylophone").unwrap()];
        })],
    );
    let away = the(&library, "absent");
    assert_eq!(away.what, "Player a is away from the rehearsal on 4 Mar, 10:00");
    assert_eq!(away.detail(), "Nobody covers their lines at that service.");
    assert_eq!(away.about, [About::Player(player("a")), About::Line(at("w", "xyl"))]);
    let not = the(&library, "not-taken");
    assert_eq!(not.what, "Player a does not play xylophone");
    assert_eq!(not.detail(), "Xylophone in Work w I is assigned to Player a. Assign it to another player.");
    assert_eq!(not.about, [About::Line(at("w", "xyl")), About::Player(player("a"))]);
}

/// Where nothing was chosen for a line the kind speaks for it.
#[test]
fn beaters_harm_a_kind_before_an_instrument_is_chosen() {
    let base = settled();
    let kind = changed_kind(&base, "xylophone", |kind| kind.harmful = vec![Head::Rubber]);
    let library = edited(&base, vec![kind, play_on("xyl", &[]), use_beaters("xyl", &["rubber"])]);
    let finding = the(&library, "harmful-beater");
    assert_eq!(finding.what, "Rubber may harm the xylophone");
    assert_eq!(
        finding.detail(),
        "Rubber heads can damage it (Xylophone in Work w I). Choose others, or check with the owner."
    );
    // On a thing of another kind it does no harm.
    let snare = edited(&library, vec![play_on("xyl", &["snare"])]);
    assert_eq!(whats(&snare, "harmful-beater"), [""; 0]);
}

#[test]
fn whatever_the_library_lacks_is_named_once() {
    let mut library = edited(
        &with_hall(|_| {}),
        vec![
            use_beaters("sn", &["rubber"]),
            use_beaters("xyl", &["rubber"]),
            stand("snare", 1, 0.0, 3.0),
            stand("xylophone-1", 2, 3.0, 3.0),
        ],
    );
    assert_eq!(whats(&library, "dangling"), [""; 0]);
    std::sync::Arc::make_mut(&mut library.beaters).clear();
    std::sync::Arc::make_mut(&mut library.instruments).remove(&instrument("snare"));
    assert_eq!(
        whats(&library, "dangling"),
        [
            "The library has no beater rubber",
            "The library has no beater rubber",
            "The library has no instrument snare"
        ],
        "a beater by line, an instrument once however often it is named"
    );
    assert_eq!(
        all(&library, "dangling")[2].detail(),
        "Programme p names it. Its file is missing or could not be read. Bring the file back, or choose another."
    );
    let work = WorkId::new("w").unwrap();
    let mut without = (**library.works.get(&work).unwrap()).clone();
    without.lines.retain(|line| line.id.as_str() == "xyl");
    std::sync::Arc::make_mut(&mut library.works).insert(work, std::sync::Arc::new(without));
    assert!(whats(&library, "dangling").contains(&"The library has no line sn in w".to_owned()));
}

/// Boxes of 1.0 by 0.5 m: 0.88 m apart across they overlap by 0.12 m, 0.40 m apart in depth by 0.10 m. The first is moved by a
/// centimetre more.
#[rstest]
#[case((0.88, 3.0), "6 snare and 7 xylophone 1 overlap by 0.12 m", "Move 6 by 0.13 m", (-0.13, 3.0))]
#[case((0.0, 3.4), "6 snare and 7 xylophone 1 overlap by 0.10 m", "Move 6 by 0.11 m", (0.0, 2.89))]
fn the_move_that_clears_an_overlap(
    #[case] at: (f64, f64),
    #[case] what: &str,
    #[case] words: &str,
    #[case] to: (f64, f64),
) {
    let library =
        edited(&with_hall(|_| {}), vec![stand("snare", 6, 0.0, 3.0), stand("xylophone-1", 7, at.0, at.1)]);
    let finding = the(&library, "overlap");
    assert_eq!(finding.what, what);
    assert_eq!(
        finding.about,
        [About::Instrument(instrument("snare")), About::Instrument(instrument("xylophone-1"))]
    );
    let (said, edit) = finding.fix.unwrap();
    assert_eq!(said, words);
    let Edit::Stand { instrument: moved, placement, .. } = edit else { panic!("{edit:?}") };
    assert_eq!((moved.as_str(), placement.number), ("snare", 6));
    assert!((placement.at.x - to.0).abs() < 1e-9 && (placement.at.y - to.1).abs() < 1e-9, "{placement:?}");
}

#[test]
fn what_is_locked_is_not_moved_and_a_station_moves_as_one() {
    let things = vec![stand("snare", 6, 0.0, 3.0), stand("xylophone-1", 7, 0.88, 3.0)];
    let base = edited(&with_hall(|_| {}), things);
    let locked = Placement { at: Point::new(0.0, 3.0), turn_deg: 0.0, number: 6, locked: true };
    let edit = Edit::Stand { programme: programme(), instrument: instrument("snare"), placement: locked };
    assert_eq!(the(&edited(&base, vec![edit]), "overlap").fix, None);
    // A third thing of the snare drum's station, 2 m to the left, goes along by the same 0.13 m.
    let mut third = crate::sample::instrument("tray", "snare_drum", &[]);
    third.name = "tray".to_owned();
    let with = Edit::StandWith {
        programme: programme(),
        instrument: instrument("tray"),
        with: Some(instrument("snare")),
    };
    let library = edited(&base, vec![Edit::PutInstrument(third), stand("tray", 8, -2.0, 3.0), with]);
    let (_, edit) = the(&library, "overlap").fix.unwrap();
    let Edit::Together { words, edits } = edit else { panic!("{edit:?}") };
    assert_eq!((words.as_str(), edits.len()), ("Move 6 by 0.13 m", 2));
    let places: Vec<(String, f64)> = edits
        .iter()
        .map(|edit| match edit {
            Edit::Stand { instrument, placement, .. } => (instrument.to_string(), placement.at.x),
            other => panic!("{other:?}"),
        })
        .collect();
    let of = |id: &str| places.iter().find(|(thing, _)| thing == id).unwrap().1;
    assert!((of("snare") + 0.13).abs() < 1e-9 && (of("tray") + 2.13).abs() < 1e-9, "{places:?}");
}

/// What is wrong on a work's own floor says so; what is wrong on both floors alike is told once.
#[test]
fn a_works_own_floor_is_named_and_what_is_common_is_told_once() {
    // Off the floor by 0.20 m on both (it reaches to -5.20 m), by 0.40 m in the own setup alone (to 5.40 m). A second work without
    // an own setup is played on the base.
    let base = with_hall(|_| {});
    let mut other = (**base.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    other.id = WorkId::new("v").unwrap();
    other.title = "Work v".to_owned();
    let mut both = base.programme(&programme()).unwrap().clone();
    both.works.push(other.id.clone());
    let library = edited(
        &base,
        vec![
            Edit::PutWork(other),
            Edit::PutProgramme { week: WeekId::new("k").unwrap(), programme: both },
            stand("snare", 1, -4.7, 3.0),
            stand("xylophone-1", 2, 0.0, 3.0),
            stand_for("xylophone-1", 2, 4.9, 3.0),
        ],
    );
    let told = all(&library, "off-floor");
    let words: Vec<(&str, &str)> = told.iter().map(|one| (one.what.as_str(), one.why.as_str())).collect();
    assert_eq!(
        words,
        [
            ("1 snare stands off the floor by 0.20 m", ""),
            ("2 xylophone 1 stands off the floor by 0.40 m", "In Work w’s own setup.")
        ]
    );
    let over = edited(&library, vec![stand_for("xylophone-1", 2, -3.82, 3.0)]);
    let over = the(&over, "overlap");
    assert_eq!(over.why, "In Work w’s own setup. Move one of them: two instruments cannot share the space.");
    let Some((_, Edit::StandFor { work, instrument: moved, placement, .. })) = over.fix else { panic!() };
    assert_eq!((work.as_str(), moved.as_str()), ("w", "snare"));
    assert!((placement.at.x + 4.83).abs() < 1e-9, "{placement:?}");
}

#[test]
fn areas_edges_and_standing_room_are_told_in_metres() {
    let corners = |y0: f64, y1: f64| {
        [(0.0, y0), (4.0, y0), (4.0, y1), (0.0, y1)].map(|(x, y)| Point::new(x, y)).to_vec()
    };
    let hall = with_hall(|hall| {
        for (name, kept_for, y) in [("harp", AreaUse::NotToEnter, 5.0), ("brass", AreaUse::NotToEnter, 6.5)] {
            hall.keep_out.push(Area { name: name.to_owned(), kept_for, outline: corners(y, y + 1.0) });
        }
        hall.risers.push(Riser {
            name: "R".to_owned(),
            outline: corners(2.0, 4.0),
            height_m: 0.2,
            rated_kn_m2: None,
        });
    });
    // The box reaches from y = 6.35 to 6.85, 0.35 m into the brass.
    let brass = the(&edited(&hall, vec![stand("snare", 1, 2.0, 6.6)]), "keep-out");
    assert_eq!(brass.what, "1 snare stands in “brass” by 0.35 m");
    assert_eq!(brass.detail(), "Move it; nothing may stand there.");
    let across = the(&edited(&hall, vec![stand("snare", 1, 2.0, 2.1)]), "across-edge");
    assert_eq!(across.what, "1 snare stands across an edge of 0.20 m");
    assert!(across.remedy.contains("technical staff"), "{}", across.remedy);
    // 0.45 m from the back edge: 0.2 m are left of 0.7 m behind it.
    let room = the(&edited(&hall, vec![stand("snare", 1, -2.0, 0.45)]), "standing-room");
    assert_eq!(room.what, "Too little room for the player at 1 snare: the floor ends there");
    assert_eq!((room.degree, room.why.as_str()), (Degree::Care, "0.20 m of 0.70 m is left."));
    // 0.75 m from it: 0.5 m are left, and the middle is free.
    let brushed = the(&edited(&hall, vec![stand("snare", 1, -2.0, 0.75)]), "standing-room");
    assert_eq!((brushed.degree, brushed.why.as_str()), (Degree::Note, "0.50 m of 0.70 m is left."));
    // 0.85 m from it: a hand's breadth is taken, which is no matter.
    assert_eq!(whats(&edited(&hall, vec![stand("snare", 1, -2.0, 0.855)]), "standing-room"), [""; 0]);
    // Another thing stands 0.4 m behind it.
    let taken = edited(&hall, vec![stand("snare", 1, -2.0, 6.0), stand("xylophone-1", 2, -2.0, 5.1)]);
    let by = the(&taken, "standing-room");
    assert_eq!(by.what, "Too little room for the player at 1 snare: 2 xylophone 1 is in the way");
    assert_eq!(the(&taken, "narrow-way").why, "The minimum gangway is 0.60 m.");
}

#[test]
fn who_does_not_see_the_conductor_is_told() {
    let hall = with_hall(|hall| hall.conductor = Some(Point::new(0.0, 7.5)));
    let tall = |id: &str, m: f64| changed_thing(&hall, id, |thing| thing.footprint.height_m = m);
    let places = || vec![stand("snare", 1, 0.0, 3.0), stand("xylophone-1", 2, 0.0, 5.5)];
    let with = |edit: Edit| edited(&hall, places().into_iter().chain([edit]).collect());
    assert_eq!(whats(&with(tall("snare", 0.9)), "no-sight"), [""; 0]);
    // The tall one hides the conductor from the player behind it and from its own.
    assert_eq!(
        whats(&with(tall("xylophone-1", 2.0)), "no-sight"),
        [
            "2 xylophone 1 hides the conductor from 1 snare",
            "2 xylophone 1 hides the conductor from its own player"
        ]
    );
    let own = the(&with(tall("snare", 2.0)), "no-sight");
    assert_eq!(own.what, "1 snare hides the conductor from its own player");
    assert!(own.why.contains("eyes at 1.55 m and the conductor’s at 1.75 m"), "{}", own.why);
    let turned = Placement { at: Point::new(0.0, 3.0), turn_deg: 180.0, number: 1, locked: false };
    let back = Edit::Stand { programme: programme(), instrument: instrument("snare"), placement: turned };
    let backwards = the(&edited(&hall, vec![back]), "backwards");
    assert_eq!(backwards.what, "1 snare is turned backwards");
    assert_eq!(backwards.why, "Its player has to turn 180° to see the conductor.");
}

/// Weight is mass times 9.80665 m/s2 over the 0.5 m2 of the box: 203.9 kg press with 4.0 kN/m2, 163.2 kg with 3.2.
#[rstest]
#[case(204.4, Some(4.0), "Back is over its rated load")]
#[case(203.0, Some(4.0), "Back is near its rated load")]
#[case(164.0, Some(4.0), "Back is near its rated load")]
#[case(162.0, Some(4.0), "")]
#[case(100.0, None, "")]
#[case(101.0, None, "No load rating is stated for Back")]
fn where_a_load_begins_to_be_told(#[case] kg: f64, #[case] rated: Option<f64>, #[case] what: &str) {
    let hall = with_hall(|hall| {
        let outline = hall.floor.clone();
        hall.risers.push(Riser { name: "back".to_owned(), outline, height_m: 0.4, rated_kn_m2: rated });
    });
    let heavy = changed_thing(&hall, "snare", |thing| thing.mass = Some(Mass { kg, weighed: false }));
    let library = edited(&hall, vec![heavy, stand("snare", 1, 0.0, 4.0)]);
    let told = whats(&library, "riser-load").concat();
    assert_eq!(told.to_lowercase(), what.to_lowercase());
}

#[test]
fn a_load_says_its_figures() {
    let hall = with_hall(|hall| {
        let outline = hall.floor.clone();
        hall.risers.push(Riser { name: "back".to_owned(), outline, height_m: 0.4, rated_kn_m2: Some(4.0) });
    });
    let heavy = changed_thing(&hall, "snare", |thing| thing.mass = Some(Mass { kg: 204.4, weighed: false }));
    let finding = the(&edited(&hall, vec![heavy, stand("snare", 1, 0.0, 4.0)]), "riser-load");
    assert_eq!((finding.what.as_str(), finding.degree), ("Back is over its rated load", Degree::Clash));
    assert_eq!(finding.why, "Estimate 4.0 kN/m², rated 4.0 kN/m², 204 kg in all.");
    assert_eq!(finding.about, [About::Instrument(instrument("snare"))]);
}

#[rstest]
#[case(1, "An instrument is not on the floor yet", "thing 0.")]
#[case(4, "4 instruments are not on the floor yet", "thing 0; thing 1; thing 2; thing 3.")]
#[case(5, "5 instruments are not on the floor yet", "thing 0; thing 1; thing 2; thing 3 and others.")]
fn what_is_not_on_the_floor_is_counted(#[case] count: usize, #[case] what: &str, #[case] why: &str) {
    let names: Vec<String> = (0..count).map(|nth| format!("thing-{nth}")).collect();
    let mut edits: Vec<Edit> = names
        .iter()
        .map(|id| Edit::PutInstrument(crate::sample::instrument(id, "snare_drum", &[])))
        .collect();
    let all_of: Vec<&str> = std::iter::once("snare").chain(names.iter().map(String::as_str)).collect();
    edits.extend([play_on("sn", &all_of), stand("snare", 1, 0.0, 3.0), stand("xylophone-1", 2, 3.0, 3.0)]);
    let library = edited(&with_hall(|_| {}), edits);
    let finding = the(&library, "not-placed");
    assert_eq!((finding.what.as_str(), finding.why.as_str()), (what, why));
    assert_eq!(finding.about.len(), count);
    // While nothing stands anywhere nobody has begun with the floor.
    assert_eq!(whats(&settled(), "not-placed"), [""; 0]);
}

#[test]
fn open_lines_are_counted_and_four_named() {
    let base = settled();
    let four = edited(&base, vec![more_lines(&base, 4)]);
    let told = the(&four, "nobody");
    assert_eq!(told.what, "Work w: 4 lines not assigned");
    let one = "Snare drum in Work w I";
    assert_eq!(told.why, format!("{one}, {one}, {one}, {one}."));
    assert_eq!(told.about, [About::Line(at("w", "more0"))]);
    let five = edited(&base, vec![more_lines(&base, 5)]);
    assert!(the(&five, "nobody").why.ends_with(&format!("{one} and others.")));
    assert_eq!(the(&five, "no-instrument").what, "Work w: 5 lines without an instrument");
    let single = edited(&base, vec![more_lines(&base, 1)]);
    assert_eq!(the(&single, "nobody").what, "Work w: 1 line not assigned");
}

/// What is played by hand needs no beaters.
#[rstest]
#[case(Head::Rubber, 1)]
#[case(Head::Hand, 0)]
fn beaters_are_asked_for_what_is_struck(#[case] head: Head, #[case] count: usize) {
    let base = settled();
    let usual = vec![crate::collection::UsualBeater { head, hardness: None }];
    let library = edited(&base, vec![changed_kind(&base, "xylophone", |kind| kind.usual = usual)]);
    assert_eq!(whats(&library, "no-beaters").len(), count);
}

#[test]
fn a_work_that_comes_back_says_what_stood_for_it() {
    let library = edited(
        &with_hall(|_| {}),
        vec![
            stand("snare", 1, 0.0, 3.0),
            stand_for("xylophone-1", 2, 3.0, 3.0),
            Edit::Give { programme: programme(), line: at("w", "sn"), player: None },
            play_on("sn", &[]),
        ],
    );
    let week = || WeekId::new("k").unwrap();
    let mut without = library.programme(&programme()).unwrap().clone();
    without.works.clear();
    let library = edited(&library, vec![Edit::PutProgramme { week: week(), programme: without }]);
    let mut back = library.programme(&programme()).unwrap().clone();
    back.works = vec![WorkId::new("w").unwrap()];
    let library = edited(&library, vec![Edit::PutProgramme { week: week(), programme: back }]);
    let finding = the(&library, "had-before");
    assert_eq!(finding.what, "Work w was in this programme before, with 1 line assigned");
    assert_eq!(finding.why, "1 instrument stood on the floor for it.");
}

/// The lines of two players on one instrument: told is the first measure in which both sound.
#[rstest]
#[case(&[(1, 0.0, 2.0), (5, 8.0, 10.0)], &[(2, 2.0, 4.0), (6, 9.0, 11.0)], "6")]
#[case(&[(1, 0.0, 2.0), (5, 8.0, 10.0)], &[(2, 2.0, 4.0), (4, 7.0, 9.0)], "5")]
#[case(&[(1, 0.0, 3.0), (5, 8.0, 10.0)], &[(2, 2.0, 4.0), (6, 9.0, 11.0)], "2")]
#[case(&[(1, 0.0, 2.0)], &[(2, 2.0, 4.0)], "")] // the one ends as the other begins
#[case(&[(3, 2.0, 4.0)], &[(2, 0.0, 2.0)], "")]
fn two_players_at_one_instrument(
    #[case] one: &[(u32, f64, f64)],
    #[case] other: &[(u32, f64, f64)],
    #[case] measure: &str,
) {
    let base = edited(&settled(), vec![play_on("sn", &["xylophone-1"])]);
    let library = edited(&base, vec![played(&base, "xyl", one), played(&base, "sn", other)]);
    let says = format!("Two players need xylophone 1 at m. {measure}");
    let expected = if measure.is_empty() { vec![] } else { vec![says] };
    assert_eq!(whats(&library, "two-hands"), expected);
}

#[test]
fn two_players_at_one_instrument_are_told_once_a_pair() {
    let base = settled();
    let library = edited(&base, vec![more_lines(&base, 1)]);
    let edit = |line: &str, who: &str| vec![give(line, who), play_on(line, &["xylophone-1"])];
    let library = edited(&library, [edit("sn", "b"), edit("more0", "b")].concat());
    // The xylophone's line with each of the two others; these two are one player's.
    let told = all(&library, "two-hands");
    assert_eq!(told.len(), 2);
    assert_eq!(
        told[0].detail(),
        "Xylophone in Work w I and Snare drum in Work w I. Assign both to one player, or another instrument to one of them."
    );
    let about = [
        About::Line(at("w", "sn")),
        About::Line(at("w", "xyl")),
        About::Instrument(instrument("xylophone-1")),
    ];
    assert_eq!(told[0].about, about);
}

/// Of several moments of a pair the one that lacks most is told: 2.667 s are needed, 2.0 and 1.0 s are there.
#[test]
fn the_worst_moment_of_a_pair_is_told() {
    let base = edited(&settled(), vec![give("sn", "a")]);
    let library = edited(
        &base,
        vec![
            played(&base, "xyl", &[(1, 0.0, 2.0), (9, 20.0, 22.0)]),
            played(&base, "sn", &[(3, 4.0, 6.0), (9, 23.0, 24.0)]),
        ],
    );
    let finding = the(&library, "too-short");
    assert_eq!(finding.what, "Player a, m. 9: 1.7 s short");
    assert_eq!(
        finding.why,
        "Xylophone in Work w I, then Snare drum in Work w I. 1.0 s available; 2.7 s needed for 2.0 m (default distance)."
    );
    assert_eq!(
        finding.about,
        [About::Line(at("w", "sn")), About::Line(at("w", "xyl")), About::Player(player("a"))]
    );
    let twice = edited(&settled(), vec![give("sn", "a")]);
    let twice = the(&twice, "double-booked");
    assert_eq!(twice.what, "Player a has two lines at once, m. 1");
    assert!(twice.why.ends_with("Both sound at once."), "{}", twice.why);
}

/// The line sounds C6 and E6.
#[rstest]
#[case("F4-D5", "xylophone 1 lacks 2 of 2 notes", " The whole line fits an octave lower.", false)]
#[case("F3-B4", "xylophone 1 lacks 2 of 2 notes", " The whole line fits 2 octaves lower.", false)]
#[case("C7-F7", "xylophone 1 lacks 2 of 2 notes", " The whole line fits an octave higher.", false)]
#[case("F4-D6", "xylophone 1 lacks 1 of 2 notes", " The whole line fits an octave lower.", true)]
#[case("F5-D6", "xylophone 1 lacks 1 of 2 notes", "needs E6.", true)]
fn notes_that_lack_are_counted(
    #[case] range: &str,
    #[case] what: &str,
    #[case] octave: &str,
    #[case] one: bool,
) {
    let base = settled();
    let (low, high) = range.split_once('-').unwrap();
    let (low, high) = (key(low), if range == "F4-D5" { key("E5") } else { key(high) });
    let edit = changed_thing(&base, "xylophone-1", |thing| thing.frames[0].range = Some((low, high)));
    let finding = the(&edited(&base, vec![edit]), "lacks-notes");
    assert_eq!(finding.what, what);
    let notes = if one { "E6" } else { "C6 E6" };
    assert!(finding.why.starts_with("Xylophone in Work w I needs "), "{}", finding.why);
    assert!(finding.why.ends_with(octave), "{}", finding.why);
    assert!(notes.split(' ').all(|note| finding.why.contains(note)), "{}", finding.why);
    assert_eq!(finding.about, [About::Line(at("w", "xyl")), About::Instrument(instrument("xylophone-1"))]);
}

#[test]
fn dead_bars_and_notes_out_of_reach_are_told_apart() {
    let base = settled();
    let dead = |keys: &[&str], high: &str| {
        let edit = changed_thing(&base, "xylophone-1", |thing| {
            thing.frames[0].range = Some((key("F4"), key(high)));
            thing.frames[0].dead =
                keys.iter().map(|name| DeadBar { key: key(name), since: None, why: String::new() }).collect();
        });
        let all = found(&edited(&base, vec![edit]));
        let one = all.into_iter().find(|one| matches!(one.rule, Rule::DeadBar | Rule::LacksNotes)).unwrap();
        (one.rule, one.what)
    };
    assert_eq!(
        dead(&["E6"], "C8"),
        (Rule::DeadBar, "xylophone 1 has a dead bar that is needed, E6".to_owned())
    );
    // C6 is dead and E6 is beyond the range: notes lack, and the dead bar is named.
    assert_eq!(
        dead(&["C6"], "D6"),
        (Rule::LacksNotes, "xylophone 1 has a dead bar that is needed, C6".to_owned())
    );
    // A dead bar that nobody asks for is no matter.
    assert_eq!(dead(&["F4"], "D6"), (Rule::LacksNotes, "xylophone 1 lacks 1 of 2 notes".to_owned()));
}

#[test]
fn another_kind_is_told_with_both_names() {
    let base = settled();
    let told = the(&edited(&base, vec![play_on("sn", &["snare", "xylophone-1"])]), "other-kind");
    assert_eq!(told.what, "xylophone 1 plays a line for snare drum");
    assert_eq!(told.why, "Snare drum in Work w I asks for snare drum; it is on xylophone.");
    assert_eq!(whats(&base, "other-kind"), [""; 0]);
}

#[test]
fn the_same_instrument_is_promised_with_when_and_what_instead() {
    let library = with_another(&[11, 13], |other| {
        other.setup.stand(
            instrument("snare"),
            Placement { at: Point::new(0.0, 3.0), turn_deg: 0.0, number: 1, locked: false },
        );
    });
    let finding = the(&library, "promised-twice");
    assert_eq!(finding.what, "snare is double-booked");
    assert_eq!(
        finding.why,
        "Also booked for “Programme q” at Hall pier, at the same time on 4 Mar, 11:00 and in two venues with 30 min between them on 4 Mar, 13:00; moving takes about 180."
    );
    assert_eq!(
        finding.remedy,
        "Instead: nothing else free covers the notes: hire one, or use a player’s own."
    );
    assert_eq!(
        finding.about,
        [
            About::Instrument(instrument("snare")),
            About::Line(at("w", "sn")),
            About::Programme(ProgrammeId::new("q").unwrap())
        ]
    );
    let other = other_use(&library, library.programme(&programme()).unwrap(), &instrument("snare")).unwrap();
    assert_eq!(other.0.id.as_str(), "q");
    assert!(other.1.starts_with("at the same time on 4 Mar, 11:00 and in two venues"), "{}", other.1);
    assert!(
        other_use(&library, library.programme(&programme()).unwrap(), &instrument("xylophone-1")).is_none()
    );
}

/// Instead of what is promised twice the orchestra's own free ones come before a player's, by name, two of them.
#[test]
fn what_could_be_used_instead() {
    let library = with_another(&[11], |other| {
        for (id, x) in [("snare", 0.0), ("xylophone-1", 3.0)] {
            let placement = Placement { at: Point::new(x, 3.0), turn_deg: 0.0, number: 1, locked: false };
            other.setup.stand(instrument(id), placement);
        }
    });
    let spare = |id: &str, kind: &str, owner: crate::collection::Owner, frames: &[&str]| {
        let mut thing = crate::sample::instrument(id, kind, frames);
        thing.owner = owner;
        Edit::PutInstrument(thing)
    };
    let ours = || crate::collection::Owner::Orchestra;
    let a = || crate::collection::Owner::Player(player("a"));
    let library = edited(
        &library,
        vec![
            spare("another-snare", "snare_drum", a(), &[]),
            spare("drum-2", "snare_drum", ours(), &[]),
            // It lacks E6 of C6 and E6.
            spare("xylophone-2", "xylophone", ours(), &["F4-D6"]),
            spare(
                "xylophone-3",
                "xylophone",
                crate::collection::Owner::Other("the school".to_owned()),
                &["F4-C8"],
            ),
        ],
    );
    let finding = the(&library, "promised-twice");
    assert_eq!(finding.what, "2 instruments are double-booked");
    assert_eq!(
        finding.remedy,
        "For snare: drum 2 or another snare (Player a’s own). For xylophone 1: xylophone 3 (the school)."
    );
    assert!(finding.why.ends_with("11:00: snare; xylophone 1."), "{}", finding.why);
}

#[test]
fn who_is_free_in_both_is_named() {
    let library = with_another(&[11], |_| {});
    let finding = the(&library, "player-twice");
    assert_eq!(finding.what, "Player a is double-booked");
    assert!(finding.remedy.ends_with("Everyone on the roster is already playing; engage an extra."));
    let with_c = edited(&library, vec![Edit::PutPlayer(crate::sample::player("c", 2))]);
    assert!(the(&with_c, "player-twice").remedy.ends_with("Free in both: Player c."));
    assert_eq!(finding.why, "“Programme q” needs A too, at the same time on 4 Mar, 11:00.");
}

/// Who misses either of two services that collide is not wanted twice.
#[rstest]
#[case("s")]
#[case("t0")]
fn who_misses_one_of_two_services_is_not_double_booked(#[case] missed: &str) {
    let library = with_another(&[11], |_| {});
    let asked = |library: &Library| wanted_elsewhere(library, library.services_of(&programme())[0]).len();
    assert_eq!(asked(&library), 1);
    let away = changed_player(&library, "a", |one| {
        one.absences = vec![crate::id::ServiceId::new(missed).unwrap()];
    });
    let library = edited(&library, vec![away]);
    assert_eq!((asked(&library), whats(&library, "player-twice").len()), (0, 0));
}

#[test]
fn beaters_of_both_are_named() {
    let rubber = || vec![BeaterId::new("rubber").unwrap()];
    let library = with_another(&[11], |other| {
        let given =
            crate::week::Assignment { player: Some(player("b")), beaters: rubber(), ..Default::default() };
        other.assign(at("w", "xyl"), given);
    });
    let library = edited(&library, vec![use_beaters("xyl", &["rubber"])]);
    let finding = the(&library, "beaters-twice");
    assert_eq!(finding.what, "rubber are double-booked");
    assert_eq!(finding.why, "“Programme q” needs rubber too, at the same time on 4 Mar, 11:00.");
    // One player of both who has them needs only one set.
    let mut other = library.programme(&ProgrammeId::new("q").unwrap()).unwrap().clone();
    let given =
        crate::week::Assignment { player: Some(player("a")), beaters: rubber(), ..Default::default() };
    other.assign(at("w", "xyl"), given);
    let week = WeekId::new("k").unwrap();
    let library = edited(&library, vec![Edit::PutProgramme { week, programme: other }]);
    assert_eq!(whats(&library, "beaters-twice"), [""; 0]);
}

/// Three hours are reckoned with for an instrument; from 12:30 on it is 15:30.
#[rstest]
#[case(15, true)]
#[case(16, false)]
fn an_instrument_needs_three_hours_to_the_other_hall(#[case] hour: i8, #[case] twice: bool) {
    let library = with_another(&[hour], |other| {
        let placement = Placement { at: Point::new(0.0, 3.0), turn_deg: 0.0, number: 1, locked: false };
        other.setup.stand(instrument("snare"), placement);
    });
    assert_eq!(whats(&library, "promised-twice").len(), usize::from(twice));
}

/// Lines that are marked as playable together are looked at where they sound at once, and only where one player has both.
#[rstest]
#[case((0.0, 2.0), (0.0, 2.0), "a", true)]
#[case((0.0, 2.0), (1.0, 3.0), "a", true)]
#[case((1.0, 3.0), (0.0, 2.0), "a", true)]
#[case((0.0, 0.0), (0.0, 0.0), "a", true)] // strokes without a length at one moment
#[case((0.0, 2.0), (2.0, 4.0), "a", false)]
#[case((2.0, 4.0), (0.0, 2.0), "a", false)]
#[case((0.0, 1.0), (5.0, 6.0), "a", false)]
#[case((5.0, 6.0), (0.0, 1.0), "a", false)]
#[case((0.0, 2.0), (0.0, 2.0), "b", false)]
fn reach_is_asked_where_both_sound(
    #[case] one: (f64, f64),
    #[case] other: (f64, f64),
    #[case] who: &str,
    #[case] far: bool,
) {
    let base = edited(
        &with_hall(|_| {}),
        vec![give("sn", who), stand("snare", 1, -1.5, 3.0), stand("xylophone-1", 2, 1.5, 3.0)],
    );
    let base = edited(
        &base,
        vec![played(&base, "xyl", &[(1, one.0, one.1)]), played(&base, "sn", &[(1, other.0, other.1)])],
    );
    let mut work = (**base.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    work.together.push((at("w", "xyl").line, at("w", "sn").line));
    let library = edited(&base, vec![Edit::PutWork(work)]);
    assert_eq!(whats(&library, "out-of-reach").len(), usize::from(far));
    if far {
        let finding = the(&library, "out-of-reach");
        assert!(
            finding.why.starts_with("Xylophone in Work w I and Snare drum in Work w I at once: "),
            "{}",
            finding.why
        );
        assert_eq!(finding.about.len(), 4);
    }
}

/// Two lines on the same two things are one matter.
#[test]
fn things_out_of_reach_are_told_once() {
    let library = edited(
        &with_hall(|_| {}),
        vec![
            give("sn", "a"),
            play_on("xyl", &["xylophone-1", "snare"]),
            play_on("sn", &["xylophone-1", "snare"]),
            stand("snare", 1, -1.5, 3.0),
            stand("xylophone-1", 2, 1.5, 3.0),
        ],
    );
    let finding = the(&library, "out-of-reach");
    assert!(finding.why.starts_with("One line, Xylophone in Work w I: "), "{}", finding.why);
}

/// Three players hold one pair of beaters in two movements: told once for each movement, with those who need them there.
#[test]
fn short_beaters_are_told_once_a_movement_with_who_needs_them() {
    let base = edited(&settled(), vec![Edit::PutPlayer(crate::sample::player("c", 2))]);
    let mut work = (**base.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    let mut second = work.movements[0].clone();
    second.id = crate::id::MovementId::new("ii").unwrap();
    second.number = "II".to_owned();
    work.movements.push(second);
    let extra = |id: &str, movement: &str| {
        let mut line = crate::sample::line(id, Some("snare_drum"), crate::pitch::Octave::AS_WRITTEN, "");
        line.movement = crate::id::MovementId::new(movement).unwrap();
        line
    };
    work.lines.extend([extra("third", "i"), extra("fourth", "ii"), extra("fifth", "ii")]);
    let library = edited(&base, vec![Edit::PutWork(work)]);
    let mut edits = vec![];
    for (line, who) in [("xyl", "a"), ("sn", "b"), ("third", "c"), ("fourth", "a"), ("fifth", "c")] {
        edits.extend([give(line, who), use_beaters(line, &["rubber"])]);
    }
    let told = all(&edited(&library, edits), "beaters-short");
    let words: Vec<(&str, &str)> = told.iter().map(|one| (one.what.as_str(), one.why.as_str())).collect();
    assert_eq!(
        words,
        [
            (
                "Too few beaters, rubber",
                "Player a and Player b and Player c need them at once in Snare drum in Work w I; there are enough for 1 person."
            ),
            (
                "Too few beaters, rubber",
                "Player a and Player c need them at once in Snare drum in Work w II; there are enough for 1 person."
            )
        ]
    );
    assert_eq!(told[0].about, [About::Line(at("w", "sn")), About::Player(player("b"))]);
    assert_eq!(told[1].about, [About::Line(at("w", "fifth")), About::Player(player("c"))]);
}

/// 150 minutes of concert: 150 minutes of music are not longer, 150.6 are.
#[rstest]
#[case(150.0, false)]
#[case(150.4, false)]
#[case(150.6, true)]
fn a_concert_is_too_short_from_the_next_minute_on(#[case] minutes: f64, #[case] long: bool) {
    let library = settled();
    let week = library.weeks.keys().next().unwrap().clone();
    let mut work = (**library.works.values().next().unwrap()).clone();
    work.movements[0].timeline.end_s = minutes * 60.0;
    let concert = Service { kind: ServiceKind::Concert, ..service("c", "p", 19) };
    let library = edited(&library, vec![Edit::PutWork(work), Edit::PutService { week, service: concert }]);
    assert_eq!(whats(&library, "too-long").len(), usize::from(long));
}

/// Loud kinds are named once each; the neighbours of the season are those of `promised`.
#[test]
fn loud_kinds_are_named_and_the_season_asks_for_what_is_promised() {
    let base = settled();
    let loud = |kind: &mut Kind| kind.loud = Some(crate::collection::Loudness::VeryLoud);
    let library =
        edited(&base, vec![changed_kind(&base, "snare_drum", loud), changed_kind(&base, "xylophone", loud)]);
    let finding = the(&library, "loud");
    assert_eq!(finding.what, "Very loud in this programme: snare drum, xylophone");
    assert_eq!(finding.about, [About::Line(at("w", "xyl")), About::Line(at("w", "sn"))]);
    let library = with_another(&[11], |_| {});
    let evening = Evening::of(&library, library.programme(&programme()).unwrap());
    let codes: Vec<&str> = across(&evening).iter().map(|one| one.rule.code()).collect();
    assert_eq!(codes, ["player-twice"]);
}

/// The sample with the xylophone's line turned into one of timpani, a note a second, on drums of these ranges.
fn timpani(notes: &str, drums: &[&str], screws: bool) -> Library {
    let mut kind = crate::sample::kind("timpani", crate::collection::Pitched::Yes, None);
    kind.family = Family::Timpani;
    kind.layout = crate::collection::Layout::Drums;
    let mut set = crate::sample::instrument("set", "timpani", drums);
    set.layout = crate::collection::Layout::Drums;
    for (nth, frame) in set.frames.iter_mut().enumerate() {
        frame.name = format!("{} in", 29 - 3 * nth);
        if screws {
            frame.tuned_by = crate::collection::TunedBy::HandScrews;
        }
    }
    let mut line = crate::sample::line("xyl", Some("timpani"), crate::pitch::Octave::AS_WRITTEN, notes);
    let passage = &mut line.passages[0];
    let count = u32::try_from(passage.notes.len()).unwrap();
    for (at, note) in (1..=count).zip(&mut passage.notes) {
        note.measure = MeasureName::from(at);
    }
    passage.to = MeasureName::from(count);
    passage.to_s = f64::from(count);
    let base = edited(&settled(), vec![Edit::PutKind(kind), Edit::PutInstrument(set)]);
    edited(&base, vec![Edit::PutLine { work: WorkId::new("w").unwrap(), line }, play_on("xyl", &["set"])])
}

const PAIR: &[&str] = &["F2-C3", "A#2-F3"];

/// A pair with hand screws has no second for D3 between two G2: the line does not go, and says where and that moments are
/// guessed.
#[test]
fn drums_that_cannot_be_retuned_in_time() {
    assert_eq!(whats(&timpani("C3 G2 C3 G2", PAIR, true), "no-tuning"), [""; 0]);
    let finding = the(&timpani("C3 G2 D3 G2 C3", PAIR, true), "no-tuning");
    // D3 and C3 are on the higher drum alone, within two seconds of each other; G2 is on the lower.
    assert_eq!((finding.what.as_str(), finding.degree), ("Timpani has too few drums", Degree::Clash));
    assert!(finding.why.starts_with("Timpani in Work w I: "), "{}", finding.why);
    assert!(finding.why.ends_with("even within their measures."), "{}", finding.why);
    assert_eq!(finding.about, [About::Line(at("w", "xyl")), About::Instrument(instrument("set"))]);
}

#[test]
fn a_drum_that_is_retuned_under_the_others_is_heard() {
    let finding = the(&timpani("C3 G2 G2 G2 G2 D3 G2", PAIR, false), "heard-tuning");
    assert_eq!(finding.what, "Timpani retunes a drum while others are struck");
    assert_eq!(
        finding.why,
        "Timpani in Work w I: The 26 in, mm.\u{a0}2–6: from C3 to D3 in 4.0\u{202f}s, while other drums are struck. When each note is struck is not known, so notes are taken to be even within their measures."
    );
    // In a rest of all drums nobody hears it: three seconds without a note before D3.
    let mut quiet = timpani("C3 G2 G2 G2 G2 D3 G2", PAIR, false);
    let edit = changed_line(&quiet, "xyl", |line| {
        line.passages[0].notes.retain(|note| note.measure.number().is_none_or(|n| n == 1 || n > 5));
    });
    quiet = edited(&quiet, vec![edit]);
    assert_eq!(whats(&quiet, "heard-tuning"), [""; 0]);
    let twice = the(&timpani("C3 G2 G2 G2 G2 D3 G2 G2 G2 G2 C3 G2", PAIR, false), "heard-tuning");
    assert_eq!(twice.what, "Timpani retunes drums 2 times while others are struck");
}

#[test]
fn a_pitch_that_is_fixed_to_no_drum_of_the_line_is_told() {
    let base = timpani("C3 G2 C3 G2", PAIR, false);
    let pin = |drum: &str| Edit::PinDrum {
        programme: programme(),
        line: at("w", "xyl"),
        key: key("G2"),
        on: Some((instrument("set"), drum.to_owned())),
    };
    assert_eq!(whats(&edited(&base, vec![pin("29 in")]), "lost-pin"), [""; 0]);
    let finding = the(&edited(&base, vec![pin("40 in")]), "lost-pin");
    assert_eq!(finding.what, "Timpani: G2 is fixed to a drum that is not there");
    assert_eq!(finding.why, "Timpani in Work w I: the line has no drum 40 in.");
}

/// Fixed to a drum that does not reach it, a pitch is on none; without that, what nothing reaches is told as lacking alone.
#[test]
fn a_pitch_that_its_drum_does_not_reach() {
    let base = timpani("C3 G2 C3 G2", PAIR, false);
    let pin = Edit::PinDrum {
        programme: programme(),
        line: at("w", "xyl"),
        key: key("G2"),
        on: Some((instrument("set"), "26 in".to_owned())),
    };
    assert_eq!(the(&edited(&base, vec![pin]), "no-tuning").what, "Timpani cannot be tuned");
    let beyond = timpani("C3 G4", PAIR, false);
    assert_eq!((whats(&beyond, "no-tuning"), whats(&beyond, "lacks-notes").len()), (vec![], 1));
}

/// One thing may be wrong in two ways, and both are told.
#[test]
fn two_faults_of_one_thing_are_two_findings() {
    let library = edited(&with_hall(|_| {}), vec![stand("snare", 1, -4.7, 0.45)]);
    assert_eq!((whats(&library, "off-floor").len(), whats(&library, "standing-room").len()), (1, 1));
}
