//! The columns with what they stand for, every row, and what cannot be read.

use super::{State, cell_name, named, small};
use crate::scene::Scene;
use crate::theme::marks::{self, Mark};
use crate::theme::tokens::{size, space};
use crate::theme::{sans, semibold, serif};
use backrow_files::tables::collection::{Fate, Taken, Trouble, Unit};
use egui::{Align, Layout, RichText, Ui, vec2};
use std::collections::BTreeMap;

const ROW: f32 = 26.0;
const COLUMN: f32 = 132.0;
/// The tick, the number and what becomes of the row.
const FIRST: f32 = 132.0;
/// What cannot be read has so much of the height.
const TROUBLES: f32 = 132.0;

/// Draws them.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, taken: &Taken) {
    let troubles = if taken.troubles.is_empty() { 0.0 } else { TROUBLES };
    let height = (ui.available_height() - troubles).max(120.0);
    let width = ui.available_width();
    ui.allocate_ui(vec2(width, height), |ui| {
        egui::ScrollArea::horizontal().id_salt("columns of the table").auto_shrink([false, false]).show(
            ui,
            |ui| {
                let width = FIRST + COLUMN * state.import.grid.heads.len() as f32;
                ui.set_min_width(width);
                ui.vertical(|ui| {
                    heads(ui, scene, state);
                    body(ui, scene, state, taken, width);
                });
            },
        );
    });
    if !taken.troubles.is_empty() {
        list(ui, scene, state, &taken.troubles);
    }
}

/// One slot of a row, as wide as all of its column.
fn slot(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui)) {
    ui.allocate_ui_with_layout(vec2(width - space::S, ROW), Layout::left_to_right(Align::Center), |ui| {
        ui.set_min_size(vec2(width - space::S, ROW));
        ui.set_max_width(width - space::S);
        add(ui);
    });
}

fn heads(ui: &mut Ui, scene: &Scene<'_>, state: &mut State) {
    ui.spacing_mut().item_spacing.x = space::S;
    ui.horizontal(|ui| {
        slot(ui, FIRST, |ui| {
            small(ui, scene, "Row");
        });
        for (at, head) in state.import.grid.heads.iter().enumerate() {
            let words = if head.trim().is_empty() { format!("column {}", at + 1) } else { head.clone() };
            slot(ui, COLUMN, |ui| {
                let words = RichText::new(words).font(semibold(size::NOTE)).color(scene.tokens.ink);
                ui.add(egui::Label::new(words).truncate());
            });
        }
    });
    ui.horizontal(|ui| {
        slot(ui, FIRST, |ui| {
            small(ui, scene, "stands for");
        });
        for at in 0..state.import.grid.heads.len() {
            slot(ui, COLUMN, |ui| column(ui, scene, state, at));
        }
    });
}

/// What a column stands for, and in which unit.
fn column(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, at: usize) {
    let Some(now) = state.import.columns.get(at).copied() else { return };
    let head = state.import.grid.heads.get(at).cloned().unwrap_or_default();
    let name = if head.trim().is_empty() { format!("Column {}", at + 1) } else { format!("Column {head}") };
    let has_unit = now.is_some_and(|column| column.unit.is_some());
    let mut chosen = None;
    let words = now.map_or("left out", |column| column.field.bare_word());
    let width = if has_unit { COLUMN - 80.0 } else { COLUMN - space::M };
    let combo = egui::ComboBox::from_id_salt(("column", at)).selected_text(words).width(width).height(360.0);
    let combo = combo.truncate().show_ui(ui, |ui| {
        if ui.selectable_label(now.is_none(), "left out").clicked() {
            chosen = Some(None);
        }
        for field in state.import.subject.fields() {
            let is = now.is_some_and(|column| column.field == *field);
            if ui.selectable_label(is, field.bare_word()).clicked() {
                chosen = Some(Some(*field));
            }
        }
    });
    named(&combo.response, egui::Role::ComboBox, &format!("{name}: {words}"));
    let mut unit_chosen = None;
    if let Some((column, unit)) = now.and_then(|column| Some((column, column.unit?))) {
        let combo = egui::ComboBox::from_id_salt(("unit", at)).selected_text(unit.sign()).width(44.0);
        let combo = combo.show_ui(ui, |ui| {
            let all = Unit::ALL.into_iter().filter(|unit| Some(unit.measures()) == column.field.measures());
            for one in all {
                if ui.selectable_label(one == unit, one.sign()).clicked() {
                    unit_chosen = Some(one);
                }
            }
        });
        named(&combo.response, egui::Role::ComboBox, &format!("Unit of {name}: {}", unit.sign()));
    }
    if let Some(field) = chosen {
        state.import.set_column(scene.library, at, field);
        state.changes += 1;
    }
    if let (Some(unit), Some(Some(column))) = (unit_chosen, state.import.columns.get_mut(at)) {
        column.unit = Some(unit);
        state.changes += 1;
    }
}

