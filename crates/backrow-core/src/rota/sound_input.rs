//! Goes over a [`Problem`] before anything is worked out from it.

use super::number::{LineNo, PlayerNo};
use super::players::MOST_PLAYERS;
use super::problem::{BadInput, Demand, Problem, Stances};

/// The longest stretch of music taken, in seconds: a year. Beyond it exact sums are no longer sure.
const LONGEST_S: f64 = 3.2e7;

/// The most lines that are taken at once: every pair of them is looked at and remembered.
const MOST_LINES: usize = 4000;

/// Everything that is wrong with the problem; empty when it can be worked with.
pub(super) fn faults(problem: &Problem) -> Vec<BadInput> {
    let mut found = Vec::new();
    if problem.lines.len() > MOST_LINES {
        found.push(bad(
            None,
            format!("More than {MOST_LINES} lines are asked about at once: ask about fewer."),
        ));
        return found;
    }
    habits(problem, &mut found);
    lines(problem, &mut found);
    players_and_demands(problem, &mut found);
    found
}

fn bad(line: Option<LineNo>, what: String) -> BadInput {
    BadInput { line, what }
}

fn amount(value: f64) -> bool {
    value.is_finite() && (0.0..LONGEST_S).contains(&value)
}

fn habits(problem: &Problem, found: &mut Vec<BadInput>) {
    let h = &problem.habits;
    if !(h.pace_m_s.is_finite() && h.pace_m_s >= 0.01) {
        found.push(bad(None, "The walking pace has to be at least 0.01 metres a second.".into()));
    }
    for (name, value) in [
        ("settle", h.settle_s),
        ("change", h.change_s),
        ("cymbals", h.cymbals_s),
        ("four-mallets", h.four_mallets_s),
        ("bow", h.bow_s),
        ("gloves", h.gloves_s),
        ("default distance", h.default_distance_m),
    ] {
        if !amount(value) {
            found.push(bad(None, format!("The habit “{name}” has to be a number from 0 up.")));
        }
    }
    if problem.places_m.iter().flatten().any(|v| !v.is_finite() || v.abs() > LONGEST_S) {
        found.push(bad(None, "A standing place has a coordinate that is not a number of metres.".into()));
    }
    if let Some(needs) = &problem.needs {
        let mut passages = problem.lines.iter().flat_map(|line| &line.passages);
        let known = |stances: Stances| stances.begins.0.max(stances.ends.0) < needs.len();
        let square = needs.iter().all(|row| row.len() == needs.len());
        if !square || passages.any(|passage| !passage.stances.is_some_and(known)) {
            found.push(bad(
                None,
                "What lies between two passages is not given for every pair of them.".into(),
            ));
        }
    }
}

fn lines(problem: &Problem, found: &mut Vec<BadInput>) {
    for (index, line) in problem.lines.entries() {
        let name = &line.label;
        let mut earlier = f64::NEG_INFINITY;
        for (n, p) in line.passages.iter().enumerate() {
            let n = n + 1;
            if !(p.from_s.is_finite() && p.to_s.is_finite() && p.from_s.abs().max(p.to_s.abs()) < LONGEST_S) {
                found.push(bad(
                    Some(index),
                    format!("{name}, passage {n}: a time is not a number of seconds."),
                ));
            } else if p.to_s < p.from_s {
                found.push(bad(Some(index), format!("{name}, passage {n} ends before it starts.")));
            } else if p.from_s < earlier {
                found.push(bad(
                    Some(index),
                    format!("{name}, passage {n} stands before an earlier one: sort them."),
                ));
            }
            earlier = p.from_s;
            if p.place.is_some_and(|place| place.0 >= problem.places_m.len()) {
                found.push(bad(
                    Some(index),
                    format!("{name}, passage {n} stands at a place that is not listed."),
                ));
            }
        }
        let is_time = |v: f64| v.is_finite() && v.abs() < LONGEST_S;
        if line.visits.iter().any(|v| !is_time(v.from_s) || !is_time(v.to_s) || v.to_s < v.from_s) {
            found.push(bad(
                Some(index),
                format!("{name}: a stretch on another instrument has no times, or ends before it starts."),
            ));
        }
        let listed = [line.last_time, line.now, line.owner].into_iter().flatten();
        if listed.into_iter().any(|player| player.0 >= problem.player_count().min(MOST_PLAYERS)) {
            found.push(bad(
                Some(index),
                format!("{name}: its player of last time, its present player or its owner is not listed."),
            ));
        }
        if !amount(line.exposure) {
            found.push(bad(Some(index), format!("{name}: exposure has to be a number from 0 up.")));
        }
    }
}

