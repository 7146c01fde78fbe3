//! Takes and the strikes in them: what the library stores.

use crate::id::{BeaterId, InstrumentId, TakeId};
use crate::music::Dynamic;
use crate::pitch::KeyNumber;
use jiff::civil::DateTime;
use std::collections::BTreeMap;
use std::fmt;

/// One recording of one instrument.
#[derive(Clone, Debug, PartialEq)]
pub struct Take {
    /// Stable for ever; unique within the instrument.
    pub id: TakeId,
    /// What was recorded.
    pub instrument: InstrumentId,
    /// The file's name in the instrument's folder: "soft-felt.flac".
    pub file: String,
    /// A hash of the file's bytes, in hexadecimal; measures are remembered by it. Empty where it is not known yet.
    pub content: String,
    /// When it was recorded, by the clock on the wall; `None` for a file that does not say.
    pub when: Option<DateTime>,
    /// With what, as the sound server or the user calls it; empty where unknown.
    pub device: String,
    /// Samples in a second, above zero.
    pub rate_hz: u32,
    /// Seconds, above zero.
    pub length_s: f64,
    /// Anything else, in words.
    pub note: String,
    /// What went wrong while it was recorded.
    pub faults: Vec<TakeFault>,
    /// Made by a model of its kind and not recorded: every strike of it is marked.
    pub by_model: bool,
    /// In the order in which they sound; none overlaps the next.
    pub strikes: Vec<Strike>,
}

impl Take {
    /// Its name in the library.
    pub fn key(&self) -> TakeKey {
        TakeKey { instrument: self.instrument.clone(), take: self.id.clone() }
    }

    /// What is wrong with its strikes, as a sentence without its stop; `None` where all is well: each begins within the take, ends after
    /// it began, and not after the next begins.
    pub fn wrong(&self) -> Option<String> {
        let figures = [self.length_s].into_iter().chain(self.strikes.iter().flat_map(|s| [s.from_s, s.to_s]));
        if self.rate_hz == 0 || !figures.into_iter().all(|figure| figure.is_finite() && figure >= 0.0) {
            return Some(format!("the take “{}” has a figure that is none: a time or a rate", self.id));
        }
        let ends = self.strikes.iter().skip(1).map(|next| next.from_s).chain([f64::INFINITY]);
        let at = self.strikes.iter().zip(ends).position(|(strike, end)| {
            strike.from_s > self.length_s || strike.to_s <= strike.from_s || strike.to_s > end + 1e-9
        })?;
        Some(format!("strike {} of the take “{}” does not end before the next begins", at + 1, self.id))
    }

    /// The strikes with their keys, in the order in which they sound.
    pub fn keyed(&self) -> impl Iterator<Item = (StrikeKey, &Strike)> {
        self.strikes.iter().enumerate().map(|(number, strike)| {
            (StrikeKey { instrument: self.instrument.clone(), take: self.id.clone(), number }, strike)
        })
    }
}

/// What a take's listener must know of its quality.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TakeFault {
    /// So many samples stood at full scale, as [`TakeFault::clipped`] counts them: the loudest moments are cut off.
    Clipped(u64),
    /// Its loudest moment stayed under -40 dBFS: the noise of the room and the microphone comes along.
    TooQuiet,
    /// So many frames were lost on the way from the device.
    Lost(u64),
    /// The file ended before it said that it would.
    CutShort,
}

impl TakeFault {
    /// The peak under which a take is too quiet, dB under full scale. Ours: with the noise of a usual microphone and room at about
    /// -70, less than 30 dB of a decay can then be heard, which the ring time needs.
    pub const QUIET_DBFS: f64 = -40.0;

    /// From here on a sample stands at full scale, 1 being full scale; converters stop a little before or at 1.
    pub const FULL_SCALE: f32 = 0.999;

    /// How many samples of one channel stand at full scale right after another one that does. One alone is a level well set.
    pub fn clipped<'a>(samples: impl IntoIterator<Item = &'a f32>) -> u64 {
        let (mut count, mut before) = (0, false);
        for sample in samples {
            let full = sample.abs() >= Self::FULL_SCALE;
            count += u64::from(full && before);
            before = full;
        }
        count
    }
}

impl fmt::Display for TakeFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Clipped(1) => write!(f, "one sample is clipped; record it again with less gain"),
            Self::Clipped(many) => write!(f, "{many} samples are clipped; record it again with less gain"),
            Self::TooQuiet => write!(f, "it is too quiet; record it again with more gain or nearer"),
            Self::Lost(frames) => {
                write!(f, "{frames} frames were lost on the way from the device; record it again")
            }
            Self::CutShort => write!(f, "the file ends before it says that it does; what was there was read"),
        }
    }
}

/// One sound in a take.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Strike {
    /// Where it begins in the take, seconds.
    pub from_s: f64,
    /// Where it ends: shortly before the next, or the end of the take, seconds; above `from_s`.
    pub to_s: f64,
    /// The bar that was struck, sounding; `None` for what has no bars, and where nobody has said.
    pub bar: Option<KeyNumber>,
    /// With what.
    pub beater: Option<BeaterId>,
    /// How hard, as a part would say it.
    pub how_hard: Option<Dynamic>,
    /// Where it was struck: "edge", "over the node"; empty where nobody has said.
    pub spot: String,
    /// Words for how it sounds, by the section.
    pub words: Vec<String>,
}

/// Names a strike: the take it is in, and its place there from 0.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StrikeKey {
    /// Of which instrument.
    pub instrument: InstrumentId,
    /// In which take.
    pub take: TakeId,
    /// Which of the take's strikes, from 0.
    pub number: usize,
}

/// Names a take: its instrument, and its id there.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TakeKey {
    /// Of which instrument.
    pub instrument: InstrumentId,
    /// Which of its takes.
    pub take: TakeId,
}

impl fmt::Display for TakeKey {
    /// `anvil-1/soft`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.instrument, self.take)
    }
}

/// Takes by instrument and id: all that a library has.
pub type Takes = BTreeMap<InstrumentId, BTreeMap<TakeId, Take>>;
