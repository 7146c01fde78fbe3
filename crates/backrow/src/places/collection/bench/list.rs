//! The instruments that a tab can be about, at the left, and the keys that walk through them.

use super::Bench;
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::view::View;
use backrow_core::collection::Instrument;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use egui::{Key, RichText, Ui, WidgetInfo};

/// How wide the list is, points.
pub(in crate::places::collection) const WIDTH: f32 = 196.0;

/// Something said of an instrument.
type Says<'a> = &'a dyn Fn(&Library, &Instrument) -> bool;

/// Draws the list of what a tab can be about. `wanted` says which those are, `mark` which of them get a sign before their name.
pub(in crate::places::collection) fn ui(
    ui: &mut Ui,
    scene: &Scene<'_>,
    view: &View,
    bench: &mut Bench,
    (wanted, mark): (Says<'_>, Says<'_>),
) {
    let library = scene.library;
    let field =
        egui::TextEdit::singleline(&mut bench.filter).hint_text("Filter …").desired_width(WIDTH - 8.0);
    let response = ui.add(field);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Filter the instruments"));
    let filter = bench.filter.trim().to_lowercase();
    let mut things: Vec<&Instrument> = library
        .instruments
        .values()
        .map(|thing| &**thing)
        .filter(|thing| wanted(library, thing))
        .filter(|thing| filter.is_empty() || thing.name.to_lowercase().contains(&filter))
        .collect();
    things.sort_by(|a, b| (!mark(library, a), &a.name).cmp(&(!mark(library, b), &b.name)));
    settle(bench, view, &things);
    walk(ui, view, bench, &things);
    egui::ScrollArea::vertical().id_salt("bench list").auto_shrink([false, false]).show(ui, |ui| {
        ui.set_width(WIDTH - 12.0);
        for thing in &things {
            let here = bench.instrument.as_ref() == Some(&thing.id);
            let marked = mark(library, thing);
            ui.horizontal(|ui| {
                ui.allocate_ui(egui::vec2(10.0, 22.0), |ui| {
                    ui.label(RichText::new(if marked { "•" } else { " " }).color(scene.tokens.ink2));
                });
                let name = RichText::new(&thing.name).font(sans(size::TEXT));
                let response = ui.add(egui::Button::selectable(here, name).truncate());
                let says = format!("{}{}", thing.name, if marked { ", with entries" } else { "" });
                response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, here, says.clone()));
                if response.clicked() {
                    choose(bench, thing.id.clone());
                }
            });
        }
        if things.is_empty() {
            ui.label(RichText::new("No instrument.").color(scene.tokens.ink2));
        }
    });
}

/// Another current instrument.
pub(in crate::places::collection) fn choose(bench: &mut Bench, id: InstrumentId) {
    if bench.instrument.as_ref() != Some(&id) {
        (bench.survey, bench.bell, bench.entry) = (None, None, None);
        bench.instrument = Some(id);
    }
}

/// What the panel has selected, else the first with entries, where nothing in the list is current.
fn settle(bench: &mut Bench, view: &View, things: &[&Instrument]) {
    let holds = |id: &InstrumentId| things.iter().any(|thing| thing.id == *id);
    if bench.instrument.as_ref().is_some_and(holds) {
        return;
    }
    let selected = match &view.selected {
        Some(crate::view::Selected::Instrument(id)) if holds(id) => Some(id.clone()),
        _ => None,
    };
    let first = selected.or_else(|| things.first().map(|thing| thing.id.clone()));
    bench.instrument = None;
    if let Some(id) = first {
        choose(bench, id);
    }
}

fn walk(ui: &Ui, view: &View, bench: &mut Bench, things: &[&Instrument]) {
    if view.keys_are_taken(ui.ctx()) {
        return;
    }
    let step = ui.input_mut(|i| {
        let plain = egui::Modifiers::NONE;
        isize::from(i.consume_key(plain, Key::ArrowDown)) - isize::from(i.consume_key(plain, Key::ArrowUp))
    });
    let at = things.iter().position(|thing| bench.instrument.as_ref() == Some(&thing.id));
    let to = at.and_then(|at| at.checked_add_signed(step)).and_then(|to| things.get(to));
    if let Some(thing) = to.filter(|_| step != 0) {
        choose(bench, thing.id.clone());
    }
}
