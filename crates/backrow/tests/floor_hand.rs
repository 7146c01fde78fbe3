//! Floor by hand: from the palette onto the plan, moved, turned, numbered, taken off, put back.

use backrow::app::App;
use backrow::settings::Settings;
use backrow::view::{Place, Selected};
use backrow_core::id::InstrumentId;
use backrow_core::week::Placement;
use egui::{Event, Key, Modifiers, Pos2, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

fn harness() -> Harness<'static, App> {
    let settings = Settings { place: Place::Floor, ..Settings::default() };
    let app = App::on_library(backrow::sample::small(), settings);
    let mut harness =
        Harness::builder().with_size(vec2(1280.0, 800.0)).build_ui_state(|ui, app| app.ui(ui), app);
    harness.run();
    harness
}

/// What stands on the floor, with its name.
fn placements(harness: &Harness<'_, App>) -> Vec<(String, InstrumentId, Placement)> {
    let library = harness.state().history.now();
    library
        .programmes()
        .flat_map(|(_, programme)| &programme.setup.placements)
        .map(|(id, at)| (library.instrument_name(id), id.clone(), *at))
        .collect()
}

fn only(harness: &Harness<'_, App>) -> Placement {
    let all = placements(harness);
    assert_eq!(all.len(), 1, "one thing on the floor: {all:?}");
    all[0].2
}

fn search(harness: &mut Harness<'_, App>, words: &str) {
    harness.get_by_label("Search the collection").click();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.get_by_label("Search the collection").type_text(words);
    harness.run();
}

fn drag(harness: &mut Harness<'_, App>, from: Pos2, to: Pos2) {
    harness.hover_at(from);
    harness.run();
    harness.drag_at(from);
    harness.run();
    for share in [0.25, 0.5, 1.0] {
        harness.hover_at(from + (to - from) * share);
        harness.run();
    }
    harness.drop_at(to);
    harness.run();
}

fn place_by_drag(harness: &mut Harness<'_, App>, name: &str, by: Vec2) {
    search(harness, name);
    let from = harness.get_by_label(&format!("Place {name}")).rect().center();
    let to = harness.get_by_label("Floor of Quay Hall").rect().center() + by;
    drag(harness, from, to);
    // Keys belong to the floor again once the field is left.
    if let Some(id) = harness.ctx.memory(egui::Memory::focused) {
        harness.ctx.memory_mut(|memory| memory.surrender_focus(id));
    }
    harness.run();
}

fn select(harness: &mut Harness<'_, App>, name: &str) {
    let found = placements(harness).into_iter().find(|(own, ..)| own == name);
    harness.state_mut().view.selected = found.map(|(_, id, _)| Selected::Instrument(id));
    harness.run();
}

fn press(harness: &mut Harness<'_, App>, modifiers: Modifiers, key: Key) {
    harness.key_press_modifiers(modifiers, key);
    harness.run();
}

#[test]
fn dragged_from_the_palette_it_stands_where_it_is_let_go_and_undo_takes_it_back() {
    let mut harness = harness();
    place_by_drag(&mut harness, "Xylophone 1", vec2(0.0, -60.0));
    let placed = only(&harness);
    assert_eq!(placed.number, 1);
    assert!(placed.at.x.abs() < 0.2, "{placed:?}");
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(placements(&harness), Vec::new());
}

#[test]
fn a_drag_on_the_plan_moves_in_steps_of_5_cm_as_one_change() {
    let mut harness = harness();
    place_by_drag(&mut harness, "Xylophone 1", vec2(0.0, -60.0));
    let before = only(&harness);
    let revision = harness.state().history.revision();
    let from = harness.get_by_label_contains("1 Xylophone 1 at").rect().center() + vec2(20.0, -4.0);
    drag(&mut harness, from, from + vec2(117.0, 33.0));
    let after = only(&harness);
    assert_eq!(harness.state().history.revision(), revision + 1, "one step of undo for one drag");
    assert!(after.at.x > before.at.x + 1.0 && after.at.y > before.at.y + 0.2, "{before:?} {after:?}");
    let steps = after.at.x / 0.05;
    assert!((steps - steps.round()).abs() < 1e-6, "{after:?}");
}

