//! A calendar: each event with the service that it would become. The times of one that repeats stand in one row and are matched
//! once; they can be looked at singly.

mod rows;

use crate::dates;
use crate::intent::Intent;
use crate::memo::Memo;
use crate::scene::Scene;
use crate::theme::serif;
use crate::theme::tokens::{size, space};
use crate::theme::widgets::{primary, trouble};
use crate::view::Place;
use crate::zone_choice::zone_choice;
use backrow_core::edit::Edit;
use backrow_core::id::ProgrammeId;
use backrow_core::library::{Library, Orchestra};
use backrow_core::week::ServiceKind;
use backrow_files::calendar::{Calendar, Event, How, Proposal, edit, propose, read_as, words_of_all};
use backrow_files::mark::fnv1a;
use egui::{RichText, Ui};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
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
    /// Counts what was changed here: all that follows from it is worked out again only then.
    changes: u64,
    /// By the library's revision and the changes here.
    worked: Memo<(u64, u64), Worked>,
    /// What was changed, as of the changes that stand with it.
    said: (u64, Option<Said>),
}

/// What follows from the proposals as they are.
struct Worked {
    edit: Option<Edit>,
    /// Services that would be imported, and removed.
    ticked: (usize, usize),
    matched: usize,
    /// What would happen with each proposal.
    words: Vec<String>,
    /// The lines from top to bottom.
    lines: Vec<Line>,
}

