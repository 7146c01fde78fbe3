//! For each of the programme's lines for bells: which written notes we can give, in which octave, with which beater, and what to
//! borrow.

use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::marks::{Mark, mark};
use crate::theme::tokens::size;
use crate::theme::{sans, semibold};
use crate::view::View;
use backrow_core::music::{Line, Work};
use backrow_core::tonight::{BellNote, Hall, bells_for, is_bell_kind};
use backrow_core::week::LineRef;
use egui::{RichText, Ui, vec2};

/// Draws them.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, hall: Hall) {
    let tokens = scene.tokens;
    let library = scene.library;
    let Some(programme) = view.programme_in(library) else { return };
    let title = format!("Lines for bells in {}", programme.title);
    ui.label(RichText::new(title).font(semibold(size::TEXT)).color(tokens.ink));
    let works: Vec<_> = programme.works_in_order().filter_map(|(_, id)| library.works.get(id)).collect();
    let mut any = false;
    for work in works {
        for line in work
            .lines
            .iter()
            .filter(|line| line.kind.as_ref().is_some_and(|kind| is_bell_kind(library, kind)))
        {
            let notes = bells_for(library, line, hall);
            if !notes.is_empty() {
                any = true;
                line_ui(ui, scene, (work, line), &notes);
            }
        }
    }
    if !any {
        ui.label(RichText::new("None with pitches.").color(tokens.ink2));
    }
    let words = "Bells are written and sound in ways that differ: every octave in which we have the note is named, the line\u{2019}s own reading in words.";
    ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2)).wrap());
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
