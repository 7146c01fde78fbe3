//! The best assignments by going through the programme in time.
//!
//! Lines are given out in the order of their first passages. Two half-made assignments that agree on
//! everything that still matters (who holds lines that go on, where everybody stands, who is engaged)
//! have the same future, so only the cheaper one goes on. That is dynamic programming over the frontier
//! of time, and exact while nothing else is left out. When more are alive than `width`, the dearest are
//! left out and the cheapest of those bounds what the optimum could still be.

use super::colour::Steps;
use super::number::{ItemNo, List, PlayerNo, SpotNo};
use super::plan::{Item, Plan, Played};
use super::players::PlayerSet;
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
    /// The best assignments, by items, and its cost; none when all were dearer than asked for. Items before the stretch
    /// have nobody.
    pub(super) best: Option<Cheapest>,
    /// The least that anything left out for want of width or steps could cost.
    pub(super) left_out: Option<i64>,
}

/// The cheapest assignments that a pass found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cheapest {
    /// What they cost, thousandths of a point.
    pub(super) cost: i64,
    /// The players by item.
    pub(super) given: List<ItemNo, Option<PlayerNo>>,
}

/// One pass through a stretch of the programme.
#[derive(Debug, Clone)]
pub(super) struct Stretch<'p> {
    /// The programme.
    pub(super) plan: &'p Plan,
    /// What the wishes weigh.
    pub(super) weights: Weights,
    /// The items, the first of them a fresh one: as if nobody had played before it. The items after the stretch
    /// contribute their lower bound.
    pub(super) items: Range<usize>,
    /// How many half-made assignments are kept beside each other.
    pub(super) width: usize,
}

impl Stretch<'_> {
    /// Passes through once, looking for assignments cheaper than `cheaper_than`.
    pub(super) fn pass(&self, cheaper_than: i64, steps: &mut Steps) -> Pass {
        let Self { plan, weights, width, .. } = *self;
        let mut half = vec![Half::start(plan, self.items.start)];
        let mut left_out: Option<i64> = None;
        let rest = plan.items.find(ItemNo(self.items.end)).map_or(0, |item| item.rest);
        for (index, item) in plan.items.entries().take(self.items.end).skip(self.items.start) {
            let go = Step { plan, weights, index, item };
            let mut next: Vec<Ranked> = Vec::new();
            for one in &half {
                for player in go.choices(one).each() {
                    if !steps.take(plan.items.len() + 8 * plan.player_count) {
                        let least = [left_out, go.least_of(&half)].into_iter().flatten().min();
                        return Pass { best: None, left_out: least };
                    }
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
            .map(|h| Cheapest { cost: h.cost + rest + h.over_cost(plan, weights), given: h.given })
            .filter(|one| one.cost < cheaper_than)
            .min_by(|a, b| a.cost.cmp(&b.cost).then_with(|| a.given.iter().cmp(b.given.iter())));
        Pass { best, left_out }
    }
}

/// A set of assignments of the first lines.
#[derive(Debug, Clone)]
struct Half {
    given: List<ItemNo, Option<PlayerNo>>,
    /// Where each player stands; nowhere yet before their first passage.
    last: List<PlayerNo, Option<SpotNo>>,
    load: List<PlayerNo, i64>,
    exposure: List<PlayerNo, i64>,
    used: PlayerSet,
    cost: i64,
}

impl Half {
    /// Before `start` lines stand as nobody's.
    fn start(plan: &Plan, start: usize) -> Self {
        Self {
            given: List::filled(None, start),
            last: List::filled(None, plan.player_count),
            load: List::filled(0, plan.player_count),
            exposure: List::filled(0, plan.player_count),
            used: PlayerSet::NOBODY,
            cost: 0,
        }
    }

    /// The player of an item; none when it comes later or is left out.
    fn player(&self, item: ItemNo) -> Option<PlayerNo> {
        self.given.find(item).copied().flatten()
    }

    /// What the busiest and the most exposed player cost so far; it can only grow.
    fn over_cost(&self, plan: &Plan, weights: Weights) -> i64 {
        let over = |sums: &[i64], even: i64| (sums.iter().copied().max().unwrap_or_default() - even).max(0);
        load_cost(weights.load, over(&self.load, plan.even_load))
            + weights.exposure * over(&self.exposure, plan.even_exposure)
    }
}

/// A half-made assignments with what it is compared by.
struct Ranked {
    bound: i64,
    key: Vec<usize>,
    /// In the order of the key's players.
    sums: Vec<Sums>,
    half: Half,
}

/// What a player has so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Sums {
    load: i64,
    exposure: i64,
}

/// A player in the key: what decides their future, then what they have so far.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct InKey {
    future: Vec<usize>,
    sums: Sums,
}

