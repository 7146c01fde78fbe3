//! The services of a week in order of time: day, hour, programme, venue, players in and out, what each needs.

use super::service_form::{self, Form};
use super::venue_choice::venue_name;
use super::{add, needs};
use crate::drafts::Outcome;
use crate::intent::Intent;
use crate::places::week::Here;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::{row_has, shows_actions};
use crate::theme::{marks, sans, semibold, serif_italic};
use backrow_core::collection::Player;
use backrow_core::days::Clock;
use backrow_core::edit::Edit;
use backrow_core::findings;
use backrow_core::id::PlayerId;
use backrow_core::library::Library;
use backrow_core::week::{Presence, Service, Week};
use egui::{Align2, Key, Modifiers, Rect, RichText, Sense, Stroke, Ui, WidgetInfo, vec2};
use std::collections::BTreeSet;

/// What the buttons of a row take while they are shown, points.
const ACTIONS: f32 = 140.0;

/// Draws the services.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, week: &Week) {
    let mut memo = std::mem::take(&mut view.own.needs);
    let all = memo.get((scene.revision, week.id.clone()), || needs::of(scene, week));
    if week.services.is_empty() && view.own.forms.open().is_none() {
        let words = if week.programmes.is_empty() {
            "Nothing in this week yet. Add a programme, then its services."
        } else {
            "No services yet. Add the first with the button above, or Ctrl N."
        };
        ui.label(RichText::new(words).color(scene.tokens.ink2));
    }
    let mut day = None;
    for service in &week.services {
        if day != Some(service.start.date()) {
            day = Some(service.start.date());
            ui.add_space(space::XS);
            let words = scene.library.days().long(service.start.date());
            ui.label(RichText::new(words).font(semibold(size::NOTE)).color(scene.tokens.ink2));
        }
        if view.own.forms.open().is_some_and(|form| form.id() == &service.id) {
            form_ui(ui, scene, view, week);
        } else {
            row(ui, scene, view, service, all.get(&service.programme));
        }
    }
    let stands = |form: &Form| week.services.iter().any(|service| service.id == *form.id());
    if view.own.forms.open().is_some_and(|form| !stands(form)) {
        ui.add_space(space::S);
        ui.label(RichText::new("A new service").font(semibold(size::NOTE)).color(scene.tokens.ink2));
        form_ui(ui, scene, view, week);
    }
    view.own.needs = memo;
}

fn form_ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, week: &Week) {
    if let Some(mut form) = view.own.forms.take() {
        let outcome = service_form::ui(ui, scene, week, &mut form);
        if outcome != Outcome::GoesOn {
            view.own.service = Some(form.id().clone());
        }
        if let Some(words) = view.own.forms.end(form, outcome).words() {
            scene.ask(Intent::Say(words.to_owned()));
        }
    }
}

fn row(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    service: &Service,
    need: Option<&needs::Need>,
) {
    let tokens = scene.tokens;
    let here = view.own.service.as_ref() == Some(&service.id);
    let id = egui::Id::unique(("row of a service", service.id.as_str()));
    let mut frame = egui::Frame::new().inner_margin(egui::Margin::symmetric(8, 4)).begin(ui);
    {
        let ui = &mut frame.content_ui;
        let shows = shows_actions(ui, id, here);
        frame.frame.fill = match (here, shows) {
            (true, _) => tokens.soft,
            (false, true) => tokens.raised,
            (false, false) => tokens.ground,
        };
        ui.set_width(ui.available_width());
        let line = Rect::from_min_size(ui.cursor().min, vec2(ui.available_width(), 24.0));
        let free = if shows { line.width() - ACTIONS } else { line.width() };
        let chosen = head(ui, scene, view, service, free);
        let builder =
            egui::UiBuilder::new().max_rect(line).layout(egui::Layout::right_to_left(egui::Align::Center));
        actions(&mut ui.new_child(builder), scene, view, service, (id, shows), &chosen);
        under(ui, scene, service, need, here);
    }
    frame.end(ui);
}

