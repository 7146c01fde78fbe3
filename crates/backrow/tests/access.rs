//! Every control of every place and dialog has a name for those who do not see it, and those that hold something a value.

#[path = "window/over.rs"]
mod over;
mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::{Over, Place, Selected};
use egui::{Key, Modifiers, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use over::{open, room};
use rstest::rstest;
use window::{harness, settle};

const NAMED: [Role; 13] = [
    Role::Link,
    Role::Slider,
    Role::Row,
    Role::ListItem,
    Role::Button,
    Role::CheckBox,
    Role::RadioButton,
    Role::ComboBox,
    Role::TextInput,
    Role::MultilineTextInput,
    Role::SearchInput,
    Role::SpinButton,
    Role::Tab,
];

/// What is wrong with the controls that are shown.
fn faults(h: &Harness<'_, App>) -> Vec<String> {
    let mut found = Vec::new();
    for role in NAMED {
        for node in h.query_all_by_role(role) {
            let (rect, node) = (node.rect(), node.accesskit_node());
            let label = node.label().unwrap_or_default();
            if label.trim().is_empty() {
                found.push(format!("a {role:?} without a name at {rect:?}"));
            }
            let says = node.value().is_some_and(|value| !value.is_empty());
            let holds = match role {
                Role::ComboBox => says,
                Role::SpinButton | Role::Slider => says || node.numeric_value().is_some(),
                Role::CheckBox | Role::RadioButton => {
                    node.toggled().is_some() || node.is_selected().is_some()
                }
                _ => true,
            };
            if !holds {
                found.push(format!("{role:?} {label} without a value"));
            }
        }
    }
    found
}

fn demo(place: Place) -> Harness<'static, App> {
    let folder = tempfile::tempdir().expect("made here");
    let library = folder.path().join("library");
    backrow_files::library::copy_demo(&library).expect("made here");
    let opened = App::open(&library, Settings::default(), None).history.now().clone();
    let mut h = harness(App::on_library(opened, Settings { place, ..Settings::default() }));
    settle(&mut h);
    h
}

#[rstest]
fn every_place_says_what_its_controls_are(
    #[values(
        Place::Section,
        Place::Compass,
        Place::Floor,
        Place::BarView,
        Place::Week,
        Place::Season,
        Place::Works,
        Place::Collection,
        Place::Sounds
    )]
    place: Place,
) {
    let mut h = demo(place);
    assert_eq!(faults(&h), [] as [String; 0], "{place:?}");
    let app = h.state_mut();
    let now = app.history.now().clone();
    let programme = app.view.programme_in(&now).expect("made here");
    let line = programme.lines().next().expect("made here").0.clone();
    let thing = now.instruments.keys().next().expect("made here").clone();
    let player = now.players.keys().next().expect("made here").clone();
    for selected in [Selected::Line(line), Selected::Instrument(thing), Selected::Player(player)] {
        h.state_mut().view.selected = Some(selected);
        settle(&mut h);
        assert_eq!(faults(&h), [] as [String; 0], "{place:?}");
    }
    let mut h = harness(App::on_library(backrow::sample::empty(), Settings { place, ..Settings::default() }));
    settle(&mut h);
    assert_eq!(faults(&h), [] as [String; 0], "{place:?}, empty");
}

/// The match of `over::open` has no arm for the rest, so that a new dialog does not compile without a way to open it; this list is
/// held against it by [`all_dialogs_are_tried`].
const DIALOGS: [Over; 15] = [
    Over::Question,
    Over::Welcome,
    Over::Importing,
    Over::Leaving,
    Over::Earlier,
    Over::Versions,
    Over::Sheets,
    Over::Recording,
    Over::Proposing,
    Over::Remembering,
    Over::Guide,
    Over::Comparing,
    Over::KeyMap,
    Over::Finder,
    Over::OtherKind,
];

