//! Can the lines be shared out among no more than so many players?
//!
//! Movements have little to do with each other, so the graph falls into pieces; what ties the pieces is
//! only which players are engaged at all. So the engaged set is chosen first (players that are alike
//! count once), and the pieces are then asked one by one, remembering what each has answered:
//! a piece that works with some players works with more, and one that fails fails with fewer.

use super::colour::{Steps, Verdict, alike, colour, pieces};
use super::model::Model;
use super::number::{List, NodeNo, PlayerNo};
use super::players::PlayerSet;

/// Whether at most `most` players can do it, and how.
pub(super) fn decide(model: &Model, most: usize, steps: &mut Steps) -> Verdict {
    if model.broken {
        return Verdict::No;
    }
    let nodes: Vec<NodeNo> = model.members.numbers().collect();
    let classes = alike(model, &nodes, PlayerSet::first(model.player_count));
    let mut asked = Asked {
        model,
        pieces: pieces(model).into_iter().map(Piece::new).collect(),
        steps,
        answer: Verdict::No,
        must: model.must(),
    };
    let most = most.min(model.player_count);
    if asked.must.len() <= most {
        asked.sets(&classes, most, PlayerSet::NOBODY);
    }
    asked.answer
}

struct Piece {
    nodes: Vec<NodeNo>,
    works: Vec<(PlayerSet, Vec<PlayerNo>)>,
    fails: Vec<PlayerSet>,
}

impl Piece {
    fn new(nodes: Vec<NodeNo>) -> Self {
        Self { nodes, works: Vec::new(), fails: Vec::new() }
    }
}

struct Asked<'m, 's> {
    model: &'m Model,
    pieces: Vec<Piece>,
    steps: &'s mut Steps,
    answer: Verdict,
    /// Players that some node has to have.
    must: PlayerSet,
}

impl Asked<'_, '_> {
    /// Goes through the sets of exactly `left` more players from `classes`; true to stop.
    fn sets(&mut self, classes: &[PlayerSet], left: usize, chosen: PlayerSet) -> bool {
        let Some((&class, rest)) = classes.split_first() else {
            return self.try_set(chosen);
        };
        let later: usize = rest.iter().map(|c| c.len()).sum();
        let fewest = left.saturating_sub(later);
        for take in (fewest..=left.min(class.len())).rev() {
            let taken: PlayerSet = class.each().take(take).collect();
            if !(class & self.must).is_within(taken) {
                continue;
            }
            if self.sets(rest, left - take, chosen | taken) {
                return true;
            }
        }
        false
    }

    /// Asks every piece about one set of players; true when there is nothing more to ask.
    fn try_set(&mut self, set: PlayerSet) -> bool {
        if !self.steps.take(self.model.len()) {
            self.answer = Verdict::Unknown;
            return true;
        }
        let mut out: List<NodeNo, PlayerNo> = List::filled(PlayerNo(0), self.model.len());
        let mut unknown = false;
        for piece in &mut self.pieces {
            if piece.fails.iter().any(|&f| set.is_within(f)) {
                return false;
            }
            if !piece.works.iter().any(|&(works, _)| works.is_within(set)) {
                match colour(self.model, &piece.nodes, set, self.steps) {
                    Verdict::Yes(players) => {
                        piece.works.push((players.iter().copied().collect(), players));
                    }
                    Verdict::No => {
                        piece.fails.push(set);
                        return false;
                    }
                    Verdict::Unknown => unknown = true,
                }
            }
            if let Some((_, players)) = piece.works.iter().find(|&&(works, _)| works.is_within(set)) {
                for (&node, &player) in piece.nodes.iter().zip(players) {
                    out[node] = player;
                }
            }
        }
        self.answer = if unknown { Verdict::Unknown } else { Verdict::Yes(out.into_iter().collect()) };
        true
    }
}