/// One line of the review.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Line {
    /// The times of an event that repeats, by their row.
    Series(usize),
    /// One event, by its proposal.
    Single(usize),
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
            changes: 0,
            worked: Memo::default(),
            said: (0, None),
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
    pub(super) fn said(&self) -> Option<&Said> {
        self.said.1.as_ref()
    }

    /// After anything was changed: what follows from it is worked out again.
    fn has_changed(&mut self) {
        self.changes += 1;
        self.said = (self.changes, self.said_now());
    }

    fn said_now(&self) -> Option<Said> {
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
        self.has_changed();
    }

    /// An event is found by its key, which is the same in every zone; one without by when it begins.
    fn put_on_events(&mut self, library: &Library, said: &[SaidOfEvent]) {
        let start =
            |event: &Event| if event.key.is_empty() { event.start.to_string() } else { String::new() };
        let mut known: BTreeMap<(String, String), usize> = BTreeMap::new();
        for (at, Proposal { event, .. }) in self.proposals.iter().enumerate() {
            known.entry((event.key.clone(), start(event))).or_insert(at);
        }
        let programmes: BTreeSet<&ProgrammeId> = library.programmes().map(|(_, one)| &one.id).collect();
        for event in said {
            let start = if event.key.is_empty() { event.start.clone() } else { String::new() };
            let at = known.get(&(event.key.clone(), start));
            let Some(proposal) = at.and_then(|at| self.proposals.get_mut(*at)) else { continue };
            let programme = event.programme.as_deref().and_then(|id| ProgrammeId::new(id).ok());
            choose_programme(proposal, programme.filter(|id| programmes.contains(id)));
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
        let mut series: BTreeMap<&str, usize> = BTreeMap::new();
        for (at, Proposal { event, .. }) in self.proposals.iter().enumerate() {
            let known = series.get(event.uid.as_str()).copied();
            let known = known.filter(|_| event.repeats && !event.uid.is_empty());
            if let Some(row) = known.and_then(|row| self.rows.get_mut(row)) {
                row.push(at);
                continue;
            }
            if event.repeats {
                series.entry(&event.uid).or_insert(self.rows.len());
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
        self.has_changed();
    }

    fn work_out(&self, library: &Library) -> Worked {
        let taken = || self.proposals.iter().filter(|one| one.take && one.programme.is_some());
        let is_matched = |at: &usize| self.proposals.get(*at).is_some_and(|one| one.programme.is_some());
        let mut lines = Vec::new();
        for (at, row) in self.rows.iter().enumerate() {
            let is_shown = !self.only_matched || row.iter().any(is_matched);
            let Some(first) = row.first().filter(|_| is_shown) else { continue };
            if row.len() > 1 {
                lines.push(Line::Series(at));
            }
            if row.len() == 1 || self.open.contains(first) {
                lines.extend(row.iter().copied().map(Line::Single));
            }
        }
        Worked {
            edit: self.edit(library),
            ticked: (taken().filter(|one| !one.removes).count(), taken().filter(|one| one.removes).count()),
            matched: self.proposals.iter().filter(|one| one.programme.is_some()).count(),
            words: words_of_all(library, &self.proposals),
            lines,
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
    let mut memo = std::mem::take(&mut state.worked);
    let worked = memo.get((scene.revision, state.changes), || state.work_out(scene.library));
    rows::ui(ui, scene, state, worked);
    state.worked = memo;
    goes_on
}

fn buttons(ui: &mut Ui, scene: &mut Scene<'_>, state: &mut State) -> bool {
    let mut goes_on = true;
    let mut memo = std::mem::take(&mut state.worked);
    let worked = memo.get((scene.revision, state.changes), || state.work_out(scene.library));
    ui.horizontal(|ui| {
        let services = |count: usize| format!("{count} service{}", if count == 1 { "" } else { "s" });
        let words = match worked.ticked {
            (count, 0) => format!("Import {}", services(count)),
            (0, gone) => format!("Remove {}", services(gone)),
            (count, gone) => format!("Import {}, remove {gone}", services(count)),
        };
        ui.add_enabled_ui(worked.edit.is_some(), |ui| {
            if primary(ui, &scene.tokens, &words).clicked()
                && let Some(edit) = &worked.edit
            {
                match scene.try_edit(edit.clone()) {
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
        if ui.checkbox(&mut state.only_matched, "Show only events with a programme").changed() {
            state.has_changed();
        }
        let events = crate::words::many(state.proposals.len(), "event");
        let facts = format!("{events}, {} with a programme.", worked.matched);
        ui.add(egui::Label::new(RichText::new(facts).color(scene.tokens.ink2)).wrap());
    });
    state.worked = memo;
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

fn choose_programme(proposal: &mut Proposal, programme: Option<ProgrammeId>) {
    if proposal.programme != programme && !proposal.removes {
        proposal.take = programme.is_some();
        proposal.programme = programme;
        proposal.known = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// A calendar of so many events, one a day.
    fn of(count: usize) -> State {
        let event = |at: usize| {
            let day = date(2027, 1, 1).saturating_add(jiff::Span::new().days(i64::try_from(at).unwrap()));
            let day = day.strftime("%Y%m%d");
            format!(
                "BEGIN:VEVENT\r\nUID:{at}\r\nDTSTART:{day}T100000\r\nDURATION:PT2H\r\nSUMMARY:Hall {at}\r\nEND:VEVENT\r\n"
            )
        };
        let events: String = (0..count).map(event).collect();
        let text = format!("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n{events}END:VCALENDAR\r\n");
        State::new(&Library::default(), PathBuf::from("large.ics"), text.into_bytes()).unwrap()
    }

    /// What is drawn follows from what is remembered, and that is worked out once for a library and what was changed here.
    #[test]
    fn what_follows_is_worked_out_again_only_after_a_change() {
        let (mut state, library) = (of(3_000), Library::default());
        let mut made = 0;
        let mut frame = |state: &mut State, revision: u64| {
            let mut memo = std::mem::take(&mut state.worked);
            let lines = memo.get((revision, state.changes), || {
                made += 1;
                state.work_out(&library)
            });
            let count = lines.lines.len();
            state.worked = memo;
            (count, made)
        };
        assert_eq!((frame(&mut state, 1), frame(&mut state, 1)), ((3_000, 1), (3_000, 1)));
        state.only_matched = true;
        state.has_changed();
        assert_eq!((frame(&mut state, 1), frame(&mut state, 1)), ((0, 2), (0, 2)));
        assert_eq!(frame(&mut state, 2), (0, 3), "another library");
        assert!(state.said().is_none());
        state.proposals[0].kind = ServiceKind::Concert;
        state.has_changed();
        assert_eq!(state.said().unwrap().events.len(), 1);
    }

    #[test]
    fn the_season_ends_in_july() {
        let library = Library::default();
        assert_eq!(season_end(&library, date(2027, 9, 1)), date(2028, 7, 31));
        assert_eq!(season_end(&library, date(2027, 7, 31)), date(2027, 7, 31));
    }
}
