//! A line that ends or begins on another instrument, and the line before or after it, by hand. Usual habits: 1.2 m/s, 1.0 s to settle.

use super::*;
use crate::assign::{Asked, Terms};
use crate::edit::{Edit, apply};
use crate::evening::Evening;
use crate::findings;
use crate::id::{PlayerId, ProgrammeId};
use crate::moves::{Move, Timetable};
use crate::music::LineNote;
use crate::pitch::{Reading, parse_note};
use crate::rota::{Answer, Assignments, Effort, LineNo, List, PlayerNo, Rota, check};
use crate::sample::{at, instrument, key, library, venue};
use crate::seconds::Habits;
use crate::week::Placement;
use rstest::rstest;

fn p() -> ProgrammeId {
    ProgrammeId::new("p").unwrap()
}

fn id(instrument: &str) -> InstrumentId {
    InstrumentId::new(instrument).unwrap()
}

fn a() -> PlayerId {
    PlayerId::new("a").unwrap()
}

/// Player a has the xylophone's line, these notes evenly from 0 to 4 s, on a xylophone that ends at D6, and the snare drum's from
/// `snare_s` for 2 s. E6 is played on another xylophone. Xylophone and snare drum stand side by side, the other one across the stage.
fn across_the_stage(written: &str, snare_s: f64, decided: Option<Instead>) -> Library {
    let base = library();
    let mut short = instrument("xylophone-1", "xylophone", &["F4-D6"]);
    short.footprint = base.instruments.get(&id("snare")).unwrap().footprint;
    let mut work = (**base.works.values().next().unwrap()).clone();
    for line in &mut work.lines {
        let passage = &mut line.passages[0];
        if line.id.as_str() == "xyl" {
            let note = |name| LineNote::new(parse_note(name, Reading::English).unwrap(), 1.into());
            passage.notes = written.split_whitespace().map(note).collect();
            (passage.from_s, passage.to_s) = (0.0, 4.0);
        } else {
            (passage.from_s, passage.to_s) = (snare_s, snare_s + 2.0);
        }
    }
    let mut edits = vec![
        Edit::PutVenue(venue("hall")),
        Edit::PutInstrument(short),
        Edit::PutInstrument(instrument("other", "xylophone", &["F4-C8"])),
        Edit::PutWork(work),
    ];
    for (line, thing) in [("xyl", "xylophone-1"), ("sn", "snare")] {
        let instruments = vec![id(thing)];
        edits.push(Edit::UseInstruments { programme: p(), line: at("w", line), instruments });
        edits.push(Edit::Assign { programme: p(), line: at("w", line), player: Some(a()) });
    }
    for (number, (thing, x)) in
        [("xylophone-1", -3.0), ("snare", -1.5), ("other", 4.5)].into_iter().enumerate()
    {
        let number = u32::try_from(number).unwrap() + 1;
        let at = crate::collection::Point::new(x, 4.0);
        let placement = Placement { at, turn_deg: 0.0, number, locked: false };
        edits.push(Edit::Stand { programme: p(), instrument: id(thing), placement });
    }
    let decide = Edit::Decide { programme: p(), line: at("w", "xyl"), key: key("E6"), instead: decided };
    edits.push(decide);
    apply(&base, &Edit::Together { words: String::new(), edits }).unwrap()
}

fn elsewhere() -> Instead {
    Instead::On(id("other"))
}

fn evening(library: &Library) -> Evening {
    Evening::of(library, library.programme(&p()).unwrap())
}

/// The metres between the standing places of the snare drum and another thing, as the floor has them.
fn from_snare(evening: &Evening, thing: &str) -> f64 {
    evening.floor(None).ways().between(&id(thing), &id("snare")).unwrap().metres
}

fn only_move(timetable: &Timetable) -> Move {
    let mut moves = timetable.moves(&a());
    assert_eq!(moves.len(), 1);
    moves.remove(0)
}

/// From the other xylophone it is over 6 m, for which 3 s are not enough; from the line's own less than 2. Written E5 sounds E6.
#[rstest]
#[case::ends_there("C5 E5", 7.0, Some(elsewhere()), "other", false)]
#[case::ends_there_and_has_the_time("C5 E5", 12.0, Some(elsewhere()), "other", true)]
#[case::comes_back("E5 C5", 7.0, Some(elsewhere()), "xylophone-1", true)]
#[case::left_out("C5 E5", 7.0, Some(Instead::LeftOut), "xylophone-1", true)]
#[case::an_octave_lower("C5 E5", 7.0, Some(Instead::Octaves(-1)), "xylophone-1", true)]
#[case::nobody_has_decided("C5 E5", 7.0, None, "xylophone-1", true)]
fn a_move_begins_where_the_last_note_is_played(
    #[case] written: &str,
    #[case] snare_s: f64,
    #[case] decided: Option<Instead>,
    #[case] from: &str,
    #[case] fits: bool,
) {
    let evening = evening(&across_the_stage(written, snare_s, decided));
    let (step, metres) = (only_move(evening.timetable()), from_snare(&evening, from));
    assert_eq!(metres > 6.0, from == "other", "{metres}");
    approx::assert_relative_eq!(step.need.metres, metres, epsilon = 1e-6);
    let seconds = metres / Habits::default().pace_m_s + 1.0;
    approx::assert_relative_eq!(step.needs_s(), seconds, epsilon = 1e-6);
    assert_eq!(step.fits(), fits);
    let way = evening.timetable().route(&step).unwrap().way;
    approx::assert_relative_eq!(way.walk.metres, metres, epsilon = 1e-6);
}

