//! Tonight's tuning, as findings.

use super::*;
use crate::music::typed::{parse_line, parse_tempo};
use crate::pitch::{Reading, ReferenceA};

/// The settled sample with the xylophone's line and timeline typed anew, on steel bars tuned to an A.
fn with_line(text: &str, a: f64) -> Library {
    let base = settled();
    let mut work = (**base.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    let timeline = parse_tempo("1-40 4/4 1/4=60").unwrap();
    for movement in &mut work.movements {
        movement.timeline = timeline.clone();
    }
    let old = work.lines.iter().position(|line| line.id.as_str() == "xyl").unwrap();
    let ids = (work.lines[old].id.clone(), work.lines[old].movement.clone());
    work.lines[old] =
        parse_line(text, Reading::English).unwrap().line(ids, (None, None), &timeline, None).unwrap();
    edited(&base, vec![Edit::PutWork(work), Edit::PutInstrument(steel(&base, "xylophone-1", a))])
}

fn steel(library: &Library, id: &str, a: f64) -> crate::collection::Instrument {
    let mut thing = (**library.instruments.get(&instrument(id)).unwrap()).clone();
    thing.material = crate::collection::Material::Steel;
    thing.tuned_to = Some(ReferenceA::new(a).unwrap());
    thing
}

#[test]
fn a_long_high_note_is_heard_and_says_why() {
    let library = with_line("xylophone | 1-2 C7*2 pp", 443.0);
    let finding = the(&library, "out-of-tune");
    assert_eq!(finding.degree, Degree::Care, "soft and 12 cents off");
    assert!(finding.what.contains("12 cents above the orchestra"), "{}", finding.what);
    assert!(finding.why.contains("beats a second") && finding.why.contains("pp"), "{}", finding.why);
    assert!(!codes(&library).contains(&"other-a"), "said once");
    assert_eq!(finding.about, [About::Line(at("w", "xyl")), About::Instrument(instrument("xylophone-1"))]);
    assert!(finding.remedy.ends_with("hire one at the concert’s A."), "{}", finding.remedy);
}

#[test]
fn what_short_notes_hide_is_not_told() {
    let told = codes(&with_line("xylophone | 1-2 C7*64", 443.0)).join(" ");
    assert!(!told.contains("out-of-tune") && !told.contains("other-a"), "{told}");
}

#[test]
fn another_a_is_told_where_no_notes_can_decide() {
    let library = with_line("xylophone | 1-2", 443.0);
    assert!(!codes(&library).contains(&"out-of-tune"));
    // 1200 log2(443 / 440) = 11.8 cents.
    let finding = the(&library, "other-a");
    assert!(finding.why.starts_with("11.8 cents above"), "{}", finding.why);
    assert!(finding.why.contains("notes are not entered"), "{}", finding.why);
}

#[test]
fn warm_air_makes_a_keyboard_flat_beside_the_winds() {
    let cool = with_line("xylophone | 1-2 C7*2 p", 440.0);
    assert!(!codes(&cool).contains(&"out-of-tune"));
    let mut programme = cool.programme(&programme()).unwrap().clone();
    programme.celsius = Some(27.0);
    let week = WeekId::new("k").unwrap();
    let warm = edited(&cool, vec![Edit::PutProgramme { week, programme }]);
    let finding = the(&warm, "out-of-tune");
    assert!(finding.what.contains("below the winds"), "{}", finding.what);
    assert!(finding.why.contains("27\u{202F}°C"), "{}", finding.why);
    assert!(
        finding.remedy.ends_with("let the tuner see it."),
        "it is at the concert’s A: {}",
        finding.remedy
    );
}

/// At 27 degrees winds rise by 600 log2(300.15 / 293.15) = 20.4 cents, and steel of -86 ppm a kelvin falls by 1.0: at 440 it lies
/// 21.5 below them, at 441 (3.9 above the A) 17.5. The one that is farther from the A is closer to the winds.
#[test]
fn in_warm_air_the_closer_one_is_the_one_closer_to_the_winds() {
    let cool = with_line("xylophone | 1-2 C7*2 p", 440.0);
    let mut other = steel(&cool, "xylophone-1", 441.0);
    other.id = instrument("xylophone-2");
    other.name = "Xylophone 2".to_owned();
    let mut programme = cool.programme(&programme()).unwrap().clone();
    programme.celsius = Some(27.0);
    let week = WeekId::new("k").unwrap();
    let warm = edited(&cool, vec![Edit::PutInstrument(other), Edit::PutProgramme { week, programme }]);
    let finding = the(&warm, "out-of-tune");
    assert!(finding.what.contains("xylophone 1 is 21 cents below the winds"), "{}", finding.what);
    assert_eq!(finding.remedy, "Xylophone 2 is closer: 18 cents from the winds in the middle.");
}

#[test]
fn one_that_sits_better_is_named() {
    let library = with_line("xylophone | 1-2 C7*2 pp", 443.0);
    let mut other = steel(&library, "xylophone-1", 440.0);
    other.id = instrument("xylophone-2");
    other.name = "Xylophone 2".to_owned();
    let library = edited(&library, vec![Edit::PutInstrument(other)]);
    assert!(the(&library, "out-of-tune").remedy.starts_with("Xylophone 2 is closer"));
}

/// The xylophone's line is one for bells now, in a library with cast bells from C4 to E4.
fn with_bells(text: &str) -> Library {
    let base = with_line(text, 440.0);
    let mut kind = crate::sample::kind("church_bells", crate::collection::Pitched::Yes, None);
    kind.family = crate::collection::Family::Bells;
    let mut bells = crate::sample::instrument("bells", "church_bells", &[]);
    let range = Some((key("C4"), key("E4")));
    bells.frames = vec![crate::collection::Frame { range, ..crate::collection::Frame::default() }];
    let mut work = (**base.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    let line = work.lines.iter_mut().find(|line| line.id.as_str() == "xyl").unwrap();
    line.kind = Some(KindId::new("church_bells").unwrap());
    edited(
        &base,
        vec![
            Edit::PutKind(kind),
            Edit::PutInstrument(bells),
            Edit::PutWork(work),
            play_on("xyl", &["bells"]),
        ],
    )
}

#[test]
fn bells_that_nobody_here_has_are_to_borrow() {
    let finding = the(&with_bells("church bells | 1-2 C4 F#4 F#4"), "bell-to-borrow");
    assert_eq!(finding.degree, Degree::Care);
    assert!(finding.what.ends_with("none of our bells has F♯4 (2×)"), "{}", finding.what);
    assert!(!codes(&with_bells("church bells | 1-2 C4 E4")).iter().any(|code| code.starts_with("bell-")));
}

#[test]
fn bells_in_another_octave_are_offered_and_not_assumed() {
    let library = with_bells("church bells | 1-2 C5 D4");
    let finding = the(&library, "bell-elsewhere");
    assert_eq!(finding.degree, Degree::Note);
    assert!(finding.why.contains("C5: C4 (an octave lower): bells"), "{}", finding.why);
    assert!(!finding.why.contains("D4:"), "{}", finding.why);
    // A keyboard that has the note stands in.
    let played = edited(&library, vec![play_on("xyl", &["xylophone-1"])]);
    assert!(!codes(&played).iter().any(|code| code.starts_with("bell-")));
}

/// Two lines on two xylophones, the second of them typed for the snare drum's player, at these A.
fn with_two(one: (&str, f64), other: (&str, f64)) -> Library {
    let base = with_line(one.0, one.1);
    let mut second = steel(&base, "xylophone-1", other.1);
    second.id = instrument("xylophone-2");
    second.name = "Xylophone 2".to_owned();
    let mut work = (**base.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    let timeline = work.movements[0].timeline.clone();
    let old = work.lines.iter().position(|line| line.id.as_str() == "sn").unwrap();
    let ids = (work.lines[old].id.clone(), work.lines[old].movement.clone());
    let mut line =
        parse_line(other.0, Reading::English).unwrap().line(ids, (None, None), &timeline, None).unwrap();
    line.kind = Some(KindId::new("xylophone").unwrap());
    work.lines[old] = line;
    edited(&base, vec![Edit::PutInstrument(second), Edit::PutWork(work), play_on("sn", &["xylophone-2"])])
}

fn of_code(library: &Library, code: &str) -> Vec<Finding> {
    found(library).into_iter().filter(|finding| finding.rule.code() == code).collect()
}

/// 443 against 440: 11.8 cents, whatever the octave between them; in one pitch class alone.
#[rstest]
#[case("C7*2", "C7*2", Some("in unison: 11.8 cents"))]
#[case("C7*2", "C6*2", Some("an octave apart: 11.8 cents"))]
#[case("C5*2", "C7*2", Some("2 octaves apart: 11.8 cents"))]
#[case("C7*2", "E7*2", None)]
#[case("C7*64", "C7*64", None)] // too short to beat once
fn two_that_strike_together_beat(#[case] one: &str, #[case] other: &str, #[case] says: Option<&str>) {
    let text = |notes: &str| format!("xylophone | 1-2 {notes} p");
    let library = with_two((&text(one), 443.0), (&text(other), 440.0));
    let told = of_code(&library, "beat-together");
    assert_eq!(told.len(), usize::from(says.is_some()));
    if let (Some(finding), Some(says)) = (told.first(), says) {
        assert_eq!(
            (finding.what.as_str(), finding.degree),
            ("xylophone 1 and Xylophone 2 beat against each other", Degree::Note)
        );
        assert!(finding.why.contains(says) && finding.why.ends_with("beats a second."), "{}", finding.why);
        let about = [
            About::Line(at("w", "xyl")),
            About::Instrument(instrument("xylophone-1")),
            About::Line(at("w", "sn")),
            About::Instrument(instrument("xylophone-2")),
        ];
        assert_eq!(finding.about, about);
    }
}

/// 443 against 440 beats 1.8 times a second at C4: in notes of a second that is a whole beat, heard where both are soft, and not the
/// two that a loud one needs.
#[rstest]
#[case("p", "p", 1)]
#[case("ff", "p", 0)]
#[case("p", "ff", 0)]
fn what_is_covered_beats_unheard(#[case] one: &str, #[case] other: &str, #[case] told: usize) {
    let text = |dynamic: &str| format!("xylophone | 1-2 C4*8 {dynamic}");
    let library = with_two((&text(one), 443.0), (&text(other), 440.0));
    assert_eq!(of_code(&library, "beat-together").len(), told);
}

/// In another movement they are not together, nor two lines on one instrument.
#[test]
fn what_is_not_played_at_once_does_not_beat() {
    let library = with_two(("xylophone | 1-2 C7*2 p", 443.0), ("xylophone | 1-2 C7*2 p", 440.0));
    let one = edited(&library, vec![play_on("sn", &["xylophone-1"])]);
    assert!(of_code(&one, "beat-together").is_empty());
    let mut work = (**library.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    let mut second = work.movements[0].clone();
    second.id = crate::id::MovementId::new("ii").unwrap();
    work.movements.push(second);
    let line = work.lines.iter_mut().find(|line| line.id.as_str() == "sn").unwrap();
    line.movement = crate::id::MovementId::new("ii").unwrap();
    let apart = edited(&library, vec![Edit::PutWork(work.clone())]);
    assert!(of_code(&apart, "beat-together").is_empty());
    // In another work of the programme: the same movement's name is another movement.
    let mut moved = work.clone();
    moved.id = WorkId::new("v").unwrap();
    moved.movements.truncate(1);
    moved.lines.retain(|line| line.id.as_str() == "sn");
    moved.lines[0].movement = moved.movements[0].id.clone();
    work.lines.retain(|line| line.id.as_str() == "xyl");
    let mut programme = library.programme(&programme()).unwrap().clone();
    programme.works.push(moved.id.clone());
    let given = crate::week::Assignment {
        player: Some(player("b")),
        instruments: vec![instrument("xylophone-2")],
        ..Default::default()
    };
    programme.assign(at("v", "sn"), given);
    let week = WeekId::new("k").unwrap();
    let edits = vec![Edit::PutWork(moved), Edit::PutWork(work), Edit::PutProgramme { week, programme }];
    assert!(of_code(&edited(&library, edits), "beat-together").is_empty());
}

/// Of two lines of one instrument against one other the worst moment is told, once: the higher it is the faster it beats.
#[rstest]
#[case("C6*2", "C7*2")]
#[case("C7*2", "C6*2")]
fn the_worst_moment_of_two_instruments_is_told(#[case] first: &str, #[case] third: &str) {
    let text = |notes: &str| format!("xylophone | {notes} p");
    let one = text(&format!("1-2 {first}"));
    let library = with_two((&one, 443.0), ("xylophone | 1-2 C6*2; 5-6 C7*2 p", 440.0));
    let mut work = (**library.works.get(&WorkId::new("w").unwrap()).unwrap()).clone();
    let timeline = work.movements[0].timeline.clone();
    let ids = (crate::id::LineId::new("third").unwrap(), work.lines[0].movement.clone());
    let typed = text(&format!("5-6 {third}"));
    let mut line =
        parse_line(&typed, Reading::English).unwrap().line(ids, (None, None), &timeline, None).unwrap();
    line.kind = Some(KindId::new("xylophone").unwrap());
    work.lines.push(line);
    let library =
        edited(&library, vec![Edit::PutWork(work), give("third", "a"), play_on("third", &["xylophone-1"])]);
    let told = of_code(&library, "beat-together");
    assert_eq!(told.len(), 1, "{told:#?}");
    // The fastest is the one whose notes are both C7, or a C7 against a C6 where no other pair is.
    let hz = |finding: &Finding| -> f64 {
        let words: Vec<&str> = finding.why.split(' ').collect();
        let at = words.iter().position(|word| word.starts_with("beats")).unwrap();
        words[at - 1].parse().unwrap()
    };
    let each: Vec<f64> = [first, third]
        .iter()
        .zip(["C6*2", "C7*2"])
        .flat_map(|(ours, theirs)| {
            let pair =
                with_two((&text(&format!("1-2 {ours}")), 443.0), (&text(&format!("1-2 {theirs}")), 440.0));
            of_code(&pair, "beat-together").iter().map(hz).collect::<Vec<_>>()
        })
        .collect();
    let most = each.iter().copied().fold(0.0, f64::max);
    assert!((hz(&told[0]) - most).abs() < 0.06, "{} of {each:?}", hz(&told[0]));
}

/// Soft and ten cents off asks for care; less or louder is a note. 1200 log2(a / 440).
#[rstest]
#[case(443.0, "pp", Degree::Care, "12 cents above the orchestra")]
#[case(443.0, "p", Degree::Care, "12 cents above the orchestra")]
#[case(443.0, "mf", Degree::Note, "12 cents above the orchestra")]
#[case(442.0, "pp", Degree::Note, "8 cents above the orchestra")]
#[case(437.0, "pp", Degree::Care, "12 cents below the orchestra")]
fn how_bad_it_is(#[case] a: f64, #[case] dynamic: &str, #[case] degree: Degree, #[case] says: &str) {
    let library = with_line(&format!("xylophone | 1-2 C7*2 {dynamic}"), a);
    let finding = the(&library, "out-of-tune");
    assert_eq!(finding.degree, degree);
    assert!(finding.what.ends_with(says), "{}", finding.what);
    assert!(finding.why.ends_with(". 2 notes last long enough to be heard."), "{}", finding.why);
    let one = the(&with_line(&format!("xylophone | 1-2 C7 {dynamic}"), a), "out-of-tune");
    assert!(!one.why.contains("notes last"), "{}", one.why);
}

/// Another is closer when it is so by more than two cents: 443 is 11.8 cents off, 442.6 is 10.2, 442.4 is 9.4.
#[rstest]
#[case(442.6, "None of ours is closer")]
#[case(442.4, "Xylophone 2 is closer: 9 cents from the orchestra in the middle.")]
fn what_is_closer(#[case] a: f64, #[case] says: &str) {
    let library = with_line("xylophone | 1-2 C7*2 pp", 443.0);
    let mut other = steel(&library, "xylophone-1", a);
    other.id = instrument("xylophone-2");
    other.name = "Xylophone 2".to_owned();
    let remedy = the(&edited(&library, vec![Edit::PutInstrument(other)]), "out-of-tune").remedy;
    assert!(remedy.starts_with(says), "{remedy}");
}

/// What a survey has in tune is not told for the A that somebody once stated.
#[rstest]
#[case(0.0, 0)]
#[case(8.0, 1)]
fn a_survey_goes_before_the_stated_a(#[case] cents: f64, #[case] told: usize) {
    let library = with_line("xylophone | 1-2", 443.0);
    let day = jiff::civil::Date::new(2026, 3, 1).unwrap();
    let hz = crate::tuning::raised(library.orchestra.a.frequency(key("C6")).value(), cents);
    let readings = vec![crate::care::Reading::new(key("C6"), hz)];
    let survey = crate::care::Survey { celsius: Some(20.0), readings, ..crate::care::Survey::on(day) };
    let care =
        crate::care::Care { surveys: vec![survey], ..crate::care::Care::of(instrument("xylophone-1")) };
    assert_eq!(of_code(&edited(&library, vec![Edit::PutCare(care)]), "other-a").len(), told);
}

/// From two cents on it is told: 440.5 is 1.97 cents above 440, 440.6 is 2.36, 439.4 as much below.
#[rstest]
#[case(440.5, None)]
#[case(440.6, Some("2.4 cents above the orchestra’s A 440."))]
#[case(439.4, Some("2.4 cents below the orchestra’s A 440."))]
fn another_a_is_told_from_two_cents_on(#[case] a: f64, #[case] says: Option<&str>) {
    let told = of_code(&with_line("xylophone | 1-2", a), "other-a");
    assert_eq!(told.len(), usize::from(says.is_some()));
    if let (Some(finding), Some(says)) = (told.first(), says) {
        assert!(finding.why.starts_with(says), "{}", finding.why);
        assert_eq!(finding.what, format!("xylophone 1 is tuned to A {a}"));
    }
}
