//! Gives stretches and strands of the programme out anew while the rest stands, until none of that helps.
//!
//! Each try is the pass through time of `frontier`, in which every line outside the piece has just its present
//! player; so a whole movement, or all lines on one instrument, change at once where no single change would help.
//! (P. Shaw, "Using constraint programming and local search methods to solve vehicle routing problems", 1998, is the
//! idea; cited from memory.)

use super::colour::Steps;
use super::frontier::{Stretch, Weights};
use super::number::{ItemNo, List, PlayerNo};
use super::plan::Plan;
use super::players::PlayerSet;

/// Lines in a stretch, and how far the next one begins.
const STRETCH: usize = 14;
const STEP: usize = 5;

/// The most rounds through all pieces.
const ROUNDS: usize = 6;

/// The players by item, with what they cost.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Given {
    pub(super) cost: i64,
    pub(super) players: List<ItemNo, PlayerNo>,
}

/// Items that may be given out anew.
struct Piece {
    items: Flags,
    /// A piece that did not help is not tried again before something else has changed.
    is_worth_trying: bool,
}

/// The items that may have another player than they have.
type Flags = List<ItemNo, bool>;

/// The players by item, made better. No piece keeps more than `width` half-made assignments beside each other.
pub(super) fn again(plan: &Plan, weights: Weights, start: Given, width: usize, steps: &mut Steps) -> Given {
    let mut now = start;
    let mut pieces: Vec<Piece> =
        pieces(plan).into_iter().map(|items| Piece { items, is_worth_trying: true }).collect();
    for _ in 0..ROUNDS {
        let mut helped = false;
        for at in 0..pieces.len() {
            let Some(piece) = pieces.get_mut(at) else { continue };
            if !std::mem::take(&mut piece.is_worth_trying) {
                continue;
            }
            let narrowed = plan.with_free(&now.players, &piece.items);
            let stretch = Stretch { plan: &narrowed, weights, items: 0..plan.items.len(), width };
            let Some(better) = stretch.pass(now.cost, steps).best else { continue };
            let others = pieces.iter_mut().enumerate().filter(|(other, _)| *other != at);
            others.for_each(|(_, piece)| piece.is_worth_trying = true);
            now = Given { cost: better.cost, players: better.given.into_iter().flatten().collect() };
            helped = true;
        }
        if !helped {
            break;
        }
    }
    now
}

/// Stretches of lines that follow each other, and strands.
fn pieces(plan: &Plan) -> Vec<Flags> {
    let count = plan.items.len();
    let mut out: Vec<Flags> = Vec::new();
    for start in (0..count).step_by(STEP) {
        out.push(List::made(count, |item: ItemNo| (start..start + STRETCH).contains(&item.0)));
    }
    let mut strand: List<ItemNo, ItemNo> = List::made(count, |item| item);
    for (index, item) in plan.items.entries() {
        for tie in &item.ties {
            let (from, to) = (strand[index], strand[tie.to]);
            strand.iter_mut().filter(|s| **s == from).for_each(|s| *s = to);
        }
    }
    let mut heads: Vec<ItemNo> = strand.to_vec();
    heads.sort_unstable();
    heads.dedup();
    let of = |head: ItemNo| -> Flags { strand.iter().map(|s| *s == head).collect() };
    out.extend(heads.into_iter().map(of).filter(|flags| flags.iter().filter(|f| **f).count() > 1));
    out
}

impl Plan {
    /// The plan in which only the flagged items can have another player than they have.
    fn with_free(&self, given: &List<ItemNo, PlayerNo>, free: &Flags) -> Self {
        let mut plan = self.clone();
        for (index, item) in plan.items.entries_mut() {
            if !free[index] {
                item.players = PlayerSet::only(given[index]);
            }
        }
        plan.classes_and_rest();
        plan
    }
}

#[cfg(test)]
mod worked;
