//! Can these nodes be given players from this set? Exact, by search with forward checks.
//!
//! The node with the fewest players left goes first (Brelaz, "New methods to color the vertices of a
//! graph", 1979: largest saturation first; cited from memory), players that are alike are tried once,
//! and a node left with nobody ends the branch at once.

use super::model::Model;
use super::number::{List, NodeNo, PlayerNo};
use super::players::PlayerSet;
use crate::halt::Halt;

/// Steps that a search may still take. The core has no clock, so effort is counted.
#[derive(Debug, Clone)]
pub(super) struct Steps {
    left: u64,
    /// How many there were.
    of: u64,
    /// How many more are taken before it is asked whether to go on.
    unasked: u32,
    halt: Halt,
}

/// So many steps are taken between two looks at whether the answer is still wanted.
const A_LOOK: u32 = 16;

/// So many things can be looked at in one step.
const A_STEP: u64 = 64;

impl Steps {
    /// So many, until the search is ended from outside.
    pub(super) const fn until(left: u64, halt: Halt) -> Self {
        Self { left, of: left, unasked: 0, halt }
    }

    /// How many are left.
    pub(super) const fn left(&self) -> u64 {
        self.left
    }

    /// Half of what is left, for a first look.
    pub(super) fn half(&self) -> Self {
        Self { left: self.left / 2, of: self.left / 2, ..self.clone() }
    }

    /// Takes a step that looks at so many things, which counts for more the more they are; false when none is left.
    pub(super) fn take(&mut self, things: usize) -> bool {
        match self.unasked.checked_sub(1) {
            Some(unasked) => self.unasked = unasked,
            None if self.halt.is_asked_after(self.of - self.left, self.of) => self.left = 0,
            None => self.unasked = A_LOOK,
        }
        let left = self.left > 0;
        self.left = self.left.saturating_sub(1 + things as u64 / A_STEP);
        left
    }
}

/// What a search found out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Verdict {
    /// Yes, with a player for each node asked about, in their order.
    Yes(Vec<PlayerNo>),
    /// No, proven.
    No,
    /// The steps ran out.
    Unknown,
}

/// Gives each of `nodes` a player out of `set`, if that can be done. Nodes outside `nodes` are not looked at.
pub(super) fn colour(model: &Model, nodes: &[NodeNo], set: PlayerSet, steps: &mut Steps) -> Verdict {
    let Some(mut search) = Search::new(model, nodes, set) else { return Verdict::No };
    let mut stack: Vec<Frame> = Vec::with_capacity(nodes.len());
    loop {
        let Some(node) = search.pick() else {
            return Verdict::Yes(nodes.iter().filter_map(|&n| search.player[n]).collect());
        };
        stack.push(Frame { node, left: search.choices(node), mark: search.trail.len(), tried: false });
        loop {
            let Some(top) = stack.last_mut() else { return Verdict::No };
            if top.tried {
                search.undo(top.node, top.mark);
                top.tried = false;
            }
            let Some(player) = top.left.lowest() else {
                stack.pop();
                continue;
            };
            top.left.remove(player);
            if !steps.take(nodes.len()) {
                return Verdict::Unknown;
            }
            top.tried = true;
            if search.assign(top.node, player) {
                break;
            }
        }
    }
}

struct Frame {
    node: NodeNo,
    left: PlayerSet,
    mark: usize,
    tried: bool,
}

struct Search<'m> {
    model: &'m Model,
    nodes: &'m [NodeNo],
    /// The players left to each node.
    left: List<NodeNo, PlayerSet>,
    /// The player of each node.
    player: List<NodeNo, Option<PlayerNo>>,
    /// How many nodes each player has.
    count: List<PlayerNo, usize>,
    /// Players that are alike, as sets.
    alike: Vec<PlayerSet>,
    /// What was taken from `left`, to be given back.
    trail: Vec<(NodeNo, PlayerNo)>,
}

impl<'m> Search<'m> {
    fn new(model: &'m Model, nodes: &'m [NodeNo], set: PlayerSet) -> Option<Self> {
        let mut left = List::filled(PlayerSet::NOBODY, model.len());
        for &node in nodes {
            let here = model.lists[node] & set;
            if here.is_empty() {
                return None;
            }
            left[node] = here;
        }
        Some(Self {
            model,
            nodes,
            left,
            player: List::filled(None, model.len()),
            count: List::filled(0, model.player_count),
            alike: alike(model, nodes, set),
            trail: Vec::new(),
        })
    }

