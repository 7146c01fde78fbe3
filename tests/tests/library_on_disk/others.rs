//! What others change while the library is open is taken in; an earlier version is brought back; a stopped program leaves
//! nothing half done.

use crate::desk::{Desk, XYLOPHONE, codes, instrument, xylophone};
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_files::library::{bring_back, earlier_versions, import};
use std::fs;

fn marimba() -> InstrumentId {
    InstrumentId::new("marimba-1").unwrap()
}

#[test]
fn what_others_changed_added_and_removed_is_taken_in() {
    let mut desk = Desk::new();
    assert_eq!(desk.disk.changed_elsewhere(&desk.dir), [""; 0]);
    desk.replace(XYLOPHONE, "xylophone of the orchestra", "their xylophone");
    let marimba_text = desk.read("instruments/marimba-1.ron");
    desk.write("instruments/gong-1.ron", marimba_text.replace("marimba-1", "gong-1"));
    fs::remove_file(desk.dir.join("instruments/marimba-1.ron")).unwrap();
    let changed = desk.disk.changed_elsewhere(&desk.dir);
    assert_eq!(changed, ["instruments/gong-1.ron", "instruments/marimba-1.ron", XYLOPHONE]);
    let opened = desk.open();
    let taken = import(&desk.dir, &mut desk.disk, opened, &desk.library);
    assert_eq!(taken.library.instruments[&xylophone()].name, "their xylophone");
    assert!(!taken.library.instruments.contains_key(&marimba()));
    assert_eq!(taken.files.len(), 3);
    desk.library = taken.library;
    assert!(desk.save().is_clean());
    assert_eq!(desk.disk.changed_elsewhere(&desk.dir), [""; 0]);
    assert_eq!(desk.open().library, desk.library);
    // From here on a change goes over theirs, for it was seen.
    desk.rename("xylophone-1", "ours again");
    assert_eq!(desk.save().written, [XYLOPHONE]);
}

#[test]
fn what_changed_here_too_is_not_taken_in() {
    let mut desk = Desk::new();
    desk.replace(XYLOPHONE, "xylophone of the orchestra", "theirs");
    desk.rename("xylophone-1", "ours");
    let opened = desk.open();
    let taken = import(&desk.dir, &mut desk.disk, opened, &desk.library);
    assert_eq!(taken.library, desk.library);
    assert_eq!(desk.save().kept.len(), 1);
    assert_eq!(desk.disk.two_versions().len(), 1);
    // The two stay two, whatever is looked at again.
    let opened = desk.open();
    let taken = import(&desk.dir, &mut desk.disk, opened, &desk.library);
    assert_eq!(taken.library.instruments[&xylophone()].name, "ours");
}

#[test]
fn a_file_that_cannot_be_read_is_not_taken_for_removed() {
    let mut desk = Desk::new();
    desk.write(XYLOPHONE, "(format: 2, broken");
    let opened = desk.open();
    let taken = import(&desk.dir, &mut desk.disk, opened, &desk.library);
    assert_eq!(taken.library, desk.library);
    desk.library = taken.library;
    desk.rename("xylophone-1", "ours");
    assert_eq!(desk.save().kept.len(), 1, "and never written over");
    assert_eq!(desk.read(XYLOPHONE), "(format: 2, broken");
}

#[test]
fn a_folder_that_is_emptied_is_an_accident() {
    let mut desk = Desk::new();
    for number in 0..12 {
        desk.edit(&Edit::PutInstrument(instrument(&format!("gong-{number}"), "gong", "C4", "C5")));
    }
    desk.save();
    fs::remove_dir_all(desk.dir.join("instruments")).unwrap();
    let opened = desk.open();
    let taken = import(&desk.dir, &mut desk.disk, opened, &desk.library);
    assert_eq!(taken.library, desk.library, "kept in memory");
    assert_eq!(taken.gone.len(), 14);
    desk.disk.forget_missing(&desk.dir);
    assert_eq!(desk.save().written.len(), 14);
    assert_eq!(desk.open().library, desk.library);
}

