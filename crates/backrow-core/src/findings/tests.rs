//! Each rule with a case that it must find, and the sample as it is, in which it must find nothing.

mod told;
mod tuning;

use super::*;
use crate::collection::{Area, AreaUse, DeadBar, Head, Mass, Point, Riser, Venue};
use crate::edit::apply;
use crate::id::{BeaterId, KindId, PlayerId, VenueId, WeekId, WorkId};
use crate::music::{Line, MeasureName, Passage};
use crate::sample::{at, key, library, programme as sample_programme, service, venue as sample_venue};
use crate::week::{Placement, Service, ServiceKind};
use rstest::rstest;

fn programme() -> ProgrammeId {
    ProgrammeId::new("p").unwrap()
}

fn player(id: &str) -> PlayerId {
    PlayerId::new(id).unwrap()
}

fn instrument(id: &str) -> InstrumentId {
    InstrumentId::new(id).unwrap()
}

fn edited(library: &Library, edits: Vec<Edit>) -> Library {
    apply(library, &Edit::Together { words: String::new(), edits }).unwrap()
}

fn found(library: &Library) -> Vec<Finding> {
    check(&Evening::of(library, library.programme(&programme()).unwrap()))
}

fn codes(library: &Library) -> Vec<&'static str> {
    found(library).into_iter().map(|finding| finding.rule.code()).collect()
}

/// The one finding of a code, or a panic that shows them all.
fn the(library: &Library, code: &str) -> Finding {
    let all = found(library);
    let mut of_code: Vec<Finding> =
        all.iter().filter(|finding| finding.rule.code() == code).cloned().collect();
    assert_eq!(of_code.len(), 1, "{code} once among {all:#?}");
    of_code.remove(0)
}

fn give(line: &str, player_id: &str) -> Edit {
    Edit::Assign { programme: programme(), line: at("w", line), player: Some(player(player_id)) }
}

fn play_on(line: &str, things: &[&str]) -> Edit {
    let instruments = things.iter().map(|id| instrument(id)).collect();
    Edit::UseInstruments { programme: programme(), line: at("w", line), instruments }
}

fn stand(thing: &str, number: u32, x: f64, y: f64) -> Edit {
    let placement = Placement { at: Point::new(x, y), turn_deg: 0.0, number, locked: false };
    Edit::Stand { programme: programme(), instrument: instrument(thing), placement }
}

/// The sample with each line given to a player of its own, on its instrument.
fn settled() -> Library {
    let edits =
        vec![give("xyl", "a"), give("sn", "b"), play_on("xyl", &["xylophone-1"]), play_on("sn", &["snare"])];
    edited(&library(), edits)
}

/// With a square hall of 10 by 8 m.
fn with_hall(change: impl FnOnce(&mut Venue)) -> Library {
    let mut hall = sample_venue("hall");
    hall.floor = [(-5.0, 0.0), (5.0, 0.0), (5.0, 8.0), (-5.0, 8.0)].map(|(x, y)| Point::new(x, y)).to_vec();
    change(&mut hall);
    edited(&settled(), vec![Edit::PutVenue(hall)])
}

fn changed_line(library: &Library, id: &str, change: impl FnOnce(&mut Line)) -> Edit {
    let mut line = library.line(&at("w", id)).unwrap().1.clone();
    change(&mut line);
    Edit::PutLine { work: WorkId::new("w").unwrap(), line }
}

#[test]
fn a_settled_programme_has_nothing_but_an_empty_floor() {
    assert_eq!(codes(&settled()), ["not-placed"]);
}

#[test]
fn nobody_and_no_instrument_are_told_once_a_work() {
    let open = library();
    assert_eq!(the(&open, "nobody").what, "Work w: 2 lines not assigned");
    assert_eq!(the(&open, "no-instrument").degree, Degree::Note);
    let kindless = edited(&settled(), vec![changed_line(&settled(), "sn", |line| line.kind = None)]);
    assert_eq!(the(&kindless, "open-kind").degree, Degree::Care);
}

#[test]
fn one_player_in_two_places_and_a_way_out() {
    // Both lines of the sample sound from 0 to 2 s.
    let twice = edited(&settled(), vec![give("sn", "a")]);
    let finding = the(&twice, "double-booked");
    assert_eq!((finding.degree, finding.rule.shows_on()), (Degree::Clash, ShowsOn::Section));
    let (words, edit) = finding.fix.unwrap();
    assert_eq!(words, "Assign Snare drum to Player b");
    assert!(!codes(&apply(&twice, &edit).unwrap()).contains(&"double-booked"));
}

