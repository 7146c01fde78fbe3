//! Who is called on, by hand.

use super::*;
use crate::rota::text::read;

fn staffed(text: &str) -> Staffed {
    let rota = Rota::new(read(text).unwrap()).unwrap();
    let Staffing::Enough(found) = rota.staffed(Effort::default()) else { panic!("enough") };
    *found
}

fn told(text: &str) -> (usize, usize, usize, bool, u32) {
    let found = staffed(text);
    let problem = found.rota.problem();
    (found.fewest.players, found.among, problem.extras, found.why_more.is_some(), problem.wishes.extra)
}

/// Players; among how many the best may be; extras called; whether those engaged were not enough; what an extra costs.
#[test]
fn those_engaged_come_first() {
    let two = "line a: 0-4\nline b: 1-5";
    assert_eq!(told(&format!("players Ana Ben\nextras 3\n{two}")), (2, 2, 0, false, 20));
    assert_eq!(told("players Ana Ben Cy\nextras 3\nline a: 0-4"), (1, 1, 0, false, 20));
    assert_eq!(told(&format!("players Ana\nextras 3\n{two}")), (2, 2, 1, true, 10_000));
    assert_eq!(
        told(&format!("players Ana Ben\nreserve Ben\nextras 3\n{two}")),
        (2, 2, 0, true, 10_000),
        "the reserve before extras"
    );
    assert_eq!(
        told(&format!("players Ana Ben\nreserve Ben\nextras 3\n{two}\nline c: 2-3")),
        (3, 3, 1, true, 10_000)
    );
    assert_eq!(told(&format!("extras 3\n{two}")), (2, 2, 3, false, 20), "everybody is an extra");
}

#[test]
fn where_nobody_more_can_be_called_it_is_told() {
    let rota =
        Rota::new(read("players Ana\nextras 1\nline a: 0-4\nline b: 1-5\nline c: 2-3").unwrap()).unwrap();
    let Staffing::NotEnough(Answer::Impossible(no)) = rota.staffed(Effort::default()) else {
        panic!("three at once")
    };
    assert_eq!((no.players, no.lines.len()), (2, 3));
    // Ana is away from a: Ben is engaged, too, and has it.
    let two = Rota::new(read("players Ana Ben\nextras 1\nline a: 0-4\nline b: 60-61").unwrap()).unwrap();
    let away = Missing { player: PlayerNo(0), lines: &[LineNo(0)] };
    let Staffing::Enough(found) = two.staffed_without(away, Effort::default()) else {
        panic!("Ben is there")
    };
    assert_eq!(found.fewest.assignments.player(LineNo(0)), Some(PlayerNo(1)));
    assert_eq!((found.fewest.players, found.why_more), (1, None));
}
