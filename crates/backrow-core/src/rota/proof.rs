//! Proofs that a person can check: a moment, an odd ring, a small core.

use super::clique::{Moment, largest};
use super::colour::Steps;
use super::conflicts::Rota;
use super::fewest::{Effort, Proof, Shape};
use super::impossible::{kept_demands, shrink, still_fails};
use super::model::{Model, Scope};
use super::number::{LineNo, List, NodeNo};

/// The largest core that is still told line by line.
const LARGEST_CORE: usize = 16;

/// Hubs that are tried around odd rings before the search gives way to a core.
const MOST_HUBS: usize = 20_000;

/// Why fewer than `players` are not enough, in the simplest shape that shows it.
pub(super) fn prove(rota: &Rota, players: usize, moment: Moment, effort: Effort) -> Proof {
    if moment.passages.len() >= players {
        return by_moment(moment);
    }
    if let Some(Ring { lines: ring, beside: mut hub }) =
        odd_ring(rota, players, &mut rota.steps(effort.steps))
    {
        if ring.len() == 3 && !hub.is_empty() {
            // All clash with all: a ring would only hide that.
            hub.extend(ring);
            hub.sort_unstable();
            return plain(Shape::Core, hub, Vec::new());
        }
        return plain(Shape::Ring, ring, hub);
    }
    by_core(rota, players, effort)
}

fn plain(shape: Shape, lines: Vec<LineNo>, beside_ring: Vec<LineNo>) -> Proof {
    Proof { shape, lines, beside_ring, passages: Vec::new(), at_s: None, demands: Vec::new() }
}

fn by_moment(moment: Moment) -> Proof {
    let lines = moment.passages.iter().map(|p| p.line).collect();
    let at_s = (!moment.passages.is_empty()).then_some(moment.at_us as f64 / 1e6);
    Proof { passages: moment.passages, at_s, ..plain(Shape::Moment, lines, Vec::new()) }
}

/// A small set of lines, without demands if that is enough, that needs `players`.
fn by_core(rota: &Rota, players: usize, effort: Effort) -> Proof {
    let fewer = players.saturating_sub(1);
    let mut scope = Scope::whole(rota);
    scope.demands.fill(false);
    let without_demands = still_fails(rota, &scope, fewer, &mut rota.steps(effort.steps));
    if without_demands {
        let model = Model::new(rota, &scope, rota.problem().player_count());
        let joined = |a: usize, b: usize| model.adjacent(NodeNo(a), NodeNo(b));
        let clique = largest(model.len(), fewer, &joined, &mut rota.steps(effort.steps / 16));
        if clique.len() >= players {
            let lines = clique.iter().filter_map(|&n| model.members[NodeNo(n)].first().copied()).collect();
            return plain(Shape::Core, lines, Vec::new());
        }
    } else {
        scope.demands.fill(true);
        if !still_fails(rota, &scope, fewer, &mut rota.steps(effort.steps)) {
            return plain(Shape::Search, scope.line_list(), Vec::new());
        }
    }
    shrink(rota, &mut scope, fewer, effort);
    let lines = scope.line_list();
    let shape = if lines.len() <= LARGEST_CORE { Shape::Core } else { Shape::Search };
    Proof { demands: kept_demands(rota, &scope), ..plain(shape, lines, Vec::new()) }
}

/// An odd ring of lines, each of which clashes with the next, and lines beside it that clash with all of it and with each other.
struct Ring {
    lines: Vec<LineNo>,
    beside: Vec<LineNo>,
}

/// An odd ring, and lines beside it that clash with all of it and with each other, that together need
/// `players`: three for the ring and one for each line beside it. The shortest ring is taken that is found with the steps.
fn odd_ring(rota: &Rota, players: usize, steps: &mut Steps) -> Option<Ring> {
    let beside = players.checked_sub(3)?;
    let everyone: Vec<LineNo> = rota.problem().lines.numbers().collect();
    let mut tried = 0;
    let mut best: Option<Ring> = None;
    hubs(rota, &everyone, &mut Vec::new(), beside, &mut |hub, common| {
        tried += 1;
        let shortest = best.as_ref().map_or(usize::MAX, |ring| ring.lines.len());
        if let Some(lines) = shortest_odd_ring(rota, common, shortest, steps) {
            best = Some(Ring { lines, beside: hub.to_vec() });
        }
        tried < MOST_HUBS && steps.left() > 0 && best.as_ref().is_none_or(|ring| ring.lines.len() > 3)
    });
    best
}

