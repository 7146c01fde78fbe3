//! Kinds: what a part can call for.

use super::{Hardness, Head, Layout, Loudness, Material, Piece, Shape};
use crate::id::KindId;
use crate::pitch::{KeyNumber, Octave};

/// A kind of instrument, with its names as parts print them.
#[derive(Clone, Debug, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "plain facts of a table that do not exclude each other")]
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
    /// How high it usually stands, metres.
    pub height_m: f64,
    /// Whether other things are laid or hung on it: a trap table.
    pub bears: bool,
    /// Whether its units come off and are carried singly, so that one may take only those that are needed: tubes, discs and
    /// bells do, the strings of a cimbalom and the notes of a steel drum do not.
    pub comes_apart: bool,
    /// Whether the big ones of this kind are played by two at once, one at each side or end; each instrument says for itself.
    pub for_two: bool,
    /// Whether it is held in both hands and must be put down without a sound before anything else is taken up: crash cymbals.
    pub held: bool,
    /// How loud it can be at arm's length; `None` where nothing is known, which is no promise that it is harmless.
    pub loud: Option<Loudness>,
    /// What it comes apart into for carrying, where the trade does it in one usual way; without masses.
    pub pieces: Vec<Piece>,
    /// What a sane instrument of the kind weighs and measures.
    pub plausible: Plausible,
    /// Beaters that it is usually struck with, the most usual first; empty where it is not struck.
    pub usual: Vec<UsualBeater>,
    /// Beater heads that do damage, as far as the trade agrees; a warning, never a bar. They are said of the kind's usual
    /// material: see [`super::harm`] for an instrument of another one.
    pub harmful: Vec<Head>,
    /// Kinds that stand in for it when there is none, the nearest first; a part must then say "instead of".
    pub like: Vec<KindId>,
    /// The usual caution, a whole sentence; empty where there is none beyond mass and loudness.
    pub caution: String,
    /// What else a reader of the table must know; may be empty.
    pub note: String,
}

/// How high a thing is of which the table says nothing, metres: about playing height. Ours.
pub const USUAL_HEIGHT_M: f64 = 0.9;

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
    /// Those of the names and abbreviations that mean other things elsewhere in a score ("Hn.", "Fr.", "Cl."): by themselves they
    /// name nothing, beside other percussion they do.
    pub with_company: Vec<String>,
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

/// A beater that a kind is usually struck with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UsualBeater {
    /// The head.
    pub head: Head,
    /// How hard; `None` where any will do.
    pub hardness: Option<Hardness>,
}

/// What a sane instrument of a kind weighs and measures, set up: outside it somebody has probably slipped a unit or a point.
/// Wide on purpose; a figure within says nothing of the current instrument.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Plausible {
    /// All of it together, kilograms.
    pub mass_kg: Option<Between>,
    /// The longer side of its outline, metres.
    pub long_m: Option<Between>,
}

/// A range of figures, both ends in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Between {
    /// The least.
    pub least: f64,
    /// The most, not below the least.
    pub most: f64,
}

impl Between {
    /// Whether a figure lies in it.
    #[must_use]
    pub fn holds(self, figure: f64) -> bool {
        (self.least..=self.most).contains(&figure)
    }
}

/// Families, in the order in which lists show them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the trade’s words")]
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
    /// Some are: cowbells, gongs, slit drums. The line says.
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
#[derive(Clone, Debug, PartialEq)]
pub struct UsualCompass {
    /// As the trade says it: "3½ octaves", "lower octave", "32 in".
    pub name: String,
    /// Lowest sounding bar.
    pub low: KeyNumber,
    /// Highest sounding bar.
    pub high: KeyNumber,
    /// The outline of one so built, where it differs from the kind's usual one.
    pub shape: Option<Shape>,
}
