//! A call split by passages between players: where the handovers are, and whether fewer players are then enough.

use super::conflicts::Rota;
use super::fewest::{Answer, Effort};
use super::plain::{at, put, row};
use super::problem::{BadInput, Call, Demand, PassageRef, Problem, ShareOut};

/// A problem in which calls may be split by passages.
#[derive(Debug, Clone)]
pub struct Split {
    /// The problem made ready, with one call for each piece.
    pub rota: Rota,
    /// The passages of each piece.
    pub pieces: Vec<Vec<PassageRef>>,
}

/// A place in a call where another player takes over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Handover {
    /// The call.
    pub call: usize,
    /// The last passage before it.
    pub after: usize,
    /// Who gives.
    pub from: usize,
    /// Who takes.
    pub to: usize,
    /// When the next passage starts, in seconds.
    pub at_s: f64,
    /// Seconds between the two passages.
    pub gap_s: f64,
}

impl Rota {
    /// The problem in which each of `calls` may be split by passages.
    ///
    /// A call that is kept together with another, or marked as playable together with one, stays whole.
    /// Pieces of one call form a strand, so that the wish to stay counts every handover.
    ///
    /// # Errors
    /// None that the whole problem did not have.
    pub fn split(&self, calls: &[usize]) -> Result<Split, Vec<BadInput>> {
        let whole = self.problem();
        let bound = |c: usize| {
            let kept =
                whole.demands.iter().any(|d| matches!(d, Demand::Together { a, b } if *a == c || *b == c));
            kept || whole.playable_together.iter().any(|&(a, b)| a == c || b == c)
        };
        let strands = whole.calls.iter().filter_map(|c| c.strand).max().map_or(0, |s| s + 1);
        let mut pieces: Vec<Vec<PassageRef>> = Vec::new();
        let mut out: Vec<Call> = Vec::new();
        let mut pieces_of: Vec<Vec<usize>> = vec![Vec::new(); whole.calls.len()];
        for (index, call) in whole.calls.iter().enumerate() {
            let cut = calls.contains(&index) && call.passages.len() > 1 && !bound(index);
            let size = if cut { 1 } else { call.passages.len().max(1) };
            let chunks: Vec<&[_]> =
                if call.passages.is_empty() { vec![&[][..]] } else { call.passages.chunks(size).collect() };
            for (n, chunk) in chunks.iter().enumerate() {
                if let Some(list) = pieces_of.get_mut(index) {
                    list.push(out.len());
                }
                let start = n * size;
                pieces
                    .push((0..chunk.len()).map(|i| PassageRef { call: index, passage: start + i }).collect());
                out.push(Call {
                    label: if cut { format!("{}, {}", call.label, n + 1) } else { call.label.clone() },
                    instruments: call.instruments.clone(),
                    passages: chunk.to_vec(),
                    strand: call.strand.or(cut.then_some(strands + index)),
                    last_time: call.last_time,
                    exposure: call.exposure / chunks.len().max(1) as f64,
                });
            }
        }
        let problem = Problem {
            calls: out,
            playable_together: pairs(&whole.playable_together, &pieces_of),
            demands: whole.demands.iter().flat_map(|d| demands_of(d, &pieces_of)).collect(),
            ..whole.clone()
        };
        Ok(Split { rota: Rota::new(problem)?, pieces })
    }

    /// The fewest players when every call may be split, beside the fewest when none is.
    ///
    /// # Errors
    /// None that the whole problem did not have.
    pub fn fewest_when_split(&self, effort: Effort) -> Result<Answer, Vec<BadInput>> {
        let all: Vec<usize> = (0..self.problem().calls.len()).collect();
        Ok(self.split(&all)?.rota.fewest(effort))
    }
}

impl Split {
    /// The handovers of a share-out of the pieces, in the order of calls and passages.
    pub fn handovers(&self, share_out: &ShareOut) -> Vec<Handover> {
        let pairs = self.pieces.windows(2).enumerate();
        let found = pairs.filter_map(|(n, pair)| {
            let [one, next] = pair else { return None };
            let (last, first) = (*one.last()?, *next.first()?);
            let (from, to) = (share_out.player(n)?, share_out.player(n + 1)?);
            if last.call != first.call || from == to {
                return None;
            }
            let before = self.rota.spans(n).last()?;
            let after = self.rota.spans(n + 1).first()?;
            Some(Handover {
                call: last.call,
                after: last.passage,
                from,
                to,
                at_s: after.from as f64 / 1e6,
                gap_s: (after.from - before.to) as f64 / 1e6,
            })
        });
        found.collect()
    }

    /// The player of every passage of a call of the whole problem.
    pub fn players_of(&self, share_out: &ShareOut, call: usize) -> Vec<Option<usize>> {
        let mut out = Vec::new();
        for (piece, passages) in self.pieces.iter().enumerate() {
            for passage in passages.iter().filter(|p| p.call == call) {
                out.resize(out.len().max(passage.passage + 1), None);
                put(&mut out, passage.passage, share_out.player(piece));
            }
        }
        out
    }
}

fn pairs(whole: &[(usize, usize)], pieces_of: &[Vec<usize>]) -> Vec<(usize, usize)> {
    whole.iter().map(|&(a, b)| (at(row(pieces_of, a), 0), at(row(pieces_of, b), 0))).collect()
}

fn demands_of(demand: &Demand, pieces_of: &[Vec<usize>]) -> Vec<Demand> {
    let all =
        |calls: &[usize]| calls.iter().flat_map(|&c| row(pieces_of, c)).copied().collect::<Vec<usize>>();
    match demand {
        Demand::Pin { call, player } => {
            row(pieces_of, *call).iter().map(|&call| Demand::Pin { call, player: *player }).collect()
        }
        Demand::Bar { player, calls, why } => {
            vec![Demand::Bar { player: *player, calls: all(calls), why: why.clone() }]
        }
        Demand::Only { calls, players, why } => {
            vec![Demand::Only { calls: all(calls), players: players.clone(), why: why.clone() }]
        }
        Demand::Together { a, b } => {
            vec![Demand::Together { a: at(row(pieces_of, *a), 0), b: at(row(pieces_of, *b), 0) }]
        }
        Demand::Apart { a, b } => row(pieces_of, *a)
            .iter()
            .flat_map(|&a| row(pieces_of, *b).iter().map(move |&b| Demand::Apart { a, b }))
            .collect(),
        // Worked out anew from the pieces.
        Demand::Hands { .. } => Vec::new(),
    }
}
