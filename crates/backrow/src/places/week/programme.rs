//! The week's title and the current programme: title, venue, works in order, remark.

use super::venue_choice::{Venues, venue_choice};
use crate::drafts::lines::Of;
use crate::intent::Intent;
use crate::places::week::Here;
use crate::scene::Scene;
use crate::theme::reorder::{Way, moved, put};
use crate::theme::tokens::{Tokens, size, space};
use crate::theme::widgets::{focus_ring, grip, row_has, shows_actions};
use crate::theme::{marks, sans, serif_italic};
use crate::view::Place;
use crate::words::minutes;
use backrow_core::edit::Edit;
use backrow_core::id::WorkId;
use backrow_core::week::{Programme, Week};
use egui::{RichText, Sense, Ui, WidgetInfo, vec2};

/// The field of a line that is saved when it is left.
fn line(ui: &mut Ui, view: &mut Here<'_>, of: (Of, &str), (label, width): (&str, f32)) {
    let field = view.lines.field(ui, of, width);
    field.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, label));
}

/// The week's own line: its title, and a way to remove it.
pub(super) fn week_line(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, week: &Week) {
    ui.horizontal(|ui| {
        let width = (ui.available_width() - 150.0).clamp(80.0, 320.0);
        let of = (Of::WeekTitle(week.id.clone()), week.title.as_str());
        line(ui, view, of, ("Title of the week", width));
        let empty = week.programmes.is_empty();
        let button = ui.add_enabled(empty, egui::Button::new("Remove the week"));
        if button.on_disabled_hover_text("Remove its programmes first").clicked() {
            scene.edit(Edit::RemoveWeek(week.id.clone()));
        }
    });
}

