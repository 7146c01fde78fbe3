//! The review of Works: a work by hand from the keyboard alone, a read score looked over, and the same score again.

mod window;

use backrow::app::App;
use backrow::sample;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::library::Library;
use backrow_core::music::Work;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use window::{harness, in_view, wait_for};

fn works() -> Harness<'static, App> {
    let mut app = App::on_library(sample::small(), Settings::default());
    app.view.place = Place::Works;
    harness(app)
}

fn library(h: &Harness<'_, App>) -> Library {
    h.state().history.now().clone()
}

fn titled(library: &Library, title: &str) -> Option<Work> {
    library.works.values().find(|work| work.title == title).map(|work| (**work).clone())
}

fn type_text(h: &mut Harness<'_, App>, text: &str) {
    h.event(egui::Event::Text(text.to_owned()));
    h.run();
}

fn press(h: &mut Harness<'_, App>, modifiers: Modifiers, key: Key) {
    h.key_press_modifiers(modifiers, key);
    h.run();
}

/// Goes on with Tab until the field of that label has the keyboard.
fn tab_to(h: &mut Harness<'_, App>, label: &str) {
    for _ in 0..60 {
        if h.get_by_label(label).is_focused() {
            return;
        }
        press(h, Modifiers::NONE, Key::Tab);
    }
    panic!("{label} is not reached by Tab");
}

#[test]
fn a_whole_work_is_written_by_keyboard_alone() {
    let mut h = works();
    press(&mut h, Modifiers::COMMAND, Key::N);
    type_text(&mut h, "Small Piece");
    tab_to(&mut h, "Tempo lines");
    type_text(&mut h, "1-40 4/4 1/4=120 Allegro [A]");
    tab_to(&mut h, "A new line as text");
    type_text(&mut h, "campanel");
    press(&mut h, Modifiers::NONE, Key::ArrowDown);
    type_text(&mut h, "3-8 C5 E5*3 | brass | Percussion 1");
    press(&mut h, Modifiers::NONE, Key::Enter);
    assert!(in_view(&h, |l| l.contains("notes, written C5–E5")).is_some(), "the line is in review");
    type_text(&mut h, "snare drum | 20-24 *80");
    press(&mut h, Modifiers::NONE, Key::Enter);
    press(&mut h, Modifiers::COMMAND, Key::Enter);
    let work = titled(&library(&h), "Small Piece").expect("it is in the library");
    let kinds: Vec<&str> =
        work.lines.iter().filter_map(|c| c.kind.as_ref()).map(backrow_core::id::KindId::as_str).collect();
    assert_eq!(kinds, ["glockenspiel", "snare_drum"]);
    let glockenspiel = work.lines.first().expect("two lines");
    let passage = glockenspiel.passages.first().expect("a stretch");
    assert_eq!((passage.from_s, passage.to_s), (4.0, 16.0), "m. 3 to 8 at 2 s a measure");
    let programme = h.state().view.programme_in(h.state().history.now()).expect("one");
    assert!(programme.works.contains(&work.id), "it joins the current programme");
    press(&mut h, Modifiers::COMMAND, Key::Z);
    assert!(titled(&library(&h), "Small Piece").is_none(), "one step");
}

#[test]
fn a_slip_is_told_while_one_types_and_nothing_is_added() {
    let mut h = works();
    press(&mut h, Modifiers::COMMAND, Key::N);
    tab_to(&mut h, "A new line as text");
    type_text(&mut h, "xylophone | 3-8 F5");
    assert!(in_view(&h, |l| l.contains("not in the tempo lines")).is_some());
    press(&mut h, Modifiers::NONE, Key::Enter);
    assert!(in_view(&h, |l| l == "Add the work with 0 lines").is_some());
    // Esc leaves the field, Esc again leaves the review; what was typed can be taken up again.
    press(&mut h, Modifiers::NONE, Key::Escape);
    press(&mut h, Modifiers::NONE, Key::Escape);
    assert!(in_view(&h, |l| l == "Add the work with 0 lines").is_none(), "{}", h.state().view.said);
}

