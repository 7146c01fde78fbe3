//! Adding weeks, programmes and services.

use super::service_form::Form;
use crate::actions::Action;
use crate::intent::Intent;
use crate::places::week::Here;
use crate::scene::Scene;
use backrow_core::edit::Edit;
use backrow_core::id::WeekId;
use backrow_core::library::Library;
use backrow_core::week::Week;
use egui::Ui;

/// Draws the buttons.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, week: Option<&Week>) {
    if ui.button("Add a week").clicked() {
        add_week(scene, view);
    }
    if ui.button("Add a programme").on_hover_text(Action::NewProgramme.key_words()).clicked() {
        if let Some(week) = week {
            view.own.turn_to(week.id.clone());
        }
        scene.ask(Intent::Do(Action::NewProgramme));
    }
    let ready = week.is_some_and(|week| !week.programmes.is_empty());
    let button = ui.add_enabled(ready, egui::Button::new("Add a service"));
    if button.on_hover_text("Ctrl N").on_disabled_hover_text("Add a programme first").clicked()
        && let Some(week) = week
    {
        begin_service(scene, view, week);
    }
}

/// Opens the form for a new service of the current programme.
pub(super) fn begin_service(scene: &Scene<'_>, view: &mut Here<'_>, week: &Week) {
    let programme = view.programme.clone().filter(|id| week.programmes.iter().any(|p| p.id == *id));
    let programme = programme.or_else(|| week.programmes.first().map(|p| p.id.clone()));
    if let Some(programme) = programme {
        // Where the form is seen.
        view.own.tab = super::Tab::Services;
        view.own.forms.put(Form::new(scene.library, week, programme));
    }
}

fn add_week(scene: &mut Scene<'_>, view: &mut Here<'_>) {
    let library: &Library = scene.library;
    let id = WeekId::fresh("week", |id| library.weeks.contains_key(id));
    // The number after the highest that a week's title begins with: after "Week 42, 18-24 October" comes "Week 43".
    let numbered = |title: &str| {
        let rest = title.trim().strip_prefix("Week ")?;
        rest.split(|c: char| !c.is_ascii_digit()).next()?.parse::<usize>().ok()
    };
    let highest = library.weeks.values().filter_map(|week| numbered(&week.title)).max();
    let number = highest.unwrap_or(library.weeks.len()).saturating_add(1);
    let week = Week {
        id: id.clone(),
        title: format!("Week {number}"),
        programmes: Vec::new(),
        services: Vec::new(),
    };
    scene.edit(Edit::PutWeek(week));
    view.own.turn_to(id);
}
