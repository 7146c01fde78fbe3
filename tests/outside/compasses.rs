//! Usual compasses: each row of the collected table against the kinds table.

use super::{key, kind, rows};
use backrow_core::pitch::Octave;
use std::collections::BTreeSet;

/// Columns: what the source calls it, lowest and highest sounding note, sounding minus written in semitones, source,
/// seen or memory, note. Collected from the sources named in it; where they disagree there are several rows.
const COMPASSES: &str = include_str!("data/compasses.csv");

/// How a row's first words lead to a kind, the longest first.
const KINDS: [(&str, &str); 24] = [
    ("celesta keyboard glockenspiel", "keyboard_glockenspiel"),
    ("glockenspiel", "glockenspiel"),
    ("song bells", "song_bells"),
    ("xylophone", "xylophone"),
    ("xylorimba", "xylorimba"),
    ("bass marimba", "bass_marimba"),
    ("marimba", "marimba"),
    ("vibraphone", "vibraphone"),
    ("crotales", "crotales"),
    ("tubular bells", "tubular_bells"),
    ("bell plates", "bell_plates"),
    ("cast church bells", "church_bells"),
    ("tuned gongs", "tuned_gongs"),
    ("almglocken", "almglocken"),
    ("handbells", "handbells"),
    ("celesta", "celesta"),
    ("timpano", "timpani"),
    ("timpani", "timpani"),
    ("roto-toms", "roto_toms"),
    ("boobams", "boobams"),
    ("steel drums", "steel_drums"),
    ("musical glasses", "musical_glasses"),
    ("orff soprano xylophone", "orff_xylophone"),
    ("tuned klaxon", "motor_horn"),
];

/// Rows whose ends the kinds table does not follow, with the reason.
const ENDS_NOT_FOLLOWED: [(&str, &str); 3] = [
    ("bell plates", "the source gives no ends, only \"below C4\""),
    (
        "handbells, as in notation software",
        "C2 to C#7 without transposition; the handbell pages have C3 to C8",
    ),
    (
        "tubular bells, older view of the same tubes",
        "a name an octave up for the tubes of C4 to F5; no instrument has bars for C5 to F6, so the kind says it in a note",
    ),
];

/// Rows whose octave the kinds table does not follow, with the reason.
const OCTAVE_NOT_FOLLOWED: [(&str, &str); 8] = [
    ("vibraphone, some composers", "one composer's habit, an exception"),
    (
        "tubular bells, older view",
        "an encyclopedia of 2006, changed since: the nominal taken for the strike note",
    ),
    ("handbells, as in notation software", "no transposition there; the handbell pages have +12"),
    ("xylorimba / xylomarimba 5 oct", "not agreed"),
    ("cast church bells in orchestra", "not agreed"),
    ("tuned gongs", "not agreed"),
    ("almglocken", "not agreed"),
    ("roto-toms", "not agreed"),
];

fn kind_of(name: &str) -> &'static str {
    KINDS.iter().find(|(words, _)| name.starts_with(words)).unwrap_or_else(|| panic!("no kind for {name}")).1
}

#[test]
fn every_row_has_its_compass() {
    let mut used = BTreeSet::new();
    let mut wrong = Vec::new();
    for row in rows(COMPASSES) {
        let (name, low, high) = (&row[0], &row[1], &row[2]);
        if let Some((left_out, _)) = ENDS_NOT_FOLLOWED.iter().find(|(words, _)| name == *words) {
            used.insert(*left_out);
            continue;
        }
        let kind = kind(kind_of(name));
        if !kind.compasses.iter().any(|compass| (compass.low, compass.high) == (key(low), key(high))) {
            wrong.push(format!("{name}: {low} to {high} ({}, {})", &row[4], &row[5]));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert_eq!(used.len(), ENDS_NOT_FOLLOWED.len(), "each exception is still in the table");
}

#[test]
fn every_row_has_its_octave() {
    let mut used = BTreeSet::new();
    let mut wrong = Vec::new();
    for row in rows(COMPASSES) {
        let name = &row[0];
        let semitones: i32 = row[3].parse().unwrap();
        if kind(kind_of(name)).octave.map(Octave::semitones) == Some(semitones) {
            continue;
        }
        match OCTAVE_NOT_FOLLOWED.iter().find(|(words, _)| name.starts_with(words)) {
            Some((words, _)) => drop(used.insert(*words)),
            None => wrong.push(format!("{name}: {semitones} ({}, {})", &row[4], &row[5])),
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    let idle: Vec<_> = OCTAVE_NOT_FOLLOWED.iter().filter(|(words, _)| !used.contains(words)).collect();
    assert!(idle.is_empty(), "exceptions that are none: {idle:#?}");
}

/// Rows of this table were once counted an octave too high, lacked the usual celesta, or made a compass of a name.
#[test]
fn compasses_that_were_wrong() {
    let has = |id: &str, low: &str, high: &str| {
        kind(id).compasses.iter().any(|usual| (usual.low, usual.high) == (key(low), key(high)))
    };
    assert!(has("celesta", "C3", "F8"), "an open table of ranges has C3 to F8");
    assert!(
        !has("handbells", "C4", "C9") && !has("handbells", "C5", "C8"),
        "bell numbers name the sounding pitch"
    );
    assert!(!has("tubular_bells", "C5", "F6") && kind("tubular_bells").note.contains("octave higher"));
    // What a composer writes for the top tubes raises its question again: no usual compass has it as it sounds.
    assert!(kind("tubular_bells").compasses.iter().all(|usual| usual.high < key("A5")));
    for kind in backrow_files::kinds::standard().unwrap().values() {
        for usual in &kind.compasses {
            let name = usual.name.to_lowercase();
            assert!(!name.contains("professional") && !name.contains("amateur"), "{}: {name}", kind.id);
        }
    }
}

/// What the table adds to the collected rows must be marked in the kinds file; here only that each lies within the keys
/// that instruments have, A0 to C9.
#[test]
fn compasses_are_of_this_world() {
    for kind in backrow_files::kinds::standard().unwrap().values() {
        for compass in &kind.compasses {
            assert!(compass.low >= key("A0") && compass.high <= key("C9"), "{}: {compass:?}", kind.id);
        }
    }
}
