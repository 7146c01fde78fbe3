use super::{cover as found, *};
use crate::collection::{DeadBar, Pitched};
use crate::edit::Edit;
use crate::music::MeasureName;
use crate::pitch::Octave;
use crate::sample::{instrument, key, kind, library_of, line, pitches};
use rstest::rstest;

/// What is found, with the short answer held against it.
fn cover(library: &Library, asked: &Line) -> Cover {
    let cover = found(library, asked);
    let answered = cover.is_whole() || !cover.together.is_empty();
    assert_eq!(is_answered(library, asked), answered, "the short answer is the long one's");
    cover
}

fn crotales(frames: &[(&str, &[&str])]) -> Library {
    let mut edits = vec![
        Edit::PutKind(kind("crotales", Pitched::Yes, Some(Octave::TWO_UP))),
        Edit::PutKind(kind("triangle", Pitched::No, None)),
        Edit::PutInstrument(instrument("triangle-2", "triangle", &[])),
        Edit::PutInstrument(instrument("triangle-1", "triangle", &[])),
    ];
    edits.extend(frames.iter().map(|(id, frames)| Edit::PutInstrument(instrument(id, "crotales", frames))));
    library_of(edits)
}

fn names(ids: impl IntoIterator<Item = InstrumentId>) -> Vec<String> {
    ids.into_iter().map(|id| id.to_string()).collect()
}

#[test]
fn best_first() {
    let library = crotales(&[
        ("a-scattered", &["C7 D6"]),
        ("b-part-two-lacking", &["C6"]),
        ("c-part-one-lacking", &["C6 D6"]),
        ("d-octave-up", &["C7-C8"]),
        ("e-octave-low", &["C5-C6"]),
        ("f-two-low", &["C4-C5"]),
        ("z-whole", &["C6-C7"]),
        ("y-whole-in-two-frames", &["C6-D6", "E6 F6"]),
        ("x-nothing", &["G6"]),
    ]);
    let cover = cover(&library, &line("c", Some("crotales"), Octave::TWO_UP, "C4 D4 E4"));
    let order = names(cover.fits.iter().map(|fit| fit.instrument.clone()));
    assert_eq!(
        order,
        [
            "y-whole-in-two-frames",
            "z-whole",
            "e-octave-low",
            "d-octave-up",
            "f-two-low",
            "c-part-one-lacking",
            "a-scattered",
            "b-part-two-lacking",
            "x-nothing"
        ]
    );
    assert!(cover.is_whole() && cover.together.is_empty() && cover.fewest);
    assert_eq!(cover.of(&cover.fits[5].instrument).unwrap().lacking(), pitches("E6"));
}

#[test]
fn low_and_high_together() {
    let library = crotales(&[("high", &["C7-C8"]), ("low", &["C6-B6"]), ("low-again", &["C6-C7"])]);
    let cover = cover(&library, &line("c", Some("crotales"), Octave::TWO_UP, "D4 D5"));
    assert!(!cover.is_whole());
    assert_eq!(names(cover.together.clone()), ["high", "low"]);
    assert!(cover.fewest);
}

#[test]
fn a_dead_bar_is_missing() {
    let mut plain = instrument("set", "crotales", &["C6-C7"]);
    plain.frames[0].dead = vec![DeadBar { key: key("D6"), since: None, why: "cracked".to_owned() }];
    let library = library_of(vec![
        Edit::PutKind(kind("crotales", Pitched::Yes, Some(Octave::TWO_UP))),
        Edit::PutInstrument(plain),
    ]);
    let cover = cover(&library, &line("c", Some("crotales"), Octave::TWO_UP, "C4 D4"));
    assert_eq!((cover.fits[0].reach.fit, cover.fits[0].reach.missing), (Fit::Part, pitches("D6")));
    assert!(cover.together.is_empty());
}

#[test]
fn without_pitch_each_of_the_kind_is_whole() {
    let library = crotales(&[]);
    let cover = cover(&library, &line("t", Some("triangle"), Octave::AS_WRITTEN, ""));
    assert_eq!(names(cover.fits.iter().map(|f| f.instrument.clone())), ["triangle-1", "triangle-2"]);
    assert!(cover.fits.iter().all(|f| f.reach.fit == Fit::Whole));
}

#[rstest]
#[case::open_line(None)]
#[case::a_kind_that_is_not_there(Some("gong"))]
fn nothing_to_answer_with(#[case] kind: Option<&str>) {
    let cover = cover(&crotales(&[("set", &["C6-C7"])]), &line("c", kind, Octave::AS_WRITTEN, "C6"));
    assert!(cover.fits.is_empty() && cover.together.is_empty() && !cover.is_whole());
}

#[test]
fn a_note_beyond_the_keys_is_never_whole() {
    let mut asked = line("c", Some("crotales"), Octave::TWO_UP, "C4 A7 A7");
    let cover_of = |asked: &Line| cover(&crotales(&[("set", &["C6-C7"])]), asked);
    let found = cover_of(&asked);
    assert_eq!(found.fits[0].reach.fit, Fit::Part);
    assert_eq!(found.beyond.len(), 1, "the same note once");
    asked.passages[0].notes.iter_mut().for_each(|note| note.measure = MeasureName::new("12a"));
    asked.octave = Octave::AS_WRITTEN;
    assert!(cover_of(&asked).beyond.is_empty());
}
