//! `backrow plan`: a folder of scores of our own making, a copy of the demo library, and the pack.
#![expect(clippy::unwrap_used, reason = "a test helper that fails is a failed test")]

use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn scores() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/a_week_of_scores")
}

/// Every file under a folder with its content.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path));
        } else {
            found.insert(path.clone(), std::fs::read(&path).unwrap());
        }
    }
    found
}

fn plan(folder: &Path, library: &Path, venue: &str, out: &Path) -> Output {
    let words = [folder.as_os_str(), "--library".as_ref(), library.as_os_str(), "--venue".as_ref()];
    Command::new(env!("CARGO_BIN_EXE_backrow"))
        .arg("plan")
        .args(words)
        .arg(venue)
        .arg("--out")
        .arg(out)
        .arg("--json")
        .output()
        .unwrap()
}

#[test]
fn a_folder_of_scores_becomes_a_printed_programme() {
    let dir = tempfile::tempdir().unwrap();
    let library = dir.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    let before = files(&library);
    let out = dir.path().join("pack");
    let run = plan(&scores(), &library, "quay-hall", &out);
    let answer: Value = serde_json::from_slice(&run.stdout)
        .unwrap_or_else(|why| panic!("{why}: {}", String::from_utf8_lossy(&run.stderr)));
    assert_eq!(files(&library), before, "the library stays as it is");

    let works = answer["works"].as_array().unwrap();
    let titles: Vec<&str> = works.iter().map(|work| work["title"].as_str().unwrap()).collect();
    assert_eq!(titles, ["ferry dances", "Harbour Symphony", "Lighthouse Overture"]);
    let harbour = works[1]["movements"].as_array().unwrap();
    let numbers: Vec<&str> = harbour.iter().map(|movement| movement["number"].as_str().unwrap()).collect();
    assert_eq!(numbers, ["I", "II", "III", "IV"]);
    assert_eq!(harbour[2]["lines"].as_array().unwrap().len(), 0, "the trio is tacet");
    assert!(harbour[2]["seconds"].as_f64().unwrap() > 60.0, "and lasts all the same");

    let lines: Vec<&Value> = works
        .iter()
        .flat_map(|work| work["movements"].as_array().unwrap())
        .flat_map(|movement| movement["lines"].as_array().unwrap())
        .collect();
    assert!(lines.len() >= 11, "{} lines", lines.len());
    assert!(lines.iter().all(|line| line["player"].is_string()), "every line has somebody: {lines:#?}");
    assert!(lines.iter().all(|line| line["extra"].is_null()), "nobody waits");
    // All have one. Of one it is to be agreed, and is said why: it stands an octave below every glockenspiel.
    let bare: Vec<&str> = lines
        .iter()
        .filter(|line| line["instruments"].as_array().unwrap().is_empty())
        .map(|line| line["printed"].as_str().unwrap())
        .collect();
    assert_eq!(bare, Vec::<&str>::new());
    let open: Vec<&str> = answer["open"].as_array().unwrap().iter().filter_map(Value::as_str).collect();
    let why = |words: &&&str| {
        words.starts_with("Lighthouse Overture, Glockenspiel mm. 12–13 and 28–29: to be agreed: ")
    };
    assert!(open.iter().any(|words| why(&words)), "{open:#?}");
    let timpani: Vec<&&Value> = lines.iter().filter(|line| line["kind"] == "timpani").collect();
    assert!(!timpani.is_empty());
    let chosen = |line: &&&Value| !line["instruments"].as_array().unwrap().is_empty();
    for line in timpani.into_iter().filter(chosen) {
        let tuning = &line["tuning"];
        let planned = tuning["drums"].as_array().is_some_and(|drums| !drums.is_empty())
            && tuning["changes"].is_array()
            && tuning["fewest_drums"].as_u64().is_some_and(|fewest| fewest >= 1)
            && tuning["proof"].is_string();
        assert!(planned || tuning["impossible"].is_string(), "{line:#?}");
    }
    for word in ["stations", "proofs", "findings", "problems"] {
        assert!(answer[word].is_array(), "{word}");
    }
    assert!(!answer["stations"].as_array().unwrap().is_empty(), "what is chosen stands somewhere");
    assert!(!answer["proofs"].as_array().unwrap().is_empty());
    let printed = answer["files"].as_array().unwrap();
    assert!(printed.len() > 3, "{printed:?}");
    for file in printed {
        assert!(std::fs::read(file.as_str().unwrap()).unwrap().starts_with(b"%PDF"), "{file}");
    }
}

