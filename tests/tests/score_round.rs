//! A score that the test's own writer writes reads back the same.

mod score_made;

use proptest::prelude::*;
use score_made::{Part, note, part, partwise, read, rest, struck, timewise, transpose, with};
use std::collections::BTreeMap;

/// One thing in a measure.
#[derive(Clone, Debug)]
enum Thing {
    /// A note, so many sixteenths, tied on from the one before or not.
    Note(&'static str, u32, bool),
    /// A chord of two.
    Chord(&'static str, &'static str, u32),
    Struck(u32),
    Rest(u32),
}

const NAMES: [&str; 8] = ["C4", "F#5", "Bb3", "G5", "E4", "Ab4", "D6", "C#5"];

fn thing() -> impl Strategy<Value = Thing> {
    let length = 1_u32..9;
    let name = prop::sample::select(NAMES.to_vec());
    prop_oneof![
        4 => (name.clone(), length.clone(), any::<bool>()).prop_map(|(n, l, t)| Thing::Note(n, l, t)),
        1 => (name, length.clone()).prop_map(|(n, l)| Thing::Chord(n, "B6", l)),
        1 => length.clone().prop_map(Thing::Struck),
        2 => length.prop_map(Thing::Rest),
    ]
}

/// What was written, counted by the writer: written notes, unpitched, sixteenths of each measure.
#[derive(Debug, Default, PartialEq)]
struct Counted {
    notes: BTreeMap<String, u32>,
    unpitched: u32,
    sixteenths: u32,
}

fn write(measures: &[Vec<Thing>], octaves: i32) -> (Part, Counted) {
    let mut counted = Counted::default();
    let mut texts = Vec::new();
    for things in measures {
        let mut text = String::new();
        let mut length = 0;
        for thing in things {
            let (piece, sixteenths) = match thing {
                Thing::Note(name, l, tied) => {
                    if !tied {
                        *counted.notes.entry((*name).to_owned()).or_default() += 1;
                    }
                    (with(name, *l, "", if *tied { "<tie type=\"stop\"/>" } else { "" }), *l)
                }
                Thing::Chord(one, two, l) => {
                    for name in [one, two] {
                        *counted.notes.entry((*name).to_owned()).or_default() += 1;
                    }
                    (note(one, *l) + &with(two, *l, "<chord/>", ""), *l)
                }
                Thing::Struck(l) => {
                    counted.unpitched += 1;
                    (struck(*l), *l)
                }
                Thing::Rest(l) => (rest(*l), *l),
            };
            text.push_str(&piece);
            length += sixteenths;
        }
        // An empty measure lasts what its signature says: sixteen.
        counted.sixteenths += if length == 0 { 16 } else { length };
        texts.push(text);
    }
    let first = transpose(octaves) + texts.first().map_or("", String::as_str);
    let mut inside: Vec<&str> = texts.iter().map(String::as_str).collect();
    if let Some(slot) = inside.first_mut() {
        *slot = &first;
    }
    (part("Marimba", &inside), counted)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn what_is_written_is_read(
        measures in prop::collection::vec(prop::collection::vec(thing(), 0..7), 1..8),
        octaves in -1_i32..=2,
    ) {
        let (made, expected) = write(&measures, octaves);
        let made = [made];
        let reading = read(&partwise(&made));
        prop_assert_eq!(reading.measures, measures.len());
        prop_assert!((reading.quarters - f64::from(expected.sixteenths) / 4.0).abs() < 1e-9);
        prop_assert!((reading.timeline.end_s - f64::from(expected.sixteenths) / 4.0).abs() < 1e-6);
        let mut found = Counted { sixteenths: expected.sixteenths, ..Counted::default() };
        for line in &reading.lines {
            for note in &line.notes {
                *found.notes.entry(note.written.ascii()).or_default() += note.count;
                prop_assert_eq!(
                    i32::from(note.sounding.number()),
                    i32::from(note.written.key().number()) + octaves * 12
                );
            }
            found.unpitched += line.unpitched.iter().map(|note| note.count).sum::<u32>();
            // Without repeats, what is played is what is written.
            let played: u32 = line.passages.iter().map(|p| p.attacks).sum();
            let written: u32 = line.notes.iter().map(|n| n.count).sum::<u32>()
                + line.unpitched.iter().map(|n| n.count).sum::<u32>();
            prop_assert_eq!(played, written);
        }
        prop_assert_eq!(&found, &expected);
        prop_assert_eq!(read(&timewise(&made)), reading);
    }
}
