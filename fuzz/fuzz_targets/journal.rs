//! Any bytes as the journal that a stopped save left, and as the file and the text of a step in one: opening the library writes records
//! of that library and nothing else, and a second opening finds nothing more to do.
#![no_main]

use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use libfuzzer_sys::fuzz_target;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

static KINDS: OnceLock<Shared<KindId, Kind>> = OnceLock::new();

/// Every file with its bytes.
fn all(folder: &Path, into: &mut BTreeMap<PathBuf, Vec<u8>>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        match entry.file_type() {
            Ok(kind) if kind.is_dir() => all(&entry.path(), into),
            _ => drop(into.insert(entry.path(), std::fs::read(entry.path()).unwrap_or_default())),
        }
    }
}

fn files(home: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut files = BTreeMap::new();
    all(home, &mut files);
    files
}

fn step(bytes: &[u8]) -> String {
    let (name, text) = bytes.split_at(bytes.len().min(48) / 2);
    let (name, text) = (String::from_utf8_lossy(name), String::from_utf8_lossy(text));
    let before = if text.len() % 2 == 0 { "None" } else { "Some((11, 1))" };
    let after = if text.is_empty() { "None".to_owned() } else { format!("Some({text:?})") };
    format!("(format:1,steps:[(file:{name:?},before:{before},after:{after})])")
}

fuzz_target!(|bytes: &[u8]| {
    let kinds = KINDS.get_or_init(|| backrow_files::kinds::standard().expect("the program's own"));
    for journal in [bytes.to_vec(), step(bytes).into_bytes()] {
        let home = tempfile::tempdir().expect("a folder");
        let library = home.path().join("library");
        let own = library.join(".backrow");
        std::fs::create_dir_all(&own).expect("room");
        std::fs::create_dir_all(library.join("weeks")).expect("room");
        for file in ["orchestra.ron", "weeks/a.ron", "notes.txt"] {
            std::fs::write(library.join(file), b"(format: 2)").expect("room");
        }
        std::fs::write(own.join("save-left.ron"), &journal).expect("room");
        let before = files(home.path());
        backrow_files::library::open(&library, kinds);
        let after = files(home.path());
        for (path, text) in &after {
            let is_record = path.starts_with(&library) && path.extension().is_some_and(|ending| ending == "ron");
            let is_own = path.starts_with(&own);
            assert!(before.get(path) == Some(text) || is_record || is_own, "{} was written", path.display());
        }
        backrow_files::library::open(&library, kinds);
        assert_eq!(files(home.path()).keys().collect::<Vec<_>>(), after.keys().collect::<Vec<_>>());
    }
});
