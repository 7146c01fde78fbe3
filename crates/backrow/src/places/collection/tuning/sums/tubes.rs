//! Resonators: how long a tube is for each bar, by A, temperature and radius, and what a fixed one is off tonight and loses by it.

use super::{Given, heads};
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use backrow_core::care::Care;
use backrow_core::collection::Instrument;
use backrow_core::pitch::{ReferenceA, signed};
use backrow_core::tonight::{Hall, resonator_off};
use backrow_core::tuning::{air, formula, raised, tube};
use backrow_core::upkeep::target;
use egui::{RichText, Ui};

/// What the table is worked out for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tube {
    /// The A of the bars, hertz.
    a: f64,
    /// Where bar and tube agree, degrees Celsius.
    right_at_c: f64,
    /// Tonight, degrees Celsius.
    celsius: f64,
    /// Inside, millimetres.
    radius_mm: f64,
}

/// The radius that stands there before anybody says one, millimetres: of a middle tube of the collected table. Ours.
const RADIUS_MM: f64 = 25.0;

/// How high the table of all bars is, points: it scrolls by itself.
const HIGH: f32 = 220.0;

/// Draws the calculator with the instrument's own figures, until others are set.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &Scene<'_>,
    given: &mut Given,
    (thing, care): (&Instrument, &Care),
    hall: Hall,
) {
    let own = care.resonators;
    let stated = Tube {
        a: target(scene.library, thing).value(),
        right_at_c: own.map_or(air::USUAL_C, |tubes| tubes.right_at_c),
        celsius: hall.celsius,
        radius_mm: own.map_or(RADIUS_MM, |tubes| tubes.radius_m * 1000.0),
    };
    let mut tried = given.tube.as_ref().filter(|(id, _)| *id == thing.id).map_or(stated, |(_, tube)| *tube);
    if own.is_none() {
        let words = "Where its resonators are right, and their radius, are not stated (Value, resonators … above): set them here to try.";
        ui.add(egui::Label::new(RichText::new(words).color(scene.tokens.ink2)).wrap());
    }
    ui.horizontal_wrapped(|ui| {
        let field = |ui: &mut Ui, label: &str, value: &mut f64, range: std::ops::RangeInclusive<f64>| {
            let label = ui.label(label);
            let drag = egui::DragValue::new(value).range(range).speed(0.1).max_decimals(1);
            ui.add(drag).labelled_by(label.id);
        };
        field(ui, "Bars at A, Hz", &mut tried.a, 380.0..=500.0);
        field(ui, "tubes right at, °C", &mut tried.right_at_c, -10.0..=45.0);
        field(ui, "at the concert, °C", &mut tried.celsius, -10.0..=45.0);
        field(ui, "radius, mm", &mut tried.radius_mm, 3.0..=150.0);
        if tried != stated && ui.button("Its own figures").clicked() {
            tried = stated;
        }
    });
    given.tube = (tried != stated).then(|| (thing.id.clone(), tried));
    let off = resonator_off(scene.library, thing, tried.right_at_c, tried.celsius);
    let bar = off.bar.map_or_else(
        || "how its material moves is not known, so its bars are taken to stay".to_owned(),
        |cents| format!("its bars move by {}", signed(cents, 1)),
    );
    let words = format!(
        "From {} to {}\u{202F}°C the tubes\u{2019} air moves by {} cents; {bar}: each tube lies {} cents from its bar.",
        tried.right_at_c,
        tried.celsius,
        signed(off.air, 1),
        signed(off.cents(), 1)
    );
    ui.add(egui::Label::new(words).wrap());
    if let Ok(a) = ReferenceA::new(tried.a) {
        table(ui, scene, (thing, a), tried, off.bar.unwrap_or(0.0), off.cents());
    }
    let note = RichText::new(formula::COST.words()).font(sans(size::NOTE)).color(scene.tokens.ink2);
    ui.add(egui::Label::new(note).wrap());
}

fn table(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (thing, a): (&Instrument, ReferenceA),
    tube: Tube,
    bar_cents: f64,
    off: f64,
) {
    let radius_m = tube.radius_mm / 1000.0;
    let length = |hz: f64, celsius: f64| {
        tube::length_at_hz_m(hz, celsius, radius_m)
            .map_or_else(|| "too wide".to_owned(), |m| format!("{:.1}", m * 1000.0))
    };
    egui::ScrollArea::vertical().id_salt("resonators").max_height(HIGH).min_scrolled_height(HIGH).show(
        ui,
        |ui| {
            egui::Grid::new("resonators").num_columns(5).spacing([18.0, 3.0]).show(ui, |ui| {
                heads(
                    ui,
                    &scene.tokens,
                    &["bar", "length then, mm", "length at the concert, mm", "sharpness Q", "costs, dB"],
                );
                for key in thing.bars().iter() {
                    let then = a.frequency(key).value();
                    let tonight = raised(then, bar_cents);
                    let q = tube::sharpness(tonight, tube.celsius, radius_m);
                    ui.label(key.to_string());
                    ui.label(length(then, tube.right_at_c));
                    ui.label(length(tonight, tube.celsius));
                    ui.label(format!("{q:.0}"));
                    ui.label(signed(tube::cost_db(q, off), 1));
                    ui.end_row();
                }
            });
        },
    );
}