#[test]
fn too_few_seconds_are_told_with_what_lacks() {
    let late = |line: &mut Line| {
        let measure = MeasureName::from(5);
        line.passages = vec![Passage {
            from: measure.clone(),
            to: measure,
            from_s: 4.0,
            to_s: 6.0,
            notes: Vec::new(),
            unpitched: Vec::new(),
            dynamics: None,
        }];
    };
    // 2.0 s between; 2.0 m by default at 1.2 m/s and 1.0 s to settle need 2.667 s.
    let base = settled();
    let short = edited(&base, vec![give("sn", "a"), changed_line(&base, "sn", late)]);
    let finding = the(&short, "too-short");
    assert_eq!(finding.what, "0.7\u{202f}s short: Player a, Work w I, mm. 1–5");
    assert!(
        finding.detail().contains("2.0\u{202f}s available; 2.7\u{202f}s needed for 2.0\u{202f}m (assumed)"),
        "{}",
        finding.detail()
    );
}

#[test]
fn one_instrument_in_two_hands() {
    let shared = edited(&settled(), vec![play_on("sn", &["xylophone-1"])]);
    assert_eq!(the(&shared, "shared-at-once").what, "Two players need xylophone 1 at m. 1");
    assert_eq!(the(&shared, "other-kind").degree, Degree::Note);
}

#[rstest]
#[case(11, "hall", true)] // overlaps 10:00 to 12:30
#[case(14, "hall", false)] // later in the same hall: it stays where it is
#[case(14, "other", true)] // the same day elsewhere: it would have to be carried
fn promised_twice(#[case] hour: i8, #[case] venue: &str, #[case] twice: bool) {
    let mut other = sample_programme("q", &["w"]);
    other.venue = Some(VenueId::new(venue).unwrap());
    other.setup.stand(
        instrument("snare"),
        Placement { at: Point::new(0.0, 3.0), turn_deg: 0.0, number: 1, locked: false },
    );
    let week = WeekId::new("k").unwrap();
    let library = edited(
        &settled(),
        vec![
            Edit::PutVenue(sample_venue("other")),
            Edit::PutProgramme { week: week.clone(), programme: other },
            Edit::PutService { week, service: service("t", "q", hour) },
        ],
    );
    assert_eq!(codes(&library).contains(&"instrument-twice"), twice);
}

#[test]
fn notes_that_lack_and_bars_that_are_dead() {
    let base = settled();
    let mut short = (**base.instruments.get(&instrument("xylophone-1")).unwrap()).clone();
    // The line sounds C6 and E6.
    short.frames[0].range = Some((key("F4"), key("D6")));
    let lacks = edited(&base, vec![Edit::PutInstrument(short)]);
    assert_eq!(the(&lacks, "lacks-notes").what, "xylophone 1 lacks 1 of 2 notes");
    let mut broken = (**base.instruments.get(&instrument("xylophone-1")).unwrap()).clone();
    broken.frames[0].dead.push(DeadBar { key: key("E6"), since: None, why: "cracked".to_owned() });
    let dead = edited(&base, vec![Edit::PutInstrument(broken)]);
    assert!(the(&dead, "dead-bar").what.contains("E6"));
}

#[test]
fn a_beater_that_harms_warns() {
    let base = settled();
    let mut kind = (**base.kinds.get(&KindId::new("xylophone").unwrap()).unwrap()).clone();
    kind.harmful = vec![Head::Rubber];
    let beaters = vec![BeaterId::new("rubber").unwrap()];
    let edit = Edit::UseBeaters { programme: programme(), line: at("w", "xyl"), beaters };
    let library = edited(&base, vec![Edit::PutKind(kind), edit]);
    assert_eq!(the(&library, "harmful-beater").degree, Degree::Care);
}

#[test]
fn a_beater_that_harms_what_the_instrument_is_made_of_warns() {
    let base = settled();
    let mut thing = (**base.instruments.get(&instrument("xylophone-1")).unwrap()).clone();
    thing.material = crate::collection::Material::Aluminium;
    let mut beater = (**base.beaters.get(&BeaterId::new("rubber").unwrap()).unwrap()).clone();
    beater.head = Head::Brass;
    let use_it =
        Edit::UseBeaters { programme: programme(), line: at("w", "xyl"), beaters: vec![beater.id.clone()] };
    let library = edited(&base, vec![Edit::PutBeater(beater), use_it]);
    assert!(!codes(&library).contains(&"harmful-beater"), "steel bars, as is usual for the kind, take brass");
    let library = edited(&library, vec![Edit::PutInstrument(thing)]);
    assert_eq!(the(&library, "harmful-beater").what, "Rubber may harm the xylophone 1 of aluminium");
}

