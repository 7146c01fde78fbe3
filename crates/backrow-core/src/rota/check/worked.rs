//! The checker's own sums, by hand, and each rule in a core.

use super::*;
use crate::rota::number::{BeatersNo, List, PassageNo};
use crate::rota::text::read;
use rstest::rstest;

fn assignments(players: &[usize]) -> Assignments {
    Assignments { players: players.iter().map(|p| Some(PlayerNo(*p))).collect() }
}

fn core(lines: &[usize], demands: &[Demand]) -> Proof {
    Proof {
        shape: Shape::Core,
        lines: lines.iter().copied().map(LineNo).collect(),
        beside_ring: Vec::new(),
        passages: Vec::new(),
        at_s: None,
        demands: demands.to_vec(),
    }
}

/// Each of these rules keeps the two lines from one player: that fewer than two are not enough holds with it, and not without.
#[rstest]
#[case("apart a b")]
#[case("bar Ana a\nbar Ben b")]
#[case("only Ana a\nonly Ben b")]
#[case("pin a Ana\npin b Ben")]
#[case("pin a Ana\nonly Ben b")]
fn rules_that_need_two(#[case] rules: &str) {
    let problem = read(&format!("players Ana Ben\nline a: 0-1\nline b: 50-51\n{rules}")).unwrap();
    assert_eq!(proof_faults(&problem, &core(&[0, 1], &problem.demands), 2).len(), 0);
    assert_eq!(proof_faults(&problem, &core(&[0, 1], &problem.demands), 3).len(), 1, "two are enough");
    assert_eq!(proof_faults(&problem, &core(&[0, 1], &[]), 2).len(), 1, "one is, without the rules");
}

/// The two overlap; a rule that wants them with one player leaves no way at all, with any number of players.
#[rstest]
#[case("together a b", None)]
#[case("", Some(1))]
fn rules_that_leave_no_way(#[case] rules: &str, #[case] hands: Option<usize>) {
    let mut problem =
        read(&format!("players Ana Ben Cy\nline a on m: 0-4\nline b on m: 3-5\n{rules}")).unwrap();
    let lines = vec![LineNo(0), LineNo(1)];
    problem.demands.extend(hands.map(|hands| Demand::Hands { instrument: InstrumentNo(0), lines, hands }));
    assert_eq!(proof_faults(&problem, &core(&[0, 1], &problem.demands), 3).len(), 0);
    assert_eq!(proof_faults(&problem, &core(&[0, 1], &[]), 3).len(), 1, "two are enough without the rule");
    let two = vec![Demand::Hands {
        instrument: InstrumentNo(0),
        lines: problem.lines.numbers().collect(),
        hands: 2,
    }];
    assert_eq!(proof_faults(&problem, &core(&[0, 1], &two), 3).len(), 1, "two hands are enough");
}

/// Of a core whose rules speak of other lines these do not count.
#[test]
fn rules_of_lines_outside_a_core_bind_nothing() {
    let problem = read("players Ana Ben\nline a: 0-1\nline b: 50-51\nline c: 90-91\ntogether a c\napart b c\npin c Ana\nonly Ben c").unwrap();
    assert_eq!(proof_faults(&problem, &core(&[0, 1], &problem.demands), 2).len(), 1);
}

#[test]
fn everything_is_tried() {
    let problem = read("extras 9\nline a: 0-4\nline b: 1-5\nline c: 2-6\nline d: 90-91").unwrap();
    let lines: Vec<LineNo> = problem.lines.numbers().collect();
    let enough = |count: usize, players: usize| enough_by_trying(&problem, &lines[..count], players);
    assert_eq!(
        [enough(1, 1), enough(2, 1), enough(2, 2), enough(3, 2), enough(3, 3)],
        [true, false, true, false, true]
    );
    assert_eq!([enough(4, 2), enough(4, 3)], [false, true]);
    assert!(enough_by_trying(&problem, &[LineNo(0), LineNo(3)], 1));
    let mut tries = 2;
    assert_eq!(
        Trial::new(&problem, &lines, &[], 2).enough(&mut Vec::new(), &mut tries),
        None,
        "the tries ran out"
    );
}

