//! What was found: that of the current place first, a line each with what mends it; the rest opens on a click.

use super::rule;
use crate::derived::{FindingRow, Fix};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::marks::Mark;
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::{marks, sans, semibold};
use crate::view::Place;
use egui::{Align, Layout, RichText, Sense, Ui, WidgetInfo, vec2};
use std::collections::BTreeSet;

/// What is open and what is left out.
#[derive(Default)]
pub(super) struct State {
    /// The findings whose words are shown whole, by their titles.
    open: BTreeSet<String>,
    /// Whether those of the other places are shown.
    elsewhere: bool,
    /// Degrees that are left out.
    without: Vec<Mark>,
}

/// The degrees, worst first.
const DEGREES: [Mark; 3] = [Mark::Clash, Mark::Care, Mark::Note];

/// Draws them.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, here: Place, state: &mut State) {
    let tokens = scene.tokens;
    let derived = scene.derived;
    let found = derived.findings();
    marks::heading(ui, "Findings", &format!("{} in all", found.len()), &tokens);
    rule(ui, scene);
    if derived.is_working() {
        let words = "Being worked out: seconds and findings as they were before.";
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
    }
    if found.is_empty() {
        let words = match scene.library.programmes().next() {
            Some(_) => "Nothing to fix in this programme.",
            None => "No programme yet, so nothing to find.",
        };
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
        return;
    }
    degrees(ui, &tokens, found, state);
    let shown = |row: &&FindingRow| !state.without.contains(&row.mark);
    let (own, others): (Vec<_>, Vec<_>) = found.iter().filter(shown).partition(|row| row.place == here);
    let mut asked: Vec<Intent> = Vec::new();
    if own.is_empty() {
        let words = format!("None of these in {}.", here.word());
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
    }
    rows(ui, &tokens, &own, &mut state.open, &mut asked);
    if !others.is_empty() {
        ui.add_space(space::S);
        elsewhere(ui, &tokens, &others, state, &mut asked);
    }
    scene.intents.extend(asked);
}

/// How many there are of each degree; a click leaves a degree out, another brings it back.
fn degrees(ui: &mut Ui, tokens: &Tokens, found: &[FindingRow], state: &mut State) {
    ui.horizontal_wrapped(|ui| {
        // Three counts of two figures stand in one row of the narrowest usual panel.
        ui.spacing_mut().item_spacing.x = space::XS;
        ui.spacing_mut().button_padding.x = space::XS;
        for degree in DEGREES {
            let count = found.iter().filter(|row| row.mark == degree).count();
            if count == 0 {
                continue;
            }
            let on = !state.without.contains(&degree);
            let words = format!("{count} {}", degree.word(count));
            let ink = if on { tokens.ink } else { tokens.ink2 };
            let (rect, _) = ui.allocate_exact_size(vec2(12.0, 20.0), Sense::hover());
            marks::mark(ui.painter(), rect.center(), degree, tokens);
            let text = RichText::new(words.clone()).font(sans(size::NOTE)).color(ink);
            let button = ui.selectable_label(on, if on { text } else { text.strikethrough() });
            button.widget_info(|| {
                WidgetInfo::selected(egui::Role::CheckBox, true, on, format!("Show {words}"))
            });
            if button.clicked() {
                if on {
                    state.without.push(degree);
                } else {
                    state.without.retain(|other| *other != degree);
                }
            }
        }
    });
    ui.add_space(space::XS);
}

/// The other places with their counts; opened, their findings too.
fn elsewhere(
    ui: &mut Ui,
    tokens: &Tokens,
    others: &[&FindingRow],
    state: &mut State,
    asked: &mut Vec<Intent>,
) {
    let words = format!("{} in other places", others.len());
    let sign = if state.elsewhere { "▾" } else { "▸" };
    let text = RichText::new(format!("{sign} {words}")).font(semibold(size::NOTE)).color(tokens.ink2);
    let button = ui.add(egui::Button::new(text).frame(false));
    button.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, state.elsewhere, words.clone()));
    if button.clicked() {
        state.elsewhere = !state.elsewhere;
    }
    if !state.elsewhere {
        return;
    }
    for place in Place::ALL {
        let of_place: Vec<&FindingRow> = others.iter().copied().filter(|row| row.place == *place).collect();
        if of_place.is_empty() {
            continue;
        }
        ui.label(RichText::new(place.word()).font(semibold(size::NOTE)).color(tokens.ink2));
        rows(ui, tokens, &of_place, &mut state.open, asked);
    }
}

