//! The tuning bench, the register of bells and the log of care, by accessible label and by keyboard.

mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::Place;
use backrow_core::care::{Care, LogEntry, Work};
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use window::{harness, in_view, settle};

fn demo() -> Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    let kinds = backrow_files::kinds::standard().expect("the kinds table");
    backrow_files::library::open(&folder, &kinds).library
}

/// Collection on a library, with one of its tabs chosen.
fn on(library: Library, tab: &str) -> Harness<'static, App> {
    let app = App::on_library(library, Settings { place: Place::Collection, ..Settings::default() });
    let mut h = harness(app);
    h.get_by_role_and_label(egui::Role::Tab, tab).click();
    settle(&mut h);
    h
}

fn says(h: &Harness<'_, App>, words: &str) -> bool {
    in_view(h, |label| label.contains(words)).is_some()
}

fn care<'a>(h: &'a Harness<'_, App>, id: &str) -> Option<&'a Care> {
    h.state().history.now().care.get(&InstrumentId::new(id).expect("an id")).map(|care| &**care)
}

fn press(h: &mut Harness<'_, App>, words: &str) {
    h.query_all_by_label_contains(words).next().unwrap_or_else(|| panic!("no {words}")).click();
    settle(h);
}

/// Types into the field of that label, whoever had the focus before.
fn type_into(h: &mut Harness<'_, App>, role: egui::Role, label: &str, text: &str) {
    h.get_by_role_and_label(role, label).focus();
    h.run();
    h.get_by_role_and_label(role, label).type_text(text);
    settle(h);
}

#[test]
fn the_bench_shows_what_moved_and_what_is_for_the_tuner() {
    let mut h = on(demo(), "Tuning");
    press(&mut h, "Marimba 1");
    assert!(says(&h, "Curves of Marimba 1: 4 surveys"));
    assert!(says(&h, "moved alone: look for a loose cord, a crack"));
    assert!(says(&h, "For the tuner"));
    assert!(says(&h, "hair crack at the cord hole"));
    press(&mut h, "Vibraphone 1");
    press(&mut h, "24 Jun 2024");
    assert!(says(&h, "the temperature explains it"));
}

#[test]
fn a_survey_is_typed_saved_undone_and_told_where_it_is_wrong() {
    let mut h = on(demo(), "Tuning");
    press(&mut h, "Glockenspiel 2");
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    settle(&mut h);
    type_into(&mut h, egui::Role::MultilineTextInput, "Bars", "C6 1053.1\nA7 440");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    assert!(says(&h, "Bars, line 2: A7 has"), "the slip is told with its line");
    assert_eq!(h.state().places.unsaved(), 1);
    h.key_press(Key::Escape);
    settle(&mut h);
    h.key_press(Key::Escape);
    settle(&mut h);
    assert!(says(&h, "Draft, not saved: New survey of Glockenspiel 2"), "{}", h.state().view.said);
}

#[test]
fn a_survey_enters_the_library_and_undo_takes_it_out() {
    let mut h = on(demo(), "Tuning");
    press(&mut h, "Glockenspiel 2");
    press(&mut h, "Add a survey");
    type_into(&mut h, egui::Role::MultilineTextInput, "Bars", "C6 1053.1\nD6 +2.5");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    assert_eq!(care(&h, "glockenspiel-2").map(|care| care.surveys.len()), Some(1), "{}", h.state().view.said);
    assert!(says(&h, "Curves of Glockenspiel 2: 1 surveys"));
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert_eq!(care(&h, "glockenspiel-2").map(|care| care.surveys.len()), Some(0));
}

#[test]
fn the_register_walks_by_keys_and_names_what_the_lines_ask() {
    let mut h = on(demo(), "Bells");
    assert!(says(&h, "Bells can injure people"));
    for bell in ["Bell C5 of Cast bell C5", "Bell E5 of Cast bells", "Bell D6 of Cast bells, small"] {
        assert!(says(&h, bell), "{bell}");
    }
    h.key_press(Key::ArrowDown);
    settle(&mut h);
    assert!(says(&h, "Inscription: THE TIDE WAITS"), "the second from below is E5");
    h.key_press(Key::Delete);
    settle(&mut h);
    assert!(!says(&h, "Bell E5 of Cast bells"));
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert!(says(&h, "Bell E5 of Cast bells"));
}

#[test]
fn the_log_is_added_to_and_what_is_due_leads_there() {
    let mut h = on(demo(), "Care");
    assert!(says(&h, "Due over the whole collection"));
    assert!(says(&h, "in all") || says(&h, "In all"), "sums of value");
    press(&mut h, "Bass drum 1");
    let before = care(&h, "bass-drum-1").map_or(0, |care| care.log.len());
    press(&mut h, "Add to the log");
    type_into(&mut h, egui::Role::TextInput, "In words", "felts worn");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    let log: Vec<&LogEntry> = care(&h, "bass-drum-1").into_iter().flat_map(|care| &care.log).collect();
    assert_eq!(log.len(), before + 1, "{}", h.state().view.said);
    assert!(log.iter().any(|entry| entry.words == "felts worn" && entry.work == Work::Checked));
}

#[test]
fn empty_libraries_say_what_to_do() {
    for (tab, words) in
        [("Bells", "No bell in the register yet"), ("Tuning", "No survey yet"), ("Care", "Nothing is due")]
    {
        let h = on(backrow::sample::small(), tab);
        assert!(says(&h, words), "{tab}");
    }
}

#[test]
fn an_idle_bench_asks_for_no_more_frames() {
    for tab in ["Tuning", "Bells", "Care"] {
        let mut h = on(demo(), tab);
        h.run();
        assert!(!h.ctx.has_requested_repaint(), "{tab}");
    }
}

/// The demo on disk: its takes can be read.
fn on_disk(tab: &str) -> (tempfile::TempDir, Harness<'static, App>) {
    let folder = tempfile::tempdir().expect("made here");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    let mut h =
        harness(App::open(&library, Settings { place: Place::Collection, ..Settings::default() }, None));
    h.get_by_role_and_label(egui::Role::Tab, tab).click();
    settle(&mut h);
    (folder, h)
}

#[test]
fn a_bell_is_read_from_its_takes_into_the_register() {
    let (_folder, mut h) = on_disk("Bells");
    press(&mut h, "Bell C5 of Cast bell C5");
    assert!(says(&h, "Heard in its takes"));
    assert!(says(&h, "(made by a model): strike note"));
    assert!(says(&h, "attack"), "what each beater does is measured");
    press(&mut h, "Put them into the register");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    let bell = care(&h, "cast-bell-c5").and_then(|care| care.bells.first()).expect("in the register");
    assert!(bell.partials.0.len() >= 4, "{:?}", bell.partials);
    let (strike, _) = bell.strike(backrow_core::tuning::bell::Body::Cast).expect("a strike note");
    assert!((1200.0 * (strike / 523.25).log2()).abs() < 60.0, "{strike}");
}

#[test]
fn a_drum_is_clear_or_not_by_its_takes() {
    let (_folder, mut h) = on_disk("Tuning");
    type_into(&mut h, egui::Role::TextInput, "Filter the instruments", "Timpani, pedal");
    press(&mut h, "Timpani, pedal");
    press(&mut h, "Drums");
    press(&mut h, "Clear tone of");
    press(&mut h, "by-model: Timpani, pedal, A2");
    assert!(says(&h, "Clear:") || says(&h, "Not clear:"), "{}", h.state().view.said);
    press(&mut h, "Round the head");
    assert!(says(&h, "Lug 3 is tight"));
}
