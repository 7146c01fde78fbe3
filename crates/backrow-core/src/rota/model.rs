//! The problem as a graph to be coloured: nodes are lines (or lines kept together), colours are players.

use super::conflicts::Rota;
use super::number::{DemandNo, GroupNo, LineNo, List, NodeNo, PlayerNo};
use super::players::{MOST_PLAYERS, PlayerSet};
use super::problem::{Assignments, Demand};

/// Which lines and which demands are looked at.
#[derive(Debug, Clone)]
pub(super) struct Scope {
    /// One flag a line.
    pub(super) lines: List<LineNo, bool>,
    /// One flag a demand, in the order of [`Rota::demands`].
    pub(super) demands: List<DemandNo, bool>,
}

impl Scope {
    /// Everything.
    pub(super) fn whole(rota: &Rota) -> Self {
        Self {
            lines: List::filled(true, rota.problem().lines.len()),
            demands: List::filled(true, rota.demands().len()),
        }
    }

    /// The lines that are looked at.
    pub(super) fn line_list(&self) -> Vec<LineNo> {
        self.lines.entries().filter(|&(_, &on)| on).map(|(line, _)| line).collect()
    }

    fn covers(&self, lines: &[LineNo]) -> bool {
        lines.iter().all(|&c| self.lines[c])
    }
}

/// Nodes of which no more than `hands` players may be among at once.
#[derive(Debug, Clone)]
pub(super) struct CapacityGroup {
    /// The nodes.
    pub(super) nodes: Vec<NodeNo>,
    /// The most players.
    pub(super) hands: usize,
}

/// A list colouring problem.
#[derive(Debug, Clone)]
pub(super) struct Model {
    /// The lines of each node.
    pub(super) members: List<NodeNo, Vec<LineNo>>,
    /// The nodes that may not share a player with each node.
    pub(super) near: List<NodeNo, Vec<NodeNo>>,
    /// The players that each node may have.
    pub(super) lists: List<NodeNo, PlayerSet>,
    /// Crowds.
    pub(super) groups: List<GroupNo, CapacityGroup>,
    /// The groups that each node stands in.
    pub(super) groups_of: List<NodeNo, Vec<GroupNo>>,
    /// Whether two lines that are kept together cannot be.
    pub(super) broken: bool,
    /// The number of players.
    pub(super) player_count: usize,
}

impl Model {
    /// The model of what is in scope, for the first `player_count` players.
    pub(super) fn new(rota: &Rota, scope: &Scope, player_count: usize) -> Self {
        let node_of = group(rota, scope);
        let mut model = Self::bare(rota, scope, &node_of, player_count.min(MOST_PLAYERS));
        model.join(rota, scope, &node_of);
        model.shrink_lists(rota, scope, &node_of);
        model.broken |= model.lists.contains(&PlayerSet::NOBODY);
        model
    }

    /// The number of nodes.
    pub(super) fn len(&self) -> usize {
        self.members.len()
    }

    /// Whether two nodes may not share a player.
    pub(super) fn adjacent(&self, a: NodeNo, b: NodeNo) -> bool {
        self.near[a].binary_search(&b).is_ok()
    }

    /// The player of every line, from the player of every node.
    pub(super) fn unfold(&self, lines: usize, by_node: &List<NodeNo, PlayerNo>) -> Assignments {
        let mut out = Assignments::empty(lines);
        for (node, members) in self.members.entries() {
            for &line in members {
                out.players[line] = Some(by_node[node]);
            }
        }
        out
    }

    /// The players that some node has to have.
    pub(super) fn must(&self) -> PlayerSet {
        self.lists.iter().filter(|list| list.len() == 1).fold(PlayerSet::NOBODY, |set, &list| set | list)
    }

    fn bare(rota: &Rota, scope: &Scope, node_of: &NodeOf, player_count: usize) -> Self {
        let count = node_of.iter().flatten().max().map_or(0, |n| n.0 + 1);
        let mut members: List<NodeNo, Vec<LineNo>> = List::filled(Vec::new(), count);
        for line in scope.line_list() {
            if let Some(node) = node_of[line] {
                members[node].push(line);
            }
        }
        let clash = |(i, &a): (usize, &LineNo), list: &[LineNo]| {
            list.iter().skip(i + 1).any(|&b| rota.do_clash(a, b))
        };
        let broken = members.iter().any(|list| list.iter().enumerate().any(|one| clash(one, list)));
        Self {
            members,
            near: List::filled(Vec::new(), count),
            lists: List::filled(PlayerSet::first(player_count), count),
            groups: List::new(),
            groups_of: List::filled(Vec::new(), count),
            broken,
            player_count,
        }
    }

