//! Tab leads to every control of every place and dialog, to each once a round, and in the order in which one reads: the strip at the top,
//! the rail, the middle, the right panel, the bottom line, and within each from the top down.

#[path = "window/over.rs"]
mod over;
mod window;

use backrow::app::App;
use backrow::intent::Intent;
use backrow::theme::tokens::shell;
use backrow::view::{Over, Place};
use egui::accesskit::Action;
use egui::{Event, Key, Modifiers, Order, Rect};
use egui_kittest::Harness;
use egui_kittest::kittest::{AccessKitNode, NodeT, Queryable, by};
use over::{open, room};
use window::settle;

/// More controls than any place shows.
const MOST: usize = 700;

/// A control, as the tree of names has it.
#[derive(Clone, Debug)]
struct Control {
    name: String,
    /// As much of it as is in sight.
    rect: Rect,
    id: egui::accesskit::NodeId,
}

impl Control {
    fn of(node: &egui_kittest::Node<'_>) -> Self {
        let rect = node.rect();
        let node = node.accesskit_node();
        let name = node.label().or_else(|| node.value()).unwrap_or_default();
        Self { name: format!("{:?} “{name}”", node.role()), rect, id: node.locate().0 }
    }
}

fn takes_focus(node: &AccessKitNode<'_>) -> bool {
    node.data().supports_action(Action::Focus) && !node.is_disabled() && !node.is_hidden()
}

/// What can have the keyboard.
fn controls(h: &Harness<'_, App>) -> Vec<Control> {
    h.query_all(by().predicate(takes_focus)).map(|node| Control::of(&node)).collect()
}

/// Presses Tab. The key stays down: letting it go would be a frame more.
fn tab(h: &mut Harness<'_, App>) {
    let (key, modifiers) = (Key::Tab, Modifiers::NONE);
    h.input_mut().events.push(Event::Key {
        key,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers,
    });
    h.step();
}

/// Presses Tab until the control that came first comes again.
fn round(h: &mut Harness<'_, App>) -> Vec<Control> {
    let mut met: Vec<Control> = Vec::new();
    for _ in 0..MOST {
        tab(h);
        let Some(id) = h.ctx.memory(egui::Memory::focused) else { continue };
        if met.first().is_some_and(|first| first.id == id.accesskit_id()) {
            return met;
        }
        let rect = h.ctx.read_response(id).map_or(Rect::NOTHING, |response| response.interact_rect);
        // Named now: buttons of a row are there only while it has the keyboard.
        let node = h.query_all(by().predicate(|node| node.is_focused() && !node.is_hidden())).next();
        let named = node.map(|node| Control::of(&node));
        met.push(Control { rect, ..named.unwrap_or_else(|| panic!("{id:?} at {rect:?} has no name")) });
    }
    panic!("no round in {MOST} presses: {met:#?}");
}

/// 0 to 4: strip, rail, middle, panel, bottom line.
fn region(h: &Harness<'_, App>, control: &Control) -> usize {
    let (at, window) = (control.rect.center(), h.ctx.content_rect());
    match at {
        _ if at.y < shell::TOP => 0,
        _ if at.y > window.bottom() - shell::FOOT => 4,
        _ if at.x < shell::RAIL => 1,
        _ if at.x > window.right() - shell::PANEL => 3,
        _ => 2,
    }
}

/// Whether one stands above the other in the same column.
fn above(one: Rect, other: Rect) -> bool {
    let shared = one.right().min(other.right()) - one.left().max(other.left());
    one.bottom() <= other.top() + 1.0 && shared > one.width().min(other.width()) * 0.5
}

/// A ground on which other controls lie is no row among them, nor is what is scrolled out of sight; things on a plan stand where they
/// stand, and come by number.
fn is_row(control: &Control, all: &[Control]) -> bool {
    let on_plan = ["turned", "“Turn, "].iter().any(|word| control.name.contains(word));
    let is_ground = all.iter().any(|other| other.id != control.id && control.rect.contains_rect(other.rect));
    control.rect.is_positive() && !on_plan && !is_ground
}

