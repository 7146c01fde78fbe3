//! The programme laid out in time for the best assignments: which line comes when, what it ties to, who walks where.

use super::conflicts::Rota;
use super::model::Model;
use super::number::{ItemNo, LineNo, List, NodeNo, PlayerNo, SpotNo};
use super::players::PlayerSet;
use super::problem::PassageRef;
use super::seconds::Spot;
use super::wishes::{Costs, cheapest, even_share, millimetres};

/// Up to so many items it pays to look back from every one.
const FEW_ITEMS: usize = 32;

/// A line, or lines kept together, in the order of first passages.
#[derive(Debug, Clone)]
pub(super) struct Item {
    /// The node of the model.
    pub(super) node: NodeNo,
    /// The players that may have it.
    pub(super) players: PlayerSet,
    /// What each player costs on their own account.
    pub(super) own: List<PlayerNo, i64>,
    /// Milliseconds played.
    pub(super) load: i64,
    /// Thousandths of exposure.
    pub(super) exposure: i64,
    /// Items before it that may not share its player.
    pub(super) before: Vec<ItemNo>,
    /// Items after it that may not share its player.
    pub(super) after: Vec<ItemNo>,
    /// Earlier items that should have the same player, and what it costs when they do not.
    pub(super) ties: Vec<Tie>,
    /// Passages that start before the next item does and not before this one.
    pub(super) timeline: Vec<Played>,
    /// Items up to this one that still matter after it.
    pub(super) alive: Vec<ItemNo>,
    /// Players in classes: two are alike when this item and all later ones cost the same with either.
    pub(super) class: List<PlayerNo, usize>,
    /// The least that this item and all later ones cost.
    pub(super) rest: i64,
    /// Whether the rest from here on can be looked at alone. That is sound in two cases: when everything before has ended
    /// as this item starts, so that nothing before binds the rest; and when no way is longer than a way round by another
    /// spot, so that leaving out the passages before never makes a walk of the rest longer.
    pub(super) fresh: bool,
}

/// An earlier item that should have the same player.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tie {
    /// The item.
    pub(super) to: ItemNo,
    /// What it costs when it has another player.
    pub(super) milli_points: i64,
}

/// A passage that is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Played {
    /// By the player of this item.
    pub(super) item: ItemNo,
    /// Where.
    pub(super) spot: SpotNo,
}

/// What tells players apart at an item.
#[derive(PartialEq)]
struct Traits {
    /// Their class at the next item.
    class: usize,
    may_have_it: bool,
    own_cost: i64,
}

/// Items of which no more than `hands` players may be among at once.
#[derive(Debug, Clone)]
pub(super) struct CapacityGroup {
    /// The items.
    pub(super) items: Vec<ItemNo>,
    /// The most players.
    pub(super) hands: usize,
}

/// The programme laid out in time.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    /// The items in order.
    pub(super) items: List<ItemNo, Item>,
    /// Millimetres between spots.
    pub(super) walk_mm: List<SpotNo, List<SpotNo, i64>>,
    /// Players, extras included.
    pub(super) player_count: usize,
    /// Those of them who are extras.
    pub(super) extras: PlayerSet,
    /// The most players that may be used.
    pub(super) most: usize,
    /// Even share of the load.
    pub(super) even_load: i64,
    /// Even share of the exposure.
    pub(super) even_exposure: i64,
    /// Crowds.
    pub(super) groups: Vec<CapacityGroup>,
}

impl Plan {
    /// Lays out the model for at most `most` players; `own` holds what each line costs with each player.
    pub(super) fn new(rota: &Rota, model: &Model, most: usize, own: &Costs) -> Self {
        let onset =
            |node: NodeNo| model.members[node].iter().map(|&c| rota.onset(c)).min().unwrap_or(i64::MAX);
        let mut order: List<ItemNo, NodeNo> = model.members.numbers().collect();
        order.sort_by_key(|&n| (onset(n), n));
        let mut item_of: List<NodeNo, ItemNo> = List::filled(ItemNo(0), model.len());
        for (item, &node) in order.entries() {
            item_of[node] = item;
        }
        let items: List<ItemNo, Item> = order.iter().map(|&n| item(rota, model, n, &item_of, own)).collect();
        let total = |of: fn(&Item) -> i64| items.iter().map(of).sum::<i64>();
        let group = |c: &super::model::CapacityGroup| CapacityGroup {
            items: c.nodes.iter().map(|&n| item_of[n]).collect(),
            hands: c.hands,
        };
        let mut plan = Self {
            even_load: even_share(total(|i| i.load), most),
            even_exposure: even_share(total(|i| i.exposure), most),
            items,
            walk_mm: List::new(),
            player_count: model.player_count,
            extras: (0..model.player_count).map(PlayerNo).filter(|&p| rota.problem().is_extra(p)).collect(),
            most,
            groups: model.groups.iter().map(group).collect(),
        };
        plan.tie_strands(rota, model, &item_of);
        let starts: List<ItemNo, i64> = order.iter().map(|&n| onset(n)).collect();
        let ends = plan.lay_passages(rota, model, &item_of, &starts);
        let mut latest = ItemNo(0);
        for (index, item) in plan.items.entries_mut() {
            item.fresh = latest < index;
            latest = latest.max(ends[index]);
        }
        if plan.items.len() <= FEW_ITEMS && plan.keeps_triangles() {
            plan.items.iter_mut().for_each(|i| i.fresh = true);
        }
        plan.mark_alive(&ends);
        plan.classes_and_rest();
        plan
    }

