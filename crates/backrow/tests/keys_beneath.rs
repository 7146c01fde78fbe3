//! While something lies over the places, no key reaches what is beneath: nothing is removed, locked or given unseen.

#[path = "window/over.rs"]
mod over;
mod window;

use backrow::app::App;
use backrow::view::{Over, Place};
use backrow_core::id::PlayerId;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use over::{open, room};
use rstest::rstest;
use window::in_view;

/// Presses every key that changes something in one of the places.
fn press_all(h: &mut Harness<'_, App>) {
    let digits = [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8];
    for key in [Key::Delete, Key::P, Key::T, Key::S].into_iter().chain(digits) {
        h.key_press(key);
        h.run();
    }
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
}

#[rstest]
fn nothing_beneath_changes(
    #[values(
        Over::Question,
        Over::OtherKind,
        Over::Welcome,
        Over::Importing,
        Over::Leaving,
        Over::Earlier,
        Over::Versions,
        Over::KeyMap,
        Over::Guide,
        Over::Sheets,
        Over::Recording,
        Over::Proposing,
        Over::Remembering,
        Over::Comparing,
        Over::Finder
    )]
    over: Over,
    #[values(Place::Section, Place::Week, Place::Floor, Place::Collection)] place: Place,
) {
    let mut room = room(place);
    open(&mut room, over);
    let before = room.h.state().history.now().clone();
    press_all(&mut room.h);
    assert_eq!(*room.h.state().history.now(), before, "{}", room.h.state().view.said);
}

/// The same keys do act where nothing lies over the place, or the test above would prove nothing.
#[rstest]
#[case(Place::Section)]
#[case(Place::Week)]
#[case(Place::Floor)]
#[case(Place::Collection)]
fn without_anything_over_it_the_place_acts(#[case] place: Place) {
    let mut room = room(place);
    let before = room.h.state().history.now().clone();
    room.h.key_press(Key::Delete);
    room.h.run();
    assert_ne!(*room.h.state().history.now(), before, "{}", room.h.state().view.said);
}

#[test]
fn an_open_menu_has_the_keys_and_esc_closes_only_the_menu() {
    let mut room = room(Place::Collection);
    let h = &mut room.h;
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    assert!(h.state().places.collection.has_form());
    let before = h.state().history.now().clone();
    let menu = in_view(h, |label| label.starts_with("Programme ")).expect("the programme's button");
    h.drag_at(menu);
    h.drop_at(menu);
    h.run();
    assert!(egui::Popup::is_any_open(&h.ctx), "the menu is open");
    h.key_press(Key::Delete);
    h.run();
    assert_eq!(*h.state().history.now(), before);
    h.key_press(Key::Escape);
    h.run();
    assert!(!egui::Popup::is_any_open(&h.ctx), "closed");
    assert!(h.state().places.collection.has_form(), "the form stays: {}", h.state().view.said);
}

#[test]
fn a_field_that_is_typed_in_has_the_keys() {
    let mut room = room(Place::Section);
    let player: Vec<Option<PlayerId>> = players(room.h.state());
    open(&mut room, Over::Finder);
    room.h.key_press(Key::Num3);
    room.h.run();
    assert_eq!(players(room.h.state()), player);
}

fn players(app: &App) -> Vec<Option<PlayerId>> {
    let programme = app.view.programme_in(app.history.now()).expect("made here");
    programme.lines().map(|(_, given)| given.player.clone()).collect()
}

/// Undo and redo belong to the drawing board while one is open; the library behind it stays as it is.
#[test]
fn undo_on_the_drawing_board_leaves_the_library_alone() {
    let mut room = room(Place::Floor);
    let h = &mut room.h;
    h.key_press(Key::Delete);
    h.run();
    let changed = h.state().history.now().clone();
    h.key_press(Key::V);
    h.run();
    h.get_by_label("Add a riser").click();
    h.run();
    assert!(h.query_by_label("Remove this part").is_some(), "the riser is current");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert_eq!(h.state().view.said, "Undone here.");
    assert!(h.query_by_label("Remove this part").is_none(), "the riser is undone");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert_eq!(h.state().view.said, "There is nothing more to undo here.");
    h.key_press_modifiers(Modifiers::COMMAND, Key::Y);
    h.run();
    assert_eq!(h.state().view.said, "Redone here.");
    assert_eq!(*h.state().history.now(), changed, "the library behind the board is as it was");
}

