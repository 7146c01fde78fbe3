//! What others change while the library is open is taken in; an earlier version is brought back; a stopped program leaves
//! nothing half done.

use crate::on_disk::{OnDisk, XYLOPHONE, codes, instrument, xylophone};
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_files::library::{bring_back, earlier_versions, import};
use std::fs;

fn marimba() -> InstrumentId {
    InstrumentId::new("marimba-1").unwrap()
}

#[test]
fn what_others_changed_added_and_removed_is_taken_in() {
    let mut on_disk = OnDisk::new();
    assert_eq!(on_disk.disk.changed_elsewhere(&on_disk.dir), [""; 0]);
    on_disk.replace(XYLOPHONE, "xylophone of the orchestra", "their xylophone");
    let marimba_text = on_disk.read("instruments/marimba-1.ron");
    on_disk.write("instruments/gong-1.ron", marimba_text.replace("marimba-1", "gong-1"));
    fs::remove_file(on_disk.dir.join("instruments/marimba-1.ron")).unwrap();
    let changed = on_disk.disk.changed_elsewhere(&on_disk.dir);
    assert_eq!(changed, ["instruments/gong-1.ron", "instruments/marimba-1.ron", XYLOPHONE]);
    let opened = on_disk.open();
    let taken = import(&on_disk.dir, &mut on_disk.disk, opened, &on_disk.library);
    assert_eq!(taken.library.instruments[&xylophone()].name, "their xylophone");
    assert!(!taken.library.instruments.contains_key(&marimba()));
    assert_eq!(taken.files.len(), 3);
    on_disk.library = taken.library;
    assert!(on_disk.save().is_clean());
    assert_eq!(on_disk.disk.changed_elsewhere(&on_disk.dir), [""; 0]);
    assert_eq!(on_disk.open().library, on_disk.library);
    // From here on a change goes over theirs, for it was seen.
    on_disk.rename("xylophone-1", "ours again");
    assert_eq!(on_disk.save().written, [XYLOPHONE]);
}

#[test]
fn what_changed_here_too_is_not_taken_in() {
    let mut on_disk = OnDisk::new();
    on_disk.replace(XYLOPHONE, "xylophone of the orchestra", "theirs");
    on_disk.rename("xylophone-1", "ours");
    let opened = on_disk.open();
    let taken = import(&on_disk.dir, &mut on_disk.disk, opened, &on_disk.library);
    assert_eq!(taken.library, on_disk.library);
    assert_eq!(on_disk.save().kept.len(), 1);
    assert_eq!(on_disk.disk.two_versions().len(), 1);
    // The two stay two, whatever is looked at again.
    let opened = on_disk.open();
    let taken = import(&on_disk.dir, &mut on_disk.disk, opened, &on_disk.library);
    assert_eq!(taken.library.instruments[&xylophone()].name, "ours");
}

#[test]
fn a_file_that_cannot_be_read_is_not_taken_for_removed() {
    let mut on_disk = OnDisk::new();
    on_disk.write(XYLOPHONE, "(format: 2, broken");
    let opened = on_disk.open();
    let taken = import(&on_disk.dir, &mut on_disk.disk, opened, &on_disk.library);
    assert_eq!(taken.library, on_disk.library);
    on_disk.library = taken.library;
    on_disk.rename("xylophone-1", "ours");
    assert_eq!(on_disk.save().kept.len(), 1, "and never written over");
    assert_eq!(on_disk.read(XYLOPHONE), "(format: 2, broken");
}

#[test]
fn a_folder_that_is_emptied_is_an_accident() {
    let mut on_disk = OnDisk::new();
    for number in 0..12 {
        on_disk.edit(&Edit::PutInstrument(instrument(&format!("gong-{number}"), "gong", "C4", "C5")));
    }
    on_disk.save();
    fs::remove_dir_all(on_disk.dir.join("instruments")).unwrap();
    let opened = on_disk.open();
    let taken = import(&on_disk.dir, &mut on_disk.disk, opened, &on_disk.library);
    assert_eq!(taken.library, on_disk.library, "kept in memory");
    assert_eq!(taken.gone.len(), 14);
    on_disk.disk.forget_missing(&on_disk.dir);
    assert_eq!(on_disk.save().written.len(), 14);
    assert_eq!(on_disk.open().library, on_disk.library);
}

