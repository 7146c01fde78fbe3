//! Long use of the window: edits, undos and redos at random in every place, with keys, clicks, drags and typing between them.
//! Nothing panics, ids lead somewhere, fits agree with a plain count, memory stays level, and undo to the start gives the first
//! library back, in memory and byte for byte on the disk. `BACKROW_EDITS` makes it longer by hand, and
//! `BACKROW_ROUND` begins at a later round, as each is random by its number.

#![expect(clippy::unwrap_used, reason = "a test stops where its footing gives way")]

#[path = "../../../tests/tests/soak/edits.rs"]
mod edits;
mod window;

use backrow::actions::Action;
use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::{CollectionTab, Over, Place, Selected};
use backrow_core::edit::Edit;
use backrow_core::library::Library;
use edits::{Dice, any_edit, dangling, fits_agree, ids_resolve, is_settled};
use egui::{Key, pos2};
use egui_kittest::Harness;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use window::{harness, settle};

/// A history remembers a thousand steps.
const A_ROUND: u64 = 700;
/// The level to which memory comes back does not rise by more than this after the second round, bytes.
const LEVEL: u64 = 75 << 20;
/// Nor does it ever stand by more than this above it, bytes: the typesetter remembers what the last dozen sheets were made of.
const PEAK: u64 = 300 << 20;
/// In so many rounds it has come back.
const ROUNDS: usize = 6;

/// What was held at the end of each of the last rounds, bytes.
#[derive(Default)]
struct Held {
    early: u64,
    rounds: u64,
    last: std::collections::VecDeque<u64>,
}

impl Held {
    /// Takes the figure of a round, and stops where memory does not come back any more.
    fn add(&mut self, now: u64) {
        self.rounds += 1;
        if self.rounds <= 2 {
            self.early = now;
        }
        self.last.push_back(now);
        if self.last.len() > ROUNDS {
            self.last.pop_front();
            let level = self.last.iter().copied().min().unwrap_or(now);
            let grown = format!("memory grows: {} MB, it was {} MB", level >> 20, self.early >> 20);
            assert!(level < self.early + LEVEL, "{grown}");
            assert!(now < self.early + PEAK, "{grown}; {} MB now", now >> 20);
        }
    }
}

fn number(of: &str, usual: u64) -> u64 {
    std::env::var(of).ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

/// Every file of the library with its bytes.
fn files(dir: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in std::fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() && !name.starts_with('.') {
            all.extend(files(&path));
        } else if path.extension().is_some_and(|ending| ending == "ron") {
            all.insert(path.clone(), std::fs::read(&path).unwrap());
        }
    }
    all
}

/// What the program holds of the machine's memory, bytes; 0 where the system does not say.
fn memory() -> u64 {
    let text = std::fs::read_to_string("/proc/self/statm").unwrap_or_default();
    let pages: u64 = text.split_whitespace().nth(1).and_then(|pages| pages.parse().ok()).unwrap_or(0);
    pages * 4096
}

/// Goes somewhere else, chooses something, presses a key, clicks, drags or types.
fn something_else(h: &mut Harness<'_, App>, dice: &mut Dice) {
    const KEYS: [Key; 10] = [
        Key::ArrowLeft,
        Key::ArrowRight,
        Key::ArrowUp,
        Key::ArrowDown,
        Key::Tab,
        Key::Enter,
        Key::Space,
        Key::Escape,
        Key::Delete,
        Key::Home,
    ];
    let library = h.state().history.now().clone();
    // Right of the rail and below the strip, where the places are.
    let mut at = || pos2(140.0 + dice.roll(1130) as f32, 60.0 + dice.roll(700) as f32);
    let (from, to) = (at(), at());
    match dice.roll(12) {
        0..=2 => h.state_mut().request(Intent::Go(*dice.of(Place::ALL).unwrap())),
        3 => h.state_mut().request(Intent::CollectionTab(*dice.of(&CollectionTab::ALL).unwrap())),
        4 => {
            let things: Vec<_> = library.instruments.keys().collect();
            let chosen = dice.of(&things).map(|id| Selected::Instrument((*id).clone()));
            h.state_mut().request(Intent::Select(chosen));
        }
        5 => {
            let programmes: Vec<_> = library.programmes().map(|(_, one)| one.id.clone()).collect();
            if let Some(id) = dice.of(&programmes) {
                h.state_mut().request(Intent::Programme(id.clone()));
            }
        }
        6 | 7 => h.key_press(*dice.of(&KEYS).unwrap()),
        8 | 9 => {
            h.hover_at(from);
            h.step();
            h.drag_at(from);
            h.step();
            h.drop_at(from);
        }
        10 => {
            h.hover_at(from);
            h.step();
            h.drag_at(from);
            h.step();
            h.hover_at(to);
            h.step();
            h.drop_at(to);
        }
        _ => h.event(egui::Event::Text("so7".to_owned())),
    }
    h.step();
    // What would leave the library, write elsewhere or read a device is closed again.
    while let Some(
        Over::Question | Over::Importing | Over::Leaving | Over::Sheets | Over::Recording | Over::Welcome,
    ) = h.state().shell.over()
    {
        h.state_mut().shell.close_innermost();
    }
}