/// Goes through the cliques of `more` lines with the lines that clash with all of them; false to stop.
fn hubs(
    rota: &Rota,
    common: &[LineNo],
    hub: &mut Vec<LineNo>,
    more: usize,
    visit: &mut dyn FnMut(&[LineNo], &[LineNo]) -> bool,
) -> bool {
    if more == 0 {
        return visit(hub, common);
    }
    let last = hub.last().copied();
    for &line in common.iter().filter(|&&c| last.is_none_or(|l| c > l)) {
        let next: Vec<LineNo> = common.iter().copied().filter(|&c| rota.do_clash(line, c)).collect();
        if next.len() < more + 2 {
            continue;
        }
        hub.push(line);
        let on = hubs(rota, &next, hub, more - 1, visit);
        hub.pop();
        if !on {
            return false;
        }
    }
    true
}

/// The shortest odd ring among `lines` that is shorter than `shorter_than`, in order round the ring.
///
/// Breadth first from each line; an edge between two lines at the same distance closes an odd ring,
/// and the shortest of these over all starts is a shortest odd ring, which meets itself nowhere.
fn shortest_odd_ring(
    rota: &Rota,
    lines: &[LineNo],
    shorter_than: usize,
    steps: &mut Steps,
) -> Option<Vec<LineNo>> {
    let mut inside: List<LineNo, bool> = List::filled(false, rota.problem().lines.len());
    for &line in lines {
        inside[line] = true;
    }
    let mut best: Option<Vec<LineNo>> = None;
    for &start in lines {
        let limit = best.as_ref().map_or(shorter_than, Vec::len);
        if steps.left() == 0 {
            break;
        }
        if let Some(ring) = ring_from(rota, &inside, start, limit, steps) {
            best = Some(ring);
        }
    }
    best
}

/// How a line was reached: how far from the start, and from which line.
#[derive(Debug, Clone, Copy)]
struct Reached {
    depth: usize,
    from: Option<LineNo>,
}

fn ring_from(
    rota: &Rota,
    inside: &List<LineNo, bool>,
    start: LineNo,
    shorter_than: usize,
    steps: &mut Steps,
) -> Option<Vec<LineNo>> {
    let mut reached: List<LineNo, Option<Reached>> = List::filled(None, inside.len());
    reached[start] = Some(Reached { depth: 0, from: None });
    let mut queue = vec![start];
    let mut next = 0;
    while let Some(&line) = queue.get(next) {
        next += 1;
        let depth = reached[line]?.depth;
        if 2 * depth + 1 >= shorter_than || !steps.take(rota.neighbours(line).len()) {
            return None;
        }
        for &other in rota.neighbours(line).iter().filter(|&&o| inside[o]) {
            match reached[other] {
                None => {
                    reached[other] = Some(Reached { depth: depth + 1, from: Some(line) });
                    queue.push(other);
                }
                Some(there) if there.depth == depth => return simple_ring(&reached, line, other),
                Some(_) => {}
            }
        }
    }
    None
}

/// The ring from the start down to `a`, over to `b`, and back; none when the two ways meet earlier.
fn simple_ring(reached: &List<LineNo, Option<Reached>>, a: LineNo, b: LineNo) -> Option<Vec<LineNo>> {
    let mut ring = trail(reached, a);
    let mut back = trail(reached, b);
    back.pop();
    ring.reverse();
    ring.extend(back);
    let mut sorted = ring.clone();
    sorted.sort_unstable();
    sorted.dedup();
    (sorted.len() == ring.len()).then_some(ring)
}

/// From a line up to the start.
fn trail(reached: &List<LineNo, Option<Reached>>, line: LineNo) -> Vec<LineNo> {
    let up = |&line: &LineNo| reached[line].and_then(|r| r.from);
    std::iter::successors(Some(line), up).collect()
}

#[cfg(test)]
mod worked;
