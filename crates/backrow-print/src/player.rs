//! The player's sheet: movement by movement what to play where, the way to the next thing with its seconds, and the bars used.
//!
//! It is read at arm's length in the dark. Everything stands in the data; the sheet only sets it, save that a keyboard too
//! wide for the paper is cut into octaves.

mod keyboard;
mod laid;

use serde::{Deserialize, Serialize};

pub(crate) use laid::Laid;

use crate::plan::PlanSheet;
use crate::sheet::Head;

/// Everything that one player's sheet shows.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct PlayerSheet {
    /// Whose programme, where, when, which version.
    pub head: Head,
    /// On the disc.
    pub initials: String,
    /// Name in full.
    pub name: String,
    /// The section's habits, printed in the foot.
    pub habits: Habits,
    /// Every work of the programme in its order; one that the player does not play is tacet, never missing.
    pub works: Vec<PlayerWork>,
    /// Its rehearsals and concerts, in order of time.
    pub services: Vec<Service>,
    /// The bars that are used, instrument by instrument, after all moves.
    #[serde(default)]
    pub keyboards: Vec<Keyboard>,
    /// The player's own stations with the routes between them; `None` where nothing of the player's stands yet.
    #[serde(default)]
    pub plan: Option<PlanSheet>,
    /// What to lay out before the concert, at the end of the sheet.
    pub packing: Vec<Packing>,
    /// Sentences for the foot (see [`crate::caution`]).
    pub cautions: Vec<String>,
}

/// One rehearsal or concert.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Service {
    /// "Tue 12 Oct, 10:00–12:30".
    pub when: String,
    /// "rehearsal", "concert".
    pub what: String,
    /// The hall.
    pub place: String,
    /// "you are away"; may be empty.
    pub remark: String,
    /// It differs from the version that this one replaces.
    #[serde(default)]
    pub changed: bool,
}

/// The figures that the seconds were worked out with.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Habits {
    /// Metres a second.
    pub pace_m_per_s: f64,
    /// Seconds to settle at the next place.
    pub settle_s: f64,
    /// Seconds to change beaters.
    pub change_s: f64,
    /// Less than so many seconds to spare bears the care sign.
    pub spare_s: f64,
    /// Metres assumed where no plan says how far; `None` when every way was measured.
    pub default_m: Option<f64>,
}

impl Default for Habits {
    /// The habits that hold until a section sets its own.
    fn default() -> Self {
        Self { pace_m_per_s: 1.2, settle_s: 1.0, change_s: 1.5, spare_s: 1.0, default_m: None }
    }
}

/// A work of the programme.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct PlayerWork {
    /// Its title.
    pub title: String,
    /// Its composer; may be empty.
    pub composer: String,
    /// How long it is in words, "9′"; may be empty.
    pub length: String,
    /// The player is silent in all of it.
    pub tacet: bool,
    /// Its movements; a work in one has one without a number.
    pub movements: Vec<PlayerMovement>,
    /// The player's own stations in it, where something of theirs stands elsewhere than for the other works.
    #[serde(default)]
    pub plan: Option<PlanSheet>,
}

/// A movement.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct PlayerMovement {
    /// "II"; empty in a work of one movement.
    pub number: String,
    /// Its title; may be empty.
    pub title: String,
    /// How long it is in words; may be empty.
    pub length: String,
    /// The player is silent in it.
    pub tacet: bool,
    /// What to do, in order; moves stand between stations.
    pub steps: Vec<Step>,
}

/// One step of a movement.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Step {
    /// Stand at an instrument and play.
    Play(Station),
    /// Go to the next.
    Move(Move),
}

/// An instrument and the passages played there before the next move.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Station {
    /// Its number on the plan.
    pub number: String,
    /// Its name.
    pub instrument: String,
    /// The beaters.
    pub beaters: String,
    /// Where to stand, said where the number first comes in a work; else empty.
    pub stand: String,
    /// Who else uses it, "SI plays 4 from m. 66: leave it by then by m. 64"; may be empty.
    pub shared: String,
    /// Notes that the instruments do not have, with measures and what was decided; may be empty.
    pub missing: String,
    /// Anything else; may be empty.
    pub note: String,
    /// A caution that belongs to this instrument; may be empty.
    pub caution: String,
    /// Something here differs from the version that this one replaces.
    pub changed: bool,
    /// The passages in order, at least one.
    pub passages: Vec<Passage>,
}

