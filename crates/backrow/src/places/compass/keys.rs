//! The place's keys.

use crate::intent::Intent;
use crate::places::compass::Here;
use crate::scene::Scene;
use crate::view::{Carried, Place, Selected};
use backrow_core::pitch::KeyNumber;
use egui::{Key, Modifiers, Ui};

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Up, Down", "Previous row, next row"),
    ("Left, Right", "Hairline by a semitone; with Page by an octave"),
    ("Space", "Pick the row up"),
    ("Enter", "Assign it to the line; Alt: beside what it has"),
    ("C", "Choose the next line of the work"),
    ("W", "Sounding or written"),
    ("F", "Free for these services"),
    ("R", "Has every note"),
    ("K", "Fold the row’s kind into one row, or unfold all"),
    ("/", "To the filters"),
    ("B", "Show its bars"),
    ("+, −", "Zoom; Shift Left and Shift Right move the keyboard"),
];

/// Acts on the keys pressed, unless a text field has the focus.
pub(super) fn act(ui: &Ui, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    if view.keys_are_taken(ui.ctx()) {
        return;
    }
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    if pressed(Modifiers::SHIFT, Key::ArrowLeft) {
        view.own.pushed = (view.own.pushed - 1).max(-3);
    }
    if pressed(Modifiers::SHIFT, Key::ArrowRight) {
        view.own.pushed = (view.own.pushed + 1).min(6);
    }
    for (key, by) in [(Key::ArrowLeft, -1), (Key::ArrowRight, 1), (Key::PageDown, -12), (Key::PageUp, 12)] {
        if pressed(Modifiers::NONE, key) {
            let now = view.own.hair.unwrap_or(KeyNumber::MIDDLE_C);
            view.own.hair = now.up(by).or(Some(now));
        }
    }
    step_rows(ui, scene, view);
    let alt = ui.input(|i| i.modifiers.alt);
    if pressed(Modifiers::NONE, Key::Space)
        && let Some(Selected::Instrument(id)) = view.selected.clone()
    {
        view.in_hand = Some(Carried::Instrument(id.clone()));
        scene.ask(Intent::Say(format!(
            "{} picked up. Enter assigns it to the line; Esc cancels.",
            scene.library.instrument_name(&id)
        )));
    }
    if (pressed(Modifiers::NONE, Key::Enter) || pressed(Modifiers::ALT, Key::Enter))
        && let Some(Carried::Instrument(id)) = view.in_hand.clone()
    {
        super::line_card::give(scene, view, &id, alt);
    }
    if pressed(Modifiers::NONE, Key::C) {
        next_line(scene, view);
    }
    let state = &mut *view.own;
    state.written ^= pressed(Modifiers::NONE, Key::W);
    state.filters.free ^= pressed(Modifiers::NONE, Key::F);
    state.filters.reaches ^= pressed(Modifiers::NONE, Key::R);
    if pressed(Modifiers::NONE, Key::Plus) || pressed(Modifiers::NONE, Key::Equals) {
        state.zoom = (state.zoom + 1).min(5);
    }
    if pressed(Modifiers::NONE, Key::Minus) {
        state.zoom = (state.zoom - 1).max(-2);
    }
    state.to_filters |= pressed(Modifiers::NONE, Key::Slash);
    if pressed(Modifiers::NONE, Key::K) {
        let kind = match &view.shared.selected {
            Some(Selected::Instrument(id)) => scene.library.instruments.get(id).map(|thing| &thing.kind),
            _ => None,
        };
        let folded = &mut state.filters.folded;
        match kind.filter(|kind| !folded.contains(*kind)) {
            Some(kind) => {
                folded.insert(kind.clone());
            }
            None => folded.clear(),
        }
    }
    if pressed(Modifiers::NONE, Key::B) {
        scene.ask(Intent::Go(Place::BarView));
    }
}

fn step_rows(ui: &Ui, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let (up, down) = ui.input_mut(|i| {
        (i.consume_key(Modifiers::NONE, Key::ArrowUp), i.consume_key(Modifiers::NONE, Key::ArrowDown))
    });
    if !up && !down {
        return;
    }
    let Some(shown) = view.own.rows.held() else { return };
    let rows: Vec<_> = shown.rows.iter().filter(|row| row.folds == 0).collect();
    let last = rows.len().saturating_sub(1);
    let now = match &view.selected {
        Some(Selected::Instrument(id)) => rows.iter().position(|row| row.id == *id),
        _ => None,
    };
    let at = now.map_or(0, |at| if down { at + 1 } else { at.saturating_sub(1) }).min(last);
    if let Some(row) = rows.get(at) {
        let (id, top) = (row.id.clone(), row.top);
        let sight = ui.max_rect().height()
            - super::measure::HEAD
            - super::measure::FILTERS
            - super::measure::AXIS
            - 40.0;
        view.own.scroll = view.own.scroll.clamp((top - sight).max(0.0), top);
        scene.ask(Intent::Select(Some(Selected::Instrument(id))));
    }
}

fn next_line(scene: &mut Scene<'_>, view: &Here<'_>) {
    let Some(work) = view.work.as_ref().and_then(|id| scene.library.works.get(id)) else { return };
    let now = view.line.as_ref().filter(|at| at.work == work.id);
    let at = now.and_then(|at| work.lines.iter().position(|line| line.id == at.line)).map_or(0, |at| at + 1);
    if let Some(line) = work.lines.get(at).or_else(|| work.lines.first()) {
        let at = backrow_core::week::LineRef { work: work.id.clone(), line: line.id.clone() };
        scene.ask(Intent::Line(at));
    }
}