#[test]
fn keys_move_turn_and_take_off() {
    let mut harness = harness();
    place_by_drag(&mut harness, "Xylophone 1", vec2(0.0, -60.0));
    select(&mut harness, "Xylophone 1");
    let before = only(&harness);
    press(&mut harness, Modifiers::NONE, Key::R);
    assert!((only(&harness).turn_deg - 15.0).abs() < 1e-9);
    press(&mut harness, Modifiers::SHIFT, Key::R);
    press(&mut harness, Modifiers::SHIFT, Key::R);
    assert!((only(&harness).turn_deg - 345.0).abs() < 1e-9);
    press(&mut harness, Modifiers::NONE, Key::ArrowRight);
    assert!((only(&harness).at.x - before.at.x - 0.05).abs() < 1e-9);
    press(&mut harness, Modifiers::SHIFT, Key::ArrowDown);
    assert!((only(&harness).at.y - before.at.y - 0.5).abs() < 1e-9);
    press(&mut harness, Modifiers::NONE, Key::Delete);
    assert_eq!(placements(&harness), Vec::new());
}

#[test]
fn off_the_floor_it_is_refused_with_its_reason() {
    let mut harness = harness();
    search(&mut harness, "Xylophone 1");
    let from = harness.get_by_label("Place Xylophone 1").rect().center();
    let area = harness.get_by_label("Floor of Quay Hall").rect();
    drag(&mut harness, from, area.left_center() + vec2(6.0, 0.0));
    assert_eq!(placements(&harness), Vec::new());
    assert!(harness.state().view.said.contains("off the floor"), "{}", harness.state().view.said);
}

#[test]
fn a_number_is_never_borne_twice() {
    let mut harness = harness();
    place_by_drag(&mut harness, "Xylophone 1", vec2(-120.0, -60.0));
    place_by_drag(&mut harness, "Xylophone 2", vec2(120.0, -60.0));
    select(&mut harness, "Xylophone 1");
    harness.get_by_label("Number").click();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.event(Event::Text("2".to_owned()));
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::Enter);
    let number = |name: &str| placements(&harness).iter().find(|(own, ..)| own == name).map(|p| p.2.number);
    assert_eq!((number("Xylophone 1"), number("Xylophone 2")), (Some(2), Some(1)), "they change places");
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    let number = |name: &str| placements(&harness).iter().find(|(own, ..)| own == name).map(|p| p.2.number);
    assert_eq!((number("Xylophone 1"), number("Xylophone 2")), (Some(1), Some(2)), "one step of undo");
}

#[test]
fn enter_on_a_card_puts_it_at_the_middle_of_the_view() {
    let mut harness = harness();
    search(&mut harness, "Marimba 1");
    harness.get_by_label("Place Marimba 1").focus();
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::Enter);
    assert!(only(&harness).at.x.abs() < 0.3);
    let node = harness.get_by_label_contains("1 Marimba 1 at");
    assert_eq!(node.accesskit_node().role(), egui::Role::Button);
}

#[test]
fn the_caution_stays_in_sight_as_long_as_the_loads_do() {
    let mut harness = harness();
    assert!(harness.query_by_label(backrow_core::stage::CAUTION).is_none());
    harness.get_by_label("Loads").click();
    harness.run();
    harness.get_by_label(backrow_core::stage::CAUTION);
}

#[test]
fn what_is_kept_here_no_key_moves() {
    let mut harness = harness();
    place_by_drag(&mut harness, "Xylophone 1", vec2(0.0, -60.0));
    select(&mut harness, "Xylophone 1");
    let before = only(&harness);
    harness.get_by_label("Keep here").click();
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::ArrowRight);
    press(&mut harness, Modifiers::NONE, Key::R);
    assert_eq!(only(&harness), Placement { locked: true, ..before });
}
