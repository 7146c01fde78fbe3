//! A plain table of passages as a problem: what it means, and what is wrong in it.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use backrow_core::rota::table::{Row, problem_of};
use backrow_core::rota::words::describe;
use backrow_core::rota::{Effort, LineNo, PassageNo, Rota};
use backrow_core::seconds::Habits;

fn row(row: usize, line: &str, from_s: f64, to_s: f64) -> Row {
    Row { row, line: line.into(), from_s, to_s, place_m: Some([0.0, 0.0]), ..Row::default() }
}

fn fewest(rows: &[Row]) -> String {
    let (problem, faults) = problem_of(rows, Habits::default());
    assert!(faults.is_empty());
    let rota = Rota::new(problem).unwrap();
    describe(rota.problem(), &rota.fewest(Effort::default()))
}

#[test]
fn rows_of_one_name_are_one_line_in_any_order() {
    let rows = [row(2, "bells", 10.0, 12.0), row(3, "gong", 5.0, 11.0), row(4, "bells", 1.0, 2.0)];
    let (problem, _) = problem_of(&rows, Habits::default());
    assert_eq!(problem.lines.len(), 2);
    assert!(problem.lines[LineNo(0)].passages[PassageNo(0)].from_s < 2.0, "sorted by start");
    assert_eq!(fewest(&rows), "2 players, moment at 10\u{202f}s: gong bells");
}

#[test]
fn beaters_are_compared_as_written() {
    let mut rows = [row(2, "a", 0.0, 1.0), row(3, "b", 1.5, 2.0)];
    assert_eq!(fewest(&rows), "1 player, moment at 0\u{202f}s: a");
    rows[1].beaters = "soft".into();
    assert_eq!(fewest(&rows), "2 players, moment at 1.5\u{202f}s: a b");
    rows[1].from_s = 2.5;
    rows[1].to_s = 3.0;
    assert_eq!(fewest(&rows), "1 player, moment at 0\u{202f}s: a");
}

#[test]
fn one_instrument_is_one_place_where_none_is_given() {
    let mut rows = [row(2, "a", 0.0, 1.0), row(3, "b", 1.0, 2.0)];
    for row in &mut rows {
        row.place_m = None;
        row.instrument = "marimba".into();
    }
    assert_eq!(fewest(&rows), "1 player, moment at 0\u{202f}s: a");
    rows[1].instrument = "vibraphone".into();
    assert_eq!(fewest(&rows), "2 players, moment at 1\u{202f}s: a b");
}

#[test]
fn together_by_name_or_by_a_shared_word() {
    let mut rows = [row(2, "triangle", 0.0, 4.0), row(3, "cymbal", 1.0, 2.0), row(4, "drum", 1.0, 2.0)];
    rows[0].together = "cymbal".into();
    assert!(fewest(&rows).starts_with("2 players"));
    for row in &mut rows {
        row.together = "table".into();
    }
    assert!(fewest(&rows).starts_with("1 player"));
}

#[test]
fn named_players_bind() {
    let mut rows = [row(2, "a", 0.0, 1.0), row(3, "b", 50.0, 51.0)];
    rows[0].players = "Ana".into();
    rows[1].players = "Ben; Cy".into();
    let said = fewest(&rows);
    assert!(said.starts_with("2 players, core: a b; a only for Ana"), "{said}");
}

#[test]
fn bad_rows_are_told_and_left_out() {
    let rows =
        [row(2, "", 0.0, 1.0), row(3, "a", 5.0, 4.0), row(4, "a", f64::NAN, 4.0), row(5, "a", 3.0, 4.0)];
    let (problem, faults) = problem_of(&rows, Habits::default());
    assert_eq!(faults.iter().map(|f| f.row).collect::<Vec<_>>(), [2, 3, 4]);
    assert_eq!(faults[1].what, "The passage ends (4\u{202f}s) before it starts (5\u{202f}s).");
    assert_eq!(problem.lines[LineNo(0)].passages.len(), 1);
}
