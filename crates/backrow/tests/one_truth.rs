//! One truth a fact, through the shell commands: a library's files are changed by hand, and every command says the same of it.

use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A copy of the demo library with words of the week's file replaced.
fn changed(dir: &Path, changes: &[(&str, &str)]) -> PathBuf {
    let folder = dir.join("library");
    backrow_files::library::copy_demo(&folder).expect("the demo library");
    let file = folder.join("weeks/2027-41.ron");
    let mut text = std::fs::read_to_string(&file).expect("the week");
    for (old, new) in changes {
        assert_eq!(text.matches(old).count(), 1, "{old} stands once in the demo's week");
        text = text.replace(old, new);
    }
    std::fs::write(&file, text).expect("written");
    folder
}

fn run(words: &[&str]) -> Vec<u8> {
    let output = Command::new(env!("CARGO_BIN_EXE_backrow")).args(words).output().expect("the program");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    output.stdout
}

/// What was found in Tidelands, as code and words.
fn found(folder: &Path) -> Vec<(String, String)> {
    let object: Value =
        serde_json::from_slice(&run(&["check", folder.to_str().expect("a path"), "--json"])).expect("JSON");
    let all = object["findings"].as_array().expect("findings");
    let of_programme = all.iter().filter(|one| one["programme"] == "tidelands");
    let words = |one: &Value, key: &str| one[key].as_str().expect("words").to_owned();
    of_programme
        .map(|one| (words(one, "code"), format!("{}. {}", words(one, "what"), words(one, "detail"))))
        .collect()
}

/// The rows of each load table of Tidelands.
fn loads(folder: &Path, out: &Path) -> BTreeMap<String, Vec<String>> {
    let paths = (folder.to_str().expect("a path"), out.to_str().expect("a path"));
    run(&["tables", paths.0, "--programme", "tidelands", "--out", paths.1]);
    let files = std::fs::read_dir(out).expect("tables").flatten().map(|entry| entry.path());
    let name =
        |file: &PathBuf| file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    files
        .filter(|file| name(file).starts_with("load-"))
        .map(|file| {
            let text = std::fs::read_to_string(&file).expect("a table");
            (name(&file), text.lines().map(str::to_owned).collect())
        })
        .collect()
}

const OF_LANTERNS: &str =
    "\"lanterns\": (setup: {\"marimba-1\": (number: 1, at: (-5.6, 4.7), turn_deg: 330.0)}),";

#[test]
fn a_work_s_own_setup_is_checked() {
    let (good, bad) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let before = found(&changed(good.path(), &[]));
    // The marimba exactly where the vibraphone stands, the xylophone outside the hall.
    let after = found(&changed(
        bad.path(),
        &[(
            OF_LANTERNS,
            "\"lanterns\": (setup: {\"marimba-1\": (number: 1, at: (-2.9, 4.15), turn_deg: 343.0), \
             \"xylophone-1\": (number: 3, at: (-11.0, 3.95), turn_deg: 356.0)}),",
        )],
    ));
    let fresh: Vec<&(String, String)> = after.iter().filter(|one| !before.contains(one)).collect();
    for (code, thing) in [("overlap", "Vibraphone 2"), ("off-floor", "Xylophone 1")] {
        assert!(
            fresh.iter().any(|(word, what)| {
                word == code
                    && what.contains(thing)
                    && what.contains("In Lanterns on the Estuary’s own setup")
            }),
            "{code}: {fresh:#?}"
        );
    }
}

#[test]
fn a_work_taken_out_leaves_the_truck() {
    let (all, one) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let whole = changed(all.path(), &[]);
    let works = "works: [\"dredgers\", \"two-bridges\", \"lanterns\", \"salt\"],";
    let less = changed(one.path(), &[(works, "works: [\"dredgers\"],")]);
    let (before, after) = (loads(&whole, &all.path().join("out")), loads(&less, &one.path().join("out")));
    assert_eq!(before.keys().collect::<Vec<_>>(), after.keys().collect::<Vec<_>>());
    for (name, rows) in &before {
        let of = |rows: &[String]| rows.iter().any(|row| row.contains("Marimba 1"));
        assert!(of(rows) && !of(&after[name]), "{name}: {:#?}", after[name]);
        assert!(after[name].len() < rows.len(), "{name}: {} of {} rows", after[name].len(), rows.len());
    }
    // Neither is it promised elsewhere for works that are not played.
    let promised = |folder: &Path| {
        found(folder).into_iter().find(|(code, _)| code == "instrument-twice").map(|(_, what)| what)
    };
    assert!(promised(&whole).is_some_and(|what| what.contains("5 instruments")), "{:?}", promised(&whole));
    assert!(promised(&less).is_none_or(|what| !what.contains("5 instruments")), "{:?}", promised(&less));
}
