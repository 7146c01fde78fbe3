//! Libraries of released formats, kept as they were: they open for ever. Never change what lies in `tests/libraries`; a new
//! format gets a folder of its own.

use crate::desk::codes;
use backrow_files::library::{SaveReport, open, save};
use std::fs;
use std::path::{Path, PathBuf};

fn kept(format: u32) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("libraries/format-{format}"))
}

fn copied(format: u32) -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    copy(&kept(format), &home.path().join("library"));
    home
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let to = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &to);
        } else {
            fs::copy(entry.path(), to).unwrap();
        }
    }
}

fn records(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(records(&path));
        } else if path.extension().is_some_and(|ending| ending == "ron") {
            found.push(path);
        }
    }
    found
}

#[test]
fn the_library_of_format_1_opens_whole() {
    let home = copied(1);
    let dir = home.path().join("library");
    let kinds = backrow_files::kinds::standard().unwrap();
    let mut opened = open(&dir, &kinds);
    assert_eq!(opened.problems, []);
    assert_eq!(opened.read_only, None);
    let library = opened.library;
    assert_eq!((library.instruments.len(), library.works.len(), library.weeks.len()), (155, 10, 2));
    assert_eq!(
        save(&dir, &mut opened.disk, &library),
        SaveReport::default(),
        "nothing is written by opening"
    );
}

#[test]
fn every_file_states_its_format() {
    let all = records(&kept(1));
    assert!(all.len() > 150, "{}", all.len());
    for path in all {
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains("format: 1,"), "{}", path.display());
    }
}

#[test]
fn a_library_of_a_newer_format_opens_read_only_and_says_so() {
    let home = copied(1);
    let dir = home.path().join("library");
    for path in records(&dir) {
        let text = fs::read_to_string(&path).unwrap();
        fs::write(&path, text.replacen("format: 1,", "format: 7, sparkle: (bright: 3),", 1)).unwrap();
    }
    let before: Vec<String> = records(&dir).iter().map(|path| fs::read_to_string(path).unwrap()).collect();
    let kinds = backrow_files::kinds::standard().unwrap();
    let mut opened = open(&dir, &kinds);
    let why = opened.read_only.clone().unwrap();
    assert!(why.contains("newer") && why.contains('7'), "{why}");
    assert_eq!(opened.library.instruments.len(), 155, "it can be looked at");
    let mut changed = opened.library.clone();
    std::sync::Arc::make_mut(&mut changed.orchestra).name = "Changed".to_owned();
    let report = save(&dir, &mut opened.disk, &changed);
    assert_eq!(codes(&report.problems), ["read-only"]);
    assert!(report.failed);
    let after: Vec<String> = records(&dir).iter().map(|path| fs::read_to_string(path).unwrap()).collect();
    assert_eq!(before, after);
}

#[test]
fn the_settings_of_format_1_go_into_the_file_of_today_when_they_change() {
    let home = copied(1);
    let dir = home.path().join("library");
    let kinds = backrow_files::kinds::standard().unwrap();
    let mut opened = open(&dir, &kinds);
    let mut changed = opened.library.clone();
    std::sync::Arc::make_mut(&mut changed.orchestra).name = "Changed".to_owned();
    let report = save(&dir, &mut opened.disk, &changed);
    assert!(!report.failed, "{:?}", report.problems);
    assert!(!dir.join("house.ron").exists(), "two files of settings would contradict each other");
    let again = open(&dir, &kinds);
    assert_eq!((again.problems, &*again.library.orchestra.name), (vec![], "Changed"));
    assert_eq!(again.library.orchestra.habits, opened.library.orchestra.habits);
}
