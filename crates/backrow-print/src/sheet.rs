//! What every sheet carries: whose programme, which version, on what paper.

use serde::{Deserialize, Serialize};

/// A size of paper. Sheets are set upright; a plan that needs it is set across.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Paper {
    /// 210 x 297 mm (ISO 216).
    #[default]
    #[serde(rename = "a4")]
    A4,
    /// 8.5 x 11 inches, 215.9 x 279.4 mm.
    #[serde(rename = "us-letter")]
    Letter,
    /// 297 x 420 mm (ISO 216).
    #[serde(rename = "a3")]
    A3,
    /// 420 x 594 mm (ISO 216).
    #[serde(rename = "a2")]
    A2,
    /// 11 x 17 inches, 279.4 x 431.8 mm.
    #[serde(rename = "us-tabloid")]
    Tabloid,
}

impl Paper {
    /// Width and height upright, millimetres.
    pub const fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
            Self::A3 => (297.0, 420.0),
            Self::A2 => (420.0, 594.0),
            Self::Tabloid => (279.4, 431.8),
        }
    }

    /// The next larger one of its kind, for a plan to a scale that needs it.
    pub const fn larger(self) -> Option<Self> {
        match self {
            Self::A4 => Some(Self::A3),
            Self::A3 => Some(Self::A2),
            Self::Letter => Some(Self::Tabloid),
            Self::A2 | Self::Tabloid => None,
        }
    }

    /// Its name in words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
            Self::A3 => "A3",
            Self::A2 => "A2",
            Self::Tabloid => "11 x 17 in",
        }
    }
}

/// Which way round the paper lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Orientation {
    /// Upright where that serves, across where it must.
    #[default]
    Auto,
    /// The short edge at the foot.
    Upright,
    /// The long edge at the foot.
    Across,
}

/// Stands at the head and the foot of every page. An empty text is left out.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Head {
    /// The orchestra's name; goes into the document's properties.
    pub orchestra: String,
    /// The programme's name.
    pub programme: String,
    /// Hall or room.
    pub venue: String,
    /// The dates in words, "12–15 October".
    pub dates: String,
    /// Which state of the planning this is.
    pub version: Version,
    /// What a template of the library may print as today; the built-in ones print none.
    pub today: Option<Date>,
}

/// Which state of the planning a sheet shows. An empty text is left out.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Version {
    /// "3".
    pub number: String,
    /// When, in words: "9 Oct, 14:20".
    pub at: String,
    /// The one it replaces, in words: "2 of 6 Oct".
    pub replaces: String,
    /// What stood in that one and stands in this one no more: "Xylophone 2; Lanterns on the Estuary II: Triangle, 60–80".
    #[serde(default)]
    pub gone: String,
}

/// A civil day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Date {
    /// Year.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day, from 1.
    pub day: u8,
}
