//! Tuning plans of real parts and of scores made for this: which drums, which retunings, what the words of the part say.
//!
//! Sources: four movements of the open corpus of orchestral scores in `../shared/scores` (CC0; Beethoven op. 21 iii, op. 68
//! iv, op. 92 iii, Haydn Hob. I:104 i). Their timpani have two pitches and the composers wrote no retuning: two drums and
//! no retuning must come out. The folder is not part of the project: where it is absent the cases say that they were
//! skipped; where it is there and a score does not read, they fail.

mod score_made;

use backrow_core::collection::{Instrument, Layout, TunedBy};
use backrow_core::edit::{Edit, apply};
use backrow_core::id::{InstrumentId, KindId, LineId, MovementId};
use backrow_core::library::Library;
use backrow_core::music::Line;
use backrow_core::sets::{LinePlan, Tuning, line_plan};
use backrow_core::timpani::{Aim, Said};
use backrow_core::week::Assignment;
use backrow_files::score::{ReadLine, ReadOptions, ScoreReading, read_score};
use rstest::rstest;
use score_made::{note, part, partwise, read, rest, words};
use std::path::{Path, PathBuf};

fn folder() -> Option<PathBuf> {
    let above = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors();
    above.map(|folder| folder.join("shared/scores")).find(|folder| folder.is_dir())
}

/// A library of the standard kinds with these drums as one set: name and range.
fn library(drums: &[(&str, &str)], by: TunedBy, aim: Aim) -> Library {
    let kinds = score_made::kinds();
    let mut library = Library { kinds, ..Library::default() };
    let kind = library.kinds.get(&KindId::new("timpani").expect("as made here")).expect("timpani").clone();
    let mut set = Instrument::of_kind(InstrumentId::new("set").expect("as made here"), &kind);
    set.layout = Layout::Drums;
    set.frames = drums
        .iter()
        .map(|(name, range)| {
            let key = |text: &str| {
                backrow_core::pitch::parse_note(text, backrow_core::pitch::Reading::English)
                    .expect("as made here")
                    .key()
            };
            let (low, high) = range.split_once('-').expect("as made here");
            backrow_core::collection::Frame {
                name: (*name).to_owned(),
                range: Some((key(low), key(high))),
                tuned_by: by,
                ..Default::default()
            }
        })
        .collect();
    let mut orchestra = (*library.orchestra).clone();
    orchestra.timpani.aim = aim;
    library = apply(&library, &Edit::SetOrchestra(orchestra)).expect("as made here");
    apply(&library, &Edit::PutInstrument(set)).expect("as made here")
}

const FOUR: [(&str, &str); 4] =
    [("32 in", "D2-A2"), ("29 in", "F2-C3"), ("26 in", "A#2-F3"), ("23 in", "D3-A3")];

/// The timpani of a reading as a line.
fn timpani(reading: &ScoreReading) -> Line {
    let is = |line: &&ReadLine| line.kind.as_ref().is_some_and(|kind| kind.as_str() == "timpani");
    let read = reading.lines.iter().find(is).expect("a part of timpani");
    Line {
        id: LineId::new("timpani").expect("as made here"),
        movement: MovementId::new("i").expect("as made here"),
        kind: read.kind.clone(),
        printed: read.printed.clone(),
        part: read.part_name.clone(),
        octave: read.octave.unwrap_or(read.usual_octave),
        passages: read.passages.iter().map(|passage| passage.passage.clone()).collect(),
        beaters: Vec::new(),
        exposed: false,
        degree: read.degree,
        evidence: read.evidence.clone(),
    }
}

fn planned(library: &Library, line: &Line) -> LinePlan {
    let given = Assignment {
        instruments: vec![InstrumentId::new("set").expect("as made here")],
        ..Assignment::default()
    };
    line_plan(library, line, &given).expect("a line of timpani")
}

fn tuning(library: &Library, line: &Line) -> Result<Tuning, String> {
    planned(library, line).facts()
}

/// "26 C3>D3 m4-9": drum, pitches, the measure before.
fn told(tuning: &Tuning) -> Vec<String> {
    let one = |c: &backrow_core::sets::Retuning| {
        let heard = if c.heard { " heard" } else { "" };
        format!("{} {}>{} m{}{heard}", c.drum, c.from, c.to, c.measure)
    };
    tuning.changes.iter().map(one).collect()
}

