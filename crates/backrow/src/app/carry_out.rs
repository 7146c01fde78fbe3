//! Carrying out what panels and keys ask for.

use super::App;
use crate::actions::Action;
use crate::drafts::Left;
use crate::frame::asking::For;
use crate::frame::playing_on;
use crate::intent::{Intent, Leaving, PlayOn, Remember};
use crate::settings::ThemeChoice;
use crate::view::{Over, Place, Selected, View, WeekTab};
use crate::words::done;
use backrow_core::edit::Edit;
use backrow_core::id::{MovementId, ProgrammeId, VenueId, WeekId, WorkId};
use backrow_core::week::{Programme, Week};

impl App {
    /// Carries out everything that was asked for in this pass.
    pub(super) fn carry_out(&mut self, ctx: &egui::Context) {
        for intent in std::mem::take(&mut self.intents) {
            self.carry_out_one(ctx, intent);
        }
    }

    fn carry_out_one(&mut self, ctx: &egui::Context, intent: Intent) {
        match intent {
            Intent::Edit(edit) => self.edit(ctx, &edit),
            Intent::Do(action) => self.act(ctx, action),
            Intent::Go(place) => self.go(place),
            Intent::Press(place, key) => {
                self.go(place);
                self.presses.push(key);
            }
            Intent::AddTo(kept) => {
                self.go(Place::Collection);
                let left = self.places.collection.begin(kept);
                self.tell(left);
            }
            Intent::Record(of) => {
                self.go(Place::Collection);
                let left = self.places.collection.open_record(&of);
                self.view.selected = Some(of);
                self.tell(left);
            }
            Intent::ServiceForm(id) => {
                self.go(Place::Week);
                let left = self.places.week.open_service(self.history.now(), &id);
                self.tell(left);
            }
            Intent::ShowVenue(id) => self.show_venue(&id),
            Intent::WeekTab(tab) => self.week_tab(tab),
            Intent::CollectionTab(tab) => {
                let left = self.places.collection.turn_to(tab);
                self.tell(left);
            }
            Intent::Select(selected) => {
                if let Some(Selected::Line(line)) = &selected {
                    self.view.line = Some(line.clone());
                }
                self.view.selected = selected;
            }
            Intent::Line(line) => self.view.turn_to_line(self.history.now(), &line),
            Intent::PlayOn(on) => self.play_on(ctx, on),
            Intent::Remember(ask) => self.remember(&ask),
            Intent::SearchFor(line) => self.search_for(&line),
            Intent::LayOver(work, trial) => self.lay_over(&work, &trial),
            Intent::HearCandidate(asked) => self.hear_candidate(ctx, &asked),
            Intent::Programme(id) => self.view.turn_to_programme(self.history.now(), id),
            Intent::Work(id) => self.turn_to_work(id),
            Intent::Say(words) => self.view.said = words,
            Intent::Fail(words) => self.view.fails(words),
            Intent::Open(path) => self.open_path(ctx, &path),
            Intent::Decide(clash, text) => self.decide(ctx, &clash, &text),
            Intent::Set(settings) => self.settings = *settings,
            Intent::BringBack(earlier) => self.bring_back(ctx, &earlier),
            Intent::SaveCopy(folder) => self.save_copy(ctx, &folder),
            Intent::Unpack(file, to) => self.unpack(ctx, &file, &to),
            Intent::Leave(leaving) => self.leave(ctx, leaving),
            Intent::NewLibrary(folder) => self.begin_library(&folder),
            Intent::SaveTables(to) => self.save_tables(&to),
            Intent::Show(path) => self.show(&path),
            Intent::SaveServices(to) => self.save_services(&to),
            Intent::ImportTable(path) => self.import_table(&path),
            Intent::ImportCalendar(path) => self.import_calendar(&path),
            Intent::AskForPicture => self.ask(For::Picture),
            Intent::TakePicture(path) => self.take_picture(ctx, &path),
            Intent::ShowSheet(sheet) => self.shell.preview.open_at(sheet),
            Intent::Sound(wish) => self.wish(ctx, wish),
            Intent::AskForSheets => self.ask(For::Sheets),
            Intent::Print(folder) => self.print(ctx, &folder),
        }
        ctx.request_repaint();
    }

    /// To a tab of Week: it is about the current programme, whatever week was looked at last.
    fn week_tab(&mut self, tab: WeekTab) {
        self.go(Place::Week);
        let week = self.view.programme.as_ref().and_then(|id| self.history.now().week_of(id));
        if let Some(week) = week.map(|week| week.id.clone()) {
            self.places.week.turn_to(week);
        }
        self.places.week.turn_to_tab(tab);
    }

