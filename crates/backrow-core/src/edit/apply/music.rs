//! Works, their lines, and what they remember.

use super::{EditError, each_programme, known, put, take};
use crate::id::{DecisionId, LineId, TrialId, WorkId};
use crate::library::Library;
use crate::music::{Line, Work};
use crate::trial::{Decision, Trial};
use crate::week::LineRef;
use std::sync::Arc;

/// A review in which a work lies open for an hour does not know what was decided meanwhile: that stays.
pub(super) fn put_work(next: &mut Library, work: &Work) -> Result<(), EditError> {
    match next.works.get(&work.id).filter(|old| old.memory != work.memory) {
        None => put(&mut next.works, &work.id, work),
        Some(old) => {
            let mut memory = old.memory.clone();
            memory.joined(&work.memory);
            put(&mut next.works, &work.id, &Work { memory, ..work.clone() })
        }
    }
}

pub(super) fn put_trial(next: &mut Library, work: &WorkId, trial: &Trial) -> Result<(), EditError> {
    in_work(next, work, |work| work.memory.put_trial(trial.clone()))
}

pub(super) fn remove_trial(next: &mut Library, work: &WorkId, id: &TrialId) -> Result<(), EditError> {
    if next.works.get(work).is_some_and(|work| work.memory.trial(id).is_none()) {
        return Err(EditError::Unknown { what: "trial", id: format!("{work}/{id}") });
    }
    in_work(next, work, |work| {
        work.memory.trials.retain(|trial| trial.id != *id);
        for decision in work.memory.decisions.iter_mut().filter(|one| one.trial.as_ref() == Some(id)) {
            decision.trial = None;
        }
    })
}

pub(super) fn put_decision(next: &mut Library, work: &WorkId, decision: &Decision) -> Result<(), EditError> {
    in_work(next, work, |work| work.memory.put_decision(decision.clone()))
}

pub(super) fn remove_decision(next: &mut Library, work: &WorkId, id: &DecisionId) -> Result<(), EditError> {
    if next.works.get(work).is_some_and(|work| work.memory.decision(id).is_none()) {
        return Err(EditError::Unknown { what: "decision", id: format!("{work}/{id}") });
    }
    in_work(next, work, |work| work.memory.decisions.retain(|decision| decision.id != *id))
}

pub(super) fn remove_work(next: &mut Library, id: &WorkId) -> Result<(), EditError> {
    take(&mut next.works, "work", id)?;
    each_programme(next, |programme| {
        programme.forget_work(id);
        programme.roster.forget_work(id);
    });
    Ok(())
}

pub(super) fn put_line(next: &mut Library, work: &WorkId, line: &Line) -> Result<(), EditError> {
    in_work(next, work, |work| match work.lines.iter_mut().find(|old| old.id == line.id) {
        Some(old) => *old = line.clone(),
        None => work.lines.push(line.clone()),
    })
}

pub(super) fn remove_line(next: &mut Library, work: &WorkId, line: &LineId) -> Result<(), EditError> {
    let at = LineRef { work: work.clone(), line: line.clone() };
    if next.works.contains_key(work) && next.line(&at).is_none() {
        return Err(EditError::Unknown { what: "line", id: format!("{work}/{line}") });
    }
    in_work(next, work, |work| {
        work.lines.retain(|old| old.id != *line);
        work.together.retain(|(a, b)| a != line && b != line);
    })?;
    each_programme(next, |programme| programme.forget_line(&at));
    Ok(())
}

fn in_work(next: &mut Library, id: &WorkId, f: impl FnOnce(&mut Work)) -> Result<(), EditError> {
    known(&next.works, "work", id)?;
    if let Some(work) = Arc::make_mut(&mut next.works).get_mut(id) {
        f(Arc::make_mut(work));
    }
    Ok(())
}
