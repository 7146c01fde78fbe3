//! A calendar: each event with the service that it would become. The times of one that repeats stand in one row and are matched
//! once; they can be looked at singly.

use crate::dates;
use crate::intent::Intent;
use crate::scene::Scene;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::{primary, trouble};
use crate::theme::{sans, semibold, serif};
use crate::view::Place;
use crate::zone_choice::zone_choice;
use backrow_core::edit::Edit;
use backrow_core::id::ProgrammeId;
use backrow_core::library::{Library, Orchestra};
use backrow_core::week::ServiceKind;
use backrow_files::calendar::{Calendar, How, Proposal, edit, propose, read_as};
use backrow_files::mark::fnv1a;
use egui::{RichText, Ui, WidgetInfo};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The calendar and its match.
pub struct State {
    path: PathBuf,
    name: String,
    bytes: Vec<u8>,
    hash: u64,
    /// With what it was matched.
    library: Library,
    calendar: Calendar,
    proposals: Vec<Proposal>,
    /// As they were matched, before anything was changed.
    matched: Vec<Proposal>,
    /// As it was read at first.
    began: (How, String),
    /// The proposals of each row: one event, or all times of one that repeats.
    rows: Vec<Vec<usize>>,
    open: BTreeSet<usize>,
    only_matched: bool,
    how: How,
    until: String,
    error: String,
}

/// What the user said about a calendar, in words that outlive the program.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Said {
    zone: Option<String>,
    until: String,
    events: Vec<SaidOfEvent>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct SaidOfEvent {
    key: String,
    start: String,
    programme: Option<String>,
    kind: String,
    take: bool,
}

impl State {
    /// Reads a calendar; an error says why it cannot be.
    pub(super) fn new(library: &Library, path: PathBuf, bytes: Vec<u8>) -> Result<Self, String> {
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let zone = Some(library.orchestra.zone.clone()).filter(|zone| !zone.is_empty());
        let until = season_end(library, dates::today());
        let how = How { zone, until: Some(until) };
        let calendar = read_as(&name, &bytes, &how).map_err(|problem| problem.to_string())?;
        let mut state = Self {
            path,
            name,
            hash: fnv1a(&bytes),
            bytes,
            library: library.clone(),
            calendar,
            proposals: Vec::new(),
            matched: Vec::new(),
            began: (how.clone(), library.days().lasting().weekday(until)),
            rows: Vec::new(),
            open: BTreeSet::new(),
            only_matched: false,
            how,
            until: library.days().lasting().weekday(until),
            error: String::new(),
        };
        state.match_again(library);
        state.only_matched = state.proposals.iter().any(|proposal| proposal.programme.is_some());
        Ok(state)
    }

    /// The file.
    pub(super) fn file(&self) -> (&Path, u64) {
        (&self.path, self.hash)
    }

    /// What was changed; `None` where nothing was.
    pub(super) fn said(&self) -> Option<Said> {
        let events = self.said_of_events();
        let how = (self.how.clone(), self.until.clone());
        (how != self.began || !events.is_empty()).then(|| Said {
            zone: self.how.zone.clone(),
            until: self.until.clone(),
            events,
        })
    }

    fn said_of_events(&self) -> Vec<SaidOfEvent> {
        let changed = self.proposals.iter().zip(&self.matched).filter(|(now, matched)| now != matched);
        let said = changed.map(|(now, _)| SaidOfEvent {
            key: now.event.key.clone(),
            start: now.event.start.to_string(),
            programme: now.programme.as_ref().map(ToString::to_string),
            kind: now.kind.word().to_owned(),
            take: now.take,
        });
        said.collect()
    }

    /// Puts on it what was said about the same file before. A programme that is gone is not chosen.
    pub(super) fn put_on(&mut self, library: &Library, said: &Said) {
        let until = dates::day(&said.until, dates::today(), dates::today(), library.days().order).ok();
        self.until.clone_from(&said.until);
        self.how = How { zone: said.zone.clone(), until: until.or(self.how.until) };
        self.read_again(library);
        self.put_on_events(library, &said.events);
    }