#[rstest]
#[case(ServiceKind::Rehearsal, Degree::Care)]
#[case(ServiceKind::Concert, Degree::Clash)]
fn absent(#[case] kind: ServiceKind, #[case] degree: Degree) {
    let base = settled();
    let mut away = (**base.players.get(&player("a")).unwrap()).clone();
    let missed = Service { kind, ..service("s", "p", 10) };
    away.absences = vec![missed.id.clone()];
    let week = WeekId::new("k").unwrap();
    let library = edited(&base, vec![Edit::PutPlayer(away), Edit::PutService { week, service: missed }]);
    assert_eq!(the(&library, "absent").degree, degree);
}

#[test]
fn a_kind_that_the_player_does_not_take() {
    let base = settled();
    let mut choosy = (**base.players.get(&player("b")).unwrap()).clone();
    choosy.never = vec![KindId::new("snare_drum").unwrap()];
    let library = edited(&base, vec![Edit::PutPlayer(choosy)]);
    assert_eq!(the(&library, "does-not-play").degree, Degree::Clash);
}

#[test]
fn overlap_and_the_move_that_clears_it() {
    // Boxes of 1.0 by 0.5 m.
    let base =
        edited(&with_hall(|_| {}), vec![stand("snare", 6, 0.0, 3.0), stand("xylophone-1", 7, 0.88, 3.0)]);
    let finding = the(&base, "overlap");
    assert!(finding.what.contains("overlap by 0.12\u{202f}m"), "{}", finding.what);
    let (_, edit) = finding.fix.unwrap();
    assert!(!codes(&apply(&base, &edit).unwrap()).contains(&"overlap"));
}

#[test]
fn a_way_that_is_narrow() {
    let library =
        edited(&with_hall(|_| {}), vec![stand("snare", 1, 0.0, 3.0), stand("xylophone-1", 2, 1.48, 3.0)]);
    let finding = the(&library, "narrow-gangway");
    assert_eq!(
        (finding.degree, finding.what.as_str()),
        (Degree::Care, "Gap between 1 and 2 is only 0.48\u{202f}m")
    );
}

#[rstest]
#[case(-4.7, 3.0, "off-floor")]
#[case(2.0, 7.0, "keep-out")]
#[case(2.0, 5.1, "across-edge")]
#[case(0.0, 0.45, "players-space")]
fn where_it_must_not_stand(#[case] x: f64, #[case] y: f64, #[case] code: &str) {
    let corners = |y0: f64, y1: f64| {
        [(0.0, y0), (4.0, y0), (4.0, y1), (0.0, y1)].map(|(x, y)| Point::new(x, y)).to_vec()
    };
    let hall = with_hall(|hall| {
        hall.keep_out.push(Area {
            name: "brass".to_owned(),
            kept_for: AreaUse::NotToEnter,
            outline: corners(6.5, 8.0),
        });
        let riser =
            Riser { name: "R".to_owned(), outline: corners(5.0, 6.4), height_m: 0.2, rated_kn_m2: None };
        hall.risers.push(riser);
    });
    let library = edited(&hall, vec![stand("snare", 1, x, y)]);
    assert!(codes(&library).contains(&code), "{:?}", codes(&library));
}

#[test]
fn a_door_stays_free() {
    let hall = with_hall(|hall| {
        let outline =
            [(1.0, 6.5), (3.0, 6.5), (3.0, 8.0), (1.0, 8.0)].map(|(x, y)| Point::new(x, y)).to_vec();
        hall.keep_out.push(Area { name: "door".to_owned(), kept_for: AreaUse::WayIn, outline });
    });
    let finding = the(&edited(&hall, vec![stand("snare", 1, 2.0, 7.0)]), "keep-out");
    assert!(finding.detail().contains("fire rules"), "{}", finding.detail());
}