    /// The open node with the fewest players left, and among those the one with the most neighbours.
    fn pick(&self) -> Option<NodeNo> {
        let open = self.nodes.iter().copied().filter(|&n| self.player[n].is_none());
        open.min_by_key(|&n| (self.left[n].len(), usize::MAX - self.model.near[n].len()))
    }

    /// The players worth trying for a node: of players alike who have nothing yet, the lowest only.
    fn choices(&self, node: NodeNo) -> PlayerSet {
        let left = self.left[node];
        let mut worth = PlayerSet::NOBODY;
        for &class in &self.alike {
            let mut fresh = false;
            for player in (class & left).each() {
                if self.count[player] > 0 {
                    worth.insert(player);
                } else if !fresh {
                    fresh = true;
                    worth.insert(player);
                }
            }
        }
        for &group in &self.model.groups_of[node] {
            let group = &self.model.groups[group];
            let there: PlayerSet = group.nodes.iter().filter_map(|&n| self.player[n]).collect();
            if there.len() >= group.hands {
                worth &= there;
            }
        }
        worth
    }

    /// Gives the node the player; false when that leaves a neighbour with nobody.
    fn assign(&mut self, node: NodeNo, player: PlayerNo) -> bool {
        self.player[node] = Some(player);
        self.count[player] += 1;
        for &other in &self.model.near[node] {
            if self.left[other].has(player) && self.player[other].is_none() {
                self.left[other].remove(player);
                self.trail.push((other, player));
                if self.left[other].is_empty() {
                    return false;
                }
            }
        }
        true
    }

    fn undo(&mut self, node: NodeNo, mark: usize) {
        if let Some(player) = self.player[node].take() {
            self.count[player] -= 1;
        }
        while self.trail.len() > mark {
            if let Some((other, player)) = self.trail.pop() {
                self.left[other].insert(player);
            }
        }
    }
}

/// The players of `set` in classes: two are alike when the same nodes may have them.
pub(super) fn alike(model: &Model, nodes: &[NodeNo], set: PlayerSet) -> Vec<PlayerSet> {
    let mut classes: Vec<PlayerSet> = vec![set];
    for &node in nodes {
        let list = model.lists[node];
        if classes.iter().all(|&c| (c & list).is_empty() || c.is_within(list)) {
            continue;
        }
        classes = classes.iter().flat_map(|&c| [c & list, c - list]).filter(|c| !c.is_empty()).collect();
    }
    classes.retain(|c| !c.is_empty());
    classes.sort_unstable_by_key(|c| c.lowest());
    classes
}

/// The nodes in pieces that have nothing to do with each other, players aside.
pub(super) fn pieces(model: &Model) -> Vec<Vec<NodeNo>> {
    let mut seen = List::filled(false, model.len());
    let mut out = Vec::new();
    for start in model.members.numbers() {
        if seen[start] {
            continue;
        }
        seen[start] = true;
        let mut piece = vec![start];
        let mut next = 0;
        while let Some(&node) = piece.get(next) {
            next += 1;
            let groups = model.groups_of[node].iter().flat_map(|&c| &model.groups[c].nodes);
            for &other in model.near[node].iter().chain(groups) {
                if !seen[other] {
                    seen[other] = true;
                    piece.push(other);
                }
            }
        }
        out.push(piece);
    }
    out
}

#[cfg(test)]
mod worked;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_counts_one_and_more_the_more_it_looks_at() {
        let mut few = Steps::until(2, Halt::default());
        assert_eq!([few.take(0), few.take(0), few.take(0)], [true, true, false]);
        let mut many = Steps::until(100, Halt::default());
        assert!(many.take(64 * 10));
        assert_eq!((many.left(), many.half().left()), (89, 44));
    }

    #[test]
    fn an_ended_search_has_no_steps_left() {
        let mut steps = Steps::until(1_000, Halt::when(|_| true));
        assert!(!steps.take(1) && steps.left() == 0);
    }
}
