//! Two windows that have one library open and edit the same files at once, each taking in what the other has written when it notices:
//! every word that either was shown as saved is found in the end, in its file, in a second version beside it, or among the earlier
//! versions. `BACKROW_SECONDS` makes it longer by hand.

#![expect(clippy::unwrap_used, reason = "a test stops where its footing gives way")]

mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use window::harness;

/// Which instruments both write to, one or both in an edit.
const SHARED: [&str; 2] = ["marimba-1", "xylophone-1"];

fn with_word(library: &Library, of: &[&str], word: &str) -> Edit {
    let one = |id: &&str| {
        let mut next = (*library.instruments[&InstrumentId::new(id).unwrap()]).clone();
        next.remark = format!("{} {word}", next.remark);
        Edit::PutInstrument(next)
    };
    Edit::Together { words: "A word".to_owned(), edits: of.iter().map(one).collect() }
}

/// Edits for so long; the words that were shown as saved.
fn edits(dir: &Path, who: &str, lasts: Duration) -> Vec<String> {
    let mut h = harness(App::open(dir, Settings::default(), None));
    let (until, mut said) = (Instant::now() + lasts, Vec::new());
    for number in 0.. {
        let word = format!("word-{who}-{number}.");
        let of = if number % 3 == 0 { &SHARED[..] } else { &SHARED[number % 2..=number % 2] };
        let edit = with_word(h.state().history.now(), of, &word);
        h.state_mut().request(Intent::Edit(edit));
        h.step();
        said.push(word);
        // Now and then the other's are noticed in between: the window comes to the front.
        if number % 4 == 0 {
            h.input_mut().focused = false;
            h.step();
            h.input_mut().focused = true;
            h.step();
            std::thread::sleep(Duration::from_millis(400));
            h.step();
        }
        if Instant::now() > until {
            break;
        }
    }
    said
}

fn texts(folder: &Path, into: &mut String) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path: PathBuf = entry.unwrap().path();
        if path.is_dir() {
            texts(&path, into);
        } else if path.extension().is_some_and(|ending| ending == "ron") {
            into.push_str(&std::fs::read_to_string(path).unwrap());
        }
    }
}

#[test]
fn two_windows_in_one_library_lose_nothing() {
    let seconds = std::env::var("BACKROW_SECONDS").ok().and_then(|n| n.parse().ok()).unwrap_or(3);
    let home = tempfile::tempdir().unwrap();
    let dir = home.path().join("library");
    backrow_files::library::copy_demo(&dir).unwrap();
    let window = |who: &'static str| {
        let dir = dir.clone();
        let work = move || edits(&dir, who, Duration::from_secs(seconds));
        std::thread::Builder::new().name(who.to_owned()).spawn(work).unwrap()
    };
    let windows = [window("a"), window("b")];
    let said: Vec<String> = windows.into_iter().flat_map(|window| window.join().unwrap()).collect();
    let mut found = String::new();
    texts(&dir, &mut found);
    let lost: Vec<&String> = said.iter().filter(|word| !found.contains(word.as_str())).collect();
    let kept = backrow_files::library::kept_versions(&dir).len();
    eprintln!("{} edits of two windows, {kept} second versions, {} lost", said.len(), lost.len());
    assert!(lost.is_empty(), "{lost:?} of {}", said.len());
    assert!(said.len() > 10, "{}", said.len());
}
