//! A survey from a recording: somebody walks up the keyboard, one strike a bar; the bars and their partials are filled into a form,
//! where they are looked at before they are saved.

use super::super::bench::{self, Bench, survey};
use crate::background::{Job, Stop, Taken};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::sans;
use crate::theme::tokens::size;
use backrow_core::care::{Reading, text_of};
use backrow_core::collection::Instrument;
use backrow_core::id::InstrumentId;
use backrow_core::sound::{Measures, Take};
use backrow_core::tuning::usual;
use backrow_core::upkeep::{from_take, target};
use backrow_sound::keyboard::{self, walk};
use egui::{RichText, Ui};
use jiff::civil::DateTime;
use std::collections::BTreeSet;

/// What a recording gave.
struct Heard {
    readings: Vec<Reading>,
    remarks: Vec<String>,
}

/// A recording being listened to.
pub(in crate::places::collection) struct Listening {
    instrument: InstrumentId,
    job: Job<Result<Heard, String>>,
}

/// Draws the field for the recording's path, and opens the form when it has been heard.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, bench: &mut Bench, thing: &Instrument) {
    take_answer(scene, bench);
    egui::CollapsingHeader::new("Survey from a recording").id_salt("from a recording").show(ui, |ui| {
        let words = "Strike every bar once, from the lowest to the highest, and let each ring. The bars are identified by their pitch; you look at \
                     them before they are saved.";
        let note = RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2);
        ui.add(egui::Label::new(note).wrap());
        ui.horizontal(|ui| {
            let label = ui.label("Its file");
            let field = egui::TextEdit::singleline(&mut bench.recording).desired_width(330.0);
            ui.add(field.hint_text("WAV, AIFF, FLAC, Ogg, MP3, M4A")).labelled_by(label.id);
            let free = bench.listening.is_none() && !bench.recording.trim().is_empty();
            if ui.add_enabled(free, egui::Button::new("Listen to it")).clicked() {
                listen(ui.ctx(), scene, bench, thing);
            }
        });
        from_library(ui, scene, bench, thing);
        if bench.listening.is_some() {
            ui.horizontal(|ui| {
                ui.label("Being listened to …");
                if ui.button("Cancel").clicked() {
                    bench.listening = None;
                }
            });
        }
    });
}

/// The takes that the library has of it, by the bars of their strikes.
fn from_library(ui: &mut Ui, scene: &Scene<'_>, bench: &mut Bench, thing: &Instrument) {
    let barred = |take: &Take| take.strikes.iter().filter_map(|strike| strike.bar).collect::<BTreeSet<_>>();
    let takes = scene.library.takes.values().filter(|take| take.instrument == thing.id);
    let takes: Vec<(&Take, usize)> =
        takes.map(|take| (&**take, barred(take).len())).filter(|(_, bars)| *bars > 0).collect();
    if takes.is_empty() {
        return;
    }
    ui.label(
        RichText::new("Or from one of the library’s takes, by the bars of its strikes:")
            .color(scene.tokens.ink2),
    );
    let mut memory = std::mem::take(&mut bench.heard);
    let heard = memory.of(ui.ctx(), scene, &thing.id);
    for why in heard.iter().flat_map(|heard| &heard.troubles) {
        ui.label(RichText::new(why).color(scene.tokens.care));
    }
    for (take, bars) in takes {
        let on = take.when.map(DateTime::date);
        let day = on.map_or_else(String::new, |on| format!(", {}", scene.library.days().day(on)));
        let made = if take.by_model { ", made by a model" } else { "" };
        let bars = if bars == 1 { "one bar".to_owned() } else { format!("{bars} bars") };
        let button = egui::Button::new(format!("Survey from {}: {bars}{day}{made}", take.id));
        let measured = heard.is_some_and(|heard| heard.strikes.iter().any(|one| one.take.id == take.id));
        let hover = "Opens a survey with these figures filled in; you look at them before they are saved";
        if ui.add_enabled(measured, button).on_hover_text(hover).clicked() {
            let strikes = heard.into_iter().flat_map(|heard| &heard.strikes);
            let own = strikes.filter(|one| one.take.id == take.id);
            let kind = usual::of_kind(thing.kind.as_str());
            let readings = from_take::readings(own.map(|one| (one.strike.bar, &one.measures)), kind);
            let remark = format!("take {}{made}", take.id);
            let text = text_of(&readings);
            bench::put(bench, survey::heard(scene.library, &thing.id, on, text, remark));
        }
    }
    bench.heard = memory;
}

fn listen(ctx: &egui::Context, scene: &mut Scene<'_>, bench: &mut Bench, thing: &Instrument) {
    let path = match crate::paths::whole(&bench.recording, &crate::paths::Homes::of_account()) {
        Ok(path) => path,
        Err(why) => return scene.ask(Intent::Fail(why)),
    };
    let asked =
        keyboard::Instrument { bars: thing.bars(), dead: thing.dead(), a: target(scene.library, thing) };
    let kind = usual::of_kind(thing.kind.as_str());
    let work = move |stop: &Stop| -> Result<Heard, String> {
        let recording = backrow_files::sound::read_file(&path).map_err(|why| why.to_string())?;
        if stop.is_asked() {
            return Err(String::new());
        }
        let strikes = backrow_sound::analyse(&recording.sound, f64::from(recording.rate_hz));
        let measures: Vec<&Measures> = strikes.iter().map(|strike| &strike.measures).collect();
        let found = walk(&measures, &asked);
        let bars = found.bars.iter().map(|bar| bar.map(|bar| bar.key));
        let readings = from_take::readings(bars.zip(measures.iter().copied()), kind);
        if readings.is_empty() {
            return Err(format!("{}: no bar of the instrument was heard in it.", path.display()));
        }
        Ok(Heard { readings, remarks: found.remarks.iter().map(ToString::to_string).collect() })
    };
    match Job::start(ctx, "survey", work) {
        Ok(job) => bench.listening = Some(Listening { instrument: thing.id.clone(), job }),
        Err(why) => scene.ask(Intent::Fail(format!("It cannot be listened to now: {why}."))),
    }
}

fn take_answer(scene: &mut Scene<'_>, bench: &mut Bench) {
    let Some(mut listening) = bench.listening.take() else { return };
    match listening.job.take() {
        Taken::Working => bench.listening = Some(listening),
        Taken::Failed => scene.ask(Intent::Fail("Listening stopped short; nothing was changed.".to_owned())),
        Taken::Done(Err(why)) => scene.ask(Intent::Fail(why)),
        Taken::Done(Ok(heard)) => {
            let remark = heard.remarks.join(" ");
            let text = text_of(&heard.readings);
            bench::put(bench, survey::heard(scene.library, &listening.instrument, None, text, remark));
        }
    }
}
