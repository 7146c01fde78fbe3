//! Gives stretches and strands of the programme out anew while the rest stands, until none of that helps.
//!
//! Each try is the pass through time of `frontier`, in which every call outside the piece has just its present
//! player; so a whole movement, or all calls on one instrument, change at once where no single change would help.
//! (P. Shaw, "Using constraint programming and local search methods to solve vehicle routing problems", 1998, is the
//! idea; cited from memory.)

use super::frontier::{Weights, pass};
use super::plain::{at, bit, put};
use super::plan::Plan;

/// Calls in a stretch, and how far the next one begins.
const STRETCH: usize = 14;
const STEP: usize = 5;

/// The most rounds through all pieces.
const ROUNDS: usize = 6;

/// The players by item, made better; `cost` is what they cost now. No piece keeps more than `width` half-made
/// share-outs beside each other.
pub(super) fn again(
    plan: &Plan,
    weights: Weights,
    (mut cost, mut given): (i64, Vec<usize>),
    width: usize,
) -> (i64, Vec<usize>) {
    let pieces = pieces(plan);
    // A piece that did not help is not tried again before something else has changed.
    let mut changed = vec![true; pieces.len()];
    for _ in 0..ROUNDS {
        for (index, piece) in pieces.iter().enumerate() {
            if !at(&changed, index) {
                continue;
            }
            put(&mut changed, index, false);
            let narrowed = plan.with_free(&given, piece);
            let Some((better, next)) = pass(&narrowed, weights, (0..plan.items.len(), width), cost).best
            else {
                continue;
            };
            changed.iter_mut().enumerate().filter(|(other, _)| *other != index).for_each(|(_, c)| *c = true);
            (cost, given) = (better, next);
        }
        if !changed.contains(&true) {
            break;
        }
    }
    (cost, given)
}

/// Stretches of calls that follow each other, and strands; as flags by item.
fn pieces(plan: &Plan) -> Vec<Vec<bool>> {
    let count = plan.items.len();
    let mut out: Vec<Vec<bool>> = Vec::new();
    let mut start = 0;
    while start < count {
        out.push((0..count).map(|i| (start..start + STRETCH).contains(&i)).collect());
        start += STEP;
    }
    let mut strand: Vec<usize> = (0..count).collect();
    for (index, item) in plan.items.iter().enumerate() {
        for &(earlier, _) in &item.ties {
            let (from, to) = (at(&strand, index), at(&strand, earlier));
            strand.iter_mut().filter(|s| **s == from).for_each(|s| *s = to);
        }
    }
    let mut heads = strand.clone();
    heads.sort_unstable();
    heads.dedup();
    let of = |head: usize| -> Vec<bool> { strand.iter().map(|s| *s == head).collect() };
    out.extend(heads.into_iter().map(of).filter(|flags| flags.iter().filter(|f| **f).count() > 1));
    out
}

impl Plan {
    /// The plan in which only the flagged items can have another player than they have.
    fn with_free(&self, given: &[usize], free: &[bool]) -> Self {
        let mut plan = self.clone();
        for (index, item) in plan.items.iter_mut().enumerate() {
            if !at(free, index) {
                item.players = bit(at(given, index));
            }
        }
        plan.classes_and_rest();
        plan
    }
}
