//! The whole collection: what is due, the air of the stores, and what it is worth.

use super::super::bench::formulas::formulas;
use super::super::bench::{self, Bench, air, list};
use crate::scene::Scene;
use crate::theme::marks::{Mark, mark};
use crate::theme::semibold;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::caution;
use backrow_core::care::due;
use backrow_core::days::Days;
use backrow_core::tuning::formula::{AIR, VALUE};
use backrow_core::upkeep::{Caution, StoreAir, Sum, stores, values};
use egui::{RichText, Ui, vec2};

/// Draws it.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, bench: &mut Bench) {
    dues(ui, scene, bench);
    ui.add_space(space::M);
    air_of_stores(ui, scene, bench);
    ui.add_space(space::M);
    worth(ui, scene);
    ui.add_space(space::M);
    formulas(ui, &scene.tokens, &[AIR, VALUE]);
}

fn heading(ui: &mut Ui, scene: &Scene<'_>, words: &str) {
    ui.label(RichText::new(words).font(semibold(size::TEXT)).color(scene.tokens.ink));
}

fn dues(ui: &mut Ui, scene: &Scene<'_>, bench: &mut Bench) {
    heading(ui, scene, "Due over the whole collection");
    let all = due(scene.library.care.values().map(|care| &**care));
    if all.is_empty() {
        ui.label(RichText::new("Nothing is due.").color(scene.tokens.ink2));
        return;
    }
    let today = crate::sheets::today();
    egui::Grid::new("due").num_columns(4).spacing([14.0, 3.0]).show(ui, |ui| {
        for one in &all {
            let over = today.is_some_and(|today| one.is_over(today));
            ui.horizontal(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(12.0, 18.0), egui::Sense::hover());
                if over {
                    mark(ui.painter(), rect.center(), Mark::Care, &scene.tokens);
                }
                ui.label(one.on.map_or_else(|| "now".to_owned(), |on| scene.library.days().day(on)));
            });
            let name = scene.library.instrument_name(one.instrument);
            if ui.link(name).clicked() {
                list::choose(bench, one.instrument.clone());
                bench.entry = Some((one.instrument.clone(), one.at));
            }
            let to = one.entry.to_what();
            let to = if to.is_empty() { String::new() } else { format!(", {to}") };
            ui.label(format!("{}{to}", one.entry.work.word()));
            ui.add(egui::Label::new(RichText::new(&one.entry.words).color(scene.tokens.ink2)).wrap());
            ui.end_row();
        }
    });
}

fn air_of_stores(ui: &mut Ui, scene: &Scene<'_>, bench: &mut Bench) {
    heading(ui, scene, "Air of the stores");
    let known = stores(scene.library);
    egui::Grid::new("stores").num_columns(5).spacing([14.0, 3.0]).show(ui, |ui| {
        for place in scene.library.places.values() {
            ui.label(&place.name);
            let store = known.iter().find(|store| store.place.id == place.id);
            for words in store_words(scene.library.days(), store) {
                ui.label(words);
            }
            let button = ui.button("Add readings …");
            let says = format!("Add readings of {}", place.name);
            button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, says.clone()));
            if button.clicked() {
                bench::put(bench, air::form(scene.library, &place.id));
            }
            ui.end_row();
        }
    });
    let (agreed, open): (Vec<Caution>, Vec<Caution>) =
        known.iter().flat_map(StoreAir::cautions).partition(|caution| caution.agreed);
    for one in agreed {
        caution(ui, &scene.tokens, &one.words);
    }
    for one in open {
        ui.add(egui::Label::new(RichText::new(one.words).color(scene.tokens.ink2)).wrap());
    }
    if scene.library.places.is_empty() {
        ui.label(RichText::new("No store yet. Add one under Stores.").color(scene.tokens.ink2));
    }
}

/// The latest day, its temperature, and how all days stand.
fn store_words(days: Days, store: Option<&StoreAir<'_>>) -> [String; 3] {
    let Some(store) = store else { return ["not read".to_owned(), String::new(), String::new()] };
    let span = |span: Option<(f64, f64)>, unit: &str| {
        span.map_or_else(|| "–".to_owned(), |(least, most)| format!("{least:.0} to {most:.0} {unit}"))
    };
    let (dry, damp) = store.outside;
    [
        format!("{}: {}", days.day(store.latest.on), span(store.latest.humidity, "%")),
        span(store.latest.celsius, "°C"),
        format!("all days {}, {dry} too dry, {damp} too damp", span(store.span, "%")),
    ]
}

fn worth(ui: &mut Ui, scene: &Scene<'_>) {
    heading(ui, scene, "Value");
    let found = values(scene.library);
    let money = |amount: f64| crate::words::money(scene.library, amount);
    let rows = |ui: &mut Ui, sums: &[Sum]| {
        for sum in sums {
            ui.label(&sum.name);
            ui.label(money(sum.amount));
            let words = format!("{} valued, {} without a value", sum.valued, sum.unvalued);
            ui.label(RichText::new(words).color(scene.tokens.ink2));
            ui.end_row();
        }
    };
    egui::Grid::new("value").num_columns(3).spacing([18.0, 3.0]).show(ui, |ui| {
        rows(ui, &found.by_store);
        ui.label("");
        ui.end_row();
        rows(ui, &found.by_owner);
    });
    let words =
        format!("In all {}: sums of what is stated above; an insurer asks for a valuer.", money(found.total));
    ui.label(RichText::new(words).color(scene.tokens.ink2));
}
