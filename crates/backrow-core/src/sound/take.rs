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
    /// So many samples stood at full scale: the loudest moments are cut off.
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

/// Takes by instrument and id: all that a library has.
pub type Takes = BTreeMap<InstrumentId, BTreeMap<TakeId, Take>>;
