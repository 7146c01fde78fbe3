//! When nothing works: a small set of lines and demands that cannot be met together.

use super::colour::{Steps, Verdict};
use super::conflicts::Rota;
use super::decide::decide;
use super::fewest::Effort;
use super::model::{Model, Scope};
use super::number::LineNo;
use super::problem::Demand;

/// Lines and demands that cannot be met together. Leave out any one of them and the rest can be met
/// (unless the steps ran out while it was made small).
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Impossible {
    /// The lines.
    pub lines: Vec<LineNo>,
    /// The demands.
    pub demands: Vec<Demand>,
    /// How many players there are, extras included.
    pub players: usize,
}

/// The smallest set found by leaving out one thing after another.
pub(super) fn smallest_impossible(rota: &Rota, player_count: usize, effort: Effort) -> Impossible {
    let mut scope = Scope::whole(rota);
    shrink(rota, &mut scope, player_count, effort);
    Impossible { lines: scope.line_list(), demands: kept_demands(rota, &scope), players: player_count }
}

/// Leaves out lines and demands while the rest still needs more than `most` players of all that there are. All trials
/// together take no more steps than one question; what is left when they run out stays in.
pub(super) fn shrink(rota: &Rota, scope: &mut Scope, most: usize, effort: Effort) {
    let mut steps = rota.steps(effort.steps);
    let mut piece = (scope.lines.len() / 4).next_power_of_two();
    while piece > 0 {
        let all: Vec<LineNo> = scope.lines.numbers().collect();
        for together in all.chunks(piece) {
            let chosen: Vec<LineNo> = together.iter().copied().filter(|&c| scope.lines[c]).collect();
            leave_out(rota, scope, &chosen, most, &mut steps);
        }
        piece /= 2;
    }
    for demand in scope.demands.numbers() {
        scope.demands[demand] = false;
        if !still_fails(rota, scope, most, &mut steps) {
            scope.demands[demand] = true;
        }
    }
}

fn leave_out(rota: &Rota, scope: &mut Scope, chosen: &[LineNo], most: usize, steps: &mut Steps) {
    if chosen.is_empty() {
        return;
    }
    for &line in chosen {
        scope.lines[line] = false;
    }
    if !still_fails(rota, scope, most, steps) {
        for &line in chosen {
            scope.lines[line] = true;
        }
    }
}

/// Whether it is proven with the steps left that `most` players are not enough for what is in scope.
pub(super) fn still_fails(rota: &Rota, scope: &Scope, most: usize, steps: &mut Steps) -> bool {
    if !steps.take(rota.size()) {
        return false;
    }
    let model = Model::new(rota, scope, rota.problem().player_count());
    decide(&model, most, steps) == Verdict::No
}

/// The demands in scope, cut to what is in scope; those that then say nothing are left out.
pub(super) fn kept_demands(rota: &Rota, scope: &Scope) -> Vec<Demand> {
    let here = |lines: &[LineNo]| lines.iter().copied().filter(|&c| scope.lines[c]).collect::<Vec<LineNo>>();
    let cut = |demand: &Demand| {
        let lines = match demand {
            Demand::Bar { lines, .. } | Demand::Only { lines, .. } | Demand::Hands { lines, .. } => {
                here(lines)
            }
            Demand::Pin { line, .. } => here(&[*line]),
            Demand::Together { a, b } | Demand::Apart { a, b } => here(&[*a, *b]),
        };
        if lines.is_empty() {
            return None;
        }
        Some(match demand.clone() {
            Demand::Bar { player, why, .. } => Demand::Bar { player, lines, why },
            Demand::Only { players, why, .. } => Demand::Only { lines, players, why },
            Demand::Hands { instrument, hands, .. } => Demand::Hands { instrument, lines, hands },
            other => other,
        })
    };
    rota.demands()
        .entries()
        .filter(|&(demand, _)| scope.demands[demand])
        .filter_map(|(_, d)| cut(d))
        .collect()
}
