//! What breaks and how it is mended, by hand.

use super::*;
use crate::rota::text::read;

fn rota(text: &str) -> Rota {
    Rota::new(read(text).unwrap()).unwrap()
}

fn of(players: &[Option<usize>]) -> Assignments {
    Assignments { players: players.iter().map(|p| p.map(PlayerNo)).collect() }
}

/// b overlaps a; c comes a minute later; Cy cannot have b.
const TEXT: &str = "players Ana Ben Cy\nline a: 0-4\nline b: 3-5\nline c: 60-61\nbar Cy b";

#[test]
fn what_is_broken_goes_to_the_first_who_can() {
    let rota = rota(TEXT);
    let broken =
        |players: &[Option<usize>]| rota.broken_lines(&of(players)).iter().map(|c| c.0).collect::<Vec<_>>();
    assert_eq!(broken(&[Some(0), Some(1), Some(0)]), [0; 0]);
    assert_eq!(broken(&[Some(0), Some(2), None]), [1, 2]);
    assert_eq!(broken(&[Some(0), Some(0), Some(1)]), [0, 1], "two at once");
    let filled = |players: &[Option<usize>]| rota.filled(&of(players));
    assert_eq!(filled(&[Some(0), Some(2), None]), Some(of(&[Some(0), Some(1), Some(0)])));
    assert_eq!(filled(&[Some(1), None, Some(2)]), Some(of(&[Some(1), Some(0), Some(2)])));
    assert!(rota.can_take_alone(&of(&[Some(0), None, None]), LineNo(1), PlayerNo(1)));
    assert!(!rota.can_take_alone(&of(&[Some(0), None, None]), LineNo(1), PlayerNo(0)));
    assert!(!rota.can_take_alone(&of(&[Some(0), None, None]), LineNo(1), PlayerNo(2)));
    let alone = super::worked::rota("players Ana\nline a: 0-4\nline b: 3-5");
    assert_eq!(alone.filled(&of(&[Some(0), None])), None);
}

/// Ben is away from b: Ana has a at that time, Cy cannot. Cy takes a, and Ana b: two changes, and none does with one.
#[test]
fn the_repair_that_changes_least() {
    let rota = rota(TEXT);
    let now = of(&[Some(0), Some(1), Some(1)]);
    let missing = Missing { player: PlayerNo(1), lines: &[LineNo(1)] };
    let repair = rota.without(&now, missing, 3, Effort::default()).unwrap();
    assert_eq!(repair.broken, [LineNo(1)]);
    let repaired = repair.repaired.unwrap();
    assert_eq!(repaired.changed, [LineNo(0), LineNo(1)]);
    assert_eq!(repaired.best.assignments.player(LineNo(1)), Some(PlayerNo(0)));
    assert!(repaired.fewest_changes && repaired.best.faults.is_empty());
    assert_eq!(repaired.best.cost, rota.cost(&repaired.best.assignments, 3));
    assert!(repaired.best.at_least_milli_points <= repaired.best.cost.milli_points);
    // From all lines: c as well.
    let all: Vec<LineNo> = rota.problem().lines.numbers().collect();
    let gone =
        rota.without(&now, Missing { player: PlayerNo(1), lines: &all }, 3, Effort::default()).unwrap();
    assert_eq!((gone.broken, gone.repaired.unwrap().changed.len()), (vec![LineNo(1), LineNo(2)], 3));
    // Two players are too few without Ben, as Cy cannot have b and Ana not both: told is why.
    let one = super::worked::rota("players Ana Ben\nline a: 0-4\nline b: 3-5");
    let none = one.without(
        &of(&[Some(0), Some(1)]),
        Missing { player: PlayerNo(1), lines: &[LineNo(0), LineNo(1)] },
        2,
        Effort::default(),
    );
    let none = none.unwrap();
    assert!(none.repaired.is_none() && matches!(none.why_not, Some(Answer::Impossible(_))));
    let strange = Missing { player: PlayerNo(9), lines: &[] };
    assert!(rota.without(&now, strange, 3, Effort::default()).is_err());
}

/// Who stays where nothing is broken: nothing changes, however dear it is.
#[test]
fn nothing_changes_where_nothing_is_broken() {
    let rota = rota("players Ana Ben\nline a had Ben: 0-4\nline b: 60-61");
    let now = of(&[Some(0), Some(0)]);
    let repair = rota
        .without(&now, Missing { player: PlayerNo(1), lines: &[LineNo(1)] }, 2, Effort::default())
        .unwrap();
    let repaired = repair.repaired.unwrap();
    assert!(repair.broken.is_empty() && repaired.changed.is_empty() && repaired.fewest_changes);
    assert_eq!(repaired.best.assignments, now);
}

/// Two lines: 87 points each for wishes that count by line, 174; ways of 5.001 m for each of two passages, 10.002; one player with
/// all, 5 m and a second above the even share of a second, 5.016; and 1000.
#[test]
fn a_change_is_dearer_than_all_wishes() {
    let rota = rota("players Ana Ben\nline a at 0,0: 0-1\nline b at 3,4: 60-61");
    assert_eq!(rota.dearer_than_all_wishes(2), 174_000 + 10_002 + 5016 + 1_000_000);
}

/// A repair by a search that was ended is a repair, and no proof that none is better; that no fewer lines change needs no search where
/// one is broken.
#[test]
fn an_ended_search_proves_no_repair() {
    let rota = rota(TEXT).until(crate::halt::Halt::when(|_| true));
    let now = of(&[Some(0), Some(1), Some(1)]);
    let missing = Missing { player: PlayerNo(1), lines: &[LineNo(2)] };
    let repaired = rota.without(&now, missing, 3, Effort::default()).unwrap().repaired.unwrap();
    assert_eq!(repaired.changed, [LineNo(2)]);
    assert!(!repaired.best.proven() && repaired.fewest_changes, "{repaired:?}");
    assert!(repaired.best.at_least_milli_points < repaired.best.cost.milli_points);
}
