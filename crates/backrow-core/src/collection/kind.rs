//! Kinds: what a part can call for.

use super::{Head, Layout, Material, Shape};
use crate::id::KindId;
use crate::pitch::{KeyNumber, Octave};

/// A kind of instrument, with its names as parts print them.
#[derive(Clone, Debug, PartialEq)]
pub struct Kind {
    /// Stable for ever; the key of the kinds table.
    pub id: KindId,
    /// Its names by language.
    pub names: Names,
    /// With what it is kept and listed.
    pub family: Family,
    /// Whether its notes have a pitch that must be reached.
    pub pitched: Pitched,
    /// The usual octave convention; `None` where the trade has not agreed or there is no pitch.
    pub octave: Option<Octave>,
    /// Usual compasses, sounding, the most usual first; empty for unpitched kinds.
    pub compasses: Vec<UsualCompass>,
    /// What one sounding unit is called: bar, disc, tube, bell, gong, plate, drum, ...; piece where there is one thing.
    pub unit: String,
    /// How its units usually lie or hang.
    pub layout: Layout,
    /// What it is usually made of.
    pub material: Material,
    /// The usual footprint, seen from above.
    pub shape: Shape,
    /// Whether other things are laid or hung on it: a trap table.
    pub bears: bool,
    /// Beater heads that do damage, as far as the trade agrees; a warning, never a bar.
    pub harmful: Vec<Head>,
}

impl Kind {
    /// The first English name, as lists show it.
    pub fn name(&self) -> &str {
        self.names.english.first().map_or(self.id.as_str(), String::as_str)
    }
}

/// A kind's names; in each language the most usual first, in small letters save where the language says otherwise.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Names {
    /// English.
    pub english: Vec<String>,
    /// Italian.
    pub italian: Vec<String>,
    /// German.
    pub german: Vec<String>,
    /// French.
    pub french: Vec<String>,
    /// Abbreviations of any language, with their stops.
    pub abbreviations: Vec<String>,
}

impl Names {
    /// Every name and abbreviation.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        [&self.english, &self.italian, &self.german, &self.french, &self.abbreviations]
            .into_iter()
            .flatten()
            .map(String::as_str)
    }
}

/// Families, in the order in which lists show them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the trade's words")]
pub enum Family {
    Keyboards,
    Bells,
    Gongs,
    Timpani,
    Drums,
    Cymbals,
    Metal,
    Wood,
    Shaken,
    Strings,
    Glass,
    Effects,
}

impl Family {
    /// All, in order.
    pub const ALL: [Self; 12] = [
        Self::Keyboards,
        Self::Bells,
        Self::Gongs,
        Self::Timpani,
        Self::Drums,
        Self::Cymbals,
        Self::Metal,
        Self::Wood,
        Self::Shaken,
        Self::Strings,
        Self::Glass,
        Self::Effects,
    ];

    /// The word for screens and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Keyboards => "keyboards",
            Self::Bells => "bells",
            Self::Gongs => "gongs",
            Self::Timpani => "timpani",
            Self::Drums => "drums",
            Self::Cymbals => "cymbals",
            Self::Metal => "metal",
            Self::Wood => "wood",
            Self::Shaken => "shaken",
            Self::Strings => "strings",
            Self::Glass => "glass",
            Self::Effects => "effects",
        }
    }
}

/// Whether a kind's notes have a pitch that must be reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pitched {
    /// Always: xylophone.
    Yes,
    /// Never: snare drum.
    No,
    /// Some are: cowbells, gongs, slit drums. The call says.
    Sometimes,
}

impl Pitched {
    /// All, in order.
    pub const ALL: [Self; 3] = [Self::Yes, Self::No, Self::Sometimes];

    /// "yes", "no" or "sometimes".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::No => "no",
            Self::Sometimes => "sometimes",
        }
    }
}

/// A compass in which a kind is commonly built, sounding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UsualCompass {
    /// As the trade says it: "3½ octaves", "lower octave", "32 in".
    pub name: String,
    /// Lowest sounding bar.
    pub low: KeyNumber,
    /// Highest sounding bar.
    pub high: KeyNumber,
}
