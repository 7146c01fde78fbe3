//! The window's own process, killed at any moment: what a frame has shown as saved is on the disk, an edit of two files is there whole
//! or not at all, and the next start opens without a complaint. `BACKROW_SECONDS` makes it longer by hand.

#![cfg(unix)]
#![expect(clippy::unwrap_used, reason = "a test stops where its footing gives way")]

mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use window::harness;

/// What the process is told, in its environment: the library, and the file in which it confirms.
const TOLD: [&str; 2] = ["BACKROW_TEST_WINDOW_LIBRARY", "BACKROW_TEST_WINDOW_LOG"];
/// Each edit adds a word to the remark of both.
const BOTH: [&str; 2] = ["marimba-1", "xylophone-1"];

fn told(at: usize) -> Option<PathBuf> {
    std::env::var_os(TOLD[at]).map(PathBuf::from)
}

fn with_word(library: &Library, word: &str) -> Edit {
    let edits = BOTH.map(|id| {
        let mut next = (*library.instruments[&InstrumentId::new(id).unwrap()]).clone();
        next.remark = format!("{} {word}", next.remark);
        Edit::PutInstrument(next)
    });
    Edit::Together { words: "A word for both".to_owned(), edits: edits.into() }
}

fn words(library: &Library, id: &str) -> BTreeSet<String> {
    let thing = &library.instruments[&InstrumentId::new(id).unwrap()];
    thing.remark.split_whitespace().filter(|word| word.starts_with("word-")).map(str::to_owned).collect()
}

/// The window that is killed; an ordinary run of the tests passes it by.
#[test]
fn the_window_that_is_killed() {
    let (Some(dir), Some(log)) = (told(0), told(1)) else { return };
    let mut log = std::fs::File::options().append(true).create(true).open(log).unwrap();
    let mut h = harness(App::open(&dir, Settings::default(), None));
    log.write_all(b"begun\n").unwrap();
    for number in 0_u64.. {
        let word = format!("word-{}-{number}", std::process::id());
        let edit = with_word(h.state().history.now(), &word);
        h.state_mut().request(Intent::Edit(edit));
        h.step();
        log.write_all(format!("{word}\n").as_bytes()).unwrap();
    }
}

fn start(dir: &Path, log: &Path) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "the_window_that_is_killed", "--nocapture"])
        .envs(TOLD.into_iter().zip([dir, log]))
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

fn confirmed(log: &Path) -> Vec<String> {
    std::fs::read_to_string(log).unwrap_or_default().lines().map(str::to_owned).collect()
}

#[test]
fn a_window_that_is_killed_loses_no_finished_edit() {
    if told(0).is_some() {
        return;
    }
    let seconds: u64 = std::env::var("BACKROW_SECONDS").ok().and_then(|n| n.parse().ok()).unwrap_or(4);
    let home = tempfile::tempdir().unwrap();
    let (demo, dir, log) = (home.path().join("demo"), home.path().join("library"), home.path().join("log"));
    let kinds = backrow_files::kinds::standard().unwrap();
    backrow_files::library::copy_demo(&demo).unwrap();
    let library = backrow_files::library::open(&demo, &kinds).library;
    backrow_files::library::create_from(&dir, &library, &kinds).unwrap();
    let begun = Instant::now();
    let mut kills = 0_u64;
    while kills < 3 || begun.elapsed() < Duration::from_secs(seconds) {
        let starts = confirmed(&log).len();
        let mut child = start(&dir, &log);
        // A window that is up, and then any moment; a machine under load may be slow to begin.
        for _ in 0..6_000 {
            if confirmed(&log).len() > starts {
                break;
            }
            assert_eq!(child.try_wait().unwrap(), None, "it ended by itself");
            std::thread::sleep(Duration::from_millis(10));
        }
        std::thread::sleep(Duration::from_micros(180_000 + kills * 48_611 % 500_000));
        child.kill().unwrap();
        child.wait().unwrap();
        kills += 1;
        let opened = backrow_files::library::open(&dir, &kinds);
        let bad: Vec<_> = opened.problems.iter().filter(|problem| problem.code != "recovered").collect();
        assert!(bad.is_empty(), "after kill {kills}: {bad:?}");
        let [one, other] = BOTH.map(|id| words(&opened.library, id));
        assert_eq!(one, other, "an edit of two files is whole, after kill {kills}");
        let lost: Vec<String> =
            confirmed(&log).into_iter().filter(|word| word != "begun" && !one.contains(word)).collect();
        assert!(lost.is_empty(), "after kill {kills}: {lost:?}");
    }
    let made = confirmed(&log).iter().filter(|word| *word != "begun").count();
    eprintln!("{kills} kills, {made} edits confirmed, none lost");
    assert!(made > 2, "{made} edits");
}