/// What a colleague saved comes in one look with the accident: neither is his file written over, nor his new one removed.
#[test]
fn what_others_changed_while_files_were_away_stands() {
    for orchestra_too in [false, true] {
        let mut desk = Desk::new();
        let gongs: Vec<String> = (0..16).map(|number| format!("gong-{number}")).collect();
        for gong in &gongs {
            desk.edit(&Edit::PutInstrument(instrument(gong, "gong", "C4", "C5")));
        }
        desk.save();
        let new = desk.read(XYLOPHONE).replace("xylophone-1", "new");
        desk.replace(XYLOPHONE, "xylophone of the orchestra", "their xylophone");
        desk.write("instruments/new.ron", &new);
        if orchestra_too {
            fs::remove_file(desk.dir.join("orchestra.ron")).unwrap();
        } else {
            for gong in &gongs {
                fs::remove_file(desk.dir.join(format!("instruments/{gong}.ron"))).unwrap();
            }
        }
        let opened = desk.open();
        let taken = import(&desk.dir, &mut desk.disk, opened, &desk.library);
        assert_eq!(taken.gone.len(), if orchestra_too { 1 } else { 16 });
        assert_eq!(taken.library, desk.library, "nothing is taken in");
        // Going on, and writing the missing anew, leave his two files as he saved them.
        for anew in [false, true] {
            if anew {
                desk.disk.forget_missing(&desk.dir);
            }
            desk.rename("marimba-1", &format!("ours, {anew}"));
            let report = desk.save();
            assert!(!report.failed && report.removed.is_empty(), "{report:?}");
            assert!(desk.read(XYLOPHONE).contains("their xylophone"));
            assert_eq!(desk.read("instruments/new.ron"), new);
        }
        // With the files there again what he did is taken in.
        let opened = desk.open();
        let taken = import(&desk.dir, &mut desk.disk, opened, &desk.library);
        assert_eq!(taken.gone, [""; 0]);
        assert_eq!(taken.library.instruments[&xylophone()].name, "their xylophone");
        assert!(taken.library.instruments.contains_key(&InstrumentId::new("new").unwrap()));
        assert_eq!(taken.library.instruments.len(), desk.library.instruments.len() + 1);
    }
}

#[test]
fn a_library_that_a_newer_program_takes_over_is_read_only_from_then_on() {
    let mut desk = Desk::new();
    desk.replace("orchestra.ron", "format: 2", "format: 7");
    desk.replace(XYLOPHONE, "xylophone of the orchestra", "their xylophone");
    let opened = desk.open();
    let taken = import(&desk.dir, &mut desk.disk, opened, &desk.library);
    assert!(taken.read_only.is_some_and(|why| why.contains("newer")));
    assert_eq!(taken.library.instruments[&xylophone()].name, "their xylophone", "what they did is shown");
    desk.library = taken.library;
    let before = desk.all();
    desk.rename("marimba-1", "ours");
    assert_eq!(codes(&desk.save().problems), ["read-only"]);
    assert_eq!(desk.all(), before);
}

#[test]
fn every_version_is_kept_and_comes_back_and_thirty_are_enough() {
    let mut desk = Desk::new();
    let first = desk.library.clone();
    for number in 0..40 {
        desk.rename("xylophone-1", &format!("name {number}"));
        assert!(desk.save().is_clean());
    }
    desk.edit(&Edit::RemoveInstrument(marimba()));
    desk.save();
    let earlier = earlier_versions(&desk.dir);
    let of = |file: &str| earlier.iter().filter(|one| one.file == file).collect::<Vec<_>>();
    assert_eq!(of(XYLOPHONE).len(), 30);
    assert!(of(XYLOPHONE)[0].texts(&desk.dir).1.contains("name 38"), "the newest comes first");
    let oldest = of(XYLOPHONE).into_iter().next_back().unwrap();
    let back = bring_back(&desk.dir, &desk.disk, oldest, &desk.library).unwrap();
    assert_eq!(back.instruments[&xylophone()], first.instruments[&xylophone()]);
    // What was removed comes back too.
    let removed = of("instruments/marimba-1.ron")[0];
    let back = bring_back(&desk.dir, &desk.disk, removed, &back).unwrap();
    desk.library = back;
    assert!(desk.save().is_clean());
    assert_eq!(desk.open().library, first.clone());
    assert!(fs::read_to_string(desk.dir.join(".backrow/.gitignore")).unwrap().contains('*'));
}

