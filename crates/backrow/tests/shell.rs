//! The shell commands as a script runs them: what they print and their exit codes.
#![expect(clippy::unwrap_used, reason = "a test helper that fails is a failed test")]

use rstest::rstest;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A library of its own: a copy of the demo library.
fn library(dir: &tempfile::TempDir) -> PathBuf {
    let folder = dir.path().join("library");
    backrow_files::library::copy_demo(&folder).unwrap();
    folder
}

fn backrow<'a>(words: impl IntoIterator<Item = &'a str>) -> Output {
    Command::new(env!("CARGO_BIN_EXE_backrow")).args(words).output().unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The object of a run with `--json`.
fn object(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|why| panic!("{why}: {}", text(&output.stdout)))
}

/// One problem at least, each with its four words.
fn problems(object: &Value) -> &Vec<Value> {
    let problems = object["problems"].as_array().unwrap();
    for problem in problems {
        for word in ["code", "where", "what", "remedy"] {
            assert!(problem[word].as_str().is_some_and(|text| !text.is_empty()), "{word} in {problem}");
        }
    }
    problems
}

fn demo_score(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library/scores").join(name)
}

#[test]
fn check_finds_nothing_wrong_with_the_demo() {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let run = backrow(["check", folder.to_str().unwrap(), "--json"]);
    let object = object(&run);
    assert!(problems(&object).is_empty(), "{object:#}");
    assert_eq!(code(&run), 0);
    assert!(object["instruments"].as_u64().unwrap() >= 90);
    assert_eq!(object["works"].as_array().unwrap().len(), 10);
    assert_eq!(object["programmes"].as_array().unwrap().len(), 3);
}

#[test]
fn check_names_a_broken_file_and_goes_on() {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    std::fs::write(folder.join("works/salt.ron"), "(\n    format: 1,\n    id: \"salt\n").unwrap();
    let run = backrow(["check", folder.to_str().unwrap(), "--json"]);
    assert_eq!(code(&run), 1);
    let object = object(&run);
    let place = problems(&object)[0]["where"].as_str().unwrap().to_owned();
    assert!(place.contains("works/salt.ron") && place.contains("line"), "{place}");
    assert!(object["instruments"].as_u64().unwrap() >= 90);
    assert!(text(&run.stderr).contains("works/salt.ron"));
}

#[test]
fn read_takes_a_table_of_calls_and_a_whole_folder() {
    let dir = tempfile::tempdir().unwrap();
    let table = dir.path().join("list.csv");
    std::fs::write(
        &table,
        "Call,Instrument,From measure,To measure,From seconds,To seconds,Notes\nperc,Xyl.,5,8,8,16,F5 A5*3\n",
    )
    .unwrap();
    let run = backrow(["read", table.to_str().unwrap(), "--json"]);
    let one = object(&run);
    assert_eq!(code(&run), 0, "{one:#}");
    let call = &one["calls"][0];
    assert_eq!((call["kind"].as_str(), call["octave"].as_i64()), (Some("xylophone"), Some(12)));
    assert_eq!(
        (call["passages"][0]["from_s"].as_f64(), call["passages"][0]["to_s"].as_f64()),
        (Some(8.0), Some(16.0))
    );
    assert!(call["evidence"][0].as_str().is_some_and(|text| text.contains("Xyl.")), "{call:#}");
    std::fs::write(dir.path().join("bad.xml"), "no score").unwrap();
    std::fs::write(dir.path().join("notes.txt"), "not looked at").unwrap();
    let run = backrow(["read", dir.path().to_str().unwrap(), "--json"]);
    let all = object(&run);
    assert_eq!((code(&run), all["read"].as_u64(), all["calls"].as_u64()), (1, Some(1), Some(1)), "{all:#}");
    let files: Vec<&str> =
        all["files"].as_array().unwrap().iter().filter_map(|one| one["file"].as_str()).collect();
    assert_eq!(files, ["bad.xml", "list.csv"]);
    assert_eq!(problems(&all).len(), 1, "the broken one is told");
}

