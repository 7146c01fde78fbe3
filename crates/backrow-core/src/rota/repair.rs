//! What if: one player fewer, one player ill. What breaks, and the repair that changes least.

use super::ask::CanTake;
use super::best::Best;
use super::conflicts::Rota;
use super::fewest::{Answer, Effort};
use super::plain::put;
use super::problem::{BadInput, Demand, ShareOut};

/// What becomes of a share-out when a player is missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// The calls that nobody plays any more.
    pub broken: Vec<usize>,
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
    pub changed: Vec<usize>,
    /// Whether it is proved that no repair changes fewer calls.
    pub fewest_changes: bool,
}

impl Rota {
    /// What breaks when `player` cannot play `calls`, and the repair among at most `players` players that
    /// changes least. All calls of the player, for one who is not there at all.
    ///
    /// # Errors
    /// A call or a player that is not there.
    pub fn without(
        &self,
        share_out: &ShareOut,
        (player, calls): (usize, &[usize]),
        players: usize,
        effort: Effort,
    ) -> Result<Repair, Vec<BadInput>> {
        let broken: Vec<usize> =
            calls.iter().copied().filter(|&c| share_out.player(c) == Some(player)).collect();
        let mut problem = self.problem().clone();
        problem.demands.push(Demand::Bar { player, calls: calls.to_vec(), why: "missing".to_owned() });
        let rota = Rota::new(problem)?;
        let change = rota.dearer_than_all_wishes(players);
        let mut own = rota.own_costs();
        for (call, costs) in own.iter_mut().enumerate() {
            for (p, cost) in costs.iter_mut().enumerate() {
                if share_out.player(call) != Some(p) {
                    *cost += change;
                }
            }
        }
        let start = rota.first_try(share_out, &broken);
        let Some((repaired, least, dear)) = rota.best_with(players, start.as_ref(), effort, &own) else {
            let why_not = Some(rota.fewest(effort));
            return Ok(Repair { broken, repaired: None, why_not });
        };
        let changed: Vec<usize> =
            (0..own.len()).filter(|&c| repaired.player(c) != share_out.player(c)).collect();
        let cost = rota.cost(&repaired, players);
        let at_least = cost.milli_points - (dear - least).max(0);
        let fewest_changes = least / change == dear / change;
        let best = Best { share_out: repaired, cost, at_least_milli_points: at_least };
        Ok(Repair { broken, repaired: Some(Repaired { best, changed, fewest_changes }), why_not: None })
    }

    /// The calls that a share-out gives to players who cannot have them, or that nobody has.
    pub fn broken_calls(&self, share_out: &ShareOut) -> Vec<usize> {
        let who = |call: usize| share_out.player(call);
        let stands = |call: usize| who(call).is_some_and(|p| self.can_take_alone(share_out, call, p));
        (0..self.problem().calls.len()).filter(|&c| !stands(c)).collect()
    }

    /// The share-out with every broken call given to the first player who can take it; `None` when that breaks a rule.
    pub fn filled(&self, share_out: &ShareOut) -> Option<ShareOut> {
        let filled = self.first_try(share_out, &self.broken_calls(share_out))?;
        super::check::faults(self.problem(), &filled).is_empty().then_some(filled)
    }

    fn can_take_alone(&self, share_out: &ShareOut, call: usize, player: usize) -> bool {
        self.can_take(share_out, call).iter().any(|a| a.player == player && a.yes())
    }

    /// More than all wishes together can cost, so that one change more is always worse.
    fn dearer_than_all_wishes(&self, players: usize) -> i64 {
        let count = i64::try_from(self.problem().calls.len()).unwrap_or(i64::MAX / 1_000_000_000);
        let w = &self.problem().wishes;
        let flat = 1000 * count * i64::from(w.stay.saturating_add(w.last_time).saturating_add(w.extra));
        let everything = ShareOut { players: vec![Some(0); self.problem().calls.len()] };
        let heap = self.cost(&everything, players);
        let passages: i64 =
            self.problem().calls.iter().map(|c| i64::try_from(c.passages.len()).unwrap_or(0)).sum();
        let walks = i64::from(w.walk) * passages * (self.longest_way_mm() + 1);
        flat + walks + heap.milli_points + 1_000_000
    }

    /// Each broken call to the first player who can take it, the rest as before; none when that fails.
    fn first_try(&self, share_out: &ShareOut, broken: &[usize]) -> Option<ShareOut> {
        let mut next = share_out.clone();
        for &call in broken {
            put(&mut next.players, call, None);
        }
        for &call in broken {
            let taker = self.can_take(&next, call).into_iter().find(CanTake::yes)?;
            put(&mut next.players, call, Some(taker.player));
        }
        Some(next)
    }
}
