//! How a kind stands in a file. Words are read as text first, so that one wrong word costs one kind and not the file.

use backrow_core::collection::{Kind, Shape};
use backrow_core::pitch::{KeyNumber, Octave, Spelled};
use serde::{Deserialize, Serialize};

/// The one format of kinds files so far.
pub(super) const FORMAT: u32 = 1;

#[derive(Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(super) struct KindsFile {
    pub(super) format: u32,
    pub(super) kinds: Vec<KindRecord>,
}

#[derive(Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(super) struct KindRecord {
    pub(super) id: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) english: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) italian: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) german: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) french: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) abbreviations: Vec<String>,
    pub(super) family: String,
    pub(super) pitched: String,
    #[serde(default, skip_serializing_if = "OctaveRecord::is_unsaid")]
    pub(super) octave: OctaveRecord,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) compasses: Vec<CompassRecord>,
    pub(super) unit: String,
    pub(super) layout: String,
    pub(super) material: String,
    pub(super) shape: ShapeRecord,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(super) bears: bool,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) harmful: Vec<String>,
}

#[derive(Clone, Copy, Debug, Default, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum OctaveRecord {
    /// Nothing is said: right for kinds without pitch only.
    #[default]
    Unsaid,
    /// The trade has no usual convention; each call must say.
    NotAgreed,
    /// Sounding minus written.
    Semitones(i32),
}

impl OctaveRecord {
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde's skip_serializing_if asks for a reference")]
    const fn is_unsaid(&self) -> bool {
        matches!(self, Self::Unsaid)
    }
}

#[derive(Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CompassRecord {
    pub(super) name: String,
    pub(super) low: String,
    pub(super) high: String,
}

#[derive(Clone, Copy, Debug, Deserialize, Serialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(super) enum ShapeRecord {
    Keyboard { width_m: f64, low_m: f64, high_m: f64 },
    Box { width_m: f64, depth_m: f64 },
    Round { diameter_m: f64 },
    Hung { width_m: f64, depth_m: f64 },
}

impl From<ShapeRecord> for Shape {
    fn from(record: ShapeRecord) -> Self {
        match record {
            ShapeRecord::Keyboard { width_m, low_m, high_m } => Self::Keyboard { width_m, low_m, high_m },
            ShapeRecord::Box { width_m, depth_m } => Self::Box { width_m, depth_m },
            ShapeRecord::Round { diameter_m } => Self::Round { diameter_m },
            ShapeRecord::Hung { width_m, depth_m } => Self::Hung { width_m, depth_m },
        }
    }
}

impl From<Shape> for ShapeRecord {
    fn from(shape: Shape) -> Self {
        match shape {
            Shape::Keyboard { width_m, low_m, high_m } => Self::Keyboard { width_m, low_m, high_m },
            Shape::Box { width_m, depth_m } => Self::Box { width_m, depth_m },
            Shape::Round { diameter_m } => Self::Round { diameter_m },
            Shape::Hung { width_m, depth_m } => Self::Hung { width_m, depth_m },
        }
    }
}

impl KindRecord {
    fn of(kind: &Kind) -> Self {
        let note = |key: KeyNumber| Spelled::usual(key).ascii();
        let octave = match (kind.octave, kind.pitched) {
            (Some(octave), _) => OctaveRecord::Semitones(Octave::semitones(octave)),
            (None, backrow_core::collection::Pitched::No) => OctaveRecord::Unsaid,
            (None, _) => OctaveRecord::NotAgreed,
        };
        Self {
            id: kind.id.to_string(),
            english: kind.names.english.clone(),
            italian: kind.names.italian.clone(),
            german: kind.names.german.clone(),
            french: kind.names.french.clone(),
            abbreviations: kind.names.abbreviations.clone(),
            family: kind.family.word().to_owned(),
            pitched: kind.pitched.word().to_owned(),
            octave,
            compasses: kind
                .compasses
                .iter()
                .map(|c| CompassRecord { name: c.name.clone(), low: note(c.low), high: note(c.high) })
                .collect(),
            unit: kind.unit.clone(),
            layout: kind.layout.word().to_owned(),
            material: kind.material.word().to_owned(),
            shape: kind.shape.into(),
            bears: kind.bears,
            harmful: kind.harmful.iter().map(|head| head.word().to_owned()).collect(),
        }
    }
}

/// The text of a kinds file with these kinds in it, which [`super::parse_kinds`] reads back as they were.
///
/// An error only if the serialiser refuses, which no kind is known to cause.
pub fn kinds_text<'a>(kinds: impl IntoIterator<Item = &'a Kind>) -> Result<String, ron::Error> {
    let file = KindsFile { format: FORMAT, kinds: kinds.into_iter().map(KindRecord::of).collect() };
    let pretty = ron::ser::PrettyConfig::new().indentor("  ").depth_limit(4);
    ron::ser::to_string_pretty(&file, pretty).map(|text| text + "\n")
}
