//! The tuning plan of a line of timpani: what each drum starts with, each retuning, and which pitch stays on which drum.

use super::super::{fact, rule};
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::{marks, sans};
use crate::tuning::Asker;
use crate::view::View;
use backrow_core::edit::Edit;
use backrow_core::id::ProgrammeId;
use backrow_core::pitch::KeyNumber;
use backrow_core::sets::{LinePlan, SetDrum, made_one};
use backrow_core::timpani::{Plan, Said, impossible_words, proof_words, seconds};
use backrow_core::week::LineRef;
use egui::{RichText, Ui};

/// Draws the plan; nothing for a line that has none.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, programme: &ProgrammeId, at: &LineRef) {
    let library = scene.library;
    let plan = view.tuning.plan(Asker::Panel, library, scene.revision, Some(programme), at);
    let Some(line) = plan else { return };
    rule(ui, scene);
    marks::heading(ui, "Tuning", "", &scene.tokens);
    match &line.answer {
        Ok(plan) => planned(ui, scene, &line, plan),
        Err(why) => {
            ui.add(
                egui::Label::new(
                    RichText::new(impossible_words(why, &line.spelling))
                        .font(sans(size::NOTE))
                        .color(scene.tokens.clash),
                )
                .wrap(),
            );
        }
    }
    part_says(ui, scene, at, &line);
    pins(ui, scene, programme, at, &line);
    one_set(ui, scene, &line);
    if line.estimated {
        let words =
            "When each note is struck is not known here; notes are taken to be even within their measures.";
        ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(scene.tokens.ink2)).wrap());
    }
}

/// Single drums may be made one set.
fn one_set(ui: &mut Ui, scene: &mut Scene<'_>, line: &LinePlan) {
    let mut drums: Vec<_> = line.drums.iter().map(|one| one.instrument.clone()).collect();
    let all = drums.len();
    drums.sort();
    drums.dedup();
    if all < 2 || drums.len() != all {
        return;
    }
    let button = ui.button("Make one set of these drums");
    let hover = "They become one instrument of the collection, for every line that has any of them; one undo parts them again";
    if button.on_hover_text(hover).clicked() {
        match made_one(scene.library, &drums) {
            Ok(edit) => scene.edit(edit),
            Err(why) => scene.ask(Intent::Fail(why)),
        }
    }
}

fn planned(ui: &mut Ui, scene: &Scene<'_>, line: &LinePlan, plan: &Plan) {
    let starts: Vec<String> = line
        .starts()
        .iter()
        .map(|(one, key)| format!("{} {}", one.drum.name, line.spelling.of(*key)))
        .collect();
    fact(ui, scene, "Start", starts.join(", "));
    if plan.changes.is_empty() {
        fact(ui, scene, "Retune", "never");
    }
    for (at, (one, change)) in line.changes().into_iter().enumerate() {
        let how = if change.heard { "while others are struck" } else { "in the rest" };
        let words = format!(
            "{} {} to {}, {}, {how}: has {}, needs {}",
            one.drum.name,
            line.spelling.of(change.from),
            line.spelling.of(change.to),
            change.measures(),
            seconds(change.have_us),
            seconds(change.need_us)
        );
        fact(ui, scene, if at == 0 { "Retune" } else { "" }, words);
    }
    if !plan.best {
        fact(ui, scene, "", "The search was stopped early; a better plan may exist.");
    }
    let drums =
        if plan.fewest_drums == 1 { "1 drum".to_owned() } else { format!("{} drums", plan.fewest_drums) };
    fact(ui, scene, "Fewest", format!("{drums}. {}", proof_words(&plan.proof, &line.spelling)));
}

/// Where the part asks for a retuning, and whether the plan does it.
fn part_says(ui: &mut Ui, scene: &Scene<'_>, at: &LineRef, row: &LinePlan) {
    let Some((_, line)) = scene.library.line(at) else { return };
    for (nth, (asked, said)) in row.said(line).into_iter().enumerate() {
        let answer = match said {
            Said::Agrees => "the plan does so",
            Said::NotNeeded => "not needed on these drums",
            Said::Differs => "the plan does otherwise",
        };
        let words = format!("m.\u{a0}{} “{}”: {answer}", asked.measure, asked.words);
        fact(ui, scene, if nth == 0 { "Part says" } else { "" }, words);
    }
}

/// For each pitch, the drum that it stays on.
fn pins(ui: &mut Ui, scene: &mut Scene<'_>, programme: &ProgrammeId, at: &LineRef, row: &LinePlan) {
    let Some(given) = scene.library.programme(programme).map(|p| p.assignment(at)) else { return };
    let mut keys: Vec<KeyNumber> = row.strokes.iter().map(|stroke| stroke.key).collect();
    keys.extend(given.drums.iter().map(|pin| pin.key));
    keys.sort_unstable();
    keys.dedup();
    let mut chosen: Option<(KeyNumber, Option<&SetDrum>)> = None;
    for key in keys {
        let pin = given.drums.iter().find(|pin| pin.key == key);
        let now = pin.map_or_else(|| "on any drum".to_owned(), |pin| format!("stays on the {}", pin.drum));
        ui.horizontal(|ui| {
            ui.add_sized(
                [64.0, 20.0],
                egui::Label::new(RichText::new(row.spelling.of(key).to_string()).font(sans(size::NOTE))),
            );
            let combo = egui::ComboBox::from_id_salt(("drum of", key.number()))
                .selected_text(now)
                .width(150.0)
                .truncate()
                .show_ui(ui, |ui| {
                    if ui.selectable_label(pin.is_none(), "on any drum").clicked() {
                        chosen = Some((key, None));
                    }
                    for one in row.drums.iter().filter(|one| one.drum.reach.contains(key)) {
                        let here = pin
                            .is_some_and(|pin| pin.instrument == one.instrument && pin.drum == one.drum.name);
                        if ui.selectable_label(here, format!("stays on the {}", one.drum.name)).clicked() {
                            chosen = Some((key, Some(one)));
                        }
                    }
                });
            let name = format!("Drum for {}", row.spelling.of(key));
            combo.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, &name));
        });
    }
    if let Some((key, on)) = chosen {
        let on = on.map(|one| (one.instrument.clone(), one.drum.name.clone()));
        scene.edit(Edit::PinDrum { programme: programme.clone(), line: at.clone(), key, on });
    }
}
