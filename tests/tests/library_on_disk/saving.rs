//! What is written, and what is left alone.

use crate::desk::{Desk, XYLOPHONE, codes, instrument, work, xylophone};
use backrow_core::collection::Kind;
use backrow_core::edit::Edit;
use backrow_core::id::{InstrumentId, KindId};
use backrow_core::music::{LineNote, MeasureName};
use backrow_core::pitch::{KeyNumber, Spelled};
use backrow_files::library::SaveReport;
use std::fs;
use std::path::Path;

#[test]
fn a_library_comes_back_and_opening_writes_nothing() {
    let desk = Desk::new();
    let before = desk.all();
    let opened = desk.open();
    assert_eq!(opened.problems, []);
    assert_eq!(opened.read_only, None);
    assert_eq!(opened.library, desk.library);
    assert_eq!(desk.all(), before);
}

#[test]
fn files_read_like_a_page() {
    let desk = Desk::new();
    let xylophone = desk.read(XYLOPHONE);
    assert!(xylophone.starts_with("(\n    format: 2,\n    id: \"xylophone-1\",\n    kind: \"xylophone\",\n"));
    assert!(xylophone.contains("range: \"F4-C8\", gaps: \"C#8 D8\""), "{xylophone}");
    assert!(xylophone.contains("“the good one” – d'accord"), "{xylophone}");
    assert!(!xylophone.contains("condition"), "what is usual is left out: {xylophone}");
    let work = desk.read("works/lantern-dances.ron");
    assert!(work.contains("from: 1, to: 900, quarters: 4.0, tempo: 96.0"), "{work}");
    assert!(work.contains("notes: \"m41 F#5 G5 m42 A5+12\""), "{work}");
    assert!(work.lines().count() < 40, "{work}");
    assert!(!desk.dir.join("kinds.ron").exists(), "the kinds table is not written");
    for (path, text) in desk.all() {
        assert!(text.starts_with(b"(\n    format: 2,\n") && text.ends_with(b"\n)\n"), "{}", path.display());
    }
}

#[test]
fn only_what_changed_is_written() {
    let mut desk = Desk::new();
    let before = desk.all();
    assert_eq!(desk.save(), SaveReport::default());
    desk.rename("xylophone-1", "The old one");
    let report = desk.save();
    assert_eq!(report.written, [XYLOPHONE]);
    assert!(report.is_clean());
    let changed = desk.all().into_iter().filter(|(path, text)| before.get(path) != Some(text)).count();
    assert_eq!(changed, 1);
    assert_eq!(desk.open().library, desk.library);
    assert_eq!(desk.save(), SaveReport::default());
}

#[test]
fn a_removed_thing_takes_its_file_with_it_and_undo_brings_it_back() {
    let mut desk = Desk::new();
    let before = desk.library.clone();
    desk.edit(&Edit::RemoveInstrument(InstrumentId::new("marimba-1").unwrap()));
    assert_eq!(desk.save().removed, ["instruments/marimba-1.ron"]);
    assert_eq!(desk.open().library, desk.library);
    desk.library = before;
    assert_eq!(desk.save().written, ["instruments/marimba-1.ron"]);
    assert_eq!(desk.open().library, desk.library);
}

#[test]
fn the_orchestras_own_kinds_are_written_and_those_struck_out_stay_out() {
    let mut desk = Desk::new();
    let mut own = Kind::clone(&desk.kinds[&KindId::new("xylophone").unwrap()]);
    own.unit = "plate".into();
    desk.edit(&Edit::PutKind(own.clone()));
    own.id = KindId::new("slate-xylophone").unwrap();
    desk.edit(&Edit::PutKind(own));
    desk.edit(&Edit::RemoveKind(KindId::new("brake_drum").unwrap()));
    assert_eq!(desk.save().written, ["kinds.ron"]);
    assert!(desk.read("kinds.ron").contains("without: [\"brake_drum\"]"));
    let opened = desk.open();
    assert_eq!(opened.problems, []);
    assert_eq!(opened.library, desk.library);
    assert!(opened.library.kinds.len() >= desk.kinds.len());
}

