//! What is read, and what is said about what cannot be.

use crate::on_disk::{OnDisk, XYLOPHONE, codes, instrument, kinds, line, section, xylophone};
use backrow_core::edit::{Edit, apply};
use backrow_core::id::PlayerId;
use backrow_core::library::Orchestra;
use backrow_files::library::{SaveReport, copy_demo, create_from, has_demo, import, open, save};
use rstest::rstest;
use std::fs;

#[test]
fn one_broken_file_costs_that_file_and_is_never_overwritten() {
    let mut on_disk = OnDisk::new();
    on_disk.replace(XYLOPHONE, "layout: \"two rows\",", "layout: \"two rows\"");
    let broken = on_disk.read(XYLOPHONE);
    let line = broken.lines().position(|line| line.contains("layout")).unwrap() + 1;
    let mut opened = on_disk.open();
    let first = opened.problems.first().unwrap();
    assert_eq!((first.file.as_str(), first.code), (XYLOPHONE, "syntax"));
    assert!(first.line.is_some_and(|at| at as usize == line), "{first} against {line}");
    // The plan still names it: nothing is lost.
    assert_eq!(codes(&opened.problems[1..]), ["unknown-instrument"]);
    assert_eq!(opened.library.instruments.len(), 1);
    assert_eq!(opened.library.weeks, on_disk.library.weeks);
    assert_eq!(save(&on_disk.dir, &mut opened.disk, &opened.library), SaveReport::default());
    // A new thing of that id does not go over it, and is found again.
    on_disk.library =
        apply(&opened.library, &Edit::PutInstrument(instrument("xylophone-1", "xylophone", "C5", "C8")))
            .unwrap();
    on_disk.disk = opened.disk;
    assert_eq!(on_disk.save().kept[0].beside, "instruments/xylophone-1.kept-1.ron");
    assert_eq!(on_disk.read(XYLOPHONE), broken);
    let again = on_disk.open();
    assert_eq!(again.library, on_disk.library);
    assert_eq!(codes(&again.problems), ["syntax", "kept-in-place", "two-versions"]);
}

#[rstest]
#[case::unknown_field("    kind:", "    colour: \"red\",\n    kind:", "unknown-field", 4, "known here")]
#[case::near_field("material:", "materiel:", "unknown-field", 11, "write material")]
#[case::missing_field("    kind: \"xylophone\",\n", "", "missing-field", 15, "\"kind\"")]
#[case::bad_note("F4-C8", "F4-H8", "bad-value", 8, "is not a note")]
#[case::no_format("    format: 2,\n", "", "unknown-format", 1, "format: 2")]
#[case::format_zero("format: 2", "format: 0", "unknown-format", 1, "format 0")]
#[case::merge(
    "    kind:",
    "<<<<<<< ours\n=======\n>>>>>>> theirs\n    kind:",
    "syntax",
    4,
    "delete the marks"
)]
fn a_wrong_file_is_refused_with_its_line_and_left_alone(
    #[case] from: &str,
    #[case] to: &str,
    #[case] code: &str,
    #[case] line: u32,
    #[case] says: &str,
) {
    let on_disk = OnDisk::new();
    on_disk.replace(XYLOPHONE, from, to);
    let before = on_disk.all();
    let mut opened = on_disk.open();
    let problem = opened.problems.first().unwrap();
    assert_eq!((problem.code, problem.file.as_str()), (code, XYLOPHONE), "{problem}");
    assert!(problem.to_string().contains(says), "{problem}");
    assert_eq!(problem.line, Some(line), "{problem}\n{}", on_disk.read(XYLOPHONE));
    assert!(!opened.library.instruments.contains_key(&xylophone()));
    assert!(save(&on_disk.dir, &mut opened.disk, &opened.library).is_clean());
    assert_eq!(on_disk.all(), before);
}

