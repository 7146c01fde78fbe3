//! The best share-out by going through the programme in time.
//!
//! Calls are given out in the order of their first passages. Two half-made share-outs that agree on
//! everything that still matters (who holds calls that go on, where everybody stands, who is engaged)
//! have the same future, so only the cheaper one goes on. That is dynamic programming over the frontier
//! of time, and exact while nothing else is left out. When more are alive than `width`, the dearest are
//! left out and the cheapest of those bounds what the optimum could still be.

use super::plain::{at, bit, each, put, row, size};
use super::plan::{Item, Plan};
use super::wishes::load_cost;
use std::ops::Range;

/// Weights that are not in the plan: thousandths of a point a millimetre walked, and so on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weights {
    /// A millimetre walked.
    pub(super) walk: i64,
    /// A minute above the even share, in points.
    pub(super) load: i64,
    /// A thousandth of exposure above the even share.
    pub(super) exposure: i64,
    /// An extra engaged.
    pub(super) extra: i64,
}

/// What one pass through the programme found.
#[derive(Debug, Clone, Default)]
pub(super) struct Pass {
    /// The best share-out, by items, and its cost; none when all were dearer than asked for.
    pub(super) best: Option<(i64, Vec<usize>)>,
    /// The least that anything left out for want of width could cost.
    pub(super) left_out: Option<i64>,
}

/// Passes through the programme once from a fresh item on, as if nobody had played before it, looking for
/// share-outs cheaper than `cheaper_than`. The items from the end of the stretch on count with the least that they
/// are known to cost.
pub(super) fn pass(
    plan: &Plan,
    weights: Weights,
    (stretch, width): (Range<usize>, usize),
    cheaper_than: i64,
) -> Pass {
    let mut half = vec![Half::start(plan, stretch.start)];
    let mut left_out: Option<i64> = None;
    let rest = plan.items.get(stretch.end).map_or(0, |item| item.rest);
    for (index, item) in plan.items.iter().enumerate().take(stretch.end).skip(stretch.start) {
        let go = Step { plan, weights, index, item };
        let mut next: Vec<Ranked> = Vec::new();
        for one in &half {
            for player in each(go.choices(one)) {
                let ranked = go.give(one, player).map(|h| go.rank(h)).filter(|r| r.bound < cheaper_than);
                next.extend(ranked);
            }
        }
        let mut kept = drop_dominated(next, weights);
        if kept.len() > width {
            kept.sort_by_key(|r| r.bound);
            let cheapest_out = kept.get(width).map(|r| r.bound);
            left_out = [left_out, cheapest_out].into_iter().flatten().min();
            kept.truncate(width);
        }
        half = kept.into_iter().map(|r| r.half).collect();
    }
    let best = half
        .into_iter()
        .map(|h| (h.cost + rest + h.over_cost(plan, weights), h.given))
        .filter(|&(cost, _)| cost < cheaper_than)
        .min();
    Pass { best, left_out }
}

/// Stands for the player of a call that a pass leaves out; not the number of any player.
const NOBODY: usize = usize::MAX;

/// A share-out of the first calls.
#[derive(Debug, Clone)]
struct Half {
    given: Vec<usize>,
    /// Where each player stands: a spot and one, or 0 for nowhere yet.
    last: Vec<usize>,
    load: Vec<i64>,
    exposure: Vec<i64>,
    used: u64,
    cost: i64,
}

impl Half {
    /// Before `start` calls stand as nobody's.
    fn start(plan: &Plan, start: usize) -> Self {
        Self {
            given: vec![NOBODY; start],
            last: vec![0; plan.palette],
            load: vec![0; plan.palette],
            exposure: vec![0; plan.palette],
            used: 0,
            cost: 0,
        }
    }

    /// What the busiest and the most exposed player cost so far; it can only grow.
    fn over_cost(&self, plan: &Plan, weights: Weights) -> i64 {
        let over = |sums: &[i64], even: i64| (sums.iter().copied().max().unwrap_or_default() - even).max(0);
        load_cost(weights.load, over(&self.load, plan.even_load))
            + weights.exposure * over(&self.exposure, plan.even_exposure)
    }
}

/// A half-made share-out with what it is compared by.
struct Ranked {
    bound: i64,
    key: Vec<usize>,
    /// Loads and exposures in the order of the key's players.
    sums: Vec<(i64, i64)>,
    half: Half,
}

struct Step<'p> {
    plan: &'p Plan,
    weights: Weights,
    index: usize,
    item: &'p Item,
}

