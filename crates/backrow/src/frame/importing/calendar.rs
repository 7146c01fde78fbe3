//! A calendar: each event with the service that it would become.

use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::primary;
use crate::theme::{sans, semibold, serif};
use crate::view::Place;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::week::ServiceKind;
use backrow_files::calendar::{Calendar, Proposal, edit, propose};
use egui::{RichText, Ui, WidgetInfo};

/// The calendar and its match.
pub struct State {
    calendar: Calendar,
    proposals: Vec<Proposal>,
    only_matched: bool,
}

impl State {
    pub(super) fn new(library: &Library, calendar: Calendar) -> Self {
        let proposals = propose(library, &calendar);
        let only_matched = proposals.iter().any(|proposal| proposal.programme.is_some());
        Self { calendar, proposals, only_matched }
    }
}

/// Draws it; `false` when it is over.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) -> bool {
    let tokens = scene.tokens;
    let title = format!("Import {}", state.calendar.file);
    ui.label(RichText::new(title).font(serif(size::TITLE)).color(tokens.ink));
    let zone = if state.calendar.zone.is_empty() { "as written" } else { &state.calendar.zone };
    let matched = state.proposals.iter().filter(|proposal| proposal.programme.is_some()).count();
    let facts = format!(
        "{} events, {matched} with a programme; hours {zone}. Tick what is to become a service.",
        state.proposals.len()
    );
    ui.label(RichText::new(facts).color(tokens.ink2));
    let mut goes_on = true;
    ui.horizontal(|ui| {
        let count =
            state.proposals.iter().filter(|proposal| proposal.take && proposal.programme.is_some()).count();
        let words = format!("Import {count} service{}", if count == 1 { "" } else { "s" });
        if primary(ui, &scene.tokens, &words).clicked()
            && let Some(edit) = edit(scene.library, &state.calendar.file, &state.proposals)
        {
            scene.edit(edit);
            scene.ask(Intent::Go(Place::Week));
            goes_on = false;
        }
        if ui.button("Leave it").clicked() {
            goes_on = false;
        }
        ui.checkbox(&mut state.only_matched, "only events with a programme");
    });
    ui.add_space(space::S);
    egui::ScrollArea::both().id_salt("calendar to take in").auto_shrink([false, false]).show(ui, |ui| {
        egui::Grid::new("events").num_columns(7).spacing([12.0, 4.0]).min_row_height(24.0).show(ui, |ui| {
            for word in ["take", "when", "what the calendar says", "programme", "kind", "venue", ""] {
                ui.label(RichText::new(word).font(sans(size::NOTE)).color(tokens.ink2));
            }
            ui.end_row();
            let only = state.only_matched;
            for (at, proposal) in state.proposals.iter_mut().enumerate() {
                if !only || proposal.programme.is_some() {
                    row(ui, scene, at, proposal);
                    ui.end_row();
                }
            }
        });
        if !state.calendar.problems.is_empty() {
            ui.add_space(space::M);
            ui.label(RichText::new("Left out, or guessed").font(serif(size::HEADING)).color(tokens.ink));
            for problem in &state.calendar.problems {
                ui.label(RichText::new(problem.to_string()).font(sans(size::NOTE)).color(tokens.ink2));
            }
        }
    });
    goes_on
}

fn row(ui: &mut Ui, scene: &Scene<'_>, at: usize, proposal: &mut Proposal) {
    let tokens = scene.tokens;
    let library = scene.library;
    let tick = ui.add_enabled(proposal.programme.is_some(), egui::Checkbox::new(&mut proposal.take, ""));
    let label = format!("Take event {}", at + 1);
    tick.widget_info(|| WidgetInfo::labeled(egui::Role::CheckBox, true, label.clone()));
    let start = proposal.event.start;
    let when = format!("{}, {} min", start.strftime("%a %-d %b %Y %H:%M"), proposal.event.minutes);
    ui.label(RichText::new(when).font(sans(size::TEXT)).color(tokens.ink));
    let place = if proposal.event.location.is_empty() {
        String::new()
    } else {
        format!(", {}", proposal.event.location)
    };
    let words: String =
        format!("{}{place}", proposal.event.summary).replace('\n', " ").chars().take(60).collect();
    ui.label(RichText::new(words).font(semibold(size::NOTE)).color(tokens.ink));
    let title = |id: &ProgrammeId| library.programme(id).map_or_else(|| id.to_string(), |p| p.title.clone());
    let now = proposal.programme.as_ref().map_or_else(|| "none".to_owned(), title);
    let combo = egui::ComboBox::from_id_salt(("event programme", at)).selected_text(now).width(150.0);
    let before = proposal.programme.clone();
    let combo = combo.show_ui(ui, |ui| {
        ui.selectable_value(&mut proposal.programme, None, "none");
        for (_, programme) in library.programmes() {
            ui.selectable_value(&mut proposal.programme, Some(programme.id.clone()), &programme.title);
        }
    });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, "Programme of the event"));
    if proposal.programme != before {
        proposal.take = proposal.programme.is_some();
        proposal.known = None;
    }
    let combo =
        egui::ComboBox::from_id_salt(("event kind", at)).selected_text(proposal.kind.word()).width(86.0);
    let combo = combo.show_ui(ui, |ui| {
        for kind in [ServiceKind::Rehearsal, ServiceKind::Concert] {
            ui.selectable_value(&mut proposal.kind, kind, kind.word());
        }
    });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, "Kind of the event"));
    let venue = proposal.venue.as_ref().and_then(|id| library.venues.get(id));
    ui.label(venue.map_or("the programme’s own", |venue| &venue.name));
    ui.label(RichText::new(proposal.words(library)).font(sans(size::NOTE)).color(tokens.ink2));
}
