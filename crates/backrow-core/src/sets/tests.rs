//! Lines on sets and on single drums.

use super::*;
use crate::collection::Kind;
use crate::edit::{Edit, apply};
use crate::music::MeasureName;
use crate::sample::{instrument, key, kind, line};
use crate::timpani::Said;
use std::sync::Arc;

fn timpani() -> Kind {
    Kind { family: Family::Timpani, layout: Layout::Drums, ..kind("timpani", Pitched::Yes, None) }
}

fn drum(id: &str, name: &str, range: &str) -> Instrument {
    let mut thing = instrument(id, "timpani", &[range]);
    thing.layout = Layout::Drums;
    name.clone_into(&mut thing.frames[0].name);
    thing
}

fn library() -> Library {
    let mut set = instrument("set", "timpani", &["D2-A2", "F2-C3", "A#2-F3", "D3-A3"]);
    set.layout = Layout::Drums;
    for (frame, name) in set.frames.iter_mut().zip(["32 in", "29 in", "26 in", "23 in"]) {
        name.clone_into(&mut frame.name);
    }
    let mut pair = instrument("pair", "timpani", &["F2-C3", "A#2-F3"]);
    pair.layout = Layout::Drums;
    for frame in &mut pair.frames {
        frame.tuned_by = TunedBy::HandScrews;
    }
    let edits = [
        Edit::PutKind(timpani()),
        Edit::PutInstrument(set),
        Edit::PutInstrument(pair),
        Edit::PutInstrument(drum("t29", "29 in", "F2-C3")),
        Edit::PutInstrument(drum("t26", "26 in", "A#2-F3")),
    ];
    edits.iter().fold(Library::default(), |library, edit| apply(&library, edit).unwrap())
}

/// A line of a note a measure and a second, from measure 1 on.
fn rolled(notes: &str) -> Line {
    let mut line = line("t", Some("timpani"), crate::pitch::Octave::AS_WRITTEN, notes);
    let passage = &mut line.passages[0];
    let count = u32::try_from(passage.notes.len()).unwrap();
    for (at, note) in (1..=count).zip(&mut passage.notes) {
        note.measure = MeasureName::from(at);
    }
    passage.to = MeasureName::from(count);
    passage.to_s = f64::from(count);
    line
}

fn given(ids: &[&str]) -> Assignment {
    Assignment {
        instruments: ids.iter().map(|id| InstrumentId::new(id).unwrap()).collect(),
        ..Assignment::default()
    }
}

#[test]
fn a_set_and_its_drums_one_by_one_give_the_same_plan() {
    let library = library();
    let line = rolled("C3 G2 C3 G2");
    let set = line_plan(&library, &line, &given(&["set"])).unwrap();
    assert_eq!(set.words(&library), "Timpani 29, 26");
    let single = line_plan(&library, &line, &given(&["t26", "t29"])).unwrap();
    assert_eq!(single.words(&library), "Timpani 29, 26");
    assert_eq!(set.facts().unwrap().changes, single.facts().unwrap().changes);
    let ids = given(&["t26", "t29", "set"]).instruments;
    assert_eq!(instrument_words(&library, &ids), ["Timpani 29, 26", "set"]);
    let facts = single.facts().unwrap();
    assert_eq!(facts.fewest_drums, 2);
    assert_eq!(
        facts.drums.iter().map(|one| (one.drum.as_str(), one.start)).collect::<Vec<_>>(),
        [("29 in", key("G2")), ("26 in", key("C3"))]
    );
}

#[test]
fn moments_are_guessed_measure_by_measure() {
    let (strokes, estimated) = strokes_of(&rolled("C3 G2 C3 G2"));
    assert!(estimated);
    assert_eq!(strokes.iter().map(|s| s.at_us / 1_000_000).collect::<Vec<_>>(), [0, 1, 2, 3]);
}

#[test]
fn kept_moments_are_taken_as_they_are() {
    let mut line = rolled("C3 G2");
    for (note, at_us) in line.passages[0].notes.iter_mut().zip([500_000, 1_250_000]) {
        note.struck = Some(crate::music::Struck {
            at_us,
            played: 0,
            ticks: 0,
            lasts_us: Some(250_000),
            dynamic: None,
            rolled: false,
        });
    }
    let (strokes, estimated) = strokes_of(&line);
    assert!(!estimated);
    let times: Vec<(i64, i64)> = strokes.iter().map(|s| (s.at_us, s.until_us)).collect();
    assert_eq!(times, [(500_000, 750_000), (1_250_000, 1_500_000)]);
}

