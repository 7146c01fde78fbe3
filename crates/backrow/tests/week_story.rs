//! From a folder of scores to the printed pack, in the window, counting what a person does. The scores are of our own
//! making, with the traps of real ones: a symphony in four files with a tacet trio and a lone first ending, timpani of five
//! pitches, a suspended cymbal with a sponge mallet, words that nobody knows, and dances that only their file names join.

mod window;

use backrow::app::App;
use backrow::sample;
use backrow::settings::Settings;
use backrow_core::library::Library;
use backrow_core::music::Line;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use window::{harness, in_view};

fn scores() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/a_week_of_scores")
}

/// What hangs at the pointer while it is dragged over the window.
#[derive(Debug)]
struct Held(PathBuf);

impl egui::DroppedFile for Held {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|why| why.to_string())
    }
}

/// A person at the window: every click, drop and key counts.
struct Hand {
    window: Harness<'static, App>,
    actions: usize,
}

impl Hand {
    /// Lets go of files or folders over the window, all at once.
    fn drops(&mut self, paths: impl IntoIterator<Item = PathBuf>) {
        self.actions += 1;
        let held = paths.into_iter().map(|path| Arc::new(Held(path)) as egui::DroppedFileHandle);
        self.window.input_mut().dropped_files.extend(held);
        self.window.run();
    }

    fn click(&mut self, label: &str) {
        self.actions += 1;
        self.window.get_by_label(label).click();
        self.window.run();
    }

    fn sees(&self, fits: impl Fn(&str) -> bool) -> bool {
        in_view(&self.window, fits).is_some()
    }