#[rstest]
#[case(300.0, Some(4.0), Some(Degree::Clash))] // 300 kg over 0.5 m2: 5.9 kN/m2
#[case(180.0, Some(4.0), Some(Degree::Care))] // 3.5 of 4.0
#[case(180.0, None, Some(Degree::Care))]
#[case(20.0, Some(4.0), None)]
fn loads_on_a_riser(#[case] kg: f64, #[case] rated: Option<f64>, #[case] degree: Option<Degree>) {
    let hall = with_hall(|hall| {
        let outline = hall.floor.clone();
        hall.risers.push(Riser { name: "Back".to_owned(), outline, height_m: 0.4, rated_kn_m2: rated });
    });
    let mut heavy = (**hall.instruments.get(&instrument("snare")).unwrap()).clone();
    heavy.mass = Some(Mass { kg, weighed: false });
    let library = edited(&hall, vec![Edit::PutInstrument(heavy), stand("snare", 1, 0.0, 4.0)]);
    let load = found(&library).into_iter().find(|finding| finding.rule.code() == "riser-load");
    assert_eq!(load.as_ref().map(|finding| finding.degree), degree);
    let says = match (degree, rated) {
        (Some(Degree::Clash), _) => "Back is over its rated load",
        (Some(_), Some(_)) => "Back is near its rated load",
        (Some(_), None) => "No load rating is stated for Back",
        (None, _) => "",
    };
    assert_eq!(load.as_ref().map_or("", |finding| finding.what.as_str()), says);
    assert!(load.is_none_or(|finding| finding.detail().contains("technical staff")));
}

/// What a thing weighs in pieces it weighs on the riser too.
#[test]
fn mass_in_pieces_presses_like_mass_of_the_whole() {
    let hall = with_hall(|hall| {
        let outline = hall.floor.clone();
        hall.risers.push(Riser { name: "Back".to_owned(), outline, height_m: 0.4, rated_kn_m2: Some(4.0) });
    });
    let said = |mass: Option<f64>, pieces: &[(u32, f64)]| {
        let mut heavy = (**hall.instruments.get(&instrument("snare")).unwrap()).clone();
        heavy.mass = mass.map(|kg| Mass { kg, weighed: false });
        let piece = |(count, kg): &(u32, f64)| crate::collection::Piece {
            what: "part".to_owned(),
            count: *count,
            mass: Some(Mass { kg: *kg, weighed: false }),
            ..Default::default()
        };
        heavy.pieces = pieces.iter().map(piece).collect();
        the(&edited(&hall, vec![Edit::PutInstrument(heavy), stand("snare", 1, 0.0, 4.0)]), "riser-load").why
    };
    let whole = said(Some(300.0), &[]);
    assert_eq!(said(None, &[(2, 120.0), (1, 60.0)]), whole);
    assert!(whole.contains("300\u{202f}kg in all"), "{whole}");
}

#[test]
fn not_yet_placed() {
    let library = edited(&with_hall(|_| {}), vec![stand("snare", 1, 0.0, 4.0)]);
    assert!(the(&library, "not-placed").why.contains("xylophone 1"));
}

#[test]
fn loud_things_bring_the_caution() {
    let base = settled();
    let mut kind = (**base.kinds.get(&KindId::new("snare_drum").unwrap()).unwrap()).clone();
    kind.id = KindId::new("clanger").unwrap();
    kind.loud = Some(crate::collection::Loudness::VeryLoud);
    let line = changed_line(&base, "sn", |line| line.kind = Some(KindId::new("clanger").unwrap()));
    let library = edited(&base, vec![Edit::PutKind(kind), line]);
    assert_eq!(the(&library, "loud").why, crate::stage::LOUD_CAUTION);
}

#[test]
fn ids_that_lead_nowhere_are_named() {
    let mut library = settled();
    std::sync::Arc::make_mut(&mut library.players).remove(&player("b"));
    std::sync::Arc::make_mut(&mut library.venues).clear();
    let dangling: Vec<String> = found(&library)
        .into_iter()
        .filter(|finding| matches!(finding.rule, Rule::Dangling | Rule::UnknownVenue))
        .map(|finding| finding.what)
        .collect();
    assert_eq!(dangling, ["The library has no player b", "The library has no venue hall"]);
    std::sync::Arc::make_mut(&mut library.works).clear();
    assert_eq!(the(&library, "unknown-work").degree, Degree::Clash);
}

#[test]
fn the_worst_comes_first_and_nothing_says_safe() {
    let library = edited(&library(), vec![give("xyl", "a"), give("sn", "a")]);
    let all = found(&library);
    assert!(all.windows(2).all(|two| two[0].degree <= two[1].degree));
    assert!(all.len() > 1 && all.iter().all(|finding| !finding.detail().contains(" safe")));
}

