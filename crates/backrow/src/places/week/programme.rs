//! The week's title and the programme at hand: title, venue, works in order, remark.

use super::services::{Venues, venue_choice};
use crate::intent::Intent;
use crate::places::week::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{marks, sans, serif_italic};
use crate::view::Place;
use crate::words::minutes;
use backrow_core::edit::Edit;
use backrow_core::id::WorkId;
use backrow_core::week::{Programme, Week};
use egui::{RichText, Ui, WidgetInfo};

/// Titles and remarks while they are typed, each with the id that it belongs to.
#[derive(Default)]
pub(super) struct Titles {
    week: Option<(String, String)>,
    title: Option<(String, String)>,
    remark: Option<(String, String)>,
}

/// A text that is kept when its field loses the focus: the new text, once.
fn kept(
    ui: &mut Ui,
    draft: &mut Option<(String, String)>,
    (id, now): (&str, &str),
    (label, width): (&str, f32),
) -> Option<String> {
    let stale = draft.as_ref().is_none_or(|(of, _)| of != id);
    if stale {
        *draft = Some((id.to_owned(), now.to_owned()));
    }
    let (_, typed) = draft.as_mut()?;
    let field = ui.add(egui::TextEdit::singleline(typed).desired_width(width));
    field.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, label));
    if field.lost_focus() {
        let (_, typed) = draft.take()?;
        let typed = typed.trim().to_owned();
        return (typed != now).then_some(typed);
    }
    if !field.has_focus() && typed != now {
        *draft = None;
    }
    None
}

/// The week's own line: its title, and a way to remove it.
pub(super) fn week_line(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, week: &Week) {
    ui.horizontal(|ui| {
        let id = week.id.as_str();
        let typed = kept(ui, &mut view.own.titles.week, (id, &week.title), ("Title of the week", 320.0));
        if let Some(title) = typed.filter(|title| !title.is_empty()) {
            scene.edit(Edit::PutWeek(Week { title, ..week.clone() }));
        }
        let empty = week.programmes.is_empty();
        let button = ui.add_enabled(empty, egui::Button::new("Remove the week"));
        if button.on_disabled_hover_text("Its programmes go first").clicked() {
            scene.edit(Edit::RemoveWeek(week.id.clone()));
        }
    });
}

/// The programme at hand, when it is one of the week's; else the week's first.
pub(super) fn at_hand(view: &Here<'_>, week: &Week) -> Option<Programme> {
    let here = week.programmes.iter().find(|programme| Some(&programme.id) == view.programme.as_ref());
    here.or_else(|| week.programmes.first()).cloned()
}

/// What stands where there is no programme yet.
pub(super) fn none(ui: &mut Ui, scene: &Scene<'_>) {
    ui.label(
        RichText::new("No programme in this week yet. Add one with the button above.")
            .color(scene.tokens.ink2),
    );
}

/// The programme at hand.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, week: &Week) {
    let Some(programme) = at_hand(view, week) else {
        none(ui, scene);
        return;
    };
    let programme = &programme;
    let tokens = scene.tokens;
    marks::heading(ui, "Programme", &length_words(scene, programme), &tokens);
    let (rect, _) = ui.allocate_exact_size(egui::vec2(ui.available_width(), 5.0), egui::Sense::hover());
    marks::hairline(ui.painter(), rect.x_range(), rect.center().y, tokens.line);
    let mut next = programme.clone();
    egui::Grid::new("programme fields").num_columns(2).spacing([12.0, 6.0]).show(ui, |ui| {
        ui.label("Title");
        let id = programme.id.as_str();
        let typed =
            kept(ui, &mut view.own.titles.title, (id, &programme.title), ("Title of the programme", 360.0));
        if let Some(title) = typed.filter(|title| !title.is_empty()) {
            next.title = title;
        }
        ui.end_row();
        ui.label("Venue");
        let none = "not stated";
        venue_choice(
            ui,
            &Venues { library: scene.library, label: "Venue of the programme", none },
            &mut next.venue,
        );
        ui.end_row();
        ui.label("Remark");
        let typed = kept(
            ui,
            &mut view.own.titles.remark,
            (id, &programme.remark),
            ("Remark on the programme", 360.0),
        );
        if let Some(remark) = typed {
            next.remark = remark;
        }
        ui.end_row();
    });
    ui.add_space(space::S);
    works(ui, scene, programme, &mut next);
    ui.add_space(space::S);
    super::roster::ui(ui, scene, programme);
    ui.add_space(space::S);
    if next != *programme {
        scene.edit(Edit::PutProgramme { week: week.id.clone(), programme: next });
    }
    ui.horizontal(|ui| {
        if ui
            .button("Remove the programme")
            .on_hover_text("With its services; undo brings all back")
            .clicked()
        {
            scene.edit(Edit::RemoveProgramme(programme.id.clone()));
        }
    });
    ui.add_space(space::L);
}

