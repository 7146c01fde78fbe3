//! Can the calls be shared out among no more than so many players?
//!
//! Movements have little to do with each other, so the graph falls into pieces; what ties the pieces is
//! only which players are engaged at all. So the engaged set is chosen first (players that are alike
//! count once), and the pieces are then asked one by one, remembering what each has answered:
//! a piece that works with some players works with more, and one that fails fails with fewer.

use super::colour::{Steps, Verdict, alike, colour, pieces};
use super::model::Model;
use super::plain::{at, bit, each, first, put, size};

/// Whether at most `most` players can do it, and how.
pub(super) fn decide(model: &Model, most: usize, steps: &mut Steps) -> Verdict {
    if model.broken {
        return Verdict::No;
    }
    let nodes: Vec<usize> = (0..model.len()).collect();
    let classes = alike(model, &nodes, first(model.palette));
    let mut asked = Asked {
        model,
        pieces: pieces(model).into_iter().map(Piece::new).collect(),
        steps,
        answer: Verdict::No,
        must: model.lists.iter().filter(|&&l| size(l) == 1).fold(0, |set, &l| set | l),
    };
    let most = most.min(model.palette);
    if size(asked.must) <= most {
        asked.sets(&classes, most, 0);
    }
    asked.answer
}

struct Piece {
    nodes: Vec<usize>,
    works: Vec<(u64, Vec<usize>)>,
    fails: Vec<u64>,
}

impl Piece {
    fn new(nodes: Vec<usize>) -> Self {
        Self { nodes, works: Vec::new(), fails: Vec::new() }
    }
}

struct Asked<'m, 's> {
    model: &'m Model,
    pieces: Vec<Piece>,
    steps: &'s mut Steps,
    answer: Verdict,
    /// Players that some node has to have.
    must: u64,
}

impl Asked<'_, '_> {
    /// Goes through the sets of exactly `left` more players from `classes`; true to stop.
    fn sets(&mut self, classes: &[u64], left: usize, chosen: u64) -> bool {
        let Some((&class, rest)) = classes.split_first() else {
            return self.try_set(chosen);
        };
        let later: usize = rest.iter().map(|&c| size(c)).sum();
        let fewest = left.saturating_sub(later);
        for take in (fewest..=left.min(size(class))).rev() {
            let taken = each(class).take(take).fold(0, |set, p| set | bit(p));
            if class & self.must & !taken != 0 {
                continue;
            }
            if self.sets(rest, left - take, chosen | taken) {
                return true;
            }
        }
        false
    }

    /// Asks every piece about one set of players; true when there is nothing more to ask.
    fn try_set(&mut self, set: u64) -> bool {
        if !self.steps.take() {
            self.answer = Verdict::Unknown;
            return true;
        }
        let mut out = vec![0; self.model.len()];
        let mut unknown = false;
        for piece in &mut self.pieces {
            if piece.fails.iter().any(|&f| set & !f == 0) {
                return false;
            }
            let known = piece.works.iter().position(|&(w, _)| w & !set == 0);
            if known.is_none() {
                match colour(self.model, &piece.nodes, set, self.steps) {
                    Verdict::Yes(players) => {
                        let used = players.iter().fold(0, |s, &p| s | bit(p));
                        piece.works.push((used, players));
                    }
                    Verdict::No => {
                        piece.fails.push(set);
                        return false;
                    }
                    Verdict::Unknown => unknown = true,
                }
            }
            let which = known.unwrap_or(piece.works.len().saturating_sub(1));
            if let Some((_, players)) = piece.works.get(which) {
                for (i, &node) in piece.nodes.iter().enumerate() {
                    put(&mut out, node, at(players, i));
                }
            }
        }
        self.answer = if unknown { Verdict::Unknown } else { Verdict::Yes(out) };
        true
    }
}