/// Programme `q` in another hall, of the same work with the same player and instrument, with services at these hours.
fn with_another(hours: &[i8], change: impl FnOnce(&mut Programme)) -> Library {
    let mut other = sample_programme("q", &["w"]);
    other.venue = Some(VenueId::new("pier").unwrap());
    let given = crate::week::Assignment { player: Some(player("a")), ..Default::default() };
    other.assign(at("w", "xyl"), given);
    change(&mut other);
    let week = WeekId::new("k").unwrap();
    let mut edits = vec![
        Edit::PutVenue(sample_venue("pier")),
        Edit::PutProgramme { week: week.clone(), programme: other },
    ];
    edits.extend(hours.iter().enumerate().map(|(nth, hour)| Edit::PutService {
        week: week.clone(),
        service: service(&format!("t{nth}"), "q", *hour),
    }));
    edited(&settled(), edits)
}

// The service of the sample is from 10:00 to 12:30; an hour is assumed from hall to hall.
#[rstest]
#[case(&[13], true)]
#[case(&[14], false)]
#[case(&[9], true)]
#[case(&[8], true)]
#[case(&[7], true)]
#[case(&[6], false)]
fn a_player_needs_an_hour_to_the_other_hall(#[case] hours: &[i8], #[case] twice: bool) {
    assert_eq!(codes(&with_another(hours, |_| {})).contains(&"player-twice"), twice);
}

#[test]
fn every_collision_of_a_player_is_told() {
    let told = the(&with_another(&[9, 11, 12], |_| {}), "player-twice").why;
    assert!(told.contains("at the same time on 4 Mar, 10:00; 4 Mar, 11:00 and on 4 Mar, 12:00"), "{told}");
    let library = with_another(&[11, 13], |_| {});
    let why = the(&library, "player-twice").why;
    assert!(why.contains("at the same time on 4 Mar, 11:00"), "{why}");
    assert!(
        why.contains("with 30\u{202f}min between them on 4 Mar, 13:00; moving takes about 60\u{202f}min"),
        "{why}"
    );
    let asked = library.services_of(&programme())[0];
    let wanted = wanted_elsewhere(&library, asked);
    assert_eq!(wanted.iter().map(|one| one.player.as_str()).collect::<Vec<_>>(), ["a", "a"]);
    // Who misses one of two services is not wanted in both.
    let mut away = (**library.players.get(&player("a")).unwrap()).clone();
    away.absences = vec![crate::id::ServiceId::new("t0").unwrap()];
    let library = edited(&library, vec![Edit::PutPlayer(away)]);
    assert_eq!(wanted_elsewhere(&library, library.services_of(&programme())[0]).len(), 1);
    assert!(!the(&library, "player-twice").why.contains("11:00"));
}

// A player holds two of a set at a time: four serve two players, three only one.
#[rstest]
#[case(2, true)]
#[case(3, true)]
#[case(4, false)]
fn beaters_that_both_need(#[case] count: u32, #[case] short: bool) {
    let rubber = || vec![BeaterId::new("rubber").unwrap()];
    let library = with_another(&[11], |other| {
        let given =
            crate::week::Assignment { player: Some(player("b")), beaters: rubber(), ..Default::default() };
        other.assign(at("w", "xyl"), given);
    });
    let mut set = (**library.beaters.get(&rubber()[0]).unwrap()).clone();
    set.count = count;
    let library = edited(
        &library,
        vec![
            Edit::PutBeater(set),
            Edit::UseBeaters { programme: programme(), line: at("w", "xyl"), beaters: rubber() },
        ],
    );
    assert_eq!(codes(&library).contains(&"beaters-twice"), short);
}

/// What mends a clash gives away the line that may be given away.
#[test]
fn a_pinned_line_stays_where_it_is() {
    let pin = |line| Edit::Lock { programme: programme(), line: at("w", line), locked: true };
    let twice = |edits: Vec<Edit>| {
        let mut all = vec![give("sn", "a")];
        all.extend(edits);
        the(&edited(&settled(), all), "double-booked").fix.map(|(words, _)| words)
    };
    assert_eq!(twice(vec![]).as_deref(), Some("Assign Snare drum to Player b"));
    assert_eq!(twice(vec![pin("sn")]).as_deref(), Some("Assign Xylophone to Player b"));
    assert_eq!(twice(vec![pin("sn"), pin("xyl")]), None);
}