#[test]
fn bytes_that_are_no_text_are_named() {
    let on_disk = OnDisk::new();
    on_disk.write(XYLOPHONE, b"(\n    format: 2,\n    name: \"B\xE4r\",\n)");
    on_disk.write("players.ron", b"\xFF\xFE(\0");
    on_disk.write("beaters.ron", b"");
    let opened = on_disk.open();
    let found: Vec<_> = opened.problems.iter().map(|p| (p.file.as_str(), p.code, p.line)).collect();
    assert!(found.contains(&(XYLOPHONE, "not-utf-8", Some(3))), "{found:?}");
    assert!(found.contains(&("players.ron", "not-utf-8", None)), "{found:?}");
    assert!(found.contains(&("beaters.ron", "empty", None)), "{found:?}");
}

#[test]
fn a_newer_file_is_shown_and_never_written() {
    let mut on_disk = OnDisk::new();
    on_disk.replace(XYLOPHONE, "format: 2,", "format: 3,\n    aura: (hue: 3),");
    let newer = on_disk.read(XYLOPHONE);
    let opened = on_disk.open();
    assert_eq!(codes(&opened.problems), ["newer-format"]);
    assert_eq!(opened.read_only, None);
    assert_eq!(opened.library, on_disk.library);
    on_disk.disk = opened.disk;
    on_disk.rename("xylophone-1", "changed here");
    on_disk.rename("marimba-1", "changed too");
    let report = on_disk.save();
    assert_eq!(report.written, ["instruments/marimba-1.ron"]);
    assert_eq!(report.kept.len(), 1);
    assert_eq!(on_disk.read(XYLOPHONE), newer);
    // Removed here, it stays where it is.
    let mut opened = on_disk.open();
    let without = apply(&opened.library, &Edit::RemoveInstrument(xylophone())).unwrap();
    let report = save(&on_disk.dir, &mut opened.disk, &without);
    assert_eq!(codes(&report.problems), ["newer-format"]);
    assert_eq!(on_disk.read(XYLOPHONE), newer);
}

#[test]
fn a_newer_orchestra_makes_the_library_read_only() {
    let mut on_disk = OnDisk::new();
    on_disk.replace("orchestra.ron", "format: 2", "format: 7");
    let opened = on_disk.open();
    assert!(opened.read_only.as_ref().is_some_and(|why| why.contains("newer")), "{:?}", opened.read_only);
    assert_eq!(opened.library, on_disk.library);
    on_disk.disk = opened.disk;
    on_disk.rename("xylophone-1", "changed here");
    let before = on_disk.all();
    assert_eq!(codes(&on_disk.save().problems), ["read-only"]);
    assert_eq!(on_disk.all(), before);
}

/// The usual figures stand in for an orchestra that cannot be read; nobody has entered them, so they are not written either.
#[rstest]
#[case::broken("orchestra.ron", Some("(format: 2, name: \"Orch"))]
#[case::of_format_1("house.ron", Some("(format: 1, name: \"Orch"))]
#[case::missing("orchestra.ron", None)]
fn figures_that_nobody_entered_are_not_written(#[case] file: &str, #[case] text: Option<&str>) {
    let mut on_disk = OnDisk::new();
    let whole = on_disk.read("orchestra.ron");
    fs::remove_file(on_disk.dir.join("orchestra.ron")).unwrap();
    if let Some(text) = text {
        on_disk.write(file, text);
    }
    let opened = on_disk.open();
    (on_disk.library, on_disk.disk) = (opened.library, opened.disk);
    on_disk.rename("xylophone-1", "renamed");
    let report = on_disk.save();
    assert_eq!((report.written, report.kept), (vec![XYLOPHONE.to_owned()], Vec::new()));
    // As soon as it has been mended it is read, and taken in while the library is open.
    fs::remove_file(on_disk.dir.join(file)).unwrap_or_default();
    on_disk.write("orchestra.ron", &whole);
    let opened = on_disk.open();
    let taken = import(&on_disk.dir, &mut on_disk.disk, opened, &on_disk.library);
    assert_eq!(taken.files, ["orchestra.ron"]);
    assert_eq!(taken.library.orchestra, section().orchestra);
    assert!(save(&on_disk.dir, &mut on_disk.disk, &taken.library).written.is_empty());
}

