//! Lines cut by passages, by hand.

use super::*;
use crate::rota::text::read;

fn split(text: &str, lines: &[usize]) -> Split {
    let lines: Vec<LineNo> = lines.iter().copied().map(LineNo).collect();
    Rota::new(read(text).unwrap()).unwrap().split(&lines).unwrap()
}

fn labels(split: &Split) -> Vec<String> {
    split.rota.problem().lines.iter().map(|line| line.label.clone()).collect()
}

const TEXT: &str = "players Ana Ben\nline a exposure 3: 0-4 10-12 20-21\nline b strand s exposure 2: 30-31 40-41\nline c: 60-61";

#[test]
fn each_passage_is_a_piece_with_its_share() {
    let all = split(TEXT, &[0, 2]);
    assert_eq!(labels(&all), ["a, 1", "a, 2", "a, 3", "b", "c"]);
    let lines = &all.rota.problem().lines;
    let exposures: Vec<f64> = lines.iter().map(|line| line.exposure).collect();
    assert_eq!(exposures, [1.0, 1.0, 1.0, 2.0, 0.0]);
    let strands: Vec<Option<usize>> = lines.iter().map(|line| line.strand.map(|s| s.0)).collect();
    assert_eq!(
        strands,
        [Some(1), Some(1), Some(1), Some(0), None],
        "a strand of their own, beside those that there are"
    );
    let passages: Vec<usize> = lines.iter().map(|line| line.passages.len()).collect();
    assert_eq!(passages, [1, 1, 1, 2, 1]);
    let with_strand = split(TEXT, &[1]);
    assert_eq!(labels(&with_strand), ["a", "b, 1", "b, 2", "c"]);
    assert!(
        with_strand.rota.problem().lines.iter().skip(1).take(2).all(|line| line.strand == Some(StrandNo(0)))
    );
}

#[test]
fn handovers_and_players_by_passage() {
    let all = split(TEXT, &[0]);
    let who = |players: [usize; 5]| Assignments {
        players: players.map(|p| Some(PlayerNo(p))).into_iter().collect(),
    };
    let now = who([0, 1, 1, 0, 1]);
    let found = all.handovers(&now);
    assert_eq!(
        found,
        [Handover {
            line: LineNo(0),
            after: PassageNo(0),
            from: PlayerNo(0),
            to: PlayerNo(1),
            at_s: 10.0,
            gap_s: 6.0
        }],
        "from 4 to 10 s; b and c are other lines"
    );
    assert_eq!(all.handovers(&who([0, 0, 1, 1, 1]))[0].gap_s.to_bits(), 8.0_f64.to_bits());
    let players: Vec<Option<usize>> =
        all.players_of(&now, LineNo(0)).iter().map(|p| p.map(|p| p.0)).collect();
    assert_eq!(players, [Some(0), Some(1), Some(1)]);
    assert_eq!(all.players_of(&now, LineNo(1)).len(), 2);
}

/// What is kept together with another line, or playable with one, stays whole.
#[test]
fn bound_lines_stay_whole() {
    for rule in ["together a c", "together c a", "playable a c", "playable c a"] {
        let text = format!("{TEXT}\n{rule}");
        assert_eq!(labels(&split(&text, &[0, 1])), ["a", "b, 1", "b, 2", "c"], "{rule}");
    }
    assert_eq!(labels(&split(&format!("{TEXT}\napart a c"), &[0])).len(), 5);
}

/// Rules hold for every piece of their lines.
#[test]
fn rules_go_with_the_pieces() {
    let text = format!(
        "{TEXT}\npin a Ana\nbar Ben a b because away\nonly Ana,Ben a because so\napart a b\ntogether b c\nplayable b c"
    );
    let found = split(&text, &[0]);
    let demands = &found.rota.problem().demands;
    let pins = demands.iter().filter(|d| matches!(d, Demand::Pin { player: PlayerNo(0), .. })).count();
    let aparts: Vec<(usize, usize)> = demands
        .iter()
        .filter_map(|d| if let Demand::Apart { a, b } = d { Some((a.0, b.0)) } else { None })
        .collect();
    assert_eq!((pins, aparts), (3, vec![(0, 3), (1, 3), (2, 3)]));
    let bar = demands.iter().find_map(|d| {
        if let Demand::Bar { lines, why, .. } = d { Some((lines.len(), why.clone())) } else { None }
    });
    let only = demands.iter().find_map(|d| {
        if let Demand::Only { lines, players, .. } = d { Some((lines.len(), players.len())) } else { None }
    });
    assert_eq!((bar, only), (Some((4, "away".to_owned())), Some((3, 2))));
    assert!(demands.contains(&Demand::Together { a: LineNo(3), b: LineNo(4) }));
    assert_eq!(found.rota.problem().playable_together, [(LineNo(3), LineNo(4))]);
    assert_eq!(demands.len(), 3 + 1 + 1 + 3 + 1);
}

#[test]
fn needs_go_with_the_pieces_and_an_ended_search_stays_ended() {
    let mut problem = read("players Ana Ben\nline a: 0-4 10-12\nline b: 30-31").unwrap();
    let need = |metres: f64| {
        let leg = crate::seconds::Leg::Measured(crate::seconds::Walk { metres, steps: 0 });
        crate::seconds::Need::new(&crate::seconds::Habits::default(), leg, None)
    };
    let rows: [[f64; 2]; 2] = [[0.0, 3.0], [4.0, 0.0]];
    problem.needs = Some(rows.iter().map(|row| row.iter().map(|m| need(*m)).collect()).collect());
    crate::rota::problem::stand_by_line(&mut problem);
    let rota = Rota::new(problem).unwrap().until(crate::halt::Halt::when(|_| true));
    let found = rota.split(&[LineNo(0)]).unwrap();
    let spot = |line| found.rota.spot(PassageRef { line: LineNo(line), passage: PassageNo(0) }).unwrap();
    let row = |from| [0, 1, 2].map(|to| found.rota.metres(spot(from), spot(to)));
    let metres = [0, 1, 2].map(row);
    assert_eq!(metres, [[0.0, 0.0, 3.0], [0.0, 0.0, 3.0], [4.0, 4.0, 0.0]]);
    assert!(found.rota.halt().is_asked());
}
