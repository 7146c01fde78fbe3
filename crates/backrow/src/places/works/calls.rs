//! The calls of the work at hand, and what can be changed about them.

use super::editor::{kind_choice, octave_choice};
use crate::intent::Intent;
use crate::places::works::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{sans, semibold, serif, serif_italic};
use crate::words::minutes;
use backrow_core::edit::Edit;
use backrow_core::id::WorkId;
use backrow_core::music::{Call, Degree, Work};
use backrow_core::week::{CallRef, Programme};
use egui::{RichText, Ui};

/// Draws the work at hand.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let Some(work) = view.work.as_ref().and_then(|id| scene.library.works.get(id)).cloned() else {
        ui.label(RichText::new("Choose a work at the left, or read a score.").color(scene.tokens.ink2));
        return;
    };
    ui.add(
        egui::Label::new(RichText::new(&work.title).font(serif(size::HEADING)).color(scene.tokens.ink))
            .wrap(),
    );
    ui.label(
        RichText::new(format!("{}, {}", work.composer, minutes(work.seconds()))).color(scene.tokens.ink2),
    );
    ui.horizontal(|ui| {
        if ui.button("Change the work").on_hover_text("Titles, movements, tempo, calls (Ctrl E)").clicked() {
            view.own.desk = Some(super::editor::Editor::of_library(&work));
        }
        let remove = ui.button("Remove the work").on_hover_text("From the library; undo brings it back");
        if remove.clicked() {
            scene.ask(Intent::Edit(Edit::RemoveWork(work.id.clone())));
        }
    });
    in_programme(ui, scene, view, &work.id);
    ui.add_space(space::S);
    egui::ScrollArea::both().id_salt("calls").auto_shrink([false, false]).show(ui, |ui| {
        if work.calls.is_empty() {
            ui.label(RichText::new("This work calls for no percussion yet.").color(scene.tokens.ink2));
        }
        for movement in &work.movements {
            let calls: Vec<&Call> = work.calls_of(&movement.id).collect();
            if calls.is_empty() {
                continue;
            }
            let heading = movement.heading();
            if !heading.is_empty() {
                ui.label(RichText::new(heading).font(serif_italic(16.0)).color(scene.tokens.ink));
            }
            table(ui, scene, view, &work, movement.id.as_str(), &calls);
            ui.add_space(space::S);
        }
    });
}

fn in_programme(ui: &mut Ui, scene: &mut Scene<'_>, view: &Here<'_>, work: &WorkId) {
    let Some(programme) = view.programme_in(scene.library).cloned() else { return };
    let Some(week) = scene.library.week_of(&programme.id).map(|week| week.id.clone()) else { return };
    let at = programme.works.iter().position(|id| id == work);
    let mut change = |programme: Programme| {
        scene.intents.push(Intent::Edit(Edit::PutProgramme { week: week.clone(), programme }));
    };
    ui.horizontal(|ui| match at {
        Some(at) => {
            ui.label(format!("No. {} of {}.", at + 1, programme.title));
            for (words, to) in [
                ("Earlier", at.checked_sub(1)),
                ("Later", Some(at + 1).filter(|to| *to < programme.works.len())),
            ] {
                if ui.add_enabled(to.is_some(), egui::Button::new(words)).clicked()
                    && let Some(to) = to
                {
                    let mut next = programme.clone();
                    next.works.swap(at, to);
                    change(next);
                }
            }
            if ui.button("Take out of the programme").clicked() {
                let mut next = programme.clone();
                next.works.remove(at);
                change(next);
            }
        }
        None => {
            if ui.button(format!("Add to {}", programme.title)).clicked() {
                let mut next = programme.clone();
                next.works.push(work.clone());
                change(next);
            }
        }
    });
}

fn table(ui: &mut Ui, scene: &mut Scene<'_>, view: &Here<'_>, work: &Work, salt: &str, calls: &[&Call]) {
    let tokens = scene.tokens;
    let programme = view.programme_in(scene.library);
    egui::Grid::new(("calls of", salt)).num_columns(8).spacing([12.0, 4.0]).min_row_height(24.0).show(
        ui,
        |ui| {
            for word in ["call", "kind", "part", "measures", "notes", "octave", "reading", "player", ""] {
                ui.label(RichText::new(word).font(sans(size::NOTE)).color(tokens.ink2));
            }
            ui.end_row();
            for call in calls {
                let at = CallRef { work: work.id.clone(), call: call.id.clone() };
                let name =
                    RichText::new(scene.library.call_name(call)).font(semibold(size::TEXT)).color(tokens.ink);
                let chosen = view.call.as_ref() == Some(&at);
                if ui.selectable_label(chosen, name).clicked() {
                    scene.intents.push(Intent::Call(at.clone()));
                }
                let mut changed = None;
                kind_choice(
                    ui,
                    scene.library,
                    &format!("Kind of {}", call.id),
                    call.kind.as_ref(),
                    &mut changed,
                );
                ui.label(format!("{} “{}”", call.part, call.printed));
                ui.label(call.measures());
                ui.label(notes_words(call));
                let mut octave = call.octave;
                octave_choice(ui, &format!("Octave of {}", call.id), &mut octave);
                let degree =
                    ui.label(RichText::new(call.degree.word()).color(if call.degree == Degree::Unclear {
                        tokens.care
                    } else {
                        tokens.ink2
                    }));
                if !call.evidence.is_empty() {
                    degree.on_hover_text(call.evidence.join("\n"));
                }
                let player = programme.and_then(|p| p.assignment(&at).player);
                ui.label(player.map_or_else(String::new, |id| scene.library.player_name(&id)));
                if ui
                    .button("Drop")
                    .on_hover_text("Drops the call from the work; undo brings it back")
                    .clicked()
                {
                    scene.intents.push(Intent::Edit(Edit::RemoveCall {
                        work: work.id.clone(),
                        call: call.id.clone(),
                    }));
                }
                ui.end_row();
                let kind = changed.map_or_else(|| call.kind.clone(), |change| change.0);
                if kind != call.kind || octave != call.octave {
                    let degree = if kind == call.kind { call.degree } else { Degree::Sure };
                    let call = Call { kind, octave, degree, ..(*call).clone() };
                    scene.intents.push(Intent::Edit(Edit::PutCall { work: work.id.clone(), call }));
                }
            }
        },
    );
}

/// "19, E4–B6" or "24 strokes".
pub(super) fn notes_words(call: &Call) -> String {
    let counts = call.written_counts();
    if let (Some((low, _)), Some((high, _))) = (counts.first(), counts.last()) {
        return format!("{}, {}–{}", counts.len(), low.written, high.written);
    }
    let strokes: u32 = call.passages.iter().flat_map(|p| &p.unpitched).map(|u| u.count).sum();
    format!("{strokes} strokes")
}
