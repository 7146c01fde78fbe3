//! What the rota is asked: lines with their passages, players, demands, wishes and habits.
//!
//! Plain values that depend on nothing else in the core, so that the window, the shell command and
//! a plain table can all be turned into one [`Problem`].

use super::number::{
    BeatersNo, InstrumentNo, LineNo, List, PassageNo, PlaceNo, PlayerNo, StanceNo, StrandNo,
};
use crate::seconds::{Habits, Hold, Need};
use std::collections::BTreeSet;

/// A stretch of a line without a rest long enough to leave.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Passage {
    /// Start, in seconds of the programme's music.
    pub from_s: f64,
    /// End, in the same seconds; not before the start.
    pub to_s: f64,
    /// Where the player stands: a place of [`Problem::places_m`]; `None` where no plan says.
    pub place: Option<PlaceNo>,
    /// What is in the hands as it starts, as any key; two keys that differ, or a known beside an unknown one, ask a change.
    pub beaters: Option<BeatersNo>,
    /// What is in the hands as it ends, where that is something else.
    pub ends_with: Option<BeatersNo>,
    /// How its player stands, where [`Problem::needs`] are given.
    pub stances: Option<Stances>,
}

/// How a player stands as a passage starts and as it ends: rows and columns of [`Problem::needs`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stances {
    /// As it starts.
    pub begins: StanceNo,
    /// As it ends.
    pub ends: StanceNo,
}

/// A stretch in which single notes of a line are played on an instrument that is none of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Visit {
    /// The instrument.
    pub instrument: InstrumentNo,
    /// Start, in seconds of the programme's music.
    pub from_s: f64,
    /// End, in the same seconds; not before the start.
    pub to_s: f64,
}

/// A passage beside the line that it stands in.
#[derive(Debug, Clone, Copy)]
pub struct PassageOf<'a> {
    /// The line.
    pub line: LineNo,
    /// The passage.
    pub passage: &'a Passage,
}

impl Passage {
    /// What is in the hands as it ends.
    pub fn put_down(&self) -> Option<BeatersNo> {
        self.ends_with.or(self.beaters)
    }
}

/// One line: an instrument in one movement, with all that it plays.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Line {
    /// The name that reports use.
    pub label: String,
    /// The physical instruments, as any keys that lines on the same instrument share.
    pub instruments: Vec<InstrumentNo>,
    /// When it is on other instruments for single notes.
    pub visits: Vec<Visit>,
    /// Passages in the order of their starts.
    pub passages: List<PassageNo, Passage>,
    /// A key shared by the lines that should stay with one player, such as one instrument through a work.
    pub strand: Option<StrandNo>,
    /// A key shared by the lines of one printed part.
    pub part: Option<StrandNo>,
    /// The player who owns the printed part.
    pub owner: Option<PlayerNo>,
    /// The player who had it the last time.
    pub last_time: Option<PlayerNo>,
    /// The player who has it now.
    pub now: Option<PlayerNo>,
    /// Whether it was given to that player by hand since the last proposal.
    pub by_hand: bool,
    /// How exposed it is, in the section's own units; 0 is not at all. Not negative.
    pub exposure: f64,
}

/// What a set of assignments has to keep.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Demand {
    /// The line is this player's.
    Pin {
        /// The line.
        line: LineNo,
        /// The player.
        player: PlayerNo,
    },
    /// The player cannot have these lines: absent from a service, unwilling, not qualified.
    Bar {
        /// The player.
        player: PlayerNo,
        /// The lines.
        lines: Vec<LineNo>,
        /// The reason, for reports.
        why: String,
    },
    /// The lines are for these players alone; no extra may have them.
    Only {
        /// The lines.
        lines: Vec<LineNo>,
        /// The players.
        players: Vec<PlayerNo>,
        /// The reason, for reports: "for the timpanist".
        why: String,
    },
    /// Both lines go to the same player.
    Together {
        /// One line.
        a: LineNo,
        /// The other.
        b: LineNo,
    },
    /// The two lines go to different players.
    Apart {
        /// One line.
        a: LineNo,
        /// The other.
        b: LineNo,
    },
    /// These lines sound at once on one instrument, which takes no more than `hands` players at once.
    /// Worked out from [`Problem::at_once`]; nobody needs to write it.
    Hands {
        /// The instrument.
        instrument: InstrumentNo,
        /// The lines that sound at once.
        lines: Vec<LineNo>,
        /// The most players at once.
        hands: usize,
    },
}

