//! Makes a share-out better by small changes, each of which keeps every rule.
//!
//! One change: in a piece of the programme two players change all their calls there. The piece is what hangs
//! together by clashes among the calls of the two (A. B. Kempe's chains, 1879; cited from memory), so a
//! single call that is free to move is the smallest of these.

use super::model::Model;
use super::plain::{at, bit, each, first, put, row, size};

/// The most rounds through all calls.
const ROUNDS: usize = 6;

/// Changes players (by node) while that costs less by `cost`; at most `most` players are used.
pub(super) fn improve(
    model: &Model,
    players: &mut Vec<usize>,
    most: usize,
    cost: &dyn Fn(&[usize]) -> i64,
) -> i64 {
    let mut best = cost(players);
    for _ in 0..ROUNDS {
        let before = best;
        for node in 0..model.len() {
            let used = players.iter().fold(0, |set, &p| set | bit(p));
            let open = if size(used) < most { first(model.palette) } else { used };
            for player in each(open & at(&model.lists, node)) {
                let Some(changed) = exchanged(model, players, node, player) else { continue };
                let now = cost(&changed);
                if now < best {
                    best = now;
                    *players = changed;
                }
            }
        }
        if best == before {
            break;
        }
    }
    best
}

/// The players after `node` has gone to `player`, and what hangs on it has been exchanged; none when a list or a
/// crowd forbids it.
fn exchanged(model: &Model, players: &[usize], node: usize, player: usize) -> Option<Vec<usize>> {
    let mine = at(players, node);
    if mine == player {
        return None;
    }
    let mut out = players.to_vec();
    put(&mut out, node, player);
    let mut chain = vec![node];
    let mut next = 0;
    while let Some(&here) = chain.get(next) {
        next += 1;
        let mine_now = at(&out, here);
        if at(&model.lists, here) & bit(mine_now) == 0 || !row(&model.crowds_of, here).is_empty() {
            return None;
        }
        for &other in row(&model.near, here) {
            if at(&out, other) == mine_now {
                put(&mut out, other, if mine_now == player { mine } else { player });
                chain.push(other);
            }
        }
    }
    Some(out)
}
