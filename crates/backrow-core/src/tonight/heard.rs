//! What would be heard: a line's notes on an instrument against the orchestra, and two instruments against each other.

use super::shared::meeting;
use super::{Exposed, Hall, Offset, exposed, offset};
use crate::collection::{Instrument, Material};
use crate::id::InstrumentId;
use crate::library::Library;
use crate::music::{Line, Timeline};
use crate::pitch::KeyNumber;
use crate::tuning::{beats, raised};
use std::collections::{BTreeMap, BTreeSet};

/// A note of a line that would be heard out of tune.
#[derive(Clone, Debug, PartialEq)]
pub struct Heard {
    /// The note.
    pub note: Exposed,
    /// How its bar stands to the orchestra.
    pub offset: Offset,
    /// Beats a second against the A's equal temperament, or against winds that have risen with the air: whichever is farther.
    pub beats_hz: f64,
}

impl Heard {
    /// How much of it the ear is given: beats within the note.
    pub fn swells(&self) -> f64 {
        beats::in_a_note(self.beats_hz, self.note.seconds)
    }

    /// The distance that counts, cents: from the A, or from winds that have risen with the air, whichever is farther.
    pub fn cents(&self) -> f64 {
        self.offset.farthest()
    }

    fn is_heard(&self) -> bool {
        self.cents().abs() >= beats::JUST_HEARD_CENTS && self.swells() >= enough(self.note.is_covered())
    }
}

/// How many beats a note must have before they are heard: one, or two where others cover it.
const fn enough(covered: bool) -> f64 {
    if covered { 2.0 } else { 1.0 }
}

/// The notes of a line that would be heard out of tune on an instrument tonight, the worst first: those that last for a whole beat
/// or more against the orchestra, two where the dynamic covers them, and lie five cents or more away. Empty where nothing is
/// known of its tuning.
pub fn against_orchestra(
    library: &Library,
    (line, timeline): (&Line, &Timeline),
    thing: &Instrument,
    hall: Hall,
) -> Vec<Heard> {
    // Most instruments lie close enough tonight; what is struck when is only asked of the others.
    let keys: BTreeSet<KeyNumber> = line.notes().filter_map(|note| line.sounding_of(note)).collect();
    let far = |key| {
        offset(library, thing, Some(key), hall)
            .is_some_and(|of| of.farthest().abs() >= beats::JUST_HEARD_CENTS)
    };
    if !keys.into_iter().any(far) {
        return Vec::new();
    }
    heard_on(library, &exposed(line, timeline, thing.material), thing, hall)
}

/// The same for notes that are known.
fn heard_on(library: &Library, notes: &[Exposed], thing: &Instrument, hall: Hall) -> Vec<Heard> {
    let bars = thing.bars();
    // A line strikes few bars many times.
    let mut offsets: BTreeMap<KeyNumber, Option<Offset>> = BTreeMap::new();
    let heard = notes.iter().filter(|note| bars.contains(note.key)).filter_map(|note| {
        let known = offsets.entry(note.key);
        let offset = (*known.or_insert_with(|| offset(library, thing, Some(note.key), hall)))?;
        let right = hall.a.frequency(note.key).value();
        let beats_hz = beats::unison(right, raised(right, offset.farthest()));
        Some(Heard { beats_hz, note: note.clone(), offset })
    });
    let mut heard: Vec<Heard> = heard.filter(Heard::is_heard).collect();
    heard.sort_by(|a, b| b.swells().total_cmp(&a.swells()));
    heard
}

/// Two instruments that strike one pitch, or octaves of it, at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Between {
    /// The first's note.
    pub note: Exposed,
    /// How far the first lies above the second, cents.
    pub cents: f64,
    /// Beats a second where the lower one's harmonic meets the higher.
    pub beats_hz: f64,
    /// Octaves between the two; 0 in unison.
    pub octaves: u8,
}

/// Two strokes count as one when they come within that, microseconds. Ours: an ear hears one attack.
const AT_ONCE_US: u64 = 40_000;

/// Where two lines of one movement, on two instruments, strike one pitch or octaves of it at once and would beat: a whole beat within
/// the shorter of the two notes, two where the dynamic covers either, five cents apart or more. The worst first.
pub fn between(
    library: &Library,
    timeline: &Timeline,
    one: (&Line, &Instrument),
    other: (&Line, &Instrument),
    hall: Hall,
) -> Vec<Between> {
    let (mine, theirs) =
        (exposed(one.0, timeline, one.1.material), exposed(other.0, timeline, other.1.material));
    between_notes(library, (&mine, one.1), (&theirs, other.1), hall)
}

