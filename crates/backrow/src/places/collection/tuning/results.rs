//! What the surveys say: what moved since the one before, and the bars for the tuner.

use super::super::bench::Bench;
use crate::scene::Scene;
use crate::theme::marks::{Mark, mark};
use crate::theme::tokens::{size, space};
use crate::theme::{sans, semibold};
use backrow_core::care::{Care, ForTuner, drift_cents, for_tuner, moved};
use backrow_core::collection::Instrument;
use backrow_core::pitch::signed;
use backrow_core::tuning::usual;
use backrow_core::upkeep::target;
use egui::{RichText, Ui, vec2};
use std::fmt::Write;

/// Draws both.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, bench: &Bench, (thing, care): (&Instrument, &Care)) {
    let tokens = scene.tokens;
    let latest = care.surveys.len().saturating_sub(1);
    let at = bench.survey.filter(|at| *at <= latest).unwrap_or(latest);
    let Some(survey) = care.surveys.get(at) else { return };
    ui.add_space(space::S);
    if let Some(before) = at.checked_sub(1).and_then(|at| care.surveys.get(at)) {
        let drifts = &scene.library.orchestra.drifts;
        let found = moved(before, survey, |from, to| drift_cents(thing.material, drifts, from, to));
        let mut words = format!("Since {}: {}", scene.library.days().day(before.on), found.words());
        if !found.gone.is_empty() {
            let gone: Vec<String> = found.gone.iter().map(ToString::to_string).collect();
            // Writing to a string cannot fail.
            _ = write!(words, " Not measured again: {}.", gone.join(", "));
        }
        ui.add(egui::Label::new(RichText::new(words).color(tokens.ink)).wrap());
    }
    let measured =
        survey.celsius.map_or_else(|| "temperature not read".to_owned(), |c| format!("{c}\u{202F}°C"));
    let mut words =
        format!("{}: {} bars, {measured}", scene.library.days().day(survey.on), survey.readings.len());
    for more in [&survey.who, &survey.how, &survey.remark].into_iter().filter(|more| !more.is_empty()) {
        _ = write!(words, ", {more}");
    }
    ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2)).wrap());
    ui.add_space(space::S);
    let usual = usual::of_kind(thing.kind.as_str());
    let rows = for_tuner(survey, target(scene.library, thing), care.tolerance(), usual);
    if rows.is_empty() {
        let words = format!("No bar lies more than {} cents from its target.", care.tolerance());
        ui.label(RichText::new(words).color(tokens.ink2));
        return;
    }
    ui.label(
        RichText::new(format!("For the tuner: {}", count(rows.len())))
            .font(semibold(size::TEXT))
            .color(tokens.ink),
    );
    egui::Grid::new("for the tuner").num_columns(8).striped(false).spacing([14.0, 3.0]).show(ui, |ui| {
        for head in ["", "bar", "found, Hz", "wanted, Hz", "cents", "2nd", "3rd", "what to do"] {
            ui.label(RichText::new(head).font(sans(size::NOTE)).color(tokens.ink2));
        }
        ui.end_row();
        for row in &rows {
            row_ui(ui, scene, row);
            ui.end_row();
        }
    });
}

fn count(bars: usize) -> String {
    if bars == 1 { "one bar".to_owned() } else { format!("{bars} bars") }
}

fn row_ui(ui: &mut Ui, scene: &Scene<'_>, row: &ForTuner) {
    let (rect, _) = ui.allocate_exact_size(vec2(12.0, 18.0), egui::Sense::hover());
    let sign = if row.first_is_off { Mark::Care } else { Mark::Note };
    mark(ui.painter(), rect.center(), sign, &scene.tokens);
    let text = |ui: &mut Ui, words: String| ui.label(RichText::new(words).color(scene.tokens.ink));
    text(ui, row.bar.to_string());
    text(ui, format!("{:.1}", row.hz));
    text(ui, format!("{:.1}", row.target_hz));
    text(ui, signed(row.off_cents, 1));
    text(ui, row.second_cents.map_or_else(String::new, |cents| signed(cents, 0)));
    text(ui, row.third_cents.map_or_else(String::new, |cents| signed(cents, 0)));
    let direction = row.direction();
    let words =
        if row.remark.is_empty() { direction.to_owned() } else { format!("{direction}. {}", row.remark) };
    ui.add(egui::Label::new(RichText::new(words).color(scene.tokens.ink2)).wrap());
}
