//! The lines of the review: those in sight are drawn, however many there are.

use super::{Line, State, Worked, choose_programme};
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::{sans, semibold, serif};
use backrow_core::id::ProgrammeId;
use backrow_core::week::ServiceKind;
use backrow_files::calendar::{Calendar, Proposal};
use egui::{Align, Layout, RichText, Ui, WidgetInfo, vec2};

const ROW: f32 = 26.0;
/// What was left out or guessed has so much of the height.
const PROBLEMS: f32 = 132.0;

/// The columns and their widths; the summary has what is left, and at least its own.
const TICK: f32 = 32.0;
const WHEN: f32 = 300.0;
const SUMMARY: f32 = 240.0;
const PROGRAMME: f32 = 172.0;
const KIND: f32 = 132.0;
const VENUE: f32 = 150.0;
const SAYS: f32 = 190.0;

/// Draws them, and what was left out.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, worked: &Worked) {
    let problems = if state.calendar.problems.is_empty() { 0.0 } else { PROBLEMS };
    let height = (ui.available_height() - problems).max(120.0);
    let width = ui.available_width();
    let mut touched = false;
    ui.allocate_ui(vec2(width, height), |ui| {
        let area = egui::ScrollArea::horizontal().id_salt("columns of the calendar");
        area.auto_shrink([false, false]).show(ui, |ui| {
            ui.spacing_mut().item_spacing.x = space::S;
            let others = TICK + WHEN + PROGRAMME + KIND + VENUE + SAYS;
            let summary = (width - others - space::L).max(SUMMARY);
            ui.set_min_width(others + summary);
            ui.vertical(|ui| {
                heads(ui, scene, summary);
                touched = body(ui, scene, state, worked, summary);
            });
        });
    });
    if touched {
        state.has_changed();
    }
    list(ui, scene, &state.calendar);
}

/// One slot of a line, as wide as all of its column.
fn slot(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui)) {
    ui.allocate_ui_with_layout(vec2(width - space::S, ROW), Layout::left_to_right(Align::Center), |ui| {
        ui.set_min_size(vec2(width - space::S, ROW));
        ui.set_max_width(width - space::S);
        add(ui);
    });
}

fn heads(ui: &mut Ui, scene: &Scene<'_>, summary: f32) {
    let words = ["", "when", "what the calendar says", "programme", "kind", "venue", "what happens"];
    let widths = [TICK, WHEN, summary, PROGRAMME, KIND, VENUE, SAYS];
    ui.horizontal(|ui| {
        for (word, width) in words.into_iter().zip(widths) {
            slot(ui, width, |ui| {
                ui.label(RichText::new(word).font(sans(size::NOTE)).color(scene.tokens.ink2));
            });
        }
    });
}

/// Whether anything was changed.
fn body(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, worked: &Worked, summary: f32) -> bool {
    let mut touched = false;
    let area = egui::ScrollArea::vertical().id_salt("calendar to import").auto_shrink([false, false]);
    area.show_rows(ui, ROW, worked.lines.len(), |ui, range| {
        for line in worked.lines.get(range).unwrap_or_default() {
            ui.push_id(line, |ui| {
                ui.horizontal(|ui| match *line {
                    Line::Series(row) => touched |= series(ui, scene, state, worked, (row, summary)),
                    Line::Single(at) => {
                        let says = worked.words.get(at).map_or("", String::as_str);
                        if let Some(proposal) = state.proposals.get_mut(at) {
                            touched |= single(ui, scene, (at, summary), proposal, says);
                        }
                    }
                });
            });
        }
    });
    touched
}

/// What is chosen for all times of a series at once; whether anything was changed.
fn series(
    ui: &mut Ui,
    scene: &Scene<'_>,
    state: &mut State,
    worked: &Worked,
    (at, width): (usize, f32),
) -> bool {
    let Some(row) = state.rows.get(at) else { return false };
    let all: Vec<&Proposal> = row.iter().filter_map(|at| state.proposals.get(*at)).collect();
    let (Some(first), Some(last)) = (all.first().copied(), all.last().copied()) else { return false };
    let mut shared = first.clone();
    let ticked = all.iter().filter(|proposal| proposal.take).count();
    let mut take = ticked == all.len();
    let count = all.len();
    let days = scene.library.days();
    let when =
        format!("{}, {count} times to {}", days.whole(first.event.start), days.day(last.event.start.date()));
    let is_there = |at: &&usize| worked.words.get(**at).is_some_and(|words| words == "there already");
    let said = match (ticked, row.iter().filter(is_there).count()) {
        (0, 0) => String::new(),
        (ticked, 0) => format!("{ticked} of {count} ticked"),
        (ticked, known) => format!("{ticked} of {count} ticked, {known} there already"),
    };
    let number = row.first().copied().unwrap_or_default();
    let (mut opens, mut chosen, mut ticks) = (false, false, false);
    let before = shared.kind;
    slot(ui, TICK, |ui| {
        let tick = ui.add_enabled(shared.programme.is_some(), egui::Checkbox::new(&mut take, ""));
        name_it(&tick, egui::Role::CheckBox, &format!("Import all {count} of {}", shared.event.summary));
        ticks = tick.changed();
    });
    slot(ui, WHEN, |ui| {
        let is_open = state.open.contains(&number);
        let button = ui.small_button(if is_open { "−" } else { "+" });
        let verb = if is_open { "Fold" } else { "Show" };
        name_it(
            &button,
            egui::Role::Button,
            &format!("{verb} the {count} times of {}", shared.event.summary),
        );
        opens = button.clicked();
        words(ui, RichText::new(&when).font(sans(size::TEXT)).color(scene.tokens.ink));
    });
    slot(ui, width, |ui| summary(ui, scene, &shared));
    slot(ui, PROGRAMME, |ui| chosen = programme_choice(ui, scene, (number, true), &mut shared));
    slot(ui, KIND, |ui| kind_choice(ui, (number, true), &mut shared.kind));
    slot(ui, VENUE, |ui| venue(ui, scene, &shared));
    slot(ui, SAYS, |ui| words(ui, RichText::new(said).font(sans(size::NOTE)).color(scene.tokens.ink2)));
    if opens && !state.open.remove(&number) {
        state.open.insert(number);
    }
    if !(chosen || ticks || shared.kind != before) {
        return opens;
    }
    for at in row {
        let Some(proposal) = state.proposals.get_mut(*at) else { continue };
        if chosen {
            choose_programme(proposal, shared.programme.clone());
        }
        if shared.kind != before {
            proposal.kind = shared.kind;
        }
        if ticks {
            proposal.take = take && proposal.programme.is_some();
        }
    }
    true
}

