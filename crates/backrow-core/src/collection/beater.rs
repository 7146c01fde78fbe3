//! Beaters: anything that strikes.

use super::Owner;
use crate::id::{BeaterId, KindId, PlaceId};

/// A beater, or a set of equal ones.
#[derive(Clone, Debug, PartialEq)]
pub struct Beater {
    /// Stable for ever.
    pub id: BeaterId,
    /// What the section calls it: "hard rubber, blue".
    pub name: String,
    /// What the head is made of.
    pub head: Head,
    /// How hard it is.
    pub hardness: Hardness,
    /// How many there are.
    pub count: u32,
    /// Whose they are.
    pub owner: Owner,
    /// Where they are kept.
    pub place: Option<PlaceId>,
    /// Kinds that they are kept for.
    pub suits: Vec<KindId>,
    /// Anything else.
    pub remark: String,
}

impl Beater {
    /// What it is made of, and how hard: "rawhide, hard".
    pub fn made(&self) -> String {
        format!("{}, {}", self.head.word(), self.hardness.word())
    }

    /// Whether it is laid out, carried and shared out at all: everybody has hands of their own.
    pub fn is_laid_out(&self) -> bool {
        self.head != Head::Hand
    }
}

/// What strikes: the head's material, or the thing itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the materials' own names")]
pub enum Head {
    Yarn,
    Cord,
    Felt,
    Fleece,
    Leather,
    Rubber,
    Plastic,
    Wood,
    Rawhide,
    Brass,
    Steel,
    Bow,
    Brush,
    Hand,
    Glove,
}

impl Head {
    /// All, in order.
    pub const ALL: [Self; 15] = [
        Self::Yarn,
        Self::Cord,
        Self::Felt,
        Self::Fleece,
        Self::Leather,
        Self::Rubber,
        Self::Plastic,
        Self::Wood,
        Self::Rawhide,
        Self::Brass,
        Self::Steel,
        Self::Bow,
        Self::Brush,
        Self::Hand,
        Self::Glove,
    ];

    /// The word for screens and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Yarn => "yarn",
            Self::Cord => "cord",
            Self::Felt => "felt",
            Self::Fleece => "fleece",
            Self::Leather => "leather",
            Self::Rubber => "rubber",
            Self::Plastic => "plastic",
            Self::Wood => "wood",
            Self::Rawhide => "rawhide",
            Self::Brass => "brass",
            Self::Steel => "steel",
            Self::Bow => "bow",
            Self::Brush => "brush",
            Self::Hand => "hand",
            Self::Glove => "glove",
        }
    }
}

/// How hard a beater is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the trade’s words")]
pub enum Hardness {
    VerySoft,
    Soft,
    Medium,
    Hard,
    VeryHard,
}

impl Hardness {
    /// All, in order.
    pub const ALL: [Self; 5] = [Self::VerySoft, Self::Soft, Self::Medium, Self::Hard, Self::VeryHard];

    /// The word for screens and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::VerySoft => "very soft",
            Self::Soft => "soft",
            Self::Medium => "medium",
            Self::Hard => "hard",
            Self::VeryHard => "very hard",
        }
    }
}
