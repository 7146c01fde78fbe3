//! The lines of the current work, and what can be changed about them.

use super::table;
use crate::intent::Intent;
use crate::places::works::Here;
use crate::scene::Scene;
use crate::theme::reorder::{Way, moved};
use crate::theme::tokens::{size, space};
use crate::theme::widgets::{cut, focus_ring, row_has, shows_actions};
use crate::theme::{sans, serif, serif_italic};
use crate::words::minutes;
use backrow_core::edit::Edit;
use backrow_core::id::WorkId;
use backrow_core::music::{Line, Work};
use backrow_core::week::Programme;
use egui::{RichText, Sense, Ui};
use std::sync::Arc;

/// Narrower than this, points, what is seldom done with a work is in a menu.
const NARROW: f32 = 620.0;

/// Draws the current work.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let Some(work) = view.work.as_ref().and_then(|id| scene.library.works.get(id)).cloned() else {
        ui.label(RichText::new("Choose a work at the left, or read a score.").color(scene.tokens.ink2));
        return;
    };
    let width = ui.available_width();
    ui.add(
        egui::Label::new(RichText::new(&work.title).font(serif(size::HEADING)).color(scene.tokens.ink))
            .wrap(),
    );
    ui.horizontal(|ui| {
        let words = format!(
            "{}{}{}",
            super::list::composer_first(&work),
            minutes(work.seconds()),
            number(scene, view, &work.id)
        );
        ui.add(egui::Label::new(RichText::new(words).color(scene.tokens.ink2)).truncate());
    });
    ui.horizontal_wrapped(|ui| {
        if ui.button("Edit the work").on_hover_text("Titles, movements, tempo, lines (Ctrl E)").clicked() {
            view.own.review.put(super::editor::Editor::of_library(&work));
        }
        join_choice(ui, scene, &work);
        // In a small window what is seldom done is folded, so that the lines have the room.
        if width < NARROW {
            ui.menu_button("More …", |ui| more(ui, scene, view, &work));
        } else {
            more(ui, scene, view, &work);
        }
    });
    ui.add_space(space::S);
    let columns = table::Columns::of(width - 10.0, &mut view.own.across);
    if !work.lines.is_empty() {
        table::head(ui, scene, view.own, &columns);
    }
    egui::ScrollArea::vertical().id_salt("lines").auto_shrink([false, false]).show(ui, |ui| {
        if work.lines.is_empty() {
            ui.label(RichText::new("This work has no lines of percussion yet.").color(scene.tokens.ink2));
        }
        for (at, movement) in work.movements.iter().enumerate() {
            let lines: Vec<&Line> = work.lines_of(&movement.id).collect();
            heading(ui, scene, &work, at, lines.is_empty());
            for line in lines {
                table::row(ui, scene, view, (&work, line), &columns);
            }
            ui.add_space(space::S);
        }
    });
}

/// The work out of the library, and its place in the programme.
fn more(ui: &mut Ui, scene: &mut Scene<'_>, view: &Here<'_>, work: &Work) {
    let remove = ui.button("Remove the work").on_hover_text("From the library; undo brings it back");
    if remove.clicked() {
        scene.ask(Intent::Edit(Edit::RemoveWork(work.id.clone())));
    }
    in_programme(ui, scene, view, &work.id);
}

/// "; no. 2 of Tidelands" where the work is in the current programme.
fn number(scene: &Scene<'_>, view: &Here<'_>, work: &WorkId) -> String {
    let programme = view.programme_in(scene.library);
    let at = programme.and_then(|programme| {
        Some((programme.works.iter().position(|id| id == work)? + 1, &programme.title))
    });
    at.map_or_else(String::new, |(number, title)| format!("; no. {number} of {title}"))
}

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
    let row = egui::Id::unique(("heading of a movement", work.id.as_str(), at));
    ui.horizontal(|ui| {
        let shows = shows_actions(ui, row, false);
        let words = RichText::new(&name).font(serif_italic(16.0)).color(tokens.ink);
        let words = cut(ui, words, (ui.available_width() - 210.0).max(80.0));
        let label = ui.add(egui::Label::new(words).selectable(false).sense(Sense::click_and_drag()));
        let label = label
            .on_hover_cursor(egui::CursorIcon::Grab)
            .on_hover_text("Drag it to another place, or Alt with the arrows");
        label.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Movement {name}")));
        focus_ring(ui, &label, &tokens);
        if label.clicked() {
            label.request_focus();
        }
        let list = (egui::Id::unique(("movements of a work", work.id.as_str())), Way::Down);
        to = moved(ui, list, (at, work.movements.len()), &label, &tokens);
        let words = minutes(movement.timeline.end_s);
        let words = if tacet { format!("{words}, tacet") } else { words };
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2));
        row_has(ui, row, &[&label]);
        if work.movements.len() > 1 && shows {
            let own = ui.small_button("A work of its own");
            row_has(ui, row, &[&label, &own]);
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
            if ui
                .selectable_label(false, format!("{}{}", super::list::composer_first(other), other.title))
                .clicked()
            {
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
    let Some(at) = at else {
        let words = cut(ui, format!("Add to {}", programme.title), 260.0);
        if ui.button(words).clicked() {
            let mut next = programme.clone();
            next.works.push(work.clone());
            change(next);
        }
        return;
    };
    let steps = [
        ("Move up", at.checked_sub(1)),
        ("Move down", Some(at + 1).filter(|to| *to < programme.works.len())),
    ];
    for (words, to) in steps {
        let step = ui.add_enabled(to.is_some(), egui::Button::new(words));
        if step.on_hover_text("Within the programme").clicked()
            && let Some(to) = to
        {
            let mut next = programme.clone();
            next.works.swap(at, to);
            change(next);
        }
    }
    let out = ui.button("Remove from programme").on_hover_text("The library keeps the work");
    out.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, "Remove from the programme"));
    if out.clicked() {
        let mut next = programme.clone();
        next.works.remove(at);
        change(next);
    }
}