/// Measures in which the player plays.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Passage {
    /// As printed, "58–64".
    pub measures: String,
    /// Its first measure counted from the rehearsal letter before it, "B+26"; may be empty.
    #[serde(default)]
    pub letter: String,
    /// Tempo words there, where they are not those of the passage before; may be empty.
    #[serde(default)]
    pub tempo: String,
    /// How many mallets it takes, where that changes within the line: "4 mallets", "2 mallets from m. 20"; may be empty.
    #[serde(default)]
    pub mallets: String,
    /// Measures' rest before it, for every passage of a station but the first.
    pub rest_measures: u32,
    /// The seconds of that rest; `None` where the music has no tempo.
    pub has_s: Option<f64>,
    /// In the stead of a rest, where there is none: "the repeat, straight on"; may be empty.
    pub words: String,
    /// What the player plays at the same time, in one bracket with it.
    pub with: Vec<With>,
}

/// A line that is played together with a passage.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct With {
    /// As printed, "60–80".
    pub measures: String,
    /// As in a passage.
    #[serde(default)]
    pub letter: String,
    /// Its number on the plan.
    pub number: String,
    /// Its name.
    pub instrument: String,
    /// The beaters.
    pub beaters: String,
    /// Missing notes and the like; may be empty.
    pub note: String,
}

/// A way to the next instrument.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Move {
    /// The number of the next instrument.
    pub to: String,
    /// How far, metres; `None` when it is not known.
    pub metres: Option<f64>,
    /// The beaters differ.
    pub change_beaters: bool,
    /// Measures' rest on the way.
    pub rest_measures: u32,
    /// Seconds that the music gives; `None` where it has no tempo.
    pub has_s: Option<f64>,
    /// Seconds that the way and the change need.
    pub needs_s: Option<f64>,
    /// By how many seconds it is too short; read only in a clash.
    pub short_s: f64,
    /// How it stands.
    pub state: MoveState,
    /// How to manage it, "brass lies on 9"; may be empty.
    pub how: String,
    /// It differs from the version that this one replaces.
    pub changed: bool,
}

/// Whether a move can be done in its time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MoveState {
    /// Seconds to spare.
    #[default]
    Ok,
    /// Hardly any to spare: a triangle and bold figures.
    Care,
    /// Too short: white on black.
    Clash,
}

/// A pitched instrument with the bars that some movements use.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Keyboard {
    /// Its number on the plan.
    pub number: String,
    /// Its name.
    pub title: String,
    /// What one of its sounding parts is called, "bar" and "bars", "disc" and "discs", "gong" and "gongs".
    pub part: String,
    /// The same for many.
    pub parts: String,
    /// Whether written and sounding names are the same, so that one is enough.
    pub as_written: bool,
    /// Whether they differ by whole octaves only, so that the written name and the convention are enough.
    #[serde(default)]
    pub by_octaves: bool,
    /// Where it is used: "Lanterns on the Estuary I, II".
    #[serde(default)]
    pub music: String,
    /// "written two octaves below sounding".
    pub convention: String,
    /// How many parts it has.
    pub total: u32,
    /// How many of them are used.
    pub used: u32,
    /// What lacks or is dead: "missing: E♭3", "C7: one of its two bars is dead"; may be empty.
    pub note: String,
    /// How they lie.
    pub layout: KeyboardLayout,
    /// It differs from the version that this one replaces.
    #[serde(default)]
    pub changed: bool,
}

/// How the parts of an instrument lie before the player.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum KeyboardLayout {
    /// In two rows like a piano's keys, from the lowest.
    Keys {
        /// Every bar, used or not.
        bars: Vec<KeyBar>,
        /// Drawn as discs.
        round: bool,
    },
    /// As they hang, row by row from the farthest, each from the player's left: used ones only.
    Rack {
        /// Row by row.
        rows: Vec<Vec<RackBar>>,
        /// From which side it is seen, "seen from where you stand".
        words: String,
    },
}

impl Default for KeyboardLayout {
    fn default() -> Self {
        Self::Keys { bars: Vec::new(), round: false }
    }
}

/// One bar of a rack.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct RackBar {
    /// Name as sounding.
    pub name: String,
    /// It sounds; else it is dead, and drawn dotted.
    pub there: bool,
}

/// One bar of a keyboard.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct KeyBar {
    /// Its sounding key, C4 = 60: gives its place.
    pub key: u8,
    /// Name as sounding.
    pub sounding: String,
    /// Name as written.
    pub written: String,
    /// The movement uses it.
    pub used: bool,
    /// It is on the instrument; else it was not taken along, or is missing, and is dotted.
    pub there: bool,
}

/// A line of what to lay out.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Packing {
    /// The beaters.
    pub beaters: String,
    /// How many, "2 + 2", "1 pair".
    pub count: String,
    /// Where they lie, "hung on 6".
    pub place: String,
    /// What they are for.
    pub used_for: String,
    /// It differs from the version that this one replaces.
    #[serde(default)]
    pub changed: bool,
}
