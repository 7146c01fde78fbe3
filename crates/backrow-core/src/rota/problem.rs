//! What the rota is asked: calls with their passages, players, demands, wishes and habits.
//!
//! Plain values that depend on nothing else in the core, so that the window, the shell command and
//! a plain table can all be turned into one [`Problem`].

/// The section's own figures for getting from one passage to the next.
///
/// Common practice, no published source; every section sets its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habits {
    /// Walking pace in metres a second, above zero.
    pub pace_m_s: f64,
    /// Seconds to settle after any walk; none where the place is the same.
    pub settle_s: f64,
    /// Seconds to change beaters when they differ.
    pub change_s: f64,
    /// Metres between two places when either is not known.
    pub default_distance_m: f64,
}

impl Default for Habits {
    fn default() -> Self {
        Self { pace_m_s: 1.2, settle_s: 1.0, change_s: 1.5, default_distance_m: 2.0 }
    }
}

/// A stretch of a call without a rest long enough to leave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    /// Start, in seconds of the programme's music.
    pub from_s: f64,
    /// End, in the same seconds; not before the start.
    pub to_s: f64,
    /// Where the player stands: an index into [`Problem::places_m`]; `None` where no plan says.
    pub place: Option<usize>,
    /// What is in the hands, as any key; two keys that differ, or a known beside an unknown one, ask a change.
    pub beaters: Option<usize>,
}

/// One call: an instrument in one movement, with all that it plays.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Call {
    /// The name that reports use.
    pub label: String,
    /// The physical instruments, as any keys that calls on the same instrument share.
    pub instruments: Vec<usize>,
    /// Passages in the order of their starts.
    pub passages: Vec<Passage>,
    /// A key shared by the calls that should stay with one player, such as one instrument through a work.
    pub strand: Option<usize>,
    /// The player who had it the last time.
    pub last_time: Option<usize>,
    /// How exposed it is, in the section's own units; 0 is not at all. Not negative.
    pub exposure: f64,
}

/// What a share-out has to keep.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Demand {
    /// The call is this player's.
    Pin {
        /// The call.
        call: usize,
        /// The player.
        player: usize,
    },
    /// The player cannot have these calls: absent from a service, unwilling, not qualified.
    Bar {
        /// The player.
        player: usize,
        /// The calls.
        calls: Vec<usize>,
        /// The reason, for reports.
        why: String,
    },
    /// The calls are for these players alone; no extra may have them.
    Only {
        /// The calls.
        calls: Vec<usize>,
        /// The players.
        players: Vec<usize>,
        /// The reason, for reports: "for the timpanist".
        why: String,
    },
    /// Both calls go to the same player.
    Together {
        /// One call.
        a: usize,
        /// The other.
        b: usize,
    },
    /// The two calls go to different players.
    Apart {
        /// One call.
        a: usize,
        /// The other.
        b: usize,
    },
    /// These calls sound at once on one instrument, which takes no more than `hands` players at once.
    /// Worked out from [`Problem::hands`]; nobody needs to write it.
    Hands {
        /// The instrument.
        instrument: usize,
        /// The calls that sound at once.
        calls: Vec<usize>,
        /// The most players at once.
        hands: usize,
    },
}

/// How much each wish weighs, in points. A share-out with fewer points is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wishes {
    /// Points each time that a strand passes to another player.
    pub stay: u32,
    /// Points for each call that is not with the player who had it last time.
    pub last_time: u32,
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
        Self { stay: 10, last_time: 6, walk: 1, load: 1, exposure: 1, extra: 20 }
    }
}

/// Everything that the rota is asked.
///
/// Players are numbered from 0: first [`Problem::players`], then the extras.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Problem {
    /// The calls.
    pub calls: Vec<Call>,
    /// The names of the players at hand.
    pub players: Vec<String>,
    /// The most extras that may be engaged. An extra takes any call that no demand keeps from extras.
    pub extras: usize,
    /// Standing places, x and y in metres.
    pub places_m: Vec<[f64; 2]>,
    /// True lengths of the ways between places in metres, by place; 0 says that it is one and the same place.
    /// Where a cell is absent the straight line stands in.
    pub ways_m: Vec<Vec<f64>>,
    /// The most players at once by instrument key; an instrument not named here takes any number.
    pub hands: Vec<(usize, usize)>,
    /// Pairs of calls that one player can play together: a triangle over a cymbal.
    pub playable_together: Vec<(usize, usize)>,
    /// What has to be kept.
    pub demands: Vec<Demand>,
    /// The section's figures.
    pub habits: Habits,
    /// The section's wishes.
    pub wishes: Wishes,
}

impl Problem {
    /// The number of players, extras included.
    pub fn palette(&self) -> usize {
        self.players.len().saturating_add(self.extras)
    }

    /// A player's name; extras are "extra 1", "extra 2" and so on.
    pub fn player_label(&self, player: usize) -> String {
        match self.players.get(player) {
            Some(name) => name.clone(),
            None => format!("extra {}", (player + 1).saturating_sub(self.players.len())),
        }
    }

    /// A call's name.
    pub fn call_label(&self, call: usize) -> &str {
        self.calls.get(call).map_or("?", |c| c.label.as_str())
    }
}

/// Who plays each call, by the call's index; `None` while nobody does.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ShareOut {
    /// The player of each call.
    pub players: Vec<Option<usize>>,
}

impl ShareOut {
    /// A share-out in which nobody plays anything yet.
    pub fn empty(calls: usize) -> Self {
        Self { players: vec![None; calls] }
    }

    /// The player of a call.
    pub fn player(&self, call: usize) -> Option<usize> {
        self.players.get(call).copied().flatten()
    }

    /// The players who have anything to play, each once, lowest first.
    pub fn used(&self) -> Vec<usize> {
        let mut used: Vec<usize> = self.players.iter().flatten().copied().collect();
        used.sort_unstable();
        used.dedup();
        used
    }
}

/// One passage: the call and the passage's place in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PassageRef {
    /// The call.
    pub call: usize,
    /// The passage within the call, from 0.
    pub passage: usize,
}

/// Something in a [`Problem`] that cannot be worked with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadInput {
    /// The call it stands in, when it stands in one.
    pub call: Option<usize>,
    /// What is wrong and what would mend it.
    pub what: String,
}

impl std::fmt::Display for BadInput {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.what)
    }
}

impl std::error::Error for BadInput {}
