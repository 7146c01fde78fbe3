//! What is written, and what is left alone.

use crate::on_disk::{OnDisk, XYLOPHONE, codes, instrument, work, xylophone};
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
    let on_disk = OnDisk::new();
    let before = on_disk.all();
    let opened = on_disk.open();
    assert_eq!(opened.problems, []);
    assert_eq!(opened.read_only, None);
    assert_eq!(opened.library, on_disk.library);
    assert_eq!(on_disk.all(), before);
}

#[test]
fn files_read_like_a_page() {
    let on_disk = OnDisk::new();
    let xylophone = on_disk.read(XYLOPHONE);
    assert!(xylophone.starts_with("(\n    format: 2,\n    id: \"xylophone-1\",\n    kind: \"xylophone\",\n"));
    assert!(xylophone.contains("range: \"F4-C8\", gaps: \"C#8 D8\""), "{xylophone}");
    assert!(xylophone.contains("“the good one” – d'accord"), "{xylophone}");
    assert!(!xylophone.contains("condition"), "what is usual is left out: {xylophone}");
    let work = on_disk.read("works/lantern-dances.ron");
    assert!(work.contains("from: 1, to: 900, quarters: 4.0, tempo: 96.0"), "{work}");
    assert!(work.contains("notes: \"m41 F#5 G5 m42 A5+12\""), "{work}");
    assert!(work.lines().count() < 40, "{work}");
    assert!(!on_disk.dir.join("kinds.ron").exists(), "the kinds table is not written");
    for (path, text) in on_disk.all() {
        assert!(text.starts_with(b"(\n    format: 2,\n") && text.ends_with(b"\n)\n"), "{}", path.display());
    }
}

#[test]
fn only_what_changed_is_written() {
    let mut on_disk = OnDisk::new();
    let before = on_disk.all();
    assert_eq!(on_disk.save(), SaveReport::default());
    on_disk.rename("xylophone-1", "The old one");
    let report = on_disk.save();
    assert_eq!(report.written, [XYLOPHONE]);
    assert!(report.is_clean());
    let changed = on_disk.all().into_iter().filter(|(path, text)| before.get(path) != Some(text)).count();
    assert_eq!(changed, 1);
    assert_eq!(on_disk.open().library, on_disk.library);
    assert_eq!(on_disk.save(), SaveReport::default());
}

#[test]
fn a_removed_thing_takes_its_file_with_it_and_undo_brings_it_back() {
    let mut on_disk = OnDisk::new();
    let before = on_disk.library.clone();
    on_disk.edit(&Edit::RemoveInstrument(InstrumentId::new("marimba-1").unwrap()));
    assert_eq!(on_disk.save().removed, ["instruments/marimba-1.ron"]);
    assert_eq!(on_disk.open().library, on_disk.library);
    on_disk.library = before;
    assert_eq!(on_disk.save().written, ["instruments/marimba-1.ron"]);
    assert_eq!(on_disk.open().library, on_disk.library);
}

#[test]
fn the_orchestras_own_kinds_are_written_and_those_struck_out_stay_out() {
    let mut on_disk = OnDisk::new();
    let mut own = Kind::clone(&on_disk.kinds[&KindId::new("xylophone").unwrap()]);
    own.unit = "plate".into();
    on_disk.edit(&Edit::PutKind(own.clone()));
    own.id = KindId::new("slate-xylophone").unwrap();
    on_disk.edit(&Edit::PutKind(own));
    on_disk.edit(&Edit::RemoveKind(KindId::new("brake_drum").unwrap()));
    assert_eq!(on_disk.save().written, ["kinds.ron"]);
    assert!(on_disk.read("kinds.ron").contains("without: [\"brake_drum\"]"));
    let opened = on_disk.open();
    assert_eq!(opened.problems, []);
    assert_eq!(opened.library, on_disk.library);
    assert!(opened.library.kinds.len() >= on_disk.kinds.len());
}

