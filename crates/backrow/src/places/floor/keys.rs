//! The place's keys.

use crate::intent::Intent;
use crate::scene::Scene;
use crate::view::{Carried, Selected, View};
use backrow_core::collection::Point;
use backrow_core::edit::Edit;
use backrow_core::stage::Plan;
use backrow_core::week::Placement;
use egui::{Key, Modifiers, Ui};

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Arrows", "Move by 5 cm; with Shift by 50 cm"),
    ("R, Shift R", "Turn by 15 degrees, the other way"),
    ("Page down, Page up", "Next thing by number, the one before"),
    ("Delete", "Take it off the floor"),
    ("Enter", "Put what is in hand at the middle"),
    ("N", "Snap on or off"),
    ("S, W, L", "Standing room, ways, loads"),
    ("F", "Whole floor"),
];

/// Acts on the keys pressed, unless a text field has the focus.
pub(super) fn act(ui: &Ui, scene: &mut Scene<'_>, view: &mut View, plan: &Plan) {
    if ui.ctx().text_edit_focused()
        || egui::Popup::is_any_open(ui.ctx())
        || view.asking.is_some()
        || view.finder.open
    {
        return;
    }
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    view.floor.snap ^= pressed(Modifiers::NONE, Key::N);
    view.floor.shown.standing ^= pressed(Modifiers::NONE, Key::S);
    view.floor.shown.ways ^= pressed(Modifiers::NONE, Key::W);
    view.floor.shown.loads ^= pressed(Modifiers::NONE, Key::L);
    if pressed(Modifiers::NONE, Key::F) {
        view.floor.zoom = 0;
        view.floor.pan = Point::default();
    }
    if let Some(Carried::Instrument(id)) = view.in_hand.clone()
        && pressed(Modifiers::NONE, Key::Enter)
    {
        let middle = Point::new(view.floor.pan.x, 3.0 + view.floor.pan.y);
        super::things::stand(scene, view, &id, middle);
    }
    let by =
        i32::from(pressed(Modifiers::NONE, Key::PageDown)) - i32::from(pressed(Modifiers::NONE, Key::PageUp));
    if by != 0 {
        walk(scene, view, plan, by);
    }
    let (Some(Selected::Instrument(id)), Some(programme)) = (view.selected.clone(), view.programme.clone())
    else {
        return;
    };
    let Some(now) = plan.thing(&id).map(|stood| stood.placement) else { return };
    if now.locked {
        return;
    }
    let mut next: Placement = now;
    for (key, x, y) in [
        (Key::ArrowLeft, -1.0, 0.0),
        (Key::ArrowRight, 1.0, 0.0),
        (Key::ArrowUp, 0.0, -1.0),
        (Key::ArrowDown, 0.0, 1.0),
    ] {
        for (modifiers, step) in [(Modifiers::SHIFT, 0.5), (Modifiers::NONE, 0.05)] {
            if pressed(modifiers, key) {
                next.at = Point::new(next.at.x + x * step, next.at.y + y * step);
            }
        }
    }
    if pressed(Modifiers::SHIFT, Key::R) {
        next.turn_deg -= 15.0;
    }
    if pressed(Modifiers::NONE, Key::R) {
        next.turn_deg += 15.0;
    }
    if pressed(Modifiers::NONE, Key::Delete) {
        scene.edit(Edit::TakeOff { programme, instrument: id });
    } else if next != now {
        next.turn_deg = next.turn_deg.rem_euclid(360.0);
        scene.edit(Edit::Stand { programme, instrument: id, placement: next });
    }
}

fn walk(scene: &mut Scene<'_>, view: &View, plan: &Plan, by: i32) {
    let mut order: Vec<_> = plan.things.iter().collect();
    order.sort_by_key(|stood| stood.placement.number);
    let now = match &view.selected {
        Some(Selected::Instrument(id)) => order.iter().position(|stood| stood.instrument == *id),
        _ => None,
    };
    let next = match now {
        Some(at) => at.checked_add_signed(by as isize),
        None => Some(0),
    };
    if let Some(stood) = next.and_then(|at| order.get(at)) {
        scene.ask(Intent::Select(Some(Selected::Instrument(stood.instrument.clone()))));
    }
}
