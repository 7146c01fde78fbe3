//! Lines split by passages, against minimum path cover.
//!
//! R. P. Dilworth, "A decomposition theorem for partially ordered sets", 1950: where "can be played after"
//! is a partial order, the fewest chains that cover everything are as many as the largest set in which nothing
//! can be played after anything else. Straight ways keep the triangle inequality, so with one piece a
//! passage it is one. The fewest chains are the passages less a maximum matching (D. R. Fulkerson, 1956).
//! Both cited from memory.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use crate::made::{Dice, concert};
use backrow_core::rota::check::faults;
use backrow_core::rota::text::read;
use backrow_core::rota::{Answer, Effort, Fewest, LineNo, PassageNo, PassageRef, Rota, Shape};

fn found(answer: Answer) -> Fewest {
    match answer {
        Answer::Found(found) => *found,
        other => panic!("{other:?}"),
    }
}

#[test]
fn split_lines_agree_with_path_cover() {
    let mut dice = Dice(0x1234_5678_9ABC);
    let mut fell = 0;
    for case in 0..60 {
        let mut problem = concert(&mut dice, 6 + case % 13, 0);
        problem.demands.clear();
        let rota = Rota::new(problem).unwrap();
        let all: Vec<LineNo> = rota.problem().lines.numbers().collect();
        let split = rota.split(&all).unwrap();
        let pieces = found(split.rota.fewest(Effort::default()));
        let whole = found(rota.fewest(Effort::default()));
        assert!(pieces.proven() && pieces.players <= whole.players);
        assert_eq!(pieces.players, path_cover(&rota), "case {case}");
        assert_eq!(pieces.proof.shape, Shape::Moment, "a partial order is always proven by a moment");
        assert_eq!(faults(split.rota.problem(), &pieces.assignments), Vec::<String>::new());
        fell += usize::from(pieces.players < whole.players);
    }
    assert!(fell > 3, "splitting never helped: {fell}");
}

/// Passages less a maximum matching of passages to the ones that follow them.
fn path_cover(rota: &Rota) -> usize {
    let mut passages: Vec<(f64, PassageRef)> = Vec::new();
    for (line, c) in rota.problem().lines.entries() {
        passages.extend(c.passages.entries().map(|(passage, x)| (x.from_s, PassageRef { line, passage })));
    }
    passages.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let follows: Vec<Vec<usize>> = (0..passages.len())
        .map(|i| {
            let fits = |j: &usize| rota.way_between(passages[i].1, passages[*j].1).unwrap().fits();
            (i + 1..passages.len()).filter(fits).collect()
        })
        .collect();
    let mut before: Vec<Option<usize>> = vec![None; passages.len()];
    let matched = (0..passages.len())
        .filter(|&i| lengthen(i, &follows, &mut before, &mut vec![false; passages.len()]))
        .count();
    passages.len() - matched
}

fn lengthen(i: usize, follows: &[Vec<usize>], before: &mut [Option<usize>], seen: &mut [bool]) -> bool {
    for &j in &follows[i] {
        if !std::mem::replace(&mut seen[j], true)
            && before[j].is_none_or(|k| lengthen(k, follows, before, seen))
        {
            before[j] = Some(i);
            return true;
        }
    }
    false
}

#[test]
fn a_ring_of_three_is_cut_by_one_handover() {
    let rota =
        Rota::new(read("extras 3\nline a: 0-1 90-91\nline b: 0-1 40-41\nline c: 40-41 90-91").unwrap())
            .unwrap();
    assert_eq!(found(rota.fewest(Effort::default())).players, 3);
    let split = rota.split(&[0, 1, 2].map(LineNo)).unwrap();
    assert_eq!(found(split.rota.fewest(Effort::default())).players, 2);
    let best = split.rota.best(2, None, Effort::default()).unwrap();
    assert!(best.proven());
    let handovers = split.handovers(&best.assignments);
    assert_eq!(handovers.len(), 1, "{handovers:?}");
    assert_eq!(best.cost.strand_breaks, 1);
    let line = handovers[0].line;
    let who = split.players_of(&best.assignments, line);
    assert_ne!(who[PassageNo(0)], who[PassageNo(1)]);
}

#[test]
fn what_is_kept_together_stays_whole() {
    let rota =
        Rota::new(read("extras 3\nline a: 0-1 90-91\nline b: 5-6 40-41\ntogether a b").unwrap()).unwrap();
    assert_eq!(rota.split(&[0, 1].map(LineNo)).unwrap().pieces.len(), 2);
}