/// Friction of the first day: a sentence was added as a line without measures and strokes, "sure: typed by hand".
#[test]
fn a_sentence_is_not_taken_for_a_line() {
    let mut h = works();
    press(&mut h, Modifiers::COMMAND, Key::N);
    tab_to(&mut h, "A new line as text");
    type_text(&mut h, "Xylophone, bars 10 to 20, F5 up to C6");
    assert!(in_view(&h, |l| l.contains("measures and notes too")).is_some());
    press(&mut h, Modifiers::NONE, Key::Enter);
    assert!(in_view(&h, |l| l == "Add the work with 0 lines").is_some());
}

const SCORE: &str = r#"<?xml version="1.0"?><score-partwise version="4.0"><work><work-title>Tide Study</work-title></work>
<part-list><score-part id="P1"><part-name>Xylophone</part-name></score-part>
<score-part id="P2"><part-name>Xylophone 2</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>
</attributes><sound tempo="60"/>NOTE</measure><measure number="2"><note><rest measure="yes"/><duration>4</duration></note></measure>
<measure number="3"><note><rest measure="yes"/><duration>4</duration></note></measure><measure number="4">NOTE</measure></part>
<part id="P2"><measure number="1"><attributes><divisions>1</divisions></attributes>NOTE</measure></part></score-partwise>"#;

