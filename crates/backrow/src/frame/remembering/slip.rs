//! A decision or a trial as it is kept on disk while it is a draft: in a work that has nothing else.

use super::{Form, decide, trial};
use crate::drafts::shelf::Slip;
use backrow_core::days::Days;
use backrow_core::id::WorkId;
use backrow_core::music::Work;
use backrow_core::trial::Memory;
use backrow_files::library::Held;

/// A work with nothing but what it remembers.
fn bare(id: &WorkId, memory: Memory) -> Held {
    Held::Work(Work {
        id: id.clone(),
        title: String::new(),
        composer: String::new(),
        movements: Vec::new(),
        lines: Vec::new(),
        together: Vec::new(),
        memory,
        remark: String::new(),
    })
}

impl Form {
    /// As it is kept.
    pub(super) fn slip(&self) -> Option<Slip> {
        match self {
            Self::Decide(form) => {
                let memory = Memory { decisions: vec![form.decision.clone()], ..Memory::default() };
                let slip = Slip::of("remembered", &bare(&form.work, memory))?;
                Some(slip.with("day", &form.day).with("assigns", form.assigns))
            }
            Self::Trial(form) => {
                let memory = Memory { trials: vec![form.trial.clone()], ..Memory::default() };
                Some(Slip::of("remembered", &bare(&form.work, memory))?.with("day", &form.day))
            }
        }
    }

    /// What was kept.
    pub(super) fn of_slip(slip: &Slip) -> Option<Self> {
        let Held::Work(work) = slip.held()? else { return None };
        let Memory { trials, decisions } = work.memory;
        let day = slip.field("day");
        // It was a draft, and is one whatever stands in it: the day that it began with is none.
        if let Some(decision) = decisions.into_iter().next() {
            let mut form =
                decide::Form::on(Days::default(), &work.id, decision, slip.field("assigns") == "true");
            day.clone_into(&mut form.day);
            form.began.1.clear();
            return Some(Self::Decide(Box::new(form)));
        }
        let mut form = trial::Form::on(Days::default(), &work.id, trials.into_iter().next()?);
        day.clone_into(&mut form.day);
        form.began.1.clear();
        Some(Self::Trial(Box::new(form)))
    }
}