/// One event; whether anything was changed.
fn single(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (at, width): (usize, f32),
    proposal: &mut Proposal,
    says: &str,
) -> bool {
    let (mut ticks, mut chosen, kind) = (false, false, proposal.kind);
    slot(ui, TICK, |ui| {
        let may = proposal.programme.is_some();
        let tick = ui.add_enabled(may, egui::Checkbox::new(&mut proposal.take, ""));
        name_it(&tick, egui::Role::CheckBox, &format!("Import event {}", at + 1));
        ticks = tick.changed();
    });
    slot(ui, WHEN, |ui| {
        let start = scene.library.days().whole(proposal.event.start);
        let when = format!("{start}, {}\u{202F}min", proposal.event.minutes);
        words(ui, RichText::new(when).font(sans(size::TEXT)).color(scene.tokens.ink));
    });
    slot(ui, width, |ui| summary(ui, scene, proposal));
    slot(ui, PROGRAMME, |ui| chosen = programme_choice(ui, scene, (at, false), proposal));
    slot(ui, KIND, |ui| kind_choice(ui, (at, false), &mut proposal.kind));
    slot(ui, VENUE, |ui| venue(ui, scene, proposal));
    slot(ui, SAYS, |ui| words(ui, RichText::new(says).font(sans(size::NOTE)).color(scene.tokens.ink2)));
    ticks || chosen || kind != proposal.kind
}

/// In one line, whole where the pointer rests.
fn words(ui: &mut Ui, words: RichText) {
    ui.add(egui::Label::new(words).truncate());
}

fn summary(ui: &mut Ui, scene: &Scene<'_>, proposal: &Proposal) {
    let event = &proposal.event;
    let place = if event.location.is_empty() { String::new() } else { format!(", {}", event.location) };
    let said: String = format!("{}{place}", event.summary).replace('\n', " ").chars().take(120).collect();
    words(ui, RichText::new(said).font(semibold(size::NOTE)).color(scene.tokens.ink));
}

fn venue(ui: &mut Ui, scene: &Scene<'_>, proposal: &Proposal) {
    let venue = proposal.venue.as_ref().and_then(|id| scene.library.venues.get(id));
    let name = venue.map_or("same as the programme", |venue| &venue.name);
    ui.add(egui::Label::new(name).truncate());
}

/// Whether another programme was chosen.
fn programme_choice(
    ui: &mut Ui,
    scene: &Scene<'_>,
    (at, all): (usize, bool),
    proposal: &mut Proposal,
) -> bool {
    let library = scene.library;
    let title = |id: &ProgrammeId| library.programme(id).map_or_else(|| id.to_string(), |p| p.title.clone());
    let now = proposal.programme.as_ref().map_or_else(|| "none".to_owned(), title);
    let before = proposal.programme.clone();
    let mut chosen = before.clone();
    let combo = egui::ComboBox::from_id_salt(("event programme", at, all)).selected_text(&now).width(150.0);
    let combo = combo.truncate().show_ui(ui, |ui| {
        ui.selectable_value(&mut chosen, None, "none");
        for (_, programme) in library.programmes() {
            ui.selectable_value(&mut chosen, Some(programme.id.clone()), &programme.title);
        }
    });
    let what = if all { "series" } else { "event" };
    name_it(&combo.response, egui::Role::ComboBox, &format!("Programme of the {what}: {now}"));
    choose_programme(proposal, chosen);
    proposal.programme != before
}

fn kind_choice(ui: &mut Ui, (at, all): (usize, bool), kind: &mut ServiceKind) {
    let combo = egui::ComboBox::from_id_salt(("event kind", at, all)).selected_text(kind.word()).width(112.0);
    let combo = combo.show_ui(ui, |ui| {
        for one in ServiceKind::ALL {
            ui.selectable_value(kind, one, one.word());
        }
    });
    let what = if all { "series" } else { "event" };
    name_it(&combo.response, egui::Role::ComboBox, &format!("Kind of the {what}: {}", kind.word()));
}

/// What was left out, or guessed.
fn list(ui: &mut Ui, scene: &Scene<'_>, calendar: &Calendar) {
    if calendar.problems.is_empty() {
        return;
    }
    ui.label(RichText::new("Left out, or guessed").font(serif(size::HEADING)).color(scene.tokens.ink));
    let area = egui::ScrollArea::vertical().id_salt("what was left out").auto_shrink([false, false]);
    area.show_rows(ui, 18.0, calendar.problems.len(), |ui, range| {
        for problem in calendar.problems.get(range).unwrap_or_default() {
            words(ui, RichText::new(problem.to_string()).font(sans(size::NOTE)).color(scene.tokens.ink2));
        }
    });
}

fn name_it(response: &egui::Response, role: egui::Role, name: &str) {
    response.widget_info(|| WidgetInfo::labeled(role, true, name.to_owned()));
}