/// What a colleague saved comes in one look with the accident: neither is his file written over, nor his new one removed.
#[test]
fn what_others_changed_while_files_were_away_stands() {
    for orchestra_too in [false, true] {
        let mut on_disk = OnDisk::new();
        let gongs: Vec<String> = (0..16).map(|number| format!("gong-{number}")).collect();
        for gong in &gongs {
            on_disk.edit(&Edit::PutInstrument(instrument(gong, "gong", "C4", "C5")));
        }
        on_disk.save();
        let new = on_disk.read(XYLOPHONE).replace("xylophone-1", "new");
        on_disk.replace(XYLOPHONE, "xylophone of the orchestra", "their xylophone");
        on_disk.write("instruments/new.ron", &new);
        if orchestra_too {
            fs::remove_file(on_disk.dir.join("orchestra.ron")).unwrap();
        } else {
            for gong in &gongs {
                fs::remove_file(on_disk.dir.join(format!("instruments/{gong}.ron"))).unwrap();
            }
        }
        let opened = on_disk.open();
        let taken = import(&on_disk.dir, &mut on_disk.disk, opened, &on_disk.library);
        assert_eq!(taken.gone.len(), if orchestra_too { 1 } else { 16 });
        assert_eq!(taken.library, on_disk.library, "nothing is taken in");
        // Going on, and writing the missing anew, leave his two files as he saved them.
        for anew in [false, true] {
            if anew {
                on_disk.disk.forget_missing(&on_disk.dir);
            }
            on_disk.rename("marimba-1", &format!("ours, {anew}"));
            let report = on_disk.save();
            assert!(!report.failed && report.removed.is_empty(), "{report:?}");
            assert!(on_disk.read(XYLOPHONE).contains("their xylophone"));
            assert_eq!(on_disk.read("instruments/new.ron"), new);
        }
        // With the files there again what he did is taken in.
        let opened = on_disk.open();
        let taken = import(&on_disk.dir, &mut on_disk.disk, opened, &on_disk.library);
        assert_eq!(taken.gone, [""; 0]);
        assert_eq!(taken.library.instruments[&xylophone()].name, "their xylophone");
        assert!(taken.library.instruments.contains_key(&InstrumentId::new("new").unwrap()));
        assert_eq!(taken.library.instruments.len(), on_disk.library.instruments.len() + 1);
    }
}

#[test]
fn a_library_that_a_newer_program_takes_over_is_read_only_from_then_on() {
    let mut on_disk = OnDisk::new();
    on_disk.replace("orchestra.ron", "format: 2", "format: 7");
    on_disk.replace(XYLOPHONE, "xylophone of the orchestra", "their xylophone");
    let opened = on_disk.open();
    let taken = import(&on_disk.dir, &mut on_disk.disk, opened, &on_disk.library);
    assert!(taken.read_only.is_some_and(|why| why.contains("newer")));
    assert_eq!(taken.library.instruments[&xylophone()].name, "their xylophone", "what they did is shown");
    on_disk.library = taken.library;
    let before = on_disk.all();
    on_disk.rename("marimba-1", "ours");
    assert_eq!(codes(&on_disk.save().problems), ["read-only"]);
    assert_eq!(on_disk.all(), before);
}

#[test]
fn every_version_is_kept_and_comes_back_and_thirty_are_enough() {
    let mut on_disk = OnDisk::new();
    let first = on_disk.library.clone();
    for number in 0..40 {
        on_disk.rename("xylophone-1", &format!("name {number}"));
        assert!(on_disk.save().is_clean());
    }
    on_disk.edit(&Edit::RemoveInstrument(marimba()));
    on_disk.save();
    let earlier = earlier_versions(&on_disk.dir);
    let of = |file: &str| earlier.iter().filter(|one| one.file == file).collect::<Vec<_>>();
    assert_eq!(of(XYLOPHONE).len(), 30);
    assert!(of(XYLOPHONE)[0].texts(&on_disk.dir).1.contains("name 38"), "the newest comes first");
    let oldest = of(XYLOPHONE).into_iter().next_back().unwrap();
    let back = bring_back(&on_disk.dir, &on_disk.disk, oldest, &on_disk.library).unwrap();
    assert_eq!(back.instruments[&xylophone()], first.instruments[&xylophone()]);
    // What was removed comes back too.
    let removed = of("instruments/marimba-1.ron")[0];
    let back = bring_back(&on_disk.dir, &on_disk.disk, removed, &back).unwrap();
    on_disk.library = back;
    assert!(on_disk.save().is_clean());
    assert_eq!(on_disk.open().library, first.clone());
    assert!(fs::read_to_string(on_disk.dir.join(".backrow/.gitignore")).unwrap().contains('*'));
}

