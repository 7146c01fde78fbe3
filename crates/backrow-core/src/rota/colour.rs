//! Can these nodes be given players from this set? Exact, by search with forward checks.
//!
//! The node with the fewest players left goes first (Brelaz, "New methods to color the vertices of a
//! graph", 1979: largest saturation first; cited from memory), players that are alike are tried once,
//! and a node left with nobody ends the branch at once.

use super::model::Model;
use super::plain::{at, bit, each, lowest, put, row, size};

/// Steps that a search may still take. The core has no clock, so effort is counted.
#[derive(Debug, Clone, Copy)]
pub(super) struct Steps(pub(super) u64);

impl Steps {
    /// Takes one step; false when none is left.
    pub(super) fn take(&mut self) -> bool {
        let left = self.0 > 0;
        self.0 = self.0.saturating_sub(1);
        left
    }
}

/// What a search found out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Verdict {
    /// Yes, with a player for each node asked about, in their order.
    Yes(Vec<usize>),
    /// No, proved.
    No,
    /// The steps ran out.
    Unknown,
}

const NOBODY: usize = usize::MAX;

/// Gives each of `nodes` a player out of `set`, if that can be done. Nodes outside `nodes` are not looked at.
pub(super) fn colour(model: &Model, nodes: &[usize], set: u64, steps: &mut Steps) -> Verdict {
    let Some(mut search) = Search::new(model, nodes, set) else { return Verdict::No };
    let mut stack: Vec<Frame> = Vec::with_capacity(nodes.len());
    loop {
        let Some(node) = search.pick() else {
            return Verdict::Yes(nodes.iter().map(|&n| at(&search.player, n)).collect());
        };
        stack.push(Frame { node, left: search.choices(node), mark: search.trail.len(), tried: false });
        loop {
            let Some(top) = stack.last_mut() else { return Verdict::No };
            if top.tried {
                search.undo(top.node, top.mark);
                top.tried = false;
            }
            if top.left == 0 {
                stack.pop();
                continue;
            }
            let player = lowest(top.left);
            top.left &= top.left - 1;
            if !steps.take() {
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
    node: usize,
    left: u64,
    mark: usize,
    tried: bool,
}

struct Search<'m> {
    model: &'m Model,
    nodes: &'m [usize],
    /// The players left to each node.
    left: Vec<u64>,
    /// The player of each node, or `NOBODY`.
    player: Vec<usize>,
    /// How many nodes each player has.
    count: Vec<usize>,
    /// Players that are alike, as sets.
    alike: Vec<u64>,
    /// What was taken from `left`, to be given back.
    trail: Vec<(usize, usize)>,
}

impl<'m> Search<'m> {
    fn new(model: &'m Model, nodes: &'m [usize], set: u64) -> Option<Self> {
        let mut left = vec![0; model.len()];
        for &node in nodes {
            let here = at(&model.lists, node) & set;
            if here == 0 {
                return None;
            }
            put(&mut left, node, here);
        }
        Some(Self {
            model,
            nodes,
            left,
            player: vec![NOBODY; model.len()],
            count: vec![0; model.palette],
            alike: alike(model, nodes, set),
            trail: Vec::new(),
        })
    }

    /// The open node with the fewest players left, and among those the one with the most neighbours.
    fn pick(&self) -> Option<usize> {
        self.nodes
            .iter()
            .copied()
            .filter(|&n| at(&self.player, n) == NOBODY)
            .min_by_key(|&n| (size(at(&self.left, n)), usize::MAX - row(&self.model.near, n).len()))
    }

    /// The players worth trying for a node: of players alike who have nothing yet, the lowest only.
    fn choices(&self, node: usize) -> u64 {
        let left = at(&self.left, node);
        let mut worth = 0;
        for &class in &self.alike {
            let mut fresh = false;
            for player in each(class & left) {
                if at(&self.count, player) > 0 {
                    worth |= bit(player);
                } else if !fresh {
                    fresh = true;
                    worth |= bit(player);
                }
            }
        }
        for &crowd in row(&self.model.crowds_of, node) {
            if let Some(crowd) = self.model.crowds.get(crowd) {
                let there = crowd.nodes.iter().map(|&n| at(&self.player, n)).filter(|&p| p != NOBODY);
                let there = there.fold(0, |set, p| set | bit(p));
                if size(there) >= crowd.hands {
                    worth &= there;
                }
            }
        }
        worth
    }

    /// Gives the node the player; false when that leaves a neighbour with nobody.
    fn assign(&mut self, node: usize, player: usize) -> bool {
        put(&mut self.player, node, player);
        let more = at(&self.count, player) + 1;
        put(&mut self.count, player, more);
        let gone = bit(player);
        for &other in row(&self.model.near, node) {
            let left = at(&self.left, other);
            if left & gone != 0 && at(&self.player, other) == NOBODY {
                put(&mut self.left, other, left & !gone);
                self.trail.push((other, player));
                if left == gone {
                    return false;
                }
            }
        }
        true
    }

    fn undo(&mut self, node: usize, mark: usize) {
        let player = at(&self.player, node);
        let fewer = at(&self.count, player).saturating_sub(1);
        put(&mut self.count, player, fewer);
        put(&mut self.player, node, NOBODY);
        while self.trail.len() > mark {
            if let Some((other, player)) = self.trail.pop() {
                let back = at(&self.left, other) | bit(player);
                put(&mut self.left, other, back);
            }
        }
    }
}

/// The players of `set` in classes: two are alike when the same nodes may have them.
pub(super) fn alike(model: &Model, nodes: &[usize], set: u64) -> Vec<u64> {
    let mut classes: Vec<u64> = vec![set];
    for &node in nodes {
        let list = at(&model.lists, node);
        if classes.iter().all(|&c| c & list == 0 || c & !list == 0) {
            continue;
        }
        classes = classes.iter().flat_map(|&c| [c & list, c & !list]).filter(|&c| c != 0).collect();
    }
    classes.retain(|&c| c != 0);
    classes.sort_unstable_by_key(|&c| lowest(c));
    classes
}

/// The nodes in pieces that have nothing to do with each other, players aside.
pub(super) fn pieces(model: &Model) -> Vec<Vec<usize>> {
    let mut seen = vec![false; model.len()];
    let mut out = Vec::new();
    for start in 0..model.len() {
        if at(&seen, start) {
            continue;
        }
        put(&mut seen, start, true);
        let mut piece = vec![start];
        let mut next = 0;
        while let Some(&node) = piece.get(next) {
            next += 1;
            let crowds = row(&model.crowds_of, node).iter().filter_map(|&c| model.crowds.get(c));
            let others = row(&model.near, node).iter().chain(crowds.flat_map(|c| c.nodes.iter()));
            for &other in others {
                if !at(&seen, other) {
                    put(&mut seen, other, true);
                    piece.push(other);
                }
            }
        }
        out.push(piece);
    }
    out
}
