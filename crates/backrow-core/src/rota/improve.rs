//! Makes a set of assignments better by small changes, each of which keeps every rule.
//!
//! One change: in a piece of the programme two players change all their lines there. The piece is what hangs
//! together by clashes among the lines of the two (A. B. Kempe's chains, 1879; cited from memory), so a
//! single line that is free to move is the smallest of these.

use super::colour::Steps;
use super::model::Model;
use super::number::{List, NodeNo, PlayerNo};
use super::players::PlayerSet;

/// The most rounds through all lines.
const ROUNDS: usize = 6;

/// What the cost of a whole set of assignments takes, beside looking once at each node.
const A_LOOK: usize = 16;

/// The player of each node.
type ByNode = List<NodeNo, PlayerNo>;

/// Changes players (by node) while that costs less by `cost`; at most `most` players are used.
pub(super) fn improve(
    model: &Model,
    players: &mut ByNode,
    most: usize,
    cost: &dyn Fn(&ByNode) -> i64,
    steps: &mut Steps,
) -> i64 {
    let mut best = cost(players);
    for _ in 0..ROUNDS {
        let before = best;
        for node in model.members.numbers() {
            let used: PlayerSet = players.iter().copied().collect();
            let open = if used.len() < most { PlayerSet::first(model.player_count) } else { used };
            for player in (open & model.lists[node]).each() {
                let Some(changed) = exchanged(model, players, node, player) else { continue };
                if !steps.take(A_LOOK * model.len()) {
                    return best;
                }
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
fn exchanged(model: &Model, players: &ByNode, node: NodeNo, player: PlayerNo) -> Option<ByNode> {
    let mine = players[node];
    if mine == player {
        return None;
    }
    let mut out = players.clone();
    out[node] = player;
    let mut chain = vec![node];
    let mut next = 0;
    while let Some(&here) = chain.get(next) {
        next += 1;
        let now = out[here];
        if !model.lists[here].has(now) || !model.groups_of[here].is_empty() {
            return None;
        }
        for &other in &model.near[here] {
            if out[other] == now {
                out[other] = if now == player { mine } else { player };
                chain.push(other);
            }
        }
    }
    Some(out)
}

#[cfg(test)]
mod worked;