impl Step<'_> {
    /// The players worth trying: of players alike who have nothing yet, the lowest only.
    fn choices(&self, half: &Half) -> u64 {
        let mut open = self.item.players;
        for &other in &self.item.before {
            open &= !bit(at(&half.given, other));
        }
        if size(half.used) >= self.plan.most {
            open &= half.used;
        }
        for (crowd, hands) in self.plan.crowds.iter().filter(|(c, _)| c.contains(&self.index)) {
            let there = crowd.iter().filter_map(|&i| half.given.get(i)).fold(0, |set, &p| set | bit(p));
            if size(there) >= *hands {
                open &= there;
            }
        }
        let mut seen: Vec<usize> = Vec::new();
        each(open)
            .filter(|&p| {
                if half.used & bit(p) != 0 {
                    return true;
                }
                let class = at(&self.item.class, p);
                let fresh = !seen.contains(&class);
                seen.push(class);
                fresh
            })
            .fold(0, |set, p| set | bit(p))
    }

    /// The half-made share-out with this item given to the player; none when a later item is left with nobody.
    fn give(&self, half: &Half, player: usize) -> Option<Half> {
        let mut next = half.clone();
        if next.used & bit(player) == 0 && player >= self.plan.roster {
            next.cost += self.weights.extra;
        }
        next.used |= bit(player);
        next.given.push(player);
        if !self.item.after.iter().all(|&later| self.has_somebody(&next, later)) {
            return None;
        }
        put(&mut next.load, player, at(&half.load, player) + self.item.load);
        put(&mut next.exposure, player, at(&half.exposure, player) + self.item.exposure);
        next.cost += at(&self.item.own, player);
        for &(other, cost) in &self.item.ties {
            let who = at(&next.given, other);
            next.cost += if who == player || who == NOBODY { 0 } else { cost };
        }
        for &(item, spot) in &self.item.timeline {
            let who = at(&next.given, item);
            if let Some(from) = at(&next.last, who).checked_sub(1) {
                next.cost += self.weights.walk * at(row(&self.plan.walk_mm, from), spot);
            }
            put(&mut next.last, who, spot + 1);
        }
        Some(next)
    }

    fn has_somebody(&self, half: &Half, later: usize) -> bool {
        let Some(item) = self.plan.items.get(later) else { return true };
        let mut open = item.players;
        for player in item.before.iter().filter_map(|&i| half.given.get(i)) {
            open &= !bit(*player);
        }
        if size(half.used) >= self.plan.most {
            open &= half.used;
        }
        open != 0
    }

    /// Players are written into the key as what they hold and where they stand, sorted, so that two
    /// half-made share-outs that differ only in names of players alike are the same.
    fn rank(&self, half: Half) -> Ranked {
        let next = self.plan.items.get(self.index + 1);
        let class = next.map_or(&[][..], |i| i.class.as_slice());
        let rest = next.map_or(0, |i| i.rest);
        let mut players: Vec<(Vec<usize>, (i64, i64))> = (0..self.plan.palette)
            .map(|p| {
                let stands = if self.weights.walk > 0 { at(&half.last, p) } else { 0 };
                let mut own = vec![at(class, p), usize::from(half.used & bit(p) != 0), stands];
                own.extend(self.item.alive.iter().filter(|&&i| at(&half.given, i) == p).map(|&i| i + 1));
                own.push(usize::MAX);
                (own, (at(&half.load, p), at(&half.exposure, p)))
            })
            .collect();
        players.sort_unstable();
        let sums = players.iter().map(|&(_, s)| s).collect();
        let key = players.into_iter().flat_map(|(own, _)| own).collect();
        Ranked { bound: half.cost + rest + half.over_cost(self.plan, self.weights), key, sums, half }
    }
}

/// Keeps, of those with the same future, the ones that no other can replace.
///
/// One can replace another when it is cheaper even after paying for the most that any player has more load
/// or exposure: the busiest player of any completion is busier by no more than that.
fn drop_dominated(mut all: Vec<Ranked>, weights: Weights) -> Vec<Ranked> {
    all.sort_by(|a, b| a.key.cmp(&b.key).then(a.half.cost.cmp(&b.half.cost)).then(a.bound.cmp(&b.bound)));
    let mut kept: Vec<Ranked> = Vec::new();
    let mut group = 0;
    for one in all {
        if kept.get(group).is_none_or(|k| k.key != one.key) {
            group = kept.len();
        }
        let replaced = kept.iter().skip(group).take(24).any(|k| replaces(k, &one, weights));
        if !replaced {
            kept.push(one);
        }
    }
    kept
}

fn replaces(a: &Ranked, b: &Ranked, weights: Weights) -> bool {
    let pairs = || a.sums.iter().zip(&b.sums);
    let load = pairs().map(|(x, y)| x.0 - y.0).max().unwrap_or_default().max(0);
    let exposure = pairs().map(|(x, y)| x.1 - y.1).max().unwrap_or_default().max(0);
    let price = if weights.load > 0 && load > 0 { load_cost(weights.load, load) + 1 } else { 0 };
    a.half.cost + price + weights.exposure * exposure <= b.half.cost
}