fn players_and_demands(problem: &Problem, found: &mut Vec<BadInput>) {
    if problem.players.len() > MOST_PLAYERS {
        found.push(bad(
            None,
            format!("More than {MOST_PLAYERS} players are named; the rota takes that many."),
        ));
    }
    if problem.reserve.iter().any(|player| player.0 >= problem.players.len()) {
        found.push(bad(None, "Somebody in reserve is not listed among the players.".into()));
    }
    let count = problem.lines.len();
    let roster = problem.player_count().min(MOST_PLAYERS);
    let pairs = &problem.playable_together;
    if pairs.iter().any(|&(a, b)| a.0 >= count || b.0 >= count) {
        found.push(bad(None, "A playable-together mark names a line that is not listed.".into()));
    }
    for (n, demand) in problem.demands.iter().enumerate() {
        let (lines, players): (&[LineNo], &[PlayerNo]) = match demand {
            Demand::Pin { line, player } => (&[*line], &[*player]),
            Demand::Bar { player, lines, .. } => (lines, &[*player]),
            Demand::Only { lines, players, .. } => (lines, players),
            Demand::Together { a, b } | Demand::Apart { a, b } => (&[*a, *b], &[]),
            Demand::Hands { lines, .. } => (lines, &[]),
        };
        if lines.iter().any(|c| c.0 >= count) || players.iter().any(|p| p.0 >= roster) {
            found.push(bad(None, format!("Demand {} names a line or a player that is not listed.", n + 1)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rota::number::{List, PlaceNo, StanceNo};
    use crate::rota::problem::stand_by_line;
    use crate::rota::text::read;
    use crate::seconds::Need;
    use rstest::rstest;

    const GOOD: &str = "players Ana Ben\nextras 1\nline a at 0,0: 0-1 1-1\nline b at 1,1: 5-6";

    fn told(change: impl FnOnce(&mut Problem)) -> Vec<String> {
        let mut problem = read(GOOD).unwrap();
        change(&mut problem);
        faults(&problem).into_iter().map(|fault| fault.what).collect()
    }

    const NONE: [&str; 0] = [];

    #[test]
    fn what_is_sound_is_taken() {
        assert_eq!(told(|_| ()), NONE);
    }

    #[rstest]
    #[case(0.01, true)]
    #[case(0.009, false)]
    #[case(f64::NAN, false)]
    #[case(f64::INFINITY, false)]
    fn a_pace_is_a_pace(#[case] pace: f64, #[case] good: bool) {
        assert_eq!(told(|p| p.habits.pace_m_s = pace).is_empty(), good);
    }

    #[rstest]
    #[case(0.0, true)]
    #[case(-0.1, false)]
    #[case(3.1e7, true)]
    #[case(3.2e7, false)]
    #[case(f64::NAN, false)]
    fn habits_are_numbers_from_nothing_to_a_year(#[case] value: f64, #[case] good: bool) {
        type Set = fn(&mut Problem, f64);
        let all: [(&str, Set); 7] = [
            ("settle", |p, v| p.habits.settle_s = v),
            ("change", |p, v| p.habits.change_s = v),
            ("cymbals", |p, v| p.habits.cymbals_s = v),
            ("four-mallets", |p, v| p.habits.four_mallets_s = v),
            ("bow", |p, v| p.habits.bow_s = v),
            ("gloves", |p, v| p.habits.gloves_s = v),
            ("default distance", |p, v| p.habits.default_distance_m = v),
        ];
        for (name, set) in all {
            let says = format!("The habit “{name}” has to be a number from 0 up.");
            let expected = if good { vec![] } else { vec![says] };
            assert_eq!(told(|p| set(p, value)), expected);
        }
    }

    #[rstest]
    #[case(-3.2e7, true)]
    #[case(3.3e7, false)]
    #[case(-3.3e7, false)]
    #[case(f64::NAN, false)]
    fn places_are_metres(#[case] metres: f64, #[case] good: bool) {
        let said = told(|p| p.places_m[PlaceNo(1)] = [0.0, metres]);
        let says = ["A standing place has a coordinate that is not a number of metres."];
        assert_eq!(said, if good { &NONE[..] } else { &says[..] });
    }

    #[rstest]
    #[case(2, 2, true)]
    #[case(1, 2, false)]
    #[case(2, 1, false)]
    #[case(2, 3, false)]
    fn needs_are_given_for_every_pair(#[case] rows: usize, #[case] columns: usize, #[case] good: bool) {
        let need = || Need::new(&crate::seconds::Habits::default(), crate::seconds::Leg::Here, None);
        let said = told(|p| {
            stand_by_line(p);
            p.needs = Some(List::made(rows, |_: StanceNo| List::made(columns, |_: StanceNo| need())));
        });
        assert_eq!(said.is_empty(), good, "{said:?}");
    }

    /// A passage that names no stance, or one that is not listed, has no needs.
    #[test]
    fn every_passage_stands_somewhere() {
        let need = || Need::new(&crate::seconds::Habits::default(), crate::seconds::Leg::Here, None);
        let given = |change: fn(&mut crate::rota::Passage)| {
            told(|p| {
                stand_by_line(p);
                p.needs = Some(List::made(2, |_: StanceNo| List::made(2, |_: StanceNo| need())));
                change(&mut p.lines[LineNo(0)].passages[crate::rota::PassageNo(1)]);
            })
        };
        let says = ["What lies between two passages is not given for every pair of them."];
        assert_eq!(given(|_| ()), NONE);
        assert_eq!(given(|passage| passage.stances = None), says);
        assert_eq!(given(|p| p.stances = p.stances.map(|s| Stances { ends: StanceNo(2), ..s })), says);
        assert_eq!(given(|p| p.stances = p.stances.map(|s| Stances { begins: StanceNo(2), ..s })), says);
    }

    #[rstest]
    #[case(f64::NAN, 1.0, "a, passage 2: a time is not a number of seconds.")]
    #[case(1.0, f64::INFINITY, "a, passage 2: a time is not a number of seconds.")]
    #[case(1.0, 3.2e7, "a, passage 2: a time is not a number of seconds.")]
    #[case(-3.2e7, -3.1e7, "a, passage 2: a time is not a number of seconds.")]
    #[case(1.0, 3.1e7, "")]
    #[case(2.0, 1.5, "a, passage 2 ends before it starts.")]
    #[case(-1.0, 0.5, "a, passage 2 stands before an earlier one: sort them.")]
    #[case(0.0, 0.5, "")]
    fn times_are_in_order(#[case] from_s: f64, #[case] to_s: f64, #[case] says: &str) {
        let said = told(|p| {
            let passage = &mut p.lines[LineNo(0)].passages[crate::rota::PassageNo(1)];
            (passage.from_s, passage.to_s) = (from_s, to_s);
        });
        assert_eq!(said.concat(), says);
    }

    #[test]
    fn whatever_is_named_is_listed() {
        let place = |n: usize| {
            told(move |p| p.lines[LineNo(0)].passages[crate::rota::PassageNo(0)].place = Some(PlaceNo(n)))
        };
        assert_eq!(place(1), NONE);
        assert_eq!(place(2), ["a, passage 1 stands at a place that is not listed."]);
        let now = |n: usize| told(move |p| p.lines[LineNo(1)].now = Some(PlayerNo(n)));
        assert_eq!(now(2), NONE, "the extra");
        let says = "b: its player of last time, its present player or its owner is not listed.";
        assert_eq!(now(3), [says]);
        assert_eq!(told(|p| p.lines[LineNo(1)].last_time = Some(PlayerNo(3))), [says]);
        assert_eq!(told(|p| p.lines[LineNo(1)].owner = Some(PlayerNo(3))), [says]);
        let many = |n: usize| {
            told(move |p| {
                p.extras = 100;
                p.lines[LineNo(1)].now = Some(PlayerNo(n));
            })
        };
        assert_eq!((many(63).len(), many(64).len()), (0, 1), "sixty-four are the most");
        assert_eq!(
            told(|p| p.lines[LineNo(0)].exposure = -0.5),
            ["a: exposure has to be a number from 0 up."]
        );
        assert_eq!(told(|p| p.reserve = vec![PlayerNo(1)]), NONE);
        let reserve = told(|p| p.reserve = vec![PlayerNo(2)]);
        assert_eq!(reserve, ["Somebody in reserve is not listed among the players."]);
        let pair = |a: usize, b: usize| told(move |p| p.playable_together = vec![(LineNo(a), LineNo(b))]);
        assert_eq!(pair(0, 1), NONE);
        let says = ["A playable-together mark names a line that is not listed."];
        assert_eq!(
            (pair(2, 0), pair(0, 2)),
            (says.map(str::to_owned).to_vec(), says.map(str::to_owned).to_vec())
        );
    }

    #[test]
    fn demands_name_what_is_listed() {
        let pin = |line: usize, player: usize| {
            let demand = Demand::Pin { line: LineNo(line), player: PlayerNo(player) };
            told(move |p| p.demands = vec![Demand::Apart { a: LineNo(0), b: LineNo(1) }, demand])
        };
        let says = ["Demand 2 names a line or a player that is not listed."];
        assert_eq!(pin(1, 2), NONE);
        assert_eq!(pin(2, 0), says);
        assert_eq!(pin(0, 3), says);
        let apart = |a: usize, b: usize| {
            told(move |p| p.demands = vec![Demand::Apart { a: LineNo(a), b: LineNo(b) }])
        };
        assert_eq!(apart(0, 2), ["Demand 1 names a line or a player that is not listed."]);
    }

    #[test]
    fn there_is_a_most_of_players_and_of_lines() {
        let players = |n: usize| told(move |p| p.players = List::filled("x".to_owned(), n));
        assert_eq!((players(64).len(), players(65).len()), (0, 1));
        let lines = |n: usize| told(move |p| p.lines = List::filled(crate::rota::Line::default(), n));
        assert_eq!((lines(4000).len(), lines(4001).len()), (0, 1));
    }
}
