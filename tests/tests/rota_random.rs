//! The fewest players on thousands of small random programmes with demands, against trying everything.
//!
//! The brute force here knows only the independent checker: it tries every way of giving calls to players.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use backrow_core::rota::check::faults;
use backrow_core::rota::{Answer, Demand, Effort, Problem, Rota};

mod rota_made;

use rota_made::{Dice, every_share_out, small};

/// The fewest players by trying every share-out; `None` when none keeps the rules.
fn by_trying(problem: &Problem) -> Option<usize> {
    let mut best = None;
    every_share_out(problem, |share_out| {
        let used = share_out.used().len();
        if best.is_none_or(|b| used < b) && faults(problem, share_out).is_empty() {
            best = Some(used);
        }
    });
    best
}

#[test]
fn fewest_players_agree_with_trying_everything() {
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let (mut found_some, mut impossible) = (0, 0);
    for case in 0..3000 {
        let problem = small(&mut dice);
        let expected = by_trying(&problem);
        let rota = Rota::new(problem.clone()).unwrap();
        match rota.fewest(Effort::default()) {
            Answer::Found(found) => {
                found_some += 1;
                assert_eq!(Some(found.players), expected, "case {case}: {problem:?}");
                assert!(found.proved());
                assert_eq!(faults(&problem, &found.share_out), Vec::<String>::new(), "case {case}");
            }
            Answer::Impossible(no) => {
                impossible += 1;
                assert_eq!(None, expected, "case {case}: {no:?} {problem:?}");
                assert_minimal(&problem, &no.calls, &no.demands);
            }
            Answer::GaveUp { .. } => panic!("gave up on a small case"),
        }
    }
    assert!(found_some > 1000 && impossible > 100, "{found_some} found, {impossible} impossible");
}

/// The small impossible set is impossible on its own and possible without any one of its calls.
fn assert_minimal(problem: &Problem, calls: &[usize], demands: &[Demand]) {
    let only = |kept: &[usize]| {
        let mut small = Problem { calls: Vec::new(), demands: Vec::new(), ..problem.clone() };
        small.calls = kept.iter().map(|&c| problem.calls[c].clone()).collect();
        let place = |c: &usize| kept.iter().position(|k| k == c);
        let pair = |a: &usize, b: &usize| place(a).zip(place(b));
        small.playable_together = problem.playable_together.iter().filter_map(|(a, b)| pair(a, b)).collect();
        small.hands = Vec::new();
        for demand in demands {
            small.demands.extend(match demand {
                Demand::Pin { call, player } => place(call).map(|call| Demand::Pin { call, player: *player }),
                Demand::Bar { player, calls, why } => {
                    let calls = calls.iter().filter_map(place).collect();
                    Some(Demand::Bar { player: *player, calls, why: why.clone() })
                }
                Demand::Only { calls, players, why } => {
                    let calls = calls.iter().filter_map(place).collect();
                    Some(Demand::Only { calls, players: players.clone(), why: why.clone() })
                }
                Demand::Together { a, b } => pair(a, b).map(|(a, b)| Demand::Together { a, b }),
                Demand::Apart { a, b } => pair(a, b).map(|(a, b)| Demand::Apart { a, b }),
                Demand::Hands { instrument, hands, .. } => {
                    small.hands.push((*instrument, *hands));
                    None
                }
            });
        }
        by_trying(&small)
    };
    assert_eq!(only(calls), None, "the impossible set can be met");
    for leave in calls {
        let rest: Vec<usize> = calls.iter().copied().filter(|c| c != leave).collect();
        assert!(only(&rest).is_some(), "call {leave} is not needed in the impossible set");
    }
}
