//! Grades that a listener has given and not handed in: kept while the trial is closed, and over a kill.

use super::{Session, State};
use crate::drafts::shelf::Slip;
use crate::drafts::{Chosen, Left, row};
use crate::scene::Scene;
use backrow_core::id::{TrialId, WorkId};
use backrow_core::library::Library;
use backrow_core::trial::Trial;
use egui::Ui;

/// The form of a slip that holds grades.
pub(crate) const FORM: &str = "grades";

/// Grades that are not handed in.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Half {
    work: WorkId,
    trial: TrialId,
    /// Whose, as a place in the trial.
    listener: usize,
    grades: Vec<f64>,
    heard: Vec<bool>,
}

impl Half {
    /// What would be lost of a session; `None` where nothing would.
    fn of(session: &Session) -> Option<Self> {
        let listener = session.listener?;
        let moved = session.grades.iter().any(|grade| (grade - super::MIDDLE).abs() > 1e-9);
        moved.then(|| Self {
            work: session.work.clone(),
            trial: session.id.clone(),
            listener,
            grades: session.grades.clone(),
            heard: session.heard.clone(),
        })
    }

    fn trial<'l>(&self, library: &'l Library) -> Option<&'l Trial> {
        let trial = library.works.get(&self.work)?.memory.trial(&self.trial)?;
        (self.listener < trial.listeners.len() && !trial.is_done(self.listener)).then_some(trial)
    }

    fn title(&self, library: &Library) -> String {
        let trial = self.trial(library);
        let who = trial.and_then(|trial| trial.listeners.get(self.listener));
        let about = trial.map_or("", |trial| trial.about.name.as_str());
        format!("grades of {about} by {}", who.map_or("", |who| who.name.as_str()))
    }

    fn slip(&self) -> Slip {
        let grades: Vec<String> = self.grades.iter().map(f64::to_string).collect();
        let heard: Vec<&str> = self.heard.iter().map(|heard| if *heard { "1" } else { "0" }).collect();
        let slip = Slip::plain(FORM).with("work", &self.work).with("trial", &self.trial);
        let slip = slip.with("listener", self.listener).with("grades", grades.join(" "));
        slip.with("heard", heard.join(" "))
    }

    fn of_slip(slip: &Slip) -> Option<Self> {
        let grades = slip.field("grades").split(' ').filter_map(|text| text.parse().ok());
        Some(Self {
            work: WorkId::new(slip.field("work")).ok()?,
            trial: TrialId::new(slip.field("trial")).ok()?,
            listener: slip.field("listener").parse().ok()?,
            grades: grades.filter(|grade| (0.0..=100.0).contains(grade)).collect(),
            heard: slip.field("heard").split(' ').map(|text| text == "1").collect(),
        })
    }
}

impl State {
    /// Leaves the trial: answers that were given are in the library already, grades that were not handed in are a draft.
    pub fn close(&mut self) -> Left {
        match self.session.take().as_ref().and_then(Half::of) {
            Some(half) => {
                self.kept.push(half);
                Left::Draft
            }
            None => Left::Nothing,
        }
    }

    /// How many listeners have given grades and not handed them in.
    pub fn unsaved(&self) -> usize {
        self.kept.len() + usize::from(self.session.as_ref().and_then(Half::of).is_some())
    }

    /// As they are kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        let now = self.session.as_ref().and_then(Half::of);
        self.kept.iter().chain(&now).map(Half::slip).collect()
    }

    /// What was kept on disk; `false` while its trial is not there.
    pub fn take_slip(&mut self, slip: &Slip, library: &Library) -> bool {
        let half = Half::of_slip(slip).filter(|half| half.trial(library).is_some());
        let is_known = half.is_some();
        self.kept.extend(half);
        is_known
    }
}

/// The grades that a listener who goes on had given.
pub(super) fn go_on(kept: &mut Vec<Half>, session: &mut Session) {
    let Some(listener) = session.listener else { return };
    let is_it = |half: &Half| {
        (&half.work, &half.trial, half.listener) == (&session.work, &session.id, listener)
            && half.grades.len() == session.grades.len()
    };
    if let Some(at) = kept.iter().position(is_it) {
        let half = kept.remove(at);
        (session.grades, session.heard) = (half.grades, half.heard);
    }
}

/// A way back to grades that were left, while no trial is listened to.
pub fn left(ui: &mut Ui, scene: &Scene<'_>, state: &mut State) {
    if state.is_open() {
        return;
    }
    let mut chosen = None;
    for (at, half) in state.kept.iter().enumerate() {
        ui.push_id(("grades", at), |ui| {
            if let Some(what) = row(ui, &scene.tokens, &half.title(scene.library)) {
                chosen = Some((at, what));
            }
        });
    }
    let Some((at, what)) = chosen.filter(|(at, _)| *at < state.kept.len()) else { return };
    let half = state.kept.remove(at);
    if what == Chosen::Resume {
        let (work, id) = (half.work.clone(), half.trial.clone());
        let trial = half.trial(scene.library);
        let begun = trial.map(|trial| (half.listener, trial));
        state.kept.push(half);
        state.open(work, id);
        if let (Some((listener, trial)), Some(session)) = (begun, &mut state.session) {
            super::begin(session, listener, trial);
            go_on(&mut state.kept, session);
        }
    }
}
