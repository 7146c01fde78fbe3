//! Hand-worked timetables. Usual habits: 1.2 m/s, 1.0 s to settle, 1.5 s to change, 2.0 m where no plan says.

use super::*;
use crate::collection::Shape;
use crate::edit::{Edit, apply};
use crate::id::{InstrumentId, KindId, PlayerId, ProgrammeId};
use crate::library::Library;
use crate::music::{MeasureName, Passage};
use crate::sample::{at, library};
use crate::stage::{Plan, Walks};
use crate::week::{Placement, ServiceKind};
use rstest::rstest;

fn player(id: &str) -> PlayerId {
    PlayerId::new(id).unwrap()
}

fn edited(library: &Library, edits: Vec<Edit>) -> Library {
    apply(library, &Edit::Together { words: String::new(), edits }).unwrap()
}

fn passage(from: u32, to: u32, from_s: f64, to_s: f64) -> Passage {
    let (from, to) = (MeasureName::from(from), MeasureName::from(to));
    Passage { from, to, from_s, to_s, notes: Vec::new(), unpitched: Vec::new(), dynamics: None }
}

/// The sample with the xylophone in m. 1–8 (0 to 10 s) and the snare drum in m. 9–12 from `snare_s` on, both for `a`.
fn timed(snare_s: f64) -> Library {
    let base = library();
    let mut work = (**base.works.values().next().unwrap()).clone();
    for line in &mut work.lines {
        line.passages = if line.id.as_str() == "xyl" {
            vec![passage(1, 8, 0.0, 10.0)]
        } else {
            vec![passage(9, 12, snare_s, snare_s + 5.0)]
        };
    }
    let programme = ProgrammeId::new("p").unwrap();
    let mut edits = vec![Edit::PutWork(work)];
    for (line, instrument) in [("xyl", "xylophone-1"), ("sn", "snare")] {
        let instruments = vec![InstrumentId::new(instrument).unwrap()];
        edits.push(Edit::UseInstruments { programme: programme.clone(), line: at("w", line), instruments });
        edits.push(Edit::Assign {
            programme: programme.clone(),
            line: at("w", line),
            player: Some(player("a")),
        });
    }
    edited(&base, edits)
}

fn table(library: &Library) -> Timetable {
    let programme = library.programme(&ProgrammeId::new("p").unwrap()).unwrap();
    let plan = Plan::of(library, programme);
    let venue = programme.venue.as_ref().and_then(|id| library.venues.get(id));
    Timetable::of(library, programme, Walks::of(&plan, venue.map(|venue| &**venue)))
}

// 2.0 / 1.2 + 1.0 = 2.666667 s.
#[rstest]
#[case(12.666_667, true)]
#[case(12.666_666, false)]
#[case(10.0, false)]
fn a_gap_that_equals_the_need_is_enough(#[case] snare_s: f64, #[case] fits: bool) {
    let moves = table(&timed(snare_s)).moves(&player("a"));
    assert_eq!((moves.len(), moves[0].fits()), (1, fits));
    assert!(moves[0].need.assumed);
    assert_eq!((moves[0].from.measure.as_str(), moves[0].to.measure.as_str()), ("8", "9"));
}

/// The snare drum begins 3.0 s after the xylophone and asks for 2.67 s of them; a line that is playable together with it begins so many
/// seconds after it and asks for a change of beaters too: 4.17 s, from the xylophone.
#[rstest]
#[case::at_one_moment(0.0, &[(3_000_000, true), (3_000_000, false)])]
#[case::soon_after_it(1.0, &[(3_000_000, true), (4_000_000, false)])]
#[case::late_enough(1.5, &[(3_000_000, true)])] // it is played from the same place
fn in_time_for_the_one_and_too_late_for_the_other(#[case] after_s: f64, #[case] expected: &[(i64, bool)]) {
    let base = timed(13.0);
    let mut work = (**base.works.values().next().unwrap()).clone();
    let mut third = work.lines[1].clone();
    third.id = crate::id::LineId::new("third").unwrap();
    third.passages = vec![passage(9, 12, 13.0 + after_s, 18.0)];
    work.together.push((work.lines[1].id.clone(), third.id.clone()));
    work.lines.push(third);
    let of = || (ProgrammeId::new("p").unwrap(), at("w", "third"));
    let mut edits = vec![Edit::PutWork(work)];
    let (programme, line) = of();
    let instruments = vec![InstrumentId::new("snare").unwrap()];
    edits.push(Edit::UseInstruments { programme, line, instruments });
    let (programme, line) = of();
    let beaters = vec![crate::id::BeaterId::new("rubber").unwrap()];
    edits.push(Edit::UseBeaters { programme, line, beaters });
    let (programme, line) = of();
    edits.push(Edit::Assign { programme, line, player: Some(player("a")) });
    let moves = table(&edited(&base, edits)).moves(&player("a"));
    let found: Vec<(i64, bool)> = moves.iter().map(|step| (step.has_us, step.fits())).collect();
    assert_eq!(found, expected);
}

