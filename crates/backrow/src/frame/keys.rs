//! The keyboard map: the keys of the current place first, then every action with its key, then the other places. It fills the
//! window and is searched by typing.

use crate::intent::Intent;
use crate::keymap;
use crate::scene::Scene;
use crate::sheets::KeyGroup;
use crate::theme::dialog::dialog;
use crate::theme::tokens::{size, space};
use crate::theme::{sans, semibold, serif};
use crate::view::Place;
use egui::{Key, Modifiers, RichText, Ui, vec2};

/// The map while it is shown.
#[derive(Default)]
pub struct State {
    open: bool,
    text: String,
    fresh: bool,
}

impl State {
    /// Shows it, or puts it away.
    pub fn toggle(&mut self) {
        *self = Self { open: !self.open, text: String::new(), fresh: true };
    }

    /// Puts it away.
    pub fn close(&mut self) {
        self.open = false;
    }

    /// Whether it is shown.
    pub const fn is_open(&self) -> bool {
        self.open
    }
}

/// The narrowest that a column may be, points.
const COLUMN: f32 = 272.0;
/// What one press of an arrow scrolls, points.
const STEP: f32 = 40.0;

/// Shows the map when it is asked for.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, here: Place, state: &mut State) {
    if !state.open {
        return;
    }
    let tokens = scene.tokens;
    let room = ui.ctx().content_rect().size() - vec2(96.0, 72.0);
    let any = scene.library.programmes().next().is_some();
    let modal = dialog(ui, "keyboard map").show(ui.ctx(), |ui| {
        ui.set_width(room.x);
        ui.set_height(room.y);
        let scrolled = scroll_keys(ui, room.y);
        ui.horizontal(|ui| {
            ui.label(RichText::new("Keyboard map").font(serif(size::TITLE)).color(tokens.ink));
            let field =
                egui::TextEdit::singleline(&mut state.text).hint_text("Find a key …").desired_width(200.0);
            let field = ui.add(field);
            field.widget_info(|| egui::WidgetInfo::labeled(egui::Role::SearchInput, true, "Find a key"));
            if std::mem::take(&mut state.fresh) {
                field.request_focus();
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                if ui.button("Close").on_hover_text("Esc").clicked() {
                    state.open = false;
                }
                let print =
                    ui.add_enabled(any, egui::Button::new("Print …")).on_hover_text("Every key on paper");
                let print = print
                    .on_disabled_hover_text("Sheets are printed with a programme: make one in Week first");
                if print.clicked() {
                    state.open = false;
                    scene.ask(Intent::ShowSheet(crate::keymap::sheet()));
                }
            });
        });
        ui.add_space(space::S);
        let groups = groups(here, &state.text);
        if groups.is_empty() {
            ui.label(RichText::new("No key does that. Ctrl K finds everything.").color(tokens.ink2));
        }
        egui::ScrollArea::vertical().id_salt("keys").auto_shrink([false, false]).show(ui, |ui| {
            ui.scroll_with_delta(vec2(0.0, -scrolled));
            let columns = (1..=4).rev().find(|n| ui.available_width() >= COLUMN * *n as f32).unwrap_or(1);
            let shares = shared_out(groups, columns);
            ui.columns(columns, |columns| {
                for (column, share) in columns.iter_mut().zip(&shares) {
                    for group in share {
                        draw(column, &tokens, group);
                    }
                }
            });
        });
    });
    if modal.should_close() {
        state.open = false;
    }
}

/// How far the keys scroll the map. The field for typing needs none of them.
fn scroll_keys(ui: &Ui, page: f32) -> f32 {
    let pressed = |key| f32::from(u8::from(ui.input_mut(|i| i.consume_key(Modifiers::NONE, key))));
    STEP * (pressed(Key::ArrowDown) - pressed(Key::ArrowUp))
        + (page - 3.0 * STEP) * (pressed(Key::PageDown) - pressed(Key::PageUp))
}

/// Everything that has a key and fits what was typed, the current place first.
fn groups(here: Place, typed: &str) -> Vec<KeyGroup> {
    let others = Place::ALL.iter().filter(|place| **place != here).map(|place| keymap::of_place(*place));
    let all = std::iter::once(keymap::of_place(here)).chain(keymap::everywhere()).chain(others);
    let wanted: Vec<String> = typed.split_whitespace().map(str::to_lowercase).collect();
    let fits = |group: &KeyGroup, (key, what): &(String, String)| {
        let whole = format!("{key} {what} {}", group.title).to_lowercase();
        wanted.iter().all(|word| whole.contains(word))
    };
    let kept = all.map(|mut group| {
        let rows = std::mem::take(&mut group.rows);
        group.rows = rows.into_iter().filter(|row| fits(&group, row)).collect();
        group
    });
    kept.filter(|group| !group.rows.is_empty()).collect()
}

/// The groups in order, so that the columns come out about as long as each other.
fn shared_out(groups: Vec<KeyGroup>, columns: usize) -> Vec<Vec<KeyGroup>> {
    let long = |group: &KeyGroup| group.rows.len() + 2;
    let mut shares: Vec<Vec<KeyGroup>> = (0..columns).map(|_| Vec::new()).collect();
    for group in groups {
        let shortest = shares.iter_mut().min_by_key(|share| share.iter().map(long).sum::<usize>());
        if let Some(shortest) = shortest {
            shortest.push(group);
        }
    }
    shares
}

fn draw(ui: &mut Ui, tokens: &crate::theme::Tokens, group: &KeyGroup) {
    ui.label(RichText::new(&group.title).font(serif(size::HEADING)).color(tokens.ink));
    egui::Grid::new(("keys", &group.title)).num_columns(2).spacing([12.0, 1.0]).min_row_height(17.0).show(
        ui,
        |ui| {
            for (key, what) in &group.rows {
                ui.label(RichText::new(key).font(semibold(size::NOTE)).color(tokens.ink));
                ui.add(
                    egui::Label::new(RichText::new(what).font(sans(size::NOTE)).color(tokens.ink2)).wrap(),
                );
                ui.end_row();
            }
        },
    );
    ui.add_space(space::M);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_current_place_comes_first_and_none_is_missing() {
        let all = groups(Place::Week, "");
        assert_eq!(all.first().map(|group| group.title.as_str()), Some("Week"));
        for place in Place::ALL {
            let here = all.iter().any(|group| group.title == place.word());
            assert_eq!(here, !crate::places::keys(*place).is_empty(), "{place:?}");
        }
        let rows: usize = groups(Place::Floor, "redo").iter().map(|group| group.rows.len()).sum();
        assert_eq!(rows, 1);
    }

    #[test]
    fn columns_come_out_alike() {
        let shares = shared_out(groups(Place::Section, ""), 3);
        assert_eq!(shares.len(), 3);
        assert!(shares.iter().all(|share| !share.is_empty()));
    }
}
