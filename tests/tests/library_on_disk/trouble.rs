//! Drives that refuse: full, without permission, with paths too long, gone. Each is said in words with what helps; the work stays in
//! memory, and the next save that can be made brings it to the disk. Locked files, and every refusal at every step of a save, are
//! tried on a made-up drive (`backrow-files/src/library/crash.rs`).

use crate::on_disk::{OnDisk, XYLOPHONE, codes, section};
use backrow_core::collection::Instrument;
use backrow_core::edit::{Edit, apply};
use backrow_files::library::{create_from, open, save};
use std::fs;
use std::path::Path;

/// So long may a path be on Linux, with its end.
#[cfg(target_os = "linux")]
const LONGEST: usize = 4_096;

/// A folder of just that many bytes of path.
#[cfg(target_os = "linux")]
fn deep(home: &Path, length: usize) -> std::path::PathBuf {
    let mut path = home.to_owned();
    while path.as_os_str().len() + 202 < length {
        path.push("d".repeat(100));
    }
    path.push("d".repeat(length - path.as_os_str().len() - 1));
    path
}

#[cfg(target_os = "linux")]
#[test]
fn a_path_that_is_too_long_is_said_and_a_shorter_one_heals_it() {
    let mut on_disk = OnDisk::new();
    let short = on_disk.dir.clone();
    // The file itself can still be named there, the new one beside it cannot.
    let long = deep(short.parent().unwrap(), LONGEST - 40);
    fs::create_dir_all(long.parent().unwrap()).unwrap();
    fs::rename(&short, &long).unwrap();
    on_disk.dir.clone_from(&long);
    on_disk.rename("xylophone-1", "in the deep");
    let report = on_disk.save();
    assert!(report.failed);
    assert_eq!(codes(&report.problems), ["long-name"], "{report:?}");
    assert!(report.problems[0].remedy.contains("shorter path"));
    assert!(on_disk.read(XYLOPHONE).contains("xylophone of the orchestra"), "as it was");
    fs::rename(&long, &short).unwrap();
    on_disk.dir = short;
    assert_eq!(on_disk.save().written, [XYLOPHONE]);
    assert_eq!(on_disk.open().library, on_disk.library);
    // A new library is refused there with the same word, and nothing is left behind.
    let new = deep(on_disk.dir.parent().unwrap(), LONGEST + 20);
    let error = create_from(&new, &section(), &on_disk.kinds).unwrap_err();
    assert_eq!(error.code, "long-name", "{error}");
    assert!(!new.exists());
}

#[cfg(unix)]
#[test]
fn a_folder_without_permission_is_said_and_written_when_there_is_one() {
    use std::os::unix::fs::PermissionsExt;
    let mut on_disk = OnDisk::new();
    let folder = on_disk.dir.join("instruments");
    let allow = |mode: u32| fs::set_permissions(&folder, fs::Permissions::from_mode(mode)).unwrap();
    allow(0o555);
    if fs::write(folder.join("probe"), "").is_ok() {
        allow(0o755);
        eprintln!(
            "skipped: this user may write everywhere; the made-up drive of crash.rs refuses in its place"
        );
        return;
    }
    on_disk.rename("xylophone-1", "not permitted");
    let report = on_disk.save();
    assert!(report.failed);
    assert_eq!(codes(&report.problems), ["no-permission"]);
    assert!(report.problems[0].remedy.contains("save a copy"));
    allow(0o755);
    assert_eq!(on_disk.save().written, [XYLOPHONE]);
    assert_eq!(on_disk.open().library, on_disk.library);
}

#[test]
fn a_folder_that_vanishes_in_the_middle_is_said_and_is_made_again() {
    let mut on_disk = OnDisk::new();
    fs::remove_dir_all(on_disk.dir.join("instruments")).unwrap();
    on_disk.rename("xylophone-1", "written again");
    let report = on_disk.save();
    assert!(!report.failed, "{report:?}");
    assert_eq!(codes(&report.problems), ["removed-elsewhere"]);
    assert!(on_disk.read(XYLOPHONE).contains("written again"));
    // The whole library gone: nothing is made in its place, for it may be a drive that is away.
    let away = on_disk.dir.with_extension("away");
    fs::rename(&on_disk.dir, &away).unwrap();
    on_disk.rename("xylophone-1", "kept in memory");
    let report = on_disk.save();
    assert!(report.failed && !on_disk.dir.exists());
    assert_eq!(codes(&report.problems), ["missing"]);
    fs::rename(&away, &on_disk.dir).unwrap();
    assert_eq!(on_disk.save().written, [XYLOPHONE]);
}

