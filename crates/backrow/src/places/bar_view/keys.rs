//! The place's keys.

use super::Shown;
use crate::places::bar_view::Here;
use crate::scene::Scene;
use egui::{Key, Modifiers, Ui};

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Type a letter A to H", "Ask for a written note"),
    ("Left, Right", "Previous note, next note of the line"),
    ("Enter", "Leave the field, to step with the arrows"),
    ("F11", "Fill the window; Esc returns to the full window"),
];

const LETTERS: [(Key, &str); 8] = [
    (Key::A, "A"),
    (Key::B, "B"),
    (Key::C, "C"),
    (Key::D, "D"),
    (Key::E, "E"),
    (Key::F, "F"),
    (Key::G, "G"),
    (Key::H, "H"),
];

/// Acts on the keys pressed.
pub(super) fn act(ui: &Ui, scene: &Scene<'_>, view: &mut Here<'_>, shown: &Shown) {
    // The field for the note takes letters, not this key.
    let free = view.over.is_none() && !egui::Popup::is_any_open(ui.ctx());
    if free && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::F11)) {
        view.own.full = !view.own.full;
    }
    if view.keys_are_taken(ui.ctx()) {
        return;
    }
    let (left, right) = ui.input_mut(|i| {
        (i.consume_key(Modifiers::NONE, Key::ArrowLeft), i.consume_key(Modifiers::NONE, Key::ArrowRight))
    });
    if left || right {
        step(scene, view, shown, right);
    }
    for (key, letter) in LETTERS {
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            letter.clone_into(&mut view.own.text);
            view.own.note = None;
            // The rest is typed into the field; the letter is already there.
            ui.memory_mut(|m| m.request_focus(egui::Id::unique("written note")));
            let typed = |e: &egui::Event| matches!(e, egui::Event::Text(t) if t.eq_ignore_ascii_case(letter));
            ui.input_mut(|i| i.events.retain(|e| !typed(e)));
        }
    }
}

/// To the next note of the line, or the one before.
pub(super) fn step(scene: &Scene<'_>, view: &mut Here<'_>, shown: &Shown, forth: bool) {
    let Some((_, line)) = &shown.line else { return };
    let count = line.notes().count();
    let next = match (view.own.step, forth) {
        (None, _) => 0,
        (Some(at), true) => (at + 1).min(count.saturating_sub(1)),
        (Some(at), false) => at.saturating_sub(1),
    };
    if let Some(note) = line.notes().nth(next) {
        view.own.step = Some(next);
        if let Some(sounding) = line.sounding_of(note) {
            view.own.ask(note.written, sounding, scene.settings.note_reading());
        }
    }
}
