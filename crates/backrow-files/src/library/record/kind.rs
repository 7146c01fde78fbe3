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

/// Written as in the kinds table, so that an entry may be copied from there.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct KindRecord {
    id: Text<KindId>,
    #[serde(default, skip_serializing_if = "is_default")]
    english: Vec<String>,
    #[serde(default, skip_serializing_if = "is_default")]
    italian: Vec<String>,
    #[serde(default, skip_serializing_if = "is_default")]
    german: Vec<String>,
    #[serde(default, skip_serializing_if = "is_default")]
    french: Vec<String>,
    #[serde(default, skip_serializing_if = "is_default")]
    abbreviations: Vec<String>,
    family: Text<Family>,
    pitched: Text<Pitched>,
    #[serde(default, skip_serializing_if = "is_default")]
    octave: OctaveRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    compasses: Vec<CompassRecord>,
    unit: String,
    layout: Text<Layout>,
    material: Text<Material>,
    shape: ShapeRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    bears: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    harmful: Vec<Text<Head>>,
}

/// The usual octave convention.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum OctaveRecord {
    /// Nothing to say, for there is no pitch.
    #[default]
    Unsaid,
    /// The trade has no usual one; each call must say.
    NotAgreed,
    /// Sounding minus written.
    Semitones(Semitones),
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

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CompassRecord {
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    low: Text<KeyNumber>,
    high: Text<KeyNumber>,
}

impl KindRecord {
    fn of(kind: &Kind) -> Self {
        let Names { english, italian, german, french, abbreviations } = kind.names.clone();
        let compass = |usual: &UsualCompass| CompassRecord {
            name: usual.name.clone(),
            low: Text(usual.low),
            high: Text(usual.high),
        };
        let octave = match (kind.octave, kind.pitched) {
            (Some(octave), _) => OctaveRecord::Semitones(Semitones(octave)),
            (None, Pitched::No) => OctaveRecord::Unsaid,
            (None, Pitched::Yes | Pitched::Sometimes) => OctaveRecord::NotAgreed,
        };
        Self {
            id: Text(kind.id.clone()),
            english,
            italian,
            german,
            french,
            abbreviations,
            family: Text(kind.family),
            pitched: Text(kind.pitched),
            octave,
            compasses: kind.compasses.iter().map(compass).collect(),
            unit: kind.unit.clone(),
            layout: Text(kind.layout),
            material: Text(kind.material),
            shape: ShapeRecord::of(kind.shape),
            bears: kind.bears,
            harmful: texts(&kind.harmful),
        }
    }

    fn value(self) -> Kind {
        let Self { english, italian, german, french, abbreviations, .. } = self;
        let compass = |CompassRecord { name, low, high }| UsualCompass { name, low: low.0, high: high.0 };
        Kind {
            id: self.id.0,
            names: Names { english, italian, german, french, abbreviations },
            family: self.family.0,
            pitched: self.pitched.0,
            octave: match self.octave {
                OctaveRecord::Semitones(octave) => Some(octave.0),
                OctaveRecord::Unsaid | OctaveRecord::NotAgreed => None,
            },
            compasses: self.compasses.into_iter().map(compass).collect(),
            unit: self.unit,
            layout: self.layout.0,
            material: self.material.0,
            shape: self.shape.value(),
            bears: self.bears,
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::ron_text;

    #[test]
    fn an_entry_of_the_kinds_table_may_be_copied() {
        let table = include_str!("../../../../../assets/kinds/kinds.ron");
        let (kinds, _) = ron_text::read::<KindsRecord>("kinds.ron", table).unwrap().value();
        let standard = crate::kinds::standard().unwrap();
        assert_eq!(kinds.len(), standard.len());
        assert!(kinds.iter().all(|kind| *standard[&kind.id] == *kind));
    }
}
