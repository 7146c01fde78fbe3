//! Floors: overlaps, edges, sight and loads.

use super::*;

/// Boxes of 1.0 by 0.5 m: 0.88 m apart across they overlap by 0.12 m, 0.40 m apart in depth by 0.10 m. The first is moved by a
/// centimetre more.
#[rstest]
#[case((0.88, 3.0), "6 snare and 7 xylophone 1 overlap by 0.12\u{202f}m", "Move 6 by 0.13\u{202f}m", (-0.13, 3.0))]
#[case((0.0, 3.4), "6 snare and 7 xylophone 1 overlap by 0.10\u{202f}m", "Move 6 by 0.11\u{202f}m", (0.0, 2.89))]
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
    assert_eq!((words.as_str(), edits.len()), ("Move 6 by 0.13\u{202f}m", 2));
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
            ("1 snare stands off the floor by 0.20\u{202f}m", ""),
            ("2 xylophone 1 stands off the floor by 0.40\u{202f}m", "In Work w’s own setup.")
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
fn areas_edges_and_player_space_are_told_in_metres() {
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
    assert_eq!(brass.what, "1 snare stands in “brass” by 0.35\u{202f}m");
    assert_eq!(brass.detail(), "Move it; nothing may stand there.");
    let across = the(&edited(&hall, vec![stand("snare", 1, 2.0, 2.1)]), "across-edge");
    assert_eq!(across.what, "1 snare stands across an edge of 0.20\u{202f}m");
    assert!(across.remedy.contains("technical staff"), "{}", across.remedy);
    // 0.45 m from the back edge: 0.2 m are left of 0.7 m behind it.
    let room = the(&edited(&hall, vec![stand("snare", 1, -2.0, 0.45)]), "players-space");
    assert_eq!(room.what, "Too little room for the player at 1 snare: the floor ends there");
    assert_eq!((room.degree, room.why.as_str()), (Degree::Care, "0.20\u{202f}m of 0.70\u{202f}m is left."));
    // 0.75 m from it: 0.5 m are left, and the middle is free.
    let brushed = the(&edited(&hall, vec![stand("snare", 1, -2.0, 0.75)]), "players-space");
    assert_eq!(
        (brushed.degree, brushed.why.as_str()),
        (Degree::Note, "0.50\u{202f}m of 0.70\u{202f}m is left.")
    );
    // 0.85 m from it: a hand's breadth is taken, which is no matter.
    assert_eq!(whats(&edited(&hall, vec![stand("snare", 1, -2.0, 0.855)]), "players-space"), [""; 0]);
    // Another thing stands 0.4 m behind it.
    let taken = edited(&hall, vec![stand("snare", 1, -2.0, 6.0), stand("xylophone-1", 2, -2.0, 5.1)]);
    let by = the(&taken, "players-space");
    assert_eq!(by.what, "Too little room for the player at 1 snare: 2 xylophone 1 is in the way");
    assert_eq!(the(&taken, "narrow-gangway").why, "The minimum gangway is 0.60\u{202f}m.");
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
    assert!(own.why.contains("eyes at 1.55\u{202f}m and the conductor’s at 1.75\u{202f}m"), "{}", own.why);
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
    assert_eq!(finding.why, "Estimate 4.0\u{202f}kN/m², rated 4.0\u{202f}kN/m², 204\u{202f}kg in all.");
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
}

#[test]
fn an_empty_floor_is_told_once() {
    let hall = with_hall(|_| {});
    let finding = the(&hall, "not-placed");
    assert_eq!(finding.what, "Nothing stands on the floor yet");
    assert_eq!(finding.why, "snare; xylophone 1.", "what is used, and nothing else");
    assert_eq!(finding.about.len(), 2);
    // Without a hall there is no floor to stand on.
    let mut nowhere = hall.programme(&programme()).unwrap().clone();
    nowhere.venue = None;
    let week = hall.week_of(&programme()).unwrap().id.clone();
    let nowhere = edited(&hall, vec![Edit::PutProgramme { week, programme: nowhere }]);
    assert_eq!(whats(&nowhere, "not-placed"), [""; 0]);
    // What nothing is played on need not stand.
    assert_eq!(whats(&edited(&hall, vec![play_on("xyl", &[]), play_on("sn", &[])]), "not-placed"), [""; 0]);
}
