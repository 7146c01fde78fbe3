//! Two versions of a file beside each other, when somebody else has changed it too: chosen field by field, or as a whole.

mod fields;
mod lines;

pub(super) use lines::{Line, columns, lines};

use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::dialog::dialog;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{sans, serif};
use backrow_files::library::{Choice, Clash, Other};
use egui::{RichText, Ui};

/// What is shown.
#[derive(Default)]
pub struct State {
    pairs: Vec<Pair>,
    at: usize,
}

/// Two versions of one file.
pub struct Pair {
    clash: Clash,
    lines: Vec<Line>,
    /// The fields in which they differ, where both can be read.
    choice: Option<Choice>,
    /// Which of the fields are taken from the other version.
    takes: Vec<bool>,
    by_line: bool,
}

impl Pair {
    /// Compares the two.
    pub fn new(clash: Clash) -> Self {
        let choice = Choice::between(&clash.file, &clash.stands, &clash.beside).ok();
        let takes = choice.as_ref().map_or_else(Vec::new, |choice| vec![false; choice.differences.len()]);
        Self { lines: lines(&clash.stands, &clash.beside), by_line: choice.is_none(), choice, takes, clash }
    }

    /// What the button that shows it is called.
    fn name(&self) -> &str {
        self.clash.other_file().unwrap_or(&self.clash.file)
    }

    fn heads(&self) -> [String; 2] {
        match &self.clash.other {
            Other::Kept(other) => {
                [format!("As it stands: {}", self.clash.file), format!("Saved beside it: {other}")]
            }
            Other::Copy(other) => [
                format!("As it stands: {}", self.clash.file),
                format!("A copy that a sync tool left: {other}"),
            ],
            Other::Marks => [
                format!("{}, the lines above the middle mark", self.clash.file),
                "The lines below it".to_owned(),
            ],
        }
    }
}

impl State {
    /// Shows these; whether there are any.
    pub fn open(&mut self, pairs: Vec<Pair>) -> bool {
        (self.pairs, self.at) = (pairs, 0);
        self.is_open()
    }

    /// Whether any are shown.
    pub const fn is_open(&self) -> bool {
        !self.pairs.is_empty()
    }

    /// Shows none any more.
    pub fn close(&mut self) {
        self.pairs.clear();
    }
}

/// Draws them over the window while there are any.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
    state.at = state.at.min(state.pairs.len().saturating_sub(1));
    if state.pairs.is_empty() {
        return;
    }
    let mut closes = false;
    let modal = dialog(ui, "two versions");
    let response = modal.show(ui.ctx(), |ui| {
        let room = ui.ctx().content_rect().size();
        ui.set_width((room.x - 160.0).clamp(480.0, 1100.0));
        closes = head(ui, scene, state);
        let Some(pair) = state.pairs.get_mut(state.at) else { return };
        let (heads, height) = (pair.heads(), (room.y - 290.0).max(160.0));
        ways(ui, pair);
        match &pair.choice {
            Some(choice) if !pair.by_line => {
                fields::fields(ui, &scene.tokens, &heads, &choice.differences, &mut pair.takes, height);
            }
            _ => columns(ui, &scene.tokens, &heads, &pair.lines, height),
        }
        ui.add_space(space::S);
        if let Some(text) = decided(ui, scene, pair) {
            scene.ask(Intent::Decide(Box::new(pair.clash.clone()), text));
            closes = true;
        }
    });
    if closes || response.should_close() {
        state.close();
    }
}

/// Whether the two are shown field by field or line by line.
fn ways(ui: &mut Ui, pair: &mut Pair) {
    if pair.choice.is_none() {
        let words = "One of the two cannot be read, so they can only be chosen whole.";
        ui.label(RichText::new(words).font(sans(size::NOTE)));
        return;
    }
    ui.horizontal(|ui| {
        for (words, by_line) in [("By field", false), ("By line", true)] {
            if ui.selectable_label(pair.by_line == by_line, words).clicked() {
                pair.by_line = by_line;
            }
        }
    });
}

/// The buttons that decide; the text that is to stand, if one was pressed.
fn decided(ui: &mut Ui, scene: &Scene<'_>, pair: &Pair) -> Option<String> {
    let mut text = None;
    ui.horizontal_wrapped(|ui| {
        if let Some(choice) = pair.choice.as_ref().filter(|choice| !choice.differences.is_empty())
            && primary(ui, &scene.tokens, "Use the chosen fields").clicked()
        {
            text = Some(choice.text(&pair.takes));
        }
        if ui.button("Use this version").clicked() {
            text = Some(pair.clash.stands.clone());
        }
        if ui.button("Use the other version").clicked() {
            text = Some(pair.clash.beside.clone());
        }
        let words = "What is not used stays among the earlier versions.";
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
    });
    text
}

/// Title, the files that have two versions, and the button that closes; whether it was pressed.
fn head(ui: &mut Ui, scene: &Scene<'_>, state: &mut State) -> bool {
    let mut closes = false;
    ui.horizontal(|ui| {
        ui.label(RichText::new("Two versions").font(serif(size::TITLE)).color(scene.tokens.ink));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            closes = ui.button("Close").on_hover_text("Esc").clicked();
        });
    });
    ui.horizontal_wrapped(|ui| {
        for (at, pair) in state.pairs.iter().enumerate() {
            if ui.selectable_label(state.at == at, pair.name()).clicked() {
                state.at = at;
            }
        }
    });
    closes
}
