//! Libraries of every format, kept as they were: they open for ever. Never change what lies in `tests/libraries` once its format is
//! released; a new format gets a folder of its own.

use crate::on_disk::codes;
use backrow_files::library::{SaveReport, open, save};
use rstest::rstest;
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

fn all_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(all_files(&path));
        } else {
            found.push(path);
        }
    }
    found
}

fn records(folder: &Path) -> Vec<PathBuf> {
    let mut found = all_files(folder);
    found.retain(|path| path.extension().is_some_and(|ending| ending == "ron"));
    found
}

#[rstest]
#[case(1, (155, 10, 2))]
#[case(2, (153, 10, 2))]
fn the_library_of_every_format_opens_whole(#[case] format: u32, #[case] counts: (usize, usize, usize)) {
    let home = copied(format);
    let dir = home.path().join("library");
    let kinds = backrow_files::kinds::standard().unwrap();
    let mut opened = open(&dir, &kinds);
    assert_eq!(opened.problems, []);
    assert_eq!(opened.read_only, None);
    let library = opened.library;
    assert_eq!((library.instruments.len(), library.works.len(), library.weeks.len()), counts);
    assert_eq!(
        save(&dir, &mut opened.disk, &library),
        SaveReport::default(),
        "nothing is written by opening"
    );
}

/// A kept library is what a program of its time wrote: whoever changes it takes away what it proves. FNV-1a, 64 bits, over every
/// file's name and bytes in order.
#[rstest]
#[case(1, 0xbf1d_b722_e191_cdd3)]
#[case(2, 0xb8d9_8703_385d_9b45)]
fn what_is_kept_is_never_changed(#[case] format: u32, #[case] known: u64) {
    let root = kept(format);
    let mut files = all_files(&root);
    files.sort();
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for path in files {
        let name: Vec<String> = path
            .strip_prefix(&root)
            .unwrap()
            .components()
            .map(|part| part.as_os_str().to_string_lossy().into_owned())
            .collect();
        // Version control may give texts the line ends of the system.
        let bytes = fs::read(&path).unwrap();
        let is_text = path.extension().is_some_and(|ending| ending == "ron");
        let bytes = bytes.into_iter().filter(|byte| !is_text || *byte != b'\r');
        for byte in name.join("/").into_bytes().into_iter().chain([0]).chain(bytes) {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
    assert_eq!(
        hash, known,
        "tests/libraries/format-{format} has changed: put it back; a new format gets a new folder"
    );
}

#[rstest]
#[case(1)]
#[case(2)]
fn every_file_states_its_format(#[case] format: u32) {
    let all = records(&kept(format));
    assert!(all.len() > 150, "{}", all.len());
    for path in all {
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains(&format!("format: {format},")), "{}", path.display());
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
fn one_file_of_a_newer_format_is_shown_and_never_written() {
    let home = copied(2);
    let dir = home.path().join("library");
    let file = dir.join("instruments/marimba-1.ron");
    let newer =
        fs::read_to_string(&file).unwrap().replacen("format: 2,", "format: 7, sparkle: (bright: 3),", 1);
    fs::write(&file, &newer).unwrap();
    let kinds = backrow_files::kinds::standard().unwrap();
    let mut opened = open(&dir, &kinds);
    assert_eq!(codes(&opened.problems), ["newer-format"]);
    assert_eq!(opened.read_only, None, "the others can be changed");
    let id = backrow_core::id::InstrumentId::new("marimba-1").unwrap();
    let mut changed = opened.library.clone();
    let things = std::sync::Arc::make_mut(&mut changed.instruments);
    std::sync::Arc::make_mut(things.get_mut(&id).unwrap()).name = "Changed".to_owned();
    let report = save(&dir, &mut opened.disk, &changed);
    assert_eq!(report.kept.len(), 1, "kept beside it: {report:?}");
    assert_eq!(fs::read_to_string(&file).unwrap(), newer);
    std::sync::Arc::make_mut(&mut changed.instruments).remove(&id);
    save(&dir, &mut opened.disk, &changed);
    assert_eq!(fs::read_to_string(&file).unwrap(), newer, "nor removed");
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
