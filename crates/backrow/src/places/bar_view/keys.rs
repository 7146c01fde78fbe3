//! The place's keys.

use super::Shown;
use crate::places::bar_view::Here;
use crate::scene::Scene;
use backrow_core::music::{Line, LineNote};
use egui::{Key, Modifiers, Ui};

/// The place's own keys, for the keyboard map.
pub const KEYS: &[(&str, &str)] = &[
    ("Type a letter A to H", "Ask for a written note"),
    ("Left, Right", "Previous note, next note of the line"),
    ("Up, Down", "To the measure before, to the next measure"),
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
    let (up, down) = ui.input_mut(|i| {
        (i.consume_key(Modifiers::NONE, Key::ArrowUp), i.consume_key(Modifiers::NONE, Key::ArrowDown))
    });
    if up || down {
        step_measure(scene, view, shown, down);
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

/// To the next note of the line in the order of time, or the one before.
pub(super) fn step(scene: &Scene<'_>, view: &mut Here<'_>, shown: &Shown, forth: bool) {
    let Some((_, line)) = &shown.line else { return };
    let count = line.notes().count();
    let next = match (view.own.step, forth) {
        (None, _) => 0,
        (Some(at), true) => (at + 1).min(count.saturating_sub(1)),
        (Some(at), false) => at.saturating_sub(1),
    };
    step_to(scene, view, line, next);
}

/// To the first note of the next measure in which the line plays; or back to that of its own measure, then of the one before.
pub(super) fn step_measure(scene: &Scene<'_>, view: &mut Here<'_>, shown: &Shown, forth: bool) {
    let Some((_, line)) = &shown.line else { return };
    if let Some(next) = measure_from(&line.notes_in_time(), view.own.step, forth) {
        step_to(scene, view, line, next);
    }
}

fn step_to(scene: &Scene<'_>, view: &mut Here<'_>, line: &Line, next: usize) {
    let Some(note) = line.notes_in_time().get(next).copied() else { return };
    view.own.step = Some(next);
    if let Some(sounding) = line.sounding_of(note) {
        view.own.ask(note.written, sounding, scene.settings.note_reading());
    }
}

/// Where a step by a measure leads; `None` where the line has no note there.
fn measure_from(notes: &[&LineNote], now: Option<usize>, forth: bool) -> Option<usize> {
    // A measure that is played twice is two.
    let measure =
        |at: usize| notes.get(at).map(|note| (note.struck.map(|struck| struck.played), &note.measure));
    let first_of = |at: usize| (0..=at).rev().take_while(|other| measure(*other) == measure(at)).last();
    let Some(now) = now else { return (!notes.is_empty()).then_some(0) };
    if forth {
        return (now + 1..notes.len()).find(|at| measure(*at) != measure(now));
    }
    match first_of(now)? {
        first if first < now => Some(first),
        first => first_of(first.checked_sub(1)?),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// Notes of measures 1, 1, 2, 5, 5, then 5 once more after a repeat.
    #[rstest]
    #[case(None, true, Some(0))]
    #[case(Some(0), true, Some(2))]
    #[case(Some(1), true, Some(2))]
    #[case(Some(2), true, Some(3))]
    #[case(Some(3), true, Some(5))]
    #[case(Some(5), true, None)]
    #[case(Some(5), false, Some(3))]
    #[case(Some(4), false, Some(3))]
    #[case(Some(3), false, Some(2))]
    #[case(Some(2), false, Some(0))]
    #[case(Some(1), false, Some(0))]
    #[case(Some(0), false, None)]
    fn a_measure_at_a_time(#[case] now: Option<usize>, #[case] forth: bool, #[case] to: Option<usize>) {
        let note = |(measure, played): (u32, u32)| LineNote {
            written: backrow_core::pitch::Spelled::usual(backrow_core::pitch::KeyNumber::MIDDLE_C),
            shift: 0,
            measure: measure.into(),
            struck: Some(backrow_core::music::Struck {
                at_us: u64::from(played),
                played,
                ticks: 0,
                lasts_us: None,
                dynamic: None,
                rolled: false,
            }),
        };
        let notes = [(1, 0), (1, 0), (2, 1), (5, 4), (5, 4), (5, 9)].map(note);
        let notes: Vec<&LineNote> = notes.iter().collect();
        assert_eq!(measure_from(&notes, now, forth), to);
    }
}
