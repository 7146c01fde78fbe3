//! A table of instruments: each column with the field that it stands for, the first rows, and what cannot be read.

use crate::intent::Intent;
use crate::memo::Memo;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{sans, semibold, serif};
use crate::view::Place;
use backrow_files::tables::collection::{Field, Grid, Taken, match_columns, take};
use egui::{RichText, Ui, WidgetInfo};

/// Rows that are shown.
const SHOWN: usize = 12;

/// The table and its columns.
pub struct State {
    grid: Grid,
    columns: Vec<Option<Field>>,
    taken: Memo<(u64, Vec<Option<Field>>), Taken>,
}

impl State {
    pub(super) fn new(grid: Grid) -> Self {
        let columns = match_columns(&grid.heads);
        Self { grid, columns, taken: Memo::default() }
    }
}

/// Draws it; `false` when it is over.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) -> bool {
    let tokens = scene.tokens;
    let library = scene.library;
    let mut memo = std::mem::take(&mut state.taken);
    let taken =
        memo.get((scene.revision, state.columns.clone()), || take(library, &state.grid, &state.columns));
    let new = taken.instruments.iter().filter(|(_, _, new)| *new).count();
    ui.label(RichText::new(format!("Import {}", state.grid.file)).font(serif(size::TITLE)).color(tokens.ink));
    let facts = format!(
        "{} rows: {new} new, {} change what is there, {} cannot be read. Choose what each column stands for.",
        state.grid.rows.len(),
        taken.instruments.len() - new,
        taken.problems.len()
    );
    ui.label(RichText::new(facts).color(tokens.ink2));
    let mut goes_on = true;
    ui.horizontal(|ui| {
        let words = format!("Import {} instruments", taken.instruments.len());
        if primary(ui, &scene.tokens, &words).clicked() && !taken.instruments.is_empty() {
            scene.edit(taken.edit(&state.grid.file));
            scene.ask(Intent::Go(Place::Collection));
            goes_on = false;
        }
        if ui.button("Leave it").clicked() {
            goes_on = false;
        }
    });
    ui.add_space(space::S);
    egui::ScrollArea::both().id_salt("table to take in").auto_shrink([false, false]).show(ui, |ui| {
        egui::Grid::new("columns").num_columns(state.grid.heads.len()).spacing([12.0, 4.0]).show(ui, |ui| {
            for head in &state.grid.heads {
                ui.label(RichText::new(head).font(semibold(size::NOTE)).color(tokens.ink));
            }
            ui.end_row();
            for (at, (head, field)) in state.grid.heads.iter().zip(&mut state.columns).enumerate() {
                let words = field.map_or("left out", Field::word);
                let combo = egui::ComboBox::from_id_salt(("column", at))
                    .selected_text(words)
                    .width(96.0)
                    .height(360.0);
                let combo = combo.show_ui(ui, |ui| {
                    ui.selectable_value(field, None, "left out");
                    for choice in Field::ALL {
                        ui.selectable_value(field, Some(choice), choice.word());
                    }
                });
                let label = format!("Column {head}");
                combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, label.clone()));
            }
            ui.end_row();
            for (_, cells) in state.grid.rows.iter().take(SHOWN) {
                for cell in cells {
                    let short: String = cell.chars().take(28).collect();
                    ui.label(RichText::new(short).font(sans(size::NOTE)).color(tokens.ink2));
                }
                ui.end_row();
            }
        });
        if state.grid.rows.len() > SHOWN {
            let more = format!("and {} more rows", state.grid.rows.len() - SHOWN);
            ui.label(RichText::new(more).font(sans(size::NOTE)).color(tokens.ink2));
        }
        if !taken.problems.is_empty() {
            ui.add_space(space::M);
            ui.label(RichText::new("Rows that are left out").font(serif(size::HEADING)).color(tokens.ink));
            for problem in &taken.problems {
                ui.label(RichText::new(problem.to_string()).font(sans(size::NOTE)).color(tokens.care));
            }
        }
    });
    state.taken = memo;
    goes_on
}
