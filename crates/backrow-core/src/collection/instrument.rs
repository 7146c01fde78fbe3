//! One physical instrument.

use super::{Kind, Piece, TunedBy};
use crate::compass::PitchSet;
use crate::id::{InstrumentId, KindId, PlaceId, PlayerId};
use crate::pitch::{KeyNumber, ReferenceA};
use jiff::civil::Date;
use std::ops::RangeInclusive;

/// One physical thing of a kind, with an owner and a place in store.
#[derive(Clone, Debug, PartialEq)]
pub struct Instrument {
    /// Stable for ever.
    pub id: InstrumentId,
    /// What it is.
    pub kind: KindId,
    /// What the section calls it: "Xylophone 2".
    pub name: String,
    /// Whose it is.
    pub owner: Owner,
    /// Where it is kept.
    pub place: Option<PlaceId>,
    /// Its bars by frame, in the order in which the frames stand from the player's left; empty when it has no pitch. The
    /// drums of a set stand from low to high: on which side the low one stands is the orchestra's habit.
    pub frames: Vec<Frame>,
    /// How the bars lie.
    pub layout: Layout,
    /// What the bars are made of.
    pub material: Material,
    /// All of it together, if known.
    pub mass: Option<Mass>,
    /// What it comes apart into, in the order of loading; empty where nobody has said.
    pub pieces: Vec<Piece>,
    /// Seen from above.
    pub footprint: Footprint,
    /// The A that it is tuned to, if it is tuned and known.
    pub tuned_to: Option<ReferenceA>,
    /// Words for its sound: bright, dark, dry, long, ...
    pub character: Vec<String>,
    /// Whether two may play it at once, one at each side or end.
    pub for_two: bool,
    /// What is known of its state, in words.
    pub condition: String,
    /// The file of its picture, in the library's folder of pictures; empty where there is none.
    pub picture: String,
    /// Anything else.
    pub remark: String,
}

impl Instrument {
    /// A new one of the orchestra, built as is usual for its kind. Its bars and pieces are for somebody to say.
    pub fn of_kind(id: InstrumentId, kind: &Kind) -> Self {
        Self {
            id,
            kind: kind.id.clone(),
            name: String::new(),
            owner: Owner::Orchestra,
            place: None,
            frames: Vec::new(),
            layout: kind.layout,
            material: kind.material,
            mass: None,
            pieces: Vec::new(),
            footprint: Footprint { shape: kind.shape, height_m: kind.height_m },
            tuned_to: None,
            character: Vec::new(),
            for_two: false,
            condition: String::new(),
            picture: String::new(),
            remark: String::new(),
        }
    }

    /// Every pitch that it has a bar for, dead or not, sounding.
    pub fn bars(&self) -> PitchSet {
        self.frames.iter().fold(PitchSet::EMPTY, |sum, frame| sum.union(frame.bars()))
    }

    /// The pitches that sound: bars less the dead ones.
    pub fn compass(&self) -> PitchSet {
        self.frames.iter().fold(PitchSet::EMPTY, |sum, frame| sum.union(frame.compass()))
    }

    /// Pitches whose every bar is dead.
    pub fn dead(&self) -> PitchSet {
        self.bars().minus(self.compass())
    }

    /// How many bars there are, doubled ones counted twice.
    pub fn bar_count(&self) -> u32 {
        self.frames
            .iter()
            .map(|frame| frame.bars().len() + frame.doubled.intersection(frame.bars()).len())
            .sum()
    }

    /// Whether it has bars at all.
    pub fn is_pitched(&self) -> bool {
        !self.bars().is_empty()
    }
}

/// One frame, case, rack or drum of an instrument.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Frame {
    /// "low", "high", "32 in"; empty when there is but one.
    pub name: String,
    /// From the lowest to the highest bar, sounding; `None` when only `extra` counts.
    pub range: Option<(KeyNumber, KeyNumber)>,
    /// Pitches within the range that have no bar.
    pub gaps: PitchSet,
    /// Pitches that have two bars.
    pub doubled: PitchSet,
    /// Bars outside the range.
    pub extra: PitchSet,
    /// Bars that do not sound; a doubled pitch may stand here twice.
    pub dead: Vec<DeadBar>,
    /// From the player's left, where bars hang in their own order; empty for low to high.
    pub order: Vec<KeyNumber>,
    /// A drum: how it is tuned.
    pub tuned_by: TunedBy,
    /// A drum: to retune it by a known interval, seconds, where it differs from the orchestra's habit.
    pub retune_s: Option<f64>,
}

impl Frame {
    /// Every pitch with a bar, dead or not.
    pub fn bars(&self) -> PitchSet {
        let range = self.range.map_or(PitchSet::EMPTY, |(low, high)| PitchSet::range(low, high));
        range.minus(self.gaps).union(self.extra)
    }

    /// The pitches that sound. Of a doubled pitch both bars must be dead before it is lost.
    pub fn compass(&self) -> PitchSet {
        let lost = self.bars().iter().filter(|key| {
            let dead = self.dead.iter().filter(|bar| bar.key == *key).count();
            dead > usize::from(self.doubled.contains(*key))
        });
        self.bars().minus(lost.collect())
    }
}

