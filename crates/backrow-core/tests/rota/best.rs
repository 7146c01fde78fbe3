//! The best assignments and the repair against trying everything, on small random programmes.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use crate::made::{Dice, every_assignments, small, turning};
use backrow_core::rota::check::faults;
use backrow_core::rota::{Assignments, Effort, LineNo, Missing, PlayerNo, Problem, Rota};

/// The least cost of any set of assignments among at most `players` players.
fn least_cost(rota: &Rota, players: usize) -> Option<i64> {
    let mut least = None;
    every_assignments(rota.problem(), |assignments| {
        if assignments.used().len() <= players && faults(rota.problem(), assignments).is_empty() {
            let cost = rota.cost(assignments, players).milli_points;
            least = Some(least.map_or(cost, |l: i64| l.min(cost)));
        }
    });
    least
}

#[test]
fn best_assignments_agree_with_trying_everything() {
    agree_with_trying(small);
}

/// Ways, too, are from where a passage ends to where the next begins.
#[test]
fn best_assignments_agree_where_passages_end_elsewhere() {
    agree_with_trying(turning);
}

fn agree_with_trying(made: fn(&mut Dice) -> Problem) {
    let mut dice = Dice(0xD1B5_4A32_D192_ED03);
    let mut found = 0;
    for case in 0..1200 {
        let mut problem = made(&mut dice);
        problem.wishes.load = [0, 1, 40][dice.roll(3)];
        problem.wishes.exposure = [0, 1, 5][dice.roll(3)];
        let players = 1 + dice.roll(3);
        let rota = Rota::new(problem).unwrap();
        let expected = least_cost(&rota, players);
        let best = rota.best(players, None, Effort::default());
        assert_eq!(best.as_ref().map(|b| b.cost.milli_points), expected, "case {case}: {:?}", rota.problem());
        if let Some(best) = best {
            found += 1;
            assert!(best.proven());
            assert_eq!(faults(rota.problem(), &best.assignments), Vec::<String>::new());
            assert_eq!(rota.cost(&best.assignments, players), best.cost);
        }
    }
    assert!(found > 300, "{found}");
}

#[test]
fn a_narrow_search_never_claims_too_much() {
    let mut dice = Dice(77);
    for case in 0..400 {
        let rota = Rota::new(small(&mut dice)).unwrap();
        let expected = least_cost(&rota, 2);
        let effort = Effort { width: 1, ..Effort::default() };
        if let (Some(best), Some(least)) = (rota.best(2, None, effort), expected) {
            assert!(best.at_least_milli_points <= least && least <= best.cost.milli_points, "case {case}");
        }
    }
}

#[test]
fn repairs_change_as_little_as_possible() {
    let mut dice = Dice(2024);
    let (mut repaired, mut not) = (0, 0);
    for case in 0..600 {
        let rota = Rota::new(small(&mut dice)).unwrap();
        let players = rota.problem().player_count();
        let Some(before) = rota.best(players, None, Effort::default()) else { continue };
        let player = PlayerNo(dice.roll(players as u64));
        let lines: Vec<LineNo> = rota.problem().lines.numbers().filter(|_| dice.roll(3) > 0).collect();
        let missing = Missing { player, lines: &lines };
        let before = before.assignments;
        let repair = rota.without(&before, missing, players, Effort::default()).unwrap();
        let broken: Vec<LineNo> =
            lines.iter().copied().filter(|&c| before.player(c) == Some(player)).collect();
        assert_eq!(repair.broken, broken);
        match (fewest_changes(rota.problem(), &before, missing), repair.repaired) {
            (Some(changes), Some(after)) => {
                repaired += 1;
                assert_eq!(after.changed.len(), changes, "case {case}");
                assert!(after.fewest_changes);
                assert!(faults(rota.problem(), &after.best.assignments).is_empty());
            }
            (None, None) => not += 1,
            other => panic!("case {case}: {other:?}"),
        }
    }
    assert!(repaired > 100 && not > 10, "{repaired} repaired, {not} not");
}

fn fewest_changes(problem: &Problem, before: &Assignments, missing: Missing<'_>) -> Option<usize> {
    let mut fewest = None;
    every_assignments(problem, |after| {
        let kept_away = missing.lines.iter().all(|&c| after.player(c) != Some(missing.player));
        if kept_away && faults(problem, after).is_empty() {
            let changes = after.differs_in(before).len();
            fewest = Some(fewest.map_or(changes, |f: usize| f.min(changes)));
        }
    });
    fewest
}
