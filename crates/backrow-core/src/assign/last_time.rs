//! Who had a line the last time.

use crate::id::PlayerId;
use crate::library::Library;
use crate::week::{LineRef, Programme, Service};
use std::collections::BTreeMap;

/// Who had each line in the latest earlier programme that gave it to anybody.
pub(super) fn last_time(library: &Library, programme: &Programme) -> BTreeMap<LineRef, PlayerId> {
    let first = |services: Vec<&Service>| services.iter().map(|s| s.start).min();
    let mine = first(library.services_of(&programme.id));
    let mut earlier: Vec<_> = library
        .programmes()
        .filter(|(_, other)| other.id != programme.id)
        .filter_map(|(_, other)| first(library.services_of(&other.id)).map(|start| (start, other)))
        .filter(|(start, _)| mine.is_none_or(|m| *start < m))
        .collect();
    earlier.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.id.cmp(&b.1.id)));
    let given = earlier.into_iter().flat_map(|(_, other)| other.lines());
    given.filter_map(|(line, a)| Some((line.clone(), a.player.clone()?))).collect()
}