/// The snare drum is over 3 s before the xylophone's line begins with E6.
#[test]
fn a_move_ends_where_the_first_note_is_played() {
    let base = across_the_stage("E5 C5", 0.0, Some(elsewhere()));
    let mut work = (**base.works.values().next().unwrap()).clone();
    for line in work.lines.iter_mut().filter(|line| line.id.as_str() == "xyl") {
        (line.passages[0].from_s, line.passages[0].to_s) = (5.0, 40.0);
    }
    let library = apply(&base, &Edit::PutWork(work)).unwrap();
    let evening = evening(&library);
    let step = only_move(evening.timetable());
    assert_eq!(step.to.line, at("w", "xyl"));
    approx::assert_relative_eq!(step.need.metres, from_snare(&evening, "other"), epsilon = 1e-6);
    assert!(!step.fits());
}

/// The answer to "can it go there", the findings and the assignments say the same; so does the checker that shares nothing with the search.
#[rstest]
#[case(7.0, false)]
#[case(12.0, true)]
fn everybody_asks_the_same_place(#[case] snare_s: f64, #[case] fits: bool) {
    let library = across_the_stage("C5 E5", snare_s, Some(elsewhere()));
    let evening = evening(&library);
    let programme = evening.programme();
    let short: Vec<_> =
        findings::check(&evening).into_iter().filter(|finding| finding.rule.code() == "too-short").collect();
    assert_eq!(short.is_empty(), fits, "{short:?}");
    if let Some(finding) = short.first() {
        assert_eq!(
            finding.why,
            "Xylophone in Work w I, which ends on other, then Snare drum in Work w I. 3.0\u{202f}s available; 6.3\u{202f}s needed for 6.3\u{202f}m."
        );
    }
    let answers = evening.timetable().answers(&library, &p(), &at("w", "sn"));
    assert_eq!(answers[0].fits(), fits, "{answers:?}");
    let asked = Asked::of(&library, programme, evening.timetable(), Terms::USUAL);
    let rota = Rota::new(asked.problem.clone()).unwrap();
    assert_eq!(rota.do_clash(LineNo(0), LineNo(1)), !fits);
    let Answer::Found(found) = rota.fewest(Effort::default()) else { panic!("two can do it") };
    assert_eq!((found.players, found.proven()), (if fits { 1 } else { 2 }, true));
    let one: List<LineNo, _> = vec![Some(PlayerNo(0)); 2].into();
    let faults = check::faults(&asked.problem, &Assignments { players: one });
    assert_eq!(faults.is_empty(), fits, "{faults:?}");
}

/// While the other xylophone is in the hand, the ways from it are looked for too.
#[test]
fn the_way_from_what_is_in_the_hand_is_known() {
    let evening = evening(&across_the_stage("C5 E5", 12.0, Some(elsewhere())));
    let at = crate::collection::Point::new(2.0, 5.5);
    let placement = Placement { at, turn_deg: 0.0, number: 3, locked: false };
    let floor = evening.moved(None, &[(id("other"), placement)].into());
    let mut hand = evening.hand(&floor, &[id("other")].into());
    let step = only_move(hand.timetable(&floor));
    assert!(!step.need.assumed);
    let metres = floor.ways().between(&id("other"), &id("snare")).unwrap().metres;
    approx::assert_relative_eq!(step.need.metres, metres, epsilon = 0.02);
    assert!((metres - from_snare(&evening, "other")).abs() > 0.1, "it was moved");
}

/// The xylophone's line on bars that are struck with mallets: notes in m. 1 and 2, four and then two of them; the snare drum after it.
fn with_counts(words: &[&str], seconds: f64, snare_s: f64) -> Library {
    use crate::collection::{Family, Head, UsualBeater};
    let base = across_the_stage("C5 C5", snare_s, None);
    let mut kind = (**base.kinds.get(&crate::id::KindId::new("xylophone").unwrap()).unwrap()).clone();
    (kind.family, kind.usual) = (Family::Keyboards, vec![UsualBeater { head: Head::Rubber, hardness: None }]);
    let mut work = (**base.works.values().next().unwrap()).clone();
    for line in work.lines.iter_mut().filter(|line| line.id.as_str() == "xyl") {
        line.beaters = words.iter().map(|words| (*words).to_owned()).collect();
        let passage = &mut line.passages[0];
        (passage.to, passage.to_s) = (2.into(), seconds);
        passage.notes[1].measure = 2.into();
    }
    let edits = vec![Edit::PutKind(kind), Edit::PutWork(work)];
    apply(&base, &Edit::Together { words: String::new(), edits }).unwrap()
}

