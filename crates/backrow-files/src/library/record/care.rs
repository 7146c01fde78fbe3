//! `care/<instrument>.ron`: surveys, log, bells and value of one instrument.

use super::bell::BellRecord;
use super::orchestra::AHertz;
use super::{Record, is_default};
use crate::library::text::Text;
use crate::library::version::FORMAT;
use backrow_core::care::{Bar, Care, LogEntry, Reading, Resonators, Survey, Value, Work};
use backrow_core::id::InstrumentId;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct CareRecord {
    format: u32,
    instrument: Text<InstrumentId>,
    #[serde(default, skip_serializing_if = "is_default")]
    tolerance_cents: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    resonators: Option<ResonatorsRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    value: Option<ValueRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    irreplaceable: String,
    #[serde(default, skip_serializing_if = "is_default")]
    surveys: Vec<SurveyRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    log: Vec<LogRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    bells: Vec<BellRecord>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ResonatorsRecord {
    right_at_c: f64,
    radius_m: f64,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ValueRecord {
    amount: f64,
    #[serde(default, skip_serializing_if = "is_default")]
    ground: String,
    #[serde(default, skip_serializing_if = "is_default")]
    on: Option<Text<Date>>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SurveyRecord {
    on: Text<Date>,
    #[serde(default, skip_serializing_if = "is_default")]
    celsius: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    a_hz: Option<AHertz>,
    #[serde(default, skip_serializing_if = "is_default")]
    who: String,
    #[serde(default, skip_serializing_if = "is_default")]
    how: String,
    #[serde(default, skip_serializing_if = "is_default")]
    remark: String,
    #[serde(default, skip_serializing_if = "is_default")]
    bars: Vec<ReadingRecord>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadingRecord {
    bar: Text<Bar>,
    hz: f64,
    #[serde(default, skip_serializing_if = "is_default")]
    second_hz: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    third_hz: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    remark: String,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct LogRecord {
    on: Text<Date>,
    work: Text<Work>,
    #[serde(default, skip_serializing_if = "is_default")]
    bar: Option<Text<Bar>>,
    #[serde(default, skip_serializing_if = "is_default")]
    part: String,
    #[serde(default, skip_serializing_if = "is_default")]
    words: String,
    #[serde(default, skip_serializing_if = "is_default")]
    who: String,
    #[serde(default, skip_serializing_if = "is_default")]
    cost: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    due: Option<Text<Date>>,
    #[serde(default, skip_serializing_if = "is_default")]
    fixed: Option<Text<Date>>,
}

impl SurveyRecord {
    fn of(survey: &Survey) -> Self {
        let Survey { on, celsius, a, who, how, readings, remark } = survey;
        Self {
            on: Text(*on),
            celsius: *celsius,
            a_hz: a.map(AHertz),
            who: who.clone(),
            how: how.clone(),
            remark: remark.clone(),
            bars: readings.iter().map(ReadingRecord::of).collect(),
        }
    }

    fn value(self) -> Survey {
        Survey {
            on: self.on.0,
            celsius: self.celsius,
            a: self.a_hz.map(|a| a.0),
            who: self.who,
            how: self.how,
            readings: self.bars.into_iter().map(ReadingRecord::value).collect(),
            remark: self.remark,
        }
    }
}

impl ReadingRecord {
    fn of(reading: &Reading) -> Self {
        let Reading { bar, hz, second_hz, third_hz, remark } = reading;
        Self { bar: Text(*bar), hz: *hz, second_hz: *second_hz, third_hz: *third_hz, remark: remark.clone() }
    }

    fn value(self) -> Reading {
        let Self { bar, hz, second_hz, third_hz, remark } = self;
        Reading { bar: bar.0, hz, second_hz, third_hz, remark }
    }
}

impl LogRecord {
    fn of(entry: &LogEntry) -> Self {
        let LogEntry { on, work, bar, part, words, who, cost, due, fixed } = entry.clone();
        Self {
            on: Text(on),
            work: Text(work),
            bar: bar.map(Text),
            part,
            words,
            who,
            cost,
            due: due.map(Text),
            fixed: fixed.map(Text),
        }
    }

    fn value(self) -> LogEntry {
        let Self { on, work, bar, part, words, who, cost, due, fixed } = self;
        LogEntry {
            on: on.0,
            work: work.0,
            bar: bar.map(|bar| bar.0),
            part,
            words,
            who,
            cost,
            due: due.map(|due| due.0),
            fixed: fixed.map(|fixed| fixed.0),
        }
    }
}

impl Record for CareRecord {
    type Value = Care;

    fn of(care: &Care) -> Self {
        let Care { instrument, surveys, log, bells, resonators, tolerance_cents, value, irreplaceable } =
            care;
        Self {
            format: FORMAT,
            instrument: Text(instrument.clone()),
            tolerance_cents: *tolerance_cents,
            resonators: resonators
                .map(|Resonators { right_at_c, radius_m }| ResonatorsRecord { right_at_c, radius_m }),
            value: value.clone().map(|Value { amount, ground, on }| ValueRecord {
                amount,
                ground,
                on: on.map(Text),
            }),
            irreplaceable: irreplaceable.clone(),
            surveys: surveys.iter().map(SurveyRecord::of).collect(),
            log: log.iter().map(LogRecord::of).collect(),
            bells: bells.iter().map(BellRecord::of).collect(),
        }
    }

    fn value(self) -> Care {
        let resonators = self
            .resonators
            .map(|ResonatorsRecord { right_at_c, radius_m }| Resonators { right_at_c, radius_m });
        let value =
            |ValueRecord { amount, ground, on }| Value { amount, ground, on: on.map(|on: Text<Date>| on.0) };
        Care {
            instrument: self.instrument.0,
            surveys: self.surveys.into_iter().map(SurveyRecord::value).collect(),
            log: self.log.into_iter().map(LogRecord::value).collect(),
            bells: self.bells.into_iter().map(BellRecord::value).collect(),
            resonators,
            tolerance_cents: self.tolerance_cents,
            value: self.value.map(value),
            irreplaceable: self.irreplaceable,
        }
    }
}
