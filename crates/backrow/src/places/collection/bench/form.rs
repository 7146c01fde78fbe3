//! One form of labelled fields: a survey, a bell, a line of the log, what a thing is worth, the air of a store.

use super::of::Of;
use super::{air, bell, log, survey, worth};
use crate::drafts::{Outcome, Refusal, Typed};
use crate::scene::Scene;
use crate::theme::serif;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use backrow_core::edit::Edit;
use backrow_core::library::Library;
use egui::{RichText, Ui, WidgetInfo};

/// A labelled field.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::places::collection) struct Field {
    pub(super) label: &'static str,
    pub(super) value: String,
    hint: &'static str,
    /// How many lines it shows; 1 for a single line.
    lines: usize,
    /// Words to choose from, where only those will do.
    choice: Vec<String>,
}

impl Field {
    /// A single line.
    pub(in crate::places::collection) fn line(
        label: &'static str,
        value: impl Into<String>,
        hint: &'static str,
    ) -> Self {
        Self { label, value: value.into(), hint, lines: 1, choice: Vec::new() }
    }

    /// Several lines.
    pub(in crate::places::collection) fn lines(
        label: &'static str,
        value: impl Into<String>,
        hint: &'static str,
        lines: usize,
    ) -> Self {
        Self { lines, ..Self::line(label, value, hint) }
    }

    /// One of some words.
    pub(in crate::places::collection) fn choice(
        label: &'static str,
        value: impl Into<String>,
        choice: Vec<String>,
    ) -> Self {
        Self { choice, ..Self::line(label, value, "") }
    }
}

/// A form with what was typed into it.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::places::collection) struct TextForm {
    pub(super) of: Of,
    title: String,
    pub(super) fields: Vec<Field>,
    began: Vec<Field>,
    error: Refusal,
    fresh: bool,
}

impl Typed for TextForm {
    fn has_changed(&self) -> bool {
        self.fields != self.began
    }

    fn title(&self) -> String {
        self.title.clone()
    }
}

impl TextForm {
    pub(super) fn new(of: Of, title: String, fields: Vec<Field>) -> Self {
        Self { of, title, began: fields.clone(), fields, error: Refusal::default(), fresh: true }
    }

    /// With something filled in that was not there when it was opened: it counts as typed.
    pub(super) fn with(mut self, label: &str, value: String) -> Self {
        if let Some(field) = self.fields.iter_mut().find(|field| field.label == label) {
            field.value = value;
        }
        self
    }

    /// What stands in a field; empty for one that is not there.
    pub(super) fn get(&self, label: &str) -> &str {
        self.fields.iter().find(|field| field.label == label).map_or("", |field| field.value.trim())
    }

    /// The change that saves it; an error says which field and what was expected.
    fn edit(&self, library: &Library) -> Result<Edit, String> {
        match &self.of {
            Of::Survey(id, at) => survey::save(self, library, id, *at),
            Of::Bell(id, key) => bell::save(self, library, id, *key),
            Of::Log(id, at) => log::save(self, library, id, *at),
            Of::Worth(id) => worth::save(self, library, id),
            Of::Air(id) => air::save(self, library, id),
        }
    }
}

/// Draws the form.
pub(in crate::places::collection) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, form: &mut TextForm) -> Outcome {
    let tokens = scene.tokens;
    let (mut saves, mut leaves) = (false, false);
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            leaves = ui.button("Cancel").on_hover_text("Esc; what was typed becomes a draft").clicked();
            saves = primary(ui, &tokens, "Save").on_hover_text("Enter in a line, or Ctrl Enter").clicked();
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                let title = RichText::new(&form.title).font(serif(size::HEADING)).color(tokens.ink);
                ui.add(egui::Label::new(title).truncate());
            });
        });
    });
    saves |= ui.input_mut(|i| i.consume_key(egui::Modifiers::COMMAND, egui::Key::Enter));
    form.error.ui(ui, &tokens, || form.slip());
    ui.add_space(space::XS);
    egui::ScrollArea::vertical().id_salt("bench form").auto_shrink([false, false]).show(ui, |ui| {
        egui::Grid::new("bench fields").num_columns(2).spacing([16.0, 6.0]).show(ui, |ui| {
            for (at, field) in form.fields.iter_mut().enumerate() {
                let takes = at == 0 && std::mem::take(&mut form.fresh);
                saves |= field_ui(ui, field, takes, tokens.ink2);
                ui.end_row();
            }
        });
    });
    if saves {
        match form.edit(scene.library).and_then(|edit| scene.try_edit(edit)) {
            Ok(()) => return Outcome::Saved,
            Err(why) => form.error = Refusal::of(why, &form.slip()),
        }
    }
    if leaves { Outcome::Left } else { Outcome::GoesOn }
}

/// Draws a field; whether one of a line was left with Enter.
fn field_ui(ui: &mut Ui, field: &mut Field, takes_focus: bool, quiet: egui::Color32) -> bool {
    let label = ui.label(field.label);
    let mut entered = false;
    ui.vertical(|ui| {
        if !field.choice.is_empty() {
            let shown = field.value.clone();
            let combo = egui::ComboBox::from_id_salt(field.label).selected_text(&shown).width(200.0);
            let response = combo.show_ui(ui, |ui| {
                for word in &field.choice {
                    ui.selectable_value(&mut field.value, word.clone(), word);
                }
            });
            let says = format!("{}: {shown}", field.label);
            response.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, says.clone()));
            return;
        }
        let edit = if field.lines > 1 {
            egui::TextEdit::multiline(&mut field.value).desired_rows(field.lines).desired_width(420.0)
        } else {
            egui::TextEdit::singleline(&mut field.value).desired_width(320.0)
        };
        let response = ui.add(edit).labelled_by(label.id);
        if takes_focus {
            response.request_focus();
        }
        entered = field.lines <= 1 && response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if !field.hint.is_empty() {
            let hint = RichText::new(field.hint).font(crate::theme::sans(size::NOTE)).color(quiet);
            ui.add(egui::Label::new(hint).wrap());
        }
    });
    entered
}
