//! The shell commands as a script runs them: what they print and their exit codes.
#![expect(clippy::unwrap_used, reason = "a test helper that fails is a failed test")]

use rstest::rstest;
use serde_json::Value;
use std::fmt::Write as _;
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
fn check_finds_what_is_odd_in_the_collection() {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let file = folder.join("instruments/anvil-1.ron");
    let text = std::fs::read_to_string(&file).unwrap();
    let before = text.lines().find(|line| line.trim_start().starts_with("mass:")).expect("its mass");
    std::fs::write(&file, text.replace(before, "    mass: (kg: 4000.0),")).unwrap();
    let object = object(&backrow(["check", folder.to_str().unwrap(), "--json"]));
    let found = object["findings"].as_array().unwrap();
    let odd: Vec<_> = found.iter().filter(|one| one["code"] == "odd-figures").collect();
    assert_eq!(odd.len(), 1, "{:#}", object["problems"]);
    assert!(odd[0]["programme"].is_null() && odd[0]["why"].as_str().unwrap().contains("4000"), "{odd:?}");
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
fn read_takes_a_table_of_lines_and_a_whole_folder() {
    let dir = tempfile::tempdir().unwrap();
    let table = dir.path().join("list.csv");
    std::fs::write(
        &table,
        "Line,Instrument,From measure,To measure,From seconds,To seconds,Notes\nperc,Xyl.,5,8,8,16,F5 A5*3\n",
    )
    .unwrap();
    let run = backrow(["read", table.to_str().unwrap(), "--json"]);
    let one = object(&run);
    assert_eq!(code(&run), 0, "{one:#}");
    let line = &one["lines"][0];
    assert_eq!((line["kind"].as_str(), line["octave"].as_i64()), (Some("xylophone"), Some(12)));
    assert_eq!(
        (line["passages"][0]["from_s"].as_f64(), line["passages"][0]["to_s"].as_f64()),
        (Some(8.0), Some(16.0))
    );
    assert!(line["evidence"][0].as_str().is_some_and(|text| text.contains("Xyl.")), "{line:#}");
    std::fs::write(dir.path().join("bad.xml"), "no score").unwrap();
    std::fs::write(dir.path().join("notes.txt"), "not looked at").unwrap();
    let run = backrow(["read", dir.path().to_str().unwrap(), "--json"]);
    let all = object(&run);
    assert_eq!((code(&run), all["read"].as_u64(), all["lines"].as_u64()), (1, Some(1), Some(1)), "{all:#}");
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
    for field in ["title", "measures", "measures_played", "quarters", "seconds", "lines", "problems"] {
        assert!(!object[field].is_null(), "{field}");
    }
    let lines = object["lines"].as_array().unwrap();
    assert!(!lines.is_empty());
    for line in lines {
        let fields = line.as_object().unwrap();
        for field in ["kind", "printed", "part", "octave", "notes", "unpitched", "passages"] {
            assert!(fields.contains_key(field), "{field} in {line:#}");
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
    let lines = object["lines"].as_array().unwrap();
    assert!(lines.iter().any(|line| !line["fits"].as_array().unwrap().is_empty()));
    for line in lines {
        let fits = line["fits"].as_array().unwrap();
        assert!(fits.is_sorted_by_key(rank), "{line:#}");
        for fit in fits {
            assert!(fit["instrument"].is_string() && fit["octaves"].is_i64());
            assert_eq!(fit["fit"] == "part", !fit["missing"].as_array().unwrap().is_empty(), "{fit}");
        }
        for set in line["together"].as_array().unwrap() {
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
#[case::not_a_score("read LIB/orchestra.ron", "orchestra.ron")]
#[case::a_folder_without_scores("read LIB/instruments", "holds no scores")]
#[case::no_such_work("cover LIB --work salty", "salt")]
#[case::no_such_instrument("bar LIB xylophone-99 C5", "xylophone-1")]
#[case::no_such_note("bar LIB xylophone-1 X5", "X5")]
#[case::beyond_the_keys("bar LIB xylophone-1 G9", "C-1 to G9")]
#[case::octave_out_of_range("bar LIB xylophone-1 C5 --octave 99", "semitones")]
#[case::no_such_programme("sheets LIB --programme tide --out DIR/x", "tidelands")]
#[case::a_file_where_the_folder_should_be(
    "sheets LIB --programme tidelands --out LIB/orchestra.ron/x",
    "orchestra.ron"
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

#[test]
fn what_others_write_while_a_table_is_taken_in_stays() {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let table = dir.path().join("more.csv");
    std::fs::write(&table, "name,kind\nA bell more,glockenspiel\n").unwrap();
    let marimba = folder.join("instruments/marimba-1.ron");
    let before = std::fs::read_to_string(&marimba).unwrap();
    for round in 0..16_u64 {
        let added = folder.join(format!("instruments/added-{round}.ron"));
        let (new, theirs) = (
            before.replace("marimba-1", &format!("added-{round}")),
            before.replace("Marimba 1", &format!("Marimba of round {round}")),
        );
        let words = ["import", folder.to_str().unwrap(), table.to_str().unwrap(), "--save"];
        let mut run = Command::new(env!("CARGO_BIN_EXE_backrow"))
            .args(words)
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_millis(12 * round));
        std::fs::write(&added, &new).unwrap();
        std::fs::write(&marimba, &theirs).unwrap();
        run.wait().unwrap();
        assert_eq!(std::fs::read_to_string(&added).ok(), Some(new), "round {round}: added");
        assert_eq!(std::fs::read_to_string(&marimba).unwrap(), theirs, "round {round}: changed");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_cannot_be_written_is_no_success() {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_backrow"))
        .args(["check", folder.to_str().unwrap()])
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(code(&run), 2, "{}", text(&run.stderr));
}

/// Two programs that change the same files again and again: whatever either says that it kept is found, in the file, beside it,
/// or among its earlier versions. `BACKROW_ROUNDS` makes it longer by hand.
#[test]
fn two_programs_in_one_library_lose_nothing() {
    let rounds: u32 = std::env::var("BACKROW_ROUNDS").ok().and_then(|n| n.parse().ok()).unwrap_or(6);
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let hammer = |who: &'static str| {
        let (folder, dir) = (folder.clone(), dir.path().to_owned());
        let work = move || {
            let mut kept = Vec::new();
            for round in 0..rounds {
                let name = format!("Shared {who} {round}");
                let table = dir.join(format!("{who}.csv"));
                let own = format!("Own {who} {round}");
                let rows =
                    format!("id,name,kind\nmarimba-1,{name},marimba\nhammer-{who}-{round},{own},marimba\n");
                std::fs::write(&table, rows).unwrap();
                // The flag's earlier name, which is still understood.
                let run = backrow(["import", folder.to_str().unwrap(), table.to_str().unwrap(), "--keep"]);
                assert!(code(&run) < 2, "{}", text(&run.stderr));
                let said = text(&run.stdout);
                if said.contains("marimba-1") || text(&run.stderr).contains("kept beside") {
                    kept.push(name);
                }
                kept.push(own);
            }
            kept
        };
        std::thread::Builder::new().name(who.to_owned()).spawn(work).unwrap()
    };
    let all: Vec<String> =
        [hammer("a"), hammer("b")].into_iter().flat_map(|one| one.join().unwrap()).collect();
    let mut found = String::new();
    let mut folders = vec![folder.clone()];
    while let Some(next) = folders.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "ron") {
                found.push_str(&std::fs::read_to_string(path).unwrap());
            }
        }
    }
    assert!(all.len() >= rounds as usize * 2);
    // Thirty versions of a file are kept: a long run by hand may thin the oldest of the shared one.
    let lost: Vec<&String> = all.iter().filter(|name| !found.contains(name.as_str())).collect();
    assert!(lost.iter().all(|name| rounds > 12 && name.starts_with("Shared")), "{lost:?}");
    assert!(code(&backrow(["check", folder.to_str().unwrap()])) < 2);
}

/// A library's own template may be any program: what it does wrong is told, and the command ends.
#[rstest]
#[case::a_length_of_nothing("#h(1e400mm) x", "")]
#[case::nested_in_the_text("NEST", "within each other")]
#[case::nested_by_a_loop("#let x = []\n#for i in range(100000) { x = [#emph(x)] }\n#x", "")]
#[case::more_than_there_is("#let all = range(2000000000)\n#all.len()", "memory")]
#[case::too_many_pages("#for i in range(2000) { pagebreak() }", "pages")]
#[case::a_page_without_end("#set page(width: 1e9pt)\nx", "5\u{202f}m a side")]
#[case::a_fill_that_no_memory_holds(
    "#rect(width: 1cm, height: 1cm, fill: tiling(size: (1e9pt, 1e9pt))[x])",
    "broke off"
)]
fn a_template_of_any_sort_is_refused_in_words(#[case] text: &str, #[case] says: &str) {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    std::fs::create_dir_all(folder.join("print")).unwrap();
    let text = text.replace("NEST", &format!("{}{}", "#[".repeat(100_000), "]".repeat(100_000)));
    std::fs::write(folder.join("print/list.typ"), text).unwrap();
    let out = dir.path().join("out");
    let words =
        ["sheets", folder.to_str().unwrap(), "--programme", "lantern-week", "--sheet", "hires", "--out"];
    let ids = object(&backrow(["check", folder.to_str().unwrap(), "--json"]));
    let programme = ids["programmes"][0]["id"].as_str().unwrap().to_owned();
    let words: Vec<&str> =
        words.iter().map(|word| if *word == "lantern-week" { programme.as_str() } else { word }).collect();
    let run = backrow(words.into_iter().chain([out.to_str().unwrap()]));
    let said = format!("{}{}", text_of(&run.stdout), text_of(&run.stderr));
    assert!(run.status.code().is_some(), "it was ended by the system: {said}");
    assert!(says.is_empty() || (code(&run) == 2 && said.contains(says)), "{} {said}", code(&run));
}

fn text_of(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Killed at any moment, a change of forty files is whole or was never begun, and nothing is left lying about.
#[cfg(unix)]
#[test]
fn a_program_that_is_killed_leaves_nothing_half_done() {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let table = dir.path().join("many.csv");
    let (mut whole, mut none) = (0, 0);
    for round in 0..14_u64 {
        let mut rows = String::from("id,name,kind\n");
        for number in 0..40 {
            writeln!(rows, "killed-{number},Round {round} of many {number},marimba").unwrap();
        }
        std::fs::write(&table, rows).unwrap();
        let mut run = Command::new(env!("CARGO_BIN_EXE_backrow"))
            .args(["import", folder.to_str().unwrap(), table.to_str().unwrap(), "--save"])
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap();
        // It saves from some point of the first half second on; the last rounds let it end.
        std::thread::sleep(std::time::Duration::from_millis(60 * round));
        run.kill().unwrap();
        run.wait().unwrap();
        let kinds = backrow_files::kinds::standard().unwrap();
        let opened = backrow_files::library::open(&folder, &kinds);
        let bad: Vec<_> = opened.problems.iter().filter(|problem| problem.code != "recovered").collect();
        assert!(bad.is_empty(), "round {round}: {bad:?}");
        let of_round = format!("Round {round} of many");
        let count =
            opened.library.instruments.values().filter(|thing| thing.name.starts_with(&of_round)).count();
        assert!(count == 0 || count == 40, "round {round}: {count} of 40");
        (whole, none) = (whole + u32::from(count == 40), none + u32::from(count == 0));
    }
    assert!(whole > 0 && none > 0, "{whole} whole, {none} none");
}

/// Both drums that have the note, by name: D3 is within reach of the 26 in and of the 23 in.
#[test]
fn a_set_of_timpani_names_every_drum_that_has_the_note() {
    let dir = tempfile::tempdir().unwrap();
    let folder = library(&dir);
    let run = backrow(["bar", folder.to_str().unwrap(), "timpani-rehearsal-room", "D3"]);
    let said = text(&run.stdout);
    assert!(said.contains("within reach of 26 in (A♯2–F3) and of 23 in (D3–A3)"), "{said}");
}