#[test]
fn all_dialogs_are_tried() {
    // Its arms are counted by the compiler: a new one asks for its place in the list.
    let nth = |over: Over| match over {
        Over::Question => 0,
        Over::Welcome => 1,
        Over::Importing => 2,
        Over::Leaving => 3,
        Over::Earlier => 4,
        Over::Versions => 5,
        Over::Sheets => 6,
        Over::Recording => 7,
        Over::Proposing => 8,
        Over::Remembering => 9,
        Over::Guide => 10,
        Over::Comparing => 11,
        Over::KeyMap => 12,
        Over::Finder => 13,
        Over::OtherKind => 14,
    };
    assert!(DIALOGS.into_iter().enumerate().all(|(at, over)| nth(over) == at));
}

#[rstest]
fn every_dialog_says_what_its_controls_are(
    #[values(0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14)] nth: usize,
) {
    let mut room = room(Place::Section);
    open(&mut room, DIALOGS[nth]);
    settle(&mut room.h);
    assert_eq!(faults(&room.h), [] as [String; 0], "{:?}", DIALOGS[nth]);
}

#[test]
fn every_question_for_a_path_and_every_table_says_what_its_controls_are() {
    const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
    for (modifiers, key) in [
        (Modifiers::COMMAND, Key::R),
        (CTRL_SHIFT, Key::O),
        (CTRL_SHIFT, Key::E),
        (CTRL_SHIFT, Key::S),
        (CTRL_SHIFT, Key::I),
        (CTRL_SHIFT, Key::D),
        (CTRL_SHIFT, Key::Y),
    ] {
        let mut room = room(Place::Section);
        room.h.key_press_modifiers(modifiers, key);
        room.h.run();
        room.h.run();
        assert_eq!(room.h.state().shell.over(), Some(Over::Question), "{key:?}");
        assert_eq!(faults(&room.h), [] as [String; 0], "{key:?}");
    }
    let mut room = room(Place::Collection);
    let table = room.library.join("tables/new-instruments.csv");
    room.h.state_mut().request(Intent::ImportTable(table));
    settle(&mut room.h);
    assert_eq!(room.h.state().shell.over(), Some(Over::Importing), "{}", room.h.state().view.said);
    assert_eq!(faults(&room.h), [] as [String; 0]);
}

/// What a place opens within itself: boards, forms, reviews, by the keys and buttons that open them.
#[test]
fn what_opens_within_a_place_says_what_its_controls_are() {
    let press = |h: &mut Harness<'static, App>, modifiers: Modifiers, key: Key| {
        h.key_press_modifiers(modifiers, key);
        settle(h);
        assert_eq!(faults(h), [] as [String; 0], "after {key:?} in {:?}", h.state().view.place);
    };
    let mut floor = demo(Place::Floor);
    press(&mut floor, Modifiers::NONE, Key::C);
    press(&mut floor, Modifiers::NONE, Key::L);
    press(&mut floor, Modifiers::NONE, Key::P);
    press(&mut floor, Modifiers::NONE, Key::Escape);
    press(&mut floor, Modifiers::NONE, Key::V);
    assert_eq!(floor.query_all_by_label("Add a riser").count(), 1, "the drawing board");
    for part in ["Add a riser", "Add an area not to enter", "Add a way in"] {
        floor.get_by_label(part).click();
        settle(&mut floor);
        assert_eq!(faults(&floor), [] as [String; 0], "{part}");
    }
    let stated = "The venue states its load, kN/m²";
    floor.get_by_label("Add a riser").click();
    settle(&mut floor);
    floor.get_by_label(stated).click();
    settle(&mut floor);
    assert_eq!(faults(&floor), [] as [String; 0], "{stated}");
    let mut section = demo(Place::Section);
    for key in [Key::S, Key::W, Key::M, Key::G] {
        press(&mut section, Modifiers::NONE, key);
        press(&mut section, Modifiers::NONE, Key::Escape);
    }
    let mut week = demo(Place::Week);
    press(&mut week, Modifiers::COMMAND, Key::N);
    for tab in ["Programme and works", "Hires and loans"] {
        let mut week = demo(Place::Week);
        week.get_by_label(tab).click();
        settle(&mut week);
        assert_eq!(faults(&week), [] as [String; 0], "{tab}");
        press(&mut week, Modifiers::COMMAND, Key::N);
    }
    let mut works = demo(Place::Works);
    press(&mut works, Modifiers::COMMAND, Key::E);
    press(&mut works, Modifiers::NONE, Key::Escape);
    press(&mut works, Modifiers::COMMAND, Key::N);
    let mut compass = demo(Place::Compass);
    press(&mut compass, Modifiers::NONE, Key::C);
}