/// Reads a score of two xylophones, the first in two stretches; its note is an F or another.
fn read(h: &mut Harness<'_, App>, step: &str) {
    let note =
        format!("<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>4</duration></note>");
    let folder = std::env::temp_dir().join(format!("backrow review {step} {}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for the score");
    let file = folder.join("tide.musicxml");
    std::fs::write(&file, SCORE.replace("NOTE", &note)).expect("the score is written");
    h.state_mut().ask_to_open(file);
    wait_for(h, |app| app.view.said.starts_with("Read tide"));
    h.run();
    drop(std::fs::remove_dir_all(&folder));
}

/// Undo and redo belong to the work in review while one is open; the library behind it stays as it is.
#[test]
fn undo_on_the_desk_leaves_the_library_alone() {
    let mut h = works();
    let mut other =
        library(&h).works.values().next().map(|work| (**work).clone()).expect("the sample has one");
    "A changed title".clone_into(&mut other.title);
    h.state_mut().history.make(&backrow_core::edit::Edit::PutWork(other)).expect("it can be changed");
    let changed = library(&h);
    read(&mut h, "F");
    h.query_all_by_label_contains("Join or cut Xylophone, mm. 1").next().expect("the first").click();
    h.run();
    h.get_by_label("Cut before measure").focus();
    h.run();
    type_text(&mut h, "4");
    h.get_by_label("Cut").click();
    h.run();
    assert!(in_view(&h, |l| l == "Import 3 lines").is_some(), "cut at the rest");
    press(&mut h, Modifiers::COMMAND, Key::Z);
    assert!(in_view(&h, |l| l == "Import 2 lines").is_some(), "{}", h.state().view.said);
    press(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(library(&h), changed, "the library behind the review is as it was");
    press(&mut h, Modifiers::COMMAND, Key::Y);
    assert!(in_view(&h, |l| l == "Import 3 lines").is_some(), "{}", h.state().view.said);
}

#[test]
fn found_lines_are_cut_joined_and_taken_in_one_step() {
    let mut h = works();
    read(&mut h, "F");
    assert!(in_view(&h, |l| l == "Import 2 lines").is_some());
    h.query_all_by_label_contains("Join or cut Xylophone, mm. 1").next().expect("the first").click();
    h.run();
    h.get_by_label("Cut before measure").focus();
    h.run();
    type_text(&mut h, "4");
    h.get_by_label("Cut").click();
    h.run();
    assert!(in_view(&h, |l| l == "Import 3 lines").is_some(), "cut at the rest");
    h.get_by_label("Undo here").click();
    h.run();
    assert!(in_view(&h, |l| l == "Import 2 lines").is_some());
    h.get_by_label("Import Xylophone, m. 1").click();
    h.run();
    h.get_by_label("Import 1 line").click();
    h.run();
    let work = titled(&library(&h), "Tide Study").expect("taken in");
    assert_eq!(work.lines.len(), 1);
    press(&mut h, Modifiers::COMMAND, Key::Z);
    assert!(titled(&library(&h), "Tide Study").is_none());
}

#[test]
fn a_movement_is_cut_at_a_measure_and_merged_again() {
    let mut h = works();
    read(&mut h, "F");
    let tabs = |h: &Harness<'_, App>| {
        h.get_all_by_role(egui::Role::Tab)
            .filter(|node| node.accesskit_node().label().is_some_and(|label| label.starts_with("Movement ")))
            .count()
    };
    assert_eq!(tabs(&h), 1);
    h.get_by_label("Cut the movement before measure").focus();
    h.run();
    type_text(&mut h, "99");
    h.get_by_label("Cut it there").click();
    h.run();
    assert!(in_view(&h, |l| l.contains("no measure 99")).is_some(), "what cannot be cut says why");
    h.get_by_label("Cut the movement before measure").focus();
    h.run();
    press(&mut h, Modifiers::COMMAND, Key::A);
    type_text(&mut h, "4");
    h.get_by_label("Cut it there").click();
    h.run();
    assert_eq!(tabs(&h), 2, "cut in two");
    h.get_all_by_role(egui::Role::Tab)
        .find(|node| node.accesskit_node().label().is_some_and(|label| label.starts_with("Movement ")))
        .expect("the first one")
        .click();
    h.run();
    h.get_by_label("Merge with the next").click();
    h.run();
    assert_eq!(tabs(&h), 1, "and one again");
    assert!(in_view(&h, |l| l == "Import 2 lines").is_some(), "with the lines that it had");
}

#[test]
fn the_same_score_again_keeps_what_was_given() {
    let mut h = works();
    read(&mut h, "F");
    h.get_by_label("Import 2 lines").click();
    h.run();
    let work = titled(&library(&h), "Tide Study").expect("taken in");
    let line = work.lines.first().expect("two lines");
    let at = backrow_core::week::LineRef { work: work.id.clone(), line: line.id.clone() };
    let player = library(&h).roster().first().map(|p| p.id.clone());
    let programme = h.state().view.programme.clone().expect("one");
    let give = backrow_core::edit::Edit::Assign {
        programme: programme.clone(),
        line: at.clone(),
        player: player.clone(),
    };
    h.state_mut().history.make(&give).expect("given");
    h.run();
    read(&mut h, "G");
    assert!(in_view(&h, |l| l.contains("has Tide Study already; 2 lines differ")).is_some());
    h.get_by_label("Update with 2 lines").click();
    h.run();
    let library = library(&h);
    let again = titled(&library, "Tide Study").expect("still there");
    assert_eq!(again.id, work.id);
    assert_eq!(library.programme(&programme).map(|p| p.assignment(&at).player), Some(player));
    let now = again.line(&line.id).expect("the line keeps its id");
    assert_ne!(now.passages, line.passages, "with the notes of the new reading");
    assert_eq!(library.works.values().filter(|work| work.title == "Tide Study").count(), 1);
}

#[test]
fn a_folder_of_scores_is_read_looked_over_and_taken_in_one_step() {
    let mut h = works();
    let folder = std::env::temp_dir().join(format!("backrow folder {}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let note = "<note><pitch><step>F</step><octave>5</octave></pitch><duration>4</duration></note>";
    std::fs::write(folder.join("tide.musicxml"), SCORE.replace("NOTE", note)).expect("written");
    std::fs::write(folder.join("bad.xml"), "no score").expect("written");
    std::fs::write(folder.join("list.csv"), "line,instrument,from measure,notes\na,snare drum,3,24\n")
        .expect("written");
    h.state_mut().ask_to_open(folder.clone());
    for _ in 0..3_000 {
        h.run();
        if in_view(&h, |l| l == "Import 2 works").is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    assert!(
        in_view(&h, |l| l
            .starts_with("3 of 3 files read, 3 lines found in 2 works; 0 without percussion, 1 not"))
        .is_some()
    );
    h.get_by_label("Review tide.musicxml").click();
    h.run();
    assert!(in_view(&h, |l| l == "Import 2 lines").is_some(), "one goes to review");
    // Esc leaves the field, then the review.
    for _ in 0..3 {
        if in_view(&h, |l| l == "Import 1 work").is_none() {
            press(&mut h, Modifiers::NONE, Key::Escape);
        }
    }
    h.get_by_label("Import 1 work").click();
    h.run();
    assert!(titled(&library(&h), "list").is_some(), "{}", h.state().view.said);
    press(&mut h, Modifiers::COMMAND, Key::Z);
    assert!(titled(&library(&h), "list").is_none());
    drop(std::fs::remove_dir_all(&folder));
}

#[test]
fn what_is_left_on_the_desk_is_a_draft() {
    let mut h = works();
    read(&mut h, "F");
    h.get_by_label("Cancel").click();
    h.run();
    assert!(titled(&library(&h), "Tide Study").is_none());
    h.get_by_label("Resume the draft Work: Tide Study").click();
    h.run();
    assert!(in_view(&h, |l| l == "Import 2 lines").is_some());
}

/// Only what was typed becomes a draft, and only then is it said.
#[test]
fn a_work_that_was_only_looked_at_leaves_no_draft() {
    let mut h = works();
    press(&mut h, Modifiers::COMMAND, Key::E);
    assert!(in_view(&h, |l| l == "Save the changes").is_some());
    // Esc leaves the field, then the review.
    press(&mut h, Modifiers::NONE, Key::Escape);
    press(&mut h, Modifiers::NONE, Key::Escape);
    assert_eq!(h.state().view.said, "Closed; nothing had been typed.");
    assert_eq!(h.state().places.unsaved(), 0);
}

/// A work of which nobody is named as the composer begins with no comma.
#[test]
fn nobody_named_is_not_written() {
    let mut h = works();
    let now = library(&h);
    let mut work = (**now.works.values().next().expect("a work")).clone();
    work.composer.clear();
    h.state_mut().request(backrow::intent::Intent::Edit(backrow_core::edit::Edit::PutWork(work)));
    h.run();
    h.run();
    assert!(in_view(&h, |label| label.trim_start().starts_with(',')).is_none());
}

/// The works list, the lines of the chosen work, and what is assigned on them: joined by the choice, parted by the button.
#[test]
fn works_are_joined_and_parted() {
    use backrow_core::edit::Edit;
    use backrow_core::id::WorkId;
    let mut h = works();
    let first = library(&h).works.values().next().map(|work| (**work).clone()).expect("one");
    let id = WorkId::new("encore").expect("an id");
    let second = Work { id: id.clone(), title: "Encore".to_owned(), ..first.clone() };
    h.state_mut().history.make(&Edit::PutWork(second)).expect("made");
    h.state_mut().view.work = Some(first.id.clone());
    h.run();
    let movements = |h: &Harness<'_, App>| library(h).works[&first.id].movements.len();
    let before = movements(&h);
    h.get_by_label("Join another work").click();
    h.run();
    let label = format!("{}, Encore", first.composer);
    h.get_by_label(&label).click();
    h.run();
    assert_eq!(
        (movements(&h), library(&h).works.contains_key(&id)),
        (2 * before, false),
        "{}",
        h.state().view.said
    );
    // The last movement as a work of its own again; its button is there while the row is pointed at.
    let last = library(&h).works[&first.id].movements.last().expect("one").heading();
    let row = h.query_all_by_label_contains(&last).last().expect("its row").rect().center();
    h.hover_at(row);
    h.run();
    h.run();
    let label = format!("Make {last} a work of its own");
    h.query_all_by_label_contains(&label).last().expect("its button").click();
    h.run();
    assert_eq!((movements(&h), library(&h).works.len()), (2 * before - 1, 2), "{}", h.state().view.said);
    for _ in 0..2 {
        press(&mut h, Modifiers::COMMAND, Key::Z);
    }
    assert_eq!((movements(&h), library(&h).works.contains_key(&id)), (before, true), "undone step by step");
}
