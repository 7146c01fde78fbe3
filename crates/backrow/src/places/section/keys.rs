//! The place's keys.

use super::answered::assign_judged;
use super::board::{Board, Strip};
use super::sheet;
use crate::intent::Intent;
use crate::places::section::Here;
use crate::scene::Scene;
use crate::view::{Carried, Selected};
use backrow_core::edit::Edit;
use egui::{Key, Modifiers, Ui};

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Left, Right", "Previous line, next line, in order of time"),
    ("Enter", "Pick up the line; again to put it down"),
    ("1 to 8", "Assign the line to that player; Alt: even if it clashes"),
    ("Delete", "Unassign the line"),
    ("P", "Lock the line, or unlock it"),
    ("S", "Propose assignments; locked lines stay"),
    ("T", "Accept the proposal; Esc cancels"),
    ("W", "What if: one player fewer, a player away, lines split"),
    ("M", "The tightest moves"),
    ("G", "Plan for this movement, or the whole programme"),
    ("+, −", "Zoom in, zoom out"),
];

const DIGITS: [Key; 8] =
    [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8];

/// Acts on the keys pressed, unless a text field has the focus.
pub(super) fn act(ui: &Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, board: Option<&Board>) {
    let Some(board) = board else { return };
    if view.keys_are_taken(ui.ctx()) {
        return;
    }
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    let by = i32::from(pressed(Key::ArrowRight)) - i32::from(pressed(Key::ArrowLeft));
    if by != 0 {
        step(scene, view, board, by);
    }
    if pressed(Key::Plus) || pressed(Key::Equals) {
        view.own.zoom = (view.own.zoom + 1).min(10);
    }
    if pressed(Key::Minus) {
        view.own.zoom = view.own.zoom.saturating_sub(1);
    }
    if pressed(Key::S) && !board.strips.is_empty() {
        sheet::open_proposal(ui.ctx(), scene, view, None);
    }
    if pressed(Key::T) {
        sheet::take_all(scene, view);
    }
    if pressed(Key::W) {
        sheet::open_what_if(view);
    }
    if pressed(Key::M) {
        sheet::open_tightest(ui.ctx(), scene, view);
    }
    if pressed(Key::G) {
        view.own.turn_scope();
    }
    let Some(line) = view.line.clone() else { return };
    let Some(strip) = board.strips.iter().find(|strip| strip.at == line) else { return };
    if pressed(Key::Enter) {
        let held = Carried::Line(line.clone());
        view.in_hand = if view.in_hand.as_ref() == Some(&held) { None } else { Some(held) };
        if view.in_hand.is_some() {
            scene.ask(Intent::Say(format!(
                "{} picked up. 1 to 8 assigns it to a player; Esc cancels.",
                strip.name
            )));
        }
    }
    let Some(programme) = view.programme.clone() else { return };
    if pressed(Key::Delete) {
        scene.edit(Edit::Assign { programme: programme.clone(), line: line.clone(), player: None });
    }
    if pressed(Key::P) && strip.player.is_some() {
        scene.edit(Edit::Lock { programme: programme.clone(), line: line.clone(), locked: !strip.locked });
    }
    for (at, key) in DIGITS.into_iter().enumerate() {
        let alt = ui.input_mut(|i| view.in_hand.is_some() && i.consume_key(Modifiers::ALT, key));
        if alt || pressed(key) {
            let Some(lane) = board.lanes.get(at) else { continue };
            assign_judged(scene, view, &line, &lane.player, alt);
        }
    }
}

fn step(scene: &mut Scene<'_>, view: &Here<'_>, board: &Board, by: i32) {
    let mut order: Vec<&Strip> = board.strips.iter().collect();
    let begin = |strip: &Strip| strip.passages.first().map_or(0.0, |p| p.from_s);
    order.sort_by(|a, b| begin(a).total_cmp(&begin(b)));
    let now = view.line.as_ref().and_then(|at| order.iter().position(|strip| strip.at == *at));
    let next = match now {
        Some(at) => at.checked_add_signed(by as isize),
        None => Some(0),
    };
    if let Some(strip) = next.and_then(|at| order.get(at)) {
        scene.ask(Intent::Select(Some(Selected::Line(strip.at.clone()))));
    }
}