#[test]
fn what_is_entered_of_an_orchestra_that_could_not_be_read_is_written() {
    let mut on_disk = OnDisk::new();
    fs::remove_file(on_disk.dir.join("orchestra.ron")).unwrap();
    let opened = on_disk.open();
    (on_disk.library, on_disk.disk) = (opened.library, opened.disk);
    let orchestra = Orchestra { name: "Entered Anew".into(), ..(*on_disk.library.orchestra).clone() };
    on_disk.edit(&Edit::SetOrchestra(orchestra));
    assert_eq!(on_disk.save().written, ["orchestra.ron"]);
    // Saved once, the usual figures are as good as any.
    on_disk.edit(&Edit::SetOrchestra(Orchestra::default()));
    assert_eq!(on_disk.save().written, ["orchestra.ron"]);
    assert_eq!(on_disk.open().library, on_disk.library);
}

#[test]
fn missing_folders_are_said_and_not_made() {
    let home = tempfile::tempdir().unwrap();
    let gone = home.path().join("gone");
    let mut opened = open(&gone, &kinds());
    assert_eq!(codes(&opened.problems), ["missing"]);
    assert!(opened.read_only.is_some());
    assert!(opened.problems[0].file.ends_with("gone"));
    assert!(!save(&gone, &mut opened.disk, &section()).is_clean());
    assert!(!gone.exists());
    // A folder of other things is no library and stays as it is.
    fs::write(home.path().join("letter.txt"), "dear section").unwrap();
    let mut opened = open(home.path(), &kinds());
    assert_eq!(codes(&opened.problems), ["not-a-library"]);
    assert!(!save(home.path(), &mut opened.disk, &section()).is_clean());
    assert_eq!(fs::read_dir(home.path()).unwrap().count(), 1);
    // A file is no folder.
    let file = home.path().join("letter.txt");
    assert_eq!(codes(&open(&file, &kinds()).problems), ["not-a-folder"]);
}

/// Whoever asks whether a folder is a library gets the answer by which it is opened.
#[rstest]
#[case("works/tide.ron", false)]
#[case("instruments/marimba-1.ron", false)]
#[case("orchestra.ron", true)]
#[case("house.ron", true)]
#[case("players.ron", true)]
fn what_is_a_library_is_told_in_one_way(#[case] file: &str, #[case] is_one: bool) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(file);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(&path, "()").unwrap();
    assert_eq!(backrow_files::library::is_library(folder.path()), is_one);
    let opened = backrow_files::library::open(folder.path(), &backrow_files::kinds::standard().unwrap());
    assert_eq!(!codes(&opened.problems).contains(&"not-a-library"), is_one, "{:?}", opened.problems);
    assert_eq!(fs::read_to_string(&path).unwrap(), "()", "nothing is written by opening");
}

