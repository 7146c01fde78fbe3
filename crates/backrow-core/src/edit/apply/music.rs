//! Works and their lines.

use super::{EditError, each_programme, known, take};
use crate::id::{CallId, WorkId};
use crate::library::Library;
use crate::music::{Call, Work};
use crate::week::CallRef;
use std::sync::Arc;

pub(super) fn remove_work(next: &mut Library, id: &WorkId) -> Result<(), EditError> {
    take(&mut next.works, "work", id)?;
    each_programme(next, |programme| {
        programme.forget_work(id);
        programme.roster.forget_work(id);
    });
    Ok(())
}

pub(super) fn put_call(next: &mut Library, work: &WorkId, call: &Call) -> Result<(), EditError> {
    in_work(next, work, |work| match work.calls.iter_mut().find(|old| old.id == call.id) {
        Some(old) => *old = call.clone(),
        None => work.calls.push(call.clone()),
    })
}

pub(super) fn remove_call(next: &mut Library, work: &WorkId, call: &CallId) -> Result<(), EditError> {
    let at = CallRef { work: work.clone(), call: call.clone() };
    if next.works.contains_key(work) && next.call(&at).is_none() {
        return Err(EditError::Unknown { what: "line", id: format!("{work}/{call}") });
    }
    in_work(next, work, |work| {
        work.calls.retain(|old| old.id != *call);
        work.together.retain(|(a, b)| a != call && b != call);
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