fn body(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, taken: &Taken, width: f32) {
    let fates: BTreeMap<usize, Fate> = taken.things.iter().map(|(row, _, fate)| (*row, *fate)).collect();
    let mut troubles: BTreeMap<(usize, Option<usize>), &Trouble> = BTreeMap::new();
    for one in taken.troubles.iter().rev() {
        troubles.insert((one.row, one.column), one);
    }
    let count = state.import.grid.rows.len();
    let wanted = state.to_row.take();
    let mut area = egui::ScrollArea::vertical().id_salt("rows of the table").auto_shrink([false, false]);
    if let Some(at) = wanted.and_then(|row| state.import.grid.rows.iter().position(|(n, _)| *n == row)) {
        area = area.vertical_scroll_offset((at as f32 * (ROW + ui.spacing().item_spacing.y) - ROW).max(0.0));
    }
    let mut mended = None;
    area.show_rows(ui, ROW, count, |ui, range| {
        ui.set_min_width(width);
        for at in range {
            let Some((row, cells)) = state.import.grid.rows.get(at) else { continue };
            ui.push_id(*row, |ui| {
                ui.horizontal(|ui| {
                    let mut stays = !state.import.left_out.contains(row);
                    let lacks = troubles.get(&(*row, None)).copied();
                    slot(ui, FIRST, |ui| {
                        first(ui, scene, *row, &mut stays, (fates.get(row).copied(), lacks));
                    });
                    if stays == state.import.left_out.contains(row) {
                        mended = Some((*row, None));
                    }
                    for (column, head) in state.import.grid.heads.iter().enumerate() {
                        let text = cells.get(column).map_or("", String::as_str);
                        let trouble = troubles.get(&(*row, Some(column))).copied();
                        let name = cell_name(*row, head, column);
                        slot(ui, COLUMN, |ui| {
                            if let Some(text) = cell(ui, scene, text, &name, trouble) {
                                mended = Some((*row, Some((column, text))));
                            }
                        });
                    }
                });
            });
        }
    });
    match mended {
        Some((row, Some((column, text)))) => {
            state.import.grid.mend(row, column, &text);
            state.cells.insert((state.import.grid.sheet, row, column), text);
            state.import.match_owners(scene.library);
        }
        Some((row, None)) if !state.import.left_out.remove(&row) => {
            state.import.left_out.insert(row);
        }
        Some(_) => {}
        None => return,
    }
    state.changes += 1;
}

fn first(
    ui: &mut Ui,
    scene: &Scene<'_>,
    row: usize,
    stays: &mut bool,
    (fate, lacks): (Option<Fate>, Option<&Trouble>),
) {
    let tick = ui.checkbox(stays, "");
    named(&tick, egui::Role::CheckBox, &format!("Import row {row}"));
    let (words, ink) = match fate {
        _ if !*stays => ("left out", scene.tokens.ink2),
        Some(Fate::New) => ("new", scene.tokens.ink),
        Some(Fate::Changes) => ("changed", scene.tokens.ink),
        Some(Fate::Same) => ("unchanged", scene.tokens.ink2),
        None => ("left out", scene.tokens.clash),
    };
    let said = RichText::new(format!("{row}  {words}")).font(sans(size::NOTE)).color(ink);
    let label = ui.add(egui::Label::new(said).truncate());
    if let Some(lacks) = lacks {
        label.on_hover_text(format!("{}; {}.", lacks.problem.what, lacks.problem.remedy));
    }
}

/// A cell that can be typed in; one with a fault has a mark and says what is wrong. What was typed.
fn cell(ui: &mut Ui, scene: &Scene<'_>, text: &str, name: &str, trouble: Option<&Trouble>) -> Option<String> {
    if let Some(trouble) = trouble {
        let (rect, _) = ui.allocate_exact_size(vec2(14.0, ROW), egui::Sense::hover());
        let mark = if trouble.guess { Mark::Note } else { Mark::Clash };
        marks::mark(ui.painter(), rect.center(), mark, &scene.tokens);
    }
    let mut typed = text.to_owned();
    let ink =
        if trouble.is_some_and(|trouble| !trouble.guess) { scene.tokens.clash } else { scene.tokens.ink };
    let field = egui::TextEdit::singleline(&mut typed).text_color(ink).font(sans(size::NOTE));
    let field = ui.add(field.desired_width(ui.available_width()).char_limit(2_000));
    let says = trouble.map_or_else(|| name.to_owned(), |trouble| format!("{name}: {}", trouble.problem.what));
    named(&field, egui::Role::TextInput, &says);
    let changed = field.changed();
    if let Some(trouble) = trouble {
        field.on_hover_text(format!("{}; {}.", trouble.problem.what, trouble.problem.remedy));
    }
    changed.then_some(typed)
}

/// What cannot be read or was guessed, each a way to its row.
fn list(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, troubles: &[Trouble]) {
    let cells = troubles.iter().filter(|one| !one.whole_row && !one.guess).count();
    let rows = troubles.iter().filter(|one| one.whole_row).count();
    let many = |count: usize, one: &str| format!("{count} {one}{}", if count == 1 { "" } else { "s" });
    let title =
        format!("Left out: {}, {}. Type over a cell to correct it.", many(rows, "row"), many(cells, "cell"));
    ui.label(RichText::new(title).font(serif(size::HEADING)).color(scene.tokens.ink));
    egui::ScrollArea::vertical().id_salt("what cannot be read").auto_shrink([false, false]).show_rows(
        ui,
        18.0,
        troubles.len(),
        |ui, range| {
            for trouble in troubles.get(range).unwrap_or_default() {
                let words = RichText::new(trouble.problem.to_string()).font(sans(size::NOTE));
                if ui.add(egui::Link::new(words)).on_hover_text("Shows the row").clicked() {
                    state.to_row = Some(trouble.row);
                }
            }
        },
    );
}
