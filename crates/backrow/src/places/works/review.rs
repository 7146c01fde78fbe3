//! What was found in a score, looked over before any of it enters the library.

use super::calls::{kind_choice, notes_words, octave_choice};
use crate::frame::panel::thing::primary;
use crate::frame::top_strip::minutes;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{sans, semibold, serif};
use crate::view::View;
use backrow_core::edit::Edit;
use backrow_core::id::WorkId;
use backrow_core::library::Library;
use backrow_core::music::{Degree, Work};
use backrow_files::score::{ScoreReading, work_of};
use egui::{RichText, Ui};

/// A reading under review: the work that it would make, and which calls are taken.
pub(super) struct Review {
    file: String,
    work: Work,
    taken: Vec<bool>,
    problems: Vec<String>,
}

impl Review {
    pub(super) fn new(reading: ScoreReading) -> Self {
        let work = work_of(&reading);
        let problems = reading.problems.iter().map(ToString::to_string).collect();
        Self { file: reading.file, taken: vec![true; work.calls.len()], work, problems }
    }

    /// The work with the calls that are taken, under an id that the library has free.
    fn chosen(&self, library: &Library) -> Work {
        let mut work = self.work.clone();
        let mut taken = self.taken.iter();
        work.calls.retain(|_| taken.next().copied().unwrap_or(true));
        work.id = WorkId::fresh(&work.title, |id| library.works.contains_key(id));
        work
    }

    /// One step that takes the work in, and adds it to the programme at hand.
    fn edit(&self, scene: &Scene<'_>, view: &View) -> (WorkId, Edit) {
        let work = self.chosen(scene.library);
        let id = work.id.clone();
        let words = format!("Take in {} with {} calls", work.title, work.calls.len());
        let mut edits = vec![Edit::PutWork(work)];
        if let Some(programme) = view.programme_in(scene.library)
            && let Some(week) = scene.library.week_of(&programme.id)
        {
            let mut programme = programme.clone();
            programme.works.push(id.clone());
            edits.push(Edit::PutProgramme { week: week.id.clone(), programme });
        }
        (id, Edit::Together { words, edits })
    }
}

/// Draws the review; `false` when it is over.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut View, review: &mut Review) -> bool {
    let tokens = scene.tokens;
    let measures: usize = review.work.movements.iter().map(|m| m.timeline.measures.len()).sum();
    let facts = format!("{}: {measures} measures as played, {}", review.file, minutes(review.work.seconds()));
    ui.label(RichText::new(facts).color(tokens.ink2));
    ui.horizontal(|ui| {
        for (word, text) in [("Title", &mut review.work.title), ("Composer", &mut review.work.composer)] {
            let label = ui.label(RichText::new(word).color(tokens.ink2));
            ui.add(egui::TextEdit::singleline(text).desired_width(240.0)).labelled_by(label.id);
        }
    });
    let mut goes_on = true;
    ui.horizontal(|ui| {
        let taken = review.taken.iter().filter(|taken| **taken).count();
        if primary(
            ui,
            scene,
            &format!("Take {taken} {} into the library", if taken == 1 { "call" } else { "calls" }),
        )
        .clicked()
        {
            let (id, edit) = review.edit(scene, view);
            scene.ask(Intent::Edit(edit));
            scene.ask(Intent::Work(id));
            goes_on = false;
        }
        if ui.button("Leave it").clicked() {
            goes_on = false;
        }
        let unclear = review.work.calls.iter().filter(|call| call.degree == Degree::Unclear).count();
        if unclear > 0 {
            ui.label(
                RichText::new(format!("{unclear} to be asked: choose their kind"))
                    .font(semibold(size::NOTE))
                    .color(tokens.care),
            );
        }
    });
    ui.add_space(space::S);
    egui::ScrollArea::both().id_salt("review").auto_shrink([false, false]).show(ui, |ui| {
        if review.work.calls.is_empty() {
            ui.label("No percussion was found in this score.");
        }
        rows(ui, scene, review);
        problems(ui, scene, review);
    });
    goes_on
}

fn rows(ui: &mut Ui, scene: &Scene<'_>, review: &mut Review) {
    let tokens = scene.tokens;
    egui::Grid::new("found calls").num_columns(8).spacing([12.0, 6.0]).min_row_height(24.0).show(ui, |ui| {
        for word in [
            "take",
            "kind",
            "printed",
            "part",
            "measures",
            "notes as written",
            "octave",
            "how sure, and by what",
        ] {
            ui.label(RichText::new(word).font(sans(size::NOTE)).color(tokens.ink2));
        }
        ui.end_row();
        for (at, (call, taken)) in review.work.calls.iter_mut().zip(&mut review.taken).enumerate() {
            let tick = ui.checkbox(taken, "");
            tick.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::CheckBox, true, format!("Take call {}", at + 1))
            });
            let mut changed = None;
            kind_choice(
                ui,
                scene.library,
                &format!("Kind of found call {}", at + 1),
                call.kind.as_ref(),
                &mut changed,
            );
            if let Some(change) = changed {
                call.kind = change.0;
                call.degree = Degree::Sure;
            }
            ui.label(format!("“{}”", call.printed));
            ui.label(&call.part);
            ui.label(call.measures());
            ui.label(notes_words(call));
            octave_choice(ui, &format!("Octave of found call {}", at + 1), &mut call.octave);
            let ink = if call.degree == Degree::Unclear { tokens.care } else { tokens.ink2 };
            let words = call.evidence.first().map_or("", String::as_str);
            let line = format!("{}: {words}", call.degree.word());
            ui.label(RichText::new(line).font(sans(size::NOTE)).color(ink))
                .on_hover_text(call.evidence.join("\n"));
            ui.end_row();
        }
    });
}

fn problems(ui: &mut Ui, scene: &Scene<'_>, review: &Review) {
    if review.problems.is_empty() {
        return;
    }
    ui.add_space(space::M);
    ui.label(RichText::new("Not read, or guessed").font(serif(size::HEADING)).color(scene.tokens.ink));
    for problem in &review.problems {
        ui.add(
            egui::Label::new(RichText::new(problem).font(sans(size::NOTE)).color(scene.tokens.ink2)).wrap(),
        );
    }
}
