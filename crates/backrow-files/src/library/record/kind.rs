//! `kinds.ron`: the orchestra's own kinds, and those of the kinds table that the orchestra has changed or struck out.

use super::instrument::{PieceRecord, ShapeRecord};
use super::{Record, is_default};
use crate::library::text::{Text, plain, texts};
use crate::library::version::FORMAT;
use backrow_core::collection::{
    Between, Family, Hardness, Head, Kind, Layout, Loudness, Material, Names, Pitched, Plausible,
    USUAL_HEIGHT_M, UsualBeater, UsualCompass,
};
use backrow_core::id::KindId;
use backrow_core::pitch::{KeyNumber, Octave};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What the orchestra has of its own on top of the kinds table.
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
#[expect(clippy::struct_excessive_bools, reason = "plain facts that do not exclude each other")]
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
    #[serde(default, skip_serializing_if = "is_default")]
    with_company: Vec<String>,
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
    #[serde(default = "usual_height", skip_serializing_if = "is_usual_height")]
    height_m: f64,
    #[serde(default, skip_serializing_if = "is_default")]
    bears: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    comes_apart: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    for_two: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    held: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    loud: Option<Text<Loudness>>,
    #[serde(default, skip_serializing_if = "is_default")]
    pieces: Vec<PieceRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    plausible: PlausibleRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    usual: Vec<UsualBeaterRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    harmful: Vec<Text<Head>>,
    #[serde(default, skip_serializing_if = "is_default")]
    like: Vec<Text<KindId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    caution: String,
    #[serde(default, skip_serializing_if = "is_default")]
    note: String,
}

const fn usual_height() -> f64 {
    USUAL_HEIGHT_M
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
fn is_usual_height(height: &f64) -> bool {
    height.to_bits() == USUAL_HEIGHT_M.to_bits()
}

/// Each the least and the most.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlausibleRecord {
    #[serde(default, skip_serializing_if = "is_default")]
    mass_kg: Option<(f64, f64)>,
    #[serde(default, skip_serializing_if = "is_default")]
    long_m: Option<(f64, f64)>,
}

impl PlausibleRecord {
    fn of(plausible: Plausible) -> Self {
        let ends = |range: Between| (range.least, range.most);
        Self { mass_kg: plausible.mass_kg.map(ends), long_m: plausible.long_m.map(ends) }
    }

    fn value(self) -> Plausible {
        let range = |(least, most)| Between { least, most };
        Plausible { mass_kg: self.mass_kg.map(range), long_m: self.long_m.map(range) }
    }
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct UsualBeaterRecord {
    head: Text<Head>,
    #[serde(default, skip_serializing_if = "is_default")]
    hardness: Option<Text<Hardness>>,
}

/// The usual octave convention.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum OctaveRecord {
    /// Nothing to say, for there is no pitch.
    #[default]
    Unsaid,
    /// The trade has no usual one; each line must say.
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
    #[serde(default, skip_serializing_if = "is_default")]
    shape: Option<ShapeRecord>,
}

impl CompassRecord {
    fn of(usual: &UsualCompass) -> Self {
        Self {
            name: usual.name.clone(),
            low: Text(usual.low),
            high: Text(usual.high),
            shape: usual.shape.map(ShapeRecord::of),
        }
    }

    fn value(self) -> UsualCompass {
        let Self { name, low, high, shape } = self;
        UsualCompass { name, low: low.0, high: high.0, shape: shape.map(ShapeRecord::value) }
    }
}

impl KindRecord {
    fn of(kind: &Kind) -> Self {
        let Names { english, italian, german, french, abbreviations, with_company } = kind.names.clone();
        let usual = |usual: &UsualBeater| UsualBeaterRecord {
            head: Text(usual.head),
            hardness: usual.hardness.map(Text),
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
            with_company,
            family: Text(kind.family),
            pitched: Text(kind.pitched),
            octave,
            compasses: kind.compasses.iter().map(CompassRecord::of).collect(),
            unit: kind.unit.clone(),
            layout: Text(kind.layout),
            material: Text(kind.material),
            shape: ShapeRecord::of(kind.shape),
            height_m: kind.height_m,
            bears: kind.bears,
            comes_apart: kind.comes_apart,
            for_two: kind.for_two,
            held: kind.held,
            loud: kind.loud.map(Text),
            pieces: kind.pieces.iter().map(PieceRecord::of).collect(),
            plausible: PlausibleRecord::of(kind.plausible),
            usual: kind.usual.iter().map(usual).collect(),
            harmful: texts(&kind.harmful),
            like: texts(&kind.like),
            caution: kind.caution.clone(),
            note: kind.note.clone(),
        }
    }

    fn value(self) -> Kind {
        let Self { english, italian, german, french, abbreviations, with_company, .. } = self;
        let usual = |record: UsualBeaterRecord| UsualBeater {
            head: record.head.0,
            hardness: record.hardness.map(|hardness| hardness.0),
        };
        Kind {
            id: self.id.0,
            names: Names { english, italian, german, french, abbreviations, with_company },
            family: self.family.0,
            pitched: self.pitched.0,
            octave: match self.octave {
                OctaveRecord::Semitones(octave) => Some(octave.0),
                OctaveRecord::Unsaid | OctaveRecord::NotAgreed => None,
            },
            compasses: self.compasses.into_iter().map(CompassRecord::value).collect(),
            unit: self.unit,
            layout: self.layout.0,
            material: self.material.0,
            shape: self.shape.value(),
            height_m: self.height_m,
            bears: self.bears,
            comes_apart: self.comes_apart,
            for_two: self.for_two,
            held: self.held,
            loud: self.loud.map(|loud| loud.0),
            pieces: self.pieces.into_iter().map(PieceRecord::value).collect(),
            plausible: self.plausible.value(),
            usual: self.usual.into_iter().map(usual).collect(),
            harmful: plain(self.harmful),
            like: plain(self.like),
            caution: self.caution,
            note: self.note,
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