/// A bar that does not sound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DeadBar {
    /// Its sounding pitch.
    pub key: KeyNumber,
    /// Since when, if known.
    pub since: Option<Date>,
    /// What is wrong: "cracked at the cord hole".
    pub why: String,
}

/// Whose an instrument or beater is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Owner {
    /// The orchestra's.
    Orchestra,
    /// A player's own.
    Player(PlayerId),
    /// Somebody else's: lent or hired, in words.
    Other(String),
}

/// How bars lie or hang before the player.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layout {
    /// As on a piano: naturals near the player, accidentals behind, low end at the left.
    TwoRows,
    /// One row, low end at the left.
    OneRow,
    /// Hung or laid in a stated order: each frame's `order`.
    Rack,
    /// Drums, each with a range of its own: a frame a drum.
    Drums,
}

impl Layout {
    /// All, in order.
    pub const ALL: [Self; 4] = [Self::TwoRows, Self::OneRow, Self::Rack, Self::Drums];

    /// The word for screens and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::TwoRows => "two rows",
            Self::OneRow => "one row",
            Self::Rack => "rack",
            Self::Drums => "drums",
        }
    }
}

/// What the bars are made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the materials' own names")]
pub enum Material {
    Rosewood,
    Padauk,
    Synthetic,
    Aluminium,
    Steel,
    Brass,
    Bronze,
    Skin,
    Wood,
    Glass,
    Mixed,
}

impl Material {
    /// All, in order.
    pub const ALL: [Self; 11] = [
        Self::Rosewood,
        Self::Padauk,
        Self::Synthetic,
        Self::Aluminium,
        Self::Steel,
        Self::Brass,
        Self::Bronze,
        Self::Skin,
        Self::Wood,
        Self::Glass,
        Self::Mixed,
    ];

    /// The word for screens and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Rosewood => "rosewood",
            Self::Padauk => "padauk",
            Self::Synthetic => "synthetic",
            Self::Aluminium => "aluminium",
            Self::Steel => "steel",
            Self::Brass => "brass",
            Self::Bronze => "bronze",
            Self::Skin => "skin",
            Self::Wood => "wood",
            Self::Glass => "glass",
            Self::Mixed => "mixed",
        }
    }
}

/// A mass, and whether it was weighed or is an estimate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mass {
    /// Kilograms, above zero.
    pub kg: f64,
    /// Weighed; else an estimate.
    pub weighed: bool,
}

/// What a side, a diameter or a height may be, metres: what the form and a table take.
pub const SIDE_M: RangeInclusive<f64> = 0.01..=8.0;

/// What a whole instrument may weigh, kilograms: what the form and a table take. The upper end is far above any bell that an
/// orchestra moves.
pub const WHOLE_KG: RangeInclusive<f64> = 0.005..=5_000.0;

/// Letters that a name may have: what the form and a table take. No name fills the window.
pub const NAME_LETTERS: usize = 200;

/// A thing seen from above, and its height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Footprint {
    /// Its outline.
    pub shape: Shape,
    /// Height in metres.
    pub height_m: f64,
}

/// An outline seen from above, in metres. Unturned, the player stands at the side of small y (upstage) and faces
/// large y (the audience); the low end then lies at large x, the right of a plan with the audience at its foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// A keyboard: a trapezoid, deep at the low end.
    Keyboard {
        /// Along the rows.
        width_m: f64,
        /// Depth at the low end.
        low_m: f64,
        /// Depth at the high end.
        high_m: f64,
    },
    /// A box, table, stand or rack.
    Box {
        /// Along the playing side.
        width_m: f64,
        /// Away from the player.
        depth_m: f64,
    },
    /// A drum or anything round.
    Round {
        /// Diameter.
        diameter_m: f64,
    },
    /// A gong, tam-tam or bell in its stand.
    Hung {
        /// Along the stand.
        width_m: f64,
        /// Depth of the feet.
        depth_m: f64,
    },
}

impl Shape {
    /// One of each outline, so wide and so deep, in order. A keyboard narrows to three fifths at its high end.
    pub const fn all(width_m: f64, depth_m: f64) -> [Self; 4] {
        [
            Self::Keyboard { width_m, low_m: depth_m, high_m: depth_m * 0.6 },
            Self::Box { width_m, depth_m },
            Self::Round { diameter_m: width_m },
            Self::Hung { width_m, depth_m },
        ]
    }

    /// The word for screens and tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Keyboard { .. } => "keyboard",
            Self::Box { .. } => "table, stand or rack",
            Self::Round { .. } => "round",
            Self::Hung { .. } => "hung in a stand",
        }
    }

    /// Width along the playing side and greatest depth, metres.
    pub fn extent(self) -> (f64, f64) {
        match self {
            Self::Keyboard { width_m, low_m, high_m } => (width_m, low_m.max(high_m)),
            Self::Box { width_m, depth_m } | Self::Hung { width_m, depth_m } => (width_m, depth_m),
            Self::Round { diameter_m } => (diameter_m, diameter_m),
        }
    }
}
