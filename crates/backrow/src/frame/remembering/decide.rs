//! The form of a decision: what was chosen for a line, why, by whom, when, and what the conductor said.

use super::fields::{as_assigned, candidate, kind_of, row, says_something, text};
use super::{day_of, head};
use crate::dates;
use crate::drafts::{Outcome, Refusal, Typed};
use crate::scene::Scene;
use crate::theme::dialog::actions;
use crate::theme::widgets::primary;
use crate::view::View;
use backrow_core::days::Days;
use backrow_core::edit::{Edit, candidate_words, words};
use backrow_core::id::{ProgrammeId, WorkId};
use backrow_core::library::Library;
use backrow_core::recall;
use backrow_core::trial::{Candidate, Decision};
use backrow_core::week::LineRef;
use egui::{Key, Modifiers, Ui};
use jiff::civil::Date;

/// A decision while it is typed.
pub(super) struct Form {
    pub(super) work: WorkId,
    pub(super) decision: Decision,
    pub(super) day: String,
    pub(super) began: (Decision, String),
    /// Whether the current programme takes it over.
    pub(super) assigns: bool,
    focus: bool,
    error: Refusal,
}

impl Typed for Form {
    fn has_changed(&self) -> bool {
        self.decision != self.began.0 || self.day != self.began.1
    }

    fn title(&self) -> String {
        format!("Decision: {}", self.decision.about.name)
    }
}

impl Form {
    /// For a line, beginning with what it is played on now, else with what was decided before.
    pub(super) fn new(
        library: &Library,
        view: &View,
        at: &LineRef,
        (today, by): (Date, &str),
    ) -> Option<Self> {
        let (work, line) = library.line(at)?;
        let given = view.programme_in(library).map(|programme| programme.assignment(at)).unwrap_or_default();
        let before = work.memory.decided(&line.id).map(|decision| decision.chosen.clone());
        let now = Some(as_assigned(&given)).filter(says_something);
        Some(Self::with(library, work, line, (now.or(before).unwrap_or_default(), today), by))
    }

    /// For a line, with a candidate that was chosen already.
    fn with(
        library: &Library,
        work: &backrow_core::music::Work,
        line: &backrow_core::music::Line,
        (chosen, when): (Candidate, Date),
        by: &str,
    ) -> Self {
        let about = recall::about(library, line);
        let (_, id) = recall::fresh_ids(work, &about);
        let decision = Decision {
            id,
            about,
            chosen: Candidate { name: String::new(), ..chosen },
            why: String::new(),
            by: by.to_owned(),
            when,
            conductor: String::new(),
            trial: None,
        };
        Self::on(library.days(), &work.id, decision, true)
    }

    /// One that is there.
    pub(super) fn of(days: Days, work: &WorkId, decision: &Decision) -> Self {
        Self::on(days, work, decision.clone(), false)
    }

    /// One with these words in it.
    pub(super) fn on(days: Days, work: &WorkId, decision: Decision, assigns: bool) -> Self {
        let day = days.lasting().day(decision.when);
        let began = (decision.clone(), day.clone());
        Self { work: work.clone(), decision, day, began, assigns, focus: true, error: Refusal::default() }
    }

    pub(super) fn by(&self) -> &str {
        self.decision.by.trim()
    }

    fn at(&self) -> LineRef {
        LineRef { work: self.work.clone(), line: self.decision.about.line.clone() }
    }

    /// What is to be saved; an error says what is missing.
    fn decided(&self, library: &Library) -> Result<Decision, String> {
        if !says_something(&self.decision.chosen) {
            return Err(
                "Choose what was decided on: an instrument, beaters, or where it is struck.".to_owned()
            );
        }
        let trimmed = |text: &str| text.trim().to_owned();
        let mut decision = Decision {
            when: day_of(library, &self.day)?,
            why: trimmed(&self.decision.why),
            by: trimmed(&self.decision.by),
            conductor: trimmed(&self.decision.conductor),
            ..self.decision.clone()
        };
        decision.chosen.spot = trimmed(&decision.chosen.spot);
        let there = candidate_words(library, &Candidate { name: String::new(), ..decision.chosen.clone() });
        decision.chosen.name = there;
        Ok(decision)
    }
}