    fn wait(&mut self, fits: impl Fn(&str) -> bool + Copy) {
        for _ in 0..3_000 {
            self.window.run();
            if self.sees(fits) {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
        panic!("it did not come within a minute: {}", self.window.state().view.said);
    }

    fn library(&self) -> Library {
        self.window.state().history.now().clone()
    }
}

fn hand() -> Hand {
    Hand { window: harness(App::on_library(sample::small(), Settings::default())), actions: 0 }
}

/// All scores are read, whatever else is let go of with them, and that is told too.
#[test]
fn scores_that_are_dropped_with_another_file_are_all_read() {
    let mut hand = hand();
    let files =
        std::fs::read_dir(scores()).expect("it is in the tree").filter_map(|entry| Some(entry.ok()?.path()));
    let other = Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml");
    hand.drops(files.chain([other]));
    hand.wait(|l| l == "Import 3 works");
    assert!(hand.sees(|l| l.starts_with("7 of 7 files read")));
    let said = &hand.window.state().view.said;
    assert!(said.contains("Cargo.toml"), "{said}");
}

#[test]
fn a_folder_becomes_a_programme_of_works_with_their_movements() {
    let mut hand = hand();
    hand.drops([scores()]);
    hand.wait(|l| l == "Import 3 works");
    assert!(hand.sees(|l| l.starts_with("7 of 7 files read") && l.contains("1 without percussion")));
    hand.click("the library and a new programme");
    hand.click("Import 3 works");
    let library = hand.library();
    let programme = hand.window.state().view.programme_in(&library).expect("it is current").clone();
    let shown: Vec<(String, Vec<String>)> = programme
        .works
        .iter()
        .filter_map(|id| library.works.get(id))
        .map(|work| {
            let movements = work.movements.iter().map(|m| m.number.clone()).collect();
            (work.title.clone(), movements)
        })
        .collect();
    let row = |title: &str, numbers: &[&str]| {
        (title.to_owned(), numbers.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>())
    };
    assert_eq!(
        shown,
        [
            row("ferry dances", &["I", "II"]),
            row("Harbour Symphony", &["I", "II", "III", "IV"]),
            row("Lighthouse Overture", &[""]),
        ]
    );
    let harbour = library.works.get(&programme.works[1]).expect("it is there");
    assert_eq!(harbour.composer, "Tess Invented");
    let trio = &harbour.movements[2];
    assert!(
        harbour.lines_of(&trio.id).next().is_none() && trio.timeline.end_s > 60.0,
        "tacet, with its minutes"
    );
    let first = &harbour.movements[0];
    assert_eq!(first.timeline.measures.len(), 64 + 23, "the first ending is played once");
    let timpani: Vec<String> = harbour.lines_of(&first.id).map(Line::sounding_words).collect();
    assert_eq!(timpani, ["F2 B♭2 C3 D3 E♭3"]);
    let kinds: Vec<&str> = harbour
        .lines_of(&harbour.movements[3].id)
        .filter_map(|line| line.kind.as_ref())
        .map(backrow_core::id::KindId::as_str)
        .collect();
    assert_eq!(kinds, ["timpani", "suspended_cymbal", "bass_drum"]);
    let doubted = harbour.lines.iter().find(|line| line.evidence.iter().any(|text| text.contains("Wumpus")));
    assert!(doubted.is_some(), "words that nobody knows stand beside their line");
    let sponge = harbour.lines.iter().any(|line| line.beaters.iter().any(|b| b.contains("Schwamm")));
    assert!(sponge, "the mallets that the part asks for");
    assert!(hand.actions <= 40, "{} actions", hand.actions);
}

impl Hand {
    fn press(&mut self, modifiers: Modifiers, key: Key) {
        self.actions += 1;
        self.window.key_press_modifiers(modifiers, key);
        self.window.run();
    }

    /// Clicks the first button whose label begins so.
    fn click_first(&mut self, start: &str) {
        self.actions += 1;
        let button = self
            .window
            .get_all_by_role(egui::Role::Button)
            .find(|node| node.accesskit_node().label().is_some_and(|label| label.starts_with(start)))
            .unwrap_or_else(|| panic!("no button begins with {start}"));
        button.click();
        self.window.run();
    }

    fn type_path(&mut self, path: &Path) {
        self.actions += 1;
        self.window.event(egui::Event::Text(path.display().to_string()));
        self.window.run();
    }
}

/// From the folder to the sheets: everything proposed, looked at and taken, in no more than forty actions.
#[test]
fn from_a_folder_of_scores_to_the_printed_pack() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let library = dir.path().join("library");
    backrow_files::library::copy_demo(&library).expect("the demo library");
    let mut hand = Hand { window: harness(App::open(&library, Settings::default(), None)), actions: 0 };
    hand.drops([scores()]);
    hand.wait(|l| l == "Import 3 works");
    hand.click("the library and a new programme");
    hand.click("Import 3 works");

    hand.press(Modifiers::COMMAND | Modifiers::SHIFT, Key::P);
    hand.wait(|l| l == "Propose instruments");
    hand.click_first("Accept ");
    hand.click("Close");

    hand.press(Modifiers::ALT, Key::Num1);
    hand.click("Ask about the programme");
    hand.click("Propose");
    hand.wait(|l| l == "Accept it");
    hand.click("Accept it");

    hand.press(Modifiers::ALT, Key::Num3);
    hand.press(Modifiers::NONE, Key::P);
    hand.wait(|l| l == "Accept them");
    for button in ["Accept them", "Cancel"] {
        let right = hand.window.get_by_label(button).rect().right();
        assert!(right < 1280.0 - 284.0, "{button} is not behind the panel at the right: {right}");
    }
    hand.click("Accept them");

    let pack = dir.path().join("pack");
    hand.press(Modifiers::COMMAND, Key::P);
    hand.wait(|l| l == "Print all ticked …");
    hand.click("Print all ticked …");
    hand.press(Modifiers::COMMAND, Key::A);
    hand.type_path(&pack);
    hand.press(Modifiers::NONE, Key::Enter);
    let printed = || std::fs::read_dir(&pack).map_or(0, std::iter::Iterator::count);
    for _ in 0..3_000 {
        hand.window.run();
        if printed() > 0 {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    assert!(printed() > 0, "the pack is printed: {}", hand.window.state().view.said);
    hand.wait(|l| l == "Open the folder");
    assert!(hand.sees(|l| l == "Open"), "one file is opened too");

    let now = hand.library();
    let programme = hand.window.state().view.programme_in(&now).expect("it is current").clone();
    let rows: usize = programme.works.iter().filter_map(|id| now.works.get(id)).map(|w| w.lines.len()).sum();
    let played = programme.lines().filter(|(_, given)| given.player.is_some()).count();
    assert_eq!(played, rows, "every line has somebody");
    // Whatever the library can serve is served. What it cannot is one line: its notes stand an octave below every glockenspiel, as
    // its reading says, so that only somebody's word makes it playable.
    let bare: Vec<String> = programme
        .works
        .iter()
        .filter_map(|id| now.works.get(id))
        .flat_map(|work| work.lines.iter().map(move |line| (work, line)))
        .filter(|(work, line)| {
            let at = backrow_core::week::LineRef { work: work.id.clone(), line: line.id.clone() };
            programme.assignment(&at).instruments.is_empty()
        })
        .map(|(work, line)| format!("{}: {}", work.title, now.line_name(line)))
        .collect();
    assert_eq!(bare, ["Lighthouse Overture: Glockenspiel"], "of {rows} lines");
    assert!(!programme.setup.is_empty(), "and it stands somewhere");
    assert!(hand.actions <= 40, "{} actions", hand.actions);
}