fn hold(library: &Library, dice: &mut Dice) {
    ids_resolve(library);
    is_settled(library);
    fits_agree(library, dice);
}

/// Undoes or redoes everything; how many steps it was.
fn all_of(h: &mut Harness<'_, App>, action: Action) -> u64 {
    let mut steps = 0;
    loop {
        let history = &h.state().history;
        let more = if action == Action::Undo { history.undoable() } else { history.redoable() };
        if more.is_none() {
            settle(h);
            return steps;
        }
        // As many as a held key brings in a slow frame.
        let before = h.state().history.revision();
        for _ in 0..8 {
            h.state_mut().request(Intent::Do(action));
        }
        h.step();
        steps += h.state().history.revision() - before;
    }
}

/// A few edits, undos and redos; how many frames they took. Some are carried out one a frame, as a person's are; most come together,
/// for the sake of their number.
fn some_edits(h: &mut Harness<'_, App>, dice: &mut Dice) -> u64 {
    let (mut frames, mut waiting) = (1, false);
    for _ in 0..=dice.roll(24) {
        let intent = match dice.roll(12) {
            0 => Intent::Do(Action::Undo),
            1 => Intent::Do(Action::Redo),
            _ => {
                let Some(edit) = any_edit(h.state().history.now(), dice) else { continue };
                // A whole record is made from the library as it is, without what still waits for the next frame.
                let is_whole = matches!(
                    edit,
                    Edit::PutProgramme { .. }
                        | Edit::PutWork(_)
                        | Edit::RemoveLine { .. }
                        | Edit::PutTrial { .. }
                        | Edit::PutDecision { .. }
                        | Edit::PutBeater(_)
                        | Edit::PutInstrument(_)
                        | Edit::PutPlayer(_)
                );
                if is_whole && waiting {
                    continue;
                }
                waiting |= !is_whole;
                Intent::Edit(edit)
            }
        };
        h.state_mut().request(intent);
        if !waiting || dice.roll(8) == 0 {
            h.step();
            (frames, waiting) = (frames + 1, false);
        }
    }
    h.step();
    frames
}

#[test]
fn a_long_evening_at_the_window() {
    let kinds = backrow_files::kinds::standard().unwrap();
    let home = tempfile::tempdir().unwrap();
    let (demo, dir) = (home.path().join("demo"), home.path().join("library"));
    backrow_files::library::copy_demo(&demo).unwrap();
    let library = backrow_files::library::open(&demo, &kinds).library;
    backrow_files::library::create_from(&dir, &library, &kinds).unwrap();
    let (wanted, mut made, mut undone, mut frames) = (number("BACKROW_EDITS", 250), 0, 0, 0_u64);
    let (mut round, mut memories) = (number("BACKROW_ROUND", 1).saturating_sub(1), Held::default());
    while made < wanted {
        round += 1;
        let mut dice = Dice(0x9E37_79B9_7F4A_7C15 ^ round.wrapping_mul(0xD134_2543_DE82_EF95));
        let settings = Settings { place: *dice.of(Place::ALL).unwrap(), ..Settings::default() };
        let mut h = harness(App::open(&dir, settings, None));
        let (begun, first) = (h.state().history.now().clone(), files(&dir));
        let mut steps = 0;
        while steps < A_ROUND && made < wanted {
            let before = h.state().history.revision();
            frames += some_edits(&mut h, &mut dice);
            if dice.roll(4) == 0 {
                something_else(&mut h, &mut dice);
                frames += 3;
            }
            made += h.state().history.revision() - before;
            steps = h.state().history.revision();
            if dice.roll(40) == 0 {
                hold(h.state().history.now(), &mut dice);
            }
        }
        while h.state_mut().shell.close_innermost().is_some() {}
        // Where a work or a venue lies open, undo belongs to it and never comes to the library's first step.
        h.state_mut().request(Intent::Go(Place::Season));
        settle(&mut h);
        // What was taken back last may still be made again.
        undone += all_of(&mut h, Action::Redo);
        let last = h.state().history.now().clone();
        hold(&last, &mut dice);
        undone += all_of(&mut h, Action::Undo);
        assert_eq!(*h.state().history.now(), begun, "undo to the start of round {round}");
        let now = files(&dir);
        let differ: Vec<_> =
            first.keys().chain(now.keys()).filter(|path| first.get(*path) != now.get(*path)).collect();
        assert!(differ.is_empty(), "not byte for byte as at the start of round {round}: {differ:?}");
        undone += all_of(&mut h, Action::Redo);
        assert_eq!(*h.state().history.now(), last, "redo to the end of round {round}");
        drop(h);
        let opened = backrow_files::library::open(&dir, &kinds);
        assert_eq!(opened.library, last, "what is on the disk after round {round}");
        assert_eq!(dangling(&opened), Vec::<String>::new(), "ids that lead nowhere after round {round}");
        let held = memory();
        let size = files(&dir).values().map(Vec::len).sum::<usize>();
        eprintln!(
            "round {round}: {made} edits, undos and redos, {undone} more to the start and the end, {frames} frames, {} MB; the library has {} kB",
            held >> 20,
            size >> 10
        );
        memories.add(held);
    }
}