/// What is wrong with a round.
fn faults(h: &Harness<'_, App>, met: &[Control], regions: bool) -> Vec<String> {
    let mut found = Vec::new();
    for (at, control) in met.iter().enumerate() {
        if met[..at].iter().any(|other| other.id == control.id) {
            found.push(format!("{} comes twice", control.name));
        }
    }
    let rows: Vec<&Control> = met.iter().filter(|control| is_row(control, met)).collect();
    for (at, control) in rows.iter().enumerate() {
        let its = if regions { region(h, control) } else { 2 };
        for before in &rows[..at] {
            let its_before = if regions { region(h, before) } else { 2 };
            let wrong = its_before > its || its_before == its && above(control.rect, before.rect);
            if wrong {
                let (one, two) = (&control.name, &before.name);
                found.push(format!("{one} at {:?} comes after {two} at {:?}", control.rect, before.rect));
                break;
            }
        }
    }
    found
}

/// Nothing has the keyboard: the next press of Tab begins at the beginning.
fn rest(h: &mut Harness<'_, App>) {
    settle(h);
    if let Some(id) = h.ctx.memory(egui::Memory::focused) {
        h.ctx.memory_mut(|memory| memory.surrender_focus(id));
    }
    h.step();
}

fn faults_here(h: &mut Harness<'_, App>, what: &str) -> Vec<String> {
    rest(h);
    let met = round(h);
    let mut found = faults(h, &met, true);
    for control in controls(h) {
        if !met.iter().any(|other| other.id == control.id) {
            found.push(format!("{} is not reached", control.name));
        }
    }
    found.into_iter().map(|words| format!("{what}: {words}")).collect()
}

#[test]
fn every_place_and_form_is_walked_as_it_is_read() {
    let mut room = room(Place::Section);
    let h = &mut room.h;
    let mut found = Vec::new();
    for place in Place::ALL {
        h.state_mut().request(Intent::Go(*place));
        settle(h);
        found.extend(faults_here(h, place.word()));
    }
    h.state_mut().request(Intent::Go(Place::Collection));
    settle(h);
    h.key_press_modifiers(Modifiers::COMMAND, Key::N);
    h.run();
    assert!(h.state().places.collection.has_form());
    found.extend(faults_here(h, "a new instrument"));
    h.key_press(Key::Escape);
    h.run();
    h.get_by_label("Orchestra").click();
    h.run();
    found.extend(faults_here(h, "the orchestra"));
    assert!(found.is_empty(), "{}:\n{}", found.len(), found.join("\n"));
}

/// In a dialog Tab stays within it.
#[test]
fn dialogs_keep_the_keyboard() {
    let mut room = room(Place::Section);
    let mut found = Vec::new();
    for over in [Over::Sheets, Over::Recording, Over::Remembering, Over::Proposing, Over::KeyMap] {
        open(&mut room, over);
        let h = &mut room.h;
        rest(h);
        let met = round(h);
        found.extend(faults(h, &met, false).into_iter().map(|words| format!("{over:?}: {words}")));
        for _ in 0..met.len() {
            tab(h);
            let focused = h.ctx.memory(egui::Memory::focused);
            let layer =
                focused.and_then(|id| h.ctx.read_response(id)).map(|response| response.layer_id.order);
            if layer == Some(Order::Background) {
                found.push(format!("{over:?}: {focused:?} lies behind"));
            }
        }
        while h.state().shell.over().is_some() {
            h.key_press(Key::Escape);
            h.run();
        }
    }
    assert!(found.is_empty(), "{}:\n{}", found.len(), found.join("\n"));
}

/// The finder is a field with a list, and no dialog: Tab leaves it, and the list goes.
#[test]
fn tab_leaves_the_finder_and_closes_it() {
    let mut room = room(Place::Section);
    open(&mut room, Over::Finder);
    room.h.key_press(Key::Tab);
    room.h.run();
    assert_eq!(room.h.state().shell.over(), None);
}