/// What stands as one is one station, on one place; a library in which nothing is yet still says what is asked for.
#[test]
fn stations_and_an_empty_library() {
    let dir = tempfile::tempdir().unwrap();
    let library = dir.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    let run = plan(&scores(), &library, "quay-hall", &dir.path().join("pack"));
    let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
    let stations = answer["stations"].as_array().unwrap();
    let mut seen = std::collections::BTreeSet::new();
    for station in stations {
        let place = |name: &str| station[name].as_f64().unwrap_or_else(|| panic!("{name}: {station}"));
        assert!(place("x_m").abs() < 20.0 && (0.0..20.0).contains(&place("y_m")), "{station}");
        assert!((0.0..360.0).contains(&place("turn_deg")), "{station}");
        assert!(station["player"].is_string(), "{station}");
        for instrument in station["instruments"].as_array().unwrap() {
            assert!(seen.insert(instrument.as_str().unwrap().to_owned()), "{instrument} stands twice");
        }
    }
    let used: std::collections::BTreeSet<String> = answer["works"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|work| work["movements"].as_array().unwrap())
        .flat_map(|movement| movement["lines"].as_array().unwrap())
        .flat_map(|line| line["instruments"].as_array().unwrap())
        .map(|id| id.as_str().unwrap().to_owned())
        .collect();
    let told: Vec<&str> =
        answer["open"].as_array().unwrap().iter().map(|open| open.as_str().unwrap()).collect();
    let missing: Vec<&String> = used.difference(&seen).collect();
    let said = told.iter().filter(|words| words.contains("finds no place")).count();
    assert_eq!(missing.len(), said, "{missing:?} {told:?}");
    assert!(stations.len() <= seen.len());

    let empty = dir.path().join("empty");
    std::fs::create_dir(&empty).unwrap();
    std::fs::write(empty.join("orchestra.ron"), "(format: 2)").unwrap();
    let run = plan(&scores(), &empty, "nowhere", &dir.path().join("pack of nothing"));
    let answer: Value = serde_json::from_slice(&run.stdout)
        .unwrap_or_else(|why| panic!("{why}: {}", String::from_utf8_lossy(&run.stderr)));
    assert_eq!(answer["works"].as_array().unwrap().len(), 3);
    assert!(answer["stations"].as_array().unwrap().is_empty());
    let codes: Vec<&str> = answer["problems"]
        .as_array()
        .unwrap()
        .iter()
        .map(|problem| problem["code"].as_str().unwrap())
        .collect();
    assert!(codes.contains(&"no-venue"), "{codes:?}");
}

#[test]
fn a_venue_or_a_folder_that_is_not_there_is_said() {
    let dir = tempfile::tempdir().unwrap();
    let library = dir.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    let out = dir.path().join("pack");
    let run = plan(&scores(), &library, "nowhere", &out);
    assert_eq!(run.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&run.stderr).contains("quay-hall"), "it names those that there are");
    let empty = dir.path().join("empty");
    std::fs::create_dir(&empty).unwrap();
    let run = plan(&empty, &library, "quay-hall", &out);
    assert_eq!(run.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&run.stderr).contains("no scores"));
    assert!(!out.exists(), "nothing is printed");
}

/// Where those engaged are not enough, a line says which extra it waits for, and the reason speaks of instruments by name.
#[test]
fn a_line_that_waits_for_an_extra_says_so() {
    let dir = tempfile::tempdir().unwrap();
    // One player is left of them.
    let mut alone = backrow::sample::small();
    let first = alone.players.iter().next().map(|(id, player)| (id.clone(), player.clone()));
    alone.players = std::sync::Arc::new(first.into_iter().collect());
    let folder = dir.path().join("alone");
    backrow_files::library::create_from(&folder, &alone, &backrow_files::kinds::standard().unwrap()).unwrap();
    let run = plan(&scores(), &folder, "quay-hall", &dir.path().join("pack"));
    let answer: Value = serde_json::from_slice(&run.stdout)
        .unwrap_or_else(|why| panic!("{why}: {}", String::from_utf8_lossy(&run.stderr)));
    let lines: Vec<&Value> = answer["works"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|work| work["movements"].as_array().unwrap())
        .flat_map(|movement| movement["lines"].as_array().unwrap())
        .collect();
    let waiting: Vec<&&Value> = lines.iter().filter(|line| line["player"].is_null()).collect();
    assert!(!waiting.is_empty(), "{lines:#?}");
    assert!(
        waiting.iter().all(|line| line["extra"].as_u64().is_some_and(|extra| extra >= 1)),
        "{waiting:#?}"
    );
    let played = lines.iter().filter(|line| line["player"].is_string());
    assert!(played.clone().count() > 0 && played.clone().all(|line| line["extra"].is_null()));
    let open = answer["open"].as_array().unwrap();
    let why = open.iter().filter_map(Value::as_str).find(|words| words.starts_with("Those engaged"));
    let why = why.unwrap_or_else(|| panic!("no reason: {open:#?}"));
    assert!(why.contains("Harbour Symphony") || why.contains("Lighthouse") || why.contains("ferry"), "{why}");
    assert!(!why.contains("harbour-symphony") && !why.contains("-1 "), "names and no ids: {why}");
}
