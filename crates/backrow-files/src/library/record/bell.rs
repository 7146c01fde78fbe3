//! A bell of the register, in its instrument’s `care` file.

use super::instrument::MassRecord;
use super::{Once, is_default};
use crate::library::text::Text;
use backrow_core::care::{BellBeater, BellEntry};
use backrow_core::id::BeaterId;
use backrow_core::pitch::KeyNumber;
use backrow_core::tuning::bell::{Partial, Partials};
use serde::{Deserialize, Serialize};

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BellRecord {
    bar: Text<KeyNumber>,
    #[serde(default, skip_serializing_if = "is_default")]
    partials_hz: Once<Text<Partial>, f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    warble_hz: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    mass: Option<MassRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    lip_m: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    founder: String,
    #[serde(default, skip_serializing_if = "is_default")]
    cast: String,
    #[serde(default, skip_serializing_if = "is_default")]
    profile: String,
    #[serde(default, skip_serializing_if = "is_default")]
    inscription: String,
    #[serde(default, skip_serializing_if = "is_default")]
    donor: String,
    #[serde(default, skip_serializing_if = "is_default")]
    beaters: Vec<BellBeaterRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    hanging: String,
    #[serde(default, skip_serializing_if = "is_default")]
    lifting: String,
    #[serde(default, skip_serializing_if = "is_default")]
    remark: String,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BellBeaterRecord {
    beater: Text<BeaterId>,
    #[serde(default, skip_serializing_if = "is_default")]
    does: String,
}

impl BellRecord {
    pub(super) fn of(bell: &BellEntry) -> Self {
        let BellEntry {
            key,
            partials,
            warble_hz,
            mass,
            lip_m,
            founder,
            cast,
            profile,
            inscription,
            donor,
            beaters,
            hanging,
            lifting,
            remark,
        } = bell.clone();
        let beater = |BellBeater { beater, does }| BellBeaterRecord { beater: Text(beater), does };
        Self {
            bar: Text(key),
            partials_hz: Once(partials.0.into_iter().map(|(partial, hz)| (Text(partial), hz)).collect()),
            warble_hz,
            mass: mass.map(MassRecord::of),
            lip_m,
            founder,
            cast,
            profile,
            inscription,
            donor,
            beaters: beaters.into_iter().map(beater).collect(),
            hanging,
            lifting,
            remark,
        }
    }

    pub(super) fn value(self) -> BellEntry {
        let partials = self.partials_hz.0.into_iter().map(|(partial, hz)| (partial.0, hz));
        let beater = |BellBeaterRecord { beater, does }| BellBeater { beater: beater.0, does };
        BellEntry {
            key: self.bar.0,
            partials: Partials(partials.collect()),
            warble_hz: self.warble_hz,
            mass: self.mass.map(MassRecord::value),
            lip_m: self.lip_m,
            founder: self.founder,
            cast: self.cast,
            profile: self.profile,
            inscription: self.inscription,
            donor: self.donor,
            beaters: self.beaters.into_iter().map(beater).collect(),
            hanging: self.hanging,
            lifting: self.lifting,
            remark: self.remark,
        }
    }
}
