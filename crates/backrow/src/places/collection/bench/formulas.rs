//! Formulas on demand: what a figure is, how it is worked out, in which unit, by which source.

use crate::theme::sans;
use crate::theme::tokens::{Tokens, size, space};
use backrow_core::tuning::formula::Formula;
use egui::{RichText, Ui};

/// One formula in a sentence.
pub(in crate::places::collection) fn formula_ui(ui: &mut Ui, tokens: &Tokens, formula: Formula) {
    let words = formula.words();
    ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2)).wrap());
}

/// Several of them behind a heading that opens.
pub(in crate::places::collection) fn formulas(ui: &mut Ui, tokens: &Tokens, all: &[Formula]) {
    egui::CollapsingHeader::new("Formulas and sources").id_salt("formulas").show(ui, |ui| {
        for one in all {
            formula_ui(ui, tokens, *one);
            ui.add_space(space::XS);
        }
    });
}
