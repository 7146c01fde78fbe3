//! The fewest players on thousands of small random programmes with demands, against trying everything.
//!
//! The brute force here knows only the independent checker: it tries every way of giving lines to players.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use backrow_core::rota::check::faults;
use backrow_core::rota::{Answer, AtOnce, Demand, Effort, LineNo, List, Problem, Rota};

use crate::made::{Dice, at_once, every_assignments, small, strewn, turning};

/// The fewest players by trying every set of assignments; `None` when none keeps the rules.
fn by_trying(problem: &Problem) -> Option<usize> {
    let mut best = None;
    every_assignments(problem, |assignments| {
        let used = assignments.used().len();
        if best.is_none_or(|b| used < b) && faults(problem, assignments).is_empty() {
            best = Some(used);
        }
    });
    best
}

#[test]
fn fewest_players_agree_with_trying_everything() {
    agree_with_trying(small);
}

/// What is needed is from the end of a passage to the beginning of the next, which need not be alike.
#[test]
fn fewest_players_agree_where_passages_end_elsewhere() {
    agree_with_trying(turning);
}

fn agree_with_trying(made: fn(&mut Dice) -> Problem) {
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let (mut found_some, mut impossible) = (0, 0);
    for case in 0..3000 {
        let problem = made(&mut dice);
        let expected = by_trying(&problem);
        let rota = Rota::new(problem.clone()).unwrap();
        match rota.fewest(Effort::default()) {
            Answer::Found(found) => {
                found_some += 1;
                assert_eq!(Some(found.players), expected, "case {case}: {problem:?}");
                assert!(found.proven());
                assert_eq!(faults(&problem, &found.assignments), Vec::<String>::new(), "case {case}");
            }
            Answer::Impossible(no) => {
                impossible += 1;
                assert_eq!(None, expected, "case {case}: {no:?} {problem:?}");
                assert_minimal(&problem, &no.lines, &no.demands);
            }
            Answer::GaveUp { .. } => panic!("gave up on a small case"),
        }
    }
    assert!(found_some > 1000 && impossible > 100, "{found_some} found, {impossible} impossible");
}

/// The small impossible set is impossible on its own and possible without any one of its lines.
fn assert_minimal(problem: &Problem, lines: &[LineNo], demands: &[Demand]) {
    let only = |kept: &[LineNo]| {
        let mut small = Problem { lines: List::new(), demands: Vec::new(), ..problem.clone() };
        small.lines = kept.iter().map(|&c| problem.lines[c].clone()).collect();
        let place = |c: &LineNo| kept.iter().position(|k| k == c).map(LineNo);
        let pair = |a: &LineNo, b: &LineNo| place(a).zip(place(b));
        small.playable_together = problem.playable_together.iter().filter_map(|(a, b)| pair(a, b)).collect();
        small.at_once = Vec::new();
        for demand in demands {
            small.demands.extend(match demand {
                Demand::Pin { line, player } => place(line).map(|line| Demand::Pin { line, player: *player }),
                Demand::Bar { player, lines, why } => {
                    let lines = lines.iter().filter_map(place).collect();
                    Some(Demand::Bar { player: *player, lines, why: why.clone() })
                }
                Demand::Only { lines, players, why } => {
                    let lines = lines.iter().filter_map(place).collect();
                    Some(Demand::Only { lines, players: players.clone(), why: why.clone() })
                }
                Demand::Together { a, b } => pair(a, b).map(|(a, b)| Demand::Together { a, b }),
                Demand::Apart { a, b } => pair(a, b).map(|(a, b)| Demand::Apart { a, b }),
                Demand::Hands { instrument, hands, .. } => {
                    small.at_once.push(AtOnce { instrument: *instrument, players: *hands });
                    None
                }
            });
        }
        by_trying(&small)
    };
    assert_eq!(only(lines), None, "the impossible set can be met");
    for leave in lines {
        let rest: Vec<LineNo> = lines.iter().copied().filter(|c| c != leave).collect();
        assert!(only(&rest).is_some(), "line {leave} is not needed in the impossible set");
    }
}

/// With next to no steps an answer is still right in what it claims, and says what it does not know.
#[test]
fn a_search_that_stops_early_says_so_and_claims_nothing_wrong() {
    let (mut open, mut proven) = (0, 0);
    for seed in 1..40 {
        let effort = Effort { steps: [3, 40, 400][(seed % 3) as usize], width: 1 };
        let rota = Rota::new(strewn(&mut Dice(seed * 77), 40)).unwrap();
        let Answer::Found(whole) = rota.fewest(Effort::default()) else { panic!("extras for all") };
        assert!(whole.proven());
        match rota.fewest(effort) {
            Answer::Found(found) => {
                assert!(found.at_least <= whole.players && whole.players <= found.players, "seed {seed}");
                assert_eq!(faults(rota.problem(), &found.assignments), Vec::<String>::new());
                open += usize::from(!found.proven());
                proven += usize::from(found.proven());
                let best = rota.best(found.players, Some(&found.assignments), effort).unwrap();
                assert!(best.at_least_milli_points <= best.cost.milli_points);
            }
            Answer::GaveUp { at_least } => {
                open += 1;
                assert!(at_least <= whole.players, "seed {seed}");
            }
            Answer::Impossible(no) => panic!("seed {seed}: {no:?}"),
        }
    }
    assert!(open > 0 && proven > 0, "{open} left open, {proven} proven");
}

#[test]
fn more_lines_at_once_than_there_can_be_players_are_told_by_one_moment() {
    let rota = Rota::new(at_once(200)).unwrap();
    let Answer::Impossible(no) = rota.fewest(Effort::default()) else { panic!("64 players at the most") };
    assert_eq!((no.players, no.lines.len(), no.demands.len()), (64, 65, 0));
    assert!(Rota::new(at_once(4001)).is_err(), "more than are taken at once is said, not tried");
}
