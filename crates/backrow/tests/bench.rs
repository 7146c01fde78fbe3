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

/// Presses the first thing with those words, scrolled to where it can be seen.
fn press(h: &mut Harness<'_, App>, words: &str) {
    h.query_all_by_label_contains(words).next().unwrap_or_else(|| panic!("no {words}")).scroll_to_me();
    settle(h);
    h.query_all_by_label_contains(words).next().unwrap_or_else(|| panic!("no {words}")).click();
    settle(h);
}

/// Types into the field of that label, whoever had the focus before.
fn type_into(h: &mut Harness<'_, App>, role: egui::Role, label: &str, text: &str) {
    h.get_by_role_and_label(role, label).scroll_to_me();
    settle(h);
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

/// A take that lies in the library becomes a survey by the bars of its strikes, and says that a model made it.
#[test]
fn a_take_of_the_library_becomes_a_survey() {
    let (_folder, mut h) = on_disk("Tuning");
    press(&mut h, "Marimba 1");
    let before = care(&h, "marimba-1").map_or(0, |care| care.surveys.len());
    press(&mut h, "Survey from a recording");
    press(&mut h, "Survey from by-model: 9 bars, made by a model");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    let surveys = &care(&h, "marimba-1").expect("its care").surveys;
    assert_eq!(surveys.len(), before + 1, "{}", h.state().view.said);
    let made = surveys.iter().find(|survey| survey.remark.contains("made by a model")).expect("the new one");
    let bars: Vec<String> = made.readings.iter().map(|reading| reading.bar.to_string()).collect();
    assert_eq!(bars, ["C2", "G2", "D♯3", "A♯3", "F♯4", "C♯5", "A5", "E6", "C7"]);
    assert!(made.readings.iter().any(|reading| reading.second_hz.is_some()), "{made:?}");
    assert_eq!(made.how, "from a take");
}

/// The same by the path of a file: what was heard is looked at in the form before it is saved.
#[test]
fn a_recording_is_heard_into_a_survey() {
    let (folder, mut h) = on_disk("Tuning");
    press(&mut h, "Marimba 1");
    press(&mut h, "Survey from a recording");
    let path = folder.path().join("library/sounds/marimba-1/by-model.flac");
    type_into(&mut h, egui::Role::TextInput, "Its file", &path.display().to_string());
    press(&mut h, "Listen to it");
    assert!(says(&h, "New survey of Marimba 1"), "{}", h.state().view.said);
    assert!(says(&h, "C2 6"), "C2 at some 66 Hz stands among the bars");
    let before = care(&h, "marimba-1").map_or(0, |care| care.surveys.len());
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    assert_eq!(
        care(&h, "marimba-1").map(|care| care.surveys.len()),
        Some(before + 1),
        "{}",
        h.state().view.said
    );
}

#[test]
fn our_own_coefficient_is_saved_and_taken_back() {
    let mut h = on(demo(), "Tuning");
    press(&mut h, "Vibraphone 1");
    press(&mut h, "Temperature");
    let label = "Our own figure for aluminium, ppm a kelvin";
    h.get_by_role_and_label(egui::Role::SpinButton, label).scroll_to_me();
    settle(&mut h);
    h.get_by_role_and_label(egui::Role::SpinButton, label).click();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.get_by_role_and_label(egui::Role::SpinButton, label).type_text("-250");
    settle(&mut h);
    h.key_press(Key::Enter);
    settle(&mut h);
    press(&mut h, "Save as ours");
    let own = |h: &Harness<'_, App>| {
        h.state().history.now().orchestra.drifts.get(&backrow_core::collection::Material::Aluminium).copied()
    };
    assert_eq!(own(&h), Some(-250.0), "{}", h.state().view.said);
    assert!(says(&h, "-250, ours") || says(&h, "\u{2212}250, ours"));
    press(&mut h, "As in the table");
    assert_eq!(own(&h), None);
}

#[test]
fn our_own_figure_for_the_winds_is_saved_and_shown() {
    let mut h = on(demo(), "Tuning");
    press(&mut h, "Vibraphone 1");
    press(&mut h, "Temperature");
    assert!(says(&h, "Winds: 2.95 cents a kelvin. By the speed of sound"), "600 log2(294.15 / 293.15)");
    let label = "Our own figure for the winds, cents a kelvin";
    h.get_by_role_and_label(egui::Role::SpinButton, label).scroll_to_me();
    settle(&mut h);
    h.get_by_role_and_label(egui::Role::SpinButton, label).click();
    h.run();
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.get_by_role_and_label(egui::Role::SpinButton, label).type_text("2");
    settle(&mut h);
    h.key_press(Key::Enter);
    settle(&mut h);
    press(&mut h, "Save for our winds");
    let own = |h: &Harness<'_, App>| h.state().history.now().orchestra.winds_cents_k;
    assert_eq!(own(&h), Some(2.0), "{}", h.state().view.said);
    assert!(says(&h, "Winds: 2.00 cents a kelvin, ours."));
    h.get_by_role_and_label(egui::Role::Button, "As published").scroll_to_me();
    settle(&mut h);
    h.get_by_role_and_label(egui::Role::Button, "As published").click();
    settle(&mut h);
    assert_eq!(own(&h), None);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert_eq!(own(&h), Some(2.0));
}