/// Where a drive belongs an empty folder may stay while the drive is away: what is written there now would stand against what is
/// on the drive when that is back.
#[test]
fn an_empty_folder_in_the_librarys_place_is_left_empty() {
    let mut on_disk = OnDisk::new();
    let away = on_disk.dir.with_extension("away");
    fs::rename(&on_disk.dir, &away).unwrap();
    fs::create_dir(&on_disk.dir).unwrap();
    on_disk.rename("xylophone-1", "kept in memory");
    let report = on_disk.save();
    assert!(report.failed);
    assert_eq!(codes(&report.problems), ["missing"]);
    assert_eq!(fs::read_dir(&on_disk.dir).unwrap().count(), 0);
    // What is somebody else's in the place does not make it the library's.
    on_disk.write("letter.txt", "dear section");
    assert!(on_disk.save().failed);
    fs::remove_file(on_disk.dir.join("letter.txt")).unwrap();
    fs::remove_dir(&on_disk.dir).unwrap();
    fs::rename(&away, &on_disk.dir).unwrap();
    assert_eq!(on_disk.save().written, [XYLOPHONE]);
    assert_eq!(on_disk.open().library, on_disk.library);
    // Whoever says so has the library written there anew.
    fs::remove_dir_all(&on_disk.dir).unwrap();
    fs::create_dir(&on_disk.dir).unwrap();
    on_disk.disk.forget_missing(&on_disk.dir);
    assert!(on_disk.save().is_clean());
    assert_eq!(on_disk.open().library, on_disk.library);
}

/// A real drive of little room, where the system lets one be mounted for a process alone.
#[cfg(target_os = "linux")]
#[test]
fn a_full_drive_is_said_and_written_when_there_is_room() {
    const DRIVE: &str = "BACKROW_TEST_DRIVE";
    const HERE: &str = "on the small drive";
    if let Some(drive) = std::env::var_os(DRIVE) {
        println!("{HERE}");
        return on_a_full_drive(Path::new(&drive));
    }
    let home = tempfile::tempdir().unwrap();
    let run = "mount -t tmpfs -o size=512k none \"$0\" && exec \"$1\" --exact \
               trouble::a_full_drive_is_said_and_written_when_there_is_room --nocapture";
    let run = std::process::Command::new("unshare")
        .args(["--user", "--map-root-user", "--mount", "sh", "-c", run])
        .args([home.path(), &std::env::current_exe().unwrap()])
        .env(DRIVE, home.path())
        .output();
    let Ok(run) = run else { return eprintln!("skipped: no small drive can be mounted here") };
    let said = String::from_utf8_lossy(&run.stdout);
    if !said.contains(HERE) {
        return eprintln!(
            "skipped: no small drive can be mounted here: {}",
            String::from_utf8_lossy(&run.stderr)
        );
    }
    assert!(run.status.success(), "{said}\n{}", String::from_utf8_lossy(&run.stderr));
}

#[cfg(target_os = "linux")]
fn on_a_full_drive(drive: &Path) {
    let (dir, kinds) = (drive.join("library"), crate::on_disk::kinds());
    let mut library = section();
    let mut disk = create_from(&dir, &library, &kinds).unwrap();
    let filler = drive.join("filler");
    let mut file = fs::File::create(&filler).unwrap();
    for size in [64 << 10, 4 << 10, 512, 1] {
        while std::io::Write::write_all(&mut file, &vec![b'x'; size]).is_ok() {}
    }
    drop(file);
    let before = fs::read_to_string(dir.join(XYLOPHONE)).unwrap();
    for (number, id) in ["xylophone-1", "marimba-1"].into_iter().enumerate() {
        let id = backrow_core::id::InstrumentId::new(id).unwrap();
        let mut thing = Instrument::clone(&library.instruments[&id]);
        thing.name = format!("with no room {number}");
        library = apply(&library, &Edit::PutInstrument(thing)).unwrap();
        // Of one file, and of two with their journal.
        let report = save(&dir, &mut disk, &library);
        assert!(report.failed);
        assert!(report.problems.iter().all(|problem| problem.code == "disk-full"), "{report:?}");
        assert!(report.problems.iter().any(|problem| problem.remedy.contains("make room")), "{report:?}");
        assert_eq!(fs::read_to_string(dir.join(XYLOPHONE)).unwrap(), before, "whole, as it was");
    }
    assert_eq!(
        open(&dir, &kinds).library.instruments.len(),
        library.instruments.len(),
        "it opens, full as it is"
    );
    fs::remove_file(&filler).unwrap();
    let report = save(&dir, &mut disk, &library);
    assert!(report.is_clean(), "{report:?}");
    assert_eq!(report.written.len(), 2);
    assert_eq!(open(&dir, &kinds).library, library);
}
