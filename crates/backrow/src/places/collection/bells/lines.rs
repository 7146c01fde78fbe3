//! For each line for bells, of the programme and of every other work: which written notes we can give, in which octave, with which
//! beater, and what to borrow.

use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::marks::{Mark, mark};
use crate::theme::tokens::size;
use crate::theme::{sans, semibold};
use crate::view::View;
use backrow_core::library::Library;
use backrow_core::music::{Line, Work};
use backrow_core::tonight::{BellNote, Hall, bells_for, is_bell_kind};
use backrow_core::week::{LineRef, Programme};
use egui::{RichText, Ui, vec2};

/// Draws them.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, hall: Hall) {
    let tokens = scene.tokens;
    let library = scene.library;
    let programme = view.programme_in(library);
    if let Some(programme) = programme {
        let title = format!("Lines for bells in {}", programme.title);
        ui.label(RichText::new(title).font(semibold(size::TEXT)).color(tokens.ink));
        let works: Vec<_> = programme.works_in_order().filter_map(|(_, id)| library.works.get(id)).collect();
        let with_bells = works.into_iter().filter(|work| work_ui(ui, scene, work, hall)).count();
        if with_bells == 0 {
            ui.label(RichText::new("None with pitches.").color(tokens.ink2));
        }
    }
    others(ui, scene, programme, hall);
    let words = "Bells are written and sound in ways that differ: every octave in which we have the note is named, the line\u{2019}s own reading in words.";
    ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2)).wrap());
}

/// The works that the programme does not play, each behind its title: nothing of a closed one is worked out.
fn others(ui: &mut Ui, scene: &mut Scene<'_>, programme: Option<&Programme>, hall: Hall) {
    let library = scene.library;
    egui::CollapsingHeader::new("Other works with bells").id_salt("other works with bells").show(ui, |ui| {
        let played = |work: &Work| programme.is_some_and(|programme| programme.plays(&work.id));
        let mut works: Vec<&Work> = library
            .works
            .values()
            .map(|work| &**work)
            .filter(|work| !played(work) && for_bells(library, work).next().is_some())
            .collect();
        works.sort_by(|a, b| a.title.cmp(&b.title));
        if works.is_empty() {
            ui.label(
                RichText::new("No other work of the library has a line for bells with pitches.")
                    .color(scene.tokens.ink2),
            );
        }
        for work in works {
            egui::CollapsingHeader::new(&work.title).id_salt(("bells of", &work.id)).show(ui, |ui| {
                work_ui(ui, scene, work, hall);
            });
        }
    });
}

/// A work's lines for bells that have pitches.
fn for_bells<'a>(library: &'a Library, work: &'a Work) -> impl Iterator<Item = &'a Line> {
    work.lines.iter().filter(|line| {
        line.is_pitched() && line.kind.as_ref().is_some_and(|kind| is_bell_kind(library, kind))
    })
}

/// A work's lines for bells; whether there are any.
fn work_ui(ui: &mut Ui, scene: &mut Scene<'_>, work: &Work, hall: Hall) -> bool {
    let library = scene.library;
    let mut any = false;
    for line in for_bells(library, work) {
        let notes = bells_for(library, line, hall);
        if !notes.is_empty() {
            any = true;
            line_ui(ui, scene, (work, line), &notes);
        }
    }
    any
}

fn line_ui(ui: &mut Ui, scene: &mut Scene<'_>, (work, line): (&Work, &Line), notes: &[BellNote]) {
    let tokens = scene.tokens;
    let number = work.movement(&line.movement).map_or("", |movement| movement.number.as_str());
    let name = format!("{} in {} {number}", scene.library.line_name(line), work.title);
    if ui.link(name.trim_end()).clicked() {
        scene.ask(Intent::Line(LineRef { work: work.id.clone(), line: line.id.clone() }));
    }
    egui::Grid::new(("bell line", &work.id, &line.id)).num_columns(3).spacing([14.0, 3.0]).show(ui, |ui| {
        for note in notes {
            ui.horizontal(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(12.0, 16.0), egui::Sense::hover());
                if note.is_to_borrow() {
                    mark(ui.painter(), rect.center(), Mark::Clash, &tokens);
                } else if !note.is_given() {
                    mark(ui.painter(), rect.center(), Mark::Care, &tokens);
                }
                ui.label(format!("{} written", note.written));
            });
            ui.label(RichText::new(format!("{}×", note.count)).color(tokens.ink2));
            let words = note.words(scene.library);
            ui.add(egui::Label::new(RichText::new(words).color(tokens.ink)).wrap());
            ui.end_row();
        }
    });
}
