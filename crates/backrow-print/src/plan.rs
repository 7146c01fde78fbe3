//! The stage plan: a floor to scale, what stands on it, and who plays what with which beaters.
//!
//! Lengths are metres. x runs from the centre line, positive to the right as the audience sees; y from the back edge,
//! positive towards the audience, which is at the foot of the page. Angles turn clockwise as seen on the page.

mod fit;
mod label;
mod laid;

use serde::{Deserialize, Serialize};

pub(crate) use laid::{Drawing, Laid};

use crate::sheet::{Head, Orientation};

/// A place on the floor: `[x, y]` in metres.
pub type Spot = [f64; 2];

/// Everything that a stage plan shows.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct PlanSheet {
    /// Whose, where, when, which version.
    pub head: Head,
    /// The work that this setup is for; empty for a whole programme.
    pub work: String,
    /// What follows the work in small, "third work"; may be empty.
    pub work_note: String,
    /// The hall.
    pub floor: Floor,
    /// How much of the floor is drawn.
    pub view: View,
    /// To which scale.
    pub scale: PlanScale,
    /// Which way round the paper lies.
    pub orientation: Orientation,
    /// What stands there, in the order of the key.
    pub things: Vec<Thing>,
    /// Standing room, each a closed outline of three corners or more; drawn dotted.
    pub player_spaces: Vec<Vec<Spot>>,
    /// Music stands and stools.
    #[serde(default)]
    pub furniture: Vec<Furnishing>,
    /// Where players stand.
    pub people: Vec<Standing>,
    /// Ways between standing places.
    pub ways: Vec<Way>,
    /// Ways narrower than the section asks for.
    pub narrow: Vec<NarrowWay>,
    /// Who plays what, in roster order.
    pub players: Vec<PlayerBlock>,
    /// What changes after this work, a line each.
    pub changes: Vec<Change>,
    /// What is used and has no place on this floor yet, by name.
    #[serde(default)]
    pub unplaced: Vec<String>,
    /// Things that overlap.
    #[serde(default)]
    pub clashes: Vec<Clash>,
    /// For people who carry: the numbers are legible at two metres.
    #[serde(default)]
    pub large: bool,
    /// Sentences for the foot (see [`crate::caution`]): give them whenever something heavy, hung, raised or loud is on the plan.
    pub cautions: Vec<String>,
}

/// The hall from above.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Floor {
    /// Closed outlines of three corners or more; a curved front is many short pieces.
    pub outlines: Vec<Vec<Spot>>,
    /// Open lines: walls inside, steps, rails.
    pub lines: Vec<Vec<Spot>>,
    /// Raised parts; the words stand in the corner nearest to the foot, "riser +0.40 m".
    pub risers: Vec<FloorArea>,
    /// Where nobody may stand, "brass: keep out".
    pub keep_out: Vec<FloorArea>,
    /// Where the conductor stands.
    pub conductor: Option<Spot>,
}

/// A part of the floor with its words.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct FloorArea {
    /// A closed outline of three corners or more.
    pub outline: Vec<Spot>,
    /// May be empty.
    pub words: String,
}

/// How much of the floor is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum View {
    /// The whole floor and all that stands on it.
    #[default]
    Whole,
    /// Things, standing room, people and ways, and so many metres around them; the rest of the floor is cut off.
    AroundThings {
        /// Metres added on every side.
        margin_m: f64,
    },
    /// A part given by its corners.
    Part {
        /// Corner at the back, left as the audience sees.
        from: Spot,
        /// Corner towards the audience, right.
        to: Spot,
    },
}

/// The scale of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PlanScale {
    /// The largest round one that fits, upright where that is as large as across; beyond 1 : 200 the next true 1 : 25 n.
    #[default]
    Largest,
    /// 1 : n, on larger paper where it needs that; where it fits on none, as [`PlanScale::Largest`].
    OneTo(u32),
}

