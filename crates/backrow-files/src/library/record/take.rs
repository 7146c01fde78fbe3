//! `sounds/INSTRUMENT/TAKE.ron`: what is known of a recording; its sound lies in the file that it names, beside it.

use super::{Record, is_default};
use crate::library::text::Text;
use crate::library::version::FORMAT;
use backrow_core::id::{BeaterId, InstrumentId, TakeId};
use backrow_core::music::Dynamic;
use backrow_core::pitch::KeyNumber;
use backrow_core::sound::{Strike, Take, TakeFault};
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct TakeRecord {
    format: u32,
    id: Text<TakeId>,
    instrument: Text<InstrumentId>,
    file: String,
    #[serde(default, skip_serializing_if = "is_default")]
    content: String,
    #[serde(default, skip_serializing_if = "is_default")]
    when: Option<Text<DateTime>>,
    #[serde(default, skip_serializing_if = "is_default")]
    device: String,
    rate_hz: u32,
    length_s: f64,
    #[serde(default, skip_serializing_if = "is_default")]
    by_model: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    note: String,
    #[serde(default, skip_serializing_if = "is_default")]
    faults: Vec<FaultRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    strikes: Vec<StrikeRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum FaultRecord {
    Clipped(u64),
    TooQuiet,
    Lost(u64),
    CutShort,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct StrikeRecord {
    from_s: f64,
    to_s: f64,
    #[serde(default, skip_serializing_if = "is_default")]
    bar: Option<Text<KeyNumber>>,
    #[serde(default, skip_serializing_if = "is_default")]
    beater: Option<Text<BeaterId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    how_hard: Option<Text<Dynamic>>,
    #[serde(default, skip_serializing_if = "is_default")]
    spot: String,
    #[serde(default, skip_serializing_if = "is_default")]
    words: Vec<String>,
}

impl Record for TakeRecord {
    type Value = Take;

    fn of(take: &Take) -> Self {
        let Take {
            id,
            instrument,
            file,
            content,
            when,
            device,
            rate_hz,
            length_s,
            note,
            faults,
            by_model,
            strikes,
        } = take;
        Self {
            format: FORMAT,
            id: Text(id.clone()),
            instrument: Text(instrument.clone()),
            file: file.clone(),
            content: content.clone(),
            when: when.map(Text),
            device: device.clone(),
            rate_hz: *rate_hz,
            length_s: *length_s,
            by_model: *by_model,
            note: note.clone(),
            faults: faults.iter().map(FaultRecord::of).collect(),
            strikes: strikes.iter().map(StrikeRecord::of).collect(),
        }
    }

    fn value(self) -> Take {
        Take {
            id: self.id.0,
            instrument: self.instrument.0,
            file: self.file,
            content: self.content,
            when: self.when.map(|when| when.0),
            device: self.device,
            rate_hz: self.rate_hz,
            length_s: self.length_s,
            note: self.note,
            faults: self.faults.iter().map(FaultRecord::value).collect(),
            by_model: self.by_model,
            strikes: self.strikes.into_iter().map(StrikeRecord::value).collect(),
        }
    }
}

impl FaultRecord {
    const fn of(fault: &TakeFault) -> Self {
        match fault {
            TakeFault::Clipped(samples) => Self::Clipped(*samples),
            TakeFault::TooQuiet => Self::TooQuiet,
            TakeFault::Lost(frames) => Self::Lost(*frames),
            TakeFault::CutShort => Self::CutShort,
        }
    }

    const fn value(&self) -> TakeFault {
        match self {
            Self::Clipped(samples) => TakeFault::Clipped(*samples),
            Self::TooQuiet => TakeFault::TooQuiet,
            Self::Lost(frames) => TakeFault::Lost(*frames),
            Self::CutShort => TakeFault::CutShort,
        }
    }
}

impl StrikeRecord {
    fn of(strike: &Strike) -> Self {
        let Strike { from_s, to_s, bar, beater, how_hard, spot, words } = strike;
        Self {
            from_s: *from_s,
            to_s: *to_s,
            bar: bar.map(Text),
            beater: beater.clone().map(Text),
            how_hard: how_hard.map(Text),
            spot: spot.clone(),
            words: words.clone(),
        }
    }

    fn value(self) -> Strike {
        Strike {
            from_s: self.from_s,
            to_s: self.to_s,
            bar: self.bar.map(|bar| bar.0),
            beater: self.beater.map(|beater| beater.0),
            how_hard: self.how_hard.map(|how| how.0),
            spot: self.spot,
            words: self.words,
        }
    }
}
