//! `kinds.ron`: the house's own kinds, and those of the kinds table that the house has changed or struck out.

use super::instrument::ShapeRecord;
use super::{Record, is_default};
use crate::library::text::{Text, plain, texts};
use crate::library::version::FORMAT;
use backrow_core::collection::{Family, Head, Kind, Layout, Material, Names, Pitched, UsualCompass};
use backrow_core::id::KindId;
use backrow_core::pitch::{KeyNumber, Octave};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What the house has of its own on top of the kinds table.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::library) struct OwnKinds {
    /// Its own kinds, and changed ones.
    pub kinds: BTreeMap<KindId, Arc<Kind>>,
    /// Kinds of the table that it does not want.
    pub without: BTreeSet<KindId>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct KindsRecord {
    format: u32,
    #[serde(default, skip_serializing_if = "is_default")]
    without: Vec<Text<KindId>>,
    kinds: Vec<KindRecord>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct KindRecord {
    id: Text<KindId>,
    #[serde(default, skip_serializing_if = "is_default")]
    names: NamesRecord,
    family: Text<Family>,
    pitched: Text<Pitched>,
    /// Semitones sounding above written.
    #[serde(default, skip_serializing_if = "is_default")]
    octave: Option<Semitones>,
    #[serde(default, skip_serializing_if = "is_default")]
    compasses: Vec<CompassRecord>,
    unit: String,
    layout: Text<Layout>,
    material: Text<Material>,
    shape: ShapeRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    harmful: Vec<Text<Head>>,
}

/// Sounding minus written, semitones.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "i32", into = "i32")]
pub(super) struct Semitones(pub Octave);

impl TryFrom<i32> for Semitones {
    type Error = String;

    fn try_from(semitones: i32) -> Result<Self, String> {
        Octave::new(semitones).map(Self).map_err(|error| error.to_string())
    }
}

impl From<Semitones> for i32 {
    fn from(octave: Semitones) -> Self {
        octave.0.semitones()
    }
}

#[derive(Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct NamesRecord {
    #[serde(skip_serializing_if = "is_default")]
    english: Vec<String>,
    #[serde(skip_serializing_if = "is_default")]
    italian: Vec<String>,
    #[serde(skip_serializing_if = "is_default")]
    german: Vec<String>,
    #[serde(skip_serializing_if = "is_default")]
    french: Vec<String>,
    #[serde(skip_serializing_if = "is_default")]
    abbreviations: Vec<String>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CompassRecord {
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    range: Text<(KeyNumber, KeyNumber)>,
}

impl KindRecord {
    fn of(kind: &Kind) -> Self {
        let Names { english, italian, german, french, abbreviations } = kind.names.clone();
        let compass = |usual: &UsualCompass| CompassRecord {
            name: usual.name.clone(),
            range: Text((usual.low, usual.high)),
        };
        Self {
            id: Text(kind.id.clone()),
            names: NamesRecord { english, italian, german, french, abbreviations },
            family: Text(kind.family),
            pitched: Text(kind.pitched),
            octave: kind.octave.map(Semitones),
            compasses: kind.compasses.iter().map(compass).collect(),
            unit: kind.unit.clone(),
            layout: Text(kind.layout),
            material: Text(kind.material),
            shape: ShapeRecord::of(kind.shape),
            harmful: texts(&kind.harmful),
        }
    }

    fn value(self) -> Kind {
        let NamesRecord { english, italian, german, french, abbreviations } = self.names;
        let compass = |CompassRecord { name, range: Text((low, high)) }| UsualCompass { name, low, high };
        Kind {
            id: self.id.0,
            names: Names { english, italian, german, french, abbreviations },
            family: self.family.0,
            pitched: self.pitched.0,
            octave: self.octave.map(|octave| octave.0),
            compasses: self.compasses.into_iter().map(compass).collect(),
            unit: self.unit,
            layout: self.layout.0,
            material: self.material.0,
            shape: self.shape.value(),
            harmful: plain(self.harmful),
        }
    }
}

/// Kinds in the order of the file, and those struck out.
impl Record for KindsRecord {
    type Value = (Vec<Kind>, Vec<KindId>);

    fn of((kinds, without): &Self::Value) -> Self {
        Self { format: FORMAT, without: texts(without), kinds: kinds.iter().map(KindRecord::of).collect() }
    }

    fn value(self) -> Self::Value {
        (self.kinds.into_iter().map(KindRecord::value).collect(), plain(self.without))
    }
}
