//! The best share-out among so many players, and the repair that changes least.

use super::again::again;
use super::conflicts::Rota;
use super::fewest::Effort;
use super::frontier::{Pass, Weights, pass};
use super::improve::improve;
use super::model::{Model, Scope};
use super::plain::put;
use super::plan::Plan;
use super::problem::ShareOut;
use super::wishes::Cost;

/// The calls of a large programme, which [`Effort::width`] is measured by.
const USUAL_CALLS: usize = 60;

/// A share-out that costs the wishes least, as far as was searched.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Best {
    /// The share-out.
    pub share_out: ShareOut,
    /// What it costs, wish by wish.
    pub cost: Cost,
    /// No share-out of that size costs less than this, in thousandths of a point.
    pub at_least_milli_points: i64,
}

impl Best {
    /// Whether it is proved that none costs less.
    pub fn proved(&self) -> bool {
        self.at_least_milli_points >= self.cost.milli_points
    }

    /// By how many points a better one could still be better.
    pub fn gap_points(&self) -> f64 {
        (self.cost.milli_points - self.at_least_milli_points).max(0) as f64 / 1000.0
    }
}

impl Rota {
    /// The best share-out among at most `players` players; `None` when none was found.
    ///
    /// `start` is a share-out to beat, such as the one that came with the fewest players; a start that
    /// breaks a rule or uses more players is not looked at.
    pub fn best(&self, players: usize, start: Option<&ShareOut>, effort: Effort) -> Option<Best> {
        self.best_with(players, start, effort, &self.own_costs()).map(|(share_out, least, dear)| {
            let cost = self.cost(&share_out, players);
            debug_assert_eq!(cost.milli_points, dear, "the search and the sums agree");
            Best { share_out, cost, at_least_milli_points: least }
        })
    }

    /// The best share-out with other costs of each call with each player: it, the bound and its cost in the search.
    pub(super) fn best_with(
        &self,
        players: usize,
        start: Option<&ShareOut>,
        effort: Effort,
        own: &[Vec<i64>],
    ) -> Option<(ShareOut, i64, i64)> {
        let model = Model::new(self, &Scope::whole(self), self.problem().palette());
        if model.broken {
            return None;
        }
        let mut plan = Plan::new(self, &model, players, own);
        let weights = self.weights();
        let wide = effort.width.saturating_mul((USUAL_CALLS / plan.items.len().max(1)).clamp(1, 8));
        look_back(&mut plan, weights, (wide / 6, wide * 60));
        let start =
            start.filter(|s| s.used().len() <= players && super::check::faults(self.problem(), s).is_empty());
        let mut found = start.map(|s| (self.search_cost(s, players, own), s.clone()));
        let mut least = 0;
        let mut width = 30.min(wide);
        loop {
            let ceiling = found.as_ref().map_or(i64::MAX, |&(cost, _)| cost);
            let pass = pass(&plan, weights, (0..plan.items.len(), width), ceiling);
            if let Some((_, given)) = pass.best {
                found = Some(self.improved(&plan, &model, &given, (players, own)));
            }
            let cost = found.as_ref().map_or(i64::MAX, |&(cost, _)| cost);
            least = least.max(pass.left_out.map_or(cost, |out| out.min(cost)));
            if least >= cost || width >= wide {
                break;
            }
            width = width.saturating_mul(16).min(wide);
        }
        if let Some((cost, share_out)) = found.take_if(|(cost, _)| *cost > least) {
            found = Some(self.tried_again(&plan, &model, (cost, &share_out), effort, (players, own)));
        }
        let (cost, share_out) = found?;
        debug_assert_eq!(super::check::faults(self.problem(), &share_out), Vec::<String>::new());
        Some((share_out, least, cost))
    }

    /// A share-out by items, made better by small changes, with its cost.
    fn improved(
        &self,
        plan: &Plan,
        model: &Model,
        given: &[usize],
        (players, own): (usize, &[Vec<i64>]),
    ) -> (i64, ShareOut) {
        let mut by_node = vec![0; model.len()];
        for (item, &player) in plan.items.iter().zip(given) {
            put(&mut by_node, item.node, player);
        }
        let unfold = |nodes: &[usize]| ShareOut { players: model.unfold(self.problem().calls.len(), nodes) };
        let cost =
            improve(model, &mut by_node, players, &|nodes| self.search_cost(&unfold(nodes), players, own));
        (cost, unfold(&by_node))
    }

    /// A share-out with stretches and strands given out anew, where that costs less.
    fn tried_again(
        &self,
        plan: &Plan,
        model: &Model,
        (cost, share_out): (i64, &ShareOut),
        effort: Effort,
        (players, own): (usize, &[Vec<i64>]),
    ) -> (i64, ShareOut) {
        let player = |item: &super::plan::Item| {
            let call = model.members.get(item.node).and_then(|members| members.first());
            call.and_then(|&call| share_out.player(call)).unwrap_or_default()
        };
        let given: Vec<usize> = plan.items.iter().map(player).collect();
        let (better, given) = again(plan, self.weights(), (cost, given), effort.width);
        if better >= cost {
            return (cost, share_out.clone());
        }
        let (better, share_out) = self.improved(plan, model, &given, (players, own));
        debug_assert!(better < cost, "the search and the sums agree");
        (better, share_out)
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

    /// What a share-out costs when each call costs `own` with each player.
    fn search_cost(&self, share_out: &ShareOut, players: usize, own: &[Vec<i64>]) -> i64 {
        let usual = self.own_costs();
        let sum = |costs: &[Vec<i64>]| -> i64 {
            let pairs = costs.iter().enumerate().filter_map(|(c, row)| row.get(share_out.player(c)?));
            pairs.sum()
        };
        self.cost(share_out, players).milli_points - sum(&usual) + sum(own)
    }
}

/// Works out from the end of the programme backwards what the rest costs at least, from each item on at which
/// that can be said: the best share-out of the rest alone, as if everybody came fresh to it; in a long programme that of
/// the movement alone and the least that what follows it costs.
///
/// Walks into the rest, ties to what was before, extras and even shares only add to that. (Verfaillie,
/// Lemaitre and Schiex, "Russian doll search", 1996, is the idea; cited from memory.)
fn look_back(plan: &mut Plan, weights: Weights, (narrow, wide): (usize, usize)) {
    let alone = Weights { load: 0, exposure: 0, extra: 0, ..weights };
    let starts: Vec<usize> =
        plan.items.iter().enumerate().filter(|(_, item)| item.fresh).map(|(i, _)| i).collect();
    let count = plan.items.len();
    let whole = starts.len() == count;
    let width = if whole { narrow } else { wide };
    for (at, &start) in starts.iter().enumerate().rev().filter(|(_, start)| **start > 0 || !whole) {
        // Where only some items are fresh, what lies between two of them is small enough to be exact.
        let end = if whole { count } else { starts.get(at + 1).copied().unwrap_or(count) };
        let quick = pass(plan, alone, (start..end, 30.min(width)), i64::MAX);
        let ceiling = quick.best.as_ref().map_or(i64::MAX, |&(cost, _)| cost);
        // With nothing left out the quick look was the whole answer.
        let rest = if quick.left_out.is_some() {
            pass(plan, alone, (start..end, width), ceiling)
        } else {
            Pass::default()
        };
        let least = rest.left_out.map_or(ceiling, |out| out.min(ceiling));
        let better = rest.best.map_or(i64::MAX, |(cost, _)| cost);
        if least.min(better) < i64::MAX {
            plan.raise_rest(start, least.min(better));
        }
    }
}