#[test]
fn redo_has_two_keys() {
    let mut room = room(Place::Section);
    let h = &mut room.h;
    h.key_press(Key::Delete);
    h.run();
    let after = h.state().history.now().clone();
    h.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    h.run();
    assert_ne!(*h.state().history.now(), after);
    h.key_press_modifiers(Modifiers::COMMAND, Key::Y);
    h.run();
    assert_eq!(*h.state().history.now(), after);
}

#[test]
fn the_keyboard_map_fills_the_window_and_is_searched() {
    let mut room = room(Place::Week);
    let h = &mut room.h;
    open_map(h);
    assert!(h.query_by_label("Quit").is_some());
    let height = h.ctx.content_rect().height();
    let lowest = h.query_all_by_role(egui::Role::Label).map(|node| node.rect().bottom()).fold(0.0, f32::max);
    assert!(lowest > 0.7 * height, "it uses the height of the window: {lowest} of {height}");
    h.get_by_label("Find a key").type_text("movement");
    h.run();
    assert!(h.query_by_label("Next movement").is_some());
    assert!(h.query_by_label("Quit").is_none(), "left out by what was typed");
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(h.state().shell.over(), None);
}

fn open_map(h: &mut Harness<'_, App>) {
    h.key_press(Key::F1);
    h.run();
    assert_eq!(h.state().shell.over(), Some(Over::KeyMap));
}

/// Letters, digits and Space that do something in a place do nothing there while a field has the keyboard.
#[rstest]
fn keys_typed_in_fields_are_never_commands(
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
    use egui_kittest::kittest::NodeT;
    let mut room = room(place);
    let h = &mut room.h;
    window::settle(h);
    let state = |h: &Harness<'_, App>| {
        let (view, now) = (&h.state().view, h.state().history.now());
        let programme = view.programme_in(now).expect("current").clone();
        let lines: Vec<_> = programme.lines().map(|(at, given)| (at.clone(), given.clone())).collect();
        (view.place, view.selected.clone(), view.in_hand.clone(), lines, programme.setup.clone())
    };
    let roles = [egui::Role::TextInput, egui::Role::SearchInput, egui::Role::MultilineTextInput];
    let fields = |h: &Harness<'_, App>| -> Vec<String> {
        let all = roles.into_iter().flat_map(|role| h.query_all_by_role(role).collect::<Vec<_>>());
        all.filter_map(|field| field.accesskit_node().label()).collect()
    };
    let names = fields(h);
    assert!(!names.is_empty(), "the field that finds is always there");
    for name in names {
        let all = roles.into_iter().flat_map(|role| h.query_all_by_role(role).collect::<Vec<_>>());
        let named = |field: &egui_kittest::Node<'_>| field.accesskit_node().label().as_ref() == Some(&name);
        let Some(field) = all.into_iter().find(named) else { continue };
        field.focus();
        h.run();
        let before = state(h);
        let keys =
            [Key::P, Key::T, Key::W, Key::F, Key::R, Key::K, Key::B, Key::C, Key::L, Key::Num2, Key::Space];
        for key in keys {
            h.key_press(key);
            let text = if key == Key::Space { " ".to_owned() } else { key.name().to_lowercase() };
            h.event(egui::Event::Text(text));
            h.run();
        }
        h.key_press(Key::Delete);
        h.run();
        assert_eq!(state(h), before, "{name} in {place:?}: {}", h.state().view.said);
        // Out of the field, and out of what the field that finds has opened.
        h.key_press(Key::Escape);
        h.key_press(Key::Escape);
        window::settle(h);
    }
}
