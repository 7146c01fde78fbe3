//! What findings say to the letter, and where each rule begins and ends; the figures are worked out by hand.

mod drums;
mod elsewhere;
mod fixes;
mod floor;
mod playing;
mod together;
mod twice;

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
    assert_eq!(one.line(), "what");
    let one = one.why("It is so. It stays.").remedy("Mend it.");
    assert_eq!(one.detail(), "It is so. It stays. Mend it.");
    assert_eq!(one.line(), "what: it is so. It stays");
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
    let not = the(&library, "does-not-play");
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
            Edit::Assign { programme: programme(), line: at("w", "sn"), player: None },
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

/// One thing may be wrong in two ways, and both are told.
#[test]
fn two_faults_of_one_thing_are_two_findings() {
    let library = edited(&with_hall(|_| {}), vec![stand("snare", 1, -4.7, 0.45)]);
    assert_eq!((whats(&library, "off-floor").len(), whats(&library, "players-space").len()), (1, 1));
}
