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
/// `snare_s` for 2 s. E6 is played on another xylophone. Xylophone and snare drum stand 0.9 m apart, the other one 6 m from both or so.
fn across_the_stage(written: &str, snare_s: f64, decided: Option<Instead>) -> Library {
    let base = library();
    let mut short = instrument("xylophone-1", "xylophone", &["F4-D6"]);
    short.footprint = (**base.instruments.get(&id("snare")).unwrap()).footprint.clone();
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
        edits.push(Edit::Give { programme: p(), line: at("w", line), player: Some(a()) });
    }
    for (number, (thing, x)) in [("xylophone-1", -3.0), ("snare", -1.5), ("other", 4.5)].into_iter().enumerate() {
        let number = u32::try_from(number).unwrap() + 1;
        let at = crate::collection::Point::new(x, 4.0);
        let placement = Placement { at, turn_deg: 0.0, number, locked: false };
        edits.push(Edit::Stand { programme: p(), instrument: id(thing), placement });
    }
    let decide = Edit::Decide { programme: p(), line: at("w", "xyl"), key: key("E6"), instead: decided };
    edits.push(decide);
    apply(&base, &Edit::Together { words: String::new(), edits }).unwrap()
}

fn elsewhere() -> Option<Instead> {
    Some(Instead::On(id("other")))
}

fn evening(library: &Library) -> Evening {
    Evening::of(library, library.programme(&p()).unwrap())
}

fn only_move(timetable: &Timetable) -> Move {
    let mut moves = timetable.moves(&a());
    assert_eq!(moves.len(), 1);
    moves.remove(0)
}

/// From the other xylophone it is 6.0 m, which take 5.0 s and 1.0 s to settle; from the line's own 1.5 m, which take 2.25 s. Written
/// E5 sounds E6.
#[rstest]
#[case::ends_there("C5 E5", 7.0, elsewhere(), 6.0, false)]
#[case::ends_there_and_has_the_time("C5 E5", 10.0, elsewhere(), 6.0, true)]
#[case::comes_back("E5 C5", 7.0, elsewhere(), 1.5, true)]
#[case::left_out("C5 E5", 7.0, Some(Instead::LeftOut), 1.5, true)]
#[case::an_octave_lower("C5 E5", 7.0, Some(Instead::Octaves(-1)), 1.5, true)]
#[case::nobody_has_decided("C5 E5", 7.0, None, 1.5, true)]
fn a_move_begins_where_the_last_note_is_played(
    #[case] written: &str,
    #[case] snare_s: f64,
    #[case] decided: Option<Instead>,
    #[case] metres: f64,
    #[case] fits: bool,
) {
    let evening = evening(&across_the_stage(written, snare_s, decided));
    let step = only_move(evening.timetable());
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
    let base = across_the_stage("E5 C5", 0.0, elsewhere());
    let mut work = (**base.works.values().next().unwrap()).clone();
    for line in work.lines.iter_mut().filter(|line| line.id.as_str() == "xyl") {
        (line.passages[0].from_s, line.passages[0].to_s) = (5.0, 40.0);
    }
    let library = apply(&base, &Edit::PutWork(work)).unwrap();
    let step = only_move(evening(&library).timetable());
    assert_eq!(step.to.line, at("w", "xyl"));
    approx::assert_relative_eq!(step.need.metres, 6.0, epsilon = 1e-6);
    assert!(!step.fits());
}

/// The answer to "can it go there", the findings and the assignments say the same; so does the checker that shares nothing with the search.
#[rstest]
#[case(7.0, false)]
#[case(10.0, true)]
fn everybody_asks_the_same_place(#[case] snare_s: f64, #[case] fits: bool) {
    let library = across_the_stage("C5 E5", snare_s, elsewhere());
    let evening = evening(&library);
    let programme = evening.programme();
    let short: Vec<_> =
        findings::check(&evening).into_iter().filter(|finding| finding.rule.code() == "too-short").collect();
    assert_eq!(short.is_empty(), fits, "{short:?}");
    if let Some(finding) = short.first() {
        assert_eq!(
            finding.why,
            "Xylophone in Work w I, which ends on other, then Snare drum in Work w I. 3.0\u{202f}s available; 6.0\u{202f}s needed for 6.0\u{202f}m."
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
    let evening = evening(&across_the_stage("C5 E5", 10.0, elsewhere()));
    let at = crate::collection::Point::new(4.5, 5.5);
    let placement = Placement { at, turn_deg: 0.0, number: 3, locked: false };
    let floor = evening.moved(None, &[(id("other"), placement)].into());
    let mut hand = evening.hand(&floor, &[id("other")].into());
    let step = only_move(hand.timetable(&floor));
    assert!(!step.need.assumed);
    approx::assert_relative_eq!(step.need.metres, 6.0_f64.hypot(1.5), epsilon = 0.02);
}