/// What can be done with a service: buttons while the row is chosen or pointed at, a menu at any time.
fn actions(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    service: &Service,
    (id, shows): (egui::Id, bool),
    head: &egui::Response,
) {
    let (mut change, mut remove) = (false, false);
    head.context_menu(|ui| {
        change |= ui.button("Edit …").clicked();
        remove |= ui.button("Remove").clicked();
    });
    if shows {
        let away = ui.button("Remove").on_hover_text("Delete; undo brings it back");
        let other = ui.button("Edit").on_hover_text("Enter, or a double click");
        // Several rows have these two: each says of what.
        let which = format!("{}, {}", service.kind.word(), scene.library.days().weekday_at(service.start));
        for (button, word) in [(&away, "Remove"), (&other, "Edit")] {
            button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, format!("{word} {which}")));
        }
        (change, remove) = (change || other.clicked(), remove || away.clicked());
        row_has(ui, id, &[head, &other, &away]);
    } else {
        row_has(ui, id, &[head]);
    }
    if remove {
        scene.edit(Edit::RemoveService(service.id.clone()));
    }
    if change {
        view.own.service = Some(service.id.clone());
        view.own.forms.put(Form::of(scene.library, service));
    }
}

/// Beneath: who is in, what it needs, and for the chosen one what comes from which room.
fn under(ui: &mut Ui, scene: &mut Scene<'_>, service: &Service, need: Option<&needs::Need>, here: bool) {
    let tokens = scene.tokens;
    let Some(need) = need else { return };
    ui.horizontal_wrapped(|ui| {
        presence(ui, scene, service, &need.players);
        let open = match need.open {
            0 => String::new(),
            1 => "; 1 line unassigned".to_owned(),
            n => format!("; {n} lines unassigned"),
        };
        ui.label(RichText::new(format!("{}{open}", need.words)).font(sans(size::NOTE)).color(tokens.ink2));
    });
    if here {
        for (room, names) in &need.rooms {
            let words = format!("{room}: {names}");
            ui.add(egui::Label::new(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink2)).wrap());
        }
    }
}

/// Hours, what it is, programme and venue; a click chooses it. The columns lie the same in every row; words end where the buttons
/// of the row begin, `free` points from the left.
fn head(
    ui: &mut Ui,
    scene: &mut Scene<'_>,
    view: &mut Here<'_>,
    service: &Service,
    free: f32,
) -> egui::Response {
    let tokens = &scene.tokens.clone();
    let library = scene.library;
    let programme = library.programme(&service.programme);
    let title = programme.map_or_else(|| service.programme.to_string(), |programme| programme.title.clone());
    let venue = service.venue.as_ref().or(programme.and_then(|programme| programme.venue.as_ref()));
    let venue = venue.map_or_else(|| "venue not stated".to_owned(), |id| venue_name(library, id));
    let end = service.end();
    let hours = library.days().hours(service.start, end);
    let width = ui.available_width();
    let (rect, response) = ui.allocate_exact_size(vec2(width, 24.0), Sense::click());
    let label = format!("{hours} {} {title}, {venue}", service.kind.word());
    let here = view.own.service.as_ref() == Some(&service.id);
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, here, label.clone()));
    let mut left = rect;
    let mut cut = false;
    let wide = if library.days().clock == Clock::Of12 { 132.0 } else { 92.0 };
    let rest = width - wide - 76.0;
    let columns = [
        (wide, hours, semibold(size::TEXT), tokens.ink),
        (76.0, service.kind.word().to_owned(), sans(size::TEXT), tokens.ink),
        (rest * 0.55, title, serif_italic(15.0), tokens.ink),
        (rest * 0.45, venue, sans(size::TEXT), tokens.ink2),
    ];
    for (width, words, font, ink) in columns {
        let (cell, rest) = left.split_left_right_at_x(left.left() + width);
        cut |= marks::text_within(
            ui.painter(),
            cell.with_max_x((cell.right() - 8.0).min(rect.left() + free)),
            Align2::LEFT_CENTER,
            &words,
            font,
            ink,
        );
        left = rest;
    }
    crate::theme::widgets::focus_ring(ui, &response, tokens);
    let response = response.on_hover_cursor(egui::CursorIcon::PointingHand);
    // What can be read is not said again, and never over the row that it is about.
    if cut {
        crate::theme::widgets::told_above(&response, &label);
    }
    if response.clicked() {
        view.own.service = Some(service.id.clone());
        scene.ask(Intent::Programme(service.programme.clone()));
    }
    if response.double_clicked() {
        view.own.forms.put(Form::of(scene.library, service));
    }
    response
}