    fn tie_strands(&mut self, rota: &Rota, model: &Model, item_of: &List<NodeNo, ItemNo>) {
        let mut item_of_line: List<LineNo, ItemNo> = List::filled(ItemNo(0), rota.problem().lines.len());
        for (node, members) in model.members.entries() {
            for &line in members {
                item_of_line[line] = item_of[node];
            }
        }
        for link in rota.links() {
            let (a, b) = (item_of_line[link.a], item_of_line[link.b]);
            if a != b && link.milli_points > 0 {
                self.items[a.max(b)].ties.push(Tie { to: a.min(b), milli_points: link.milli_points });
            }
        }
    }

    /// Puts every passage after the item that was the last to start by then; says at which item each item's passages end.
    ///
    /// Items that start at 0, 10 and 20 s: a passage of the first that starts at 12 s is put after the second, and
    /// if it is its last one, the first ends at the second.
    fn lay_passages(
        &mut self,
        rota: &Rota,
        model: &Model,
        item_of: &List<NodeNo, ItemNo>,
        starts: &List<ItemNo, i64>,
    ) -> List<ItemNo, ItemNo> {
        let mut all: Vec<(i64, PassageRef, ItemNo)> = Vec::new();
        for (node, members) in model.members.entries() {
            for &line in members {
                for (passage, span) in rota.spans(line).entries() {
                    all.push((span.from, PassageRef { line, passage }, item_of[node]));
                }
            }
        }
        all.sort_unstable();
        let all_known = rota.problem().needs.is_none()
            && rota.problem().lines.iter().flat_map(|c| &c.passages).all(|p| p.place.is_some());
        let mut spots: List<SpotNo, Spot> = List::new();
        let mut ends = List::filled(ItemNo(0), self.items.len());
        for (from, passage, item) in all {
            let Some(spot) = rota.spot(passage) else { continue };
            // With all places known two lines at one place are one spot; otherwise each line is its own.
            let spot = if all_known { Spot { line: LineNo(0), ..spot } } else { spot };
            let known = spots.entries().find(|(_, s)| **s == spot).map(|(number, _)| number);
            let spot = known.unwrap_or_else(|| spots.push(spot));
            let step = ItemNo(starts.partition_point(|&s| s <= from).saturating_sub(1));
            self.items[step].timeline.push(Played { item, spot });
            ends[item] = step;
        }
        let mm = |a: &Spot, b: &Spot| millimetres(rota.metres(*a, *b));
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

    fn mark_alive(&mut self, ends: &List<ItemNo, ItemNo>) {
        let mut until = ends.clone();
        for (index, item) in self.items.entries() {
            let earlier = item.before.iter().copied().chain(item.ties.iter().map(|tie| tie.to));
            for other in earlier {
                until[other] = until[other].max(index);
            }
        }
        for group in &self.groups {
            for &other in &group.items {
                until[other] = group.items.iter().copied().fold(until[other], ItemNo::max);
            }
        }
        let mut alive: Vec<ItemNo> = Vec::new();
        for (index, item) in self.items.entries_mut() {
            alive.push(index);
            alive.retain(|&i| until[i] > index);
            item.alive.clone_from(&alive);
        }
    }

    /// Which players are alike from each item on, and what the rest costs at least.
    pub(super) fn classes_and_rest(&mut self) {
        let mut class: List<PlayerNo, usize> =
            List::made(self.player_count, |p: PlayerNo| usize::from(self.extras.has(p)));
        let mut rest = 0;
        for item in self.items.iter_mut().rev() {
            let of = |(p, &class): (PlayerNo, &usize)| Traits {
                class,
                may_have_it: item.players.has(p),
                own_cost: item.own[p],
            };
            let traits: Vec<Traits> = class.entries().map(of).collect();
            class = traits.iter().map(|t| traits.iter().position(|u| u == t).unwrap_or_default()).collect();
            rest += cheapest(&item.own, item.players);
            item.class.clone_from(&class);
            item.rest = rest;
        }
    }

    /// Raises what the later items cost at least: `least` for the items from `start` on, a fresh one.
    pub(super) fn raise_rest(&mut self, start: ItemNo, least: i64) {
        let more = (least - self.items[start].rest).max(0);
        for item in self.items.iter_mut().take(start.0 + 1) {
            item.rest += more;
        }
    }
}

fn item(rota: &Rota, model: &Model, node: NodeNo, item_of: &List<NodeNo, ItemNo>, own: &Costs) -> Item {
    let members = &model.members[node];
    let me = item_of[node];
    let near: Vec<ItemNo> = model.near[node].iter().map(|&n| item_of[n]).collect();
    Item {
        node,
        players: model.lists[node],
        own: List::made(model.player_count, |p| members.iter().map(|&c| own[c][p]).sum()),
        load: members.iter().map(|&c| rota.load_ms(c)).sum(),
        exposure: members.iter().map(|&c| rota.exposure_milli(c)).sum(),
        before: near.iter().copied().filter(|&n| n < me).collect(),
        after: near.iter().copied().filter(|&n| n > me).collect(),
        ties: Vec::new(),
        timeline: Vec::new(),
        alive: Vec::new(),
        class: List::new(),
        rest: 0,
        fresh: false,
    }
}

#[cfg(test)]
mod worked;
