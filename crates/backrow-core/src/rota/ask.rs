//! The live questions: can this call go to that player, and where is it tightest?

use super::conflicts::Rota;
use super::number::{CallNo, PlayerNo};
use super::problem::{Demand, ShareOut};
use super::seconds::Move;

/// Something that keeps a call from a player.
#[derive(Debug, Clone, PartialEq)]
pub enum Obstacle {
    /// The player has another call that one player cannot take as well.
    Clash {
        /// The other call.
        with: CallNo,
        /// The tightest pair of passages.
        how: Move,
    },
    /// A demand speaks against it; for together and apart, given where the other call is now.
    Demand(Demand),
}

/// Whether a call can go to a player.
#[derive(Debug, Clone, PartialEq)]
pub struct CanTake {
    /// The player.
    pub player: PlayerNo,
    /// Everything that speaks against it; empty when it can go there.
    pub obstacles: Vec<Obstacle>,
    /// The tightest move that the player would have with this call, when there is any.
    pub tightest: Option<Move>,
}

impl CanTake {
    /// Whether nothing speaks against it.
    pub fn yes(&self) -> bool {
        self.obstacles.is_empty()
    }
}

impl Rota {
    /// For each player, whether the call can go there beside what the share-out gives them, and why not.
    ///
    /// The call's own present place is not looked at. Quick enough to be asked while a strip is dragged.
    pub fn can_take(&self, share_out: &ShareOut, call: CallNo) -> Vec<CanTake> {
        (0..self.problem().palette()).map(|p| self.can_player_take(share_out, call, PlayerNo(p))).collect()
    }

    fn can_player_take(&self, share_out: &ShareOut, call: CallNo, player: PlayerNo) -> CanTake {
        let mut obstacles: Vec<Obstacle> = self
            .neighbours(call)
            .iter()
            .filter(|&&other| other != call && share_out.player(other) == Some(player))
            .filter_map(|&other| self.clash(call, other).map(|how| Obstacle::Clash { with: other, how }))
            .collect();
        let against = self.demands().iter().filter(|d| speaks_against(share_out, call, player, d));
        obstacles.extend(against.cloned().map(Obstacle::Demand));
        let tightest = share_out
            .calls_of(player)
            .filter(|&other| other != call)
            .filter(|&other| !self.playable_together(call, other))
            .filter_map(|other| self.tightest(call, other))
            .min_by_key(|m| (m.spare_us(), m.from, m.to));
        CanTake { player, obstacles, tightest }
    }

    /// Whether a mark says that one player can play both calls at once.
    pub fn playable_together(&self, a: CallNo, b: CallNo) -> bool {
        self.problem().playable_together.iter().any(|&pair| pair == (a, b) || pair == (b, a))
    }

    /// A player's moves, in the order of time: from each passage to the next that starts.
    ///
    /// A move between two calls that are marked as playable together is left out, and so is one that asks
    /// nothing: the same place and the same beaters.
    pub fn moves(&self, share_out: &ShareOut, player: PlayerNo) -> Vec<Move> {
        self.in_time(share_out, player)
            .windows(2)
            .filter_map(|pair| match pair {
                [from, to] => self.way_between(*from, *to),
                _ => None,
            })
            .filter(|m| !self.playable_together(m.from.call, m.to.call))
            .filter(|m| m.need.us() > 0)
            .collect()
    }

    /// The moves of all players with the least to spare, tightest first, at most `most`.
    pub fn tightest_moves(&self, share_out: &ShareOut, most: usize) -> Vec<(PlayerNo, Move)> {
        let mut all: Vec<(PlayerNo, Move)> = share_out
            .used()
            .into_iter()
            .flat_map(|player| self.moves(share_out, player).into_iter().map(move |m| (player, m)))
            .collect();
        all.sort_by_key(|(player, m)| (m.spare_us(), m.from, *player));
        all.truncate(most);
        all
    }
}

/// Whether the demand forbids the call to the player, beside what the share-out says of the other calls.
fn speaks_against(share_out: &ShareOut, call: CallNo, player: PlayerNo, demand: &Demand) -> bool {
    let who = |c: CallNo| if c == call { Some(player) } else { share_out.player(c) };
    match demand {
        Demand::Pin { call: c, player: p } => *c == call && *p != player,
        Demand::Bar { player: p, calls, .. } => *p == player && calls.contains(&call),
        Demand::Only { calls, players, .. } => calls.contains(&call) && !players.contains(&player),
        Demand::Together { a, b } => {
            let placed = who(*a).is_some() && who(*b).is_some();
            (*a == call || *b == call) && placed && who(*a) != who(*b)
        }
        Demand::Apart { a, b } => (*a == call || *b == call) && a != b && who(*a) == who(*b),
        Demand::Hands { calls, hands, .. } => {
            let mut there: Vec<PlayerNo> = calls.iter().filter_map(|&c| who(c)).collect();
            there.sort_unstable();
            there.dedup();
            calls.contains(&call) && there.len() > *hands
        }
    }
}
