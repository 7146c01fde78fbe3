//! Care: what is due over the whole collection, the log of the current instrument, the air of the stores, and sums of value.

mod overview;

use super::bench::{self, Bench, care_of, list, log, worth};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::sheets::Sheet;
use crate::theme::marks::{Mark, mark};
use crate::theme::tokens::{size, space};
use crate::theme::{sans, serif};
use crate::view::View;
use backrow_core::care::{Care, LogEntry, cords_and_felts, heads};
use backrow_core::collection::Instrument;
use backrow_core::edit::Edit;
use backrow_core::id::{InstrumentId, begun};
use backrow_core::library::Library;
use egui::{Key, Modifiers, RichText, Ui, WidgetInfo, vec2};

/// Draws the tab.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, bench: &mut Bench) {
    if super::bench_form(ui, scene, bench) {
        return;
    }
    bench.forms.ui(ui, &scene.tokens);
    ui.horizontal_top(|ui| {
        ui.allocate_ui(vec2(list::WIDTH, ui.available_height()), |ui| {
            ui.vertical(|ui| {
                let all = |_: &Library, _: &Instrument| true;
                let logged = |library: &Library, thing: &Instrument| {
                    library.care.get(&thing.id).is_some_and(|care| !care.log.is_empty())
                };
                list::ui(ui, scene, view, bench, (&all, &logged));
            });
        });
        ui.separator();
        ui.vertical(|ui| {
            egui::ScrollArea::vertical().id_salt("care").auto_shrink([false, false]).show(ui, |ui| {
                let thing =
                    bench.instrument.as_ref().and_then(|id| scene.library.instruments.get(id)).cloned();
                if let Some(thing) = thing {
                    of_instrument(ui, scene, view, bench, &thing);
                }
                ui.add_space(space::M);
                overview::ui(ui, scene, bench);
            });
        });
    });
}

/// What the columns of a log take beside its words, with the gaps, points.
const OTHERS: f32 = 480.0;

fn of_instrument(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, bench: &mut Bench, thing: &Instrument) {
    let tokens = scene.tokens;
    let care = care_of(scene.library, &thing.id);
    ui.label(RichText::new(&thing.name).font(serif(size::HEADING)).color(tokens.ink));
    for words in about(scene.library, &care) {
        ui.add(egui::Label::new(RichText::new(words).color(tokens.ink)).wrap());
    }
    buttons(ui, scene, view, bench, (thing, &care));
    if care.log.is_empty() {
        ui.label(RichText::new("Nothing in its log yet.").color(tokens.ink2));
        return;
    }
    // What is in words takes the width that the other columns leave.
    let width = (ui.available_width() - OTHERS).clamp(120.0, 420.0);
    egui::Grid::new("log").num_columns(6).spacing([14.0, 3.0]).show(ui, |ui| {
        for head in ["when", "what", "where", "in words", "cost", "due"] {
            ui.label(RichText::new(head).font(sans(size::NOTE)).color(tokens.ink2));
        }
        ui.end_row();
        for (at, entry) in care.log.iter().enumerate().rev() {
            row(ui, scene, bench, (&thing.id, at, width), entry);
            ui.end_row();
        }
    });
}

/// Value, what cannot be replaced, heads, cords and felts.
fn about(library: &Library, care: &Care) -> Vec<String> {
    let mut words = Vec::new();
    let days = library.days();
    if let Some(value) = &care.value {
        let on = value.on.map_or_else(String::new, |on| format!(", {}", days.day(on)));
        words.push(format!("Value {} ({}{on}).", crate::words::money(library, value.amount), value.ground));
    }
    if !care.irreplaceable.is_empty() {
        words.push(format!("Cannot be replaced. {}", care.irreplaceable));
    }
    let today = crate::sheets::today();
    for head in heads(care) {
        let months = today.map_or_else(String::new, |today| format!(", {} months", head.months(today)));
        let part = if head.part.is_empty() { "Head" } else { head.part };
        words.push(format!("{part}: {} since {}{months}.", head.words, days.day(head.since)));
    }
    for (work, age) in cords_and_felts(care) {
        let months = today.map_or_else(String::new, |today| format!(", {} months", age.months(today)));
        let part = if age.part.is_empty() { String::new() } else { format!("{}: ", age.part) };
        let made = if age.words.is_empty() { String::new() } else { format!(" ({})", age.words) };
        let what = begun(&format!("{part}{}", work.word()));
        words.push(format!("{what}{made} since {}{months}.", days.day(age.since)));
    }
    words
}

