//! Rows by hand.

use super::*;
use rstest::rstest;

fn row(line: &str, from_s: f64, to_s: f64) -> Row {
    Row { row: 7, line: line.to_owned(), from_s, to_s, ..Row::default() }
}

#[rstest]
#[case(row("", 0.0, 1.0), "The line has no name: fill in the column “line”.")]
#[case(row("a", f64::NAN, 1.0), "A time is not a number of seconds.")]
#[case(row("a", 0.0, 3.0e7), "A time is not a number of seconds.")]
#[case(row("a", -3.1e7, 0.0), "A time is not a number of seconds.")]
#[case(row("a", 2.0, 1.5), "The passage ends (1.5\u{202f}s) before it starts (2\u{202f}s).")]
#[case(Row { place_m: Some([f64::NAN, 0.0]), ..row("a", 0.0, 1.0) }, "The place is not a number of metres.")]
#[case(Row { place_m: Some([0.0, f64::INFINITY]), ..row("a", 0.0, 1.0) }, "The place is not a number of metres.")]
#[case(row("a", 1.0, 1.0), "")]
#[case(Row { place_m: Some([-1.0, 2.9e7]), ..row("a", 0.0, 1.0) }, "")]
fn rows_that_cannot_be_read(#[case] row: Row, #[case] what: &str) {
    let (problem, faults) = problem_of(&[row], Habits::default());
    let told: Vec<(usize, &str)> = faults.iter().map(|fault| (fault.row, fault.what.as_str())).collect();
    assert_eq!(told, if what.is_empty() { vec![] } else { vec![(7, what)] });
    assert_eq!(problem.lines.len(), usize::from(what.is_empty()));
}

/// The rows of a line in order of time, its instrument's strand, players and what may be played together.
#[test]
fn a_table_becomes_a_problem() {
    let habits = Habits { change_s: 9.0, ..Habits::default() };
    let rows = [
        Row {
            instrument: "gong".into(),
            beaters: "x".into(),
            players: "Ana; Ben;".into(),
            ..row("a", 9.0, 10.0)
        },
        Row { instrument: "gong".into(), beaters: "y".into(), together: "both".into(), ..row("b", 0.0, 1.0) },
        Row {
            beaters: "x".into(),
            place_m: Some([1.0, -0.0]),
            together: "both; a".into(),
            ..row("c", 0.0, 1.0)
        },
        Row { place_m: Some([1.0, 0.0]), players: "Ben".into(), ..row("a", 2.0, 3.0) },
        Row { together: "both".into(), ..row("d", 0.0, 1.0) },
    ];
    let (problem, faults) = problem_of(&rows, habits);
    assert!(faults.is_empty() && problem.habits == habits);
    let labels: Vec<&str> = problem.lines.iter().map(|line| line.label.as_str()).collect();
    assert_eq!(labels, ["a", "b", "c", "d"]);
    let a = &problem.lines[LineNo(0)];
    assert_eq!(a.passages.iter().map(|p| p.from_s).collect::<Vec<_>>(), [2.0, 9.0]);
    assert_eq!((a.instruments.len(), a.strand), (1, problem.lines[LineNo(1)].strand));
    assert_eq!(problem.lines[LineNo(2)].strand, None);
    assert_eq!(problem.places_m.len(), 1, "a zero with a sign is a zero");
    let hands = |line: usize, passage: usize| {
        problem.lines[LineNo(line)].passages[crate::rota::PassageNo(passage)].beaters
    };
    assert!(hands(0, 1) == hands(2, 0) && hands(0, 1) != hands(1, 0) && hands(0, 0).is_some());
    let names: Vec<&str> = problem.players.iter().map(String::as_str).collect();
    assert_eq!((names, problem.extras, problem.wishes.extra), (vec!["Ana", "Ben"], 4, 20));
    let only = Demand::Only {
        lines: vec![LineNo(0)],
        players: vec![PlayerNo(0), PlayerNo(1)],
        why: "players named in the table".to_owned(),
    };
    assert_eq!(problem.demands, [only]);
    let pairs: Vec<(usize, usize)> = problem.playable_together.iter().map(|(a, b)| (a.0, b.0)).collect();
    assert_eq!(pairs, [(1, 2), (1, 3), (2, 3), (2, 0)]);
    assert_eq!(
        problem_of(&[row("a", 0.0, 1.0)], habits).0.wishes.extra,
        0,
        "nobody is dearer where all are extras"
    );
}

/// A zero with a sign is a zero both across and along; other places are other places.
#[test]
fn zeros_are_one_place() {
    let at = |x: f64, y: f64| Row { place_m: Some([x, y]), ..row("a", 0.0, 1.0) };
    let places = |rows: &[Row]| problem_of(rows, Habits::default()).0.places_m.len();
    assert_eq!(places(&[at(-0.0, 2.0), at(0.0, 2.0)]), 1);
    assert_eq!(places(&[at(2.0, -0.0), at(2.0, 0.0)]), 1);
    assert_eq!(places(&[at(1.0, 2.0), at(3.0, 2.0), at(3.0, 5.0)]), 3);
}