#[test]
fn other_beaters_cost_a_change_and_the_floor_plan_replaces_the_default() {
    let mut library = timed(20.0);
    let programme = ProgrammeId::new("p").unwrap();
    let beaters = vec![crate::id::BeaterId::new("rubber").unwrap()];
    let stand = |instrument: &str, x: f64| Edit::Stand {
        programme: programme.clone(),
        instrument: InstrumentId::new(instrument).unwrap(),
        placement: Placement {
            at: crate::collection::Point::new(x, 1.5),
            turn_deg: 0.0,
            number: 1,
            locked: false,
        },
    };
    library = edited(
        &library,
        vec![
            Edit::UseBeaters { programme: programme.clone(), line: at("w", "xyl"), beaters },
            stand("xylophone-1", -1.5),
            stand("snare", 1.5),
        ],
    );
    // 3.0 m straight: 3.0 / 1.2 + 1.0 + 1.5 = 5.0 s of the 10.0 s between.
    let step = table(&library).moves(&player("a")).remove(0);
    assert!(step.need.change.is_some() && !step.need.assumed);
    assert_eq!((step.has_us, step.need.us()), (10_000_000, 5_000_000));
}

#[test]
fn two_lines_on_one_thing_and_a_line_without_any_ask_for_no_way() {
    let programme = ProgrammeId::new("p").unwrap();
    let on = |things: &[&str]| {
        let instruments = things.iter().map(|id| InstrumentId::new(id).unwrap()).collect();
        let edit = Edit::UseInstruments { programme: programme.clone(), line: at("w", "sn"), instruments };
        table(&edited(&timed(12.0), vec![edit]))
    };
    let shared = on(&["xylophone-1"]);
    let step = shared.moves(&player("a")).remove(0);
    assert!(step.need.same_place && step.need.us() == 0, "another line on the same thing: {step:?}");
    let open = on(&[]);
    let line = open.line(&at("w", "sn")).unwrap().at(0);
    let need = |from: At<'_>, to: At<'_>| open.need(from.leaves().unwrap(), to.comes().unwrap());
    assert!(need(line, line).same_place, "within a line, though nothing is chosen for it");
    let other = open.line(&at("w", "xyl")).unwrap().at(0);
    assert!(need(other, line).assumed, "where it will stand is not known");
}

#[test]
fn a_table_in_the_way_makes_the_move_longer() {
    let library = timed(20.0);
    let programme = ProgrammeId::new("p").unwrap();
    let mut barrier = (**library.instruments.values().next().unwrap()).clone();
    barrier.id = InstrumentId::new("barrier").unwrap();
    barrier.footprint.shape = Shape::Box { width_m: 0.4, depth_m: 1.4 };
    let stand = |instrument: &str, x: f64| Edit::Stand {
        programme: programme.clone(),
        instrument: InstrumentId::new(instrument).unwrap(),
        placement: Placement {
            at: crate::collection::Point::new(x, 1.5),
            turn_deg: 0.0,
            number: 1,
            locked: false,
        },
    };
    let open = edited(&library, vec![stand("xylophone-1", -1.8), stand("snare", 1.8)]);
    let shut = edited(&open, vec![Edit::PutInstrument(barrier), stand("barrier", 0.0)]);
    let metres = |library: &Library| table(library).moves(&player("a"))[0].need.metres;
    assert!((metres(&open) - 3.6).abs() < 1e-9);
    // Over the near corners of the barrier, grown by 0.15 m: (±0.2, 0.65), from standing places at (±1.8, 0.9).
    let round = 2.0 * 1.6_f64.hypot(0.25) + 0.4;
    assert!((metres(&shut) - round).abs() < 1e-9, "{} {round}", metres(&shut));
}

