//! The place's keys.

use crate::intent::Intent;
use crate::places::floor::Here;
use crate::scene::Scene;
use crate::view::{Carried, Selected};
use backrow_core::collection::{Point, Venue};
use backrow_core::edit::Edit;
use backrow_core::stage::Plan;
use backrow_core::week::{Placement, Programme};
use egui::{Key, Modifiers, Ui};

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Arrows", "Move by 5\u{202f}cm; with Shift by 50\u{202f}cm"),
    ("R, Shift R", "Turn by 15 degrees, the other way"),
    ("Page down, Page up", "Next instrument by number, the previous one"),
    ("Ctrl click, Shift drag", "Choose one more; choose those in a box"),
    ("Ctrl A", "Choose everything"),
    ("M", "Mirror about the middle"),
    ("O", "Put it on what is under it, or on the floor by itself"),
    ("G", "Let what is chosen stand as one station, or apart"),
    ("Alt and a move", "Move one thing within its station"),
    ("Delete", "Take it off the floor"),
    ("Enter", "Put what is picked up on the nearest free spot"),
    ("P", "Propose places"),
    ("T", "Accept the places proposed; Esc cancels"),
    ("V", "Draw the venue: the hall’s floor, risers, areas, doors"),
    ("B", "Setup for all works, or for this one alone"),
    ("C", "Changes between the works"),
    ("N", "Snap on or off"),
    ("S", "Players’ spaces, shown or not"),
    ("U", "Music stands and stools, shown or not"),
    ("W", "Routes in the current work, shown or not"),
    ("L", "Loads on the risers, shown or not"),
    ("F", "Fit the floor to the view"),
];

/// Acts on the keys pressed, unless a text field has the focus.
pub(super) fn act(
    ui: &Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    plan: &Plan,
    (programme, venue): (&Programme, &Venue),
) {
    if view.keys_are_taken(ui.ctx()) {
        return;
    }
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    view.own.snap ^= pressed(Modifiers::NONE, Key::N);
    view.own.shown.standing ^= pressed(Modifiers::NONE, Key::S);
    view.own.shown.furniture ^= pressed(Modifiers::NONE, Key::U);
    view.own.shown.ways ^= pressed(Modifiers::NONE, Key::W);
    view.own.shown.loads ^= pressed(Modifiers::NONE, Key::L);
    if pressed(Modifiers::NONE, Key::F) {
        view.own.zoom = 0;
        view.own.pan = Point::default();
    }
    if pressed(Modifiers::NONE, Key::V) {
        view.own.drawings.put(super::venue::Drawing::of(venue));
    }
    view.own.listed ^= pressed(Modifiers::NONE, Key::C);
    view.own.for_work ^= pressed(Modifiers::NONE, Key::B);
    if let Some(Carried::Instrument(id)) = view.in_hand.clone()
        && pressed(Modifiers::NONE, Key::Enter)
    {
        let at = super::things::free_spot(scene, view, &id);
        super::things::stand(scene, view, &id, at);
    }
    if pressed(Modifiers::NONE, Key::P) {
        super::setups::ask(ui.ctx(), scene, view, programme, venue);
    }
    if pressed(Modifiers::NONE, Key::T) {
        super::setups::take(scene, view);
    }
    if pressed(Modifiers::COMMAND, Key::A) {
        view.own.also = plan.things.iter().map(|stood| stood.instrument.clone()).collect();
        view.selected = view.own.also.first().cloned().map(Selected::Instrument);
    }
    let by =
        i32::from(pressed(Modifiers::NONE, Key::PageDown)) - i32::from(pressed(Modifiers::NONE, Key::PageUp));
    if by != 0 {
        walk(scene, view, plan, by);
    }
    if matches!(view.selected, Some(Selected::Instrument(_))) {
        chosen(ui, scene, view, plan, programme);
    }
}

/// What the keys do to everything that is chosen: one step each.
fn chosen(ui: &Ui, scene: &mut Scene<'_>, view: &Here<'_>, plan: &Plan, programme: &Programme) {
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    let (mut x, mut y, mut turn) = (0.0, 0.0, 0.0);
    for (key, right, down) in [
        (Key::ArrowLeft, -1.0, 0.0),
        (Key::ArrowRight, 1.0, 0.0),
        (Key::ArrowUp, 0.0, -1.0),
        (Key::ArrowDown, 0.0, 1.0),
    ] {
        for (modifiers, step) in [(Modifiers::SHIFT, 0.5), (Modifiers::NONE, 0.05)] {
            if pressed(modifiers, key) {
                (x, y) = (x + right * step, y + down * step);
            }
        }
    }
    for (modifiers, by) in [(Modifiers::SHIFT, -15.0), (Modifiers::NONE, 15.0)] {
        if pressed(modifiers, Key::R) {
            turn += by;
        }
    }
    if pressed(Modifiers::NONE, Key::O) {
        super::bearing::toggle(scene, view);
    }
    if pressed(Modifiers::NONE, Key::G) {
        super::bearing::toggle_station(scene, view);
    }
    let mirror = pressed(Modifiers::NONE, Key::M);
    if pressed(Modifiers::NONE, Key::Delete) {
        let off = super::chosen::chosen(view)
            .into_iter()
            .filter(|id| plan.thing(id).is_some_and(|stood| !stood.placement.locked))
            .map(|instrument| Edit::TakeOff { programme: programme.id.clone(), instrument });
        let mut edits: Vec<Edit> = off.collect();
        match edits.pop() {
            Some(one) if edits.is_empty() => scene.edit(one),
            Some(last) => {
                edits.push(last);
                scene.edit(Edit::Together {
                    words: format!("Remove {} instruments from the floor", edits.len()),
                    edits,
                });
            }
            None => {}
        }
        return;
    }
    let change = |now: &Placement| {
        let now = if mirror { backrow_core::stage::mirrored(now) } else { *now };
        let at = Point::new(now.at.x + x, now.at.y + y).rounded();
        Placement { at, turn_deg: (now.turn_deg + turn).rem_euclid(360.0), ..now }
    };
    let asked = mirror || [x, y, turn].iter().any(|by: &f64| by.abs() > 0.0);
    if !asked {
        return;
    }
    let words = match (mirror, turn.abs() > 0.0) {
        (true, _) => "Mirror",
        (_, true) => "Turn",
        _ => "Move",
    };
    let all = super::chosen::chosen(view);
    match all.as_slice() {
        [one] => {
            let now = plan.thing(one).map(|stood| stood.placement).filter(|now| !now.locked);
            if let Some(now) = now {
                let (programme, instrument) = (programme.id.clone(), one.clone());
                scene.edit(Edit::Stand { programme, instrument, placement: change(&now) });
            }
        }
        _ => {
            if let Some(edit) = super::many::change(view, plan, words, change) {
                scene.edit(edit);
            }
        }
    }
}

fn walk(scene: &mut Scene<'_>, view: &Here<'_>, plan: &Plan, by: i32) {
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
