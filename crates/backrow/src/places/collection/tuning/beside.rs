//! The programme's pitched instruments tonight in one table, and the current one against another on the keys that both have.

use super::super::bench::Bench;
use super::top_beats;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{sans, semibold};
use crate::view::View;
use backrow_core::collection::Instrument;
use backrow_core::days::Days;
use backrow_core::pitch::signed;
use backrow_core::tonight::{Ground, Hall, Shared, offset, shared};
use egui::{RichText, Ui, WidgetInfo};

/// How high the table of shared keys is, points: it scrolls by itself.
const HIGH: f32 = 200.0;

/// What an instrument's tuning is known by, as short as a column.
fn known_by(days: Days, ground: Ground) -> String {
    match ground {
        Ground::Measured(on) | Ground::Survey(on) => format!("measured {}", days.day(on)),
        Ground::Register => "register".to_owned(),
        Ground::Stated => "stated A".to_owned(),
    }
}

/// Draws both; nothing where the programme has no such instrument.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &Scene<'_>,
    view: &View,
    bench: &mut Bench,
    thing: &Instrument,
    hall: Hall,
) {
    let library = scene.library;
    let Some(programme) = view.programme_in(library) else { return };
    let mut things: Vec<&Instrument> = programme
        .instruments()
        .into_iter()
        .filter_map(|id| library.instruments.get(id))
        .map(|thing| &**thing)
        .filter(|thing| thing.is_pitched() && !thing.is_tuned_by_ear())
        .collect();
    if things.is_empty() {
        return;
    }
    things.sort_by(|a, b| a.name.cmp(&b.name));
    egui::CollapsingHeader::new("The programme’s instruments at the concert").id_salt("beside").show(
        ui,
        |ui| {
            table(ui, scene, bench, (thing, &things), hall);
            let other = bench.against.as_ref().and_then(|id| library.instruments.get(id));
            match other.filter(|other| other.id != thing.id) {
                Some(other) => against(ui, scene, (thing, other), hall),
                None => note(ui, scene, "Choose one to see the keys that the two share."),
            }
        },
    );
}

fn note(ui: &mut Ui, scene: &Scene<'_>, words: &str) {
    let text = RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2);
    ui.add(egui::Label::new(text).wrap());
}

fn heads(ui: &mut Ui, scene: &Scene<'_>, words: &[&str]) {
    for head in words {
        ui.label(RichText::new(*head).font(sans(size::NOTE)).color(scene.tokens.ink2));
    }
    ui.end_row();
}

fn table(
    ui: &mut Ui,
    scene: &Scene<'_>,
    bench: &mut Bench,
    (own, things): (&Instrument, &[&Instrument]),
    hall: Hall,
) {
    egui::Grid::new("programme tonight").num_columns(5).spacing([14.0, 3.0]).show(ui, |ui| {
        heads(ui, scene, &["", "cents from the A", "by the air", "beats a second at the top", "known by"]);
        for thing in things {
            if thing.id == own.id {
                ui.label(RichText::new(&thing.name).font(semibold(size::TEXT)));
            } else {
                let here = bench.against.as_ref() == Some(&thing.id);
                let button = ui.selectable_label(here, &thing.name);
                let says = format!("{} beside {}", thing.name, own.name);
                button.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, here, says.clone()));
                if button.clicked() {
                    bench.against = (!here).then(|| thing.id.clone());
                }
            }
            let Some(found) = offset(scene.library, thing, None, hall) else {
                ui.label("not known");
                ui.end_row();
                continue;
            };
            ui.label(signed(found.cents, 1));
            ui.label(found.drift.map_or_else(|| "not known".to_owned(), |drift| signed(drift, 1)));
            ui.label(match top_beats(thing, &found, hall) {
                Some((top, beats)) => format!("{beats:.1} in {top}"),
                None => "–".to_owned(),
            });
            let days = scene.library.days();
            ui.label(known_by(days, found.ground)).on_hover_text(found.ground.words(days));
            ui.end_row();
        }
    });
}

fn against(ui: &mut Ui, scene: &Scene<'_>, (thing, other): (&Instrument, &Instrument), hall: Hall) {
    let title = format!("{} beside {}", thing.name, other.name);
    ui.label(RichText::new(title).font(semibold(size::TEXT)).color(scene.tokens.ink));
    let keys = shared(scene.library, thing, other, hall);
    if keys.is_empty() {
        note(ui, scene, "They share no key, or the tuning of one of them is not known.");
        return;
    }
    egui::ScrollArea::vertical().id_salt("shared keys").max_height(HIGH).min_scrolled_height(HIGH).show(
        ui,
        |ui| {
            egui::Grid::new("shared keys").num_columns(4).spacing([14.0, 3.0]).show(ui, |ui| {
                heads(ui, scene, &["key", "with", "cents between them", "beats a second"]);
                for Shared { key, with, cents, beats_hz } in keys {
                    ui.label(key.to_string());
                    ui.label(if key == with { "the same".to_owned() } else { with.to_string() });
                    ui.label(signed(cents, 1));
                    ui.label(format!("{beats_hz:.2}"));
                    ui.end_row();
                }
            });
        },
    );
    let words = "In unison where both have the key, else in the nearest octave, up to two. Octaves beat where the lower one has a partial \
                 there: a bar has one only where it is tuned so.";
    note(ui, scene, words);
}
