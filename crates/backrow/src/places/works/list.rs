//! The list of works, and the line from which a score is read.

use super::State;
use crate::actions::Action;
use crate::intent::Intent;
use crate::paths::{self, Homes};
use crate::places::works::Here;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::widgets::{in_menu, primary};
use crate::theme::{sans, serif_italic};
use crate::words::minutes;
use backrow_core::id::{is_found, slug_of};
use backrow_core::music::Work;
use egui::containers::menu::{MenuButton, MenuConfig};
use egui::{Align, Key, Layout, RichText, Sense, Ui, WidgetInfo, vec2};

/// What a path may lead to.
const PATH: &str = "or type the path of a score, a table or a folder";

/// In the place's heading: the buttons, the path, and how passages are told apart.
pub(super) fn read_line(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
    // In an empty library the steps below offer it.
    if !scene.library.works.is_empty()
        && primary(ui, &scene.tokens, "Read a score …").on_hover_text(Action::ReadScore.key_words()).clicked()
    {
        scene.ask(Intent::Do(Action::ReadScore));
    }
    if ui.button("Enter a work").on_hover_text("Ctrl N").clicked() {
        state.review.put(super::editor::Editor::new());
    }
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        options(ui, scene);
        path_field(ui, scene, state);
    });
}

fn path_field(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) {
    let hint = RichText::new(PATH).color(scene.tokens.ink2);
    let width = (ui.available_width() - 16.0).clamp(60.0, 520.0);
    let shown = egui::TextEdit::singleline(&mut state.path).hint_text(hint).desired_width(width).show(ui);
    let response = shown.response.response;
    response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, PATH));
    if response.gained_focus() && !state.path.is_empty() {
        // What was typed last is marked, so that the next path takes its place.
        let mut marked = shown.state;
        let all = egui::text::CCursorRange::two(
            egui::text::CCursor::new(0),
            egui::text::CCursor::new(state.path.chars().count()),
        );
        marked.cursor.set_char_range(Some(all));
        marked.store(ui.ctx(), response.id);
    }
    if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter)) && !state.path.trim().is_empty() {
        scene.ask(match paths::whole(&state.path, &Homes::of_account()) {
            Ok(path) => Intent::Open(path),
            Err(why) => Intent::Fail(why),
        });
    }
}

/// When a passage ends: kept for the next reading.
fn options(ui: &mut Ui, scene: &mut Scene<'_>) {
    let mut settings = scene.settings.clone();
    let passages = &mut settings.passages;
    let tokens = scene.tokens;
    let note =
        |ui: &mut Ui, words: &str| ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
    let stays = MenuConfig::new().close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside);
    let (button, _) = MenuButton::new("Passages …").config(stays).ui(ui, |ui| {
        in_menu(ui, &tokens, |ui| {
            ui.horizontal(|ui| {
                let label = note(ui, "A passage ends at a rest of");
                let rest = egui::DragValue::new(&mut passages.rest_s)
                    .range(0.5..=60.0)
                    .speed(0.1)
                    .suffix("\u{202F}s");
                ui.add(rest).labelled_by(label.id);
                let whole = RichText::new("and a whole measure").font(sans(size::NOTE));
                ui.checkbox(&mut passages.whole_measure, whole);
            });
            ui.horizontal(|ui| {
                let label = note(ui, "A fermata adds");
                let hold = egui::DragValue::new(&mut passages.fermata_s)
                    .range(0.0..=30.0)
                    .speed(0.1)
                    .suffix("\u{202F}s");
                ui.add(hold).labelled_by(label.id);
            });
        });
    });
    button.on_hover_text("How a score that is read is cut into passages");
    if settings != *scene.settings {
        scene.ask(Intent::Set(Box::new(settings)));
    }
}

/// Every work, a row each.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, width: f32) {
    let tokens = scene.tokens;
    ui.vertical(|ui| {
        ui.set_width(width);
        let hint = RichText::new("Title or composer …").color(tokens.ink2);
        let field = ui.add(
            egui::TextEdit::singleline(&mut view.own.filter).hint_text(hint).desired_width(width - 16.0),
        );
        field.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Filter works"));
        let wanted = view.own.filter.clone();
        egui::ScrollArea::vertical().id_salt("works").auto_shrink([false, false]).show(ui, |ui| {
            let mut works: Vec<_> = scene.library.works.values().cloned().collect();
            works.sort_by_cached_key(|work| (slug_of(&work.title), slug_of(&work.composer)));
            for work in &works {
                if !is_found(&work.title, &wanted) && !is_found(&work.composer, &wanted) {
                    continue;
                }
                let here = view.work.as_ref() == Some(&work.id);
                let (rect, response) =
                    ui.allocate_exact_size(vec2(ui.available_width() - 8.0, 40.0), Sense::click());
                response.widget_info(|| {
                    WidgetInfo::selected(egui::Role::Button, true, here, format!("Show {}", work.title))
                });
                if here {
                    ui.painter().rect_filled(rect, 0.0, tokens.soft);
                } else if response.hovered() {
                    ui.painter().rect_filled(rect, 0.0, tokens.raised);
                }
                crate::theme::widgets::focus_ring(ui, &response, &tokens);
                let (upper, lower) = rect.shrink2(vec2(8.0, 2.0)).split_top_bottom_at_fraction(0.55);
                let left = egui::Align2::LEFT_CENTER;
                crate::theme::marks::text_within(
                    ui.painter(),
                    upper,
                    left,
                    &work.title,
                    serif_italic(15.0),
                    tokens.ink,
                );
                let playing: Vec<&str> = scene
                    .library
                    .programmes()
                    .filter(|(_, programme)| programme.works.contains(&work.id))
                    .map(|(_, programme)| programme.title.as_str())
                    .collect();
                let playing =
                    if playing.is_empty() { String::new() } else { format!(" · {}", playing.join(", ")) };
                let movements = match work.movements.len() {
                    0 | 1 => String::new(),
                    n => format!(" in {n} movements"),
                };
                let rows = match work.lines.len() {
                    0 => "tacet".to_owned(),
                    1 => "1 line".to_owned(),
                    n => format!("{n} lines"),
                };
                let time = minutes(work.seconds());
                let words = format!("{}{time}{movements}, {rows}{playing}", composer_first(work));
                crate::theme::marks::text_within(
                    ui.painter(),
                    lower,
                    left,
                    &words,
                    sans(size::NOTE),
                    tokens.ink2,
                );
                if response.clicked() {
                    scene.intents.push(Intent::Work(work.id.clone()));
                }
            }
        });
    });
}

/// "Pia Okonjo, " before what is said of a work; nothing where nobody is named.
pub(super) fn composer_first(work: &Work) -> String {
    if work.composer.trim().is_empty() { String::new() } else { format!("{}, ", work.composer) }
}