#[test]
fn every_form_of_the_collection_says_what_its_controls_are() {
    for tab in ["Instruments", "Beaters", "Players", "Stores", "Tuning", "Care"] {
        let mut h = demo(Place::Collection);
        h.get_by_role_and_label(Role::Tab, tab).click();
        h.run();
        h.key_press_modifiers(Modifiers::COMMAND, Key::N);
        h.run();
        assert!(h.state().places.collection.has_form(), "{tab}");
        assert_eq!(faults(&h), [] as [String; 0], "{tab}");
    }
}

#[test]
fn the_form_of_a_bell_and_the_orchestra_say_what_their_controls_are() {
    let mut h = demo(Place::Collection);
    h.get_by_role_and_label(Role::Tab, "Orchestra").click();
    h.run();
    assert_eq!(faults(&h), [] as [String; 0], "Orchestra");
    h.get_by_role_and_label(Role::Tab, "Bells").click();
    settle(&mut h);
    assert_eq!(faults(&h), [] as [String; 0], "Bells");
    h.query_all_by_role(Role::Button)
        .find(|button| button.accesskit_node().label().is_some_and(|label| label.contains("bell …")))
        .expect("the way to a form")
        .click();
    settle(&mut h);
    assert!(h.state().places.collection.has_form());
    assert_eq!(faults(&h), [] as [String; 0], "the form of a bell");
}

#[test]
fn tab_leads_from_the_strip_over_the_rail_into_the_place() {
    let mut h = demo(Place::Week);
    let mut met: Vec<String> = Vec::new();
    for _ in 0..60 {
        h.key_press(Key::Tab);
        h.run();
        let focused = h.ctx.memory(egui::Memory::focused);
        assert!(focused.is_some(), "the focus is lost after {met:?}");
        let name = h
            .query_all(
                egui_kittest::kittest::by().predicate(|node| node.is_focused() && node.label().is_some()),
            )
            .next();
        met.extend(name.and_then(|node| node.accesskit_node().label()));
    }
    for wanted in ["Find or do", "Place Floor", "Services"] {
        assert!(met.iter().any(|name| name.starts_with(wanted)), "{wanted} is not reached: {met:?}");
    }
}

#[test]
fn a_finding_and_the_counts_of_the_rail_are_in_the_tree() {
    let mut h = demo(Place::Floor);
    h.state_mut().request(Intent::Go(Place::Floor));
    settle(&mut h);
    // Findings are worked out beside the frame.
    let mut rail = None;
    for _ in 0..3_000 {
        h.run();
        rail = h.get_by_label("Place Floor").accesskit_node().value();
        if rail.is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    assert!(rail.is_some_and(|value| value.chars().any(|c| c.is_ascii_digit())), "how many were found");
}

/// The programme's menu and every drop-down of every place, one after the other.
#[rstest]
fn menus_and_drop_downs_say_what_their_controls_are(
    #[values(
        Place::Section,
        Place::Compass,
        Place::Floor,
        Place::Week,
        Place::Works,
        Place::Collection,
        Place::Sounds
    )]
    place: Place,
) {
    let mut h = demo(place);
    let menu = h.query_all_by_label_contains("Programme ").next().expect("the programme's menu");
    menu.click();
    settle(&mut h);
    assert!(egui::Popup::is_any_open(&h.ctx), "the menu is open");
    assert_eq!(faults(&h), [] as [String; 0], "the programme's menu in {place:?}");
    h.key_press(Key::Escape);
    settle(&mut h);
    let count = h.query_all_by_role(Role::ComboBox).count();
    for nth in 0..count {
        let Some(combo) = h.query_all_by_role(Role::ComboBox).nth(nth) else { break };
        let name = combo.accesskit_node().label().unwrap_or_default();
        combo.click();
        settle(&mut h);
        assert_eq!(faults(&h), [] as [String; 0], "{name} in {place:?}");
        h.key_press(Key::Escape);
        settle(&mut h);
        assert!(!egui::Popup::is_any_open(&h.ctx), "Esc closes {name} in {place:?}");
    }
}
