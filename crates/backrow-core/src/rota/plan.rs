//! The programme laid out in time for the best share-out: which call comes when, what it ties to, who walks where.

use super::conflicts::Rota;
use super::model::Model;
use super::plain::{at, bit, put, row};
use super::problem::PassageRef;
use super::seconds::{Spot, way};
use super::wishes::{cheapest, even_share, millimetres};

/// Up to so many items it pays to look back from every one.
const FEW_ITEMS: usize = 32;

/// A call, or calls kept together, in the order of first passages.
#[derive(Debug, Clone, Default)]
pub(super) struct Item {
    /// The node of the model.
    pub(super) node: usize,
    /// The players that may have it.
    pub(super) players: u64,
    /// What each player costs on their own account.
    pub(super) own: Vec<i64>,
    /// Milliseconds played.
    pub(super) load: i64,
    /// Thousandths of exposure.
    pub(super) exposure: i64,
    /// Items before it that may not share its player.
    pub(super) before: Vec<usize>,
    /// Items after it that may not share its player.
    pub(super) after: Vec<usize>,
    /// Earlier items that should have the same player, and what it costs when they do not.
    pub(super) ties: Vec<(usize, i64)>,
    /// Passages, as item and spot, that start before the next item does and not before this one.
    pub(super) timeline: Vec<(usize, usize)>,
    /// Items up to this one that still matter after it.
    pub(super) alive: Vec<usize>,
    /// Players in classes: two are alike when this item and all later ones cost the same with either.
    pub(super) class: Vec<usize>,
    /// The least that this item and all later ones cost.
    pub(super) rest: i64,
    /// Whether the rest from here on can be looked at alone: everything before has ended when this item starts, or
    /// leaving passages out never makes a walk longer.
    pub(super) fresh: bool,
}

/// The programme laid out in time.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    /// The items in order.
    pub(super) items: Vec<Item>,
    /// Millimetres between spots.
    pub(super) walk_mm: Vec<Vec<i64>>,
    /// Players, extras included.
    pub(super) palette: usize,
    /// Players at hand; those from here on are extras.
    pub(super) roster: usize,
    /// The most players that may be used.
    pub(super) most: usize,
    /// Even share of the load.
    pub(super) even_load: i64,
    /// Even share of the exposure.
    pub(super) even_exposure: i64,
    /// Crowds, as items and the most players among them.
    pub(super) crowds: Vec<(Vec<usize>, usize)>,
}

impl Plan {
    /// Lays out the model for at most `most` players; `own` holds what each call costs with each player.
    pub(super) fn new(rota: &Rota, model: &Model, most: usize, own: &[Vec<i64>]) -> Self {
        let onset =
            |node: usize| row(&model.members, node).iter().map(|&c| rota.onset(c)).min().unwrap_or(i64::MAX);
        let mut order: Vec<usize> = (0..model.len()).collect();
        order.sort_by_key(|&n| (onset(n), n));
        let mut item_of = vec![0; model.len()];
        for (item, &node) in order.iter().enumerate() {
            put(&mut item_of, node, item);
        }
        let items: Vec<Item> = order.iter().map(|&n| item(rota, model, n, &item_of, own)).collect();
        let total = |of: fn(&Item) -> i64| items.iter().map(of).sum::<i64>();
        let mut plan = Self {
            even_load: even_share(total(|i| i.load), most),
            even_exposure: even_share(total(|i| i.exposure), most),
            items,
            walk_mm: Vec::new(),
            palette: model.palette,
            roster: rota.problem().players.len(),
            most,
            crowds: model
                .crowds
                .iter()
                .map(|c| (c.nodes.iter().map(|&n| at(&item_of, n)).collect(), c.hands))
                .collect(),
        };
        plan.tie_strands(rota, model, &item_of);
        let starts: Vec<i64> = order.iter().map(|&n| onset(n)).collect();
        let ends = plan.lay_passages(rota, model, &item_of, &starts);
        let mut latest = 0;
        for (index, item) in plan.items.iter_mut().enumerate() {
            item.fresh = latest < index;
            latest = latest.max(at(&ends, index));
        }
        if plan.items.len() <= FEW_ITEMS && plan.keeps_triangles() {
            plan.items.iter_mut().for_each(|i| i.fresh = true);
        }
        plan.mark_alive(&ends);
        plan.classes_and_rest();
        plan
    }

    fn tie_strands(&mut self, rota: &Rota, model: &Model, item_of: &[usize]) {
        let weight = i64::from(rota.problem().wishes.stay) * 1000;
        let mut node_of = vec![0; rota.problem().calls.len()];
        for (node, members) in model.members.iter().enumerate() {
            for &call in members {
                put(&mut node_of, call, node);
            }
        }
        for (a, b) in rota.strand_links() {
            let (a, b) = (at(item_of, at(&node_of, a)), at(item_of, at(&node_of, b)));
            if a != b
                && weight > 0
                && let Some(later) = self.items.get_mut(a.max(b))
            {
                later.ties.push((a.min(b), weight));
            }
        }
    }

