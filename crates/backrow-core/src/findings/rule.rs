//! The list of rules: one row each, from which the rule's word, its screen and the list of all are made.

use super::ShowsOn;
use crate::tuning::formula::{self, Formula};

macro_rules! rules {
    ($($(#[doc = $doc:literal])* $name:ident, $code:literal, $place:ident;)*) => {
        /// What was looked for.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Rule {
            $($(#[doc = $doc])* $name,)*
        }

        impl Rule {
            /// Every rule.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            /// A short stable word for scripts: `overlap`, `instrument-twice`.
            pub const fn code(self) -> &'static str {
                match self {
                    $(Self::$name => $code,)*
                }
            }

            /// The screen that shows what it is about.
            pub const fn shows_on(self) -> ShowsOn {
                match self {
                    $(Self::$name => ShowsOn::$place,)*
                }
            }
        }
    };
}

rules! {
    /// Two lines of one player sound at once.
    DoubleBooked, "double-booked", Section;
    /// Too few seconds from one line of a player to the next.
    TooShort, "too-short", Section;
    /// A note of a line is played on another instrument, and there are too few seconds to get there or back.
    NoteElsewhere, "note-elsewhere", Section;
    /// What one player plays at once stands further apart than the arms reach.
    OutOfReach, "out-of-reach", Floor;
    /// One instrument is played by more players at once than can play it.
    SharedAtOnce, "shared-at-once", Section;
    /// Another programme needs the same instrument.
    InstrumentTwice, "instrument-twice", Week;
    /// Another programme needs the same player.
    PlayerTwice, "player-twice", Week;
    /// Another programme needs the same beaters.
    BeatersTwice, "beaters-twice", Week;
    /// The instrument lacks notes of its line.
    LacksNotes, "lacks-notes", Compass;
    /// A dead bar is asked for.
    DeadBar, "dead-bar", Compass;
    /// Timpani cannot be retuned in time, or there are too few drums.
    NoTuning, "no-tuning", Compass;
    /// A drum is retuned while others are struck.
    HeardTuning, "heard-tuning", Compass;
    /// A pitch is kept on a drum that the line does not have.
    DrumNotThere, "drum-not-there", Compass;
    /// A line is played on another kind.
    OtherKind, "other-kind", Compass;
    /// A beater may harm what it strikes.
    HarmfulBeater, "harmful-beater", Section;
    /// More players need beaters at once than there are pairs.
    ShortBeaters, "beaters-short", Section;
    /// A player does not play what was assigned.
    DoesNotPlay, "does-not-play", Section;
    /// A player misses a service.
    Absent, "absent", Section;
    /// Somebody who is not engaged has lines.
    NotEngaged, "not-engaged", Section;
    /// Somebody who is held in reserve has lines.
    InReserve, "in-reserve", Section;
    /// Somebody who is not engaged for a concert has lines that are played in it.
    NotForConcert, "not-for-concert", Section;
    /// Two things overlap.
    Overlap, "overlap", Floor;
    /// A thing stands where nothing may stand.
    KeepOut, "keep-out", Floor;
    /// A thing stands off the floor.
    OffFloor, "off-floor", Floor;
    /// A thing stands across an edge.
    AcrossEdge, "across-edge", Floor;
    /// A gangway is narrower than the section asks.
    NarrowGangway, "narrow-gangway", Floor;
    /// A player's space is taken.
    PlayersSpace, "players-space", Floor;
    /// A player does not see the conductor.
    NoSight, "no-sight", Floor;
    /// A player's back is turned to the conductor.
    Backwards, "backwards", Floor;
    /// A riser bears much, or its rating is not stated.
    RiserLoad, "riser-load", Floor;
    /// Instruments are not on the floor yet.
    NotPlaced, "not-placed", Floor;
    /// Lines that nobody plays.
    Nobody, "nobody", Section;
    /// Lines without an instrument.
    NoInstrument, "no-instrument", Compass;
    /// Lines of struck things without beaters.
    NoBeaters, "no-beaters", Section;
    /// A programme without a service.
    NoService, "no-service", Week;
    /// Two services of one programme are at the same time, or too near each other in two venues.
    ServicesCollide, "services-collide", Week;
    /// The music is longer than its concert.
    TooLong, "too-long", Week;
    /// A work that is played again had something when it was taken out.
    HadBefore, "had-before", Section;
    /// Lines whose kind is open.
    OpenKind, "open-kind", Sounds;
    /// The library lacks a work.
    UnknownWork, "unknown-work", Section;
    /// The library lacks a venue.
    UnknownVenue, "unknown-venue", Floor;
    /// The library lacks something else that the programme names.
    Dangling, "dangling", Section;
    /// The music would let an instrument be heard out of tune with the orchestra.
    OutOfTune, "out-of-tune", Compass;
    /// Two instruments beat against each other.
    BeatTogether, "beat-together", Compass;
    /// An instrument is tuned to another A.
    OtherA, "other-a", Compass;
    /// A line for bells has a note that none of ours has in any octave.
    BellToBorrow, "bell-to-borrow", Compass;
    /// A line for bells has a note that ours have in other octaves only.
    BellElsewhere, "bell-elsewhere", Compass;
    /// Something very loud is played.
    Loud, "loud", Floor;
    /// An instrument's figures are as of none of its kind.
    OddFigures, "odd-figures", Collection;
    /// An instrument is in the collection twice.
    AppearsTwice, "appears-twice", Collection;
}

impl Rule {
    /// What its figures stand on, for whoever asks; empty where it has none of tuning.
    pub const fn formulas(self) -> &'static [Formula] {
        match self {
            Self::OutOfTune => &[formula::CENTS, formula::BEATS, formula::WINDS, formula::BARS],
            Self::BeatTogether => &[formula::CENTS, formula::BEATS, formula::BARS],
            Self::OtherA => &[formula::CENTS],
            _ => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Rule;
    use std::collections::BTreeSet;

    #[test]
    fn no_two_rules_share_a_word() {
        let words: BTreeSet<&str> = Rule::ALL.iter().map(|rule| rule.code()).collect();
        assert_eq!(words.len(), Rule::ALL.len());
    }
}
