//! The whole season as a list: weeks with their programmes, found by date or work.

use crate::intent::Intent;
use crate::places::week::Here;
use crate::scene::Scene;
use crate::theme::tokens::size;
use crate::theme::widgets::{focus_ring, told_above};
use crate::theme::{marks, sans, semibold, serif_italic};
use backrow_core::id::is_found;
use backrow_core::library::Library;
use backrow_core::week::{Programme, Week, span_of};
use egui::{Align2, RichText, Sense, Ui, WidgetInfo, vec2};

/// Width of the column at the most, points, and the part of a narrow place that it takes.
const WIDTH: f32 = 216.0;
const PART: f32 = 0.34;

/// Width of the column in a place so wide, points.
pub(super) fn width(place: f32) -> f32 {
    WIDTH.min(place * PART)
}

/// Draws the field and the list.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, here: Option<&Week>) {
    let tokens = scene.tokens;
    ui.vertical(|ui| {
        let width = ui.available_width().min(WIDTH);
        ui.set_width(width);
        let hint = RichText::new("Date, work, programme …").color(tokens.ink2);
        let field =
            egui::TextEdit::singleline(&mut view.own.filter).hint_text(hint).desired_width(width - 16.0);
        let field = ui.add(field);
        field
            .widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, "Filter weeks by date or work"));
        let wanted = view.own.filter.trim().to_lowercase();
        let mut any = false;
        egui::ScrollArea::vertical().id_salt("season").auto_shrink([false, false]).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for week in in_order(scene.library) {
                let whole = matches(&wanted, std::slice::from_ref(&week.title));
                let kept: Vec<&Programme> = week
                    .programmes
                    .iter()
                    .filter(|programme| whole || matches(&wanted, &texts(scene.library, week, programme)))
                    .collect();
                if kept.is_empty() && !(whole && (wanted.is_empty() || week.programmes.is_empty())) {
                    continue;
                }
                any = true;
                week_row(ui, scene, view, week, here.is_some_and(|here| here.id == week.id));
                for programme in kept {
                    programme_row(ui, scene, view, week, programme);
                }
            }
        });
        if !any && !wanted.is_empty() {
            ui.label(RichText::new("Nothing found.").color(tokens.ink2));
        }
    });
}

/// Weeks in the order of their first service, those without services last.
fn in_order(library: &Library) -> Vec<&Week> {
    let mut weeks: Vec<&Week> = library.weeks.values().map(|week| &**week).collect();
    weeks.sort_by_key(|week| {
        let first = week.services.iter().map(|service| service.start).min();
        (first.is_none(), first, week.id.clone())
    });
    weeks
}

fn matches(wanted: &str, texts: &[String]) -> bool {
    wanted.is_empty() || texts.iter().any(|text| is_found(text, wanted))
}

/// What a programme is found by: its title, its works and their composers, its venue, its days as people type them.
fn texts(library: &Library, week: &Week, programme: &Programme) -> Vec<String> {
    let mut texts = vec![programme.title.clone()];
    for work in programme.works.iter().filter_map(|id| library.works.get(id)) {
        texts.extend([work.title.clone(), work.composer.clone()]);
    }
    texts.extend(
        programme.venue.as_ref().and_then(|id| library.venues.get(id)).map(|venue| venue.name.clone()),
    );
    for service in week.services.iter().filter(|service| service.programme == programme.id) {
        for form in ["%Y-%m-%d", "%-d %b %Y", "%-d %B %Y", "%-d.%-m.%Y", "%-m/%-d/%Y"] {
            texts.push(service.start.strftime(form).to_string());
        }
        texts.push(library.days().lasting().day(service.start.date()));
    }
    texts
}

fn week_row(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, week: &Week, here: bool) {
    let tokens = scene.tokens;
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width().min(WIDTH) - 8.0, 28.0), Sense::click());
    response
        .widget_info(|| WidgetInfo::selected(egui::Role::Button, true, here, format!("Show {}", week.title)));
    if response.hovered() {
        ui.painter().rect_filled(rect, 0.0, tokens.raised);
    }
    marks::hairline(ui.painter(), rect.x_range(), rect.top(), tokens.line);
    let font = if here { semibold(size::NOTE) } else { sans(size::NOTE) };
    let words = rect.shrink2(vec2(8.0, 0.0));
    let cut = marks::text_within(ui.painter(), words, Align2::LEFT_CENTER, &week.title, font, tokens.ink2);
    focus_ring(ui, &response, &tokens);
    if cut {
        told_above(&response, &week.title);
    }
    if response.clicked() {
        view.own.turn_to(week.id.clone());
        if let Some(first) = week.programmes.first() {
            scene.ask(Intent::Programme(first.id.clone()));
        }
    }
}

fn programme_row(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    week: &Week,
    programme: &Programme,
) {
    let tokens = scene.tokens;
    let here = view.programme.as_ref() == Some(&programme.id);
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width().min(WIDTH) - 8.0, 40.0), Sense::click());
    response.widget_info(|| {
        WidgetInfo::selected(egui::Role::Button, true, here, format!("Show {}", programme.title))
    });
    if here {
        ui.painter().rect_filled(rect, 0.0, tokens.soft);
    } else if response.hovered() {
        ui.painter().rect_filled(rect, 0.0, tokens.raised);
    }
    focus_ring(ui, &response, &tokens);
    let (upper, lower) = rect.shrink2(vec2(8.0, 2.0)).split_top_bottom_at_fraction(0.55);
    let left = Align2::LEFT_CENTER;
    marks::text_within(ui.painter(), upper, left, &programme.title, serif_italic(15.0), tokens.ink);
    let services: Vec<_> = week.services.iter().filter(|service| service.programme == programme.id).collect();
    let dates = span_of(&services)
        .map_or_else(|| "no service yet".to_owned(), |(a, b)| scene.library.days().dates(a, b));
    let venue = programme.venue.as_ref().and_then(|id| scene.library.venues.get(id)).map_or("", |v| &v.name);
    let words = if venue.is_empty() { dates } else { format!("{dates}, {venue}") };
    marks::text_within(ui.painter(), lower, left, &words, sans(size::NOTE), tokens.ink2);
    if response.clicked() {
        view.own.turn_to(week.id.clone());
        scene.ask(Intent::Programme(programme.id.clone()));
    }
}