#[test]
fn answers_give_the_reason_in_words() {
    let base = timed(11.6);
    let programme = ProgrammeId::new("p").unwrap();
    let give = |library: &Library, player: Option<PlayerId>| {
        edited(library, vec![Edit::Assign { programme: programme.clone(), line: at("w", "sn"), player }])
    };
    let free = give(&base, None);
    let reason = |library: &Library, who: usize| {
        let answers = table(library).answers(library, &programme, &at("w", "sn"));
        (answers[who].fits(), answers[who].reason.clone())
    };
    assert_eq!(
        reason(&free, 0),
        (false, "1.6\u{202f}s after xylophone at m. 8; needs 2.7\u{202f}s".to_owned())
    );
    assert_eq!(reason(&free, 1), (true, "nothing else to play here".to_owned()));
    let early = give(&timed(6.0), None);
    let (fits, words) = reason(&early, 0);
    assert!(!fits && words.starts_with("already playing xylophone, m"), "{words}");
    let roomy = give(&timed(17.94), None);
    assert_eq!(reason(&roomy, 0), (true, "tightest move 7.9\u{202f}s, needs 2.7\u{202f}s".to_owned()));
}

#[test]
fn absence_and_unwillingness_come_first() {
    let base = timed(30.0);
    let programme = ProgrammeId::new("p").unwrap();
    let service = base.services().next().unwrap().clone();
    let mut absent = (**base.players.get(&player("a")).unwrap()).clone();
    absent.absences = vec![service.id.clone()];
    let mut timpanist = (**base.players.get(&player("b")).unwrap()).clone();
    timpanist.only = vec![KindId::new("xylophone").unwrap()];
    let edits = vec![Edit::PutPlayer(absent), Edit::PutPlayer(timpanist)];
    let rehearsal = edited(&base, edits);
    let answers = table(&rehearsal).answers(&rehearsal, &programme, &at("w", "sn"));
    assert!(answers[0].fits(), "a rehearsal missed is a remark");
    assert_eq!(answers[0].remark.as_deref(), Some("away from 4 Mar, 10:00"));
    assert_eq!((answers[1].fits(), answers[1].reason.as_str()), (false, "plays xylophone only"));
    let week = base.weeks.keys().next().unwrap().clone();
    let concert = crate::week::Service { kind: ServiceKind::Concert, ..service };
    let evening = edited(&rehearsal, vec![Edit::PutService { week, service: concert }]);
    let answers = table(&evening).answers(&evening, &programme, &at("w", "sn"));
    assert_eq!(
        (answers[0].fits(), answers[0].reason.as_str()),
        (false, "away from the concert, 4 Mar, 10:00")
    );
}

/// Who is engaged, and for what, is asked before what else the player plays.
#[test]
fn only_those_engaged_can_take_a_line() {
    use crate::week::{Engagement, Service, Standing};
    let base = timed(30.0);
    let programme = ProgrammeId::new("p").unwrap();
    let week = base.weeks.keys().next().unwrap().clone();
    let rehearsal = base.services().next().unwrap().clone();
    let id = crate::id::ServiceId::new("c").unwrap();
    let concert = Service {
        id: id.clone(),
        kind: ServiceKind::Concert,
        start: rehearsal.start.date().at(19, 0, 0, 0),
        ..rehearsal.clone()
    };
    let base = edited(&base, vec![Edit::PutService { week, service: concert }]);
    let answer = |standing, services: &[&crate::id::ServiceId]| {
        let services = services.iter().map(|id| (*id).clone()).collect();
        let engagement = Some(Engagement { standing, timpani: false, services });
        let engage = Edit::Engage { programme: programme.clone(), player: player("b"), engagement };
        let library = edited(&base, vec![engage]);
        let answer = table(&library).answers(&library, &programme, &at("w", "sn")).remove(1);
        (answer.refusal, answer.reason, answer.remark.unwrap_or_default())
    };
    let fits = |remark: &str| (None, "nothing else to play here".to_owned(), remark.to_owned());
    let no = |refusal, reason: &str, remark: &str| (Some(refusal), reason.to_owned(), remark.to_owned());
    assert_eq!(answer(Standing::Engaged, &[]), fits(""));
    assert_eq!(answer(Standing::Reserve, &[]), fits("in reserve"));
    assert_eq!(answer(Standing::Engaged, &[&id]), fits("not engaged for 4 Mar, 10:00"));
    assert_eq!(answer(Standing::Free, &[]), no(Refusal::NotEngaged, "not engaged", ""));
    let reason = "not engaged for the concert, 4 Mar, 19:00";
    assert_eq!(answer(Standing::Engaged, &[&rehearsal.id]), no(Refusal::NotFor(id.clone()), reason, ""));
}