/// Discs of the programme's players; one who is away is a ring. A click changes it.
fn presence(ui: &mut Ui, scene: &mut Scene<'_>, service: &Service, players: &[PlayerId]) {
    let tokens = scene.tokens;
    if players.is_empty() {
        ui.label(RichText::new("no players yet;").font(sans(size::NOTE)).color(tokens.ink2));
        return;
    }
    let here: Vec<(Player, Presence)> = players
        .iter()
        .filter_map(|id| scene.library.players.get(id))
        .filter_map(|player| {
            let programme = scene.library.programme(&service.programme)?;
            Some(((**player).clone(), programme.presence(player, service)))
        })
        .collect();
    let count = |presence| here.iter().filter(|(_, is)| *is == presence).count();
    let counts: Vec<String> = Presence::ALL
        .into_iter()
        .filter(|why| *why == Presence::In || count(*why) > 0)
        .map(|why| format!("{} {}", count(why), why.word()))
        .collect();
    let words = format!("{};", counts.join(", "));
    let wanted = findings::wanted_elsewhere(scene.library, service);
    for (player, presence) in here {
        let out = presence.misses() || presence == Presence::Free;
        let away = presence == Presence::Away;
        let days = scene.library.days();
        let also: Vec<String> = wanted
            .iter()
            .filter(|one| one.player == player.id)
            .map(|one| format!(". Needed in {} too, {}", one.programme.title, one.collision.words(days)))
            .collect();
        let also = also.concat();
        let (rect, response) = ui.allocate_exact_size(vec2(24.0, 24.0), Sense::click());
        let state = presence.word();
        response.widget_info(|| {
            WidgetInfo::selected(egui::Role::CheckBox, true, !out, format!("{} is {state}", player.name))
        });
        if out {
            ui.painter().circle_stroke(rect.center(), 10.0, Stroke::new(1.0, tokens.ink2));
            let font = sans(10.0);
            ui.painter().text(rect.center(), Align2::CENTER_CENTER, &player.initials, font, tokens.ink2);
            let across = [rect.center() + vec2(-7.5, 7.5), rect.center() + vec2(7.5, -7.5)];
            ui.painter().line_segment(across, Stroke::new(1.5, tokens.care));
        } else {
            marks::disc(ui.painter(), rect.center(), 20.0, &player);
        }
        crate::theme::widgets::focus_ring(ui, &response, &tokens);
        if response.on_hover_text(format!("{} is {state}; click to change{also}", player.name)).clicked() {
            scene.edit(toggle(scene.library, service, &player, away));
        }
    }
    let twice: BTreeSet<&PlayerId> = wanted.iter().map(|one| &one.player).collect();
    let twice: Vec<&str> = twice
        .into_iter()
        .filter_map(|id| scene.library.players.get(id))
        .map(|player| player.initials.as_str())
        .collect();
    if !twice.is_empty() {
        let words = format!("{} double-booked;", twice.join(", "));
        ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.clash));
    }
    ui.label(RichText::new(words).font(sans(size::NOTE)).color(tokens.ink));
}

fn toggle(library: &Library, service: &Service, player: &Player, out: bool) -> Edit {
    let mut next = player.clone();
    if out {
        next.absences.retain(|id| *id != service.id);
    } else {
        next.absences.push(service.id.clone());
    }
    let verb = if out { "comes to" } else { "is away from" };
    let when = library.days().at(service.start);
    let words = format!("{} {verb} the {} of {when}", player.name, service.kind.word());
    Edit::Together { words, edits: vec![Edit::PutPlayer(next)] }
}

/// The place's keys.
pub(super) fn keys(ui: &Ui, scene: &mut Scene<'_>, view: &mut Here<'_>, week: &Week) {
    if view.own.forms.open().is_some() || view.keys_are_taken(ui.ctx()) {
        return;
    }
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    if pressed(Modifiers::COMMAND, Key::N) {
        add::begin_service(scene, view, week);
    }
    let at = view.own.service.as_ref().and_then(|id| week.services.iter().position(|s| s.id == *id));
    let step = |by: isize| match at {
        Some(at) => at.checked_add_signed(by),
        None => Some(0),
    };
    let next = if pressed(Modifiers::NONE, Key::ArrowDown) {
        step(1)
    } else if pressed(Modifiers::NONE, Key::ArrowUp) {
        step(-1)
    } else {
        None
    };
    if let Some(service) = next.and_then(|next| week.services.get(next)) {
        view.own.service = Some(service.id.clone());
        scene.ask(Intent::Programme(service.programme.clone()));
    }
    let focused = ui.memory(|m| m.focused().is_some());
    let Some(service) = at.and_then(|at| week.services.get(at)) else { return };
    if !focused && pressed(Modifiers::NONE, Key::Enter) {
        view.own.forms.put(Form::of(scene.library, service));
    }
    if pressed(Modifiers::NONE, Key::Delete) {
        let near =
            at.and_then(|at| week.services.get(at + 1).or_else(|| week.services.get(at.checked_sub(1)?)));
        view.own.service = near.map(|service| service.id.clone());
        scene.edit(Edit::RemoveService(service.id.clone()));
    }
}