    /// An event is found by its key, which is the same in every zone; one without by when it begins.
    fn put_on_events(&mut self, library: &Library, said: &[SaidOfEvent]) {
        for event in said {
            let same = |proposal: &&mut Proposal| {
                let starts = || proposal.event.start.to_string() == event.start;
                proposal.event.key == event.key && (!event.key.is_empty() || starts())
            };
            let Some(proposal) = self.proposals.iter_mut().find(same) else { continue };
            let programme = event.programme.as_deref().and_then(|id| ProgrammeId::new(id).ok());
            choose_programme(proposal, programme.filter(|id| library.programme(id).is_some()));
            let kind = ServiceKind::ALL.into_iter().find(|kind| kind.word() == event.kind);
            proposal.kind = kind.unwrap_or(proposal.kind);
            proposal.take = event.take && (proposal.programme.is_some() || proposal.removes);
        }
    }

    /// Whether both are of the same file.
    pub(super) fn is_of_same(&self, other: &Self) -> bool {
        self.name == other.name && self.bytes == other.bytes
    }

    /// Whether it was matched with the library as it is now.
    pub(super) fn fits(&self, library: &Library) -> bool {
        self.library.is_same(library)
    }

    fn match_again(&mut self, library: &Library) {
        self.proposals = propose(library, &self.calendar);
        self.matched.clone_from(&self.proposals);
        self.library = library.clone();
        self.rows.clear();
        self.open.clear();
        let mut series: Vec<(&str, usize)> = Vec::new();
        for (at, proposal) in self.proposals.iter().enumerate() {
            let uid = proposal.event.uid.as_str();
            let known = series.iter().find(|(of, _)| *of == uid).map(|(_, row)| *row);
            let known = known.filter(|_| proposal.event.repeats && !uid.is_empty());
            if let Some(row) = known.and_then(|row| self.rows.get_mut(row)) {
                row.push(at);
                continue;
            }
            if proposal.event.repeats {
                series.push((uid, self.rows.len()));
            }
            self.rows.push(vec![at]);
        }
    }

    fn read_again(&mut self, library: &Library) {
        match read_as(&self.name, &self.bytes, &self.how) {
            Ok(calendar) => {
                let said = self.said_of_events();
                self.calendar = calendar;
                self.error.clear();
                self.match_again(library);
                self.put_on_events(library, &said);
            }
            Err(problem) => self.error = problem.to_string(),
        }
    }

    /// What is ticked, with the orchestra's zone where nobody has said it before.
    fn edit(&self, library: &Library) -> Option<Edit> {
        let edit = edit(library, &self.calendar.file, &self.proposals)?;
        let zone = &self.calendar.zone;
        let Edit::Together { words, mut edits } = edit else { return Some(edit) };
        if library.orchestra.zone.is_empty() && !zone.is_empty() {
            edits.push(Edit::SetOrchestra(Orchestra { zone: zone.clone(), ..(*library.orchestra).clone() }));
        }
        Some(Edit::Together { words, edits })
    }
}

/// The last day of the season that is planned: the end of July after the last service, or after today. Common practice in Europe
/// and North America; it can be changed.
fn season_end(library: &Library, today: Date) -> Date {
    let last = library.services().map(|service| service.start.date()).max();
    let day = last.map_or(today, |last| last.max(today));
    let end = Date::new(day.year(), 7, 31).unwrap_or(day);
    if end >= day { end } else { Date::new(day.year().saturating_add(1), 7, 31).unwrap_or(day) }
}

/// Draws it; `false` when it is over.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) -> bool {
    let tokens = scene.tokens;
    let title = format!("Import {}", state.calendar.file);
    ui.label(RichText::new(title).font(serif(size::TITLE)).color(tokens.ink));
    let goes_on = buttons(ui, scene, state);
    how_it_is_read(ui, scene, state);
    if state.calendar.utc {
        let words = "The calendar’s hours are in UTC and no time zone is known: choose the orchestra’s, or they \
                     are an hour or more off.";
        trouble(ui, &tokens, words);
    }
    if !state.error.is_empty() {
        trouble(ui, &tokens, &state.error);
    }
    ui.add_space(space::S);
    egui::ScrollArea::both().id_salt("calendar to import").auto_shrink([false, false]).show(ui, |ui| {
        egui::Grid::new("events").num_columns(7).spacing([12.0, 4.0]).min_row_height(24.0).show(ui, |ui| {
            for word in ["", "when", "what the calendar says", "programme", "kind", "venue", "what happens"] {
                ui.label(RichText::new(word).font(sans(size::NOTE)).color(tokens.ink2));
            }
            ui.end_row();
            let rows = std::mem::take(&mut state.rows);
            for row in &rows {
                row_of(ui, scene, state, row);
            }
            state.rows = rows;
        });
        problems(ui, scene, &state.calendar);
    });
    goes_on
}