struct Step<'p> {
    plan: &'p Plan,
    weights: Weights,
    index: ItemNo,
    item: &'p Item,
}

impl Step<'_> {
    /// The least that any completion of these costs.
    fn least_of(&self, half: &[Half]) -> Option<i64> {
        let bound = |h: &Half| h.cost + self.item.rest + h.over_cost(self.plan, self.weights);
        half.iter().map(bound).min()
    }

    /// The players worth trying: of players alike who have nothing yet, the lowest only.
    fn choices(&self, half: &Half) -> PlayerSet {
        let mut open = self.item.players;
        for player in self.item.before.iter().filter_map(|&other| half.player(other)) {
            open.remove(player);
        }
        if half.used.len() >= self.plan.most {
            open &= half.used;
        }
        for group in self.plan.groups.iter().filter(|c| c.items.contains(&self.index)) {
            let there: PlayerSet = group.items.iter().filter_map(|&i| half.player(i)).collect();
            if there.len() >= group.hands {
                open &= there;
            }
        }
        let mut seen: Vec<usize> = Vec::new();
        open.each()
            .filter(|&player| {
                if half.used.has(player) {
                    return true;
                }
                let class = self.item.class[player];
                let fresh = !seen.contains(&class);
                seen.push(class);
                fresh
            })
            .collect()
    }

    /// The half-made assignments with this item given to the player; none when a later item is left with nobody.
    fn give(&self, half: &Half, player: PlayerNo) -> Option<Half> {
        let mut next = half.clone();
        if !next.used.has(player) && self.plan.extras.has(player) {
            next.cost += self.weights.extra;
        }
        next.used.insert(player);
        next.given.push(Some(player));
        if !self.item.after.iter().all(|&later| self.has_somebody(&next, later)) {
            return None;
        }
        next.load[player] += self.item.load;
        next.exposure[player] += self.item.exposure;
        next.cost += self.item.own[player];
        for tie in &self.item.ties {
            if next.player(tie.to).is_some_and(|who| who != player) {
                next.cost += tie.milli_points;
            }
        }
        for &Played { item, spot } in &self.item.timeline {
            let Some(who) = next.player(item) else { continue };
            if let Some(from) = next.last[who] {
                next.cost += self.weights.walk * self.plan.walk_mm[from][spot];
            }
            next.last[who] = Some(spot);
        }
        Some(next)
    }

    fn has_somebody(&self, half: &Half, later: ItemNo) -> bool {
        let item = &self.plan.items[later];
        let mut open = item.players;
        for player in item.before.iter().filter_map(|&i| half.player(i)) {
            open.remove(player);
        }
        if half.used.len() >= self.plan.most {
            open &= half.used;
        }
        !open.is_empty()
    }

    /// Players are written into the key as what they hold and where they stand, sorted, so that two
    /// half-made assignments that differ only in names of players alike are the same.
    fn rank(&self, half: Half) -> Ranked {
        let next = self.plan.items.find(ItemNo(self.index.0 + 1));
        let rest = next.map_or(0, |i| i.rest);
        let mut players: Vec<InKey> = half
            .last
            .entries()
            .map(|(p, last)| {
                let stands = last.filter(|_| self.weights.walk > 0).map_or(0, |spot| spot.0 + 1);
                let class = next.map_or(0, |i| i.class[p]);
                let mut own = vec![class, usize::from(half.used.has(p)), stands];
                own.extend(self.item.alive.iter().filter(|&&i| half.player(i) == Some(p)).map(|i| i.0 + 1));
                own.push(usize::MAX);
                InKey { future: own, sums: Sums { load: half.load[p], exposure: half.exposure[p] } }
            })
            .collect();
        players.sort_unstable();
        let sums = players.iter().map(|one| one.sums).collect();
        let key = players.into_iter().flat_map(|one| one.future).collect();
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
    let load = pairs().map(|(x, y)| x.load - y.load).max().unwrap_or_default().max(0);
    let exposure = pairs().map(|(x, y)| x.exposure - y.exposure).max().unwrap_or_default().max(0);
    let price = if weights.load > 0 && load > 0 { load_cost(weights.load, load) + 1 } else { 0 };
    a.half.cost + price + weights.exposure * exposure <= b.half.cost
}

#[cfg(test)]
mod worked;