#[test]
fn a_journal_that_was_left_behind_is_finished_once() {
    let desk = Desk::new();
    let text = desk.read(XYLOPHONE).replace("xylophone of the orchestra", "finished later");
    fs::create_dir_all(desk.dir.join(".backrow")).unwrap();
    // What a program writes before it saves several files.
    let step = |file: &str, after: &str| format!("(file:{file:?},before:None,after:Some({after:?}))");
    let journal = format!(
        "(format:1,steps:[{},{}])",
        step("instruments/new.ron", &text.replace("xylophone-1", "new")),
        step(XYLOPHONE, &text)
    );
    desk.write(".backrow/save-1-2-3.ron", journal);
    let opened = desk.open();
    let told: Vec<_> = opened.problems.iter().filter(|problem| problem.code == "recovered").collect();
    assert_eq!(told.len(), 1, "{:?}", opened.problems);
    assert!(told[0].what.contains("instruments/new.ron"));
    assert!(opened.library.instruments.contains_key(&InstrumentId::new("new").unwrap()));
    // The one whose place somebody else had taken since is kept beside it.
    assert!(desk.read(XYLOPHONE).contains("of the orchestra"));
    assert!(desk.read("instruments/xylophone-1.kept-1.ron").contains("finished later"));
    assert!(desk.open().problems.iter().all(|problem| problem.code != "recovered"));
}

/// The texts in a journal may be nowhere else, so one that cannot be read is never thrown away.
#[test]
fn a_journal_that_cannot_be_read_is_said_and_kept() {
    let desk = Desk::new();
    fs::create_dir_all(desk.dir.join(".backrow")).unwrap();
    let cut = "(format:1,steps:[(file:\"players.ron\",before:None,after:Some(\"(format: 2, pla";
    desk.write(".backrow/save-1-2-3.ron", cut);
    let newer = "(format:2,swaps:[(one:\"players.ron\",other:\"places.ron\")])";
    desk.write(".backrow/save-4-5-6.ron", newer);
    let before = desk.all();
    let opened = desk.open();
    let found: Vec<_> = opened.problems.iter().map(|p| (p.file.as_str(), p.code)).collect();
    let news = (".backrow/save-4-5-6.ron", "newer-format");
    assert_eq!(found, [(".backrow/save-1-2-3.ron.broken", "broken-journal"), news]);
    assert_eq!((opened.library, opened.read_only), (desk.library.clone(), None));
    // The one is for the newer program, and is told of until that has finished it; the other is told of once.
    let again = desk.open().problems;
    assert_eq!(again.iter().map(|p| (p.file.as_str(), p.code)).collect::<Vec<_>>(), [news]);
    assert_eq!(desk.read(".backrow/save-1-2-3.ron.broken"), cut);
    assert_eq!(desk.read(".backrow/save-4-5-6.ron"), newer);
    assert_eq!(desk.all(), before);
}

/// A folder from a stick or a shared drive may bring a journal that somebody made: opening it writes nothing elsewhere.
#[test]
fn a_journal_writes_nothing_outside_its_library() {
    let desk = Desk::new();
    fs::create_dir_all(desk.dir.join(".backrow")).unwrap();
    desk.write(
        ".backrow/save-1-2-3.ron",
        "(format:1,steps:[(file:\"../out.ron\",before:None,after:Some(\"()\"))])",
    );
    let opened = desk.open();
    assert!(!desk.dir.join("../out.ron").exists());
    assert!(opened.problems.iter().any(|p| p.code == "broken-journal" && p.what.contains("out.ron")));
}

/// A list kept beside its file has earlier versions under its own name.
#[test]
fn an_earlier_version_of_a_second_version_comes_back() {
    let mut desk = Desk::new();
    let player = desk.library.players.values().next().unwrap().clone();
    let call = |desk: &mut Desk, name: &str| {
        let mut player = (*player).clone();
        name.clone_into(&mut player.name);
        desk.edit(&Edit::PutPlayer(player));
        desk.save()
    };
    desk.replace("players.ron", "R. Alba", "S. Alba");
    assert_eq!(call(&mut desk, "T. Alba").kept[0].beside, "players.kept-1.ron");
    assert!(call(&mut desk, "U. Alba").is_clean());
    let earlier = earlier_versions(&desk.dir);
    let one = earlier.iter().find(|one| one.file == "players.kept-1.ron").unwrap();
    let back = bring_back(&desk.dir, &desk.disk, one, &desk.library).unwrap();
    assert_eq!(back.players.values().next().unwrap().name, "T. Alba");
}