fn buttons(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) -> bool {
    let mut goes_on = true;
    ui.horizontal(|ui| {
        let ticked = |removes: bool| {
            let taken = state.proposals.iter().filter(|p| p.take && p.programme.is_some());
            taken.filter(|proposal| proposal.removes == removes).count()
        };
        let services = |count: usize| format!("{count} service{}", if count == 1 { "" } else { "s" });
        let words = match (ticked(false), ticked(true)) {
            (count, 0) => format!("Import {}", services(count)),
            (0, gone) => format!("Remove {}", services(gone)),
            (count, gone) => format!("Import {}, remove {gone}", services(count)),
        };
        let edit = state.edit(scene.library);
        ui.add_enabled_ui(edit.is_some(), |ui| {
            if primary(ui, &scene.tokens, &words).clicked()
                && let Some(edit) = edit
            {
                match scene.try_edit(edit) {
                    Ok(()) => {
                        scene.ask(Intent::Go(Place::Week));
                        goes_on = false;
                    }
                    Err(why) => scene.ask(Intent::Fail(why)),
                }
            }
        });
        if ui.button("Cancel").on_hover_text("Esc; nothing is changed").clicked() {
            goes_on = false;
        }
        ui.checkbox(&mut state.only_matched, "Show only events with a programme");
        let matched = state.proposals.iter().filter(|proposal| proposal.programme.is_some()).count();
        let facts =
            format!("{}, {matched} with a programme.", crate::words::many(state.proposals.len(), "event"));
        ui.add(egui::Label::new(RichText::new(facts).color(scene.tokens.ink2)).wrap());
    });
    goes_on
}

/// In which zone hours are said, and where what repeats without end stops.
fn how_it_is_read(ui: &mut Ui, scene: &Scene<'_>, state: &mut State) {
    ui.horizontal_wrapped(|ui| {
        let label = ui.label("Hours in");
        if let Some(zone) = zone_choice(ui, "Time zone of the hours", &state.calendar.zone, label.id) {
            state.how.zone = Some(zone).filter(|zone| !zone.is_empty());
            state.read_again(scene.library);
        }
        if !state.calendar.endless {
            return;
        }
        let label = ui.label("Events that repeat without end stop with the season on");
        let field = egui::TextEdit::singleline(&mut state.until).desired_width(126.0);
        let field = ui.add(field).labelled_by(label.id).on_hover_text("31 Jul, 31.7. or 2028-07-31");
        if field.lost_focus() {
            let near = state.how.until.unwrap_or_else(dates::today);
            match dates::day(&state.until, near, dates::today(), scene.library.days().order) {
                Ok(day) if state.how.until == Some(day) => {
                    state.until = scene.library.days().lasting().weekday(day);
                }
                Ok(day) => {
                    state.how.until = Some(day);
                    state.until = scene.library.days().lasting().weekday(day);
                    state.read_again(scene.library);
                }
                Err(why) => state.error = why,
            }
        }
    });
}

/// One event, or the times of one that repeats: together, and singly where they are opened.
fn row_of(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, row: &[usize]) {
    let of = |at: &usize| state.proposals.get(*at);
    let matched = row.iter().filter_map(of).any(|proposal| proposal.programme.is_some());
    let Some(first) = row.first().copied().filter(|_| matched || !state.only_matched) else { return };
    if row.len() == 1 {
        if let Some(proposal) = state.proposals.get_mut(first) {
            single(ui, scene, first, proposal);
            ui.end_row();
        }
        return;
    }
    series(ui, scene, state, row);
    ui.end_row();
    if state.open.contains(&first) {
        for at in row {
            if let Some(proposal) = state.proposals.get_mut(*at) {
                single(ui, scene, *at, proposal);
                ui.end_row();
            }
        }
    }
}

