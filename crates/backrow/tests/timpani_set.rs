//! A line of timpani on the demo's set: what Compass says of it, its plan in the panel, pins, Bar view, paper, and the disk.

mod window;

use backrow::app::App;
use backrow::settings::Settings;
use backrow::sheets::player_sheet;
use backrow::view::{Place, Selected};
use backrow_core::edit::{Edit, apply};
use backrow_core::evening::Evening;
use backrow_core::id::{InstrumentId, LineId, PlayerId, WorkId};
use backrow_core::library::Library;
use backrow_core::sets::line_plan;
use backrow_core::week::LineRef;
use backrow_print::player::Step;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use window::{harness, in_view};

fn line(work: &str, line: &str) -> LineRef {
    LineRef { work: WorkId::new(work).expect("an id"), line: LineId::new(line).expect("an id") }
}

fn copied() -> (tempfile::TempDir, std::path::PathBuf) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("the demo library");
    (folder, library)
}

fn at(library: &std::path::Path, place: Place, line: &LineRef) -> Harness<'static, App> {
    let mut h = harness(App::open(library, Settings { place, ..Settings::default() }, None));
    let now = h.state().history.now().clone();
    h.state_mut().view.turn_to_line(&now, line);
    h.state_mut().view.place = place;
    h.state_mut().view.selected = Some(Selected::Line(line.clone()));
    h.run();
    h
}

fn seen(h: &Harness<'_, App>, words: &str) -> bool {
    in_view(h, |label| label.replace(['\u{a0}', '\u{202f}'], " ").contains(words)).is_some()
}

#[test]
fn compass_knows_that_a_set_reaches_by_retuning() {
    let (_folder, library) = copied();
    let mut h = at(&library, Place::Compass, &line("salt", "i-timpani"));
    h.key_press(Key::R);
    h.run();
    assert!(seen(&h, "Timpani, pedal, reaches all 6, retuned 2×"), "{}", h.state().view.said);
    assert!(in_view(&h, |label| label.starts_with("Marimba 1,")).is_none(), "no drum");
    // The pair has but two drums.
    assert!(in_view(&h, |label| label.starts_with("Timpani, hand-screw pair,")).is_none());
}

#[test]
fn the_panel_shows_the_plan_and_a_pitch_can_be_kept_on_a_drum() {
    let (_folder, library) = copied();
    let line = line("salt", "i-timpani");
    let pins = |h: &Harness<'_, App>| {
        let app = h.state();
        app.view.programme_in(app.history.now()).expect("a programme").assignment(&line).drums
    };
    let mut h = at(&library, Place::Section, &line);
    assert!(seen(&h, "32 in D2, 29 in A2, 26 in D3, 23 in F3"));
    assert!(seen(&h, "mm. 66–121, in the rest"), "the retuning and its rest");
    assert!(seen(&h, "4 drums. Fewer drums are not enough"));
    h.get_by_label("Drum for D3").scroll_to_me();
    h.run();
    h.get_by_label("Drum for D3").click();
    h.run();
    h.get_by_label("stays on the 23 in").click();
    h.run();
    assert_eq!(pins(&h).iter().map(|pin| pin.drum.as_str()).collect::<Vec<_>>(), ["23 in"]);
    assert!(seen(&h, "26 in F3, 23 in D3"), "the plan follows");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert!(pins(&h).is_empty());
    h.key_press_modifiers(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z);
    h.run();
    let kept = h.state().history.now().clone();
    drop(h);
    let again = App::open(&library, Settings::default(), None);
    assert_eq!(*again.history.now(), kept, "the pin is on disk");
}

#[test]
fn bar_view_shows_the_drum_and_what_all_are_tuned_to() {
    let (_folder, library) = copied();
    let mut h = at(&library, Place::BarView, &line("salt", "i-timpani"));
    h.key_press(Key::ArrowRight);
    h.run();
    assert!(seen(&h, "32 in 1st of 4 drums from the left, range D2–A2"));
    assert!(seen(&h, "tuned now: 32 in D2, 29 in A2, 26 in D3, 23 in F3"));
}

fn demo() -> Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    backrow_files::library::open(&folder, &backrow_files::kinds::standard().expect("the kinds")).library
}

#[test]
fn every_line_of_timpani_of_the_demo_has_a_plan() {
    let library = demo();
    let mut count = 0;
    for (_, programme) in library.programmes() {
        for (at, given) in programme.lines() {
            let Some((_, line)) = library.line(at) else { continue };
            let Some(row) = line_plan(&library, line, given) else { continue };
            count += 1;
            assert!(row.facts().is_ok(), "{}/{}: {:?}", at.work, at.line, row.answer);
        }
    }
    assert!(count >= 10, "{count} lines of timpani");
}

#[test]
fn the_players_sheet_says_what_to_tune_and_when_to_retune() {
    let library = demo();
    let programme =
        library.programmes().map(|(_, p)| p).find(|p| p.id.as_str() == "tidelands").expect("tidelands");
    let sheet = player_sheet(&Evening::of(&library, programme), &PlayerId::new("sand").expect("an id"))
        .expect("a sheet");
    let notes: Vec<String> = sheet
        .works
        .iter()
        .flat_map(|work| &work.movements)
        .flat_map(|movement| &movement.steps)
        .filter_map(|step| if let Step::Play(station) = step { Some(station.note.clone()) } else { None })
        .map(|note| note.replace(['\u{a0}', '\u{202f}'], " "))
        .collect();
    let tuned = notes
        .iter()
        .find(|note| note.starts_with("Tune: 32 in drum D2; 29 in drum A2; 26 in drum D3; 23 in drum F3."));
    let tuned = tuned.unwrap_or_else(|| panic!("{notes:#?}"));
    assert!(tuned.contains("mm. 66–121: "), "{tuned}");
}

#[test]
fn too_few_drums_are_found_before_the_first_rehearsal() {
    let library = demo();
    let line = line("salt", "i-timpani");
    let programme = library.programmes().map(|(_, p)| p).find(|p| p.plays(&line.work)).expect("one");
    let pair = vec![InstrumentId::new("timpani-hand-screw-pair").expect("an id")];
    let edit =
        Edit::UseInstruments { programme: programme.id.clone(), line: line.clone(), instruments: pair };
    let next = apply(&library, &edit).expect("given");
    let programme = next.programme(&programme.id).expect("there").clone();
    let found = backrow_core::findings::check(&Evening::of(&next, &programme));
    let codes: Vec<&str> = found
        .iter()
        .filter(|f| f.about.contains(&backrow_core::findings::About::Line(line.clone())))
        .map(|f| f.rule.code())
        .collect();
    assert!(codes.contains(&"no-tuning") || codes.contains(&"lacks-notes"), "{codes:?}");
}