#[rstest]
#[case("oso_beethoven_op21_3.mxl")]
#[case("oso_beethoven_op68_4.mxl")]
#[case("oso_beethoven_op92_3.mxl")]
#[case("oso_haydn_104_1.mxl")]
fn classical_movements_need_two_drums_and_no_retuning(
    #[case] file: &str,
    #[values(Aim::FewestRetunings, Aim::FewestDrums)] aim: Aim,
) {
    let Some(folder) = folder() else {
        println!("SKIPPED: {file} is not beside the project, nothing was checked");
        return;
    };
    let bytes = std::fs::read(folder.join(file)).expect("the folder of scores is there, so is its score");
    let reading = read_score(file, &bytes, &score_made::kinds(), &ReadOptions::default()).expect("it reads");
    let line = timpani(&reading);
    for by in TunedBy::ALL {
        let tuning = tuning(&library(&FOUR, by, aim), &line).expect("a plan");
        assert_eq!((tuning.fewest_drums, tuning.drums.len()), (2, 2), "{tuning:?}");
        assert!(tuning.changes.is_empty(), "{:?}", tuning.changes);
    }
}

/// A measure of four quarters of four seconds in all: pitches, or `-` for a rest.
fn measure(text: &str) -> String {
    text.split_whitespace().map(|word| if word == "-" { rest(4) } else { note(word, 4) }).collect()
}

fn made(measures: &[&str]) -> Line {
    let inside: Vec<String> = measures
        .iter()
        .map(|text| match text.split_once('|') {
            Some((over, notes)) => words(over.trim()) + &measure(notes),
            None => measure(text),
        })
        .collect();
    let inside: Vec<&str> = inside.iter().map(String::as_str).collect();
    timpani(&read(&partwise(&[part("Timpani", &inside)])))
}

#[test]
fn a_pair_is_retuned_in_the_rest_where_the_part_says_so() {
    let pair = library(&[("29 in", "F2-C3"), ("26 in", "A#2-F3")], TunedBy::HandScrews, Aim::default());
    let silence = "- - - -";
    let line = made(&[
        "C3 G2 C3 G2",
        "C3 G2 C3 -",
        &format!("muta in D | {silence}"),
        silence,
        silence,
        silence,
        silence,
        silence,
        silence,
        "D3 G2 D3 G2",
        "D3 G2 D3 G2",
    ]);
    let row = planned(&pair, &line);
    let tuning = row.facts().expect("a plan");
    assert_eq!(told(&tuning), ["26 in C3>D3 m2"]);
    assert!(tuning.changes[0].have_s >= 28.0 && tuning.changes[0].need_s >= 10.0, "{:?}", tuning.changes);
    assert_eq!(tuning.fewest_drums, 2);
    let said: Vec<(String, Said)> =
        row.said(&line).into_iter().map(|(asked, said)| (asked.words, said)).collect();
    assert_eq!(said, [("muta in D".to_owned(), Said::Agrees)]);
}

#[test]
fn five_pitches_on_four_drums_are_retuned_once_and_in_silence() {
    let four = library(&FOUR, TunedBy::Pedal, Aim::FewestRetunings);
    let line = made(&["F2 C3 D3 F3", "F2 C3 D3 F3", "- - - -", "- - - -", "F2 C3 D3 G3", "F2 C3 D3 G3"]);
    let tuning = tuning(&four, &line).expect("a plan");
    assert_eq!(told(&tuning), ["23 in F3>G3 m2"]);
    assert_eq!(tuning.drums.len(), 4);
}

#[test]
fn five_pitches_within_a_measure_are_too_many_for_four_drums() {
    let four = library(&FOUR, TunedBy::Pedal, Aim::FewestRetunings);
    let five = ["F2", "A2", "C3", "D3", "F3"].map(|name| note(name, 1)).concat();
    let fast = format!("{five}{five}{}", rest(6));
    let line = timpani(&read(&partwise(&[part("Timpani", &[&fast])])));
    let why = tuning(&four, &line).expect_err("too many");
    assert!(why.starts_with("Too few drums: m.\u{a0}1, F2, A2, C3, D3 and F3"), "{why}");
}

#[test]
fn a_note_below_every_drum_is_named() {
    let four = library(&FOUR, TunedBy::Pedal, Aim::FewestRetunings);
    assert_eq!(tuning(&four, &made(&["C2 G2 C2 G2"])), Err("No drum reaches it: C2.".to_owned()));
}
