//! The lines of the work at hand, and what can be changed about them.

use super::editor::{kind_choice, octave_choice};
use crate::intent::Intent;
use crate::places::works::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{sans, semibold, serif, serif_italic};
use crate::words::minutes;
use backrow_core::edit::Edit;
use backrow_core::id::WorkId;
use backrow_core::music::{Degree, Line, Work};
use backrow_core::week::{LineRef, Programme};
use egui::{Key, RichText, Ui};
use std::sync::Arc;

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
        if ui.button("Change the work").on_hover_text("Titles, movements, tempo, lines (Ctrl E)").clicked() {
            view.own.desk = Some(super::editor::Editor::of_library(&work));
        }
        let remove = ui.button("Remove the work").on_hover_text("From the library; undo brings it back");
        if remove.clicked() {
            scene.ask(Intent::Edit(Edit::RemoveWork(work.id.clone())));
        }
        join_choice(ui, scene, &work);
    });
    in_programme(ui, scene, view, &work.id);
    ui.add_space(space::S);
    egui::ScrollArea::both().id_salt("lines").auto_shrink([false, false]).show(ui, |ui| {
        if work.lines.is_empty() {
            ui.label(RichText::new("This work has no lines of percussion yet.").color(scene.tokens.ink2));
        }
        for (at, movement) in work.movements.iter().enumerate() {
            let lines: Vec<&Line> = work.lines_of(&movement.id).collect();
            heading(ui, scene, &work, at, lines.is_empty());
            table(ui, scene, view, &work, movement.id.as_str(), &lines);
            ui.add_space(space::S);
        }
    });
}

/// A movement in the hand.
struct Carried(usize);

/// A movement's heading: dragged onto another, or moved with Alt and the arrows, it takes that place.
fn heading(ui: &mut Ui, scene: &mut Scene<'_>, work: &Arc<Work>, at: usize, tacet: bool) {
    let Some(movement) = work.movements.get(at) else { return };
    let heading = movement.heading();
    if heading.is_empty() && work.movements.len() == 1 {
        return;
    }
    let name = if heading.is_empty() { "a movement without a name".to_owned() } else { heading };
    let tokens = scene.tokens;
    let mut to = None;
    ui.horizontal(|ui| {
        let id = egui::Id::unique(("movement of a work", work.id.as_str(), at));
        let source = ui.dnd_drag_source(id, Carried(at), |ui| {
            let words = RichText::new(&name).font(serif_italic(16.0)).color(tokens.ink);
            ui.add(egui::Label::new(words).sense(egui::Sense::click()))
        });
        let label = source.inner.on_hover_text("Drag it to another place, or Alt with the arrows");
        label.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Movement {name}")));
        if let Some(carried) = source.response.dnd_release_payload::<Carried>() {
            to = Some((carried.0, at));
        }
        if label.has_focus() {
            for (key, next) in [(Key::ArrowUp, at.checked_sub(1)), (Key::ArrowDown, Some(at + 1))] {
                if ui.input_mut(|i| i.consume_key(egui::Modifiers::ALT, key)) {
                    to = next.map(|next| (at, next));
                }
            }
        }
        let words = minutes(movement.timeline.end_s);
        let words = if tacet { format!("{words}, tacet") } else { words };
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
        if work.movements.len() > 1 {
            let own = ui.small_button("A work of its own");
            own.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Make {name} a work of its own"))
            });
            if own.clicked()
                && let Some((id, edit)) = super::shape::part(scene.library, work, &movement.id)
            {
                scene.ask(Intent::Edit(edit));
                scene.ask(Intent::Work(id));
            }
        }
    });
    if let Some((from, to)) = to
        && let Some(edit) = super::shape::reorder(work, from, to)
    {
        scene.ask(Intent::Edit(edit));
    }
}