/// One numbered thing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Thing {
    /// What stands in its ring, the same on every sheet of the programme: "4", "a", "a–d".
    pub number: String,
    /// As in the collection, "Glockenspiel 1".
    pub name: String,
    /// What follows the name in small: "C2–C7", "tacet here", "hung on 3"; may be empty.
    pub note: String,
    /// Its outline.
    pub shape: Shape,
    /// The middle of the footprint.
    pub at: Spot,
    /// Degrees clockwise; at 0 the player stands upstage of it.
    pub turn_deg: f64,
    /// Where its low end lies, before turning; a solid wedge points out of that side.
    pub low_end: Option<LowEnd>,
    /// Whether it is used in this setup but has no place of its own (hung on another, lying on a table): its ring is drawn
    /// at `at`, and the key leaves size and place out.
    pub carried: bool,
    /// Not used in the work that the plan is for: drawn thin, and listed after the key.
    #[serde(default)]
    pub unused: bool,
    /// It differs from the version that this one replaces.
    #[serde(default)]
    pub changed: bool,
}

/// The side of a thing, before turning, at which its lowest bar lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LowEnd {
    /// The right of the page: as a player sees it who faces the audience from upstage.
    Right,
    /// The left of the page.
    Left,
}

/// The outline of a thing from above, in metres, before turning.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Shape {
    /// A keyboard: a trapezoid whose deep side is at its low end.
    Keyboard {
        /// Along the rows.
        width_m: f64,
        /// Depth at the low end.
        low_m: f64,
        /// Depth at the high end.
        high_m: f64,
        /// What is drawn inside.
        bars: Bars,
    },
    /// A table, stand, frame or rack.
    Box {
        /// Along the playing side.
        width_m: f64,
        /// Away from the player.
        depth_m: f64,
    },
    /// A drum on its side in a cradle: heads across the depth.
    LyingDrum {
        /// Along the stand.
        width_m: f64,
        /// Across it.
        depth_m: f64,
    },
    /// A gong, tam-tam or bell hung in a frame.
    Hung {
        /// Along the frame.
        width_m: f64,
        /// Depth of the feet.
        depth_m: f64,
    },
    /// A rack of discs or gongs.
    Rack {
        /// Along the rack.
        width_m: f64,
        /// Depth of the feet.
        depth_m: f64,
        /// How many hang in each row; the first row is the farthest from the player.
        rows: Vec<u32>,
    },
    /// A set of drums that is placed as one.
    Drums {
        /// Along the set.
        width_m: f64,
        /// Away from the player.
        depth_m: f64,
        /// Each drum: its middle before turning, and its radius.
        drums: Vec<(Spot, f64)>,
    },
    /// A kettledrum, drum or cymbal.
    Round {
        /// Diameter.
        diameter_m: f64,
    },
}

impl Shape {
    /// Width and greatest depth before turning, metres.
    pub const fn extent(&self) -> (f64, f64) {
        match self {
            Self::Keyboard { width_m, low_m, high_m, .. } => (*width_m, low_m.max(*high_m)),
            Self::Box { width_m, depth_m }
            | Self::LyingDrum { width_m, depth_m }
            | Self::Hung { width_m, depth_m }
            | Self::Rack { width_m, depth_m, .. }
            | Self::Drums { width_m, depth_m, .. } => (*width_m, *depth_m),
            Self::Round { diameter_m } => (*diameter_m, *diameter_m),
        }
    }
}

impl Thing {
    /// Which side the low end is on before turning: 1 for the right, also where there is none.
    const fn low_side(&self) -> f64 {
        if matches!(self.low_end, Some(LowEnd::Left)) { -1.0 } else { 1.0 }
    }

