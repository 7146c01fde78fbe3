//! Who had a line the last time.

use crate::id::PlayerId;
use crate::library::Library;
use crate::week::{LineRef, Programme};
use std::collections::BTreeMap;

/// Who had each line in the latest earlier programme that gave it to anybody.
pub(super) fn last_time(library: &Library, programme: &Programme) -> BTreeMap<LineRef, PlayerId> {
    let starts = library.first_starts();
    let first = |programme: &Programme| starts.get(&programme.id).copied();
    let mine = first(programme);
    let mut earlier: Vec<_> = library
        .programmes()
        .filter(|(_, other)| other.id != programme.id)
        .filter_map(|(_, other)| first(other).map(|start| (start, other)))
        .filter(|(start, _)| mine.is_none_or(|m| *start < m))
        .collect();
    earlier.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.id.cmp(&b.1.id)));
    let given = earlier.into_iter().flat_map(|(_, other)| other.lines());
    given.filter_map(|(line, a)| Some((line.clone(), a.player.clone()?))).collect()
}