#[test]
fn a_file_changed_by_somebody_else_is_never_overwritten() {
    let mut on_disk = OnDisk::new();
    on_disk.replace(XYLOPHONE, "xylophone of the orchestra", "their xylophone");
    let theirs = on_disk.read(XYLOPHONE);
    assert_eq!(on_disk.disk.changed_elsewhere(&on_disk.dir), [XYLOPHONE]);
    on_disk.rename("xylophone-1", "our xylophone");
    let report = on_disk.save();
    assert_eq!(on_disk.read(XYLOPHONE), theirs);
    assert_eq!(report.kept.len(), 1);
    assert_eq!(report.kept[0].beside, "instruments/xylophone-1.kept-1.ron");
    assert_eq!(codes(&report.problems), ["changed-elsewhere"]);
    assert!(on_disk.read("instruments/xylophone-1.kept-1.ron").contains("our xylophone"));
    // What follows goes on in our own version, and nothing is said twice.
    on_disk.rename("xylophone-1", "our very own xylophone");
    assert!(on_disk.save().is_clean());
    assert_eq!(on_disk.read(XYLOPHONE), theirs);
    assert!(on_disk.read("instruments/xylophone-1.kept-1.ron").contains("our very own"));
    let opened = on_disk.open();
    assert_eq!(codes(&opened.problems), ["two-versions"]);
    assert_eq!(opened.library.instruments[&xylophone()].name, "their xylophone");
}

#[test]
fn the_same_change_made_elsewhere_is_no_conflict() {
    let mut on_disk = OnDisk::new();
    on_disk.replace(XYLOPHONE, "xylophone of the orchestra", "new name");
    on_disk.rename("xylophone-1", "new name");
    assert_eq!(on_disk.save(), SaveReport::default());
    on_disk.rename("xylophone-1", "newer name");
    assert_eq!(on_disk.save().written, [XYLOPHONE]);
}

#[test]
fn a_touched_file_is_not_a_changed_one() {
    let mut on_disk = OnDisk::new();
    on_disk.write(XYLOPHONE, on_disk.read(XYLOPHONE));
    on_disk.rename("xylophone-1", "new name");
    assert!(on_disk.save().is_clean());
}

#[test]
fn a_file_that_somebody_else_made_or_took_away_costs_nothing() {
    let mut on_disk = OnDisk::new();
    // Made: another thing of the same id.
    on_disk.write("instruments/gong-1.ron", "(format: 2, theirs)");
    on_disk.edit(&Edit::PutInstrument(instrument("gong-1", "gong", "C4", "C5")));
    assert_eq!(on_disk.save().kept[0].beside, "instruments/gong-1.kept-1.ron");
    assert_eq!(on_disk.read("instruments/gong-1.ron"), "(format: 2, theirs)");
    // Taken away.
    fs::remove_file(on_disk.dir.join(XYLOPHONE)).unwrap();
    on_disk.rename("xylophone-1", "still here");
    let report = on_disk.save();
    assert_eq!(codes(&report.problems), ["removed-elsewhere"]);
    assert!(on_disk.read(XYLOPHONE).contains("still here"));
    // Changed, and removed here.
    on_disk.replace("instruments/marimba-1.ron", "marimba of the orchestra", "theirs");
    on_disk.edit(&Edit::RemoveInstrument(InstrumentId::new("marimba-1").unwrap()));
    assert_eq!(codes(&on_disk.save().problems), ["changed-elsewhere"]);
    assert!(on_disk.read("instruments/marimba-1.ron").contains("theirs"));
}

#[test]
fn a_drive_that_goes_away_loses_nothing() {
    let mut on_disk = OnDisk::new();
    let away = on_disk.dir.with_extension("away");
    fs::rename(&on_disk.dir, &away).unwrap();
    on_disk.rename("xylophone-1", "changed meanwhile");
    assert_eq!(codes(&on_disk.save().problems), ["missing"]);
    assert!(!on_disk.dir.exists());
    fs::rename(&away, &on_disk.dir).unwrap();
    assert_eq!(on_disk.save().written, [XYLOPHONE]);
    assert_eq!(on_disk.open().library, on_disk.library);
}

#[test]
fn a_file_where_a_folder_should_be_costs_that_folder() {
    let mut on_disk = OnDisk::new();
    fs::remove_dir_all(on_disk.dir.join("works")).unwrap();
    on_disk.write("works", "not a folder");
    on_disk.rename("xylophone-1", "changed");
    let mut changed = work();
    changed.title = "Lantern Dances, revised".into();
    on_disk.edit(&Edit::PutWork(changed));
    let report = on_disk.save();
    assert_eq!(report.written, [XYLOPHONE]);
    assert_eq!(codes(&report.problems), ["not-a-folder"]);
    assert!(report.problems[0].remedy.contains("move that file away"));
    fs::remove_file(on_disk.dir.join("works")).unwrap();
    on_disk.save();
    assert_eq!(on_disk.open().library, on_disk.library);
}

