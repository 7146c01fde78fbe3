//! The fewest players on thousands of small random programmes with demands, against trying everything.
//!
//! The brute force here knows only the independent checker: it tries every way of giving calls to players.

use backrow_core::rota::check::faults;
use backrow_core::rota::{Answer, Call, Demand, Effort, Passage, Problem, Rota, ShareOut};

/// A small fixed pseudo-random sequence (xorshift), so that every run sees the same cases.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from((self.0 >> 11) % sides).unwrap()
    }
}

fn random_problem(dice: &mut Dice) -> Problem {
    let count = 1 + dice.roll(6);
    let players = dice.roll(4);
    let mut problem = Problem {
        players: (0..players).map(|p| format!("p{p}")).collect(),
        extras: dice.roll(3) + usize::from(players == 0),
        places_m: (0..4).map(|_| [dice.roll(8) as f64, dice.roll(3) as f64]).collect(),
        ..Problem::default()
    };
    for i in 0..count {
        let mut passages = Vec::new();
        let mut now = dice.roll(30) as f64 / 2.0;
        for _ in 0..=dice.roll(3) {
            let to_s = now + 0.5 + dice.roll(8) as f64 / 2.0;
            let place = (dice.roll(4) > 0).then(|| dice.roll(4));
            passages.push(Passage { from_s: now, to_s, place, beaters: Some(dice.roll(2)) });
            now = to_s + dice.roll(20) as f64 / 2.0;
        }
        let instrument = Some(dice.roll(4));
        problem.calls.push(Call { label: format!("c{i}"), instrument, passages, ..Call::default() });
    }
    for _ in 0..dice.roll(4) {
        let demand = random_demand(dice, count as u64, problem.palette() as u64);
        problem.demands.push(demand);
    }
    if dice.roll(3) == 0 {
        problem.hands.push((dice.roll(4), 1 + dice.roll(2)));
    }
    if dice.roll(3) == 0 && count > 1 {
        problem.playable_together.push((0, 1));
    }
    problem
}

fn random_demand(dice: &mut Dice, calls: u64, players: u64) -> Demand {
    let (a, b) = (dice.roll(calls), dice.roll(calls));
    let player = dice.roll(players);
    match dice.roll(5) {
        0 => Demand::Pin { call: a, player },
        1 => Demand::Bar { player, calls: vec![a, b], why: "away".into() },
        2 => Demand::Only { calls: vec![a], players: vec![player, dice.roll(players)], why: "kind".into() },
        3 => Demand::Together { a, b },
        _ => Demand::Apart {
            a,
            b: if a == b {
                (b + 1) % usize::try_from(calls.max(2)).unwrap() % usize::try_from(calls).unwrap()
            } else {
                b
            },
        },
    }
}

/// The fewest players by trying every share-out; `None` when none keeps the rules.
fn by_trying(problem: &Problem) -> Option<usize> {
    let (count, palette) = (problem.calls.len(), problem.palette());
    let mut best = None;
    let mut given = vec![0; count];
    loop {
        let share_out = ShareOut { players: given.iter().map(|&p| Some(p)).collect() };
        let used = share_out.used().len();
        if best.is_none_or(|b| used < b) && faults(problem, &share_out).is_empty() {
            best = Some(used);
        }
        let Some(i) = given.iter().position(|&p| p + 1 < palette) else { return best };
        given[i] += 1;
        given[..i].fill(0);
    }
}

#[test]
fn fewest_players_agree_with_trying_everything() {
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let (mut found_some, mut impossible) = (0, 0);
    for case in 0..3000 {
        let problem = random_problem(&mut dice);
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