    /// The corners of its outline before turning; its middle for a round one, see [`Self::radius_m`].
    fn corners(&self) -> [Spot; 4] {
        let (width, depth) = self.shape.extent();
        let (w, d) = (width / 2.0, depth / 2.0);
        match self.shape {
            Shape::Keyboard { low_m, high_m, .. } => {
                let (low, high, w) = (low_m / 2.0, high_m / 2.0, w * self.low_side());
                [[-w, -high], [w, -low], [w, low], [-w, high]]
            }
            Shape::Round { .. } => [[0.0, 0.0]; 4],
            _ => [[-w, -d], [w, -d], [w, d], [-w, d]],
        }
    }

    /// The radius of a round outline; 0 for the others.
    const fn radius_m(&self) -> f64 {
        if let Shape::Round { diameter_m } = self.shape { diameter_m / 2.0 } else { 0.0 }
    }
}

/// The bars drawn in a keyboard's outline.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bars {
    /// An empty outline.
    #[default]
    None,
    /// So many equal bars.
    Count(u32),
    /// Each bar in its place, from the lowest.
    Each(Vec<BarMark>),
}

/// A bar in its place in a keyboard's outline.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BarMark {
    /// Its middle along the rows: 0 at the low end, 1 at the high end.
    pub along: f64,
    /// Its thickness along the rows, as part of the width.
    pub thick: f64,
    /// Its end towards the player: 0 at the player's edge, 1 at the far edge, at that place of the trapezoid.
    pub near: f64,
    /// Its far end, likewise.
    pub far: f64,
}

/// A music stand or a stool: drawn thin, without a number.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Furnishing {
    /// A closed outline of three corners or more; the first two corners are the edge towards the player.
    pub outline: Vec<Spot>,
    /// "music stand", "stool".
    pub words: String,
}

/// Where a player stands.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Standing {
    /// On the disc.
    pub initials: String,
    /// Where.
    pub at: Spot,
    /// Begins the work here (a black disc); else comes here later (a dashed ring).
    pub begins: bool,
}

/// A way from one standing place to another.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Way {
    /// Two corners or more, from the first standing place to the last.
    pub points: Vec<Spot>,
    /// A way of two corners bows by so many metres to its left as walked; 0 for straight.
    pub bend_m: f64,
    /// Its length in metres as the plan states it; `None` to draw the line only.
    pub metres: Option<f64>,
    /// Whose way it is, before the metres: "LB"; may be empty.
    #[serde(default)]
    pub by: String,
    /// It differs from the version that this one replaces.
    #[serde(default)]
    pub changed: bool,
}

/// Where two things overlap.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Clash {
    /// What both take, three corners or more.
    pub outline: Vec<Spot>,
    /// "6 and 7 overlap by 0.12 m".
    pub words: String,
}

/// A gap that is narrower than the section asks for.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct NarrowWay {
    /// One side.
    pub from: Spot,
    /// The other side.
    pub to: Spot,
    /// The gap, metres.
    pub metres: f64,
    /// What the section asks for, metres.
    pub wanted_m: f64,
}

/// What one player plays.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct PlayerBlock {
    /// On the disc.
    pub initials: String,
    /// Name in full.
    pub name: String,
    /// "principal", "extra"; may be empty.
    pub role: String,
    /// Line by line, in the order of playing.
    pub lines: Vec<PlayerLine>,
    /// Something in it differs from the version that this one replaces.
    #[serde(default)]
    pub changed: bool,
}

/// One instrument of one player, with its beaters.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct PlayerLine {
    /// The number of its ring.
    pub number: String,
    /// The instrument.
    pub instrument: String,
    /// The beaters.
    pub beaters: String,
    /// In brackets after them: "II, III", "ears"; may be empty.
    pub remark: String,
}

/// What is carried before another work.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Change {
    /// The work that it is for.
    pub before: String,
    /// In brackets: "about 2 min, 2 people at most"; may be empty.
    pub note: String,
    /// The change in words.
    pub words: String,
    /// It differs from the version that this one replaces.
    #[serde(default)]
    pub changed: bool,
}