fn length_words(scene: &Scene<'_>, programme: &Programme) -> String {
    let works = programme.works.iter().filter_map(|id| scene.library.works.get(id));
    let seconds: f64 = works.map(|work| work.seconds()).sum();
    let count = programme.works.len();
    format!("{count} work{}, {}", if count == 1 { "" } else { "s" }, minutes(seconds))
}

fn works(ui: &mut Ui, scene: &mut Scene<'_>, programme: &Programme, next: &mut Programme) {
    let tokens = scene.tokens;
    let last = programme.works.len().saturating_sub(1);
    egui::Grid::new("works of the programme").num_columns(6).spacing([8.0, 4.0]).show(ui, |ui| {
        for (at, id) in programme.works.iter().enumerate() {
            let work = scene.library.works.get(id);
            let title = work.map_or_else(|| id.to_string(), |work| work.title.clone());
            ui.label(RichText::new((at + 1).to_string()).color(tokens.ink2));
            let name = RichText::new(&title).font(serif_italic(15.0)).color(tokens.ink);
            if ui.link(name).on_hover_text("Show its lines").clicked() {
                scene.ask(Intent::Work(id.clone()));
                scene.ask(Intent::Go(Place::Works));
            }
            let beside = work.map_or_else(
                || "not in the library".to_owned(),
                |work| format!("{}, {}", work.composer, minutes(work.seconds())),
            );
            ui.label(RichText::new(beside).font(sans(size::NOTE)).color(tokens.ink2));
            let button = |ui: &mut Ui, word: &str, able: bool| {
                let button = ui.add_enabled(able, egui::Button::new(word));
                button.widget_info(|| {
                    WidgetInfo::labeled(egui::Role::Button, able, format!("{word}: {title}"))
                });
                button.clicked()
            };
            if button(ui, "Earlier", at > 0) {
                next.works.swap(at, at - 1);
            }
            if button(ui, "Later", at < last) {
                next.works.swap(at, at + 1);
            }
            if button(ui, "Take out", true) {
                next.works.remove(at);
            }
            ui.end_row();
        }
    });
    if programme.works.is_empty() {
        ui.label(RichText::new("No work in this programme yet.").color(tokens.ink2));
    }
    let mut added: Option<WorkId> = None;
    let combo =
        egui::ComboBox::from_id_salt("add a work").selected_text("Add a work …").width(280.0).height(320.0);
    let combo = combo.show_ui(ui, |ui| {
        let rest = scene.library.works.values().filter(|work| !programme.works.contains(&work.id));
        let mut any = false;
        for work in rest {
            any = true;
            if ui.selectable_label(false, format!("{}, {}", work.title, work.composer)).clicked() {
                added = Some(work.id.clone());
            }
        }
        if !any {
            ui.label("Every work of the library is in it. Read a score to add more.");
        }
    });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, "Add a work"));
    next.works.extend(added);
}