/// Evenly from 0 to so many seconds the second note is struck after half of them; a change between two and four takes 4 s.
#[rstest]
#[case(6.0, 1)]
#[case(8.0, 0)]
fn mallets_are_changed_within_a_line(#[case] seconds: f64, #[case] short: usize) {
    let evening = evening(&with_counts(&["4 mallets", "2 mallets from m. 2"], seconds, 30.0));
    let timetable = evening.timetable();
    let taken = timetable.line(&at("w", "xyl")).unwrap();
    let given = evening.programme().assignment(&taken.line);
    let asides = timetable.asides(evening.library(), taken, &given);
    assert_eq!(asides.iter().map(super::super::Aside::mallets).collect::<Vec<_>>(), [Some(2)]);
    assert_eq!(
        (asides[0].step.has_us, asides[0].step.need.us()),
        (crate::seconds::micros(seconds / 2.0), 4_000_000)
    );
    let told = findings::check(&evening).into_iter().filter(|finding| finding.rule.code() == "too-short");
    let told: Vec<String> = told.map(|finding| format!("{}. {}", finding.what, finding.why)).collect();
    assert_eq!(told.len(), short, "{told:?}");
    if let [only] = told.as_slice() {
        assert_eq!(
            only,
            "1.0\u{202f}s short to change to two mallets: Player a, Work w I, mm. 1–2. In Xylophone in Work w I there are two mallets from m. 2. 3.0\u{202f}s from stroke to stroke; 4.0\u{202f}s needed for a change between two and four mallets. When each note is struck is not known, so notes are taken to be even within their measures."
        );
    }
}

/// What is in the hands at the end of the line is what is put down for the next: with four mallets 4 s, with two nothing. The
/// checker of the assignments works it out anew.
#[rstest]
#[case(&["4 mallets"], 4_000_000)]
#[case(&["4 mallets", "2 mallets from m. 2"], 0)]
#[case(&["2 mallets", "4 mallets from m. 2"], 4_000_000)]
#[case(&["2 mallets"], 0)]
fn the_last_count_is_put_down(#[case] words: &[&str], #[case] change_us: i64) {
    let library = with_counts(words, 60.0, 62.5);
    let evening = evening(&library);
    let step = only_move(evening.timetable());
    assert_eq!(step.need.change_us, change_us);
    let asked = Asked::of(&library, evening.programme(), evening.timetable(), Terms::USUAL);
    let rota = Rota::new(asked.problem.clone()).unwrap();
    let fits = change_us == 0;
    assert_eq!((step.fits(), rota.do_clash(LineNo(0), LineNo(1))), (fits, !fits));
    assert_eq!(check::cannot_take_both(&asked.problem, LineNo(0), LineNo(1)).is_none(), fits);
    let passage = asked.problem.lines[LineNo(0)].passages[crate::rota::PassageNo(0)];
    let held = |key: Option<crate::rota::BeatersNo>| !asked.problem.holds[key.unwrap()].is_empty();
    assert_eq!(held(passage.put_down()), !fits);
}

/// The second of three notes is played on the other xylophone, from 1.3 to 2.7 s of the line; another player's line on that xylophone
/// lasts 2 s.
#[rstest]
#[case(2.0, true)]
#[case(0.0, true)]
#[case(3.0, false)]
fn a_note_on_another_instrument_takes_it(#[case] from_s: f64, #[case] crowd: bool) {
    let base = across_the_stage("C5 E5 C5", from_s, Some(elsewhere()));
    let b = PlayerId::new("b").unwrap();
    let line = at("w", "sn");
    let instruments = vec![id("other")];
    let edits = vec![
        Edit::UseInstruments { programme: p(), line: line.clone(), instruments },
        Edit::Assign { programme: p(), line: line.clone(), player: Some(b.clone()) },
    ];
    let library = apply(&base, &Edit::Together { words: String::new(), edits }).unwrap();
    let evening = evening(&library);
    let told = findings::check(&evening).into_iter().filter(|one| one.rule.code() == "shared-at-once");
    let told: Vec<String> = told.map(|finding| finding.what).collect();
    let expected = if crowd { vec!["Two players need other at m. 1"] } else { Vec::new() };
    assert_eq!(told, expected);
    let answers = evening.timetable().answers(&library, &p(), &line);
    let of_b = answers.iter().find(|answer| answer.player == b).unwrap();
    assert_eq!(of_b.fits(), !crowd, "{of_b:?}");
    let asked = Asked::of(&library, evening.programme(), evening.timetable(), Terms::USUAL);
    let two: List<LineNo, _> = vec![Some(PlayerNo(0)), Some(PlayerNo(1))].into();
    let faults = check::faults(&asked.problem, &Assignments { players: two.clone() });
    assert_eq!(faults.is_empty(), !crowd, "{faults:?}");
    let alone = Assignments { players: vec![Some(PlayerNo(0)), None].into() };
    let rota = Rota::new(asked.problem.clone()).unwrap();
    assert_eq!(rota.can_take(&alone, LineNo(1))[1].yes(), !crowd);
}
