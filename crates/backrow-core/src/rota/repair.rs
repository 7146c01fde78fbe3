//! What if: one player fewer, one player ill. What breaks, and the repair that changes least.

use super::ask::CanTake;
use super::best::{Aim, Best};
use super::conflicts::Rota;
use super::fewest::{Answer, Effort};
use super::number::{CallNo, List, PlayerNo};
use super::problem::{BadInput, Demand, ShareOut};

/// What becomes of a share-out when a player is missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// The calls that nobody plays any more.
    pub broken: Vec<CallNo>,
    /// The repair that changes the fewest calls, the best of those; `None` when there is none.
    pub repaired: Option<Repaired>,
    /// When there is none: why, as the answer to "how many players?" without the missing one.
    pub why_not: Option<Answer>,
}

/// A repaired share-out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Repaired {
    /// The share-out, its cost, and how sure it is.
    pub best: Best,
    /// The calls that have another player than before, the broken ones included.
    pub changed: Vec<CallNo>,
    /// Whether it is proved that no repair changes fewer calls.
    pub fewest_changes: bool,
}

/// Who is missing, and from what.
#[derive(Debug, Clone, Copy)]
pub struct Missing<'a> {
    /// The player.
    pub player: PlayerNo,
    /// The calls that the player cannot play: all, for one who is not there at all.
    pub calls: &'a [CallNo],
}

impl Missing<'_> {
    /// As a demand.
    pub(super) fn demand(&self) -> Demand {
        Demand::Bar { player: self.player, calls: self.calls.to_vec(), why: "is missing".to_owned() }
    }
}

impl Rota {
    /// What breaks when a player is missing, and the repair among at most `players` players that changes least.
    ///
    /// # Errors
    /// A call or a player that is not there.
    pub fn without(
        &self,
        share_out: &ShareOut,
        missing: Missing<'_>,
        players: usize,
        effort: Effort,
    ) -> Result<Repair, Vec<BadInput>> {
        let Missing { player, calls } = missing;
        let broken: Vec<CallNo> =
            calls.iter().copied().filter(|&c| share_out.player(c) == Some(player)).collect();
        let mut problem = self.problem().clone();
        problem.demands.push(missing.demand());
        let rota = Rota::new(problem)?;
        let change = rota.dearer_than_all_wishes(players);
        let usual = rota.own_costs();
        let mut own = usual.clone();
        for (call, costs) in own.entries_mut() {
            for (p, cost) in costs.entries_mut() {
                if share_out.player(call) != Some(p) {
                    *cost += change;
                }
            }
        }
        let start = rota.first_try(share_out, &broken).or_else(|| match rota.fewest(effort) {
            Answer::Found(found) if found.players <= players => Some(found.share_out),
            _ => None,
        });
        let aim = Aim { players, effort, own: &own, usual: &usual };
        let Some(sought) = rota.best_with(start.as_ref(), aim) else {
            let why_not = Some(rota.fewest(effort));
            return Ok(Repair { broken, repaired: None, why_not });
        };
        let changed = sought.share_out.differs_in(share_out);
        let cost = rota.cost(&sought.share_out, players);
        let at_least = cost.milli_points - (sought.cost - sought.at_least).max(0);
        let faults = rota.checked(&sought.share_out);
        let fewest_changes = sought.at_least / change == sought.cost / change && faults.is_empty();
        let best = Best { share_out: sought.share_out, cost, at_least_milli_points: at_least, faults };
        Ok(Repair { broken, repaired: Some(Repaired { best, changed, fewest_changes }), why_not: None })
    }

    /// The calls that a share-out gives to players who cannot have them, or that nobody has.
    pub fn broken_calls(&self, share_out: &ShareOut) -> Vec<CallNo> {
        let who = |call: CallNo| share_out.player(call);
        let stands = |call: CallNo| who(call).is_some_and(|p| self.can_take_alone(share_out, call, p));
        self.problem().calls.numbers().filter(|&c| !stands(c)).collect()
    }

    /// The share-out with every broken call given to the first player who can take it; `None` when that breaks a rule.
    pub fn filled(&self, share_out: &ShareOut) -> Option<ShareOut> {
        let filled = self.first_try(share_out, &self.broken_calls(share_out))?;
        super::check::faults(self.problem(), &filled).is_empty().then_some(filled)
    }

    fn can_take_alone(&self, share_out: &ShareOut, call: CallNo, player: PlayerNo) -> bool {
        self.can_take(share_out, call).iter().any(|a| a.player == player && a.yes())
    }

    /// More than all wishes together can cost, so that one change more is always worse.
    fn dearer_than_all_wishes(&self, players: usize) -> i64 {
        let count = i64::try_from(self.problem().calls.len()).unwrap_or(i64::MAX / 1_000_000_000);
        let w = &self.problem().wishes;
        let flat = 1000
            * count
            * [w.stay, w.part, w.last_time, w.near, w.by_hand, w.extra]
                .into_iter()
                .map(i64::from)
                .sum::<i64>();
        let everything = ShareOut { players: List::filled(Some(PlayerNo(0)), self.problem().calls.len()) };
        let heap = self.cost(&everything, players);
        let passages: i64 =
            self.problem().calls.iter().map(|c| i64::try_from(c.passages.len()).unwrap_or(0)).sum();
        let walks = i64::from(w.walk) * passages * (self.longest_way_mm() + 1);
        flat + walks + heap.milli_points + 1_000_000
    }

    /// Each broken call to the first player who can take it, the rest as before; none when that fails.
    fn first_try(&self, share_out: &ShareOut, broken: &[CallNo]) -> Option<ShareOut> {
        let mut next = share_out.clone();
        for &call in broken {
            next.players[call] = None;
        }
        for &call in broken {
            let taker = self.can_take(&next, call).into_iter().find(CanTake::yes)?;
            next.players[call] = Some(taker.player);
        }
        Some(next)
    }
}