/// The same for notes that are known, in the order of time.
pub fn between_notes(
    library: &Library,
    (mine, one): (&[Exposed], &Instrument),
    (theirs, other): (&[Exposed], &Instrument),
    hall: Hall,
) -> Vec<Between> {
    let mut found = Vec::new();
    let mut from = 0;
    for note in mine {
        while theirs.get(from).is_some_and(|other| other.at_us + AT_ONCE_US < note.at_us) {
            from += 1;
        }
        let together = theirs.iter().skip(from).take_while(|other| other.at_us <= note.at_us + AT_ONCE_US);
        found.extend(together.filter_map(|with| meets(library, (note, one), (with, other), hall)));
    }
    found.sort_by(|a, b| b.beats_hz.total_cmp(&a.beats_hz));
    found
}

fn meets(
    library: &Library,
    (note, thing): (&Exposed, &Instrument),
    (with, other): (&Exposed, &Instrument),
    hall: Hall,
) -> Option<Between> {
    let met = meeting(library, (thing, note.key), (other, with.key), hall)?;
    let seconds = note.seconds.min(with.seconds);
    let is_heard = met.cents.abs() >= beats::JUST_HEARD_CENTS
        && beats::in_a_note(met.beats_hz, seconds) >= enough(note.is_covered() || with.is_covered());
    is_heard.then(|| Between {
        note: Exposed { seconds, ..note.clone() },
        cents: met.cents,
        beats_hz: met.beats_hz,
        octaves: note.key.number().abs_diff(with.key.number()) / 12,
    })
}

/// How an instrument would sit in a line tonight.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The instrument.
    pub instrument: InstrumentId,
    /// The middle over the line's pitches of the distance that counts, cents: from the A, or from risen winds, as a finding has
    /// it ([`Offset::farthest`]); `None` where its tuning is not known.
    pub cents: Option<f64>,
    /// Whether risen winds are what it lies away from, for more than half of those pitches.
    pub by_winds: bool,
    /// How many notes would be heard out of tune.
    pub heard: usize,
    /// How many of the line's pitches it has.
    pub reached: u32,
}

impl Fit {
    /// What its distance is counted from.
    pub const fn whom(&self) -> &'static str {
        if self.by_winds { "the winds" } else { "the orchestra" }
    }
}

/// Instruments compared for one line: the one that has the most of its pitches first, then the one with the fewest notes out of tune,
/// then the nearest to the orchestra. What nothing is known of stands last.
pub fn better<'a>(
    library: &Library,
    line: (&Line, &Timeline),
    things: impl Iterator<Item = &'a Instrument>,
    hall: Hall,
) -> Vec<Fit> {
    let asked = line.0.sounding();
    // How long a note rings is the material's; all else of it is the line's.
    let mut notes: BTreeMap<Material, Vec<Exposed>> = BTreeMap::new();
    let fit = |thing: &Instrument| {
        let notes = notes.entry(thing.material).or_insert_with(|| exposed(line.0, line.1, thing.material));
        let reached = thing.compass().intersection(asked);
        let offsets: Vec<Offset> =
            reached.iter().filter_map(|key| offset(library, thing, Some(key), hall)).collect();
        Fit {
            instrument: thing.id.clone(),
            cents: crate::tuning::median(offsets.iter().map(|offset| offset.farthest().abs()).collect()),
            by_winds: 2 * offsets.iter().filter(|offset| offset.is_by_winds()).count() > offsets.len(),
            heard: heard_on(library, notes, thing, hall).len(),
            reached: reached.len(),
        }
    };
    let mut seen = BTreeSet::new();
    let mut fits: Vec<Fit> = things.filter(|thing| seen.insert(thing.id.clone())).map(fit).collect();
    let key = |fit: &Fit| (std::cmp::Reverse(fit.reached), fit.cents.is_none(), fit.heard);
    fits.sort_by(|a, b| {
        let nearer = a.cents.unwrap_or(f64::MAX).total_cmp(&b.cents.unwrap_or(f64::MAX));
        key(a).cmp(&key(b)).then(nearer).then(a.instrument.cmp(&b.instrument))
    });
    fits
}
