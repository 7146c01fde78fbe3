//! Up the keyboard: the bars of a take told by their pitch, beside the frame; what is in doubt is asked here.

use super::Edited;
use crate::background::{Job, Stop, Taken};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use crate::theme::widgets::trouble;
use backrow_core::pitch::KeyNumber;
use backrow_core::sound::{Measures, Strike};
use backrow_core::upkeep::target;
use backrow_sound::Analyser;
use backrow_sound::keyboard::{Instrument, Remark, Walk, walk};
use egui::{RichText, Ui};
use std::sync::Arc;

/// A walk that is read, and what is to be known or answered about the last one.
#[derive(Default)]
pub(super) struct Walking {
    job: Option<(Vec<Strike>, Job<Walk>)>,
    remarks: Vec<Remark>,
    /// Why nothing came of it.
    why_not: Option<&'static str>,
}

impl Walking {
    pub(super) const fn is_working(&self) -> bool {
        self.job.is_some()
    }
}

/// Begins to read the take's strikes as a walk up the instrument.
pub(super) fn begin(ctx: &egui::Context, scene: &mut Scene<'_>, take: &mut Edited) {
    let Some(thing) = scene.library.instruments.get(&take.instrument) else { return };
    let asked = Instrument { bars: thing.bars(), dead: thing.dead(), a: target(scene.library, thing) };
    let (samples, rate, strikes) = (Arc::clone(&take.samples), f64::from(take.rate), take.strikes.clone());
    let work = move |stop: &Stop| {
        let Some(analyser) = Analyser::new(&samples, rate) else { return walk(&[], &asked) };
        let measure = |strike: &Strike| {
            // Nobody waits for a walk that was stopped: what is left costs nothing.
            if stop.is_asked() { Measures::NOTHING } else { analyser.measure(analyser.span(strike)) }
        };
        let measures: Vec<Measures> = strikes.iter().map(measure).collect();
        walk(&measures.iter().collect::<Vec<_>>(), &asked)
    };
    match Job::start(ctx, "up the keyboard", work) {
        Ok(job) => {
            take.walk = Walking { job: Some((take.strikes.clone(), job)), ..Walking::default() };
        }
        Err(why) => scene.ask(Intent::Fail(format!("The bars cannot be identified now: {why}."))),
    }
}

/// Takes the answer where there is one: strikes that were changed meanwhile get no bars of before.
fn take_answer(take: &mut Edited) {
    let Some((asked, mut job)) = take.walk.job.take() else { return };
    match job.take() {
        Taken::Working => take.walk.job = Some((asked, job)),
        Taken::Failed => take.walk.why_not = Some("The search for bars stopped early; nothing was changed."),
        Taken::Done(_) if !same_spans(&asked, &take.strikes) => {
            take.walk.why_not = Some("The strikes were changed meanwhile: press Up the keyboard again.");
        }
        Taken::Done(walk) => {
            for (strike, bar) in take.strikes.iter_mut().zip(&walk.bars) {
                strike.bar = bar.map(|bar| bar.key);
            }
            take.walk.remarks = walk.remarks;
        }
    }
}

fn same_spans(one: &[Strike], other: &[Strike]) -> bool {
    let spans = |strikes: &[Strike]| {
        strikes.iter().map(|s| (s.from_s.to_bits(), s.to_s.to_bits())).collect::<Vec<_>>()
    };
    spans(one) == spans(other)
}

/// Draws what the last walk left to be known or answered.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, take: &mut Edited) {
    take_answer(take);
    if take.walk.is_working() {
        ui.label(note(scene, "The bars are being identified by their pitch …"));
    }
    if let Some(words) = take.walk.why_not {
        trouble(ui, &scene.tokens, words);
    }
    if take.walk.remarks.is_empty() {
        return;
    }
    let remarks = take.walk.remarks.clone();
    let mut answered = None;
    egui::ScrollArea::vertical().id_salt("remarks of a walk").max_height(110.0).show(ui, |ui| {
        for (at, remark) in remarks.iter().enumerate() {
            ui.push_id(("remark", at), |ui| {
                ui.horizontal(|ui| {
                    if one(ui, scene, take, remark) {
                        answered = Some(at);
                    }
                });
            });
        }
    });
    if let Some(at) = answered {
        take.walk.remarks.remove(at);
    }
}

/// One remark with its answers; whether it was answered.
fn one(ui: &mut Ui, scene: &mut Scene<'_>, take: &mut Edited, remark: &Remark) -> bool {
    ui.label(note(scene, &remark.to_string()));
    let strike = match remark {
        Remark::Which { strike, .. }
        | Remark::NoSuchBar { strike, .. }
        | Remark::SoundsDead { strike, .. } => Some(*strike),
        Remark::NotStruck(_) | Remark::DeadButSounds(_) => None,
    };
    if let Some(strike) = strike
        && ui.small_button("Hear it").clicked()
        && strike < take.strikes.len()
    {
        take.chosen = strike;
        super::play(scene, take);
    }
    if let Remark::Which { strike, taken, or } = remark {
        for key in [*taken, *or] {
            if ui.small_button(format!("It is {key}")).clicked() {
                give(take, *strike, key);
                return true;
            }
        }
        return false;
    }
    ui.small_button("Seen").clicked()
}

fn give(take: &mut Edited, strike: usize, key: KeyNumber) {
    if let Some(strike) = take.strikes.get_mut(strike) {
        strike.bar = Some(key);
    }
}

fn note(scene: &Scene<'_>, words: &str) -> RichText {
    RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink)
}