/// The current programme, when it is one of the week's; else the week's first.
pub(super) fn current(view: &Here<'_>, week: &Week) -> Option<Programme> {
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

/// The current programme.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, week: &Week) {
    let Some(programme) = current(view, week) else {
        none(ui, scene);
        return;
    };
    let programme = &programme;
    let tokens = scene.tokens;
    marks::heading(ui, "Programme", &length_words(scene, programme), &tokens);
    let (rect, _) = ui.allocate_exact_size(egui::vec2(ui.available_width(), 5.0), egui::Sense::hover());
    marks::hairline(ui.painter(), rect.x_range(), rect.center().y, tokens.line);
    let mut next = programme.clone();
    let width = (ui.available_width() - 80.0).clamp(120.0, 360.0);
    egui::Grid::new("programme fields").num_columns(2).spacing([12.0, 6.0]).show(ui, |ui| {
        ui.label("Title");
        let of = (Of::Title(programme.id.clone()), programme.title.as_str());
        line(ui, view, of, ("Title of the programme", width));
        ui.end_row();
        ui.label("Venue");
        let none = "not stated";
        venue_choice(
            ui,
            &Venues { library: scene.library, label: "Venue of the programme", none },
            &mut next.venue,
        );
        if scene.library.venues.is_empty() && ui.link("Draw one on Floor").clicked() {
            scene.ask(Intent::Go(Place::Floor));
        }
        ui.end_row();
        ui.label("Remark");
        let of = (Of::Remark(programme.id.clone()), programme.remark.as_str());
        line(ui, view, of, ("Remark on the programme", width));
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

/// A work of the programme: dragged, or moved with Alt and the arrows, it takes another place.
fn work_row(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    (programme, at, id): (&Programme, usize, &WorkId),
    next: &mut Programme,
) {
    let tokens = scene.tokens;
    let work = scene.library.works.get(id);
    let title = work.map_or_else(|| id.to_string(), |work| work.title.clone());
    let beside = work.map_or_else(
        || "not in the library".to_owned(),
        |work| crate::words::listed([&work.composer, &minutes(work.seconds())]),
    );
    let row = egui::Id::unique(("work of the programme", programme.id.as_str(), at));
    ui.scope_builder(egui::UiBuilder::new(), |ui| {
        let shows = shows_actions(ui, row, false);
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::click_and_drag());
        response.widget_info(|| {
            WidgetInfo::labeled(egui::Role::ListItem, true, format!("No. {}: {title}", at + 1))
        });
        let response = response.on_hover_cursor(egui::CursorIcon::Grab).on_hover_text(
            "Drag it to another place, or Alt with the arrows; a double click shows its lines",
        );
        if shows || response.hovered() {
            ui.painter().rect_filled(rect, 2.0, tokens.raised);
        }
        focus_ring(ui, &response, &tokens);
        let list = (egui::Id::unique(("works of the programme", programme.id.as_str())), Way::Down);
        if let Some(by) = moved(ui, list, (at, programme.works.len()), &response, &tokens) {
            next.works = put(&programme.works, by);
        }
        if response.clicked() {
            response.request_focus();
        }
        let mut show = response.double_clicked();
        let mut out = false;
        response.context_menu(|ui| {
            show |= ui.button("Show its lines").clicked();
            out |= ui.button("Remove from programme").clicked();
        });
        let builder = egui::UiBuilder::new()
            .max_rect(rect.shrink2(vec2(space::S, 0.0)))
            .layout(egui::Layout::right_to_left(egui::Align::Center));
        let mut inner = ui.new_child(builder);
        let mut own = vec![response.clone()];
        if shows {
            let away = inner.button("Remove from programme");
            away.widget_info(|| {
                WidgetInfo::labeled(egui::Role::Button, true, format!("Remove from the programme: {title}"))
            });
            let lines = inner.button("Lines").on_hover_text("Show its lines");
            lines.widget_info(|| {
                WidgetInfo::labeled(egui::Role::Button, true, format!("Show the lines of {title}"))
            });
            (show, out) = (show || lines.clicked(), out || away.clicked());
            own.extend([away, lines]);
        }
        row_has(ui, row, &own.iter().collect::<Vec<_>>());
        words(ui, &tokens, (at, &title, &beside), rect.with_max_x(inner.min_rect().left() - space::S));
        if show {
            scene.ask(Intent::Work(id.clone()));
            scene.ask(Intent::Go(Place::Works));
        }
        if out {
            next.works.retain(|other| other != id);
        }
    });
}

/// Grip, number, title and what stands beside it.
fn words(ui: &Ui, tokens: &Tokens, (at, title, beside): (usize, &str, &str), rect: egui::Rect) {
    let painter = ui.painter();
    grip(painter, rect.left_center() + vec2(10.0, 0.0), tokens.ink3);
    let number = rect.left_center() + vec2(38.0, 0.0);
    let (left, right) = (egui::Align2::LEFT_CENTER, egui::Align2::RIGHT_CENTER);
    marks::text(painter, number, right, &(at + 1).to_string(), sans(size::TEXT), tokens.ink2);
    let room = rect.with_min_x(rect.left() + 48.0);
    let wide = painter.layout_no_wrap(title.to_owned(), serif_italic(15.0), tokens.ink).size().x;
    let title_room = room.with_max_x((room.left() + wide + 1.0).min(room.right()));
    marks::text_within(painter, title_room, left, title, serif_italic(15.0), tokens.ink);
    let rest = room.with_min_x((title_room.right() + space::M).min(room.right()));
    if rest.width() > 40.0 {
        marks::text_within(painter, rest, left, beside, sans(size::NOTE), tokens.ink2);
    }
}

fn works(ui: &mut Ui, scene: &mut Scene<'_>, programme: &Programme, next: &mut Programme) {
    let tokens = scene.tokens;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for (at, id) in programme.works.iter().enumerate() {
            work_row(ui, scene, (programme, at, id), next);
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
            if ui.selectable_label(false, crate::words::listed([&work.title, &work.composer])).clicked() {
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
