//! Notes of a line that its instruments do not have, with their measures and what was decided about each.

use crate::compass::PitchSet;
use crate::library::Library;
use crate::music::{Line, MeasureName};
use crate::pitch::{KeyNumber, Spelled};
use crate::week::{Assignment, Instead};
use std::collections::BTreeMap;

/// One note that lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lack {
    /// As it sounds.
    pub key: KeyNumber,
    /// As it is written, the first time it comes.
    pub written: Spelled,
    /// The measures in which it stands, in the order of playing, each once.
    pub measures: Vec<MeasureName>,
    /// Whether there is a bar for it that does not sound.
    pub dead: bool,
    /// What was decided; `None` while nobody has.
    pub decided: Option<Instead>,
}

/// So many measures are named one by one.
const NAMED: usize = 8;

impl Lack {
    /// "m. 44", "mm. 44, 52", "mm. 1, 2, 3, 4, 5, 6, 7, 8 and 12 more".
    pub fn measures_words(&self) -> String {
        let named: Vec<&str> = self.measures.iter().take(NAMED).map(MeasureName::as_str).collect();
        let sign = if self.measures.len() == 1 { "m." } else { "mm." };
        let more = self.measures.len().saturating_sub(NAMED);
        let more = if more == 0 { String::new() } else { format!(" and {more} more") };
        format!("{sign} {}{more}", named.join(", "))
    }
}

/// The notes of a line that its instruments lack, from the lowest; none for a line without pitch or without instruments.
pub fn lacking(library: &Library, line: &Line, given: &Assignment) -> Vec<Lack> {
    if !line.is_pitched() || given.instruments.is_empty() {
        return Vec::new();
    }
    let things = || given.instruments.iter().filter_map(|id| library.instruments.get(id));
    let has = things().fold(PitchSet::EMPTY, |sum, thing| sum.union(thing.compass()));
    let bars = things().fold(PitchSet::EMPTY, |sum, thing| sum.union(thing.bars()));
    let mut found: BTreeMap<KeyNumber, Lack> = BTreeMap::new();
    for note in line.notes() {
        let Some(key) = line.sounding_of(note).filter(|key| !has.contains(*key)) else { continue };
        let lack = found.entry(key).or_insert_with(|| Lack {
            key,
            written: note.written,
            measures: Vec::new(),
            dead: bars.contains(key),
            decided: given.instead.get(&key).cloned(),
        });
        if !lack.measures.contains(&note.measure) {
            lack.measures.push(note.measure.clone());
        }
    }
    found.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::collection::DeadBar;
    use crate::edit::{Edit, apply};
    use crate::id::{InstrumentId, ProgrammeId};
    use crate::pitch::Octave;
    use crate::sample;

    // A xylophone F4-C8 with G5 dead; the line asks for E4, F4, G5 as they sound, all in m. 1.
    #[test]
    fn what_lacks_what_is_dead_and_what_was_decided() {
        let mut thing = sample::instrument("xylophone-1", "xylophone", &["F4-C8"]);
        thing.frames[0].dead = vec![DeadBar { key: sample::key("G5"), since: None, why: String::new() }];
        let line = sample::line("xyl", Some("xylophone"), Octave::AS_WRITTEN, "E4 F4 G5 E4");
        let programme = ProgrammeId::new("p").unwrap();
        let at = sample::at("w", "xyl");
        let edits = vec![
            Edit::PutInstrument(thing),
            Edit::PutWork(sample::work("w", vec![line])),
            Edit::UseInstruments {
                programme: programme.clone(),
                line: at.clone(),
                instruments: vec![InstrumentId::new("xylophone-1").unwrap()],
            },
            Edit::Decide {
                programme: programme.clone(),
                line: at.clone(),
                key: sample::key("E4"),
                instead: Some(Instead::Octaves(1)),
            },
        ];
        let library = apply(&sample::library(), &Edit::Together { words: String::new(), edits }).unwrap();
        let (_, line) = library.line(&at).unwrap();
        let given = library.programme(&programme).unwrap().assignment(&at);
        let found = lacking(&library, line, &given);
        let told: Vec<_> = found
            .iter()
            .map(|lack| (lack.written.to_string(), lack.measures.len(), lack.dead, lack.decided.clone()))
            .collect();
        assert_eq!(
            told,
            [("E4".to_owned(), 1, false, Some(Instead::Octaves(1))), ("G5".to_owned(), 1, true, None)]
        );
        assert_eq!(lacking(&library, line, &Assignment::default()), [], "no instrument, nothing to say");
    }
}