#[test]
fn read_says_what_a_score_calls_for() {
    let score = demo_score("tollhouse-in-snow.musicxml");
    let run = backrow(["read", score.to_str().unwrap(), "--json"]);
    let object = object(&run);
    assert_eq!(code(&run), i32::from(!problems(&object).is_empty()));
    for field in ["title", "measures", "measures_played", "quarters", "seconds", "calls", "problems"] {
        assert!(!object[field].is_null(), "{field}");
    }
    let calls = object["calls"].as_array().unwrap();
    assert!(!calls.is_empty());
    for call in calls {
        let fields = call.as_object().unwrap();
        for field in ["kind", "printed", "part", "octave", "notes", "unpitched", "passages"] {
            assert!(fields.contains_key(field), "{field} in {call:#}");
        }
    }
    let plain = backrow(["read", score.to_str().unwrap()]);
    assert!(text(&plain.stdout).contains(object["title"].as_str().unwrap()));
}

#[test]
fn cover_lists_the_fits_best_first() {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let run = backrow(["cover", folder.to_str().unwrap(), "--work", "gull-clock", "--json"]);
    assert_eq!(code(&run), 0, "{}", text(&run.stderr));
    let object = object(&run);
    let rank = |fit: &Value| ["whole", "octave", "part"].iter().position(|word| fit["fit"] == *word).unwrap();
    let calls = object["calls"].as_array().unwrap();
    assert!(calls.iter().any(|call| !call["fits"].as_array().unwrap().is_empty()));
    for call in calls {
        let fits = call["fits"].as_array().unwrap();
        assert!(fits.is_sorted_by_key(rank), "{call:#}");
        for fit in fits {
            assert!(fit["instrument"].is_string() && fit["octaves"].is_i64());
            assert_eq!(fit["fit"] == "part", !fit["missing"].as_array().unwrap().is_empty(), "{fit}");
        }
        for set in call["together"].as_array().unwrap() {
            assert!(set.as_array().unwrap().len() > 1 && fits.iter().all(|fit| fit["fit"] != "whole"));
        }
    }
}

/// The demo's first xylophone has F4 to C8 in two rows. By hand: F4 G4 A4 B4, seven from C5, so C6 is the 12th of the
/// lower row, which has 4 + 7 + 7 + 7 + 1 = 26 bars. Of the upper row F#4 G#4 A#4 come first, then C#5 D#5.
#[rstest]
#[case::the_usual_octave(&["C5"], "C6", 84, "lower", 12, 26)]
#[case::said_in_octaves(&["C6", "--octave", "0"], "C6", 84, "lower", 12, 26)]
#[case::said_in_semitones(&["C4", "--octave", "24"], "C6", 84, "lower", 12, 26)]
#[case::lower(&["C7", "--octave", "-1"], "C6", 84, "lower", 12, 26)]
#[case::upper_row(&["Eb4"], "Eb5", 75, "upper", 5, 18)]
#[case::german(&["B4", "--reading", "german"], "Bb5", 82, "upper", 8, 18)]
#[case::helmholtz(&["c''", "--reading", "helmholtz"], "C6", 84, "lower", 12, 26)]
fn bar_counts_from_the_left(
    #[case] words: &[&str],
    #[case] sounding: &str,
    #[case] key: u64,
    #[case] row: &str,
    #[case] place: u64,
    #[case] of: u64,
) {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let line = ["bar", folder.to_str().unwrap(), "xylophone-1"].into_iter().chain(words.iter().copied());
    let run = backrow(line.chain(["--json"]));
    assert_eq!(code(&run), 0, "{}", text(&run.stderr));
    let object = object(&run);
    assert_eq!((object["sounding"].as_str(), object["key"].as_u64()), (Some(sounding), Some(key)));
    assert_eq!((object["row"].as_str(), object["place"].as_u64()), (Some(row), Some(place)));
    assert_eq!((object["of"].as_u64(), object["frame"].as_u64()), (Some(of), Some(1)));
    if key == 84 {
        // C6 of the pitch table at A4 = 440 Hz (equal temperament, ISO 16), to which this one is tuned.
        assert!((object["hz"].as_f64().unwrap() - 1_046.502_261).abs() < 1e-5);
    }
}

