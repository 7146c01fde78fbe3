//! Lines and their passages.

use super::{Dynamics, MeasureName, Struck};
use crate::compass::PitchSet;
use crate::id::{KindId, LineId, MovementId};
use crate::pitch::{KeyNumber, Octave, Spelled};
use std::collections::BTreeMap;

/// One instrument asked for in one movement of a work, with all that it must play.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Stable within the work.
    pub id: LineId,
    /// The movement it stands in.
    pub movement: MovementId,
    /// What is asked for; `None` where the part leaves it open.
    pub kind: Option<KindId>,
    /// How the part prints it: "Glsp.".
    pub printed: String,
    /// The printed part it stands in: "Percussion 2".
    pub part: String,
    /// From written to sounding.
    pub octave: Octave,
    /// In the order of time; a repeated stretch stands as often as it is played.
    pub passages: Vec<Passage>,
    /// Beaters that the part asks for, in its words.
    pub beaters: Vec<String>,
    /// Whether the section counts it as exposed: everybody hears it.
    pub exposed: bool,
    /// How sure the reading is; `Sure` for lines entered by hand.
    pub degree: Degree,
    /// What the reading goes by, a sentence each.
    pub evidence: Vec<String>,
}

/// How sure a reading is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Degree {
    /// The part says so outright.
    #[default]
    Sure,
    /// The usual reading.
    Likely,
    /// To be asked.
    Unclear,
}

impl Degree {
    /// "sure", "likely" or "unclear".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sure => "sure",
            Self::Likely => "likely",
            Self::Unclear => "unclear",
        }
    }
}

/// A stretch of a line without a rest long enough to leave.
#[derive(Clone, Debug, PartialEq)]
pub struct Passage {
    /// First measure, as printed.
    pub from: MeasureName,
    /// Last measure, as printed.
    pub to: MeasureName,
    /// When it begins, seconds from the start of the movement.
    pub from_s: f64,
    /// When the player is free, seconds from the start of the movement; not before `from_s`.
    pub to_s: f64,
    /// Pitched attacks in order; a chord from low to high.
    pub notes: Vec<LineNote>,
    /// Attacks without pitch, by name, in order of the name.
    pub unpitched: Vec<UnpitchedNote>,
    /// How soft and how loud, where the part says so.
    pub dynamics: Option<Dynamics>,
}

/// A pitched attack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineNote {
    /// As on the page.
    pub written: Spelled,
    /// Semitones on top of the line's octave, where the page departs from it (an 8va line); mostly 0.
    pub shift: i8,
    /// The measure it stands in, as printed.
    pub measure: MeasureName,
    /// When it is struck; `None` where that is not known, as in music typed by hand.
    pub struck: Option<Struck>,
}

/// Attacks without pitch under one name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnpitchedNote {
    /// As the part names it; may be empty.
    pub name: String,
    /// How many attacks.
    pub count: u32,
    /// When each is struck, in the order of time; empty where that is not known.
    pub struck: Vec<Struck>,
}

impl LineNote {
    /// A note of a measure, when it is struck not known.
    pub const fn new(written: Spelled, measure: MeasureName) -> Self {
        Self { written, shift: 0, measure, struck: None }
    }
}

impl UnpitchedNote {
    /// So many attacks under a name, when they are struck not known.
    pub fn new(name: impl Into<String>, count: u32) -> Self {
        Self { name: name.into(), count, struck: Vec::new() }
    }

    /// Name and number alone.
    #[must_use]
    pub fn counted(&self) -> Self {
        Self::new(self.name.clone(), self.count)
    }
}

/// How the reasons of a line begin whose kind somebody chose.
const CHOSEN: &str = "chosen by hand: ";

impl Line {
    /// The line as another kind, chosen by hand: the reasons of the reading give way to that, and stay behind it.
    #[must_use]
    pub fn with_kind(&self, kind: Option<KindId>, name: Option<&str>) -> Self {
        let mut evidence = vec![format!("{CHOSEN}{}", name.unwrap_or("left open"))];
        let before = |text: &&String| !text.starts_with(CHOSEN);
        evidence.extend(self.evidence.iter().filter(before).map(|text| {
            if text.starts_with("the reading said: ") {
                text.clone()
            } else {
                format!("the reading said: {text}")
            }
        }));
        let degree = if kind.is_some() { Degree::Sure } else { Degree::Unclear };
        Self { kind, degree, evidence, ..self.clone() }
    }

    /// Whether somebody chose its kind.
    pub fn is_chosen(&self) -> bool {
        self.evidence.first().is_some_and(|text| text.starts_with(CHOSEN))
    }

    /// The sounding pitch of one of its notes; `None` when it leaves the keys.
    pub fn sounding_of(&self, note: &LineNote) -> Option<KeyNumber> {
        note.written.key().up(self.octave.semitones() + i32::from(note.shift))
    }

    /// Every pitched attack in order.
    pub fn notes(&self) -> impl Iterator<Item = &LineNote> {
        self.passages.iter().flat_map(|p| &p.notes)
    }

    /// Every pitched attack in the order of time, what is struck together from the page's order; in the order of the passages where
    /// some moment is not known.
    pub fn notes_in_time(&self) -> Vec<&LineNote> {
        let mut notes: Vec<&LineNote> = self.notes().collect();
        if notes.iter().all(|note| note.struck.is_some()) {
            notes.sort_by_key(|note| note.struck.map(|struck| struck.at_us));
        }
        notes
    }

    /// The pitches it needs, sounding.
    pub fn sounding(&self) -> PitchSet {
        self.notes().filter_map(|note| self.sounding_of(note)).collect()
    }

