//! Drums: what each can take at tonight's A, how old its head is, whether its tone is clear, and which lug is off.

use super::super::super::bench::{Bench, heard::Heard};
use super::heads;
use crate::scene::Scene;
use crate::theme::tokens::Tokens;
use backrow_core::care::{Care, heads as head_ages};
use backrow_core::collection::Instrument;
use backrow_core::pitch::signed;
use backrow_core::tonight::Hall;
use backrow_core::tuning::{head, median};
use backrow_core::upkeep::from_take;
use egui::{RichText, Ui};
use std::collections::BTreeMap;

/// Draws it.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &Scene<'_>,
    bench: &mut Bench,
    (thing, care): (&Instrument, &Care),
    hall: Hall,
) {
    let tokens = &scene.tokens;
    drums(ui, scene, (thing, care), hall);
    from_takes(ui, scene, bench, thing);
    let (strike, lugs) = bench.sums.drum();
    clear(ui, strike);
    round(ui, tokens, lugs);
}

/// What each drum can take, and the age of its head.
fn drums(ui: &mut Ui, scene: &Scene<'_>, (thing, care): (&Instrument, &Care), hall: Hall) {
    let kind = scene.library.kinds.get(&thing.kind);
    let hz = |key| hall.a.frequency(key).value();
    let ages = head_ages(care);
    let today = crate::sheets::today();
    egui::Grid::new("drums").num_columns(4).spacing([18.0, 3.0]).show(ui, |ui| {
        heads(ui, &scene.tokens, &["drum", "range", "Hz at the concert’s A", "head"]);
        for frame in &thing.frames {
            ui.label(if frame.name.is_empty() { "drum" } else { frame.name.as_str() });
            let (low, high) = (frame.bars().lowest(), frame.bars().highest());
            let usual = frame.inches().and_then(|inches| kind?.usual_drum(inches));
            if let (Some(low), Some(high)) = (low, high) {
                ui.label(format!("{low}–{high}"));
                ui.label(format!("{:.1}–{:.1}", hz(low), hz(high)));
            } else if let Some(usual) = usual {
                ui.label(format!("not stated; usual {}–{}", usual.low, usual.high));
                ui.label(format!("{:.1}–{:.1}", hz(usual.low), hz(usual.high)));
            } else {
                ui.label("not stated");
                ui.label("–");
            }
            let age = ages.iter().find(|age| age.part == frame.name).map(|age| {
                let since = scene.library.days().day(age.since);
                let months =
                    today.map_or_else(String::new, |today| format!(", {} months", age.months(today)));
                format!("{} since {since}{months}", age.words)
            });
            ui.label(age.unwrap_or_else(|| "not in the log".to_owned()));
            ui.end_row();
        }
    });
}

/// The strikes of its takes, to be looked at below.
fn from_takes(ui: &mut Ui, scene: &Scene<'_>, bench: &mut Bench, thing: &Instrument) {
    let mut memory = std::mem::take(&mut bench.heard);
    if let Some(all) = memory.of(ui.ctx(), scene, &thing.id) {
        for why in &all.troubles {
            ui.label(RichText::new(why).color(scene.tokens.care));
        }
        let read: Vec<(&Heard, Vec<f64>)> =
            all.strikes.iter().filter_map(|heard| Some((heard, from_take::drum(&heard.measures)?))).collect();
        ui.horizontal_wrapped(|ui| {
            ui.label("From its takes");
            ui.add_enabled_ui(!read.is_empty(), |ui| {
                ui.menu_button("Clear tone of …", |ui| {
                    egui::ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
                        for (heard, partials) in &read {
                            if ui.button(strike_words(scene, thing, heard)).clicked() {
                                bench.sums.strike = figures_text(partials);
                                ui.close();
                            }
                        }
                    });
                });
            });
            let lugs = lugs(&read);
            let hover = "Strikes whose place says lug 1, lug 2 and so on, of the latest such take";
            let button = ui.add_enabled(lugs.len() > 2, egui::Button::new("Round the head"));
            if button.on_hover_text(hover).clicked() {
                bench.sums.lugs = figures_text(&lugs);
            }
        });
        if read.is_empty() && !all.strikes.is_empty() {
            let words = "No strike of its takes has the partials of a kettledrum.";
            ui.label(RichText::new(words).color(scene.tokens.ink2));
        }
    }
    bench.heard = memory;
}

fn strike_words(scene: &Scene<'_>, thing: &Instrument, heard: &Heard) -> String {
    let name = crate::places::sounds::known::name(scene.library, thing, &heard.strike);
    let made = if heard.take.by_model { ", by model" } else { "" };
    format!("{}: {name}, at {:.1}\u{202F}s{made}", heard.take.id, heard.strike.from_s)
}

/// The first partial at each lug, by its number, of the latest take that names at least three; of several strikes at a lug the middle.
fn lugs(read: &[(&Heard, Vec<f64>)]) -> Vec<f64> {
    let mut by_take: BTreeMap<_, BTreeMap<u32, Vec<f64>>> = BTreeMap::new();
    for (heard, partials) in read {
        if let (Some(lug), Some(first)) = (from_take::lug_of(&heard.strike.spot), partials.first()) {
            let lugs = by_take.entry((heard.take.when, heard.take.id.as_str())).or_default();
            lugs.entry(lug).or_default().push(*first);
        }
    }
    let latest = by_take.into_values().rev().find(|lugs| lugs.len() > 2);
    latest.into_iter().flatten().filter_map(|(_, all)| median(all)).collect()
}

fn figures_text(all: &[f64]) -> String {
    all.iter().map(|hz| format!("{hz:.1}")).collect::<Vec<_>>().join(" ")
}

/// Whether one strike's partials lie at their clear places.
fn clear(ui: &mut Ui, strike: &mut String) {
    field(ui, "Partials of one strike, Hz", "the tuned one first: 110 165 219 271", strike);
    let found = figures(strike);
    if let Some(first) = found.first() {
        let places = head::places(*first, &found);
        let rows = places.iter().skip(1);
        let words: Vec<String> =
            rows.map(|place| format!("{} at {} cents", place.ratio, signed(place.off_cents, 0))).collect();
        let said = match head::is_clear(&places) {
            Some(true) => "Clear",
            Some(false) => "Not clear",
            None => "Too few partials to say",
        };
        let list = if words.is_empty() { String::new() } else { format!(": {}", words.join(", ")) };
        ui.label(format!("{said}{list}."));
    }
}

/// Which lug is off.
fn round(ui: &mut Ui, tokens: &Tokens, lugs: &mut String) {
    field(ui, "First partials at the lugs, Hz", "one strike near each, in turn: 110.1 109.8 112", lugs);
    let round = head::lugs(&figures(lugs));
    if !round.is_empty() {
        let words: Vec<String> = round
            .iter()
            .enumerate()
            .map(|(at, cents)| format!("lug {}: {}", at + 1, signed(*cents, 0)))
            .collect();
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
    words.filter_map(backrow_core::numbers::typed).filter(|hz| *hz > 0.0).collect()
}
