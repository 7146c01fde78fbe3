//! Bells for a programme: which written notes we can give, in which octave, with which beater, and what to borrow. Bells are written
//! and sound in ways that differ from score to score: every reading is offered, and none is assumed.

use super::{Hall, offset};
use crate::care::BellEntry;
use crate::collection::{Family, Instrument};
use crate::id::{BeaterId, InstrumentId, KindId};
use crate::library::Library;
use crate::music::Line;
use crate::pitch::{KeyNumber, Spelled, signed};

/// Whether a kind is one of bells that may stand in for cast bells: cast ones, tubes and plates.
pub fn is_bell_kind(library: &Library, kind: &KindId) -> bool {
    let like = ["church_bells", "tubular_bells", "bell_plates"];
    like.contains(&kind.as_str())
        && library.kinds.get(kind).is_none_or(|kind| matches!(kind.family, Family::Bells))
}

/// One of our bells that has a note.
#[derive(Clone, Debug, PartialEq)]
pub struct BellChoice {
    /// On which instrument.
    pub instrument: InstrumentId,
    /// How far it lies above tonight's A, cents, where that is known.
    pub cents: Option<f64>,
    /// The beaters that the register names for it, with what they do.
    pub beaters: Vec<(BeaterId, String)>,
}

/// A written note read in one octave.
#[derive(Clone, Debug, PartialEq)]
pub struct BellReading {
    /// Octaves from the written note to the sounding one.
    pub octaves: i32,
    /// The sounding note.
    pub key: KeyNumber,
    /// Whether the line itself says so.
    pub is_the_lines: bool,
    /// Ours that have it, cast ones first.
    pub on: Vec<BellChoice>,
}

/// A written note of a line for bells.
#[derive(Clone, Debug, PartialEq)]
pub struct BellNote {
    /// As on the page.
    pub written: Spelled,
    /// How often it is struck.
    pub count: u32,
    /// Every reading from two octaves below to two above, from low to high.
    pub readings: Vec<BellReading>,
}

impl BellNote {
    /// Whether none of our bells has it in any octave: to borrow or hire.
    pub fn is_to_borrow(&self) -> bool {
        self.readings.iter().all(|reading| reading.on.is_empty())
    }

    /// Whether the line's own reading can be given.
    pub fn is_given(&self) -> bool {
        self.readings.iter().any(|reading| reading.is_the_lines && !reading.on.is_empty())
    }
}

impl BellChoice {
    /// "Tubular bells 1 (−8 cents), rawhide hammer (clear) / felt hammer (mild)".
    fn words(&self, library: &Library) -> String {
        let name = library.instrument_name(&self.instrument);
        let cents = self.cents.map_or_else(String::new, |cents| format!(" ({} cents)", signed(cents, 0)));
        let with = self.beaters.iter().map(|(beater, does)| {
            let name = library.beaters.get(beater).map_or_else(|| beater.to_string(), |one| one.name.clone());
            if does.is_empty() { name } else { format!("{name} ({does})") }
        });
        let with = with.collect::<Vec<_>>().join(" / ");
        format!("{name}{cents}{}{with}", if with.is_empty() { "" } else { ", " })
    }
}

impl BellReading {
    /// "C4 (an octave lower, as the line has it): Cast bell or Tubular bells 1".
    fn words(&self, library: &Library) -> String {
        let octave = match self.octaves {
            0 => "as written".to_owned(),
            1 => "an octave higher".to_owned(),
            -1 => "an octave lower".to_owned(),
            n if n > 0 => format!("{n} octaves higher"),
            n => format!("{} octaves lower", -n),
        };
        let own = if self.is_the_lines { ", as the line has it" } else { "" };
        let on: Vec<String> = self.on.iter().map(|choice| choice.words(library)).collect();
        format!("{} ({octave}{own}): {}", self.key, on.join(" or "))
    }
}

impl BellNote {
    /// Every octave in which we have it, with which bells and beaters; or that it is to be borrowed.
    pub fn words(&self, library: &Library) -> String {
        if self.is_to_borrow() {
            return "none of ours in any octave: borrow or hire".to_owned();
        }
        self.said(library, |_| true)
    }

    /// The octave of the line itself, with which bells and beaters; empty where none of ours has it there.
    pub fn own_words(&self, library: &Library) -> String {
        self.said(library, |reading| reading.is_the_lines)
    }

    /// The other octaves in which we have it; empty where there is none.
    pub fn other_words(&self, library: &Library) -> String {
        self.said(library, |reading| !reading.is_the_lines)
    }

    fn said(&self, library: &Library, holds: impl Fn(&BellReading) -> bool) -> String {
        let given = self.readings.iter().filter(|reading| !reading.on.is_empty() && holds(reading));
        given.map(|reading| reading.words(library)).collect::<Vec<_>>().join("; ")
    }
}

/// What a line for bells asks, note by note, and what of it we can give in which octave. Empty for lines without pitch.
pub fn bells_for(library: &Library, line: &Line, hall: Hall) -> Vec<BellNote> {
    let ours: Vec<&Instrument> = {
        let mut ours: Vec<&Instrument> = library
            .instruments
            .values()
            .map(|thing| &**thing)
            .filter(|thing| is_bell_kind(library, &thing.kind))
            .collect();
        ours.sort_by_key(|thing| (thing.kind.as_str() != "church_bells", thing.name.clone()));
        ours
    };
    let notes = line.written_counts().into_iter();
    notes
        .map(|(note, count)| {
            let row = line.sounding_of(&note);
            let reading = |octaves: i32| {
                let key = note.written.key().up(12 * octaves)?;
                let on = ours.iter().filter(|thing| thing.compass().contains(key));
                Some(BellReading {
                    octaves,
                    key,
                    is_the_lines: row == Some(key),
                    on: on.map(|thing| choice(library, thing, key, hall)).collect(),
                })
            };
            BellNote { written: note.written, count, readings: (-2..=2).filter_map(reading).collect() }
        })
        .collect()
}

fn choice(library: &Library, thing: &Instrument, key: KeyNumber, hall: Hall) -> BellChoice {
    let entry: Option<&BellEntry> =
        library.care.get(&thing.id).and_then(|care| care.bells.iter().find(|bell| bell.key == key));
    BellChoice {
        instrument: thing.id.clone(),
        cents: offset(library, thing, Some(key), hall).map(|found| found.cents),
        beaters: entry
            .map(|bell| bell.beaters.iter().map(|one| (one.beater.clone(), one.does.clone())).collect())
            .unwrap_or_default(),
    }
}
