//! A floor while something is in the hand: what stands still is looked at once, what moves each time.
//!
//! A thing more on the floor can only make ways longer. So a way among the places that stand still is kept as long as
//! nothing in the hand lies across it, and only the others are searched for anew, over the lines that are left and those to
//! the corners of what is in the hand. What comes out is what [`Field::ways`] would find, at a small part of the work.

use super::Field;
use super::graph::{self, Graph, Node};
use super::obstacle::Obstacle;
use crate::collection::{Point, Venue};
use crate::stage::figure::Figure;
use crate::stage::walks::{Walk, Way};
use std::collections::BTreeMap;

/// Two places by their numbers: first those that stand still, then those in the hand.
pub(in crate::stage) type Pair = (usize, usize);

/// What stands still, with the ways among it.
#[derive(Clone, Debug)]
pub(in crate::stage) struct Still {
    field: Field,
    graph: Graph,
    places: Vec<Point>,
    known: BTreeMap<Pair, Way>,
}

impl Still {
    /// The field of what stands still, with the ways between those of its places that are asked for.
    pub(in crate::stage) fn new<'a>(
        figures: impl Iterator<Item = &'a Figure>,
        venue: Option<&Venue>,
        places: Vec<Point>,
        pairs: &[Pair],
    ) -> Self {
        let field = Field::new(figures, venue);
        let free = places.iter().map(|p| Node::place(field.freed(*p)));
        let mut graph = Graph::new(free.chain(field.corners.iter().copied()));
        graph.join_all(|p, q| field.line(p, q));
        let mut still = Self { field, graph, places, known: BTreeMap::new() };
        let own: Vec<Pair> =
            pairs.iter().copied().filter(|(a, b)| (*a).max(*b) < still.places.len()).collect();
        let ways = still.ways(&[], &[], &own);
        still.known = own.into_iter().zip(ways).collect();
        still
    }

    /// The ways between these pairs with what is in the hand where it is now: its footprints, and the places of its
    /// players.
    pub(in crate::stage) fn ways(&self, figures: &[&Figure], held: &[Point], pairs: &[Pair]) -> Vec<Way> {
        let now = Now::new(self, figures, held);
        pairs.iter().map(|pair| now.way(*pair)).collect()
    }
}

/// What stands still together with what is in the hand.
struct Now<'a> {
    still: &'a Still,
    /// All obstacles, and the corners that are free among them.
    field: Field,
    moved: Vec<Obstacle>,
    /// Nodes of the still graph that are of no use now.
    dead: Vec<bool>,
    /// Nodes beside those of the still graph.
    more: Vec<Node>,
    /// Lines to and from those, by node.
    lines: Vec<Vec<(usize, Walk)>>,
    /// All places, with their nodes.
    places: Vec<(Point, usize)>,
}

impl<'a> Now<'a> {
    fn new(still: &'a Still, figures: &[&Figure], held: &[Point]) -> Self {
        let half = crate::stage::BODY_M / 2.0;
        let moved: Vec<Obstacle> = figures.iter().map(|figure| Obstacle::grown(figure, half)).collect();
        let mut field = still.field.clone();
        field.obstacles.extend(moved.iter().cloned());
        let covered = |p: Point| moved.iter().any(|obstacle| obstacle.holds(p));
        let around = moved.iter().flat_map(|obstacle| obstacle.corners(true));
        let around: Vec<Node> = around.filter(|node| field.is_free(node.at)).collect();
        let mut more = around.clone();
        field.corners.retain(|node| !covered(node.at));
        field.corners.extend(around.iter().copied());
        let nodes = still.graph.nodes();
        let mut dead: Vec<bool> = nodes.iter().map(|node| covered(node.at)).collect();
        let mut places = Vec::new();
        let stand = |place: Point, more: &mut Vec<Node>| {
            more.push(Node::place(field.freed(place)));
            (place, nodes.len() + more.len() - 1)
        };
        for (at, place) in still.places.iter().enumerate() {
            // A place that something stands on may have another nearest free point now.
            let keeps = |free: Point| {
                let near = place.distance(free);
                !covered(free) && around.iter().all(|node| node.at.distance(*place) >= near)
            };
            let stays = !covered(*place) && nodes.get(at).is_some_and(|node| keeps(node.at));
            if let Some(flag) = dead.get_mut(at).filter(|_| !stays) {
                *flag = true;
            }
            places.push(if stays { (*place, at) } else { stand(*place, &mut more) });
        }
        places.extend(held.iter().map(|place| stand(*place, &mut more)));
        let lines = vec![Vec::new(); nodes.len() + more.len()];
        let mut now = Self { still, field, moved, dead, more, lines, places };
        now.join();
        now
    }

    /// Joins what is new with everything that it sees.
    fn join(&mut self) {
        let nodes = self.still.graph.nodes();
        for (nth, one) in self.more.iter().enumerate() {
            let own = nodes.len() + nth;
            let old = nodes.iter().enumerate().filter(|(at, _)| self.dead.get(*at) == Some(&false));
            let new = self.more.iter().enumerate().take(nth).map(|(at, node)| (nodes.len() + at, node));
            for (other, node) in old.chain(new) {
                let Some(walk) = graph::line(one, node, |p, q| self.field.line(p, q)) else { continue };
                for (from, to) in [(own, other), (other, own)] {
                    if let Some(lines) = self.lines.get_mut(from) {
                        lines.push((to, walk));
                    }
                }
            }
        }
    }

    fn node(&self, at: usize) -> Option<Point> {
        let nodes = self.still.graph.nodes();
        nodes.get(at).or_else(|| self.more.get(at.checked_sub(nodes.len())?)).map(|node| node.at)
    }

    fn is_stopped(&self, p: Point, q: Point) -> bool {
        self.moved.iter().any(|obstacle| obstacle.stops(p, q))
    }

    fn way(&self, pair: Pair) -> Way {
        let (Some((start, from)), Some((end, to))) =
            (self.places.get(pair.0).copied(), self.places.get(pair.1).copied())
        else {
            return Way::default();
        };
        if pair.0 == pair.1 {
            return Way { walk: Walk::default(), points: vec![start], shut: false };
        }
        let stays = from < self.still.places.len() && to < self.still.places.len();
        if let Some(known) = self.still.known.get(&pair).filter(|_| stays) {
            let mut legs = known.points.iter().zip(known.points.iter().skip(1));
            if known.shut || !legs.any(|(p, q)| self.is_stopped(*p, *q)) {
                return known.clone();
            }
        }
        self.field.way(start, end, self.search(from, to))
    }

    fn search(&self, from: usize, to: usize) -> Option<(Walk, Vec<Point>)> {
        let goal = self.node(to)?;
        let count = self.lines.len();
        let mut waiting = vec![false; count];
        *waiting.get_mut(to)? = true;
        let ahead = |at: usize| self.node(at).map_or(0.0, |p| p.distance(goal));
        let lines = |at: usize, each: &mut dyn FnMut(usize, Walk)| {
            if let (Some(here), Some(false)) = (self.node(at), self.dead.get(at).copied()) {
                for (to, walk) in self.still.graph.lines(at) {
                    let open = |there| !self.is_stopped(here, there);
                    if self.dead.get(to) == Some(&false) && self.node(to).is_some_and(open) {
                        each(to, walk);
                    }
                }
            }
            self.lines.get(at).into_iter().flatten().for_each(|(to, walk)| each(*to, *walk));
        };
        graph::search(count, from, waiting, ahead, lines).way_to(|at| self.node(at), to)
    }
}
