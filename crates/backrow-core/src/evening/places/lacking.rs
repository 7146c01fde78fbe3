//! Moves that lack their seconds on every floor that was looked at, and why: the music, the floor, or neither is known.

use crate::assign::where_it_stands;
use crate::evening::Evening;
use crate::id::PlayerId;
use crate::library::Library;
use crate::moves::Move;
use crate::music::stretch_words;
use crate::seconds::{Need, Round, text};

/// A move that lacks its seconds.
#[derive(Clone, Debug, PartialEq)]
pub struct Lacking {
    /// Whose.
    pub player: PlayerId,
    /// The move.
    pub step: Move,
    /// Why.
    pub why: Why,
}

/// Why a move lacks its seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
    /// Both passages sound at once.
    BothSound,
    /// The hands alone need longer than there is, without a way.
    Hands,
    /// Even side by side on a floor with nothing else the two need this, which is more than there is.
    SideBySide(Need),
    /// One of the two does not stand, so that a distance is assumed.
    NotPlaced,
    /// They could stand near enough, but both are locked.
    Locked,
    /// They could stand near enough, but no arrangement was found in which they do.
    NotFound,
}

impl Why {
    /// Why a move lacks its seconds: `alone` says what it needs with its two stations side by side and nothing else, if both
    /// stand.
    pub(super) fn of(step: &Move, alone: impl FnOnce() -> Option<Need>) -> Self {
        if step.both_sound() {
            Self::BothSound
        } else if step.need.change_us > step.has_us {
            Self::Hands
        } else {
            match alone() {
                None => Self::NotPlaced,
                Some(need) if need.us() > step.has_us => Self::SideBySide(need),
                Some(_) => Self::NotFound,
            }
        }
    }
}

impl Lacking {
    /// Whether no arrangement of the floor would help.
    pub const fn is_not_of_the_floor(&self) -> bool {
        matches!(self.why, Why::BothSound | Why::Hands | Why::SideBySide(_))
    }

    /// "A. Berg, Harbour Symphony IV mm. 4–5: needs 3.2 s even with the two side by side, has 2.0 s: no floor helps, the assignments
    /// must change."
    pub fn words(&self, library: &Library) -> String {
        let (step, player) = (&self.step, library.player_name(&self.player));
        let work = where_it_stands(library, &step.from.line);
        let at = stretch_words(&step.from.measure, &step.to.measure);
        let needs = |need: &Need| format!("needs {}\u{202F}s", text(need.us(), Round::Up));
        let has = format!("has {}\u{202F}s", text(step.has_us, Round::Down));
        let said = match &self.why {
            Why::BothSound => "both sound at once: no floor helps, the assignments must change".to_owned(),
            Why::Hands => {
                let hands = text(step.need.change_us, Round::Up);
                format!("the change in the hands alone needs {hands}\u{202F}s, {has}: no floor helps")
            }
            Why::SideBySide(need) => format!(
                "{} even with the two side by side, {has}: no floor helps, the assignments must change",
                needs(need)
            ),
            Why::NotPlaced => {
                format!("{}, {has}, by an assumed distance, as not both are placed", needs(&step.need))
            }
            Why::Locked => format!("{}, {has}: both are locked where they stand", needs(&step.need)),
            Why::NotFound => format!("{}, {has}: no better places were found", needs(&step.need)),
        };
        format!("{player}, {work} {at}: {said}.")
    }
}

/// What a move needs on another floor.
pub(super) fn need(evening: &Evening, step: &Move) -> Option<Need> {
    let table = evening.timetable();
    Some(table.need(table.at(&step.from)?.leaves()?, table.at(&step.to)?.comes()?))
}
