//! What if: one player fewer, one player ill. What breaks, and the repair that changes least.

use super::ask::CanTake;
use super::best::{Aim, Best};
use super::conflicts::Rota;
use super::fewest::{Answer, Effort};
use super::number::{LineNo, List, PlayerNo};
use super::problem::{Assignments, BadInput, Demand};

/// What becomes of a set of assignments when a player is missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// The lines that nobody plays any more.
    pub broken: Vec<LineNo>,
    /// The repair that changes the fewest lines, the best of those; `None` when there is none.
    pub repaired: Option<Repaired>,
    /// When there is none: why, as the answer to "how many players?" without the missing one.
    pub why_not: Option<Answer>,
}

/// A repaired assignments.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Repaired {
    /// The assignments, its cost, and how sure it is.
    pub best: Best,
    /// The lines that have another player than before, the broken ones included.
    pub changed: Vec<LineNo>,
    /// Whether it is proven that no repair changes fewer lines.
    pub fewest_changes: bool,
}

/// Who is missing, and from what.
#[derive(Debug, Clone, Copy)]
pub struct Missing<'a> {
    /// The player.
    pub player: PlayerNo,
    /// The lines that the player cannot play: all, for one who is not there at all.
    pub lines: &'a [LineNo],
}

impl Missing<'_> {
    /// As a demand.
    pub(super) fn demand(&self) -> Demand {
        Demand::Bar { player: self.player, lines: self.lines.to_vec(), why: "is away".to_owned() }
    }
}

impl Rota {
    /// What breaks when a player is missing, and the repair among at most `players` players that changes least.
    ///
    /// # Errors
    /// A line or a player that is not there.
    pub fn without(
        &self,
        assignments: &Assignments,
        missing: Missing<'_>,
        players: usize,
        effort: Effort,
    ) -> Result<Repair, Vec<BadInput>> {
        let Missing { player, lines } = missing;
        let broken: Vec<LineNo> =
            lines.iter().copied().filter(|&c| assignments.player(c) == Some(player)).collect();
        let mut problem = self.problem().clone();
        problem.demands.push(missing.demand());
        let rota = Rota::new(problem)?.until(self.halt());
        let change = rota.dearer_than_all_wishes(players);
        let usual = rota.own_costs();
        let mut own = usual.clone();
        for (line, costs) in own.entries_mut() {
            for (p, cost) in costs.entries_mut() {
                if assignments.player(line) != Some(p) {
                    *cost += change;
                }
            }
        }
        let start = rota.first_try(assignments, &broken).or_else(|| match rota.fewest(effort) {
            Answer::Found(found) if found.players <= players => Some(found.assignments),
            _ => None,
        });
        let aim = Aim { players, effort, own: &own, usual: &usual };
        let Some(sought) = rota.best_with(start.as_ref(), aim) else {
            let why_not = Some(rota.fewest(effort));
            return Ok(Repair { broken, repaired: None, why_not });
        };
        let changed = sought.assignments.differs_in(assignments);
        let cost = rota.cost(&sought.assignments, players);
        let at_least = cost.milli_points - (sought.cost - sought.at_least).max(0);
        let faults = rota.checked(&sought.assignments);
        let fewest_changes = sought.at_least / change == sought.cost / change && faults.is_empty();
        let best = Best { assignments: sought.assignments, cost, at_least_milli_points: at_least, faults };
        Ok(Repair { broken, repaired: Some(Repaired { best, changed, fewest_changes }), why_not: None })
    }

    /// The lines that a set of assignments gives to players who cannot have them, or that nobody has.
    pub fn broken_lines(&self, assignments: &Assignments) -> Vec<LineNo> {
        let who = |line: LineNo| assignments.player(line);
        let stands = |line: LineNo| who(line).is_some_and(|p| self.can_take_alone(assignments, line, p));
        self.problem().lines.numbers().filter(|&c| !stands(c)).collect()
    }

    /// The assignments with every broken line given to the first player who can take it; `None` when that breaks a rule.
    pub fn filled(&self, assignments: &Assignments) -> Option<Assignments> {
        let filled = self.first_try(assignments, &self.broken_lines(assignments))?;
        super::check::faults(self.problem(), &filled).is_empty().then_some(filled)
    }

    fn can_take_alone(&self, assignments: &Assignments, line: LineNo, player: PlayerNo) -> bool {
        self.can_take(assignments, line).iter().any(|a| a.player == player && a.yes())
    }

    /// More than all wishes together can cost, so that one change more is always worse.
    fn dearer_than_all_wishes(&self, players: usize) -> i64 {
        let count = i64::try_from(self.problem().lines.len()).unwrap_or(i64::MAX / 1_000_000_000);
        let w = &self.problem().wishes;
        let flat = 1000
            * count
            * [w.stay, w.part, w.last_time, w.near, w.by_hand, w.extra]
                .into_iter()
                .map(i64::from)
                .sum::<i64>();
        let everything = Assignments { players: List::filled(Some(PlayerNo(0)), self.problem().lines.len()) };
        let heap = self.cost(&everything, players);
        let passages: i64 =
            self.problem().lines.iter().map(|c| i64::try_from(c.passages.len()).unwrap_or(0)).sum();
        let walks = i64::from(w.walk) * passages * (self.longest_way_mm() + 1);
        flat + walks + heap.milli_points + 1_000_000
    }

    /// Each broken line to the first player who can take it, the rest as before; none when that fails.
    fn first_try(&self, assignments: &Assignments, broken: &[LineNo]) -> Option<Assignments> {
        let mut next = assignments.clone();
        for &line in broken {
            next.players[line] = None;
        }
        for &line in broken {
            let taker = self.can_take(&next, line).into_iter().find(CanTake::yes)?;
            next.players[line] = Some(taker.player);
        }
        Some(next)
    }
}

#[cfg(test)]
mod worked;