#[test]
fn comments_above_and_other_line_ends_are_kept() {
    let mut on_disk = OnDisk::new();
    let theirs =
        format!("\u{feff}// ours since the flood\n{}", on_disk.read(XYLOPHONE)).replace('\n', "\r\n");
    on_disk.write(XYLOPHONE, theirs);
    on_disk.replace("instruments/marimba-1.ron", "    kind:", "    // a fine one\n    kind:");
    let opened = on_disk.open();
    assert_eq!(opened.library, on_disk.library);
    assert_eq!(codes(&opened.problems), ["comment"]);
    assert_eq!(opened.problems[0].line, Some(4));
    on_disk.disk = opened.disk;
    on_disk.rename("xylophone-1", "changed");
    assert!(on_disk.save().is_clean());
    let text = on_disk.read(XYLOPHONE);
    assert!(text.starts_with("// ours since the flood\r\n(\r\n"), "{text}");
    assert_eq!(on_disk.open().library, on_disk.library);
}

#[test]
fn signs_of_every_script_come_back() {
    let mut on_disk = OnDisk::new();
    for name in [
        "Große Trommel ♭♯𝄪",
        "𝄞 \"quoted\" \\ 'single'",
        "e\u{301} \u{202e}rtl",
        "line\nbreak\ttab",
        "鈴 колокол",
    ] {
        on_disk.rename("xylophone-1", name);
        assert!(on_disk.save().is_clean());
        assert_eq!(on_disk.open().library, on_disk.library, "{name}");
    }
}

#[test]
fn a_file_of_five_megabytes_comes_back() {
    let mut on_disk = OnDisk::new();
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
    on_disk.edit(&Edit::PutWork(long));
    assert!(on_disk.save().is_clean());
    assert!(fs::metadata(on_disk.dir.join("works/lantern-dances.ron")).unwrap().len() > 4_000_000);
    assert_eq!(on_disk.open().library, on_disk.library);
}

#[cfg(unix)]
#[test]
fn links_stay_links() {
    use std::os::unix::fs::symlink;
    let mut on_disk = OnDisk::new();
    let elsewhere = on_disk.dir.with_file_name("elsewhere.ron");
    fs::rename(on_disk.dir.join(XYLOPHONE), &elsewhere).unwrap();
    symlink(&elsewhere, on_disk.dir.join(XYLOPHONE)).unwrap();
    symlink(on_disk.dir.join("nothing.ron"), on_disk.dir.join("instruments/lost.ron")).unwrap();
    symlink("loop.ron", on_disk.dir.join("instruments/loop.ron")).unwrap();
    let opened = on_disk.open();
    assert_eq!(opened.library, on_disk.library);
    let files: Vec<_> = opened.problems.iter().map(|problem| problem.file.as_str()).collect();
    assert_eq!(files, ["instruments/loop.ron", "instruments/lost.ron"]);
    on_disk.disk = opened.disk;
    on_disk.rename("xylophone-1", "through the link");
    assert!(on_disk.save().is_clean());
    assert!(fs::symlink_metadata(on_disk.dir.join(XYLOPHONE)).unwrap().is_symlink());
    assert!(fs::read_to_string(&elsewhere).unwrap().contains("through the link"));
    // A link that leads nowhere is in nobody's way.
    on_disk.edit(&Edit::PutInstrument(instrument("lost", "gong", "C4", "C5")));
    assert_eq!(on_disk.save().kept[0].beside, "instruments/lost.kept-1.ron");
}

#[cfg(unix)]
#[test]
fn rights_are_kept_and_new_files_are_not_the_writers_alone() {
    use std::os::unix::fs::PermissionsExt;
    let mut on_disk = OnDisk::new();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let plain = on_disk.dir.join("plain");
    fs::write(&plain, "").unwrap();
    assert_eq!(mode(&on_disk.dir.join(XYLOPHONE)), mode(&plain));
    fs::set_permissions(on_disk.dir.join(XYLOPHONE), fs::Permissions::from_mode(0o664)).unwrap();
    on_disk.rename("xylophone-1", "changed");
    assert!(on_disk.save().is_clean());
    assert_eq!(mode(&on_disk.dir.join(XYLOPHONE)), 0o664);
}