#[test]
fn what_a_killed_program_left_is_cleared() {
    let desk = Desk::new();
    let old = std::time::SystemTime::now() - std::time::Duration::from_hours(1);
    let whole = desk.read(XYLOPHONE).replace("of the orchestra", "before the stop");
    for (name, text) in [
        (".backrow-xylophone-1.7-7-7.tmp", whole.as_str()),
        (".backrow-xylophone-1.7-7-8.tmp", "(format: 2, id"),
    ] {
        desk.write(&format!("instruments/{name}"), text);
        let file = fs::File::options().write(true).open(desk.dir.join("instruments").join(name)).unwrap();
        file.set_modified(old).unwrap();
    }
    desk.write("instruments/.backrow-xylophone-1.7-7-9.tmp", "(format: 2)");
    let opened = desk.open();
    assert_eq!(opened.library, desk.library);
    let left: Vec<_> = fs::read_dir(desk.dir.join("instruments"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.starts_with(".backrow-"))
        .collect();
    assert_eq!(left, [".backrow-xylophone-1.7-7-9.tmp"], "a young one may be somebody's who is writing now");
    let earlier = earlier_versions(&desk.dir);
    assert_eq!(earlier.len(), 1);
    assert!(earlier[0].texts(&desk.dir).1.contains("before the stop"));
}

/// Where names can neither be taken in one step nor by links, a new file's name is claimed with an empty file first; a stop then
/// leaves it empty, with its text beside it.
#[test]
fn an_empty_file_whose_text_lies_beside_it_gets_it() {
    let desk = Desk::new();
    let text = desk.read(XYLOPHONE).replace("xylophone-1", "new");
    desk.write("instruments/new.ron", "");
    let half = "instruments/.backrow-new.7-7-7.tmp";
    desk.write(half, &text);
    let old = std::time::SystemTime::now() - std::time::Duration::from_hours(1);
    fs::File::options().write(true).open(desk.dir.join(half)).unwrap().set_modified(old).unwrap();
    let opened = desk.open();
    assert_eq!(codes(&opened.problems), ["recovered"]);
    assert!(opened.problems[0].what.contains("instruments/new.ron"), "{}", opened.problems[0]);
    assert!(opened.library.instruments.contains_key(&InstrumentId::new("new").unwrap()));
    assert_eq!(desk.read("instruments/new.ron"), text);
    // The same of a save of several files, which its journal finishes.
    let text = text.replace("\"new\"", "\"newer\"");
    desk.write("instruments/newer.ron", "");
    fs::create_dir_all(desk.dir.join(".backrow")).unwrap();
    let step = format!("(file:\"instruments/newer.ron\",before:None,after:Some({text:?}))");
    desk.write(".backrow/save-1-2-3.ron", format!("(format:1,steps:[{step}])"));
    assert_eq!(codes(&desk.open().problems), ["recovered"]);
    assert_eq!(desk.read("instruments/newer.ron"), text);
    assert!(!desk.dir.join("instruments/newer.kept-1.ron").exists());
}

/// Stopped between the exchange of names and the look at what came out: the other's text bears a name that tells what was read
/// and what was written, and is neither.
#[test]
fn what_somebody_else_had_written_is_offered_after_a_stop() {
    let desk = Desk::new();
    let theirs = desk.read(XYLOPHONE).replace("of the orchestra", "by somebody else");
    let name = "instruments/.backrow-xylophone-1.7-7-8-1-2.tmp";
    desk.write(name, &theirs);
    let file = fs::File::options().write(true).open(desk.dir.join(name)).unwrap();
    file.set_modified(std::time::SystemTime::now() - std::time::Duration::from_hours(1)).unwrap();
    let opened = desk.open();
    assert_eq!(opened.library, desk.library, "what stands in its place is read");
    assert_eq!(codes(&opened.problems), ["two-versions"]);
    assert_eq!(desk.read("instruments/xylophone-1.kept-1.ron"), theirs);
    assert!(earlier_versions(&desk.dir).is_empty() && !desk.dir.join(name).exists());
}

#[cfg(unix)]
#[test]
fn pipes_and_devices_are_named_and_left_alone() {
    let desk = Desk::new();
    let pipe = desk.dir.join("instruments/pipe.ron");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    std::os::unix::fs::symlink("/dev/zero", desk.dir.join("instruments/endless.ron")).unwrap();
    let opened = desk.open();
    assert_eq!(opened.library, desk.library);
    let found: Vec<_> = opened.problems.iter().map(|p| (p.file.as_str(), p.code)).collect();
    assert_eq!(found, [("instruments/endless.ron", "not-a-file"), ("instruments/pipe.ron", "not-a-file")]);
}
