//! `instruments/<id>.ron`: one physical instrument.

use super::orchestra::AHertz;
use super::{Record, is_default};
use crate::library::text::Text;
use crate::library::version::FORMAT;
use backrow_core::collection::{
    DeadBar, Footprint, Frame, Instrument, Layout, Mass, Material, Owner, Piece, Shape, TunedBy,
};
use backrow_core::compass::PitchSet;
use backrow_core::id::{InstrumentId, KindId, PlaceId, PlayerId};
use backrow_core::pitch::KeyNumber;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::library) struct InstrumentRecord {
    format: u32,
    id: Text<InstrumentId>,
    kind: Text<KindId>,
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    #[serde(default, skip_serializing_if = "is_default")]
    owner: OwnerRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    place: Option<Text<PlaceId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    frames: Vec<FrameRecord>,
    layout: Text<Layout>,
    material: Text<Material>,
    #[serde(default, skip_serializing_if = "is_default")]
    mass: Option<MassRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    pieces: Vec<PieceRecord>,
    footprint: FootprintRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    tuned_to_hz: Option<AHertz>,
    #[serde(default, skip_serializing_if = "is_default")]
    character: Vec<String>,
    #[serde(default, skip_serializing_if = "is_default")]
    for_two: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    condition: String,
    #[serde(default, skip_serializing_if = "is_default")]
    picture: String,
    #[serde(default, skip_serializing_if = "is_default")]
    remark: String,
}

#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum OwnerRecord {
    #[default]
    Orchestra,
    Player(Text<PlayerId>),
    Other(String),
}

impl OwnerRecord {
    pub(super) fn of(owner: &Owner) -> Self {
        match owner {
            Owner::Orchestra => Self::Orchestra,
            Owner::Player(player) => Self::Player(Text(player.clone())),
            Owner::Other(words) => Self::Other(words.clone()),
        }
    }