    /// Assigns an instrument to a line, or asks first where it is of another kind.
    fn play_on(&mut self, ctx: &egui::Context, on: PlayOn) {
        let library = self.history.now();
        let (Some(programme), Some((_, line))) = (self.view.programme.clone(), library.line(&on.line)) else {
            self.view.fails("Choose a programme first; then an instrument can be assigned to the line.");
            return;
        };
        let now = library.programme(&programme).map(|of| of.assignment(&on.line).instruments);
        let has_it = now.is_some_and(|now| now.contains(&on.instrument));
        if !has_it && playing_on::instead(library, line, &on.instrument).is_some() {
            self.shell.playing_on = Some(playing_on::Question::new(on));
            return;
        }
        let edit = playing_on::change(library, &programme, &on);
        self.edit(ctx, &edit);
    }

    /// What became of a form that was left, in the bottom line.
    fn tell(&mut self, left: Left) {
        if let Some(words) = left.words() {
            words.clone_into(&mut self.view.said);
        }
    }

    /// Makes a change, says what was done, and keeps it.
    pub(super) fn edit(&mut self, ctx: &egui::Context, edit: &Edit) {
        if let Some(why) = self.read_only() {
            self.view.fails(format!("Nothing changed: the library is read-only. {why}"));
            return;
        }
        match self.history.make(edit) {
            Ok(Some(words)) => {
                self.view.said = done(words);
            }
            Ok(None) => {}
            Err(why) => self.view.fails(format!("Nothing changed: {why}.")),
        }
        self.changed(ctx);
    }

    /// To a venue’s drawing, whether a programme plays in it or not.
    fn show_venue(&mut self, id: &VenueId) {
        if let Some(venue) = self.history.now().venues.get(id) {
            self.places.floor.draw(venue);
            self.go(Place::Floor);
        }
    }

    /// To a place; what failed at the one before is not told there.
    pub(super) fn go(&mut self, place: Place) {
        if self.view.place != place && self.view.has_failed() {
            self.view.said.clear();
        }
        self.view.place = place;
    }

    fn changed(&mut self, ctx: &egui::Context) {
        self.view.settle(self.history.now());
        ctx.request_repaint();
    }

    fn act(&mut self, ctx: &egui::Context, action: Action) {
        match action {
            Action::Find => self.shell.finder.wants_focus = true,
            Action::Undo | Action::Redo => {
                // What is open over the library comes first: nobody sees the library change behind it.
                let back = action == Action::Undo;
                if let Some(done) = self.places.step_here(self.view.place, back) {
                    let words = match (done, back) {
                        (true, true) => "Undone here.",
                        (true, false) => "Redone here.",
                        (false, true) => "There is nothing more to undo here.",
                        (false, false) => "There is nothing to redo here.",
                    };
                    words.clone_into(&mut self.view.said);
                    ctx.request_repaint();
                    return;
                }
                let (done, verb) = if action == Action::Undo {
                    (self.history.undo(), "Undone")
                } else {
                    (self.history.redo(), "Redone")
                };
                self.view.said = done.map_or_else(
                    || "Nothing to undo or redo.".to_owned(),
                    |words| format!("{verb}: {words}."),
                );
                self.changed(ctx);
            }
            Action::OpenLibrary => self.ask(For::Library),
            Action::NewLibrary => self.ask(For::NewLibrary),
            Action::NewProgramme => self.new_programme(ctx),
            Action::ReadScore => self.ask(For::Score),
            Action::SaveTables => self.ask(For::Tables),
            Action::SaveServices => self.ask(For::Services),
            Action::ImportTable => self.ask(For::Instruments),
            Action::ImportCalendar => self.ask(For::Calendar),
            Action::PrintPlan => self.shell.preview.open(),
            Action::Propose => self.shell.proposing.open(),
            Action::Decide | Action::Try => self.remember_current(action),
            Action::HearLine => self.hear_line(ctx),
            Action::NextCandidate => {
                let next = self.sound.chosen() + 1;
                self.wish(ctx, crate::sound::Wish::Candidate(next));
            }
            Action::RecordTake => self.record(ctx),
            Action::GoSection
            | Action::GoCompass
            | Action::GoFloor
            | Action::GoBarView
            | Action::GoSeason
            | Action::GoWeek
            | Action::GoWorks
            | Action::GoCollection
            | Action::GoSounds => self.go(action.goes_to().unwrap_or(self.view.place)),
            Action::NextWork => self.step_work(1),
            Action::PreviousWork => self.step_work(-1),
            Action::NextMovement => self.step_movement(1),
            Action::PreviousMovement => self.step_movement(-1),
            Action::SwitchTheme => {
                self.settings.theme =
                    if crate::theme::Tokens::of(ctx).dark { ThemeChoice::Paper } else { ThemeChoice::Stage };
            }
            Action::ShowVersions => self.show_versions(),
            Action::ShowEarlier => self.show_earlier(),
            Action::SaveNow => self.save_now(ctx),
            Action::SaveCopy => self.ask(For::Copy),
            Action::FoldPanel => self.settings.panel_folded = !self.settings.panel_folded,
            Action::ShowGuide => self.shell.guide.toggle(self.view.place),
            Action::ShowSteps => self.show_first_steps(!self.view.first_steps),
            Action::ShowKeys => self.shell.keys.toggle(),
            Action::CancelWork => self.cancel_work(),
            Action::Cancel => self.cancel(),
            Action::Quit => {
                self.save_lines(ctx, None);
                if self.is_unsaved() {
                    self.shell.leaving = Some(Leaving::Quit);
                } else {
                    ctx.send_viewport_cmd(egui::ViewportCommand::Close);
                }
            }
        }
    }

