//! What is asked of a tuning plan, and what it answers.

use crate::collection::TunedBy;
use crate::compass::PitchSet;
use crate::music::MeasureName;
use crate::pitch::KeyNumber;

/// One drum: what it can be tuned to, and how long that takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drum {
    /// "29 in".
    pub name: String,
    /// The pitches that it can be tuned to, sounding.
    pub reach: PitchSet,
    /// To retune it by a known interval, microseconds; above zero.
    pub need_us: i64,
    /// By pedal or by hand.
    pub by: TunedBy,
}

/// One stroke or roll on one drum.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stroke {
    /// Its sounding pitch.
    pub key: KeyNumber,
    /// When it is struck, microseconds from the start of the movement.
    pub at_us: i64,
    /// When it has ended as written, microseconds; a stroke lasts a microsecond at least.
    pub until_us: i64,
    /// The measure that it stands in, as printed.
    pub measure: MeasureName,
}

impl Stroke {
    /// When it has ended, microseconds; after its onset.
    pub fn end_us(&self) -> i64 {
        self.until_us.max(self.at_us + 1)
    }
}

/// What is asked: a line of strokes on some drums.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'a> {
    /// The drums, in the player's order.
    pub drums: &'a [Drum],
    /// The strokes in the order of time.
    pub strokes: &'a [Stroke],
    /// Pitches that stay on one drum, by its index.
    pub pins: &'a [(KeyNumber, usize)],
    /// Where the part itself writes a retuning; empty where it says nothing.
    pub written: &'a [Written],
    /// What comes first.
    pub aim: Aim,
}

/// A retuning that the part writes: of plans that are equally good, the one is taken that does it there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written {
    /// The first stroke from its measure on, microseconds: it may be done before that.
    pub from_us: i64,
    /// The first stroke after its measure, microseconds: it may not be begun after that.
    pub to_us: i64,
    /// The pitches that it can mean.
    pub keys: PitchSet,
}

impl Written {
    /// Whether it may be done between two onsets that follow each other.
    pub(super) const fn lies_between(&self, before_us: i64, next_us: i64) -> bool {
        before_us < self.to_us && self.from_us <= next_us
    }
}

/// What a plan puts first, once everything can be retuned in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Aim {
    /// As few retunings as the drums allow: what a player at a whole set wants.
    #[default]
    FewestRetunings,
    /// As few drums as can do.
    FewestDrums,
}

impl Aim {
    /// All, in order.
    pub const ALL: [Self; 2] = [Self::FewestRetunings, Self::FewestDrums];

    /// The words for screens and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::FewestRetunings => "fewest retunings",
            Self::FewestDrums => "fewest drums",
        }
    }
}

/// Which drum takes which stroke, and when drums are retuned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// What each drum is tuned to at the start; `None` for a drum that is not played.
    pub start: Vec<Option<KeyNumber>>,
    /// The drum of each stroke.
    pub on: Vec<usize>,
    /// The retunings, in the order of time.
    pub changes: Vec<Change>,
    /// Whether it is proven that no plan is better; the search stops early on lines far beyond real parts.
    pub best: bool,
    /// The fewest drums on which the line can be played, with retunings if need be.
    pub fewest_drums: usize,
    /// Why fewer cannot do.
    pub proof: Proof,
}

/// One retuning.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Which drum.
    pub drum: usize,
    /// From this pitch.
    pub from: KeyNumber,
    /// To this one.
    pub to: KeyNumber,
    /// When it is begun, microseconds from the start of the movement.
    pub at_us: i64,
    /// The measure of the last stroke before it.
    pub measure: MeasureName,
    /// The measure of the next stroke after it began.
    pub until: MeasureName,
    /// The rest that it has, microseconds: silent, the rest of the line; heard, the time that its own drum is not struck.
    pub have_us: i64,
    /// The time that it needs, microseconds.
    pub need_us: i64,
    /// Other drums are struck meanwhile.
    pub heard: bool,
}

/// Why a line needs so many drums.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Proof {
    /// A line without pitch needs none.
    Nothing,
    /// One drum does; fewer is none.
    One,
    /// These pitches are struck so close together that no drum can be retuned between them.
    Moment {
        /// The pitches: as many as drums are needed.
        keys: PitchSet,
        /// The measure of the first of them.
        from: MeasureName,
        /// The measure of the last.
        to: MeasureName,
        /// From the end of the first stroke to the last, microseconds.
        within_us: i64,
        /// The shortest retuning of any drum, microseconds.
        need_us: i64,
    },
    /// Fewer may do: the search with so many drums was stopped early.
    Open {
        /// The fewest for which it was.
        drums: usize,
    },
    /// Every way with one drum less was tried; the one that goes furthest ends here.
    Tried {
        /// So many drums were tried.
        drums: usize,
        /// The first measure that no way gets past.
        measure: MeasureName,
    },
}

/// Where and why a line cannot be played on the drums it has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Impossible {
    /// No drum reaches these, or is allowed to.
    Unreached {
        /// The pitches.
        keys: PitchSet,
    },
    /// More pitches at once than there are drums for.
    TooFew {
        /// The pitches.
        keys: PitchSet,
        /// The measure of the first of them.
        from: MeasureName,
        /// The measure of the last.
        to: MeasureName,
        /// From the end of the first stroke to the last, microseconds.
        within_us: i64,
        /// How many of them the drums can hold together.
        held: usize,
    },
    /// Every way was tried; the one that goes furthest ends here, as a drum cannot be retuned in time.
    Stuck {
        /// The measure that no way gets past.
        measure: MeasureName,
        /// What is to be struck there.
        keys: PitchSet,
        /// The rest before it, microseconds.
        have_us: i64,
        /// What the quickest drum would need, microseconds.
        need_us: i64,
    },
    /// None was found before the search was stopped; that there is none is not proven.
    NotFound {
        /// With so many drums.
        drums: usize,
    },
    /// More drums than are asked about at once.
    TooManyDrums {
        /// So many.
        drums: usize,
    },
}

impl Plan {
    /// The drums that are played, by index.
    pub fn used(&self) -> Vec<usize> {
        self.start.iter().enumerate().filter(|(_, start)| start.is_some()).map(|(at, _)| at).collect()
    }

    /// What each drum is tuned to at a moment, microseconds from the start of the movement: a retuning counts from when
    /// it is begun.
    pub fn tuned_at(&self, at_us: i64) -> Vec<Option<KeyNumber>> {
        let mut tuned = self.start.clone();
        for change in self.changes.iter().take_while(|change| change.at_us <= at_us) {
            if let Some(drum) = tuned.get_mut(change.drum) {
                *drum = Some(change.to);
            }
        }
        tuned
    }

    /// How many retunings are heard.
    pub fn heard(&self) -> usize {
        self.changes.iter().filter(|change| change.heard).count()
    }
}