/// How much each wish weighs, in points. A set of assignments with fewer points is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wishes {
    /// Points each time that a strand passes to another player.
    pub stay: u32,
    /// Points each time that a printed part passes to another player, and for each of its lines that is not with its owner.
    pub part: u32,
    /// Points for each line that is not with the player who had it last time.
    pub last_time: u32,
    /// Points for each line that goes to another player than it has now.
    pub near: u32,
    /// Points for each line given by hand that goes to another player.
    pub by_hand: u32,
    /// Points for each metre walked.
    pub walk: u32,
    /// Points for each minute that the busiest player plays above the even share.
    pub load: u32,
    /// Points for each unit of exposure of the most exposed player above the even share.
    pub exposure: u32,
    /// Points for each extra engaged.
    pub extra: u32,
}

impl Default for Wishes {
    fn default() -> Self {
        Self {
            stay: 10,
            part: 8,
            last_time: 6,
            near: 3,
            by_hand: 40,
            walk: 1,
            load: 1,
            exposure: 1,
            extra: 20,
        }
    }
}

/// An instrument that takes only so many players at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AtOnce {
    /// The instrument.
    pub instrument: InstrumentNo,
    /// The most players.
    pub players: usize,
}

/// Everything that the rota is asked.
///
/// Players are numbered: first [`Problem::players`], then the extras.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Problem {
    /// The lines.
    pub lines: List<LineNo, Line>,
    /// The names of the players available.
    pub players: List<PlayerNo, String>,
    /// Those of the players who are called only when the others are used up; they count as extras.
    pub reserve: Vec<PlayerNo>,
    /// The most extras that may be engaged. An extra takes any line that no demand keeps from extras.
    pub extras: usize,
    /// Standing places, x and y in metres.
    pub places_m: List<PlaceNo, [f64; 2]>,
    /// What of the beaters of a key takes longer to take up and put down; keys beyond are ordinary beaters.
    pub holds: List<BeatersNo, BTreeSet<Hold>>,
    /// What lies between two stances, a row for each that is left; where it is given, places and beaters of passages
    /// are not looked at. Where it is not, straight lines between places and differing beaters say it.
    pub needs: Option<List<StanceNo, List<StanceNo, Need>>>,
    /// Instruments that take only so many players at once; one not named here takes any number.
    pub at_once: Vec<AtOnce>,
    /// Pairs of lines that one player can play together: a triangle over a cymbal.
    pub playable_together: Vec<(LineNo, LineNo)>,
    /// What has to be kept.
    pub demands: Vec<Demand>,
    /// The section's figures.
    pub habits: Habits,
    /// The section's wishes.
    pub wishes: Wishes,
}

impl Problem {
    /// The number of players, extras included.
    pub fn player_count(&self) -> usize {
        self.players.len().saturating_add(self.extras)
    }

    /// A player's name; extras are "extra 1", "extra 2" and so on.
    pub fn player_label(&self, player: PlayerNo) -> String {
        match self.players.find(player) {
            Some(name) => name.clone(),
            None => format!("extra {}", (player.0 + 1).saturating_sub(self.players.len())),
        }
    }

    /// A line's name.
    pub fn line_label(&self, line: LineNo) -> &str {
        &self.lines[line].label
    }

    /// Whether the player is an extra: somebody not yet engaged, or of the reserve.
    pub fn is_extra(&self, player: PlayerNo) -> bool {
        player.0 >= self.players.len() || self.reserve.contains(&player)
    }
}