#[test]
fn a_journal_that_was_left_behind_is_finished_once() {
    let on_disk = OnDisk::new();
    let text = on_disk.read(XYLOPHONE).replace("xylophone of the orchestra", "finished later");
    fs::create_dir_all(on_disk.dir.join(".backrow")).unwrap();
    // What a program writes before it saves several files.
    let step = |file: &str, after: &str| format!("(file:{file:?},before:None,after:Some({after:?}))");
    let journal = format!(
        "(format:1,steps:[{},{}])",
        step("instruments/new.ron", &text.replace("xylophone-1", "new")),
        step(XYLOPHONE, &text)
    );
    on_disk.write(".backrow/save-1-2-3.ron", journal);
    let opened = on_disk.open();
    let told: Vec<_> = opened.problems.iter().filter(|problem| problem.code == "recovered").collect();
    assert_eq!(told.len(), 1, "{:?}", opened.problems);
    assert!(told[0].what.contains("instruments/new.ron"));
    assert!(opened.library.instruments.contains_key(&InstrumentId::new("new").unwrap()));
    // The one whose place somebody else had taken since is kept beside it.
    assert!(on_disk.read(XYLOPHONE).contains("of the orchestra"));
    assert!(on_disk.read("instruments/xylophone-1.kept-1.ron").contains("finished later"));
    assert!(on_disk.open().problems.iter().all(|problem| problem.code != "recovered"));
}

/// The texts in a journal may be nowhere else, so one that cannot be read is never thrown away.
#[test]
fn a_journal_that_cannot_be_read_is_said_and_kept() {
    let on_disk = OnDisk::new();
    fs::create_dir_all(on_disk.dir.join(".backrow")).unwrap();
    let cut = "(format:1,steps:[(file:\"players.ron\",before:None,after:Some(\"(format: 2, pla";
    on_disk.write(".backrow/save-1-2-3.ron", cut);
    let newer = "(format:2,swaps:[(one:\"players.ron\",other:\"places.ron\")])";
    on_disk.write(".backrow/save-4-5-6.ron", newer);
    let before = on_disk.all();
    let opened = on_disk.open();
    let found: Vec<_> = opened.problems.iter().map(|p| (p.file.as_str(), p.code)).collect();
    let news = (".backrow/save-4-5-6.ron", "newer-format");
    assert_eq!(found, [(".backrow/save-1-2-3.ron.broken", "broken-journal"), news]);
    assert_eq!((opened.library, opened.read_only), (on_disk.library.clone(), None));
    // The one is for the newer program, and is told of until that has finished it; the other is told of once.
    let again = on_disk.open().problems;
    assert_eq!(again.iter().map(|p| (p.file.as_str(), p.code)).collect::<Vec<_>>(), [news]);
    assert_eq!(on_disk.read(".backrow/save-1-2-3.ron.broken"), cut);
    assert_eq!(on_disk.read(".backrow/save-4-5-6.ron"), newer);
    assert_eq!(on_disk.all(), before);
}

/// A folder from a stick or a shared drive may bring a journal that somebody made: opening it writes nothing elsewhere.
#[test]
fn a_journal_writes_nothing_outside_its_library() {
    let on_disk = OnDisk::new();
    fs::create_dir_all(on_disk.dir.join(".backrow")).unwrap();
    on_disk.write(
        ".backrow/save-1-2-3.ron",
        "(format:1,steps:[(file:\"../out.ron\",before:None,after:Some(\"()\"))])",
    );
    let opened = on_disk.open();
    assert!(!on_disk.dir.join("../out.ron").exists());
    assert!(opened.problems.iter().any(|p| p.code == "broken-journal" && p.what.contains("out.ron")));
}

/// A list kept beside its file has earlier versions under its own name.
#[test]
fn an_earlier_version_of_a_second_version_comes_back() {
    let mut on_disk = OnDisk::new();
    let player = on_disk.library.players.values().next().unwrap().clone();
    let call = |on_disk: &mut OnDisk, name: &str| {
        let mut player = (*player).clone();
        name.clone_into(&mut player.name);
        on_disk.edit(&Edit::PutPlayer(player));
        on_disk.save()
    };
    on_disk.replace("players.ron", "R. Alba", "S. Alba");
    assert_eq!(call(&mut on_disk, "T. Alba").kept[0].beside, "players.kept-1.ron");
    assert!(call(&mut on_disk, "U. Alba").is_clean());
    let earlier = earlier_versions(&on_disk.dir);
    let one = earlier.iter().find(|one| one.file == "players.kept-1.ron").unwrap();
    let back = bring_back(&on_disk.dir, &on_disk.disk, one, &on_disk.library).unwrap();
    assert_eq!(back.players.values().next().unwrap().name, "T. Alba");
}