#[test]
fn resonators_are_worked_out_for_every_bar() {
    let mut h = on(demo(), "Tuning");
    press(&mut h, "Vibraphone 1");
    press(&mut h, "Resonators");
    assert!(says(&h, "cents from its bar"));
    for bar in ["C3", "F♯4", "C7"] {
        assert!(in_view(&h, |label| label == bar).is_some(), "{bar}");
    }
    assert!(!says(&h, "set them here to try"));
    press(&mut h, "Xylophone 1");
    assert!(
        says(&h, "set them here to try") && says(&h, "cents from its bar"),
        "it is worked out all the same"
    );
}

#[test]
fn readings_of_a_store_are_added_and_cautioned_about() {
    let mut h = on(demo(), "Care");
    press(&mut h, "Add readings of Room 2");
    type_into(
        &mut h,
        egui::Role::MultilineTextInput,
        "Readings to add",
        "2028-01-05 8:00 16.5 28\n2028-01-05 20:00 17 29",
    );
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    let room = backrow_core::id::PlaceId::new("room-2").expect("an id");
    let air =
        h.state().history.now().places[&room].air.iter().max_by_key(|day| day.on).copied().expect("a day");
    assert_eq!(
        (air.celsius, air.humidity),
        (Some((16.5, 17.0)), Some((28.0, 29.0))),
        "{}",
        h.state().view.said
    );
    assert!(says(&h, "Room 2 is too dry for"));
    press(&mut h, "Formulas and sources");
    assert!(says(&h, "Air of the stores: the least and the most of each day"));
}

/// A tube in the register has modes and no weight by a cast bell's note.
#[test]
fn a_tube_enters_the_register_as_a_tube() {
    let mut h = on(demo(), "Bells");
    press(&mut h, "Add a bell of");
    press(&mut h, "Tubular bells 1");
    type_into(&mut h, egui::Role::MultilineTextInput, "Partials, Hz", "1046.3, 1563, 2183");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Enter);
    settle(&mut h);
    let bell =
        care(&h, "tubular-bells-1").and_then(|care| care.bells.first()).expect("in the register").clone();
    assert_eq!(bell.partials.0.len(), 3, "{}", h.state().view.said);
    press(&mut h, &format!("Bell {} of Tubular bells 1", bell.key));
    assert!(says(&h, "by its mode 4") && says(&h, "cents from an ideal tube"));
    assert!(
        !says(&h, "a cast bell weighs")
            && says(&h, "the note goes by it")
            && says(&h, "no other of this sort has it measured")
    );
    press(&mut h, "Bell E5 of Cast bells");
    assert!(says(&h, "cents from the just pattern") && says(&h, "in the middle of"));
}

#[test]
fn works_beyond_the_programme_say_what_bells_they_ask_for() {
    let mut h = on(demo(), "Bells");
    let of_line = |h: &Harness<'_, App>| h.query_all_by_label_contains(" written").count();
    let before = of_line(&h);
    press(&mut h, "Other works with bells");
    press(&mut h, "Mass for a Drowned Belfry");
    assert!(of_line(&h) > before, "its notes are listed");
}

#[test]
fn every_drum_of_the_evening_has_its_hertz() {
    let mut h = on(demo(), "Tuning");
    type_into(&mut h, egui::Role::TextInput, "Filter the instruments", "Timpani, pedal");
    press(&mut h, "Timpani, pedal");
    let programme = h.state().view.programme_in(h.state().history.now()).expect("a programme").title.clone();
    assert!(says(&h, &format!("Timpani in {programme}")));
    assert!(says(&h, "Hz with risen winds") && says(&h, "start"));
}

#[test]
fn two_keyboards_stand_beside_each_other() {
    let mut h = on(demo(), "Tuning");
    press(&mut h, "Marimba 1");
    press(&mut h, "The programme’s instruments at the concert");
    assert!(says(&h, "beats a second at the top"));
    press(&mut h, " beside Marimba 1");
    assert!(says(&h, "cents between them"));
}

/// What the demo is to show: surveys of three keyboards over six years, nine bells, and a season's log.
#[test]
fn the_demo_has_six_years_of_surveys_and_nine_bells() {
    let library = demo();
    let years = |care: &Care| {
        let days = care.surveys.iter().map(|survey| survey.on);
        days.clone().max().zip(days.min()).map_or(0, |(last, first)| {
            let full = (last.month(), last.day()) >= (first.month(), first.day());
            last.year() - first.year() - i16::from(!full)
        })
    };
    let long: Vec<&str> =
        library.care.values().filter(|care| years(care) >= 6).map(|care| care.instrument.as_str()).collect();
    assert_eq!(long, ["glockenspiel-1", "marimba-1", "vibraphone-1"]);
    assert_eq!(library.care.values().map(|care| care.bells.len()).sum::<usize>(), 9);
    assert!(library.care.values().map(|care| care.log.len()).sum::<usize>() >= 20);
}