/// What is in the hands says how long its change takes: cymbals that are held, four mallets for chords, a bow.
#[test]
fn what_is_changed_says_how_long_it_takes() {
    use crate::collection::{Family, Head, UsualBeater};
    use crate::seconds::{Change, Hold};
    let base = timed(30.0);
    let kind = |id: &str| (**base.kinds.get(&KindId::new(id).unwrap()).unwrap()).clone();
    let change = |edits: Vec<Edit>| {
        let library = edited(&base, edits);
        let table = table(&library);
        let (from, to) = (table.lines[0].at(0), table.lines[1].at(0));
        let need = table.need(from.leaves().unwrap(), to.comes().unwrap());
        (need.change, need.change_us)
    };
    assert_eq!(change(Vec::new()), (None, 0), "nothing is in either hand");
    let mut cymbals = kind("snare_drum");
    cymbals.held = true;
    let held = change(vec![Edit::PutKind(cymbals)]);
    assert_eq!(held, (Some(Change::Take(Hold::Cymbals)), 3_000_000));

    let mut bars = kind("xylophone");
    (bars.family, bars.usual) = (Family::Keyboards, vec![UsualBeater { head: Head::Rubber, hardness: None }]);
    let mut work = (**base.works.values().next().unwrap()).clone();
    let passage = &mut work.lines[0].passages[0];
    let chord = ["C5", "E5", "G5"].map(|name| {
        let written = crate::pitch::parse_note(name, crate::pitch::Reading::English).unwrap();
        let struck = crate::music::Struck {
            at_us: 1_000_000,
            played: 0,
            ticks: 0,
            lasts_us: None,
            dynamic: None,
            rolled: false,
        };
        crate::music::LineNote { struck: Some(struck), ..crate::music::LineNote::new(written, 1.into()) }
    });
    passage.notes = chord[..2].to_vec();
    let two = vec![Edit::PutKind(bars.clone()), Edit::PutWork(work.clone())];
    assert_eq!(change(two), (None, 0), "two notes at once need two mallets");
    work.lines[0].passages[0].notes = chord.to_vec();
    let four = change(vec![Edit::PutKind(bars), Edit::PutWork(work)]);
    assert_eq!(four, (Some(Change::Take(Hold::FourMallets)), 4_000_000));

    let bow = crate::collection::Beater { head: Head::Bow, ..crate::sample::beater("rubber") };
    let beaters = vec![crate::id::BeaterId::new("rubber").unwrap()];
    let programme = ProgrammeId::new("p").unwrap();
    let with = Edit::UseBeaters { programme, line: at("w", "xyl"), beaters };
    assert_eq!(change(vec![Edit::PutBeater(bow), with]), (Some(Change::Take(Hold::Bow)), 2_500_000));
}

/// Of two neighbours the one with less to spare is told, whichever comes first: 7.94 s after the xylophone, and so many before a third
/// line.
#[rstest]
#[case(30.0, "tightest move 7.0\u{202f}s, needs 2.7\u{202f}s")] // 30.0 - 22.94
#[case(40.0, "tightest move 7.9\u{202f}s, needs 2.7\u{202f}s")]
fn the_tightest_of_several_is_told(#[case] third_s: f64, #[case] says: &str) {
    let base = timed(17.94);
    let mut work = (**base.works.values().next().unwrap()).clone();
    let mut third = work.lines[1].clone();
    third.id = crate::id::LineId::new("third").unwrap();
    third.passages = vec![passage(20, 21, third_s, third_s + 1.0)];
    work.lines.push(third);
    let programme = ProgrammeId::new("p").unwrap();
    let give = |line: &str, player: Option<PlayerId>| Edit::Assign {
        programme: programme.clone(),
        line: at("w", line),
        player,
    };
    let library =
        edited(&base, vec![Edit::PutWork(work), give("third", Some(player("a"))), give("sn", None)]);
    let answers = table(&library).answers(&library, &programme, &at("w", "sn"));
    assert_eq!((answers[0].fits(), answers[0].reason.as_str()), (true, says));
}

