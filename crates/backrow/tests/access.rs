//! Every control of every place and dialog has a name for those who do not see it, and those that hold something a value.

mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::settings::Settings;
use backrow::view::{Over, Place, Selected};
use egui::{Key, Modifiers, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use rstest::rstest;
use window::{harness, settle};

const NAMED: [Role; 9] = [
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
            let holds = matches!(role, Role::ComboBox);
            if holds && node.value().is_none_or(|value| value.is_empty()) {
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

#[rstest]
#[case(Over::Question)]
#[case(Over::KeyMap)]
#[case(Over::Guide)]
#[case(Over::Sheets)]
#[case(Over::Finder)]
#[case(Over::Welcome)]
#[case(Over::Leaving)]
#[case(Over::Proposing)]
#[case(Over::Remembering)]
#[case(Over::Comparing)]
#[case(Over::Recording)]
fn every_dialog_says_what_its_controls_are(#[case] over: Over) {
    let mut h = demo(Place::Section);
    match over {
        Over::Question => h.key_press_modifiers(Modifiers::COMMAND, Key::O),
        Over::KeyMap => h.key_press(Key::F1),
        Over::Guide => h.key_press_modifiers(Modifiers::COMMAND, Key::F1),
        Over::Sheets => h.key_press_modifiers(Modifiers::COMMAND, Key::P),
        Over::Finder => h.key_press_modifiers(Modifiers::COMMAND, Key::K),
        Over::Welcome => h.state_mut().welcome(),
        Over::Leaving => h.state_mut().shell.leaving = Some(backrow::intent::Leaving::Quit),
        Over::Recording => {
            let id = backrow_core::id::InstrumentId::new("anvil-1").expect("in the demo");
            h.state_mut().request(Intent::Sound(backrow::sound::Wish::Record(id)));
        }
        Over::Proposing => h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::P),
        Over::Remembering => {
            let app = h.state_mut();
            let now = app.history.now().clone();
            let programme = app.view.programme_in(&now).expect("made here");
            let at = programme.lines().next().expect("made here").0.clone();
            app.view.turn_to_line(&now, &at);
            h.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::T);
        }
        Over::Comparing => {
            let trial = h.state().history.now().works.values().find_map(|work| {
                let trial = work.memory.trials.iter().find(|trial| trial.how.needs_takes())?;
                Some((work.id.clone(), trial.id.clone()))
            });
            let (work, trial) = trial.expect("in the demo");
            h.state_mut().request(Intent::Remember(backrow::intent::Remember::Listen(work, trial)));
        }
        Over::Importing | Over::Versions | Over::Earlier => {}
    }
    h.run();
    h.run();
    assert_eq!(h.state().shell.over(), Some(over));
    assert_eq!(faults(&h), [] as [String; 0]);
}

#[test]
fn every_form_of_the_collection_says_what_its_controls_are() {
    for tab in ["Instruments", "Beaters", "Players", "Places"] {
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