    pub(super) fn value(self) -> Owner {
        match self {
            Self::Orchestra => Owner::Orchestra,
            Self::Player(player) => Owner::Player(player.0),
            Self::Other(words) => Owner::Other(words),
        }
    }
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FrameRecord {
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    #[serde(default, skip_serializing_if = "is_default")]
    range: Option<Text<(KeyNumber, KeyNumber)>>,
    #[serde(default, skip_serializing_if = "is_default")]
    gaps: Text<PitchSet>,
    #[serde(default, skip_serializing_if = "is_default")]
    doubled: Text<PitchSet>,
    #[serde(default, skip_serializing_if = "is_default")]
    extra: Text<PitchSet>,
    #[serde(default, skip_serializing_if = "is_default")]
    dead: Vec<DeadBarRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    order: Text<Vec<KeyNumber>>,
    #[serde(default, skip_serializing_if = "is_default")]
    tuned_by: Text<TunedBy>,
    #[serde(default, skip_serializing_if = "is_default")]
    retune_s: Option<f64>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct DeadBarRecord {
    bar: Text<KeyNumber>,
    #[serde(default, skip_serializing_if = "is_default")]
    since: Option<Text<Date>>,
    #[serde(default, skip_serializing_if = "is_default")]
    why: String,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MassRecord {
    kg: f64,
    #[serde(default, skip_serializing_if = "is_default")]
    weighed: bool,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PieceRecord {
    what: String,
    #[serde(default = "one", skip_serializing_if = "is_one")]
    count: u32,
    #[serde(default, skip_serializing_if = "is_default")]
    mass: Option<MassRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    people: u32,
    #[serde(default, skip_serializing_if = "is_default")]
    wheels: String,
    #[serde(default, skip_serializing_if = "is_default")]
    care: String,
}

const fn one() -> u32 {
    1
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
const fn is_one(count: &u32) -> bool {
    *count == 1
}

impl MassRecord {
    pub(super) fn of(mass: Mass) -> Self {
        let Mass { kg, weighed } = mass;
        Self { kg, weighed }
    }

    pub(super) fn value(self) -> Mass {
        let Self { kg, weighed } = self;
        Mass { kg, weighed }
    }
}

impl PieceRecord {
    pub(super) fn of(piece: &Piece) -> Self {
        let Piece { what, count, mass, people, wheels, care } = piece.clone();
        Self { what, count, mass: mass.map(MassRecord::of), people, wheels, care }
    }

    pub(super) fn value(self) -> Piece {
        let Self { what, count, mass, people, wheels, care } = self;
        Piece { what, count, mass: mass.map(MassRecord::value), people, wheels, care }
    }
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FootprintRecord {
    shape: ShapeRecord,
    height_m: f64,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "snake_case")]
pub(super) enum ShapeRecord {
    Keyboard { width_m: f64, low_m: f64, high_m: f64 },
    Box { width_m: f64, depth_m: f64 },
    Round { diameter_m: f64 },
    Hung { width_m: f64, depth_m: f64 },
}

impl ShapeRecord {
    pub(super) fn of(shape: Shape) -> Self {
        match shape {
            Shape::Keyboard { width_m, low_m, high_m } => Self::Keyboard { width_m, low_m, high_m },
            Shape::Box { width_m, depth_m } => Self::Box { width_m, depth_m },
            Shape::Round { diameter_m } => Self::Round { diameter_m },
            Shape::Hung { width_m, depth_m } => Self::Hung { width_m, depth_m },
        }
    }

    pub(super) fn value(self) -> Shape {
        match self {
            Self::Keyboard { width_m, low_m, high_m } => Shape::Keyboard { width_m, low_m, high_m },
            Self::Box { width_m, depth_m } => Shape::Box { width_m, depth_m },
            Self::Round { diameter_m } => Shape::Round { diameter_m },
            Self::Hung { width_m, depth_m } => Shape::Hung { width_m, depth_m },
        }
    }
}

impl FrameRecord {
    fn of(frame: &Frame) -> Self {
        let Frame { name, range, gaps, doubled, extra, dead, order, tuned_by, retune_s } = frame;
        Self {
            name: name.clone(),
            range: range.map(Text),
            gaps: Text(*gaps),
            doubled: Text(*doubled),
            extra: Text(*extra),
            dead: dead.iter().map(DeadBarRecord::of).collect(),
            order: Text(order.clone()),
            tuned_by: Text(*tuned_by),
            retune_s: *retune_s,
        }
    }

    fn value(self) -> Frame {
        Frame {
            name: self.name,
            range: self.range.map(|range| range.0),
            gaps: self.gaps.0,
            doubled: self.doubled.0,
            extra: self.extra.0,
            dead: self.dead.into_iter().map(DeadBarRecord::value).collect(),
            order: self.order.0,
            tuned_by: self.tuned_by.0,
            retune_s: self.retune_s,
        }
    }
}

impl DeadBarRecord {
    fn of(bar: &DeadBar) -> Self {
        Self { bar: Text(bar.key), since: bar.since.map(Text), why: bar.why.clone() }
    }

    fn value(self) -> DeadBar {
        DeadBar { key: self.bar.0, since: self.since.map(|since| since.0), why: self.why }
    }
}

/// Words for a sound without "for two players", which is none, and whether it stood there.
pub(crate) fn without_for_two(mut words: Vec<String>) -> (Vec<String>, bool) {
    let all = words.len();
    words.retain(|word| !word.trim().eq_ignore_ascii_case("for two players"));
    let said = words.len() < all;
    (words, said)
}

impl Record for InstrumentRecord {
    type Value = Instrument;

    fn of(thing: &Instrument) -> Self {
        Self {
            format: FORMAT,
            id: Text(thing.id.clone()),
            kind: Text(thing.kind.clone()),
            name: thing.name.clone(),
            owner: OwnerRecord::of(&thing.owner),
            place: thing.place.clone().map(Text),
            frames: thing.frames.iter().map(FrameRecord::of).collect(),
            layout: Text(thing.layout),
            material: Text(thing.material),
            mass: thing.mass.map(MassRecord::of),
            pieces: thing.pieces.iter().map(PieceRecord::of).collect(),
            footprint: FootprintRecord {
                shape: ShapeRecord::of(thing.footprint.shape),
                height_m: thing.footprint.height_m,
            },
            tuned_to_hz: thing.tuned_to.map(AHertz),
            character: thing.character.clone(),
            for_two: thing.for_two,
            condition: thing.condition.clone(),
            picture: thing.picture.clone(),
            remark: thing.remark.clone(),
        }
    }

    fn value(self) -> Instrument {
        // Libraries of before had it as a word for the sound.
        let (character, said) = without_for_two(self.character);
        Instrument {
            id: self.id.0,
            kind: self.kind.0,
            name: self.name,
            owner: self.owner.value(),
            place: self.place.map(|place| place.0),
            frames: self.frames.into_iter().map(FrameRecord::value).collect(),
            layout: self.layout.0,
            material: self.material.0,
            mass: self.mass.map(MassRecord::value),
            pieces: self.pieces.into_iter().map(PieceRecord::value).collect(),
            footprint: Footprint { shape: self.footprint.shape.value(), height_m: self.footprint.height_m },
            tuned_to: self.tuned_to_hz.map(|a| a.0),
            character,
            for_two: self.for_two || said,
            condition: self.condition,
            picture: self.picture,
            remark: self.remark,
        }
    }
}