/// The xylophone sounds in m. 1 to 8, from 0 to 10 s.
#[rstest]
#[case((5, 12, 6.0, 15.0), "already playing xylophone, mm. 5–8")]
#[case((5, 6, 6.0, 8.0), "already playing xylophone, mm. 5–6")]
#[case((8, 12, 9.0, 15.0), "already playing xylophone, m. 8")]
#[case((5, 5, 6.0, 6.0), "already playing xylophone, m. 5")]
fn the_measures_that_both_play_are_told(#[case] span: (u32, u32, f64, f64), #[case] says: &str) {
    let base = timed(30.0);
    let mut work = (**base.works.values().next().unwrap()).clone();
    work.lines[1].passages = vec![passage(span.0, span.1, span.2, span.3)];
    let programme = ProgrammeId::new("p").unwrap();
    let unassigned = Edit::Assign { programme: programme.clone(), line: at("w", "sn"), player: None };
    let library = edited(&base, vec![Edit::PutWork(work), unassigned]);
    let answers = table(&library).answers(&library, &programme, &at("w", "sn"));
    assert_eq!((answers[0].fits(), answers[0].reason.as_str()), (false, says));
}

#[test]
fn a_line_before_another_says_so() {
    let base = timed(30.0);
    let mut work = (**base.works.values().next().unwrap()).clone();
    // The snare drum ends 1.5 s before the xylophone begins.
    work.lines[0].passages = vec![passage(9, 12, 20.0, 25.0)];
    work.lines[1].passages = vec![passage(1, 8, 10.0, 18.5)];
    let programme = ProgrammeId::new("p").unwrap();
    let unassigned = Edit::Assign { programme: programme.clone(), line: at("w", "sn"), player: None };
    let library = edited(&base, vec![Edit::PutWork(work), unassigned]);
    let answers = table(&library).answers(&library, &programme, &at("w", "sn"));
    assert_eq!(answers[0].reason, "1.5\u{202f}s before xylophone at m. 9; needs 2.7\u{202f}s");
    assert!(table(&library).answers(&library, &programme, &at("w", "gone")).is_empty());
}

/// Who takes some kinds alone is told by them: one, two, or one and how many more.
#[rstest]
#[case(&["xylophone"], "plays xylophone only")]
#[case(&["xylophone", "gong"], "plays xylophone and gong only")]
#[case(&["xylophone", "gong", "whip"], "plays xylophone and 2 other kinds only")]
fn what_somebody_plays_alone(#[case] only: &[&str], #[case] says: &str) {
    let base = timed(30.0);
    let mut one = (**base.players.get(&player("b")).unwrap()).clone();
    one.only = only.iter().map(|id| KindId::new(id).unwrap()).collect();
    let mut other = (**base.players.get(&player("a")).unwrap()).clone();
    other.never = vec![KindId::new("snare_drum").unwrap()];
    let library = edited(&base, vec![Edit::PutPlayer(one), Edit::PutPlayer(other)]);
    let programme = ProgrammeId::new("p").unwrap();
    let answers = table(&library).answers(&library, &programme, &at("w", "sn"));
    assert_eq!((answers[1].reason.as_str(), answers[0].reason.as_str()), (says, "does not take snare drum"));
}

/// The lines of one movement of one work, and no others; the section's own habits.
#[test]
fn a_timetable_of_one_movement() {
    let base = timed(30.0);
    let mut work = (**base.works.values().next().unwrap()).clone();
    let mut second = work.movements[0].clone();
    second.id = crate::id::MovementId::new("ii").unwrap();
    work.movements.push(second);
    let mut line = work.lines[1].clone();
    line.id = crate::id::LineId::new("later").unwrap();
    line.movement = crate::id::MovementId::new("ii").unwrap();
    work.lines.push(line);
    let mut other = work.clone();
    other.id = crate::id::WorkId::new("v").unwrap();
    let mut orchestra = (*base.orchestra).clone();
    orchestra.habits.pace_m_s = 2.0;
    let mut programme = base.programme(&ProgrammeId::new("p").unwrap()).unwrap().clone();
    programme.works.push(other.id.clone());
    let week = base.weeks.keys().next().unwrap().clone();
    let edits = vec![
        Edit::PutWork(work),
        Edit::PutWork(other),
        Edit::SetOrchestra(orchestra),
        Edit::PutProgramme { week, programme },
    ];
    let library = edited(&base, edits);
    let whole = table(&library);
    assert!((whole.habits().pace_m_s - 2.0).abs() < 1e-12);
    let of = |work: &str, movement: &str| {
        let (work, movement) =
            (crate::id::WorkId::new(work).unwrap(), crate::id::MovementId::new(movement).unwrap());
        whole
            .of_movement(&work, &movement)
            .lines
            .iter()
            .map(|taken| taken.line.line.to_string())
            .collect::<Vec<_>>()
    };
    assert_eq!(
        (of("w", "i"), of("w", "ii"), of("v", "ii")),
        (vec!["xyl".to_owned(), "sn".into()], vec!["later".into()], vec!["later".into()])
    );
    assert!(
        whole
            .of_movement(&crate::id::WorkId::new("v").unwrap(), &crate::id::MovementId::new("i").unwrap())
            .lines
            .iter()
            .all(|taken| taken.line.work.as_str() == "v")
    );
}

