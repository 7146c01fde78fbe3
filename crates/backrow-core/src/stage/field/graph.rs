//! The visibility graph and Dijkstra's search over it.

use super::STEP_AS_M;
use crate::collection::Point;
use crate::stage::plane::{cross, minus};
use crate::stage::walks::Walk;
use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

/// A point where ways begin, end or turn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    pub(super) at: Point,
    /// The neighbours of a corner; a line is of use only when both lie on one side of it.
    between: Option<(Point, Point)>,
}

impl Node {
    pub(super) const fn place(at: Point) -> Self {
        Self { at, between: None }
    }

    pub(super) const fn corner(at: Point, before: Point, after: Point) -> Self {
        Self { at, between: Some((before, after)) }
    }

    /// Whether the line to `other` only brushes this corner.
    fn is_tangent_to(&self, other: Point) -> bool {
        let Some((before, after)) = self.between else { return true };
        let line = minus(other, self.at);
        let (one, two) = (cross(line, minus(before, self.at)), cross(line, minus(after, self.at)));
        one * two >= -1e-12
    }
}

/// Nodes and the open lines between them.
#[derive(Clone, Debug)]
pub(super) struct Graph {
    nodes: Vec<Node>,
    lines: Vec<Vec<(usize, Walk)>>,
}

/// What a search found: the least cost to each node and the node before it.
pub(super) struct Search {
    from: usize,
    before: Vec<Option<(usize, Walk)>>,
}

#[derive(PartialEq)]
struct Cost(f64);

impl Eq for Cost {}

impl Ord for Cost {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl PartialOrd for Cost {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

fn cost(walk: Walk) -> f64 {
    walk.metres + f64::from(walk.steps) * STEP_AS_M
}

impl Graph {
    pub(super) fn new(nodes: impl Iterator<Item = Node>) -> Self {
        let nodes: Vec<Node> = nodes.collect();
        Self { lines: vec![Vec::new(); nodes.len()], nodes }
    }

    /// Joins every two nodes that see each other. `open` gives the steps on an open line. When the first `places` nodes all
    /// see one another without a step the corners are of no use and are left alone.
    pub(super) fn join(&mut self, places: usize, open: impl Fn(Point, Point) -> Option<u32>) {
        let mut all_straight = true;
        for i in 0..places {
            for j in i + 1..places {
                all_straight &= self.join_two(i, j, &open) == Some(0);
            }
        }
        if all_straight {
            return;
        }
        for i in 0..self.nodes.len() {
            for j in (i + 1).max(places)..self.nodes.len() {
                self.join_two(i, j, &open);
            }
        }
    }

    /// Joins every two nodes that see each other, needed or not.
    pub(super) fn join_all(&mut self, open: impl Fn(Point, Point) -> Option<u32>) {
        for i in 0..self.nodes.len() {
            for j in i + 1..self.nodes.len() {
                self.join_two(i, j, &open);
            }
        }
    }

    fn join_two(&mut self, i: usize, j: usize, open: impl Fn(Point, Point) -> Option<u32>) -> Option<u32> {
        let walk = line(self.nodes.get(i)?, self.nodes.get(j)?, open)?;
        self.lines.get_mut(i)?.push((j, walk));
        self.lines.get_mut(j)?.push((i, walk));
        Some(walk.steps)
    }

    pub(super) fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// The open lines of a node.
    pub(super) fn lines(&self, at: usize) -> impl Iterator<Item = (usize, Walk)> + '_ {
        self.lines.get(at).into_iter().flatten().copied()
    }

    /// The cheapest ways from one node to the first `places` nodes.
    pub(super) fn search(&self, from: usize, places: usize) -> Search {
        let mut waiting = vec![true; places];
        // A straight open line without a step is the shortest of all: such places need not be waited for.
        let straight = self.lines(from).filter(|(to, walk)| *to < places && walk.steps == 0);
        for to in std::iter::once(from).chain(straight.map(|(to, _)| to)) {
            if let Some(flag) = waiting.get_mut(to) {
                *flag = false;
            }
        }
        let lines = |at: usize, each: &mut dyn FnMut(usize, Walk)| {
            self.lines(at).for_each(|(to, walk)| each(to, walk));
        };
        search(self.nodes.len(), from, waiting, |_| 0.0, lines)
    }
}

/// The line between two nodes, if it is of use and open.
pub(super) fn line(one: &Node, two: &Node, open: impl Fn(Point, Point) -> Option<u32>) -> Option<Walk> {
    if !one.is_tangent_to(two.at) || !two.is_tangent_to(one.at) {
        return None;
    }
    Some(Walk { metres: one.at.distance(two.at), steps: open(one.at, two.at)? })
}

/// The cheapest ways from a node to those that are waited for. `lines` lines back with each open line of a node; `ahead`
/// never says more than what is left from a node on, and no more than a line's own length less at its other end: 0 searches
/// all round (Dijkstra), the straight distance towards one goal (Hart, Nilsson and Raphael, 1968).
pub(super) fn search(
    count: usize,
    from: usize,
    mut waiting: Vec<bool>,
    ahead: impl Fn(usize) -> f64,
    lines: impl Fn(usize, &mut dyn FnMut(usize, Walk)),
) -> Search {
    let mut best = vec![f64::INFINITY; count];
    let mut search = Search { from, before: vec![None; count] };
    let mut heap = BinaryHeap::from([Reverse((Cost(0.0), Cost(0.0), from))]);
    let mut left = waiting.iter().filter(|flag| **flag).count();
    while let Some(Reverse((_, Cost(so_far), at))) = heap.pop() {
        if best.get(at).is_some_and(|known| so_far > *known) {
            continue;
        }
        if let Some(flag) = waiting.get_mut(at)
            && std::mem::take(flag)
        {
            left -= 1;
        }
        lines(at, &mut |to, walk| {
            let next = so_far + cost(walk);
            let (Some(known), Some(before)) = (best.get_mut(to), search.before.get_mut(to)) else { return };
            if to != from && next < *known {
                *known = next;
                *before = Some((at, walk));
                heap.push(Reverse((Cost(next + ahead(to)), Cost(next), to)));
            }
        });
        if left == 0 {
            break;
        }
    }
    search
}

impl Search {
    /// The way to a node, with its points; `None` when there is none. `place` says where a node is.
    pub(super) fn way_to(
        &self,
        place: impl Fn(usize) -> Option<Point>,
        to: usize,
    ) -> Option<(Walk, Vec<Point>)> {
        let mut walk = Walk::default();
        let mut points = Vec::new();
        let mut at = to;
        while at != self.from {
            let (before, line) = (*self.before.get(at)?)?;
            walk.metres += line.metres;
            walk.steps += line.steps;
            points.push(place(at)?);
            at = before;
        }
        points.push(place(at)?);
        points.reverse();
        Some((walk, points))
    }
}

#[cfg(test)]
mod worked;