/// A moment's lines all clash; a ring's with the next, and its hubs with all.
#[test]
fn shapes_are_looked_at_line_by_line() {
    // e clashes with a to d, all at other times.
    let text = "extras 9\nline a: 0-1 10-11\nline b: 0-1 20-21\nline c: 20-21 10-11\nline h: 0-1 10-11 20-21\nline i: 0-1 10-11 20-21 90-91\nline j: 90-91";
    let problem = read(&text.replace("20-21 10-11", "10-11 20-21")).unwrap();
    let proof = |shape: Shape, lines: &[usize], beside: &[usize]| Proof {
        shape,
        beside_ring: beside.iter().copied().map(LineNo).collect(),
        ..core(lines, &[])
    };
    let holds = |proof: &Proof, players: usize| proof_faults(&problem, proof, players).is_empty();
    let ring = proof(Shape::Ring, &[0, 1, 2], &[]);
    assert!(holds(&ring, 3) && !holds(&ring, 4));
    assert!(
        holds(&proof(Shape::Ring, &[0, 1, 2], &[3]), 4) && !holds(&proof(Shape::Ring, &[0, 1, 2], &[3]), 5)
    );
    assert!(holds(&proof(Shape::Ring, &[0, 1, 2], &[3, 4]), 5), "the two hubs clash with each other, too");
    assert!(!holds(&proof(Shape::Ring, &[0, 1, 2], &[5]), 4), "j clashes with none of the ring");
    assert!(!holds(&proof(Shape::Ring, &[0], &[]), 3) && !holds(&proof(Shape::Ring, &[0, 1], &[]), 3));
    assert!(
        holds(&proof(Shape::Moment, &[0, 1, 3, 4], &[]), 4)
            && !holds(&proof(Shape::Moment, &[0, 1, 3, 4], &[]), 5)
    );
    assert!(!holds(&proof(Shape::Moment, &[0, 5], &[]), 2));
    assert!(holds(&proof(Shape::Search, &[], &[]), 9), "a search is not gone over again");
    let said = proof_faults(&problem, &ring, 4);
    assert_eq!(said, ["the proof by ring does not hold"]);
}

/// At (0, 0) and (3, 4): 5 m at 1.2 m/s and a second to settle are 5.166667 s; other beaters 1.5 s, cymbals 3 s, the longest alone.
#[test]
fn needs_are_summed_by_hand() {
    let text = "extras 2\nheld z cymbals\nheld y cymbals bow\nline a at 0,0: 0-1/x\nline b at 3,4: 9-10/x 20-21/w 30-31/z 40-41/y\nline c on m: 0-1/x\nline d on m: 9-10/x\nline e: 9-10/x";
    let problem = read(text).unwrap();
    let need = |from: (usize, usize), to: (usize, usize)| {
        let at = |(line, passage): (usize, usize)| PassageOf {
            line: LineNo(line),
            passage: &problem.lines[LineNo(line)].passages[PassageNo(passage)],
        };
        need_us(&problem, at(from), at(to))
    };
    assert_eq!(need((0, 0), (1, 0)), 5_166_667);
    assert_eq!(need((0, 0), (1, 1)), 6_666_667);
    assert_eq!(need((0, 0), (1, 2)), 8_166_667);
    assert_eq!(need((1, 2), (1, 3)), 2_500_000, "the cymbals are held on; the bow is taken up");
    assert_eq!(need((2, 0), (3, 0)), 0, "one instrument");
    assert_eq!(need((2, 0), (4, 0)), 2_666_667, "the default distance");
    let _ = (BeatersNo(0), List::<LineNo, u8>::new());
}

