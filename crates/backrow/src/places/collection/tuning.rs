//! The tuning bench: surveys of an instrument as curves, what moved, the list for the tuner, how it sits tonight, and the
//! calculators beside its own data.

mod beside;
mod curves;
mod line;
mod results;
pub(super) mod sums;
pub(super) mod take;
mod timpani;

pub(super) use curves::Curves;
pub(super) use timpani::Plans;

use super::bench::{self, Bench, care_of, list, survey, worth};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::sheets::Sheet;
use crate::theme::serif;
use crate::theme::tokens::{size, space};
use crate::view::View;
use backrow_core::care::Care;
use backrow_core::collection::Instrument;
use backrow_core::edit::Edit;
use backrow_core::library::Library;
use backrow_core::pitch::{KeyNumber, ReferenceA, signed};
use backrow_core::sets::is_for_timpani;
use backrow_core::tonight::{Hall, Offset, offset};
use backrow_core::tuning::{beats, raised};
use egui::{Key, Modifiers, RichText, Ui};
use std::fmt::Write;

/// Draws the tab.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, bench: &mut Bench) {
    if super::bench_form(ui, scene, bench) {
        return;
    }
    bench.forms.ui(ui, &scene.tokens);
    ui.horizontal_top(|ui| {
        ui.allocate_ui(egui::vec2(list::WIDTH, ui.available_height()), |ui| {
            ui.vertical(|ui| {
                let pitched = |_: &Library, thing: &Instrument| thing.is_pitched();
                let surveyed = |library: &Library, thing: &Instrument| {
                    library.care.get(&thing.id).is_some_and(|care| !care.surveys.is_empty())
                };
                list::ui(ui, scene, view, bench, (&pitched, &surveyed));
            });
        });
        ui.separator();
        ui.vertical(|ui| {
            egui::ScrollArea::vertical().id_salt("tuning").auto_shrink([false, false]).show(ui, |ui| {
                let thing =
                    bench.instrument.as_ref().and_then(|id| scene.library.instruments.get(id)).cloned();
                match thing {
                    Some(thing) => of_instrument(ui, scene, view, bench, &thing),
                    None => {
                        ui.label(
                            RichText::new("No instrument with bars yet. Add one under Instruments.")
                                .color(scene.tokens.ink2),
                        );
                    }
                }
            });
        });
    });
}

fn of_instrument(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, bench: &mut Bench, thing: &Instrument) {
    let tokens = scene.tokens;
    let care = care_of(scene.library, &thing.id);
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(&thing.name).font(serif(size::HEADING)).color(tokens.ink));
        let a =
            thing.tuned_to.map_or_else(|| "A not stated".to_owned(), |a| format!("tuned to A {}", a.value()));
        ui.label(RichText::new(format!("{}, {a}", thing.material.word())).color(tokens.ink2));
    });
    let hall = hall_line(ui, scene, view, bench);
    ui.add(
        egui::Label::new(RichText::new(tonight_words(scene.library, thing, hall)).color(tokens.ink)).wrap(),
    );
    ui.add_space(space::S);
    buttons(ui, scene, view, bench, (thing, &care));
    ui.add_space(space::S);
    if care.surveys.is_empty() {
        let words = "No survey yet. Measure the bars with a tuner\u{2019}s device and type them, paste a table, or press Ctrl N.";
        ui.label(RichText::new(words).color(tokens.ink2));
    } else {
        curves::ui(ui, scene, bench, (thing, &care));
        results::ui(ui, scene, bench, (thing, &care));
    }
    take::ui(ui, scene, bench, thing);
    line::ui(ui, scene, view, thing, hall);
    if is_for_timpani(scene.library, &thing.kind) {
        timpani::ui(ui, scene, view, bench, hall);
    } else {
        beside::ui(ui, scene, view, bench, thing, hall);
    }
    ui.add_space(space::M);
    sums::ui(ui, scene, bench, (thing, &care), hall);
}

