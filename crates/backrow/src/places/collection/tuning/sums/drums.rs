//! Drums: what each can take at tonight's A, how old its head is, whether its tone is clear, and which lug is off.

use super::heads;
use crate::theme::tokens::Tokens;
use backrow_core::care::{Care, heads as head_ages};
use backrow_core::collection::Instrument;
use backrow_core::tonight::Hall;
use backrow_core::tuning::head;
use egui::{RichText, Ui};

/// Draws it; the two texts are the partials of one strike, and first partials round the head.
pub(super) fn ui(
    ui: &mut Ui,
    tokens: &Tokens,
    (strike, lugs): (&mut String, &mut String),
    (thing, care): (&Instrument, &Care),
    hall: Hall,
) {
    let ages = head_ages(care);
    let today = crate::sheets::today();
    egui::Grid::new("drums").num_columns(4).spacing([18.0, 3.0]).show(ui, |ui| {
        heads(ui, tokens, &["drum", "range", "Hz at tonight\u{2019}s A", "head"]);
        for frame in &thing.frames {
            ui.label(if frame.name.is_empty() { "drum" } else { frame.name.as_str() });
            let (low, high) = (frame.bars().lowest(), frame.bars().highest());
            if let (Some(low), Some(high)) = (low, high) {
                ui.label(format!("{low}–{high}"));
                let hz = |key| hall.a.frequency(key).value();
                ui.label(format!("{:.1}–{:.1}", hz(low), hz(high)));
            } else {
                ui.label("not stated");
                ui.label("–");
            }
            let age = ages.iter().find(|age| age.part == frame.name).map(|age| {
                let since = super::super::super::bench::day_words(age.since);
                let months =
                    today.map_or_else(String::new, |today| format!(", {} months", age.months(today)));
                format!("{} since {since}{months}", age.words)
            });
            ui.label(age.unwrap_or_else(|| "not in the log".to_owned()));
            ui.end_row();
        }
    });
    field(ui, "Partials of one strike, Hz", "the tuned one first: 110 165 219 271", strike);
    let found = figures(strike);
    if let Some(first) = found.first() {
        let places = head::places(*first, &found);
        let rows = places.iter().skip(1);
        let words: Vec<String> =
            rows.map(|place| format!("{} at {:+.0} cents", place.ratio, place.off_cents)).collect();
        let said = match head::is_clear(&places) {
            Some(true) => "Clear",
            Some(false) => "Not clear",
            None => "Too few partials to say",
        };
        let list = if words.is_empty() { String::new() } else { format!(": {}", words.join(", ")) };
        ui.label(format!("{said}{list}."));
    }
    field(ui, "First partials at the lugs, Hz", "one strike near each, in turn: 110.1 109.8 112", lugs);
    let round = head::lugs(&figures(lugs));
    if !round.is_empty() {
        let words: Vec<String> =
            round.iter().enumerate().map(|(at, cents)| format!("lug {}: {cents:+.0}", at + 1)).collect();
        ui.add(egui::Label::new(format!("Cents from the middle of all: {}.", words.join(", "))).wrap());
        let worst = round.iter().enumerate().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        if let Some((at, cents)) = worst.filter(|(_, cents)| cents.abs() >= 10.0) {
            let way = if *cents > 0.0 { "tight" } else { "slack" };
            ui.label(RichText::new(format!("Lug {} is {way}.", at + 1)).color(tokens.care));
        }
    }
}

fn field(ui: &mut Ui, label: &str, hint: &str, text: &mut String) {
    ui.horizontal(|ui| {
        let label = ui.label(label);
        ui.add(egui::TextEdit::singleline(text).hint_text(hint).desired_width(300.0)).labelled_by(label.id);
    });
}

/// The figures of a text, in order; what is none is left out.
fn figures(text: &str) -> Vec<f64> {
    let words = text.split(|c: char| c.is_whitespace() || c == ';');
    words
        .filter_map(|word| word.replace(',', ".").parse().ok())
        .filter(|hz: &f64| hz.is_finite() && *hz > 0.0)
        .collect()
}