/// Another work of the library as further movements of this one.
fn join_choice(ui: &mut Ui, scene: &mut Scene<'_>, work: &Work) {
    let mut joined = None;
    let combo = egui::ComboBox::from_id_salt("join a work").selected_text("Join another work …").width(150.0);
    let shown = combo.show_ui(ui, |ui| {
        let mut others: Vec<&Arc<Work>> = scene.library.works.values().filter(|w| w.id != work.id).collect();
        others.sort_by_key(|other| (other.composer != work.composer, other.title.to_lowercase()));
        for other in others {
            if ui.selectable_label(false, format!("{}, {}", other.title, other.composer)).clicked() {
                joined = Some(other.id.clone());
            }
        }
    });
    let why = "Its movements are put after those of this work, with all that is assigned";
    let response = shown.response.on_hover_text(why);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Join another work"));
    if let Some(edit) = joined.and_then(|other| super::shape::join(scene.library, &work.id, &other)) {
        scene.ask(Intent::Edit(edit));
    }
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

/// The lines of a movement, two rows of words each, so that they stay within a small window.
fn table(ui: &mut Ui, scene: &mut Scene<'_>, view: &Here<'_>, work: &Work, salt: &str, lines: &[&Line]) {
    let tokens = scene.tokens;
    let programme = view.programme_in(scene.library);
    let note = |words: String| RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2);
    for line in lines {
        let at = LineRef { work: work.id.clone(), line: line.id.clone() };
        let (mut changed, mut octave) = (None, line.octave);
        ui.push_id((salt, line.id.as_str()), |ui| {
            ui.horizontal(|ui| {
                let name =
                    RichText::new(scene.library.line_name(line)).font(semibold(size::TEXT)).color(tokens.ink);
                let chosen = view.line.as_ref() == Some(&at);
                let left = egui::Layout::left_to_right(egui::Align::Center);
                ui.allocate_ui_with_layout(egui::vec2(150.0, 24.0), left, |ui| {
                    ui.set_width(150.0);
                    if ui.add(egui::Button::selectable(chosen, name).truncate()).clicked() {
                        scene.intents.push(Intent::Line(at.clone()));
                    }
                });
                let label = format!("Kind of {}", line.id);
                kind_choice(ui, scene.library, (&label, &[]), line.kind.as_ref(), &mut changed);
                octave_choice(ui, &format!("Octave of {}", line.id), &mut octave);
                let drop =
                    ui.button("Drop").on_hover_text("Drops the line from the work; undo brings it back");
                if drop.clicked() {
                    let edit = Edit::RemoveLine { work: work.id.clone(), line: line.id.clone() };
                    scene.intents.push(Intent::Edit(edit));
                }
            });
            ui.horizontal_wrapped(|ui| {
                let player = programme.and_then(|p| p.assignment(&at).player);
                let player =
                    player.map(|id| format!("; {}", scene.library.player_name(&id))).unwrap_or_default();
                let part = format!("{} “{}”", line.part, line.printed);
                ui.label(note(format!("{part}, mm. {}, {}{player}", line.measures(), notes_words(line))));
                let ink = if line.degree == Degree::Unclear { tokens.care } else { tokens.ink2 };
                let degree = ui.label(note(line.degree.word().to_owned()).color(ink));
                if !line.evidence.is_empty() {
                    degree.on_hover_text(line.evidence.join("\n"));
                }
            });
        });
        let kind = changed.map_or_else(|| line.kind.clone(), |change| change.0);
        if kind != line.kind || octave != line.octave {
            let line = Line { octave, ..(*line).clone() };
            let name = kind.as_ref().map(|id| scene.library.kind_name(id));
            let line = if kind == line.kind { line } else { line.with_kind(kind, name.as_deref()) };
            scene.intents.push(Intent::Edit(Edit::PutLine { work: work.id.clone(), line }));
        }
    }
}

/// "19 notes, E4–B6" or "24 strokes".
pub(super) fn notes_words(line: &Line) -> String {
    let counts = line.written_counts();
    if let (Some((low, _)), Some((high, _))) = (counts.first(), counts.last()) {
        let notes = if counts.len() == 1 { "note" } else { "notes" };
        return format!("{} {notes}, {}–{}", counts.len(), low.written, high.written);
    }
    let strokes: u32 = line.passages.iter().flat_map(|p| &p.unpitched).map(|u| u.count).sum();
    if strokes == 1 { "1 stroke".to_owned() } else { format!("{strokes} strokes") }
}
