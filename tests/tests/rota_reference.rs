//! The fewest players against a table made elsewhere: `../shared/reference/min_players.json`, which gives
//! events, the seconds needed between instruments, and the fewest players with and without those seconds.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use backrow_core::rota::check::faults;
use backrow_core::rota::{Answer, Effort, Line, Passage, Problem, Rota, Shape, StanceNo, Stances};
use std::path::Path;

use backrow_core::seconds::{Habits, Leg, Need, Walk};

#[test]
fn agrees_with_the_reference_table() {
    let above = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors();
    let folder = above.map(|folder| folder.join("shared/reference")).find(|folder| folder.is_dir());
    let Some(folder) = folder else {
        println!("skipped: the reference table is not beside the project");
        return;
    };
    let text = std::fs::read_to_string(folder.join("min_players.json"))
        .expect("the folder is there, so the table is");
    let cases: Vec<serde_json::Value> = serde_json::from_str(&text).unwrap();
    assert!(!cases.is_empty());
    for case in &cases {
        for (field, with_gaps) in [("min_players", true), ("min_players_if_all_gaps_zero", false)] {
            let problem = problem(case, with_gaps);
            let Answer::Found(found) = Rota::new(problem.clone()).unwrap().fewest(Effort::default()) else {
                panic!("no answer for seed {}", case["seed"]);
            };
            assert_eq!(Some(found.players as u64), case[field].as_u64(), "seed {} {field}", case["seed"]);
            assert!(found.proven());
            assert_eq!(faults(&problem, &found.assignments), Vec::<String>::new());
            if !with_gaps {
                assert_eq!(found.proof.shape, Shape::Moment, "intervals alone are always proven by a moment");
            }
        }
    }
}

/// Each event is a line; the seconds between instruments stand as metres at one metre a second.
fn problem(case: &serde_json::Value, with_gaps: bool) -> Problem {
    let gaps = case["gap_seconds"].as_array().unwrap();
    let events = case["events"].as_array().unwrap();
    let instrument =
        |event: &serde_json::Value| usize::try_from(event["instrument"].as_u64().unwrap()).unwrap();
    let habits = Habits { pace_m_s: 1.0, settle_s: 0.0, change_s: 0.0, ..Habits::default() };
    let need = |a: &serde_json::Value, b: &serde_json::Value| {
        let metres = if with_gaps { gaps[instrument(a)][instrument(b)].as_f64().unwrap() } else { 0.0 };
        Need::new(&habits, Leg::Measured(Walk { metres, steps: 0 }), None)
    };
    let needs = events.iter().map(|a| events.iter().map(|b| need(a, b)).collect()).collect();
    let line = |(nth, event): (usize, &serde_json::Value)| Line {
        label: event.to_string(),
        passages: vec![Passage {
            from_s: event["start"].as_f64().unwrap(),
            to_s: event["end"].as_f64().unwrap(),
            stances: Some(Stances { begins: StanceNo(nth), ends: StanceNo(nth) }),
            ..Passage::default()
        }]
        .into(),
        ..Line::default()
    };
    Problem {
        lines: events.iter().enumerate().map(line).collect(),
        extras: 20,
        needs: Some(needs),
        ..Problem::default()
    }
}
