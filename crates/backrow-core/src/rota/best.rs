//! The best assignments among so many players, and the repair that changes least.

use super::again::{Given, again};
use super::colour::Steps;
use super::conflicts::Rota;
use super::fewest::Effort;
use super::frontier::{Pass, Stretch, Weights};
use super::improve::improve;
use super::model::{Model, Scope};
use super::number::{ItemNo, List, NodeNo, PlayerNo};
use super::plan::Plan;
use super::problem::Assignments;
use super::wishes::{Cost, Costs};

/// The lines of a large programme, which [`Effort::width`] is measured by.
const USUAL_LINES: usize = 60;

/// Steps for each half-made assignments that is kept beside the others.
const STEPS_A_WIDTH: u64 = 40_000;

/// A set of assignments that costs the wishes least, as far as was searched.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Best {
    /// The assignments.
    pub assignments: Assignments,
    /// What it costs, wish by wish.
    pub cost: Cost,
    /// No set of assignments of that size costs less than this, in thousandths of a point.
    pub at_least_milli_points: i64,
    /// What the independent checker found wrong with it, a sentence each; empty when it agrees.
    pub faults: Vec<String>,
}

impl Best {
    /// Whether it is proven that none costs less.
    pub fn proven(&self) -> bool {
        self.at_least_milli_points >= self.cost.milli_points && self.faults.is_empty()
    }

    /// By how many points a better one could still be better.
    pub fn gap_points(&self) -> f64 {
        (self.cost.milli_points - self.at_least_milli_points).max(0) as f64 / 1000.0
    }
}

/// What the search for the best goes by.
#[derive(Clone, Copy)]
pub(super) struct Aim<'a> {
    /// The most players.
    pub(super) players: usize,
    /// How hard to try.
    pub(super) effort: Effort,
    /// What each line costs with each player.
    pub(super) own: &'a Costs,
    /// What the problem's own wishes say that it costs.
    pub(super) usual: &'a Costs,
}

/// What the search for the best found, counted by the costs it was given.
pub(super) struct Sought {
    /// The assignments.
    pub(super) assignments: Assignments,
    /// What it costs.
    pub(super) cost: i64,
    /// The least that any costs.
    pub(super) at_least: i64,
}

/// A set of assignments with what it costs the search, in thousandths of a point.
#[derive(Debug, Clone, PartialEq)]
struct Priced {
    cost: i64,
    assignments: Assignments,
}

impl Rota {
    /// The best assignments among at most `players` players; `None` when none was found.
    ///
    /// `start` is a set of assignments to beat, such as the one that came with the fewest players; a start that
    /// breaks a rule or uses more players is not looked at.
    pub fn best(&self, players: usize, start: Option<&Assignments>, effort: Effort) -> Option<Best> {
        let own = self.own_costs();
        let sought = self.best_with(start, Aim { players, effort, own: &own, usual: &own })?;
        let cost = self.cost(&sought.assignments, players);
        let mut faults = self.checked(&sought.assignments);
        if cost.milli_points != sought.cost {
            faults.push(format!("the search counts {} points, the sums {}", sought.cost, cost.milli_points));
        }
        debug_assert_eq!(faults, Vec::<String>::new());
        Some(Best { assignments: sought.assignments, cost, at_least_milli_points: sought.at_least, faults })
    }

    /// What the independent checker says against a set of assignments; empty when it keeps every rule.
    pub fn checked(&self, assignments: &Assignments) -> Vec<String> {
        super::check::faults(self.problem(), assignments)
    }

    /// The best assignments with other costs of each line with each player.
    pub(super) fn best_with(&self, start: Option<&Assignments>, aim: Aim<'_>) -> Option<Sought> {
        let Aim { players, effort, own, .. } = aim;
        let model = Model::new(self, &Scope::whole(self), self.problem().player_count());
        if model.broken {
            return None;
        }
        let mut steps = self.steps(STEPS_A_WIDTH.saturating_mul(effort.width as u64));
        let mut plan = Plan::new(self, &model, players, own);
        let weights = self.weights();
        let wide = effort.width.saturating_mul((USUAL_LINES / plan.items.len().max(1)).clamp(1, 8));
        look_back(&mut plan, weights, wide, &mut steps.half());
        let start = start.filter(|s| s.used().len() <= players && self.checked(s).is_empty());
        let mut found = start.map(|s| Priced { cost: self.search_cost(s, aim), assignments: s.clone() });
        let mut least = 0;
        let mut width = 30.min(wide);
        loop {
            let ceiling = found.as_ref().map_or(i64::MAX, |now| now.cost);
            let whole = Stretch { plan: &plan, weights, items: 0..plan.items.len(), width };
            let pass = whole.pass(ceiling, &mut steps);
            if let Some(best) = pass.best {
                let given = best.given.into_iter().flatten().collect();
                found = Some(self.improved(&plan, &model, &given, aim, &mut steps));
            }
            let cost = found.as_ref().map_or(i64::MAX, |now| now.cost);
            least = least.max(pass.left_out.map_or(cost, |out| out.min(cost)));
            if least >= cost || width >= wide || steps.left() == 0 {
                break;
            }
            width = width.saturating_mul(16).min(wide);
        }
        if let Some(now) = found.take_if(|now| now.cost > least) {
            found = Some(self.tried_again(&plan, &model, now, aim, &mut steps));
        }
        let Priced { cost, assignments } = found?;
        Some(Sought { assignments, cost, at_least: least })
    }