#[test]
fn a_note_without_a_bar_is_a_problem_and_no_place() {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let run = backrow(["bar", folder.to_str().unwrap(), "xylophone-1", "C3", "--json"]);
    assert_eq!(code(&run), 1);
    let object = object(&run);
    assert!(object["row"].is_null() && object["place"].is_null() && object["frame"].is_null());
    assert_eq!(problems(&object)[0]["code"], "no-bar");
    assert_eq!(object["sounding"], "C4");
}

#[rstest]
#[case::a4("a4")]
#[case::letter("letter")]
fn sheets_come_as_pdf(#[case] paper: &str) {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let out = dir.path().join("some/sheets");
    let line =
        ["sheets", folder.to_str().unwrap(), "--programme", "tidelands", "--out", out.to_str().unwrap()];
    let run = backrow(line.into_iter().chain(["--paper", paper, "--json"]));
    assert_eq!(code(&run), 0, "{}", text(&run.stderr));
    let object = object(&run);
    let files = object["files"].as_array().unwrap();
    assert!(!files.is_empty());
    for file in files {
        let bytes = std::fs::read(file.as_str().unwrap()).unwrap();
        assert!(bytes.starts_with(b"%PDF") && bytes.len() > 2000);
    }
}

/// Each could not be done: exit code 2, one problem with a remedy, on both outputs. `LIB` stands for a demo library,
/// `DIR` for an empty folder.
#[rstest]
#[case::no_folder("check DIR/nowhere", "nowhere")]
#[case::no_library("check DIR", "no library")]
#[case::no_score("read DIR/none.mxl", "none.mxl")]
#[case::not_a_score("read LIB/house.ron", "house.ron")]
#[case::a_folder_without_scores("read LIB/instruments", "holds no scores")]
#[case::no_such_work("cover LIB --work salty", "salt")]
#[case::no_such_instrument("bar LIB xylophone-99 C5", "xylophone-1")]
#[case::no_such_note("bar LIB xylophone-1 X5", "X5")]
#[case::beyond_the_keys("bar LIB xylophone-1 G9", "C-1 to G9")]
#[case::octave_out_of_range("bar LIB xylophone-1 C5 --octave 99", "semitones")]
#[case::no_such_programme("sheets LIB --programme tide --out DIR/x", "tidelands")]
#[case::a_file_where_the_folder_should_be(
    "sheets LIB --programme tidelands --out LIB/house.ron/x",
    "house.ron"
)]
fn what_cannot_be_done_is_said(#[case] line: &str, #[case] says: &str) {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let empty = tempfile::tempdir().unwrap();
    let words: Vec<String> = line
        .split(' ')
        .map(|word| {
            word.replace("LIB", folder.to_str().unwrap()).replace("DIR", empty.path().to_str().unwrap())
        })
        .collect();
    let run = backrow(words.iter().map(String::as_str).chain(["--json"]));
    assert_eq!(code(&run), 2, "{} {}", text(&run.stdout), text(&run.stderr));
    let object = object(&run);
    let problems = problems(&object);
    assert_eq!(problems.len(), 1);
    assert!(problems[0].to_string().contains(says), "{}", problems[0]);
    let plain = backrow(words.iter().map(String::as_str));
    assert_eq!(code(&plain), 2);
    assert!(plain.stdout.is_empty() && text(&plain.stderr).contains(says), "{}", text(&plain.stderr));
}

#[rstest]
#[case(&["cover", "x"])]
#[case(&["bar", "x", "y", "C5", "--reading", "greek"])]
#[case(&["check"])]
fn a_wrong_command_line_is_2(#[case] words: &[&str]) {
    let run = backrow(words.iter().copied());
    assert_eq!(code(&run), 2);
    assert!(text(&run.stderr).contains("--help"), "{}", text(&run.stderr));
}

#[test]
fn help_names_the_commands_and_exit_codes() {
    let run = backrow(["--help"]);
    assert_eq!(code(&run), 0);
    let help = text(&run.stdout);
    for word in ["check", "read", "cover", "bar", "sheets", "Exit codes"] {
        assert!(help.contains(word), "{word} in {help}");
    }
}