    /// Opens the form for what is to be remembered.
    fn remember(&mut self, ask: &Remember) {
        if let Remember::Listen(work, id) = ask {
            self.shell.comparing.open(work.clone(), id.clone());
            return;
        }
        let library = self.history.now();
        let day = crate::sheets::today().unwrap_or(jiff::civil::Date::constant(2027, 1, 1));
        let past = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
        let seed = past.map_or(0, |past| past.as_secs() << 20 ^ u64::from(past.subsec_nanos()));
        if let Err(why) = self.shell.remembering.open(library, &self.view, ask, (day, seed)) {
            self.view.fails(why);
        }
    }

    /// A decision or a trial for the current line.
    fn remember_current(&mut self, action: Action) {
        let Some(at) = self.view.line.clone() else {
            self.view.fails("Choose a line first, in Section or by finding it; then it can be decided on.");
            return;
        };
        let ask = if action == Action::Try { Remember::Try(at) } else { Remember::Decide(at) };
        self.remember(&ask);
    }

    /// An empty programme in the last week, or in a first one; it comes to hand at once.
    fn new_programme(&mut self, ctx: &egui::Context) {
        let library = self.history.now();
        let id = ProgrammeId::fresh("programme", |id| library.programme(id).is_some());
        let mut edits = Vec::new();
        let here = self.places.week.chosen(library);
        let week = here.or_else(|| library.weeks.keys().next_back().cloned()).unwrap_or_else(|| {
            let id = WeekId::fresh("week", |_| false);
            let week =
                Week { id: id.clone(), title: "First week".to_owned(), programmes: vec![], services: vec![] };
            edits.push(Edit::PutWeek(week));
            id
        });
        let programme = Programme::new(id.clone(), "New programme");
        edits.push(Edit::PutProgramme { week, programme });
        self.edit(ctx, &Edit::Together { words: "Add a programme".to_owned(), edits });
        if self.history.now().programme(&id).is_some() {
            self.view.place = Place::Week;
            self.view.turn_to_programme(self.history.now(), id);
        }
    }

    /// Closes the innermost thing that is open, and no other.
    fn cancel(&mut self) {
        if let Some((over, left)) = self.shell.close_innermost() {
            if let Some(words) = left.words() {
                words.clone_into(&mut self.view.said);
            }
            if over == Over::Importing {
                "Cancelled.".clone_into(&mut self.view.said);
            }
        } else if self.view.in_hand.take().is_some() {
            "Cancelled.".clone_into(&mut self.view.said);
        } else if let Some(words) = self.places.cancel(self.view.place) {
            words.clone_into(&mut self.view.said);
        }
    }

    fn turn_to_work(&mut self, id: WorkId) {
        if self.view.work.as_ref() != Some(&id) {
            self.view.leave_lines_but(|work| *work == id);
            self.view.work = Some(id);
            self.view.movement = None;
            self.view.settle(self.history.now());
        }
    }

    fn step_work(&mut self, by: isize) {
        let library = self.history.now();
        let works: Vec<WorkId> = match self.view.programme_in(library) {
            Some(programme) => {
                programme.works.iter().filter(|id| library.works.contains_key(id)).cloned().collect()
            }
            None => library.works.keys().cloned().collect(),
        };
        if let Some(next) = neighbour(&works, self.view.work.as_ref(), by) {
            self.turn_to_work(next);
        }
    }

    fn step_movement(&mut self, by: isize) {
        let library = self.history.now();
        let View { work, movement, .. } = &mut self.view;
        let movements: Vec<MovementId> = work
            .as_ref()
            .and_then(|id| library.works.get(id))
            .map(|work| work.movements.iter().map(|m| m.id.clone()).collect())
            .unwrap_or_default();
        if let Some(next) = neighbour(&movements, movement.as_ref(), by) {
            *movement = Some(next);
        }
    }
}

fn neighbour<T: PartialEq + Clone>(all: &[T], now: Option<&T>, by: isize) -> Option<T> {
    let at = now.and_then(|now| all.iter().position(|one| one == now));
    let next = match at {
        Some(at) => at.checked_add_signed(by)?,
        None => 0,
    };
    all.get(next).cloned()
}
