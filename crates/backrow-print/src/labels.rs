//! Labels for cases and instruments: one a piece that is carried, on sheets of a common size.

use serde::{Deserialize, Serialize};

use crate::sheet::{Head, Paper};

/// A sheet of labels: how many across and down, and where they lie, millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Grid {
    /// Across.
    pub columns: u8,
    /// Down.
    pub rows: u8,
    /// How wide one is.
    pub width_mm: f64,
    /// How high one is.
    pub height_mm: f64,
    /// From the left edge of the paper to the first.
    pub left_mm: f64,
    /// From the upper edge of the paper to the first.
    pub top_mm: f64,
    /// Between two beside each other; rows touch.
    pub gap_mm: f64,
}

/// Everything that the labels say.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct LabelsSheet {
    /// Whose they are; labels show the orchestra alone.
    pub head: Head,
    /// The sheet's name, for the document's properties.
    pub title: String,
    /// How they lie on the paper.
    pub grid: Grid,
    /// The labels in order.
    pub labels: Vec<Label>,
}

/// One label. An empty text is left out.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Label {
    /// The instrument.
    pub name: String,
    /// Which piece of it, and of how many: "case with the bars, 1 of 2".
    pub piece: String,
    /// Its number on the plan.
    pub number: String,
    /// Where it is kept.
    pub store: String,
    /// "about 38 kg".
    pub mass: String,
    /// How it is carried: "2 people".
    pub people: String,
    /// What it asks for: "keep upright".
    pub care: String,
    /// Whose it is.
    pub owner: String,
    /// The instrument's id, beneath the square code.
    pub id: String,
    /// The square code as an SVG picture.
    pub code: String,
    /// A picture of the instrument as SVG; empty for none. Only a large label has room for it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub picture: String,
    /// Whether the caution on lifting stands on it.
    pub heavy: bool,
}

/// What the template reads.
#[derive(Serialize)]
pub(crate) struct Laid<'a> {
    paper: Paper,
    sheet: &'a LabelsSheet,
}

impl<'a> Laid<'a> {
    pub(crate) const fn new(sheet: &'a LabelsSheet, paper: Paper) -> Self {
        Self { paper, sheet }
    }
}
