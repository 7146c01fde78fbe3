//! One path leads from a programme to seconds, metres, masses and people: [`backrow_core::evening::Evening`]. What makes any of
//! them is named in no other file, in this crate or another; most of it other crates cannot even name.

#![allow(clippy::expect_used, reason = "a test may stop")]

use std::fs;
use std::path::{Path, PathBuf};

/// What makes something of a programme or of its floor, and the files that may name it: the one that holds it, and those that the
/// evening asks.
const MAKERS: &[(&str, &[&str])] = &[
    (
        "Plan::of(",
        &[
            "stage/propose.rs",
            "stage/propose/elsewhere.rs",
            "stage/propose/home.rs",
            "stage/changeover.rs",
            "evening/floor.rs",
        ],
    ),
    ("Walks::of(", &["evening/floor.rs"]),
    ("InHand::new(", &["evening/hand.rs"]),
    // An evening is remembered, or stands apart for a reason that `evenings::evening_apart` names.
    (
        "Evening::of(",
        &["evening/places/works.rs", "evening/places/search.rs", "evenings.rs", "derived/current.rs"],
    ),
    (
        "evening_apart(",
        &[
            "evenings.rs",
            "places/floor/between.rs",
            "places/floor/setups.rs",
            "sound/along.rs",
            "sheets/season.rs",
            "sheets/work_plan.rs",
            "tables.rs",
            "shell/assign.rs",
            "shell/check.rs",
            "shell/plan.rs",
            "shell/plan/answer.rs",
            "shell/plan/propose.rs",
            "shell/sheets.rs",
        ],
    ),
    ("Timetable::of(", &["evening.rs", "evening/hand.rs"]),
    ("Load::of(", &["evening.rs"]),
    ("Sum::of(", &["loads.rs", "sheets/load.rs"]),
    ("used_bars(", &["loads.rs", "evening.rs"]),
    ("shares(&", &["evening.rs"]),
    ("changeovers(", &["stage/changeover.rs", "evening.rs"]),
    ("proposals(", &["hiring.rs", "evening.rs"]),
    ("propose_these(", &["stage/propose.rs", "evening/hand.rs"]),
    ("propose_near(", &["stage/propose.rs", "evening/places/search.rs"]),
    ("may_stand(", &["stage/propose/elsewhere.rs", "evening/places/works.rs"]),
    ("stand_again(", &["stage/propose/elsewhere.rs", "evening/places/search.rs"]),
    ("Need::new(", &["seconds/need.rs", "moves/timetable.rs", "rota/seconds.rs"]),
    ("riser_loads(&venue", &["stage/plan.rs"]),
    ("plan.checks(", &["evening/floor.rs"]),
    (".loads(", &["evening/floor.rs"]),
    ("habits.pace()", &["seconds/need.rs"]),
];

fn sources(of: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(of).expect("a folder of sources").flatten() {
        let path = entry.path();
        let is_test = path.file_stem().is_some_and(|stem| stem == "tests" || stem == "worked");
        if path.is_dir() && !is_test {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") && !is_test {
            found.push(path);
        }
    }
}

/// Every line of code that names a maker outside the files that may: comments and the tests beside the code do not count.
fn strangers(file: &str, text: &str) -> Vec<String> {
    let code = text.split("#[cfg(test)]").next().unwrap_or(text);
    let lines = code.lines().map(|line| line.split("//").next().unwrap_or(""));
    let named = |line: &str| {
        let maker = MAKERS.iter().find(|(maker, may)| line.contains(maker) && !may.contains(&file));
        maker.map(|(maker, _)| format!("{file} names {maker}) itself: {}", line.trim()))
    };
    lines.filter_map(named).collect()
}

#[test]
fn only_the_evening_makes_seconds_metres_masses_and_people() {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the folder of crates");
    let mut files = Vec::new();
    for name in ["backrow-core", "backrow-files", "backrow-print", "backrow-sound", "backrow"] {
        let root = crates.join(name).join("src");
        let mut own = Vec::new();
        sources(&root, &mut own);
        assert!(own.len() > 5, "the sources of {name} were found");
        files.extend(own.into_iter().map(|path| {
            let file = path.strip_prefix(&root).expect("beneath it").to_string_lossy().replace('\\', "/");
            (file, fs::read_to_string(&path).expect("a source file"))
        }));
    }
    let found: Vec<String> = files.iter().flat_map(|(file, text)| strangers(file, text)).collect();
    assert!(found.is_empty(), "ask an Evening instead:\n{}", found.join("\n"));
    // Each of the places that may is one: a maker that was renamed is noticed.
    for (maker, may) in MAKERS {
        let at = |one: &&str| files.iter().any(|(file, text)| file == *one && text.contains(maker));
        let gone: Vec<&&str> = may.iter().filter(|one| !at(one)).collect();
        assert!(gone.is_empty(), "{maker}) is not named in {gone:?} any more");
    }
}

#[test]
fn another_path_is_noticed() {
    assert_eq!(strangers("places/floor.rs", "let plan = Plan::of(library, &shown);").len(), 1);
    assert_eq!(strangers("places/week/needs.rs", "Load::of(library, programme, way)").len(), 1);
    let free = "// Plan::of(library)\nfn one() {}\n#[cfg(test)]\nmod tests { Load::of(a, b, c) }";
    assert!(strangers("places/floor.rs", free).is_empty());
    assert!(strangers("evening/floor.rs", "plan: Plan::of(library, programme),").is_empty());
}
