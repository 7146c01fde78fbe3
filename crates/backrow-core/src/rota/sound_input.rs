//! Goes over a [`Problem`] before anything is worked out from it.

use super::number::{LineNo, PlayerNo};
use super::players::MOST_PLAYERS;
use super::problem::{BadInput, Demand, Problem};

/// The longest stretch of music taken, in seconds: a year. Beyond it exact sums are no longer sure.
const LONGEST_S: f64 = 3.2e7;

/// The most lines that are taken at once: every pair of them is looked at and remembered.
const MOST_LINES: usize = 4000;

/// Everything that is wrong with the problem; empty when it can be worked with.
pub(super) fn faults(problem: &Problem) -> Vec<BadInput> {
    let mut found = Vec::new();
    if problem.lines.len() > MOST_LINES {
        found.push(bad(
            None,
            format!("More than {MOST_LINES} lines are asked about at once: ask about fewer."),
        ));
        return found;
    }
    habits(problem, &mut found);
    lines(problem, &mut found);
    players_and_demands(problem, &mut found);
    found
}

fn bad(line: Option<LineNo>, what: String) -> BadInput {
    BadInput { line, what }
}

fn amount(value: f64) -> bool {
    value.is_finite() && (0.0..LONGEST_S).contains(&value)
}

fn habits(problem: &Problem, found: &mut Vec<BadInput>) {
    let h = &problem.habits;
    if !(h.pace_m_s.is_finite() && h.pace_m_s >= 0.01) {
        found.push(bad(None, "The walking pace has to be at least 0.01 metres a second.".into()));
    }
    for (name, value) in [
        ("settle", h.settle_s),
        ("change", h.change_s),
        ("cymbals", h.cymbals_s),
        ("four-mallets", h.four_mallets_s),
        ("bow", h.bow_s),
        ("gloves", h.gloves_s),
        ("default distance", h.default_distance_m),
    ] {
        if !amount(value) {
            found.push(bad(None, format!("The habit “{name}” has to be a number from 0 up.")));
        }
    }
    if problem.places_m.iter().flatten().any(|v| !v.is_finite() || v.abs() > LONGEST_S) {
        found.push(bad(None, "A standing place has a coordinate that is not a number of metres.".into()));
    }
    let count = problem.lines.len();
    if problem.needs.as_ref().is_some_and(|n| n.len() != count || n.iter().any(|row| row.len() != count)) {
        found.push(bad(None, "What lies between two lines is not given for every pair of lines.".into()));
    }
}

fn lines(problem: &Problem, found: &mut Vec<BadInput>) {
    for (index, line) in problem.lines.entries() {
        let name = &line.label;
        let mut earlier = f64::NEG_INFINITY;
        for (n, p) in line.passages.iter().enumerate() {
            let n = n + 1;
            if !(p.from_s.is_finite() && p.to_s.is_finite() && p.from_s.abs().max(p.to_s.abs()) < LONGEST_S) {
                found.push(bad(
                    Some(index),
                    format!("{name}, passage {n}: a time is not a number of seconds."),
                ));
            } else if p.to_s < p.from_s {
                found.push(bad(Some(index), format!("{name}, passage {n} ends before it starts.")));
            } else if p.from_s < earlier {
                found.push(bad(
                    Some(index),
                    format!("{name}, passage {n} stands before an earlier one: sort them."),
                ));
            }
            earlier = p.from_s;
            if p.place.is_some_and(|place| place.0 >= problem.places_m.len()) {
                found.push(bad(
                    Some(index),
                    format!("{name}, passage {n} stands at a place that is not listed."),
                ));
            }
        }
        let listed = [line.last_time, line.now, line.owner].into_iter().flatten();
        if listed.into_iter().any(|player| player.0 >= problem.palette().min(MOST_PLAYERS)) {
            found.push(bad(
                Some(index),
                format!("{name}: its player of last time, its present player or its owner is not listed."),
            ));
        }
        if !amount(line.exposure) {
            found.push(bad(Some(index), format!("{name}: exposure has to be a number from 0 up.")));
        }
    }
}

fn players_and_demands(problem: &Problem, found: &mut Vec<BadInput>) {
    if problem.players.len() > MOST_PLAYERS {
        found.push(bad(
            None,
            format!("More than {MOST_PLAYERS} players are named; the rota takes that many."),
        ));
    }
    if problem.reserve.iter().any(|player| player.0 >= problem.players.len()) {
        found.push(bad(None, "Somebody in reserve is not listed among the players.".into()));
    }
    let count = problem.lines.len();
    let roster = problem.palette().min(MOST_PLAYERS);
    let pairs = &problem.playable_together;
    if pairs.iter().any(|&(a, b)| a.0 >= count || b.0 >= count) {
        found.push(bad(None, "A playable-together mark names a line that is not listed.".into()));
    }
    for (n, demand) in problem.demands.iter().enumerate() {
        let (lines, players): (&[LineNo], &[PlayerNo]) = match demand {
            Demand::Pin { line, player } => (&[*line], &[*player]),
            Demand::Bar { player, lines, .. } => (lines, &[*player]),
            Demand::Only { lines, players, .. } => (lines, players),
            Demand::Together { a, b } | Demand::Apart { a, b } => (&[*a, *b], &[]),
            Demand::Hands { lines, .. } => (lines, &[]),
        };
        if lines.iter().any(|c| c.0 >= count) || players.iter().any(|p| p.0 >= roster) {
            found.push(bad(None, format!("Demand {} names a line or a player that is not listed.", n + 1)));
        }
    }
}