    fn link(&mut self, a: Option<NodeNo>, b: Option<NodeNo>) {
        let (Some(a), Some(b)) = (a, b) else { return };
        if a == b {
            self.broken = true;
            return;
        }
        self.near[a].push(b);
        self.near[b].push(a);
    }

    fn join(&mut self, rota: &Rota, scope: &Scope, node_of: &NodeOf) {
        for line in scope.line_list() {
            for &other in rota.neighbours(line) {
                if other > line && scope.lines[other] && node_of[line] != node_of[other] {
                    self.link(node_of[line], node_of[other]);
                }
            }
        }
        for demand in active(rota, scope) {
            match demand {
                // A line outside the scope has no node.
                Demand::Apart { a, b } => {
                    self.link(node_of[*a], node_of[*b]);
                }
                Demand::Hands { lines, hands, .. } if *hands != 1 => {
                    self.add_group(scope, node_of, lines, *hands);
                }
                _ => {}
            }
        }
        for list in &mut self.near {
            list.sort_unstable();
            list.dedup();
        }
    }

    fn add_group(&mut self, scope: &Scope, node_of: &NodeOf, lines: &[LineNo], hands: usize) {
        let mut nodes: Vec<NodeNo> =
            lines.iter().filter(|&&c| scope.lines[c]).filter_map(|&c| node_of[c]).collect();
        nodes.sort_unstable();
        nodes.dedup();
        if nodes.len() <= hands {
            return;
        }
        self.broken |= hands == 0;
        let group = self.groups.push(CapacityGroup { nodes: nodes.clone(), hands });
        for node in nodes {
            self.groups_of[node].push(group);
        }
    }

    fn shrink_lists(&mut self, rota: &Rota, scope: &Scope, node_of: &NodeOf) {
        for demand in active(rota, scope) {
            let everybody = PlayerSet::first(MOST_PLAYERS);
            let (lines, open): (&[LineNo], PlayerSet) = match demand {
                Demand::Pin { line, player } => (&[*line], PlayerSet::only(*player)),
                Demand::Bar { player, lines, .. } => (lines, everybody - PlayerSet::only(*player)),
                Demand::Only { lines, players, .. } => (lines, players.iter().copied().collect()),
                _ => continue,
            };
            for &line in lines.iter().filter(|&&c| scope.lines[c]) {
                if let Some(node) = node_of[line] {
                    self.lists[node] &= open;
                }
            }
        }
    }
}

/// The demands in scope.
fn active<'a>(rota: &'a Rota, scope: &'a Scope) -> impl Iterator<Item = &'a Demand> {
    rota.demands().entries().filter(|&(demand, _)| scope.demands[demand]).map(|(_, d)| d)
}

/// The node of each line: lines that must have one player share a node; none outside the scope.
type NodeOf = List<LineNo, Option<NodeNo>>;

fn group(rota: &Rota, scope: &Scope) -> NodeOf {
    let count = rota.problem().lines.len();
    let mut leader: List<LineNo, LineNo> = List::made(count, |line| line);
    let mut unite = |a: LineNo, b: LineNo| {
        let (a, b) = (find(&leader, a), find(&leader, b));
        leader[a.max(b)] = a.min(b);
    };
    for demand in active(rota, scope) {
        match demand {
            Demand::Together { a, b } if scope.covers(&[*a, *b]) => unite(*a, *b),
            Demand::Hands { lines, hands: 1, .. } => {
                let here: Vec<LineNo> = lines.iter().copied().filter(|&c| scope.lines[c]).collect();
                for pair in here.windows(2) {
                    if let [a, b] = pair {
                        unite(*a, *b);
                    }
                }
            }
            _ => {}
        }
    }
    let mut node_of: NodeOf = List::filled(None, count);
    let mut next = 0;
    for line in scope.line_list() {
        let head = find(&leader, line);
        let node = node_of[head].unwrap_or_else(|| {
            next += 1;
            NodeNo(next - 1)
        });
        node_of[head] = Some(node);
        node_of[line] = Some(node);
    }
    node_of
}

fn find(leader: &List<LineNo, LineNo>, mut line: LineNo) -> LineNo {
    while leader[line] != line {
        line = leader[line];
    }
    line
}

#[cfg(test)]
mod worked;