/// Given needs, where the hands are known on both sides, count the longer change; within a line and for unknown hands what was given.
#[test]
fn given_changes_are_held_against_the_hands() {
    let mut problem = read("extras 2\nline a: 0-1/x 4-5/w\nline b: 9-10/w\nline c: 20-21").unwrap();
    let need = crate::seconds::Need {
        metres: 0.0,
        steps: 0,
        same_place: true,
        assumed: false,
        change: None,
        pace_us: 1,
        steps_us: 20,
        settle_us: 300,
        change_us: 4000,
    };
    crate::rota::problem::stand_by_line(&mut problem);
    problem.needs =
        Some(List::made(3, |_: crate::rota::StanceNo| List::made(3, |_: crate::rota::StanceNo| need)));
    let at = |line: usize, passage: usize| PassageOf {
        line: LineNo(line),
        passage: &problem.lines[LineNo(line)].passages[PassageNo(passage)],
    };
    assert_eq!(need_us(&problem, at(0, 0), at(1, 0)), 1_500_321, "other beaters take 1.5\u{202f}s");
    assert_eq!(need_us(&problem, at(0, 1), at(1, 0)), 4321, "the same beaters: what was given");
    assert_eq!(need_us(&problem, at(0, 0), at(0, 1)), 4321, "within a line");
    assert_eq!((need_us(&problem, at(0, 0), at(2, 0)), need_us(&problem, at(2, 0), at(0, 0))), (4321, 4321));
}

/// Who begins as another ends is not at the instrument with them; two strokes at one moment are.
#[rstest]
#[case("0-2", "2-4", 0)]
#[case("0-2", "1-4", 1)]
#[case("1-4", "0-2", 1)]
#[case("0-0", "0-0", 2)]
#[case("0-4", "2-2", 1)]
#[case("0-2", "2-2", 0)]
fn players_at_one_instrument(#[case] one: &str, #[case] other: &str, #[case] told: usize) {
    let problem = read(&format!("extras 2\nline a on m: {one}\nline b on m: {other}\nline c: 0-9")).unwrap();
    let found = hands_at_once(&problem, &assignments(&[0, 1, 1]), InstrumentNo(0), 1);
    assert_eq!(found.len(), told, "{found:?}");
    assert!(hands_at_once(&problem, &assignments(&[0, 1, 1]), InstrumentNo(0), 2).is_empty());
    assert!(hands_at_once(&problem, &assignments(&[0, 0, 1]), InstrumentNo(0), 1).is_empty());
}

/// Who plays single notes there is at the instrument as long as they last.
#[rstest]
#[case("1-2", "1.5-3", 1)]
#[case("1-2", "2-3", 0)]
#[case("0-1", "2-3", 0)]
#[case("2-2", "2-3", 2)]
fn players_at_an_instrument_that_one_of_them_visits(
    #[case] visit: &str,
    #[case] other: &str,
    #[case] told: usize,
) {
    let text = format!("extras 2\nhands m 1\nline a on n: 0-4\nline b on m: {other}\nvisit a m {visit}");
    let problem = read(&text).unwrap();
    let found = faults(&problem, &assignments(&[0, 1]));
    assert_eq!(found.iter().filter(|fault| fault.contains("at one instrument")).count(), told, "{found:?}");
    let alone = Assignments { players: [Some(PlayerNo(0)), None].into_iter().collect() };
    let rota = crate::rota::Rota::new(problem).unwrap();
    assert_eq!(rota.can_take(&alone, LineNo(1))[1].yes(), told == 0, "the search says the same");
}

/// Three seconds of music and what lacks; both passages may begin at one moment, which is too soon however short they are.
#[test]
fn what_one_player_cannot_take() {
    let problem = read("extras 2\nline a on m: 0-1\nline b on m: 1-2\nline c on m: 0-0\nline d: 3-4\nline e: 3.666667-4\nplayable a d").unwrap();
    let why = |a: usize, b: usize| cannot_take_both(&problem, LineNo(a), LineNo(b)).unwrap_or_default();
    assert_eq!(
        (why(0, 1), why(1, 0)),
        (String::new(), String::new()),
        "one follows the other on one instrument"
    );
    assert_eq!(why(2, 0), "from 0\u{202f}s to 0\u{202f}s there are 0\u{202f}s too few");
    assert_eq!(why(1, 3), "from 2\u{202f}s to 3\u{202f}s there are 1.666667\u{202f}s too few");
    assert_eq!((why(0, 3), why(3, 0), why(0, 4)), (String::new(), String::new(), String::new()));
}