/// A and temperature: the programme's, to be tried and saved.
fn hall_line(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, bench: &mut Bench) -> Hall {
    let programme = view.programme_in(scene.library);
    let stated = Hall::of(scene.library, programme);
    let mut hall = bench.hall.unwrap_or(stated);
    let (mut a, mut celsius) = (hall.a.value(), hall.celsius);
    ui.horizontal_wrapped(|ui| {
        let label = ui.label(match programme {
            Some(programme) => format!("{}: A, Hz", programme.title),
            None => "Orchestra: A, Hz".to_owned(),
        });
        ui.add(egui::DragValue::new(&mut a).range(380.0..=500.0).speed(0.1).max_decimals(1))
            .labelled_by(label.id);
        let label = ui.label("on stage, °C");
        ui.add(egui::DragValue::new(&mut celsius).range(-10.0..=45.0).speed(0.1).max_decimals(1))
            .labelled_by(label.id);
        hall = Hall { a: ReferenceA::new(a).unwrap_or(hall.a), celsius, ..stated };
        bench.hall = (hall != stated).then_some(hall);
        if bench.hall.is_some() {
            if let Some(programme) = programme
                && ui.button("Save for this programme").clicked()
            {
                save_hall(scene, programme, hall);
                bench.hall = None;
            }
            if ui.button("As it was").clicked() {
                bench.hall = None;
            }
        }
    });
    hall
}

fn save_hall(scene: &mut Scene<'_>, programme: &backrow_core::week::Programme, hall: Hall) {
    let Some(week) = scene.library.week_of(&programme.id).map(|week| week.id.clone()) else { return };
    let orchestra = &scene.library.orchestra;
    let differs = |one: f64, other: f64| (one - other).abs() > 1e-9;
    let mut programme = programme.clone();
    programme.a = Some(hall.a).filter(|a| differs(a.value(), orchestra.a.value()));
    programme.celsius = Some(hall.celsius).filter(|celsius| differs(*celsius, orchestra.celsius));
    let words = format!("{}: A {}\u{202F}Hz, {}\u{202F}°C", programme.title, hall.a.value(), hall.celsius);
    scene.edit(Edit::Together { words, edits: vec![Edit::PutProgramme { week, programme }] });
}

/// How the instrument sits tonight, in sentences.
fn tonight_words(library: &Library, thing: &Instrument, hall: Hall) -> String {
    let Some(found) = offset(library, thing, None, hall) else {
        return "Neither a survey nor a stated A says how it is tuned.".to_owned();
    };
    let mut words = format!(
        "It lies {} cents from the A ({}), and {} cents from the winds, whose pitch rises with the temperature.",
        signed(found.cents, 1),
        found.ground.words(library.days()),
        signed(found.beside_winds(), 1)
    );
    if found.drift.is_none() {
        words.push_str(
            " How its material moves with the temperature is not known: only the air is taken into account.",
        );
    }
    if let Some((top, beating)) = top_beats(thing, &found, hall) {
        // Writing to a string cannot fail.
        _ = write!(words, " In its highest bar, {top}, that is up to {beating:.1} beats a second.");
    }
    words
}

/// How fast an instrument's highest bar beats at most, a second.
fn top_beats(thing: &Instrument, found: &Offset, hall: Hall) -> Option<(KeyNumber, f64)> {
    let top = thing.bars().highest()?;
    let right = hall.a.frequency(top).value();
    Some((top, beats::unison(right, raised(right, found.farthest()))))
}

fn buttons(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &View,
    bench: &mut Bench,
    (thing, care): (&Instrument, &Care),
) {
    let at = bench.survey.filter(|at| *at < care.surveys.len()).or_else(|| care.surveys.len().checked_sub(1));
    let keys = !view.keys_are_taken(ui.ctx());
    let pressed = |ui: &Ui, modifiers, key| keys && ui.input_mut(|i| i.consume_key(modifiers, key));
    ui.horizontal_wrapped(|ui| {
        if ui.button("Add a survey …").on_hover_text("Ctrl N").clicked()
            || pressed(ui, Modifiers::COMMAND, Key::N)
        {
            bench::put(bench, survey::form(scene.library, &thing.id, None));
        }
        let change = ui.add_enabled(at.is_some(), egui::Button::new("Edit the survey …"));
        if change.on_hover_text("Enter").clicked() {
            bench::put(bench, survey::form(scene.library, &thing.id, at));
        }
        let remove = ui.add_enabled(at.is_some(), egui::Button::new("Remove the survey"));
        if remove.on_hover_text("Ctrl Z brings it back").clicked()
            && let Some(at) = at
        {
            let mut next = care.clone();
            next.surveys.remove(at);
            bench.survey = None;
            scene.edit(Edit::PutCare(next));
        }
        if ui.button("Value, resonators …").clicked() {
            bench::put(bench, worth::form(scene.library, &thing.id));
        }
        let hover = "Every instrument that has bars outside its tolerance";
        if ui.button("Print for the tuner …").on_hover_text(hover).clicked() {
            scene.ask(Intent::ShowSheet(Sheet::Tuner));
        }
    });
}