/// Who plays each line; `None` while nobody does.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Assignments {
    /// The player of each line.
    pub players: List<LineNo, Option<PlayerNo>>,
}

impl Assignments {
    /// A set of assignments in which nobody plays anything yet.
    pub fn empty(lines: usize) -> Self {
        Self { players: List::filled(None, lines) }
    }

    /// The player of a line.
    pub fn player(&self, line: LineNo) -> Option<PlayerNo> {
        self.players.find(line).copied().flatten()
    }

    /// The lines of a player.
    pub fn lines_of(&self, player: PlayerNo) -> impl Iterator<Item = LineNo> {
        self.players.entries().filter(move |(_, who)| **who == Some(player)).map(|(line, _)| line)
    }

    /// The players who have anything to play, each once, lowest first.
    pub fn used(&self) -> Vec<PlayerNo> {
        let mut used: Vec<PlayerNo> = self.players.iter().flatten().copied().collect();
        used.sort_unstable();
        used.dedup();
        used
    }

    /// The lines that another set of assignments of the same lines gives to somebody else.
    pub fn differs_in(&self, other: &Self) -> Vec<LineNo> {
        self.players.numbers().filter(|&line| self.player(line) != other.player(line)).collect()
    }
}

/// One passage: the line and the passage in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PassageRef {
    /// The line.
    pub line: LineNo,
    /// The passage within the line.
    pub passage: PassageNo,
}

/// Something in a [`Problem`] that cannot be worked with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadInput {
    /// The call it stands in, when it stands in one.
    pub line: Option<LineNo>,
    /// What is wrong and what would mend it.
    pub what: String,
}

impl std::fmt::Display for BadInput {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.what)
    }
}

impl std::error::Error for BadInput {}

/// For needs that are given by line: every line has one stance.
#[cfg(test)]
pub(super) fn stand_by_line(problem: &mut Problem) {
    for (line, row) in problem.lines.entries_mut() {
        let stance = StanceNo(line.0);
        row.passages.iter_mut().for_each(|p| p.stances = Some(Stances { begins: stance, ends: stance }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rota::text::read;

    #[test]
    fn players_come_first_and_extras_after_them() {
        let problem = read("players Ana Ben Cy\nreserve Ben\nextras 2\nline a: 0-1").unwrap();
        assert_eq!(problem.player_count(), 5);
        let labels: Vec<String> = (0..5).map(|p| problem.player_label(PlayerNo(p))).collect();
        assert_eq!(labels, ["Ana", "Ben", "Cy", "extra 1", "extra 2"]);
        let extras: Vec<bool> = (0..5).map(|p| problem.is_extra(PlayerNo(p))).collect();
        assert_eq!(extras, [false, true, false, true, true], "the reserve counts as extras");
        assert_eq!(problem.line_label(LineNo(0)), "a");
    }

    #[test]
    fn assignments_tell_who_has_what() {
        let of = |players: &[Option<usize>]| Assignments {
            players: players.iter().map(|p| p.map(PlayerNo)).collect(),
        };
        let now = of(&[Some(2), None, Some(0), Some(2)]);
        assert_eq!(now.used(), [PlayerNo(0), PlayerNo(2)]);
        assert_eq!(now.lines_of(PlayerNo(2)).collect::<Vec<_>>(), [LineNo(0), LineNo(3)]);
        assert_eq!(
            (now.player(LineNo(2)), now.player(LineNo(1)), now.player(LineNo(9))),
            (Some(PlayerNo(0)), None, None)
        );
        assert_eq!(now.differs_in(&of(&[Some(2), Some(1), Some(1), Some(2)])), [LineNo(1), LineNo(2)]);
        assert_eq!(Assignments::empty(2), of(&[None, None]));
        let bad = BadInput { line: None, what: "what is wrong".to_owned() };
        assert_eq!(bad.to_string(), "what is wrong");
    }
}