#[test]
fn a_file_changed_by_somebody_else_is_never_overwritten() {
    let mut desk = Desk::new();
    desk.replace(XYLOPHONE, "xylophone of the orchestra", "their xylophone");
    let theirs = desk.read(XYLOPHONE);
    assert_eq!(desk.disk.changed_elsewhere(&desk.dir), [XYLOPHONE]);
    desk.rename("xylophone-1", "our xylophone");
    let report = desk.save();
    assert_eq!(desk.read(XYLOPHONE), theirs);
    assert_eq!(report.kept.len(), 1);
    assert_eq!(report.kept[0].beside, "instruments/xylophone-1.kept-1.ron");
    assert_eq!(codes(&report.problems), ["changed-elsewhere"]);
    assert!(desk.read("instruments/xylophone-1.kept-1.ron").contains("our xylophone"));
    // What follows goes on in our own version, and nothing is said twice.
    desk.rename("xylophone-1", "our very own xylophone");
    assert!(desk.save().is_clean());
    assert_eq!(desk.read(XYLOPHONE), theirs);
    assert!(desk.read("instruments/xylophone-1.kept-1.ron").contains("our very own"));
    let opened = desk.open();
    assert_eq!(codes(&opened.problems), ["two-versions"]);
    assert_eq!(opened.library.instruments[&xylophone()].name, "their xylophone");
}

#[test]
fn the_same_change_made_elsewhere_is_no_conflict() {
    let mut desk = Desk::new();
    desk.replace(XYLOPHONE, "xylophone of the orchestra", "new name");
    desk.rename("xylophone-1", "new name");
    assert_eq!(desk.save(), SaveReport::default());
    desk.rename("xylophone-1", "newer name");
    assert_eq!(desk.save().written, [XYLOPHONE]);
}

#[test]
fn a_touched_file_is_not_a_changed_one() {
    let mut desk = Desk::new();
    desk.write(XYLOPHONE, desk.read(XYLOPHONE));
    desk.rename("xylophone-1", "new name");
    assert!(desk.save().is_clean());
}

#[test]
fn a_file_that_somebody_else_made_or_took_away_costs_nothing() {
    let mut desk = Desk::new();
    // Made: another thing of the same id.
    desk.write("instruments/gong-1.ron", "(format: 2, theirs)");
    desk.edit(&Edit::PutInstrument(instrument("gong-1", "gong", "C4", "C5")));
    assert_eq!(desk.save().kept[0].beside, "instruments/gong-1.kept-1.ron");
    assert_eq!(desk.read("instruments/gong-1.ron"), "(format: 2, theirs)");
    // Taken away.
    fs::remove_file(desk.dir.join(XYLOPHONE)).unwrap();
    desk.rename("xylophone-1", "still here");
    let report = desk.save();
    assert_eq!(codes(&report.problems), ["removed-elsewhere"]);
    assert!(desk.read(XYLOPHONE).contains("still here"));
    // Changed, and removed here.
    desk.replace("instruments/marimba-1.ron", "marimba of the orchestra", "theirs");
    desk.edit(&Edit::RemoveInstrument(InstrumentId::new("marimba-1").unwrap()));
    assert_eq!(codes(&desk.save().problems), ["changed-elsewhere"]);
    assert!(desk.read("instruments/marimba-1.ron").contains("theirs"));
}

#[test]
fn a_drive_that_goes_away_loses_nothing() {
    let mut desk = Desk::new();
    let away = desk.dir.with_extension("away");
    fs::rename(&desk.dir, &away).unwrap();
    desk.rename("xylophone-1", "changed meanwhile");
    assert_eq!(codes(&desk.save().problems), ["missing"]);
    assert!(!desk.dir.exists());
    fs::rename(&away, &desk.dir).unwrap();
    assert_eq!(desk.save().written, [XYLOPHONE]);
    assert_eq!(desk.open().library, desk.library);
}

#[test]
fn a_file_where_a_folder_should_be_costs_that_folder() {
    let mut desk = Desk::new();
    fs::remove_dir_all(desk.dir.join("works")).unwrap();
    desk.write("works", "not a folder");
    desk.rename("xylophone-1", "changed");
    let mut changed = work();
    changed.title = "Lantern Dances, revised".into();
    desk.edit(&Edit::PutWork(changed));
    let report = desk.save();
    assert_eq!(report.written, [XYLOPHONE]);
    assert_eq!(codes(&report.problems), ["not-a-folder"]);
    assert!(report.problems[0].remedy.contains("move that file away"));
    fs::remove_file(desk.dir.join("works")).unwrap();
    desk.save();
    assert_eq!(desk.open().library, desk.library);
}

