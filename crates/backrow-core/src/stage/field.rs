//! Shortest ways on a floor full of things.
//!
//! The method: a shortest way among polygons turns only at their corners (Lozano-Pérez and Wesley, Communications of the
//! ACM 22, 1979: the visibility graph), and a corner is of use only where the line is tangent to it. Over that graph runs
//! Dijkstra's search. Footprints are grown by half a body, so that no way leads through a gap in which nobody fits; the
//! grown corners are cut in straight pieces, which lie at most 12 mm inside the true arc.

mod graph;
mod obstacle;
mod steps;
mod still;

use super::figure::Figure;
use super::plane::{inside, nearest_on, sides};
use super::walks::{Walk, Way};
use crate::collection::{AreaUse, Point, Venue};
use graph::{Graph, Node};
use obstacle::Obstacle;
use steps::Levels;
pub(super) use still::{Pair, Still};

/// What a step between levels costs in choosing a way, as metres of level floor; ours, no published source.
pub const STEP_AS_M: f64 = 1.2;

/// A floor and what stands in the way.
#[derive(Clone, Debug)]
pub(crate) struct Field {
    obstacles: Vec<Obstacle>,
    floor: Option<Obstacle>,
    levels: Levels,
    corners: Vec<Node>,
}

impl Field {
    /// The field of these footprints in a venue.
    pub(crate) fn new<'a>(figures: impl Iterator<Item = &'a Figure>, venue: Option<&Venue>) -> Self {
        let mut obstacles: Vec<Obstacle> =
            figures.map(|figure| Obstacle::grown(figure, super::BODY_M / 2.0)).collect();
        let areas = venue.map_or(&[][..], |venue| &venue.keep_out);
        let shut = areas.iter().filter(|area| area.kept_for != AreaUse::WayIn);
        obstacles.extend(shut.filter_map(|area| Obstacle::area(&area.outline)));
        let floor = venue.and_then(|venue| Obstacle::area(&venue.floor));
        let levels = Levels::new(venue.map_or(&[][..], |venue| &venue.risers));
        let mut field = Self { obstacles, floor, levels, corners: Vec::new() };
        field.corners = field.all_corners();
        field
    }

    fn all_corners(&self) -> Vec<Node> {
        let around = self.obstacles.iter().flat_map(|obstacle| obstacle.corners(true));
        let floor = self.floor.iter().flat_map(|floor| floor.corners(false));
        let edges = self.levels.corners();
        around.chain(floor).chain(edges).filter(|node| self.is_free(node.at)).collect()
    }

    /// Whether a body may be there: on the floor and strictly inside nothing.
    fn is_free(&self, p: Point) -> bool {
        self.floor.as_ref().is_none_or(|floor| floor.touches(p))
            && !self.obstacles.iter().any(|obstacle| obstacle.holds(p))
    }

    /// Whether one can go straight from one point to another.
    fn is_open(&self, p: Point, q: Point) -> bool {
        !self.obstacles.iter().any(|obstacle| obstacle.stops(p, q))
            && self.floor.as_ref().is_none_or(|floor| floor.keeps(p, q))
    }

    /// The nearest point where a body may be; the point itself when it is free or nothing near is.
    fn freed(&self, p: Point) -> Point {
        if self.is_free(p) {
            return p;
        }
        let around = self.obstacles.iter().filter(|obstacle| obstacle.holds(p));
        let outlines = around.chain(self.floor.as_ref()).map(Obstacle::outline);
        let on_sides = outlines.flat_map(|outline| sides(outline).map(move |(a, b)| nearest_on(p, a, b)));
        let corners = self.corners.iter().map(|node| node.at);
        let free = on_sides.filter(|q| self.is_free(*q)).chain(corners);
        free.min_by(|a, b| p.distance(*a).total_cmp(&p.distance(*b))).unwrap_or(p)
    }

    /// The shortest ways between all of these places, a row for each. A place that something stands on is left by the
    /// straight line to the nearest free point.
    pub(crate) fn ways(&self, places: &[Point]) -> Vec<Vec<Way>> {
        let free: Vec<Point> = places.iter().map(|p| self.freed(*p)).collect();
        let mut graph = Graph::new(free.iter().map(|p| Node::place(*p)).chain(self.corners.iter().copied()));
        graph.join(places.len(), |p, q| self.line(p, q));
        let place = |at: usize| graph.nodes().get(at).map(|node| node.at);
        let row = |(from, start): (usize, &Point)| {
            let search = graph.search(from, places.len());
            let way = |(to, end): (usize, &Point)| {
                if from == to {
                    Way { walk: Walk::default(), points: vec![*start], shut: false }
                } else {
                    self.way(*start, *end, search.way_to(place, to))
                }
            };
            places.iter().enumerate().map(way).collect()
        };
        places.iter().enumerate().map(row).collect()
    }

    /// The steps on the straight line between two points where it is open.
    fn line(&self, p: Point, q: Point) -> Option<u32> {
        self.is_open(p, q).then(|| self.levels.between(p, q))
    }

    /// A way that was found between free points, from and to the places themselves; the straight line where none was.
    fn way(&self, start: Point, end: Point, found: Option<(Walk, Vec<Point>)>) -> Way {
        let Some((mut walk, mut points)) = found else {
            let walk = Walk { metres: start.distance(end), steps: self.levels.between(start, end) };
            return Way { walk, points: vec![start, end], shut: true };
        };
        if let Some(first) = points.first().copied().filter(|first| *first != start) {
            walk.metres += start.distance(first);
            points.insert(0, start);
        }
        if let Some(last) = points.last().copied().filter(|last| *last != end) {
            walk.metres += end.distance(last);
            points.push(end);
        }
        Way { walk, points, shut: false }
    }
}

#[cfg(test)]
mod tests;

/// Whether a point is in an outline or within a hair of its border.
fn in_or_on(p: Point, outline: &[Point]) -> bool {
    inside(p, outline) || sides(outline).any(|(a, b)| nearest_on(p, a, b).distance(p) < HAIR_M)
}

/// Points nearer to a border than this count as on it, metres.
const HAIR_M: f64 = 1e-7;
