//! `backrow assign` as a script sees it: a table in, JSON or words out, and how it ends.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::process::{Command, Output};

fn assign(table: &str, more: &[&str]) -> Output {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("table.csv");
    std::fs::write(&file, table).unwrap();
    Command::new(env!("CARGO_BIN_EXE_backrow"))
        .args(["assign", "--table"])
        .arg(&file)
        .args(more)
        .output()
        .unwrap()
}

const TABLE: &str = "line,instrument,from_s,to_s,x_m,y_m,beaters\n\
    xylophone,x1,0,4,0,0,hard\n\
    bells,b1,7,9,1.2,0,hard\n\
    gong,g1,8,9,0,0,hard\n";

#[test]
fn json_names_players_proof_and_walks() {
    let out = assign(TABLE, &["--json"]);
    assert!(out.status.success());
    let said: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!((&said["players"], &said["proven"]), (&2.into(), &true.into()));
    assert_eq!(said["proof"]["shape"], "moment");
    assert_eq!(said["proof"]["lines"], serde_json::json!(["bells", "gong"]));
    assert_eq!(said["proof"]["at_s"], 8.0);
    assert_eq!(said["assignments"]["xylophone"], said["assignments"]["gong"], "the same place asks no walk");
    assert_eq!(said["walk_m"], 0.0);
    assert_eq!(said["checker_disagrees"], serde_json::json!([]), "the answer was gone over again");
    assert!(said["seconds"].as_f64().is_some_and(|s| s >= 0.0));
}

#[test]
fn habits_can_be_set() {
    // 1.2 m at 1.2 m/s and 1 s to settle fit the 3 s between; at 0.4 m/s they do not.
    let two = "line,from_s,to_s,x_m,y_m\na,0,4,0,0\nb,7,9,1.2,0\n";
    assert!(String::from_utf8_lossy(&assign(two, &[]).stdout).starts_with("1 player is needed"));
    assert!(
        String::from_utf8_lossy(&assign(two, &["--pace", "0.4"]).stdout).starts_with("2 players are needed")
    );
}

#[test]
fn bad_rows_are_told_and_a_bad_table_ends_with_2() {
    let out = assign("line,from_s,to_s\na,0,x\nb,0,1\n#c,3,2\n", &["--json"]);
    assert_eq!(out.status.code(), Some(1), "done with problems");
    let said: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!(said["players"], 1);
    assert_eq!(said["problems"][0]["code"], "table-row");
    assert!(said["problems"][1]["where"].as_str().unwrap().ends_with("line 4"), "{said}");
    assert!(String::from_utf8_lossy(&out.stderr).contains("line 2: “x” in the column to_s is not a number"));
    assert_eq!(assign("line,from_s\na,0\n", &[]).status.code(), Some(2));
}

/// A script that was written before the word changed goes on.
#[test]
fn the_old_word_answers_too() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("table.csv");
    std::fs::write(&file, TABLE).unwrap();
    let out =
        Command::new(env!("CARGO_BIN_EXE_backrow")).args(["rota", "--table"]).arg(&file).output().unwrap();
    assert!(out.status.success());
    assert_eq!(out.stdout, assign(TABLE, &[]).stdout);
}