#[test]
fn comments_above_and_other_line_ends_are_kept() {
    let mut desk = Desk::new();
    let theirs = format!("\u{feff}// ours since the flood\n{}", desk.read(XYLOPHONE)).replace('\n', "\r\n");
    desk.write(XYLOPHONE, theirs);
    desk.replace("instruments/marimba-1.ron", "    kind:", "    // a fine one\n    kind:");
    let opened = desk.open();
    assert_eq!(opened.library, desk.library);
    assert_eq!(codes(&opened.problems), ["comment"]);
    assert_eq!(opened.problems[0].line, Some(4));
    desk.disk = opened.disk;
    desk.rename("xylophone-1", "changed");
    assert!(desk.save().is_clean());
    let text = desk.read(XYLOPHONE);
    assert!(text.starts_with("// ours since the flood\r\n(\r\n"), "{text}");
    assert_eq!(desk.open().library, desk.library);
}

#[test]
fn signs_of_every_script_come_back() {
    let mut desk = Desk::new();
    for name in [
        "Große Trommel ♭♯𝄪",
        "𝄞 \"quoted\" \\ 'single'",
        "e\u{301} \u{202e}rtl",
        "line\nbreak\ttab",
        "鈴 колокол",
    ] {
        desk.rename("xylophone-1", name);
        assert!(desk.save().is_clean());
        assert_eq!(desk.open().library, desk.library, "{name}");
    }
}

#[test]
fn a_file_of_five_megabytes_comes_back() {
    let mut desk = Desk::new();
    let mut long = work();
    let notes: Vec<LineNote> = (0..700_000_u32)
        .map(|n| LineNote {
            written: Spelled::usual(KeyNumber::new(60 + i32::try_from(n % 37).unwrap()).unwrap()),
            shift: 0,
            measure: MeasureName::from(n / 4),
            struck: None,
        })
        .collect();
    long.lines[0].passages[0].notes = notes;
    desk.edit(&Edit::PutWork(long));
    assert!(desk.save().is_clean());
    assert!(fs::metadata(desk.dir.join("works/lantern-dances.ron")).unwrap().len() > 4_000_000);
    assert_eq!(desk.open().library, desk.library);
}

#[cfg(unix)]
#[test]
fn links_stay_links() {
    use std::os::unix::fs::symlink;
    let mut desk = Desk::new();
    let elsewhere = desk.dir.with_file_name("elsewhere.ron");
    fs::rename(desk.dir.join(XYLOPHONE), &elsewhere).unwrap();
    symlink(&elsewhere, desk.dir.join(XYLOPHONE)).unwrap();
    symlink(desk.dir.join("nothing.ron"), desk.dir.join("instruments/lost.ron")).unwrap();
    symlink("loop.ron", desk.dir.join("instruments/loop.ron")).unwrap();
    let opened = desk.open();
    assert_eq!(opened.library, desk.library);
    let files: Vec<_> = opened.problems.iter().map(|problem| problem.file.as_str()).collect();
    assert_eq!(files, ["instruments/loop.ron", "instruments/lost.ron"]);
    desk.disk = opened.disk;
    desk.rename("xylophone-1", "through the link");
    assert!(desk.save().is_clean());
    assert!(fs::symlink_metadata(desk.dir.join(XYLOPHONE)).unwrap().is_symlink());
    assert!(fs::read_to_string(&elsewhere).unwrap().contains("through the link"));
    // A link that leads nowhere is in nobody's way.
    desk.edit(&Edit::PutInstrument(instrument("lost", "gong", "C4", "C5")));
    assert_eq!(desk.save().kept[0].beside, "instruments/lost.kept-1.ron");
}

#[cfg(unix)]
#[test]
fn rights_are_kept_and_new_files_are_not_the_writers_alone() {
    use std::os::unix::fs::PermissionsExt;
    let mut desk = Desk::new();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let plain = desk.dir.join("plain");
    fs::write(&plain, "").unwrap();
    assert_eq!(mode(&desk.dir.join(XYLOPHONE)), mode(&plain));
    fs::set_permissions(desk.dir.join(XYLOPHONE), fs::Permissions::from_mode(0o664)).unwrap();
    desk.rename("xylophone-1", "changed");
    assert!(desk.save().is_clean());
    assert_eq!(mode(&desk.dir.join(XYLOPHONE)), 0o664);
}
