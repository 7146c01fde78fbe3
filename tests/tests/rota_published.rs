//! The fewest players against published chromatic numbers: each edge becomes a moment where two lines sound.
//!
//! Sources, by name, numbers from memory and common textbook knowledge: rings (odd 3, even 2);
//! J. Mycielski, "Sur le coloriage des graphes", 1955 (the k-th graph, from k = 2, needs k colours);
//! the Petersen graph needs 3; queen graphs 5x5 and 6x6 need 5 and 7 (DIMACS colouring
//! instances `queen5_5`, `queen6_6`); the Grötzsch graph is the fourth Mycielski graph.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use backrow_core::rota::check::{enough_by_trying, faults};
use backrow_core::rota::{
    Answer, Effort, Fewest, InstrumentNo, Line, LineNo, List, Passage, Problem, Rota, Shape,
};
use rstest::rstest;

/// A problem whose clashes are the given edges: one moment each, far apart from the others.
fn from_edges(nodes: usize, edges: &[(usize, usize)]) -> Problem {
    let mut lines: List<LineNo, Line> = (0..nodes)
        .map(|i| Line { label: format!("c{i}"), instruments: vec![InstrumentNo(i)], ..Line::default() })
        .collect();
    for (i, &(a, b)) in edges.iter().enumerate() {
        let from_s = 100.0 * i as f64;
        for line in [a, b] {
            lines[LineNo(line)].passages.push(Passage { from_s, to_s: from_s + 5.0, ..Passage::default() });
        }
    }
    Problem { lines, extras: 12, ..Problem::default() }
}

fn ring(n: usize) -> (usize, Vec<(usize, usize)>) {
    (n, (0..n).map(|i| (i, (i + 1) % n)).collect())
}

fn mycielski(k: usize) -> (usize, Vec<(usize, usize)>) {
    let (mut n, mut edges) = (2, vec![(0, 1)]);
    for _ in 2..k {
        let old = edges.clone();
        for (a, b) in old {
            edges.push((a, n + b));
            edges.push((b, n + a));
        }
        edges.extend((0..n).map(|i| (n + i, 2 * n)));
        n = 2 * n + 1;
    }
    (n, edges)
}

fn petersen() -> (usize, Vec<(usize, usize)>) {
    let edges = (0..5).flat_map(|i| [(i, (i + 1) % 5), (i, i + 5), (i + 5, (i + 2) % 5 + 5)]);
    (10, edges.collect())
}

fn queen(n: usize) -> (usize, Vec<(usize, usize)>) {
    let mut edges = Vec::new();
    for a in 0..n * n {
        for b in a + 1..n * n {
            let (rows, files) = ((a / n).abs_diff(b / n), (a % n).abs_diff(b % n));
            if rows == 0 || files == 0 || rows == files {
                edges.push((a, b));
            }
        }
    }
    (n * n, edges)
}

fn solve(problem: &Problem) -> Fewest {
    let rota = Rota::new(problem.clone()).unwrap();
    match rota.fewest(Effort::default()) {
        Answer::Found(found) => *found,
        other => panic!("{other:?}"),
    }
}

#[rstest]
#[case::ring_4(ring(4), 2, Shape::Moment)]
#[case::ring_5(ring(5), 3, Shape::Ring)]
#[case::ring_12(ring(12), 2, Shape::Moment)]
#[case::ring_13(ring(13), 3, Shape::Ring)]
#[case::ring_31(ring(31), 3, Shape::Ring)]
#[case::petersen(petersen(), 3, Shape::Ring)]
#[case::mycielski_3(mycielski(3), 3, Shape::Ring)]
#[case::mycielski_4(mycielski(4), 4, Shape::Core)]
#[case::mycielski_5(mycielski(5), 5, Shape::Search)]
#[case::queen_5(queen(5), 5, Shape::Core)]
fn published_numbers(
    #[case] graph: (usize, Vec<(usize, usize)>),
    #[case] players: usize,
    #[case] shape: Shape,
) {
    let problem = from_edges(graph.0, &graph.1);
    let found = solve(&problem);
    assert_eq!((found.players, found.proven()), (players, true));
    assert_eq!(found.proof.shape, shape, "{:?}", found.proof);
    assert_eq!(faults(&problem, &found.assignments), Vec::<String>::new());
    if matches!(shape, Shape::Core | Shape::Ring) {
        let mut lines = found.proof.lines.clone();
        lines.extend(&found.proof.beside_ring);
        assert!(!enough_by_trying(&problem, &lines, players - 1), "the proof does not hold");
    }
}

#[test]
fn mycielski_6_needs_6_and_queen_6_needs_7() {
    for ((nodes, edges), players) in [(mycielski(6), 6), (queen(6), 7)] {
        let started = std::time::Instant::now();
        let found = solve(&from_edges(nodes, &edges));
        println!(
            "{nodes} lines: {:?}, {:?} {}",
            started.elapsed(),
            found.proof.shape,
            found.proof.lines.len()
        );
        assert_eq!((found.players, found.proven()), (players, true));
    }
}
