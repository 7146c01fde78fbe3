//! An instrument is assigned to a line from wherever one is: another kind needs a word, and nothing is replaced unsaid.

#![expect(clippy::unwrap_used, reason = "a test helper that fails is a failed test")]

mod window;

use backrow::app::App;
use backrow::intent::{Intent, PlayOn};
use backrow::settings::Settings;
use backrow::view::{Carried, Over, Place, Selected};
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::week::LineRef;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use rstest::rstest;
use window::{click_at, harness, in_view, settle};

fn at(place: Place) -> Harness<'static, App> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    let library = backrow_files::library::open(&folder, &backrow_files::kinds::standard().unwrap()).library;
    harness(App::on_library(library, Settings { place, ..Settings::default() }))
}

/// A pitched line for bars that has one instrument, with that; another one of its kind; and a keyboard of another kind that reaches
/// every note.
struct Case {
    line: LineRef,
    has: InstrumentId,
    same: InstrumentId,
    other: InstrumentId,
}

fn case(h: &Harness<'_, App>) -> Case {
    let now = h.state().history.now();
    let programme = h.state().view.programme_in(now).unwrap();
    let found = programme.lines().find_map(|(at, given)| {
        let (_, line) = now.line(at)?;
        let kind = line.kind.as_ref().filter(|_| line.is_pitched())?;
        let [has] = given.instruments.as_slice() else { return None };
        let reaches = |id: &&InstrumentId| {
            let asks = line.sounding();
            now.instruments[*id].compass().intersection(asks) == asks
        };
        let of = |same: bool| {
            let ids = now.instruments.keys().filter(|id| *id != has);
            ids.filter(|id| (now.instruments[*id].kind == *kind) == same).find(reaches).cloned()
        };
        Some(Case { line: at.clone(), has: has.clone(), same: of(true)?, other: of(false)? })
    });
    found.expect("in the demo")
}

fn plays(library: &Library, h: &Harness<'_, App>, line: &LineRef) -> Vec<InstrumentId> {
    h.state().view.programme_in(library).unwrap().assignment(line).instruments
}

fn turn(h: &mut Harness<'_, App>, line: &LineRef) {
    let now = h.state().history.now().clone();
    h.state_mut().view.turn_to_line(&now, line);
    settle(h);
}

/// From Compass by keys, and by what every drag, card and button asks for.
#[rstest]
#[case(Place::Compass, true, Modifiers::NONE)]
#[case(Place::Compass, true, Modifiers::ALT)]
#[case(Place::Section, false, Modifiers::NONE)]
#[case(Place::Sounds, false, Modifiers::NONE)]
fn another_kind_needs_a_word(#[case] place: Place, #[case] keys: bool, #[case] with: Modifiers) {
    let mut h = at(place);
    let of = case(&h);
    turn(&mut h, &of.line);
    let before = h.state().history.now().clone();
    let ask = |h: &mut Harness<'_, App>| {
        if keys {
            h.state_mut().view.in_hand = Some(Carried::Instrument(of.other.clone()));
            h.run();
            h.key_press_modifiers(with, Key::Enter);
        } else {
            let (line, instrument) = (of.line.clone(), of.other.clone());
            h.state_mut().request(Intent::PlayOn(PlayOn { line, instrument, beside: false }));
        }
        h.run();
        h.run();
    };
    ask(&mut h);
    assert_eq!(h.state().shell.over(), Some(Over::OtherKind), "{}", h.state().view.said);
    assert_eq!(*h.state().history.now(), before, "nothing is done yet");
    assert!(in_view(&h, |words| words.contains(" instead of ")).is_some());
    h.key_press(Key::Escape);
    h.run();
    assert_eq!((h.state().shell.over(), h.state().history.now().clone()), (None, before.clone()));
    // The answer has the focus.
    ask(&mut h);
    h.key_press(Key::Enter);
    settle(&mut h);
    assert_eq!(plays(h.state().history.now(), &h, &of.line), std::slice::from_ref(&of.other));
    assert!(h.state().view.said.contains(", in place of "), "{}", h.state().view.said);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert_eq!(plays(h.state().history.now(), &h, &of.line), std::slice::from_ref(&of.has));
}

#[test]
fn another_kind_comes_beside_where_that_is_asked_for_and_the_panel_says_so() {
    let mut h = at(Place::Section);
    let of = case(&h);
    turn(&mut h, &of.line);
    h.state_mut().request(Intent::PlayOn(PlayOn {
        line: of.line.clone(),
        instrument: of.other.clone(),
        beside: false,
    }));
    settle(&mut h);
    h.get_by_label("Assign beside what it has").click();
    settle(&mut h);
    let now = h.state().history.now().clone();
    assert_eq!(plays(&now, &h, &of.line), [of.has.clone(), of.other.clone()]);
    let asked = now.line(&of.line).unwrap().1.kind.clone().unwrap();
    let words = now.instead_words(&asked, &now.instruments[&of.other].kind).unwrap();
    h.state_mut().request(Intent::Line(of.line.clone()));
    h.state_mut().request(Intent::Select(Some(Selected::Line(of.line.clone()))));
    settle(&mut h);
    assert!(in_view(&h, |label| label == words).is_some(), "{words}");
}

#[test]
fn the_panel_says_what_is_replaced_before_it_is() {
    let mut h = at(Place::Collection);
    let of = case(&h);
    turn(&mut h, &of.line);
    h.state_mut().view.selected = Some(Selected::Instrument(of.same.clone()));
    settle(&mut h);
    let name = h.state().history.now().instrument_name(&of.has);
    let says = format!("The line has {name} now; this would take its place.");
    assert!(in_view(&h, |label| label == says).is_some(), "{says}");
    let button = in_view(&h, |label| label.starts_with("Assign to ")).expect("the button");
    click_at(&mut h, button);
    let now = h.state().history.now().clone();
    assert_eq!(plays(&now, &h, &of.line), std::slice::from_ref(&of.same));
    assert!(h.state().view.said.contains(&format!(", in place of {name}")), "{}", h.state().view.said);
    assert!(in_view(&h, |label| label == says).is_none(), "it has nothing to replace now");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut h);
    assert_eq!(plays(h.state().history.now(), &h, &of.line), std::slice::from_ref(&of.has));
}

#[test]
fn an_empty_floor_leads_to_places_that_are_proposed() {
    let mut h = at(Place::Floor);
    let now = h.state().history.now().clone();
    let programme = h.state().view.programme_in(&now).unwrap().clone();
    let week = now.week_of(&programme.id).unwrap().id.clone();
    let mut clear = programme.clone();
    clear.setup = backrow_core::week::Setup::default();
    let clear = backrow_core::edit::Edit::PutProgramme { week, programme: clear };
    h.state_mut().request(Intent::Edit(clear));
    settle(&mut h);
    assert!(in_view(&h, |label| label.contains("Nothing stands on the floor yet")).is_some());
    let fix = in_view(&h, |label| label == "Propose places on Floor").expect("the finding's button");
    click_at(&mut h, fix);
    assert!(h.state().view.said.starts_with("Nothing is placed yet: accept"), "{}", h.state().view.said);
}
