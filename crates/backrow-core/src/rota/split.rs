//! A line split by passages between players: where the handovers are, and whether fewer players are then enough.

use super::conflicts::Rota;
use super::number::{LineNo, List, PassageNo, PlayerNo, StrandNo};
use super::problem::{Assignments, BadInput, Demand, Line, PassageRef, Problem};

/// A problem in which lines may be split by passages.
#[derive(Debug, Clone)]
pub struct Split {
    /// The problem made ready, with one call for each piece.
    pub rota: Rota,
    /// The passages of each piece.
    pub pieces: List<LineNo, Vec<PassageRef>>,
}

/// A place in a line where another player takes over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Handover {
    /// The line.
    pub line: LineNo,
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
    /// The problem in which each of `lines` may be split by passages.
    ///
    /// A line that is kept together with another, or marked as playable together with one, stays whole.
    /// Pieces of one line form a strand, so that the wish to stay counts every handover.
    ///
    /// # Errors
    /// None that the whole problem did not have.
    pub fn split(&self, lines: &[LineNo]) -> Result<Split, Vec<BadInput>> {
        let whole = self.problem();
        let bound = |c: LineNo| {
            let kept =
                whole.demands.iter().any(|d| matches!(d, Demand::Together { a, b } if *a == c || *b == c));
            kept || whole.playable_together.iter().any(|&(a, b)| a == c || b == c)
        };
        let strands = whole.lines.iter().filter_map(|c| c.strand).max().map_or(0, |s| s.0 + 1);
        let mut pieces: List<LineNo, Vec<PassageRef>> = List::new();
        let mut out: List<LineNo, Line> = List::new();
        let mut pieces_of: PiecesOf = List::filled(Vec::new(), whole.lines.len());
        for (index, line) in whole.lines.entries() {
            let cut = lines.contains(&index) && line.passages.len() > 1 && !bound(index);
            let size = if cut { 1 } else { line.passages.len().max(1) };
            let all: Vec<PassageNo> = line.passages.numbers().collect();
            let chunks: Vec<&[PassageNo]> =
                if all.is_empty() { vec![&[]] } else { all.chunks(size).collect() };
            for (n, chunk) in chunks.iter().enumerate() {
                pieces.push(chunk.iter().map(|&passage| PassageRef { line: index, passage }).collect());
                let strand = line.strand.or(cut.then_some(StrandNo(strands + index.0)));
                pieces_of[index].push(out.push(Line {
                    label: if cut { format!("{}, {}", line.label, n + 1) } else { line.label.clone() },
                    passages: chunk.iter().map(|&passage| line.passages[passage]).collect(),
                    strand,
                    exposure: line.exposure / chunks.len().max(1) as f64,
                    ..line.clone()
                }));
            }
        }
        let problem = Problem {
            lines: out,
            playable_together: pairs(&whole.playable_together, &pieces_of),
            demands: whole.demands.iter().flat_map(|d| demands_of(d, &pieces_of)).collect(),
            ..whole.clone()
        };
        Ok(Split { rota: Rota::new(problem)?.until(self.halt()), pieces })
    }
}

impl Split {
    /// The handovers of a set of assignments of the pieces, in the order of lines and passages.
    pub fn handovers(&self, assignments: &Assignments) -> Vec<Handover> {
        let pairs = self.pieces.numbers().zip(self.pieces.numbers().skip(1));
        let found = pairs.filter_map(|(n, next)| {
            let (last, first) = (*self.pieces[n].last()?, *self.pieces[next].first()?);
            let (from, to) = (assignments.player(n)?, assignments.player(next)?);
            if last.line != first.line || from == to {
                return None;
            }
            let before = self.rota.spans(n).last()?;
            let after = self.rota.spans(next).first()?;
            Some(Handover {
                line: last.line,
                after: last.passage,
                from,
                to,
                at_s: after.from as f64 / 1e6,
                gap_s: (after.from - before.to) as f64 / 1e6,
            })
        });
        found.collect()
    }

    /// The player of every passage of a line of the whole problem.
    pub fn players_of(&self, assignments: &Assignments, line: LineNo) -> List<PassageNo, Option<PlayerNo>> {
        let here =
            self.pieces.entries().flat_map(|(piece, passages)| passages.iter().map(move |p| (piece, p)));
        here.filter(|(_, p)| p.line == line).map(|(piece, _)| assignments.player(piece)).collect()
    }
}

/// The pieces of each line.
type PiecesOf = List<LineNo, Vec<LineNo>>;

fn pairs(whole: &[(LineNo, LineNo)], pieces_of: &PiecesOf) -> Vec<(LineNo, LineNo)> {
    // Lines of such a pair are not cut: they have one piece each.
    whole.iter().flat_map(|&(a, b)| pieces_of[a].iter().zip(&pieces_of[b])).map(|(&a, &b)| (a, b)).collect()
}

fn demands_of(demand: &Demand, pieces_of: &PiecesOf) -> Vec<Demand> {
    let all = |lines: &[LineNo]| lines.iter().flat_map(|&c| &pieces_of[c]).copied().collect::<Vec<LineNo>>();
    match demand {
        Demand::Pin { line, player } => {
            pieces_of[*line].iter().map(|&line| Demand::Pin { line, player: *player }).collect()
        }
        Demand::Bar { player, lines, why } => {
            vec![Demand::Bar { player: *player, lines: all(lines), why: why.clone() }]
        }
        Demand::Only { lines, players, why } => {
            vec![Demand::Only { lines: all(lines), players: players.clone(), why: why.clone() }]
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

#[cfg(test)]
mod worked;
