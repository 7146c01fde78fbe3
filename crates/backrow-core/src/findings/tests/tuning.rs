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
    assert!(finding.remedy.ends_with("hire one at tonight’s A."), "{}", finding.remedy);
}

#[test]
fn short_notes_leave_only_the_fact() {
    let library = with_line("xylophone | 1-2 C7*64", 443.0);
    assert!(!codes(&library).contains(&"out-of-tune"));
    // 1200 log2(443 / 440) = 11.8 cents.
    let finding = the(&library, "other-a");
    assert!(finding.why.starts_with("11.8 cents above"), "{}", finding.why);
    assert!(finding.why.contains("no note that is long or high enough"), "{}", finding.why);
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
    assert!(finding.remedy.ends_with("let the tuner see it."), "it is at tonight’s A: {}", finding.remedy);
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
