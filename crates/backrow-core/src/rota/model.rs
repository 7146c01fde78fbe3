//! The problem as a graph to be coloured: nodes are calls (or calls kept together), colours are players.

use super::conflicts::Rota;
use super::plain::{MOST_PLAYERS, at, bit, first, put, row};
use super::problem::Demand;

/// Which calls and which demands are looked at.
#[derive(Debug, Clone)]
pub(super) struct Scope {
    /// One flag a call.
    pub(super) calls: Vec<bool>,
    /// One flag a demand, in the order of [`Rota::demands`].
    pub(super) demands: Vec<bool>,
}

impl Scope {
    /// Everything.
    pub(super) fn whole(rota: &Rota) -> Self {
        Self { calls: vec![true; rota.problem().calls.len()], demands: vec![true; rota.demands().len()] }
    }

    /// The calls that are looked at.
    pub(super) fn call_list(&self) -> Vec<usize> {
        self.calls.iter().enumerate().filter(|&(_, &on)| on).map(|(i, _)| i).collect()
    }

    fn covers(&self, calls: &[usize]) -> bool {
        calls.iter().all(|&c| at(&self.calls, c))
    }
}

/// Nodes of which no more than `hands` players may be among at once.
#[derive(Debug, Clone)]
pub(super) struct Crowd {
    /// The nodes.
    pub(super) nodes: Vec<usize>,
    /// The most players.
    pub(super) hands: usize,
}

/// A list colouring problem.
#[derive(Debug, Clone)]
pub(super) struct Model {
    /// The calls of each node.
    pub(super) members: Vec<Vec<usize>>,
    /// The nodes that may not share a player with each node.
    pub(super) near: Vec<Vec<usize>>,
    /// The players that each node may have, as bits.
    pub(super) lists: Vec<u64>,
    /// Crowds.
    pub(super) crowds: Vec<Crowd>,
    /// The crowds that each node stands in.
    pub(super) crowds_of: Vec<Vec<usize>>,
    /// Whether two calls that are kept together cannot be.
    pub(super) broken: bool,
    /// The number of players.
    pub(super) palette: usize,
}

impl Model {
    /// The model of what is in scope, for the first `palette` players.
    pub(super) fn new(rota: &Rota, scope: &Scope, palette: usize) -> Self {
        let node_of = group(rota, scope);
        let mut model = Self::bare(rota, scope, &node_of, palette.min(MOST_PLAYERS));
        model.join(rota, scope, &node_of);
        model.shrink_lists(rota, scope, &node_of);
        model.broken |= model.lists.contains(&0);
        model
    }

    /// The number of nodes.
    pub(super) fn len(&self) -> usize {
        self.members.len()
    }

    /// Whether two nodes may not share a player.
    pub(super) fn adjacent(&self, a: usize, b: usize) -> bool {
        row(&self.near, a).binary_search(&b).is_ok()
    }

    /// The player of every call, from the player of every node.
    pub(super) fn unfold(&self, calls: usize, by_node: &[usize]) -> Vec<Option<usize>> {
        let mut out = vec![None; calls];
        for (node, members) in self.members.iter().enumerate() {
            for &call in members {
                put(&mut out, call, by_node.get(node).copied());
            }
        }
        out
    }

    fn bare(rota: &Rota, scope: &Scope, node_of: &[usize], palette: usize) -> Self {
        let count = node_of.iter().filter(|&&n| n != usize::MAX).max().map_or(0, |&n| n + 1);
        let mut members = vec![Vec::new(); count];
        for call in scope.call_list() {
            if let Some(list) = members.get_mut(at(node_of, call)) {
                list.push(call);
            }
        }
        let broken = members.iter().any(|list: &Vec<usize>| {
            list.iter()
                .enumerate()
                .any(|(i, &a)| list.iter().skip(i + 1).any(|&b| rota.clash(a, b).is_some()))
        });
        Self {
            members,
            near: vec![Vec::new(); count],
            lists: vec![first(palette); count],
            crowds: Vec::new(),
            crowds_of: vec![Vec::new(); count],
            broken,
            palette,
        }
    }

