//! A call split by passages between players: where the handovers are, and whether fewer players are then enough.

use super::conflicts::Rota;
use super::number::{CallNo, List, PassageNo, PlayerNo, StrandNo};
use super::problem::{BadInput, Call, Demand, PassageRef, Problem, ShareOut};

/// A problem in which calls may be split by passages.
#[derive(Debug, Clone)]
pub struct Split {
    /// The problem made ready, with one call for each piece.
    pub rota: Rota,
    /// The passages of each piece.
    pub pieces: List<CallNo, Vec<PassageRef>>,
}

/// A place in a call where another player takes over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Handover {
    /// The call.
    pub call: CallNo,
    /// The last passage before it.
    pub after: PassageNo,
    /// Who gives.
    pub from: PlayerNo,
    /// Who takes.
    pub to: PlayerNo,
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
    pub fn split(&self, calls: &[CallNo]) -> Result<Split, Vec<BadInput>> {
        let whole = self.problem();
        let bound = |c: CallNo| {
            let kept =
                whole.demands.iter().any(|d| matches!(d, Demand::Together { a, b } if *a == c || *b == c));
            kept || whole.playable_together.iter().any(|&(a, b)| a == c || b == c)
        };
        let strands = whole.calls.iter().filter_map(|c| c.strand).max().map_or(0, |s| s.0 + 1);
        let mut pieces: List<CallNo, Vec<PassageRef>> = List::new();
        let mut out: List<CallNo, Call> = List::new();
        let mut whole_of: List<CallNo, CallNo> = List::new();
        let mut pieces_of: PiecesOf = List::filled(Vec::new(), whole.calls.len());
        for (index, call) in whole.calls.entries() {
            let cut = calls.contains(&index) && call.passages.len() > 1 && !bound(index);
            let size = if cut { 1 } else { call.passages.len().max(1) };
            let all: Vec<PassageNo> = call.passages.numbers().collect();
            let chunks: Vec<&[PassageNo]> =
                if all.is_empty() { vec![&[]] } else { all.chunks(size).collect() };
            for (n, chunk) in chunks.iter().enumerate() {
                whole_of.push(index);
                pieces.push(chunk.iter().map(|&passage| PassageRef { call: index, passage }).collect());
                let strand = call.strand.or(cut.then_some(StrandNo(strands + index.0)));
                pieces_of[index].push(out.push(Call {
                    label: if cut { format!("{}, {}", call.label, n + 1) } else { call.label.clone() },
                    passages: chunk.iter().map(|&passage| call.passages[passage]).collect(),
                    strand,
                    exposure: call.exposure / chunks.len().max(1) as f64,
                    ..call.clone()
                }));
            }
        }
        let needs = whole
            .needs
            .as_ref()
            .map(|needs| whole_of.iter().map(|&a| whole_of.iter().map(|&b| needs[a][b]).collect()).collect());
        let problem = Problem {
            calls: out,
            needs,
            playable_together: pairs(&whole.playable_together, &pieces_of),
            demands: whole.demands.iter().flat_map(|d| demands_of(d, &pieces_of)).collect(),
            ..whole.clone()
        };
        Ok(Split { rota: Rota::new(problem)?, pieces })
    }
}

impl Split {
    /// The handovers of a share-out of the pieces, in the order of calls and passages.
    pub fn handovers(&self, share_out: &ShareOut) -> Vec<Handover> {
        let pairs = self.pieces.numbers().zip(self.pieces.numbers().skip(1));
        let found = pairs.filter_map(|(n, next)| {
            let (last, first) = (*self.pieces[n].last()?, *self.pieces[next].first()?);
            let (from, to) = (share_out.player(n)?, share_out.player(next)?);
            if last.call != first.call || from == to {
                return None;
            }
            let before = self.rota.spans(n).last()?;
            let after = self.rota.spans(next).first()?;
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
    pub fn players_of(&self, share_out: &ShareOut, call: CallNo) -> List<PassageNo, Option<PlayerNo>> {
        let here =
            self.pieces.entries().flat_map(|(piece, passages)| passages.iter().map(move |p| (piece, p)));
        here.filter(|(_, p)| p.call == call).map(|(piece, _)| share_out.player(piece)).collect()
    }
}

/// The pieces of each call.
type PiecesOf = List<CallNo, Vec<CallNo>>;

fn pairs(whole: &[(CallNo, CallNo)], pieces_of: &PiecesOf) -> Vec<(CallNo, CallNo)> {
    // Calls of such a pair are not cut: they have one piece each.
    whole.iter().flat_map(|&(a, b)| pieces_of[a].iter().zip(&pieces_of[b])).map(|(&a, &b)| (a, b)).collect()
}

fn demands_of(demand: &Demand, pieces_of: &PiecesOf) -> Vec<Demand> {
    let all = |calls: &[CallNo]| calls.iter().flat_map(|&c| &pieces_of[c]).copied().collect::<Vec<CallNo>>();
    match demand {
        Demand::Pin { call, player } => {
            pieces_of[*call].iter().map(|&call| Demand::Pin { call, player: *player }).collect()
        }
        Demand::Bar { player, calls, why } => {
            vec![Demand::Bar { player: *player, calls: all(calls), why: why.clone() }]
        }
        Demand::Only { calls, players, why } => {
            vec![Demand::Only { calls: all(calls), players: players.clone(), why: why.clone() }]
        }
        Demand::Together { a, b } => {
            pairs(&[(*a, *b)], pieces_of).into_iter().map(|(a, b)| Demand::Together { a, b }).collect()
        }
        Demand::Apart { a, b } => pieces_of[*a]
            .iter()
            .flat_map(|&a| pieces_of[*b].iter().map(move |&b| Demand::Apart { a, b }))
            .collect(),
        // Worked out anew from the pieces.
        Demand::Hands { .. } => Vec::new(),
    }
}