/// Three notes at once ask for four mallets on bars that are struck, and not on what is played by hand, bowed, or is no keyboard.
#[test]
fn only_struck_bars_ask_for_four_mallets() {
    use crate::collection::{Family, Head, UsualBeater};
    let base = timed(30.0);
    let mut work = (**base.works.values().next().unwrap()).clone();
    let chord = ["C5", "E5", "G5"].map(|name| {
        let written = crate::pitch::parse_note(name, crate::pitch::Reading::English).unwrap();
        let struck = crate::music::Struck {
            at_us: 1_000_000,
            played: 0,
            ticks: 0,
            lasts_us: None,
            dynamic: None,
            rolled: false,
        };
        crate::music::LineNote { struck: Some(struck), ..crate::music::LineNote::new(written, 1.into()) }
    });
    work.lines[0].passages[0].notes = chord.to_vec();
    let holds = |family: Family, head: Option<Head>| {
        let mut kind = (**base.kinds.get(&KindId::new("xylophone").unwrap()).unwrap()).clone();
        kind.family = family;
        kind.usual = head.map(|head| UsualBeater { head, hardness: None }).into_iter().collect();
        let library = edited(&base, vec![Edit::PutKind(kind), Edit::PutWork(work.clone())]);
        table(&library).lines[0].spans[0].begins.holds.len()
    };
    assert_eq!(holds(Family::Keyboards, Some(Head::Rubber)), 1);
    assert_eq!(holds(Family::Keyboards, Some(Head::Hand)), 0);
    assert_eq!(holds(Family::Keyboards, Some(Head::Bow)), 0);
    assert_eq!((holds(Family::Keyboards, None), holds(Family::Bells, Some(Head::Rubber))), (0, 0));
}

/// A player's passages in the order of time, and nobody else's.
#[test]
fn the_passages_of_a_player() {
    let base = timed(4.0);
    let mut work = (**base.works.values().next().unwrap()).clone();
    work.lines[0].passages.push(passage(13, 14, 20.0, 21.0));
    let library = edited(&base, vec![Edit::PutWork(work)]);
    let of = |who: &str| -> Vec<(String, usize)> {
        table(&library)
            .passages(&player(who))
            .iter()
            .map(|at| (at.line.line.to_string(), at.passage))
            .collect()
    };
    assert_eq!(of("a"), [("xyl".to_owned(), 0), ("sn".to_owned(), 0), ("xyl".to_owned(), 1)]);
    assert_eq!(of("b"), []);
}

/// A second player finds no place at what is for one; the first one's own two lines are another matter.
#[rstest]
#[case(false, 5.0, Some("xylophone 1 is needed by Player a then, m. 9"))]
#[case(true, 5.0, None)]
#[case(false, 10.0, None)] // begins as the other ends
fn an_instrument_that_is_taken_is_no_answer(
    #[case] for_two: bool,
    #[case] from_s: f64,
    #[case] why: Option<&str>,
) {
    let base = timed(from_s);
    let id = InstrumentId::new("xylophone-1").unwrap();
    let mut thing = (**base.instruments.get(&id).unwrap()).clone();
    thing.for_two = for_two;
    let programme = ProgrammeId::new("p").unwrap();
    let line = at("w", "sn");
    let library = edited(
        &base,
        vec![
            Edit::PutInstrument(thing),
            Edit::UseInstruments {
                programme: programme.clone(),
                line: line.clone(),
                instruments: vec![id.clone()],
            },
        ],
    );
    let answers = table(&library).answers(&library, &programme, &line);
    let of_b = answers.iter().find(|answer| answer.player == player("b")).unwrap();
    assert_eq!(of_b.refusal, why.map(|_| Refusal::Taken(id)));
    assert_eq!(of_b.reason, why.unwrap_or("nothing else to play here"));
}