    /// A set of assignments by items, made better by small changes, with its cost.
    fn improved(
        &self,
        plan: &Plan,
        model: &Model,
        given: &List<ItemNo, PlayerNo>,
        aim: Aim<'_>,
        steps: &mut Steps,
    ) -> Priced {
        let mut by_node: List<NodeNo, PlayerNo> = List::filled(PlayerNo(0), model.len());
        for (item, &player) in plan.items.iter().zip(given) {
            by_node[item.node] = player;
        }
        let unfold = |nodes: &List<NodeNo, PlayerNo>| model.unfold(self.problem().lines.len(), nodes);
        let cost = |nodes: &List<NodeNo, PlayerNo>| self.search_cost(&unfold(nodes), aim);
        let cost = improve(model, &mut by_node, aim.players, &cost, steps);
        Priced { cost, assignments: unfold(&by_node) }
    }

    /// A set of assignments with stretches and strands given out anew, where that costs less.
    fn tried_again(
        &self,
        plan: &Plan,
        model: &Model,
        now: Priced,
        aim: Aim<'_>,
        steps: &mut Steps,
    ) -> Priced {
        let player =
            |node: NodeNo| model.members[node].first().and_then(|&line| now.assignments.player(line));
        let given: Option<List<ItemNo, PlayerNo>> = plan.items.iter().map(|item| player(item.node)).collect();
        let Some(players) = given else { return now };
        let start = Given { cost: now.cost, players };
        let better = again(plan, self.weights(), start, aim.effort.width, steps);
        if better.cost >= now.cost {
            return now;
        }
        self.improved(plan, model, &better.players, aim, steps)
    }

    fn weights(&self) -> Weights {
        let w = &self.problem().wishes;
        Weights {
            walk: i64::from(w.walk),
            load: i64::from(w.load),
            exposure: i64::from(w.exposure),
            extra: i64::from(w.extra) * 1000,
        }
    }

    /// What a set of assignments costs when each line costs `own` with each player.
    fn search_cost(&self, assignments: &Assignments, aim: Aim<'_>) -> i64 {
        let sum = |costs: &Costs| -> i64 {
            costs.entries().filter_map(|(c, row)| Some(row[assignments.player(c)?])).sum()
        };
        self.cost(assignments, aim.players).milli_points - sum(aim.usual) + sum(aim.own)
    }
}

/// Works out from the end of the programme backwards what the rest costs at least, from each item on at which
/// that can be said: the best assignments of the rest alone, as if everybody came fresh to it; in a long programme
/// the movement's own optimum plus the lower bound of what follows.
///
/// Walks into the rest, ties to what was before, extras and even shares only add to that. (Verfaillie,
/// Lemaitre and Schiex, "Russian doll search", 1996, is the idea; cited from memory.)
fn look_back(plan: &mut Plan, weights: Weights, wide: usize, steps: &mut Steps) {
    let alone = Weights { load: 0, exposure: 0, extra: 0, ..weights };
    let starts: Vec<ItemNo> = plan.items.entries().filter(|(_, item)| item.fresh).map(|(i, _)| i).collect();
    let count = plan.items.len();
    let whole = starts.len() == count;
    let width = if whole { wide / 6 } else { wide * 60 };
    for (at, &start) in starts.iter().enumerate().rev().filter(|(_, start)| start.0 > 0 || !whole) {
        // Where only some items are fresh, what lies between two of them is small enough to be exact.
        let end = if whole { count } else { starts.get(at + 1).map_or(count, |next| next.0) };
        let laid: &Plan = plan;
        let stretch = |width| Stretch { plan: laid, weights: alone, items: start.0..end, width };
        let quick = stretch(30.min(width)).pass(i64::MAX, steps);
        let ceiling = quick.best.as_ref().map_or(i64::MAX, |best| best.cost);
        // With nothing left out the quick look was the whole answer.
        let rest =
            if quick.left_out.is_some() { stretch(width).pass(ceiling, steps) } else { Pass::default() };
        let least = rest.left_out.map_or(ceiling, |out| out.min(ceiling));
        let better = rest.best.map_or(i64::MAX, |best| best.cost);
        if least.min(better) < i64::MAX {
            plan.raise_rest(start, least.min(better));
        }
    }
}

#[cfg(test)]
mod worked;