/// What is chosen for all times of a series at once.
fn series(ui: &mut Ui, scene: &Scene<'_>, state: &mut State, row: &[usize]) {
    let of = |at: &usize| state.proposals.get(*at);
    let all: Vec<&Proposal> = row.iter().filter_map(of).collect();
    let (Some(first), Some(last)) = (all.first().copied(), all.last().copied()) else { return };
    let mut shared = first.clone();
    let ticked = all.iter().filter(|proposal| proposal.take).count();
    let mut take = ticked == all.len();
    let count = all.len();
    let event = first.event.clone();
    let days = scene.library.days();
    let when = format!("{}, {count} times to {}", days.whole(event.start), days.day(last.event.start.date()));
    let known = all.iter().filter(|proposal| proposal.words(scene.library) == "there already").count();
    let said = match (ticked, known) {
        (0, 0) => String::new(),
        (ticked, 0) => format!("{ticked} of {count} ticked"),
        (ticked, known) => format!("{ticked} of {count} ticked, {known} there already"),
    };
    let number = row.first().copied().unwrap_or_default();
    let tick = ui.add_enabled(shared.programme.is_some(), egui::Checkbox::new(&mut take, ""));
    name_it(&tick, egui::Role::CheckBox, &format!("Import all {count} of {}", event.summary));
    ui.horizontal(|ui| {
        let is_open = state.open.contains(&number);
        let button = ui.small_button(if is_open { "−" } else { "+" });
        let verb = if is_open { "Fold" } else { "Show" };
        name_it(&button, egui::Role::Button, &format!("{verb} the {count} times of {}", event.summary));
        if button.clicked() && !state.open.remove(&number) {
            state.open.insert(number);
        }
        ui.label(RichText::new(when).font(sans(size::TEXT)).color(scene.tokens.ink));
    });
    summary(ui, scene, &shared);
    let before = shared.clone();
    let chosen = programme_choice(ui, scene, (number, true), &mut shared);
    kind_choice(ui, (number, true), &mut shared.kind);
    venue(ui, scene, &shared);
    ui.label(RichText::new(said).font(sans(size::NOTE)).color(scene.tokens.ink2));
    for at in row {
        let Some(proposal) = state.proposals.get_mut(*at) else { continue };
        if chosen {
            choose_programme(proposal, shared.programme.clone());
        }
        if shared.kind != before.kind {
            proposal.kind = shared.kind;
        }
        if tick.changed() {
            proposal.take = take && proposal.programme.is_some();
        }
    }
}

fn single(ui: &mut Ui, scene: &Scene<'_>, at: usize, proposal: &mut Proposal) {
    let tick = ui.add_enabled(proposal.programme.is_some(), egui::Checkbox::new(&mut proposal.take, ""));
    name_it(&tick, egui::Role::CheckBox, &format!("Import event {}", at + 1));
    let start = proposal.event.start;
    let when = format!("{}, {}\u{202F}min", scene.library.days().whole(start), proposal.event.minutes);
    ui.label(RichText::new(when).font(sans(size::TEXT)).color(scene.tokens.ink));
    summary(ui, scene, proposal);
    programme_choice(ui, scene, (at, false), proposal);
    kind_choice(ui, (at, false), &mut proposal.kind);
    venue(ui, scene, proposal);
    ui.label(RichText::new(proposal.words(scene.library)).font(sans(size::NOTE)).color(scene.tokens.ink2));
}

fn summary(ui: &mut Ui, scene: &Scene<'_>, proposal: &Proposal) {
    let event = &proposal.event;
    let place = if event.location.is_empty() { String::new() } else { format!(", {}", event.location) };
    let words: String = format!("{}{place}", event.summary).replace('\n', " ").chars().take(60).collect();
    ui.label(RichText::new(words).font(semibold(size::NOTE)).color(scene.tokens.ink));
}

fn venue(ui: &mut Ui, scene: &Scene<'_>, proposal: &Proposal) {
    let venue = proposal.venue.as_ref().and_then(|id| scene.library.venues.get(id));
    ui.label(venue.map_or("same as the programme", |venue| &venue.name));
}

fn choose_programme(proposal: &mut Proposal, programme: Option<ProgrammeId>) {
    if proposal.programme != programme && !proposal.removes {
        proposal.take = programme.is_some();
        proposal.programme = programme;
        proposal.known = None;
    }
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

fn problems(ui: &mut Ui, scene: &Scene<'_>, calendar: &Calendar) {
    if calendar.problems.is_empty() {
        return;
    }
    ui.add_space(space::M);
    ui.label(RichText::new("Left out, or guessed").font(serif(size::HEADING)).color(scene.tokens.ink));
    for problem in &calendar.problems {
        let words = RichText::new(problem.to_string()).font(sans(size::NOTE)).color(scene.tokens.ink2);
        ui.label(words);
    }
}

fn name_it(response: &egui::Response, role: egui::Role, name: &str) {
    response.widget_info(|| WidgetInfo::labeled(role, true, name.to_owned()));
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn the_season_ends_in_july() {
        let library = Library::default();
        assert_eq!(season_end(&library, date(2027, 9, 1)), date(2028, 7, 31));
        assert_eq!(season_end(&library, date(2027, 7, 31)), date(2027, 7, 31));
    }
}
