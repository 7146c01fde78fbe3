//! What one player cannot take, and what follows from one instrument for few players; by hand.

use super::*;
use crate::rota::number::PlayerNo;
use crate::rota::text::read;
use rstest::rstest;

fn rota(text: &str) -> Rota {
    Rota::new(read(text).unwrap()).unwrap()
}

/// 2 m by default: 2.666667 s. The pair with the least to spare is told, the earlier passage first.
#[test]
fn the_tightest_pair_is_told() {
    let rota = rota("extras 2\nline a: 0-1 20-21 50-51\nline b: 9-10 23-24 53.5-54\nline c: 300-301");
    let clash = rota.clash(LineNo(0), LineNo(1)).unwrap();
    assert_eq!((clash.from.line.0, clash.from.passage.0, clash.to.passage.0), (0, 1, 1));
    assert_eq!((clash.has_us, clash.spare_us()), (2_000_000, -666_667));
    let back = rota.tightest(LineNo(1), LineNo(0)).unwrap();
    assert_eq!((back.from, back.to), (clash.from, clash.to), "whichever is asked first");
    assert_eq!(rota.clash(LineNo(0), LineNo(2)), None);
    assert_eq!(rota.tightest(LineNo(0), LineNo(2)).unwrap().has_us, 249_000_000);
    let pairs: Vec<(usize, usize)> = rota.clashes().map(|clash| (clash.lower.0, clash.higher.0)).collect();
    assert_eq!(pairs, [(0, 1)]);
    assert_eq!((rota.neighbours(LineNo(1)), rota.neighbours(LineNo(2))), (&[LineNo(0)][..], &[][..]));
    assert_eq!(rota.size(), 5, "three lines, and one clash from both sides");
}

/// A long passage still sounds when a later one of the other line begins, though a short one began after it.
#[test]
fn a_long_passage_counts_to_its_end() {
    let rota = rota("extras 2\nline a: 0-60 10-11\nline b: 50-51");
    let clash = rota.clash(LineNo(0), LineNo(1)).unwrap();
    assert_eq!((clash.from.passage.0, clash.has_us), (0, -10_000_000));
    let other = super::worked::rota("extras 2\nline b: 50-51\nline a: 0-60 10-11");
    assert_eq!(other.clash(LineNo(0), LineNo(1)).unwrap().has_us, -10_000_000);
}

/// Two that begin at one moment cannot be one player's, though they need nothing; of two moves with as much to spare that one is told.
#[test]
fn beginning_at_once_is_a_clash() {
    let rota = rota("extras 2\nline a on m: 0-0 60-60\nline b on m: 60-60\nline c on m: 60-61");
    let clash = rota.clash(LineNo(0), LineNo(1)).unwrap();
    assert!(clash.at_once && clash.spare_us() == 0);
    // From 59 to 60 s there is nothing to spare either.
    let two = super::worked::rota("extras 2\nline a on m: 59-60 60-60\nline b on m: 60-60");
    let told = two.tightest(LineNo(0), LineNo(1)).unwrap();
    assert!(told.at_once && told.from.passage.0 == 1, "{told:?}");
}

// 8.666669 s are the most that two lines at the default distance may need: 2 m, a second to settle, and gloves.
#[rstest]
#[case("line a: 0-1\nline b: 9.6-10", false)]
#[case("line a: 0-1\nline b: 9.7-10", true)]
#[case("line a: 9.7-10\nline b: 0-1", true)]
#[case("line a: 9.6-10\nline b: 0-1", false)]
#[case("line a: 0-1 20-21\nline b: 9.7-10", false)]
#[case("line a:\nline b: 9-10", true)]
fn lines_far_apart_are_not_looked_at(#[case] lines: &str, #[case] far: bool) {
    assert_eq!(rota(&format!("extras 2\n{lines}")).far_apart(LineNo(0), LineNo(1)), far);
}

/// Which lines may not be with more than so many players at once.
#[rstest]
#[case(1, "0-2", "2-4", &[])]
#[case(1, "0-2", "1.9-4", &[0, 1])]
#[case(1, "1.9-4", "0-2", &[0, 1])]
#[case(1, "5-5", "5-5", &[0, 1])]
#[case(2, "0-2", "1.9-4", &[])]
#[case(1, "0-2 9-10", "4-5", &[])]
fn one_instrument_for_few(#[case] hands: usize, #[case] a: &str, #[case] b: &str, #[case] lines: &[usize]) {
    let rota =
        rota(&format!("players Ana Ben\nhands m {hands}\nline a on m: {a}\nline b on m: {b}\nline c: 0-9"));
    let found: Vec<Vec<usize>> = rota
        .demands()
        .iter()
        .map(|demand| match demand {
            Demand::Hands { lines, .. } => lines.iter().map(|line| line.0).collect(),
            other => panic!("{other:?}"),
        })
        .collect();
    let expected: Vec<Vec<usize>> = if lines.is_empty() { vec![] } else { vec![lines.to_vec()] };
    assert_eq!(found, expected, "each set once");
}

#[test]
fn what_is_asked_anew_keeps_what_follows_from_instruments() {
    let rota = rota(
        "players Ana Ben\nextras 3\nhands m 1\nline a on m: 0-2\nline b on m: 1-4\npin a Ana\npin b Ana",
    );
    assert_eq!(rota.demands().len(), 3);
    let anew = rota.asked_anew(1, vec![Demand::Pin { line: LineNo(0), player: PlayerNo(1) }]);
    assert_eq!((anew.demands().len(), anew.problem().extras, anew.problem().demands.len()), (2, 1, 1));
    assert!(matches!(anew.demands().last(), Some(Demand::Hands { hands: 1, .. })));
    assert_eq!(rota.asked_anew(99, Vec::new()).problem().extras, 62, "sixty-four in all");
    let mut dear = rota.clone();
    dear.last_resort(500);
    assert_eq!(dear.problem().wishes.extra, 500);
    dear.last_resort(3);
    assert_eq!(dear.problem().wishes.extra, 500, "never less than it was");
}

#[test]
fn a_search_is_ended_from_outside() {
    let rota = rota("extras 2\nline a at 0,0: 0-1\nline b at 3,4: 9-10");
    assert!(!rota.halt().is_asked() && rota.steps(5).take(1));
    let ended = rota.clone().until(Halt::when(|_| true));
    assert!(ended.halt().is_asked() && !ended.steps(5).take(1));
    assert_eq!((rota.longest_way_mm(), rota.longest_need()), (5000, 11_166_669));
    assert_eq!(format!("{:?} {:?}", rota.halt(), ended.halt()), "Halt never Halt when asked");
}