#[test]
fn a_pair_with_screws_reaches_two_pitches_and_no_third() {
    let library = library();
    let pair = InstrumentId::new("pair").unwrap();
    // Asked for a second time, what is remembered says the same.
    let can_play = |notes: &str| {
        let line = rolled(notes);
        let mut tried = Tried::on(&library, &line);
        [tried.can_play(&pair), tried.can_play(&pair)]
    };
    assert_eq!(can_play("C3 G2 C3 G2"), [true; 2]);
    assert_eq!(can_play("C3 G2 D3 G2 C3"), [false; 2], "each of them is in its range, but there is no time");
    let cover = crate::cover::cover(&library, &rolled("C3 G2 D3 G2 C3"));
    let fit = |id: &str| cover.of(&InstrumentId::new(id).unwrap()).unwrap().fit;
    assert_eq!((fit("set"), fit("pair")), (crate::compass::Fit::Whole, crate::compass::Fit::Part));
    // Without the set neither the pair nor any single drums have the time.
    let mut without = library.clone();
    Arc::make_mut(&mut without.instruments).remove(&InstrumentId::new("set").unwrap());
    let answered = |notes: &str| crate::cover::is_answered(&without, &rolled(notes));
    assert!(crate::cover::is_answered(&library, &rolled("C3 G2 D3 G2 C3")));
    assert!(!answered("C3 G2 D3 G2 C3") && answered("C3 G2 C3 G2"));
}

#[test]
fn single_drums_that_do_together_are_named() {
    let library = library();
    let of_kind: Vec<Arc<Instrument>> =
        library.instruments.values().filter(|thing| thing.frames.len() == 1).cloned().collect();
    let of_kind: Vec<&Instrument> = of_kind.iter().map(|thing| &**thing).collect();
    let names =
        |line: &Line| together(&library, line, &of_kind).iter().map(ToString::to_string).collect::<Vec<_>>();
    assert_eq!(names(&rolled("C3 G2 C3 G2")), ["t26", "t29"]);
    assert!(names(&rolled("C3 G2 D3 G2 C3")).is_empty());
}

#[test]
fn single_drums_become_one_set_with_their_lines_and_pins() {
    let library = library();
    let ids = [InstrumentId::new("t26").unwrap(), InstrumentId::new("t29").unwrap()];
    let edit = made_one(&library, &ids).unwrap();
    let after = crate::edit::apply(&library, &edit).unwrap();
    assert!(ids.iter().all(|id| !after.instruments.contains_key(id)));
    let set = after.instruments.values().find(|thing| !library.instruments.contains_key(&thing.id)).unwrap();
    assert_eq!(set.frames.len(), 2);
    assert!(set.frames[0].name.contains("29"), "from low to high: {}", set.frames[0].name);
    let plan =
        |library: &Library, ids: &[InstrumentId]| try_on(library, &rolled("C3 G2 C3 G2"), ids).unwrap();
    let before = plan(&library, &ids);
    let now = plan(&after, std::slice::from_ref(&set.id));
    assert_eq!(before.start, now.start, "and they are tuned as before");
    assert!(made_one(&library, &ids[..1]).is_err());
    let pair = [ids[0].clone(), InstrumentId::new("pair").unwrap()];
    assert!(made_one(&library, &pair).unwrap_err().contains("single"), "a set is no drum");
}

#[test]
fn a_pin_to_a_drum_that_is_not_there_is_told_and_not_kept() {
    let library = library();
    let mut given = given(&["set"]);
    let pin = |name: &str, drum: &str| DrumPin {
        key: key(name),
        instrument: InstrumentId::new("set").unwrap(),
        drum: drum.to_owned(),
    };
    given.drums = vec![pin("C3", "29 in"), pin("G2", "40 in")];
    let plan = line_plan(&library, &rolled("C3 G2 C3 G2"), &given).unwrap();
    assert_eq!(plan.lost_pins, [pin("G2", "40 in")]);
    assert_eq!(plan.facts().unwrap().drums.last().unwrap().drum, "29 in");
}

#[test]
fn what_is_no_line_of_timpani_has_no_plan() {
    let library = library();
    assert_eq!(line_plan(&library, &rolled("C3"), &given(&[])), None);
    let xylophone = line("x", Some("xylophone"), crate::pitch::Octave::AS_WRITTEN, "C3");
    assert_eq!(line_plan(&library, &xylophone, &given(&["set"])), None);
}

#[test]
fn words_of_the_part_are_held_against_the_plan() {
    let library = library();
    let mut line = rolled("C3 G2 C3 G2 D3 G2 D3");
    // A rest of twenty seconds before measure 5.
    let tail = line.passages[0].notes.split_off(4);
    let mut second = line.passages[0].clone();
    line.passages[0].to = MeasureName::from(4);
    line.passages[0].to_s = 4.0;
    (second.from, second.from_s, second.to_s, second.notes) = (MeasureName::from(5), 24.0, 27.0, tail);
    line.passages.push(second);
    line.evidence =
        vec!["heading “Timpani”".into(), asks("5", "C muta in D").unwrap(), asks("2", "muta in F").unwrap()];
    let plan = line_plan(&library, &line, &given(&["t26", "t29"])).unwrap();
    assert_eq!(plan.changes().len(), 1);
    let said: Vec<_> = plan.said(&line).into_iter().map(|(asked, said)| (asked.words, said)).collect();
    assert_eq!(said, [("C muta in D".to_owned(), Said::Agrees), ("muta in F".to_owned(), Said::NotNeeded)]);
}