    /// Its written notes with the number of attacks of each, in order of pitch.
    pub fn written_counts(&self) -> Vec<(LineNote, u32)> {
        let mut counts: BTreeMap<(KeyNumber, Spelled, i8), (LineNote, u32)> = BTreeMap::new();
        for note in self.notes() {
            let entry =
                counts.entry((note.written.key(), note.written, note.shift)).or_insert((note.clone(), 0));
            entry.1 += 1;
        }
        counts.into_values().collect()
    }

    /// Whether it asks for pitches.
    pub fn is_pitched(&self) -> bool {
        self.notes().next().is_some()
    }

    /// From the softest to the loudest of its passages, where the part says so.
    pub fn dynamics(&self) -> Option<Dynamics> {
        self.passages.iter().filter_map(|passage| passage.dynamics).reduce(Dynamics::joined)
    }

    /// The measures that it is played in, as printed: "41–118", "1–4 and 21–40", "1–118 in 5 passages".
    pub fn measures(&self) -> String {
        let stretches = self.stretches();
        let words = |&(from, to): &(&MeasureName, &MeasureName)| {
            if from == to { from.to_string() } else { format!("{from}–{to}") }
        };
        match stretches.as_slice() {
            [] => String::new(),
            [one] => words(one),
            [some @ .., last] if some.len() < NAMED_STRETCHES => {
                format!("{} and {}", some.iter().map(words).collect::<Vec<_>>().join(", "), words(last))
            }
            [(from, _), .., (_, to)] => format!("{from}–{to} in {} passages", stretches.len()),
        }
    }

    /// The same with its sign: "m. 12", "mm. 41–118"; empty where no measures are known.
    pub fn where_played(&self) -> String {
        match self.stretches().as_slice() {
            [] => String::new(),
            [(from, to)] => super::stretch_words(from, to),
            _ => format!("mm. {}", self.measures()),
        }
    }

    /// What it is played in, in the order of the page, what follows without a gap as one: after a da capo what is played last need
    /// not be what stands last. As they are played where a measure has no number.
    fn stretches(&self) -> Vec<(&MeasureName, &MeasureName)> {
        let numbered = |passage| {
            let Passage { from, to, .. }: &Passage = passage;
            Some((from.number()?, to.number()?, from, to))
        };
        let Some(mut all) = self.passages.iter().map(numbered).collect::<Option<Vec<_>>>() else {
            return self.passages.iter().map(|passage| (&passage.from, &passage.to)).collect();
        };
        all.sort_by_key(|&(first, last, ..)| (first, last));
        let mut joined: Vec<(u32, &MeasureName, &MeasureName)> = Vec::new();
        for (first, last, from, to) in all {
            match joined.last_mut() {
                Some((end, _, until)) if first <= end.saturating_add(1) => {
                    // Of names with one number the last: 12 and 12b.
                    if last >= *end {
                        (*end, *until) = (last, to);
                    }
                }
                _ => joined.push((last, from, to)),
            }
        }
        joined.into_iter().map(|(_, from, to)| (from, to)).collect()
    }
}

/// So many stretches of measures are named one by one.
const NAMED_STRETCHES: usize = 3;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;
    use rstest::rstest;

    #[rstest]
    #[case(&["1–4", "21–40"], "mm. 1–4 and 21–40")]
    #[case::da_capo(&["21–40", "1–4"], "mm. 1–4 and 21–40")]
    #[case::at_once(&["5–8", "1–4"], "mm. 1–8")]
    #[case::within(&["1–40", "3–4"], "mm. 1–40")]
    #[case::three(&["1–4", "9–9", "21–40"], "mm. 1–4, 9 and 21–40")]
    #[case::four(&["1–4", "9–9", "21–40", "118–118"], "mm. 1–118 in 4 passages")]
    #[case::one_number(&["12–12", "12b–12b"], "mm. 12–12b")]
    #[case(&["7–7"], "m. 7")]
    #[case::unnumbered(&["X1–X2", "1–3"], "mm. X1–X2 and 1–3")]
    #[case(&[], "")]
    fn measures_are_those_of_the_page(#[case] passages: &[&str], #[case] words: &str) {
        let mut line = sample::line("c", Some("cymbals_pair"), Octave::AS_WRITTEN, "");
        let passage = |text: &&str| {
            let (from, to) = text.split_once('–').unwrap();
            let name = crate::music::MeasureName::new;
            let (notes, unpitched) = (Vec::new(), Vec::new());
            Passage {
                from: name(from),
                to: name(to),
                from_s: 0.0,
                to_s: 1.0,
                notes,
                unpitched,
                dynamics: None,
            }
        };
        line.passages = passages.iter().map(passage).collect();
        assert_eq!(line.where_played(), words);
    }

    #[test]
    fn a_kind_chosen_by_hand_is_its_own_reason() {
        let mut line = sample::line("c", Some("cymbals_pair"), Octave::AS_WRITTEN, "");
        line.evidence = vec!["heading “Cym.” → cymbals".to_owned()];
        assert!(!line.is_chosen());
        let kind = KindId::new("suspended_cymbal").ok();
        let chosen = line.with_kind(kind.clone(), Some("suspended cymbal"));
        assert_eq!((&chosen.kind, chosen.degree), (&kind, Degree::Sure));
        let reasons = ["chosen by hand: suspended cymbal", "the reading said: heading “Cym.” → cymbals"];
        assert_eq!(chosen.evidence, reasons);
        let again = chosen.with_kind(None, None);
        assert_eq!((again.degree, again.is_chosen()), (Degree::Unclear, true));
        assert_eq!(again.evidence, ["chosen by hand: left open", reasons[1]], "the choice before is gone");
    }
}
