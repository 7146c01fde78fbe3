//! Which lines are played from the far side of an instrument: where two sound at once on one that two can play, the first
//! stands at the playing side and the other across. Plan, ways and seconds all ask here.

use crate::id::{InstrumentId, PlayerId};
use crate::library::Library;
use crate::music::{Line, Passage};
use crate::week::{LineRef, Programme};
use std::collections::{BTreeMap, BTreeSet};

/// By line, the instruments at which it is played from across.
pub fn played_across(library: &Library, programme: &Programme) -> BTreeMap<LineRef, BTreeSet<InstrumentId>> {
    let mut across: BTreeMap<LineRef, BTreeSet<InstrumentId>> = BTreeMap::new();
    for work in programme.works_in_order().filter_map(|(_, id)| library.works.get(id)) {
        for movement in &work.movements {
            let mut played: Vec<At<'_>> = Vec::new();
            for line in work.lines_of(&movement.id) {
                let at = LineRef { work: work.id.clone(), line: line.id.clone() };
                let Some(given) = programme.given(&at) else { continue };
                let on: BTreeSet<&InstrumentId> = given.uses().collect();
                for id in on.into_iter().filter(|id| library.hands(id) > 1) {
                    let mut here = At { id, line, player: given.player.as_ref(), far: false };
                    here.far = played.iter().any(|other| here.goes_across(other));
                    if here.far {
                        across.entry(at.clone()).or_default().insert(id.clone());
                    }
                    played.push(here);
                }
            }
        }
    }
    across
}

/// A line at one of its instruments.
struct At<'a> {
    id: &'a InstrumentId,
    line: &'a Line,
    player: Option<&'a PlayerId>,
    far: bool,
}

impl At<'_> {
    /// Whether it is played from the far side because of another line: somebody else stands at the playing side then, or its
    /// own player stands across already.
    fn goes_across(&self, other: &Self) -> bool {
        let one_player = self.player.is_some() && self.player == other.player;
        self.id == other.id && one_player == other.far && at_once(self.line, other.line)
    }
}

fn at_once(one: &Line, other: &Line) -> bool {
    let overlap = |a: &Passage, b: &Passage| a.from_s < b.to_s && b.from_s < a.to_s;
    one.passages.iter().any(|a| other.passages.iter().any(|b| overlap(a, b)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::{Edit, apply};
    use crate::id::LineId;
    use crate::sample::{at, library, programme};
    use crate::week::{Assignment, Instead};
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

    /// The snare drum's line has its own instrument, and one note of it is played on the xylophone.
    #[test]
    fn a_note_on_another_instrument_is_played_across_too() {
        let base = library();
        let id = InstrumentId::new("xylophone-1").unwrap();
        let mut thing = (**base.instruments.get(&id).unwrap()).clone();
        thing.for_two = true;
        let mut work = (**base.works.values().next().unwrap()).clone();
        let passage = &mut work.lines[1].passages[0];
        (passage.from_s, passage.to_s) = (1.0, 3.0);
        let edits = vec![Edit::PutInstrument(thing), Edit::PutWork(work)];
        let library = apply(&base, &Edit::Together { words: String::new(), edits }).unwrap();
        let mut programme = programme("p", &["w"]);
        let on = |id: &InstrumentId| Assignment { instruments: vec![id.clone()], ..Assignment::default() };
        let mut second = on(&InstrumentId::new("snare").unwrap());
        second.instead.insert(crate::sample::key("C5"), Instead::On(id.clone()));
        programme.assign(at("w", "xyl"), on(&id));
        programme.assign(at("w", "sn"), second);
        let found = played_across(&library, &programme);
        assert_eq!(found, BTreeMap::from([(at("w", "sn"), BTreeSet::from([id]))]));
    }

    /// Three lines at once on a xylophone for two, each of the player named; open where none is.
    #[rstest]
    #[case(&["a", "b"], &[1])]
    #[case(&["a", "a"], &[])] // one player stands at one side
    #[case(&["a", ""], &[1])]
    #[case(&["", ""], &[1])]
    #[case(&["a", "a", "b"], &[2])]
    #[case(&["a", "b", "b"], &[1, 2])]
    #[case(&["a", "b", "a"], &[1])]
    fn one_player_stands_at_one_side(#[case] players: &[&str], #[case] far: &[usize]) {
        let id = InstrumentId::new("xylophone-1").unwrap();
        let base = library();
        let mut thing = (**base.instruments.get(&id).unwrap()).clone();
        thing.for_two = true;
        let mut work = (**base.works.values().next().unwrap()).clone();
        let line = |n: usize| Line { id: LineId::new(&format!("l{n}")).unwrap(), ..work.lines[0].clone() };
        work.lines = (0..players.len()).map(line).collect();
        let edits = vec![Edit::PutInstrument(thing), Edit::PutWork(work)];
        let library = apply(&base, &Edit::Together { words: String::new(), edits }).unwrap();
        let mut programme = programme("p", &["w"]);
        for (n, player) in players.iter().enumerate() {
            let (player, instruments) = (PlayerId::new(player).ok(), vec![id.clone()]);
            programme.assign(
                at("w", &format!("l{n}")),
                Assignment { player, instruments, ..Assignment::default() },
            );
        }
        let found: Vec<LineRef> = played_across(&library, &programme).into_keys().collect();
        assert_eq!(found, far.iter().map(|n| at("w", &format!("l{n}"))).collect::<Vec<_>>());
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
