//! Earlier versions of the library's files: looked at beside what stands, and brought back.

use super::versions::{Line, columns, lines};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::dialog::dialog;
use crate::theme::tokens::{size, space};
use crate::theme::{sans, serif};
use backrow_files::library::Earlier;
use egui::{RichText, Ui};
use std::path::PathBuf;

/// What is shown.
#[derive(Default)]
pub struct State {
    folder: PathBuf,
    /// Of each file the versions, newest first; the file that changed last comes first.
    files: Vec<Vec<Earlier>>,
    file: usize,
    version: usize,
    wanted: String,
    lines: Vec<Line>,
}

impl State {
    /// Shows these; whether there are any.
    pub fn open(&mut self, folder: PathBuf, all: Vec<Earlier>) -> bool {
        let mut files: Vec<Vec<Earlier>> = Vec::new();
        for one in all {
            match files.last_mut() {
                Some(same) if same.first().is_some_and(|first| first.file == one.file) => same.push(one),
                _ => files.push(vec![one]),
            }
        }
        files.sort_by_key(|versions| std::cmp::Reverse(versions.first().map(|first| first.until)));
        *self = Self { folder, files, ..Self::default() };
        self.compare();
        self.is_open()
    }

    /// Whether any are shown.
    pub const fn is_open(&self) -> bool {
        !self.files.is_empty()
    }

    /// Shows none any more.
    pub fn close(&mut self) {
        *self = Self::default();
    }

    fn shown(&self) -> Option<&Earlier> {
        self.files.get(self.file).and_then(|versions| versions.get(self.version))
    }

    fn compare(&mut self) {
        self.lines = self.shown().map_or_else(Vec::new, |earlier| {
            let (stands, was) = earlier.texts(&self.folder);
            lines(&stands, &was)
        });
    }
}

/// Draws them over the window while there are any.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
    if !state.is_open() {
        return;
    }
    let mut closes = false;
    let modal = dialog(ui, "earlier versions");
    let response = modal.show(ui.ctx(), |ui| {
        let room = ui.ctx().content_rect().size();
        ui.set_width((room.x - 160.0).clamp(480.0, 1100.0));
        ui.horizontal(|ui| {
            ui.label(RichText::new("Earlier versions").font(serif(size::TITLE)).color(scene.tokens.ink));
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                closes = ui.button("Close").on_hover_text("Esc").clicked();
            });
        });
        let height = (room.y - 260.0).max(160.0);
        ui.horizontal_top(|ui| {
            let changed = ui.vertical(|ui| choice(ui, scene, state, height)).inner;
            if changed {
                state.compare();
            }
            ui.vertical(|ui| shown(ui, scene, state, height));
        });
        ui.add_space(space::S);
        if let Some(earlier) = state.shown().cloned() {
            ui.horizontal(|ui| {
                if ui.button("Bring this version back").clicked() {
                    scene.ask(Intent::BringBack(earlier));
                    closes = true;
                }
                let words = "The present version becomes an earlier one in turn. Times are UTC.";
                ui.label(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2));
            });
        }
    });
    if closes || response.should_close() {
        state.close();
    }
}

/// The files and, below them, the versions of the one that is chosen; whether another was chosen.
fn choice(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, height: f32) -> bool {
    const WIDE: f32 = 250.0;
    let mut changed = false;
    let ink2 = scene.tokens.ink2;
    ui.set_width(WIDE);
    let label = ui.label(RichText::new("File").color(ink2));
    ui.add(egui::TextEdit::singleline(&mut state.wanted).hint_text("part of its name").desired_width(WIDE))
        .labelled_by(label.id);
    let wanted = state.wanted.to_lowercase();
    let fits: Vec<usize> = (0..state.files.len())
        .filter(|at| {
            let file = state.files.get(*at).and_then(|versions| versions.first());
            file.is_some_and(|first| first.file.contains(wanted.trim()))
        })
        .collect();
    let half = (height / 2.0 - 40.0).max(60.0);
    let row = ui.spacing().interact_size.y;
    let files = egui::ScrollArea::vertical().id_salt("files").max_height(half).auto_shrink([false, true]);
    files.show_rows(ui, row, fits.len(), |ui, rows| {
        for at in fits.get(rows).unwrap_or_default() {
            let Some(first) = state.files.get(*at).and_then(|versions| versions.first()) else { continue };
            if ui.selectable_label(state.file == *at, &first.file).clicked() {
                (state.file, state.version, changed) = (*at, 0, true);
            }
        }
    });
    ui.add_space(space::S);
    ui.label(RichText::new("As it was until").color(ink2));
    let versions =
        egui::ScrollArea::vertical().id_salt("versions").max_height(half).auto_shrink([false, true]);
    versions.show(ui, |ui| {
        for (at, one) in state.files.get(state.file).into_iter().flatten().enumerate() {
            let words = to_the_second(scene, one.until);
            if ui.selectable_label(state.version == at, words).clicked() {
                (state.version, changed) = (at, true);
            }
        }
    });
    changed
}

/// Several versions may stand in one minute.
fn to_the_second(scene: &Scene<'_>, at: jiff::civil::DateTime) -> String {
    let days = scene.library.days();
    format!("{}, {} and {}\u{202F}s", days.day(at.date()), days.hour(at.time()), at.second())
}

fn shown(ui: &mut Ui, scene: &Scene<'_>, state: &State, height: f32) {
    let Some(earlier) = state.shown() else { return };
    let heads = [
        format!("As it stands: {}", earlier.file),
        format!("As it was until {}", to_the_second(scene, earlier.until)),
    ];
    columns(ui, &scene.tokens, &heads, &state.lines, height);
}
