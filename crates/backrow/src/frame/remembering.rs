//! What a work remembers of its lines is entered here, over the window, by keyboard alone if need be: a decision, and a trial on
//! stage. Each takes no longer than a stand allows.

mod decide;
mod fields;
mod slip;
mod trial;

use crate::dates;
use crate::drafts::shelf::Slip;
use crate::drafts::{Forms, Left, Outcome, Typed};
use crate::intent::Remember;
use crate::scene::Scene;
use crate::theme::serif;
use crate::theme::tokens::{size, space};
use crate::view::View;
use backrow_core::library::Library;
use backrow_core::music::Movement;
use backrow_core::trial::{About, Decision};
use backrow_core::week::LineRef;
use egui::{RichText, Ui};
use jiff::civil::Date;

/// The forms, and what was typed last in the fields that mostly stay the same.
#[derive(Default)]
pub struct State {
    forms: Forms<Form>,
    by: String,
}

enum Form {
    Decide(Box<decide::Form>),
    Trial(Box<trial::Form>),
}

impl Typed for Form {
    fn has_changed(&self) -> bool {
        match self {
            Self::Decide(form) => form.has_changed(),
            Self::Trial(form) => form.has_changed(),
        }
    }

    fn title(&self) -> String {
        match self {
            Self::Decide(form) => form.title(),
            Self::Trial(form) => form.title(),
        }
    }
}

impl State {
    /// Opens the form that is asked for; an error says why there is none.
    pub fn open(
        &mut self,
        library: &Library,
        view: &View,
        ask: &Remember,
        (today, seed): (Date, u64),
    ) -> Result<(), String> {
        let gone = || "It is no longer in the library; it may have been undone.".to_owned();
        let form = match ask {
            Remember::Decide(at) => {
                let form = decide::Form::new(library, view, at, (today, &self.by)).ok_or_else(gone)?;
                Form::Decide(Box::new(form))
            }
            Remember::Try(at) => {
                let form = trial::Form::new(library, view, at, (today, seed)).ok_or_else(gone)?;
                Form::Trial(Box::new(form))
            }
            Remember::TryThese(at, strikes) => {
                let form =
                    trial::Form::of_strikes(library, view, at, &trial::Begun { strikes, when: today, seed })
                        .ok_or_else(gone)?;
                Form::Trial(Box::new(form))
            }
            Remember::DecideFrom(work, id, best) => {
                let trial =
                    library.works.get(work).and_then(|work| work.memory.trial(id)).ok_or_else(gone)?;
                let chosen = best.and_then(|at| trial.candidates.get(at));
                let decision = decide::from_trial(library, work, trial, chosen).ok_or_else(gone)?;
                let decision = Decision { when: today, by: self.by.clone(), ..decision };
                Form::Decide(Box::new(decide::Form::on(library.days(), work, decision, true)))
            }
            Remember::Listen(..) => return Err("A trial is listened to in a window of its own.".to_owned()),
            Remember::Change(work, id) => {
                let found = library.works.get(work).and_then(|work| work.memory.decision(id));
                Form::Decide(Box::new(decide::Form::of(library.days(), work, found.ok_or_else(gone)?)))
            }
            Remember::GoOn(work, id) => {
                let found = library.works.get(work).and_then(|work| work.memory.trial(id));
                Form::Trial(Box::new(trial::Form::of(library.days(), work, found.ok_or_else(gone)?)))
            }
        };
        self.forms.put(form);
        Ok(())
    }

    /// Whether a form is shown.
    pub const fn is_open(&self) -> bool {
        self.forms.open().is_some()
    }

    /// Leaves the form; what was typed is a draft then.
    pub fn close(&mut self) -> Left {
        self.forms.leave()
    }

    /// The forms that hold something, as they are kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        self.forms.held().filter_map(Form::slip).collect()
    }

    /// Puts a form that was kept on disk among the drafts; whether it could be.
    pub fn take_slip(&mut self, slip: &Slip) -> bool {
        Form::of_slip(slip).map(|form| self.forms.put_aside(form)).is_some()
    }

    /// How many forms hold something that is not in the library.
    pub fn unsaved(&self) -> usize {
        self.forms.unsaved()
    }
}

/// Draws the form that is open.
pub fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, state: &mut State) {
    let Some(mut form) = state.forms.take() else { return };
    let modal = crate::theme::dialog::dialog(ui, "tried and decided");
    let mut outcome = Outcome::GoesOn;
    let response = modal.show(ui.ctx(), |ui| {
        let room = ui.ctx().content_rect().size();
        ui.set_width((room.x - 96.0).clamp(520.0, 820.0));
        // Without the least height it would keep the height that it had before a row was added.
        let height = (room.y - 80.0).max(240.0);
        egui::ScrollArea::vertical().max_height(height).min_scrolled_height(height).show(ui, |ui| {
            outcome = match &mut form {
                Form::Decide(form) => decide::ui(ui, scene, view, form),
                Form::Trial(form) => trial::ui(ui, scene, form),
            };
            ui.add_space(space::S);
            state.forms.ui(ui, &scene.tokens);
        });
    });
    if outcome == Outcome::GoesOn && response.should_close() {
        outcome = Outcome::Left;
    }
    if let (Form::Decide(form), Outcome::Saved) = (&form, outcome) {
        form.by().clone_into(&mut state.by);
    }
    if outcome == Outcome::GoesOn && state.forms.open().is_some() {
        // A draft was taken up meanwhile: this one is left for it.
        let taken_up = state.forms.take();
        state.forms.put(form);
        if let Some(draft) = taken_up {
            state.forms.put(draft);
        }
    } else {
        state.forms.end(form, outcome);
    }
}

/// What a form is about, at its head.
fn head(ui: &mut Ui, scene: &Scene<'_>, verb: &str, (at, about): (&LineRef, &About)) {
    let library = scene.library;
    let tokens = scene.tokens;
    let title = RichText::new(format!("{verb}: {}", about.name)).font(serif(size::TITLE)).color(tokens.ink);
    ui.add(egui::Label::new(title).wrap());
    let work = library.works.get(&at.work);
    let title = work.map_or_else(|| at.work.to_string(), |work| work.title.clone());
    let place = library.line(at).map_or_else(
        || "the line is no longer in the work".to_owned(),
        |(work, line)| {
            let heading = work.movement(&line.movement).map(Movement::heading).unwrap_or_default();
            format!("{heading} {}", line.where_played())
        },
    );
    let said =
        if about.words.is_empty() { String::new() } else { format!("; the part says “{}”", about.words) };
    let words = RichText::new(format!("{title}, {}{said}", place.trim())).color(tokens.ink2);
    ui.add(egui::Label::new(words).wrap());
    ui.add_space(space::S);
}

/// A day as typed, near today; the error says how.
fn day_of(library: &Library, text: &str) -> Result<Date, String> {
    let today = dates::today();
    dates::day(text, today, today, library.days().order)
}