    /// Puts every passage after the item that was the last to start by then; says at which item each item's passages end.
    fn lay_passages(&mut self, rota: &Rota, model: &Model, item_of: &[usize], starts: &[i64]) -> Vec<usize> {
        let mut all: Vec<(i64, PassageRef, usize)> = Vec::new();
        for (node, members) in model.members.iter().enumerate() {
            for &call in members {
                for (passage, span) in rota.spans(call).iter().enumerate() {
                    all.push((span.from, PassageRef { call, passage }, at(item_of, node)));
                }
            }
        }
        all.sort_unstable();
        let all_known = rota.problem().calls.iter().flat_map(|c| &c.passages).all(|p| p.place.is_some());
        let mut spots: Vec<Spot> = Vec::new();
        let mut ends = vec![0; self.items.len()];
        for (from, passage, item) in all {
            let Some(spot) = rota.spot(passage) else { continue };
            // With all places known two calls at one place are one spot; otherwise each call is its own.
            let spot = if all_known { Spot { call: 0, ..spot } } else { spot };
            let index = spots.iter().position(|s| *s == spot).unwrap_or_else(|| {
                spots.push(spot);
                spots.len() - 1
            });
            let step = starts.partition_point(|&s| s <= from).saturating_sub(1);
            if let Some(here) = self.items.get_mut(step) {
                here.timeline.push((item, index));
            }
            put(&mut ends, item, step);
        }
        let mm = |a: &Spot, b: &Spot| millimetres(way(rota.problem(), *a, *b).metres);
        self.walk_mm = spots.iter().map(|a| spots.iter().map(|b| mm(a, b)).collect()).collect();
        ends
    }

    /// Whether no way is longer than a way round by another spot; so leaving out what lies between saves nothing.
    fn keeps_triangles(&self) -> bool {
        let rows = &self.walk_mm;
        rows.iter().all(|from| {
            from.iter()
                .zip(rows)
                .all(|(&first, via)| from.iter().zip(via).all(|(&whole, &then)| whole <= first + then))
        })
    }

    fn mark_alive(&mut self, ends: &[usize]) {
        let mut until: Vec<usize> = ends.to_vec();
        for (index, item) in self.items.iter().enumerate() {
            let earlier = item.before.iter().copied().chain(item.ties.iter().map(|&(i, _)| i));
            for other in earlier {
                let later = at(&until, other).max(index);
                put(&mut until, other, later);
            }
        }
        for (crowd, _) in &self.crowds {
            let last = crowd.iter().copied().max().unwrap_or_default();
            for &other in crowd {
                let later = at(&until, other).max(last);
                put(&mut until, other, later);
            }
        }
        for (index, item) in self.items.iter_mut().enumerate() {
            item.alive = (0..=index).filter(|&i| at(&until, i) > index).collect();
        }
    }

    /// Which players are alike from each item on, and what the rest costs at least.
    pub(super) fn classes_and_rest(&mut self) {
        let roster = self.roster;
        let mut class: Vec<usize> = (0..self.palette).map(|p| usize::from(p >= roster)).collect();
        let mut rest = 0;
        for item in self.items.iter_mut().rev() {
            let traits: Vec<(usize, bool, i64)> = class
                .iter()
                .enumerate()
                .map(|(p, &c)| (c, item.players & bit(p) != 0, at(&item.own, p)))
                .collect();
            class = traits.iter().map(|t| traits.iter().position(|u| u == t).unwrap_or_default()).collect();
            rest += cheapest(&item.own, item.players);
            item.class.clone_from(&class);
            item.rest = rest;
        }
    }
}

impl Plan {
    /// Raises what the later items cost at least: `least` for the items from `start` on, a fresh one.
    pub(super) fn raise_rest(&mut self, start: usize, least: i64) {
        let now = self.items.get(start).map_or(0, |i| i.rest);
        let more = (least - now).max(0);
        for item in self.items.iter_mut().take(start + 1) {
            item.rest += more;
        }
    }
}

fn item(rota: &Rota, model: &Model, node: usize, item_of: &[usize], own: &[Vec<i64>]) -> Item {
    let members = row(&model.members, node);
    let me = at(item_of, node);
    let near: Vec<usize> = row(&model.near, node).iter().map(|&n| at(item_of, n)).collect();
    Item {
        node,
        players: at(&model.lists, node),
        own: (0..model.palette).map(|p| members.iter().map(|&c| at(row(own, c), p)).sum()).collect(),
        load: members.iter().map(|&c| rota.load_ms(c)).sum(),
        exposure: members.iter().map(|&c| rota.exposure_milli(c)).sum(),
        before: near.iter().copied().filter(|&n| n < me).collect(),
        after: near.iter().copied().filter(|&n| n > me).collect(),
        ..Item::default()
    }
}