#[cfg(unix)]
#[test]
fn a_read_only_folder_is_said_at_once() {
    use std::os::unix::fs::PermissionsExt;
    let mut on_disk = OnDisk::new();
    fs::set_permissions(&on_disk.dir, fs::Permissions::from_mode(0o555)).unwrap();
    // The system's own administrator may write anywhere: then there is nothing to see here.
    let bound = fs::write(on_disk.dir.join("probe"), "").is_err();
    if bound {
        let opened = on_disk.open();
        assert!(opened.read_only.is_some());
        assert_eq!(codes(&opened.problems), ["no-permission"]);
        on_disk.disk = opened.disk;
        on_disk.rename("xylophone-1", "changed");
        assert_eq!(codes(&on_disk.save().problems), ["read-only"]);
    }
    fs::set_permissions(&on_disk.dir, fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn references_that_lead_nowhere_are_named_and_kept() {
    let mut on_disk = OnDisk::new();
    on_disk.replace(XYLOPHONE, "\"cellar\"", "\"celler\"");
    on_disk.replace("weeks/week-7.ron", "\"alba\"", "\"nobody\"");
    on_disk.replace("works/lantern-dances.ron", "kind: \"xylophone\"", "kind: \"sky-harp\"");
    let opened = on_disk.open();
    let found: Vec<_> = opened.problems.iter().map(|p| (p.code, p.line.is_some())).collect();
    assert_eq!(found, [("unknown-place", true), ("unknown-kind", true), ("unknown-player", true)]);
    assert!(opened.problems[0].remedy.contains("\"cellar\""), "{}", opened.problems[0]);
    let given = &opened.library.weeks.values().next().unwrap().programmes[0].assignment(&line());
    assert_eq!(given.player, Some(PlayerId::new("nobody").unwrap()));
    on_disk.library = opened.library;
    on_disk.disk = opened.disk;
    on_disk.rename("xylophone-1", "changed");
    assert!(on_disk.save().is_clean());
    assert!(on_disk.read(XYLOPHONE).contains("\"celler\""));
}

#[test]
fn ids_that_stand_twice_lose_nothing() {
    let mut on_disk = OnDisk::new();
    // A copy under another name, a renamed file, and a place that stands twice.
    on_disk.write("instruments/copy of xylophone-1.ron", on_disk.read(XYLOPHONE));
    fs::rename(
        on_disk.dir.join("instruments/marimba-1.ron"),
        on_disk.dir.join("instruments/big-marimba.ron"),
    )
    .unwrap();
    on_disk.replace("places.ron", "places: [", "places: [(id: \"cellar\", name: \"Upper cellar\"), ");
    let opened = on_disk.open();
    let mut found = codes(&opened.problems);
    found.sort_unstable();
    assert_eq!(found, ["double-id", "double-id", "file-name"]);
    assert_eq!(opened.library.instruments, on_disk.library.instruments);
    assert_eq!(opened.library.places.len(), 2);
    // A change puts the renamed file back under its own name.
    on_disk.library = opened.library;
    on_disk.disk = opened.disk;
    on_disk.rename("marimba-1", "Big marimba");
    let report = on_disk.save();
    assert_eq!(report.written, ["instruments/marimba-1.ron"]);
    assert_eq!(report.removed, ["instruments/big-marimba.ron"]);
    assert_eq!(on_disk.open().library, on_disk.library);
}

#[test]
fn a_line_that_was_given_twice_is_refused() {
    let on_disk = OnDisk::new();
    on_disk.replace(
        "weeks/week-7.ron",
        "\"xylophone\": (player: \"alba\", by_hand: true)",
        "\"xylophone\": (), \"xylophone\": (player: \"alba\", by_hand: true)",
    );
    let opened = on_disk.open();
    assert_eq!(codes(&opened.problems), ["bad-value"]);
    assert!(opened.problems[0].what.contains("twice"), "{}", opened.problems[0]);
}

#[test]
fn brackets_without_end_do_no_harm() {
    let on_disk = OnDisk::new();
    on_disk.write(XYLOPHONE, format!("(format: 2, frames: {}", "[".repeat(100_000)));
    let opened = on_disk.open();
    assert_eq!(opened.problems[0].file, XYLOPHONE);
    assert_eq!(opened.library.instruments.len(), 1);
}

#[test]
fn a_new_library_needs_an_empty_place() {
    let home = tempfile::tempdir().unwrap();
    let dir = home.path().join("deep/down/library");
    let library = section();
    create_from(&dir, &library, &kinds()).unwrap();
    assert_eq!(create_from(&dir, &library, &kinds()).unwrap_err().code, "not-empty");
    assert_eq!(open(&dir, &kinds()).library, library);
    let empty = home.path().join("empty");
    fs::create_dir(&empty).unwrap();
    create_from(&empty, &library, &kinds()).unwrap();
    // Nothing is left beside them.
    assert_eq!(fs::read_dir(home.path()).unwrap().count(), 2);
    // A file where the folder above should be.
    fs::write(home.path().join("file"), "").unwrap();
    assert!(create_from(&home.path().join("file/library"), &library, &kinds()).is_err());
}

#[test]
fn the_demo_is_copied_once() {
    let home = tempfile::tempdir().unwrap();
    let dir = home.path().join("demo");
    if !has_demo() {
        assert_eq!(copy_demo(&dir).unwrap_err().code, "no-demo");
        println!("skipped: this build carries no demo library");
        return;
    }
    copy_demo(&dir).unwrap();
    let opened = open(&dir, &kinds());
    assert_eq!(opened.problems, []);
    assert_eq!(opened.read_only, None);
    assert!(!opened.library.instruments.is_empty());
    assert_eq!(copy_demo(&dir).unwrap_err().code, "not-empty");
}
