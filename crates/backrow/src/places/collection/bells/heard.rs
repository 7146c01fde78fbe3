//! A bell by its takes: its partials named, its warble, and what each beater does to the attack.

use super::super::bench::{self, Bench, bell, heard::Heard};
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{sans, semibold};
use crate::words::many;
use backrow_core::care::BellEntry;
use backrow_core::collection::Instrument;
use backrow_core::id::BeaterId;
use backrow_core::pitch::{ReferenceA, signed};
use backrow_core::tuning::bell::{Body, doublets};
use backrow_core::tuning::median;
use backrow_core::upkeep::from_take;
use egui::{RichText, Ui};
use std::collections::BTreeMap;
use std::fmt::Write;

/// Draws it where the bell was recorded.
pub(super) fn ui(
    ui: &mut Ui,
    scene: &Scene<'_>,
    bench: &mut Bench,
    (thing, own): (&Instrument, &BellEntry),
    a: ReferenceA,
) {
    let tokens = scene.tokens;
    let mut memory = std::mem::take(&mut bench.heard);
    let alone = scene.library.care.get(&thing.id).is_some_and(|care| care.bells.len() == 1);
    if let Some(all) = memory.of(ui.ctx(), scene, &thing.id) {
        let of_it =
            |heard: &&Heard| heard.strike.bar == Some(own.key) || (alone && heard.strike.bar.is_none());
        let strikes: Vec<&Heard> = all.strikes.iter().filter(of_it).collect();
        for why in &all.troubles {
            ui.label(RichText::new(why).color(tokens.care));
        }
        if !strikes.is_empty() {
            ui.label(RichText::new("Heard in its takes").font(semibold(size::NOTE)).color(tokens.ink2));
            partials(ui, scene, bench, (thing, own), &strikes, a);
            beaters(ui, scene, &strikes);
        }
    }
    bench.heard = memory;
}

fn partials(
    ui: &mut Ui,
    scene: &Scene<'_>,
    bench: &mut Bench,
    (thing, own): (&Instrument, &BellEntry),
    strikes: &[&Heard],
    a: ReferenceA,
) {
    // The strike that rings longest tells most.
    let ring = |heard: &&&Heard| heard.measures.ring_s.map_or(0.0, |ring| ring.value);
    let longest = strikes.iter().max_by(|one, other| ring(one).total_cmp(&ring(other)));
    let Some(longest) = longest else { return };
    let made = if longest.take.by_model { " (made by a model)" } else { "" };
    let body = super::body(thing);
    let Some((partials, beating)) = from_take::bell(&longest.measures, body) else {
        let words = if body == Body::Other {
            let hz = longest.measures.partials.iter().map(|one| format!("{:.1}", one.hz)).collect::<Vec<_>>();
            format!(
                "{}{made}: partials at {}\u{202F}Hz; bells of this sort have no agreed pattern to name them by.",
                longest.take.id,
                hz.join(", ")
            )
        } else {
            format!("{}: its partials fit {} too badly to name them{made}.", longest.take.id, body.pattern())
        };
        ui.add(egui::Label::new(RichText::new(words).color(scene.tokens.ink)).wrap());
        return;
    };
    let heard = BellEntry { partials: partials.clone(), ..own.clone() };
    let mut words = format!("{}{made}:", longest.take.id);
    // Writing to a string cannot fail.
    if let (Some((hz, from)), Some((key, off))) = (heard.strike(body), heard.nearest(body, a)) {
        _ = write!(
            words,
            " strike note {hz:.1}\u{202F}Hz by its {}, {key} {} cents at A {};",
            body.word(from),
            signed(off, 0),
            a.value()
        );
    }
    let figures = partials.0.iter().map(|(partial, hz)| {
        let sd = longest.measures.partials.iter().find(|one| (one.hz - hz).abs() < 1e-9).map(|one| one.hz_sd);
        let sd = sd.filter(|sd| *sd >= 0.05).map_or_else(String::new, |sd| format!(" ± {sd:.1}"));
        format!("{} {hz:.1}{sd}", body.word(*partial))
    });
    _ = write!(words, " {}\u{202F}Hz.", figures.collect::<Vec<_>>().join(", "));
    let found: Vec<f64> = longest.measures.partials.iter().map(|partial| partial.hz).collect();
    for pair in doublets(&found) {
        _ = write!(
            words,
            " A doublet at {:.1}\u{202F}Hz warbles {:.1} a second.",
            pair.low_hz,
            pair.warble_hz()
        );
    }
    ui.add(egui::Label::new(RichText::new(words).color(scene.tokens.ink)).wrap());
    let hover = "Opens the bell with these figures filled in; you look at them before they are saved";
    if ui.button("Put them into the register …").on_hover_text(hover).clicked() {
        let warble = beating.or_else(|| doublets(&found).first().map(|pair| pair.warble_hz()));
        bench::put(bench, bell::heard(scene.library, &thing.id, own.key, (&partials, warble)));
    }
}

/// What each beater does to the attack, the middle of its strikes.
fn beaters(ui: &mut Ui, scene: &Scene<'_>, strikes: &[&Heard]) {
    let mut by: BTreeMap<&BeaterId, Vec<&Heard>> = BTreeMap::new();
    for heard in strikes {
        if let Some(beater) = &heard.strike.beater {
            by.entry(beater).or_default().push(heard);
        }
    }
    for (id, heard) in by {
        let name = super::beater_words(scene.library, id);
        let middle = |of: fn(&Heard) -> Option<f64>| median(heard.iter().filter_map(|one| of(one)).collect());
        let attack = middle(|one| one.measures.attack_s.map(|attack| attack.value * 1000.0));
        let bright = middle(|one| one.measures.brightness_at_strike_hz.map(|bright| bright.value));
        let parts = [
            attack.map(|ms| format!("attack {ms:.1}\u{202F}ms")),
            bright.map(|hz| format!("brightness at the strike {hz:.0}\u{202F}Hz")),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        if !parts.is_empty() {
            let words = format!("With {name}: {} ({})", parts.join(", "), many(heard.len(), "strike"));
            ui.label(RichText::new(words).font(sans(size::TEXT)).color(scene.tokens.ink));
        }
    }
}
