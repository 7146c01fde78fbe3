//! Works and their lines.

use super::{EditError, each_programme, known, take};
use crate::id::{LineId, WorkId};
use crate::library::Library;
use crate::music::{Line, Work};
use crate::week::LineRef;
use std::sync::Arc;

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