/// The decision as one step, with what the programme takes over of it.
fn edit(library: &Library, work: &WorkId, decision: Decision, into: Option<&ProgrammeId>) -> Edit {
    let at = LineRef { work: work.clone(), line: decision.about.line.clone() };
    let chosen = decision.chosen.clone();
    let remember = Edit::PutDecision { work: work.clone(), decision };
    let Some(programme) = into else { return remember };
    let words = words(library, &remember);
    let mut edits = vec![remember];
    if !chosen.instruments.is_empty() {
        let (programme, line) = (programme.clone(), at.clone());
        edits.push(Edit::UseInstruments { programme, line, instruments: chosen.instruments });
    }
    if !chosen.beaters.is_empty() {
        edits.push(Edit::UseBeaters { programme: programme.clone(), line: at, beaters: chosen.beaters });
    }
    Edit::Together { words, edits }
}

/// Draws the form.
pub(super) fn ui(ui: &mut Ui, scene: &mut Scene<'_>, view: &View, form: &mut Form) -> Outcome {
    let (library, tokens) = (scene.library, scene.tokens);
    let at = form.at();
    head(ui, scene, "Decide", (&at, &form.decision.about));
    let kind = kind_of(library, &at).map(|kind| kind.id.clone());
    row(ui, scene, "Chosen", |ui| {
        candidate(ui, library, kind.as_ref(), "Chosen", &mut form.decision.chosen);
    });
    let focus = std::mem::take(&mut form.focus);
    let decision = &mut form.decision;
    let mut entered = text(ui, scene, ("Why", "too bright with brass"), &mut decision.why, focus);
    entered |= text(ui, scene, ("The conductor", "asked for drier"), &mut decision.conductor, false);
    entered |= text(ui, scene, ("Decided by", ""), &mut decision.by, false);
    entered |= text(ui, scene, ("Day", dates::forms(scene.library.days().order)), &mut form.day, false);
    let into = view.programme_in(library).filter(|programme| programme.plays(&form.work));
    let into = into.filter(|_| library.line(&at).is_some());
    if let Some(programme) = into {
        let words = format!("Assign it in {} too", programme.title);
        row(ui, scene, "", |ui| {
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Truncate);
            ui.checkbox(&mut form.assigns, words)
        });
    }
    form.error.ui(ui, &tokens, || (&form.decision, &form.day, form.assigns));
    let mut outcome = Outcome::GoesOn;
    actions(ui, |ui| {
        entered |= ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Enter));
        if primary(ui, &tokens, "Save").on_hover_text("Enter").clicked() || entered {
            let into = into.filter(|_| form.assigns).map(|programme| programme.id.clone());
            let put = |decision| scene.try_edit(edit(library, &form.work, decision, into.as_ref()));
            match form.decided(library).and_then(put) {
                Ok(()) => outcome = Outcome::Saved,
                Err(why) => form.error = Refusal::of(why, &(&form.decision, &form.day, form.assigns)),
            }
        }
        if ui.button("Cancel").on_hover_text("Esc; what you typed stays as a draft").clicked() {
            outcome = Outcome::Left;
        }
    });
    outcome
}

/// The decision that a trial led to, for one of its candidates.
pub(super) fn from_trial(
    library: &Library,
    work: &WorkId,
    trial: &backrow_core::trial::Trial,
    chosen: Option<&Candidate>,
) -> Option<Decision> {
    let own = library.works.get(work)?;
    let (_, id) = recall::fresh_ids(own, &trial.about);
    Some(Decision {
        id,
        about: trial.about.clone(),
        chosen: chosen.cloned().unwrap_or_default(),
        why: trial.verdict.clone(),
        by: String::new(),
        when: trial.when,
        conductor: trial.conductor.clone(),
        trial: Some(trial.id.clone()),
    })
}
