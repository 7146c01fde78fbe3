//! A line typed in one line: completed, checked and explained where one types.

use super::kind_choice::kinds_named;
use super::made::made;
use super::{Editor, strip};
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{sans, semibold};
use backrow_core::music::Line;
use backrow_core::pitch::Reading;
use egui::{Key, Modifiers, RichText, Ui, WidgetInfo};

/// The grammar, where one types.
const HINT: &str = "instrument | measures and notes; measures and notes | beaters | part. \
                    Notes as written: F#5, or F#5 x3 for three strokes; x24 for strokes without pitch; \
                    p-ff for the softest and the loudest. \
                    glockenspiel +24 reads it two octaves up; 12.5s-48s gives seconds.";

/// How many names are offered.
const OFFERED: usize = 6;

/// The field of a new line.
pub(super) fn add(ui: &mut Ui, scene: &Scene<'_>, editor: &mut Editor, reading: Reading) {
    ui.add_space(space::M);
    let label = ui.label(RichText::new("Add a line").font(semibold(size::TEXT)).color(scene.tokens.ink));
    let id = egui::Id::unique("new line line");
    let named = !editor.line.contains('|');
    let complete = named
        && ui.memory(|m| m.has_focus(id))
        && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::ArrowDown));
    let offers: Vec<String> = if named && !editor.line.trim().is_empty() {
        let kinds = kinds_named(scene.library, &editor.line);
        kinds.iter().take(OFFERED).map(|kind| kind.name().to_owned()).collect()
    } else {
        Vec::new()
    };
    if complete && let Some(first) = offers.first() {
        name(ui, editor, id, first);
    }
    let field = egui::TextEdit::singleline(&mut editor.line)
        .id(id)
        .hint_text("xylophone | 31-58 p-ff F5 A5 x3; 112 C6 | hard rubber | Percussion 2")
        .desired_width(ui.available_width() - 24.0);
    let response = ui.add(field).labelled_by(label.id);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "A new line as text"));
    if !offers.is_empty() {
        ui.horizontal_wrapped(|ui| {
            ui.label(RichText::new("Down takes the first:").font(sans(size::NOTE)).color(scene.tokens.ink2));
            for offer in &offers {
                if ui.small_button(offer).clicked() {
                    name(ui, editor, id, offer);
                }
            }
        });
    }
    if editor.line.trim().is_empty() {
        ui.add(egui::Label::new(RichText::new(HINT).font(sans(size::NOTE)).color(scene.tokens.ink2)).wrap());
        return;
    }
    let made = made(scene.library, editor, (&editor.line, reading), None);
    verdict(ui, scene, &made);
    let end_s = editor.shown().map_or(0.0, |m| m.timeline.end_s);
    if let Ok(line) = &made {
        strip::ui(ui, scene, line, end_s);
    }
    let enter = response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    let add = ui.add_enabled_ui(made.is_ok(), |ui| primary(ui, &scene.tokens, "Add it")).inner.clicked();
    if enter || add {
        match made {
            Ok(line) => {
                editor.step();
                editor.said = format!("Added {}.", scene.library.line_name(&line));
                editor.work.lines.push(line);
                editor.line.clear();
            }
            Err(why) => editor.said = why,
        }
        // The next line is typed at once.
        ui.memory_mut(|m| m.request_focus(id));
    }
}

/// Puts a name into the line and the cursor behind it.
fn name(ui: &Ui, editor: &mut Editor, id: egui::Id, name: &str) {
    editor.line = format!("{name} | ");
    ui.memory_mut(|m| m.request_focus(id));
    let mut state = egui::TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
    let end = egui::text::CCursor::new(editor.line.chars().count());
    state.cursor.set_char_range(Some(egui::text::CCursorRange::one(end)));
    state.store(ui.ctx(), id);
}

/// What the line makes, or what is wrong with it.
pub(super) fn verdict(ui: &mut Ui, scene: &Scene<'_>, made: &Result<Line, String>) {
    let tokens = scene.tokens;
    let (words, ink) = match made {
        Ok(line) => {
            let kind = match &line.kind {
                Some(kind) => scene.library.kind_name(kind),
                None => "no such instrument; left unidentified".to_owned(),
            };
            let sounding =
                if line.is_pitched() { format!(", sounding {}", line.octave.words()) } else { String::new() };
            (format!("{kind}{sounding}: {}", strip::notes_words(line)), tokens.ink2)
        }
        Err(why) => (why.clone(), tokens.care),
    };
    ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(ink)).wrap());
}