    fn link(&mut self, a: usize, b: usize) {
        if a == b {
            self.broken = true;
            return;
        }
        for (x, y) in [(a, b), (b, a)] {
            if let Some(list) = self.near.get_mut(x) {
                list.push(y);
            }
        }
    }

    fn join(&mut self, rota: &Rota, scope: &Scope, node_of: &[usize]) {
        for call in scope.call_list() {
            for &other in rota.neighbours(call) {
                if other > call && at(&scope.calls, other) && at(node_of, call) != at(node_of, other) {
                    self.link(at(node_of, call), at(node_of, other));
                }
            }
        }
        for demand in active(rota, scope) {
            match demand {
                Demand::Apart { a, b } if scope.covers(&[*a, *b]) => {
                    self.link(at(node_of, *a), at(node_of, *b));
                }
                Demand::Hands { calls, hands, .. } if *hands != 1 => {
                    self.add_crowd(scope, node_of, calls, *hands);
                }
                _ => {}
            }
        }
        for list in &mut self.near {
            list.sort_unstable();
            list.dedup();
        }
    }

    fn add_crowd(&mut self, scope: &Scope, node_of: &[usize], calls: &[usize], hands: usize) {
        let mut nodes: Vec<usize> =
            calls.iter().filter(|&&c| at(&scope.calls, c)).map(|&c| at(node_of, c)).collect();
        nodes.sort_unstable();
        nodes.dedup();
        if nodes.len() <= hands {
            return;
        }
        self.broken |= hands == 0;
        for &node in &nodes {
            if let Some(list) = self.crowds_of.get_mut(node) {
                list.push(self.crowds.len());
            }
        }
        self.crowds.push(Crowd { nodes, hands });
    }

    fn shrink_lists(&mut self, rota: &Rota, scope: &Scope, node_of: &[usize]) {
        for demand in active(rota, scope) {
            let (calls, mask): (&[usize], u64) = match demand {
                Demand::Pin { call, player } => (&[*call], bit(*player)),
                Demand::Bar { player, calls, .. } => (calls, !bit(*player)),
                Demand::Only { calls, players, .. } => {
                    (calls, players.iter().fold(0, |set, &p| set | bit(p)))
                }
                _ => continue,
            };
            for &call in calls.iter().filter(|&&c| at(&scope.calls, c)) {
                if let Some(list) = self.lists.get_mut(at(node_of, call)) {
                    *list &= mask;
                }
            }
        }
    }
}

/// The demands in scope.
fn active<'a>(rota: &'a Rota, scope: &'a Scope) -> impl Iterator<Item = &'a Demand> {
    rota.demands().iter().enumerate().filter(|&(i, _)| at(&scope.demands, i)).map(|(_, d)| d)
}

/// The node of each call: calls that must have one player share a node; `usize::MAX` outside the scope.
fn group(rota: &Rota, scope: &Scope) -> Vec<usize> {
    let count = rota.problem().calls.len();
    let mut leader: Vec<usize> = (0..count).collect();
    let mut unite = |a: usize, b: usize| {
        let (a, b) = (find(&leader, a), find(&leader, b));
        put(&mut leader, a.max(b), a.min(b));
    };
    for demand in active(rota, scope) {
        match demand {
            Demand::Together { a, b } if scope.covers(&[*a, *b]) => unite(*a, *b),
            Demand::Hands { calls, hands: 1, .. } => {
                let here: Vec<usize> = calls.iter().copied().filter(|&c| at(&scope.calls, c)).collect();
                for pair in here.windows(2) {
                    if let [a, b] = pair {
                        unite(*a, *b);
                    }
                }
            }
            _ => {}
        }
    }
    let mut node_of = vec![usize::MAX; count];
    let mut next = 0;
    for call in scope.call_list() {
        let head = find(&leader, call);
        if at(&node_of, head) == usize::MAX {
            put(&mut node_of, head, next);
            next += 1;
        }
        let node = at(&node_of, head);
        put(&mut node_of, call, node);
    }
    node_of
}

fn find(leader: &[usize], mut call: usize) -> usize {
    while let Some(&up) = leader.get(call) {
        if up == call {
            break;
        }
        call = up;
    }
    call
}