fn buttons(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &View,
    bench: &mut Bench,
    (thing, care): (&Instrument, &Care),
) {
    let keys = !view.keys_are_taken(ui.ctx());
    let pressed = |ui: &Ui, modifiers, key| keys && ui.input_mut(|i| i.consume_key(modifiers, key));
    let at = bench.entry.clone().filter(|(id, at)| *id == thing.id && *at < care.log.len()).map(|(_, at)| at);
    ui.horizontal_wrapped(|ui| {
        if ui.button("Add to the log …").on_hover_text("Ctrl N").clicked()
            || pressed(ui, Modifiers::COMMAND, Key::N)
        {
            bench::put(bench, log::form(scene.library, &thing.id, None));
        }
        if ui.add_enabled(at.is_some(), egui::Button::new("Edit the entry …")).clicked() {
            bench::put(bench, log::form(scene.library, &thing.id, at));
        }
        let remove = ui.add_enabled(at.is_some(), egui::Button::new("Remove the entry"));
        let remove = remove.on_hover_text("Delete; Ctrl Z brings it back").clicked();
        if (remove || pressed(ui, Modifiers::NONE, Key::Delete))
            && let Some(at) = at
        {
            let mut next = care.clone();
            next.log.remove(at);
            bench.entry = None;
            scene.edit(Edit::PutCare(next));
        }
        if ui.button("Value, resonators …").clicked() {
            bench::put(bench, worth::form(scene.library, &thing.id));
        }
        if ui.button("Print for the workshop …").clicked() {
            scene.ask(Intent::ShowSheet(Sheet::Workshop));
        }
        if ui.button("Print the year …").clicked() {
            scene.ask(Intent::ShowSheet(Sheet::CareYear));
        }
    });
}

fn row(
    ui: &mut Ui,
    scene: &Scene<'_>,
    bench: &mut Bench,
    (id, at, width): (&InstrumentId, usize, f32),
    entry: &LogEntry,
) {
    let tokens = scene.tokens;
    let days = scene.library.days();
    let here = bench.entry.as_ref() == Some(&(id.clone(), at));
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(12.0, 18.0), egui::Sense::hover());
        if entry.is_open_fault() {
            mark(ui.painter(), rect.center(), Mark::Care, &tokens);
        }
        let response = ui.selectable_label(here, days.day(entry.on));
        let says = format!("{}, {}", days.day(entry.on), entry.work.word());
        response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, here, says.clone()));
        if response.clicked() {
            bench.entry = Some((id.clone(), at));
        }
    });
    let fixed = entry.fixed.map_or_else(String::new, |on| format!(", fixed {}", days.day(on)));
    ui.label(format!("{}{fixed}", entry.work.word()));
    ui.label(entry.to_what());
    let who = if entry.who.is_empty() { String::new() } else { format!(" ({})", entry.who) };
    ui.allocate_ui(vec2(width, 18.0), |ui| {
        ui.set_max_width(width);
        let words = format!("{}{who}", entry.words);
        ui.add(egui::Label::new(RichText::new(words.trim()).color(tokens.ink)).wrap());
    });
    ui.label(entry.cost.map_or_else(String::new, |cost| format!("{cost:.0}")));
    ui.label(entry.due.map_or_else(String::new, |due| days.day(due)));
}
