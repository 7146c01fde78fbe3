//! Which lines are played from the far side of an instrument: where two sound at once on one that two can play, the first
//! stands at the playing side and the other across. Plan, ways and seconds all ask here.

use crate::id::InstrumentId;
use crate::library::Library;
use crate::music::{Line, Passage};
use crate::week::{LineRef, Programme};
use std::collections::{BTreeMap, BTreeSet};

/// By line, the instruments at which it is played from across.
pub fn played_across(library: &Library, programme: &Programme) -> BTreeMap<LineRef, BTreeSet<InstrumentId>> {
    let mut across: BTreeMap<LineRef, BTreeSet<InstrumentId>> = BTreeMap::new();
    for work in programme.works_in_order().filter_map(|(_, id)| library.works.get(id)) {
        for movement in &work.movements {
            let mut near: Vec<(InstrumentId, &Line)> = Vec::new();
            for line in work.lines_of(&movement.id) {
                let at = LineRef { work: work.id.clone(), line: line.id.clone() };
                let Some(given) = programme.given(&at) else { continue };
                for id in &given.instruments {
                    if !library.instruments.get(id).is_some_and(|thing| thing.for_two) {
                        continue;
                    }
                    if near.iter().any(|(other, row)| other == id && at_once(row, line)) {
                        across.entry(at.clone()).or_default().insert(id.clone());
                    } else {
                        near.push((id.clone(), line));
                    }
                }
            }
        }
    }
    across
}

fn at_once(one: &Line, other: &Line) -> bool {
    let overlap = |a: &Passage, b: &Passage| a.from_s < b.to_s && b.from_s < a.to_s;
    one.passages.iter().any(|a| other.passages.iter().any(|b| overlap(a, b)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::{Edit, apply};
    use crate::sample::{at, library, programme};
    use crate::week::Assignment;
    use rstest::rstest;

    /// The snare drum's line on the xylophone, from and to so many seconds; the xylophone's own sounds from 0 to 2 s.
    #[rstest]
    #[case(1.0, 3.0, true, true)]
    #[case(2.0, 3.0, true, false)] // one begins as the other ends
    #[case(3.0, 4.0, true, false)]
    #[case(1.0, 3.0, false, false)] // nobody stands across from what is for one
    fn who_plays_across(#[case] from_s: f64, #[case] to_s: f64, #[case] for_two: bool, #[case] across: bool) {
        let base = library();
        let id = InstrumentId::new("xylophone-1").unwrap();
        let mut thing = (**base.instruments.get(&id).unwrap()).clone();
        thing.for_two = for_two;
        let mut work = (**base.works.values().next().unwrap()).clone();
        let passage = &mut work.lines[1].passages[0];
        (passage.from_s, passage.to_s) = (from_s, to_s);
        let edits = vec![Edit::PutInstrument(thing), Edit::PutWork(work)];
        let library = apply(&base, &Edit::Together { words: String::new(), edits }).unwrap();
        let mut programme = programme("p", &["w"]);
        for line in ["xyl", "sn"] {
            programme
                .assign(at("w", line), Assignment { instruments: vec![id.clone()], ..Assignment::default() });
        }
        let found = played_across(&library, &programme);
        let expected =
            if across { BTreeMap::from([(at("w", "sn"), BTreeSet::from([id]))]) } else { BTreeMap::new() };
        assert_eq!(found, expected);
    }

    #[test]
    fn two_lines_touch_when_one_ends_as_the_other_begins() {
        let line = |from_s: f64, to_s: f64| {
            let mut line = crate::sample::line("x", None, crate::pitch::Octave::AS_WRITTEN, "");
            (line.passages[0].from_s, line.passages[0].to_s) = (from_s, to_s);
            line
        };
        assert!(at_once(&line(0.0, 2.0), &line(1.0, 3.0)) && at_once(&line(1.0, 3.0), &line(0.0, 2.0)));
        assert!(!at_once(&line(0.0, 2.0), &line(2.0, 3.0)) && !at_once(&line(2.0, 3.0), &line(0.0, 2.0)));
    }
}