/// A work that is taken out is counted no more, neither for other programmes nor on the truck.
#[test]
fn a_work_taken_out_is_promised_no_more() {
    let library = with_another(&[11], |_| {});
    assert!(codes(&library).contains(&"player-twice"));
    let mut without = library.programme(&programme()).unwrap().clone();
    without.works.clear();
    let library =
        edited(&library, vec![Edit::PutProgramme { week: WeekId::new("k").unwrap(), programme: without }]);
    assert!(!codes(&library).contains(&"player-twice"), "{:?}", codes(&library));
    let of = |library: &Library| Evening::of(library, library.programme(&programme()).unwrap());
    assert_eq!(of(&library).load(crate::loads::Way::StoreToStage).sum().pieces, 0);
    // Put back, it has nothing until somebody asks; the finding says so and asks.
    let mut back = library.programme(&programme()).unwrap().clone();
    back.works = vec![WorkId::new("w").unwrap()];
    let library =
        edited(&library, vec![Edit::PutProgramme { week: WeekId::new("k").unwrap(), programme: back }]);
    assert!(codes(&library).contains(&"nobody"));
    let finding = the(&library, "had-before");
    assert_eq!(finding.what, "Work w was in this programme before, with 2 lines assigned");
    let (_, take_up) = finding.fix.unwrap();
    let library = apply(&library, &take_up).unwrap();
    assert!(!codes(&library).contains(&"nobody") && !codes(&library).contains(&"had-before"));
    assert!(codes(&library).contains(&"player-twice"));
}

#[rstest]
#[case(2.0, false)] // 0.5 m across and 0.35 m forward from the middle between them
#[case(3.0, true)] // 1.0 m across
fn at_once_and_out_of_reach(#[case] apart_m: f64, #[case] far: bool) {
    let base = edited(
        &with_hall(|_| {}),
        vec![
            give("sn", "a"),
            stand("snare", 1, -apart_m / 2.0, 3.0),
            stand("xylophone-1", 2, apart_m / 2.0, 3.0),
        ],
    );
    let mut work = (**base.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    work.together.push((at("w", "xyl").line, at("w", "sn").line));
    let library = edited(&base, vec![Edit::PutWork(work)]);
    assert_eq!(codes(&library).contains(&"out-of-reach"), far, "{:?}", found(&library));
    assert!(!codes(&library).contains(&"double-booked"));
}

#[test]
fn one_line_on_two_things_out_of_reach() {
    let library = edited(
        &with_hall(|_| {}),
        vec![
            play_on("xyl", &["xylophone-1", "snare"]),
            stand("snare", 1, -1.5, 3.0),
            stand("xylophone-1", 2, 1.5, 3.0),
        ],
    );
    let finding = the(&library, "out-of-reach");
    assert_eq!(finding.what, "1 and 2 are too far apart to reach together");
    assert!(
        finding.why.contains("1.06\u{202f}m away") && finding.why.contains("reach is 0.90\u{202f}m"),
        "{}",
        finding.why
    );
}

#[test]
fn struck_things_without_beaters_are_told_once_a_work() {
    let library = settled();
    let id = KindId::new("xylophone").unwrap();
    let mut kind = (**library.kinds.get(&id).unwrap()).clone();
    kind.usual = vec![crate::collection::UsualBeater { head: Head::Rubber, hardness: None }];
    let library = edited(&library, vec![Edit::PutKind(kind)]);
    let finding = the(&library, "no-beaters");
    assert_eq!(finding.what, "Work w: 1 line without beaters");
    let beaters = vec![BeaterId::new("rubber").unwrap()];
    let given =
        edited(&library, vec![Edit::UseBeaters { programme: programme(), line: at("w", "xyl"), beaters }]);
    assert!(!codes(&given).contains(&"no-beaters"));
}

#[test]
fn a_concert_shorter_than_its_music_and_a_programme_without_services() {
    let library = settled();
    let week = library.weeks.keys().next().unwrap().clone();
    let mut work = (**library.works.values().next().unwrap()).clone();
    work.movements[0].timeline.end_s = 201.0 * 60.0;
    let concert = Service { kind: ServiceKind::Concert, ..service("c", "p", 19) };
    let long =
        edited(&library, vec![Edit::PutWork(work), Edit::PutService { week, service: concert.clone() }]);
    assert!(the(&long, "too-long").what.contains("201 minutes without a break, its concert 150"));
    let none =
        edited(&long, vec![Edit::RemoveService(concert.id), Edit::RemoveService(service("s", "p", 10).id)]);
    assert_eq!(the(&none, "no-service").degree, Degree::Note);
    assert!(!codes(&none).contains(&"too-long"));
}