#[test]
fn what_a_killed_program_left_is_cleared() {
    let on_disk = OnDisk::new();
    let old = std::time::SystemTime::now() - std::time::Duration::from_hours(1);
    let whole = on_disk.read(XYLOPHONE).replace("of the orchestra", "before the stop");
    for (name, text) in [
        (".backrow-xylophone-1.7-7-7.tmp", whole.as_str()),
        (".backrow-xylophone-1.7-7-8.tmp", "(format: 2, id"),
    ] {
        on_disk.write(&format!("instruments/{name}"), text);
        let file = fs::File::options().write(true).open(on_disk.dir.join("instruments").join(name)).unwrap();
        file.set_modified(old).unwrap();
    }
    on_disk.write("instruments/.backrow-xylophone-1.7-7-9.tmp", "(format: 2)");
    let opened = on_disk.open();
    assert_eq!(opened.library, on_disk.library);
    let left: Vec<_> = fs::read_dir(on_disk.dir.join("instruments"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.starts_with(".backrow-"))
        .collect();
    assert_eq!(left, [".backrow-xylophone-1.7-7-9.tmp"], "a young one may be somebody's who is writing now");
    let earlier = earlier_versions(&on_disk.dir);
    assert_eq!(earlier.len(), 1);
    assert!(earlier[0].texts(&on_disk.dir).1.contains("before the stop"));
}

/// Where names can neither be taken in one step nor by links, a new file's name is claimed with an empty file first; a stop then
/// leaves it empty, with its text beside it.
#[test]
fn an_empty_file_whose_text_lies_beside_it_gets_it() {
    let on_disk = OnDisk::new();
    let text = on_disk.read(XYLOPHONE).replace("xylophone-1", "new");
    on_disk.write("instruments/new.ron", "");
    let half = "instruments/.backrow-new.7-7-7.tmp";
    on_disk.write(half, &text);
    let old = std::time::SystemTime::now() - std::time::Duration::from_hours(1);
    fs::File::options().write(true).open(on_disk.dir.join(half)).unwrap().set_modified(old).unwrap();
    let opened = on_disk.open();
    assert_eq!(codes(&opened.problems), ["recovered"]);
    assert!(opened.problems[0].what.contains("instruments/new.ron"), "{}", opened.problems[0]);
    assert!(opened.library.instruments.contains_key(&InstrumentId::new("new").unwrap()));
    assert_eq!(on_disk.read("instruments/new.ron"), text);
    // The same of a save of several files, which its journal finishes.
    let text = text.replace("\"new\"", "\"newer\"");
    on_disk.write("instruments/newer.ron", "");
    fs::create_dir_all(on_disk.dir.join(".backrow")).unwrap();
    let step = format!("(file:\"instruments/newer.ron\",before:None,after:Some({text:?}))");
    on_disk.write(".backrow/save-1-2-3.ron", format!("(format:1,steps:[{step}])"));
    assert_eq!(codes(&on_disk.open().problems), ["recovered"]);
    assert_eq!(on_disk.read("instruments/newer.ron"), text);
    assert!(!on_disk.dir.join("instruments/newer.kept-1.ron").exists());
}

/// Stopped between the exchange of names and the look at what came out: the other's text bears a name that tells what was read
/// and what was written, and is neither.
#[test]
fn what_somebody_else_had_written_is_offered_after_a_stop() {
    let on_disk = OnDisk::new();
    let theirs = on_disk.read(XYLOPHONE).replace("of the orchestra", "by somebody else");
    let name = "instruments/.backrow-xylophone-1.7-7-8-1-2.tmp";
    on_disk.write(name, &theirs);
    let file = fs::File::options().write(true).open(on_disk.dir.join(name)).unwrap();
    file.set_modified(std::time::SystemTime::now() - std::time::Duration::from_hours(1)).unwrap();
    let opened = on_disk.open();
    assert_eq!(opened.library, on_disk.library, "what stands in its place is read");
    assert_eq!(codes(&opened.problems), ["two-versions"]);
    assert_eq!(on_disk.read("instruments/xylophone-1.kept-1.ron"), theirs);
    assert!(earlier_versions(&on_disk.dir).is_empty() && !on_disk.dir.join(name).exists());
}

#[cfg(unix)]
#[test]
fn pipes_and_devices_are_named_and_left_alone() {
    let on_disk = OnDisk::new();
    let pipe = on_disk.dir.join("instruments/pipe.ron");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    std::os::unix::fs::symlink("/dev/zero", on_disk.dir.join("instruments/endless.ron")).unwrap();
    let opened = on_disk.open();
    assert_eq!(opened.library, on_disk.library);
    let found: Vec<_> = opened.problems.iter().map(|p| (p.file.as_str(), p.code)).collect();
    assert_eq!(found, [("instruments/endless.ron", "not-a-file"), ("instruments/pipe.ron", "not-a-file")]);
}