fn rows(
    ui: &mut Ui,
    tokens: &Tokens,
    found: &[&FindingRow],
    open: &mut BTreeSet<String>,
    asked: &mut Vec<Intent>,
) {
    for (at, row) in found.iter().enumerate() {
        ui.push_id((at, &row.title), |ui| {
            let key = format!("{} {}", row.title, row.detail);
            let mut is_open = open.contains(&key);
            one(ui, tokens, row, &mut is_open, asked);
            if is_open {
                open.insert(key);
            } else {
                open.remove(&key);
            }
        });
    }
}

/// What is on the button that fixes it, what the button does in words, and what it asks for.
fn button_of(row: &FindingRow) -> Option<(&'static str, String, Vec<Intent>)> {
    match &row.fix {
        Fix::Edit(words, edit) => Some(("Fix", format!("Fix: {words}"), vec![Intent::Edit(edit.clone())])),
        Fix::GoTo(words, way) => Some(("Fix …", (*words).to_owned(), way.clone())),
        Fix::Nothing(_) => None,
    }
}

/// What the button that fixes it takes of the row, as wide as it is drawn.
fn fix_width(ui: &Ui, row: &FindingRow) -> f32 {
    let Some((face, ..)) = button_of(row) else { return 0.0 };
    let galley = ui.painter().layout_no_wrap(face.to_owned(), sans(size::TEXT), egui::Color32::PLACEHOLDER);
    galley.size().x + 2.0 * ui.spacing().button_padding.x + ui.spacing().item_spacing.x + 2.0
}

/// One finding: its mark, what it is, and what mends it; opened, where it is and how bad.
fn one(ui: &mut Ui, tokens: &Tokens, row: &FindingRow, is_open: &mut bool, asked: &mut Vec<Intent>) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::XS;
        let (rect, _) = ui.allocate_exact_size(vec2(14.0, 22.0), Sense::hover());
        marks::mark(ui.painter(), rect.center(), row.mark, tokens);
        let width = (ui.available_width() - fix_width(ui, row)).max(40.0);
        ui.allocate_ui_with_layout(vec2(width, 22.0), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(width);
            let text = RichText::new(&row.title).font(semibold(size::NOTE)).color(tokens.ink);
            let title = ui.add(egui::Label::new(text).truncate().sense(Sense::click()));
            let says = format!("{}: {}", row.mark.word(1), row.title);
            title.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, *is_open, says.clone()));
            let title = title.on_hover_cursor(egui::CursorIcon::PointingHand).on_hover_text(&row.title);
            crate::theme::widgets::focus_ring(ui, &title, tokens);
            if title.clicked() {
                *is_open = !*is_open;
                asked.extend(row.go.iter().filter(|intent| !matches!(intent, Intent::Go(_))).cloned());
            }
        });
        if let Some((face, words, way)) = button_of(row) {
            let button = ui.small_button(face).on_hover_text(&words);
            button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, &words));
            if button.clicked() {
                asked.extend(way);
            }
        }
    });
    if *is_open {
        ui.indent("detail", |ui| {
            let text = |words: &str| RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2);
            // What the line above had no room for.
            ui.add(egui::Label::new(text(&row.title).color(tokens.ink)).wrap());
            ui.add(egui::Label::new(text(&row.detail)).wrap());
            ui.horizontal_wrapped(|ui| {
                let show = format!("Show in {}", row.place.word());
                if ui.link(RichText::new(show).font(semibold(size::NOTE))).clicked() {
                    asked.extend(row.go.iter().cloned());
                }
                if let Some((_, words, way)) = button_of(row)
                    && ui.link(RichText::new(words).font(semibold(size::NOTE))).clicked()
                {
                    asked.extend(way);
                }
            });
            crate::terms::of_text(ui, tokens, &format!("{}. {}", row.title, row.detail));
            if let Fix::Nothing(why) = &row.fix {
                ui.add(egui::Label::new(text(why)).wrap());
            }
            if !row.formulas.is_empty() {
                egui::CollapsingHeader::new(text("Formulas and sources")).id_salt("formulas").show(
                    ui,
                    |ui| {
                        for formula in row.formulas {
                            ui.add(egui::Label::new(text(&formula.words())).wrap());
                        }
                    },
                );
            }
        });
        ui.add_space(space::XS);
    }
}
