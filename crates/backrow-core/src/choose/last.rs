//! What lines had the last time: the same line, or a line of its kind in a work like it.

use crate::id::{BeaterId, InstrumentId, KindId};
use crate::library::Library;
use crate::week::{Assignment, LineRef, Programme};
use std::collections::BTreeMap;

/// What earlier programmes gave.
pub(super) struct Last {
    by_line: BTreeMap<LineRef, Assignment>,
    /// By composer and kind.
    alike: BTreeMap<(String, KindId), Assignment>,
}

/// How a thing was used before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Before {
    /// By this very line.
    Asker,
    /// By a line of its kind in another work of the composer.
    Alike,
    /// Not that anybody knows.
    Never,
}

impl Last {
    /// From every programme whose first service lies before this one's; the latest wins.
    pub(super) fn of(library: &Library, programme: &Programme) -> Self {
        let starts = library.first_starts();
        let first = |programme: &Programme| starts.get(&programme.id).copied();
        let mine = first(programme);
        let mut earlier: Vec<_> = library
            .programmes()
            .map(|(_, other)| other)
            .filter(|other| other.id != programme.id)
            .filter_map(|other| first(other).map(|start| (start, other)))
            .filter(|(start, _)| mine.is_none_or(|mine| *start < mine))
            .collect();
        earlier.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.id.cmp(&b.1.id)));
        let mut last = Self { by_line: BTreeMap::new(), alike: BTreeMap::new() };
        for (_, other) in earlier {
            for work in other.works.iter().filter_map(|id| library.works.get(id)) {
                for line in &work.lines {
                    let at = LineRef { work: work.id.clone(), line: line.id.clone() };
                    let given = other.assignment(&at);
                    if given.instruments.is_empty() && given.beaters.is_empty() {
                        continue;
                    }
                    if let (Some(kind), false) = (&line.kind, work.composer.is_empty()) {
                        last.alike.insert((work.composer.clone(), kind.clone()), given.clone());
                    }
                    last.by_line.insert(at, given);
                }
            }
        }
        last
    }

    /// How a line's instrument stood to it before.
    pub(super) fn instrument(&self, library: &Library, at: &LineRef, id: &InstrumentId) -> Before {
        self.before(library, at, |given| given.instruments.contains(id))
    }

    /// How a line's beater stood to it before.
    pub(super) fn beater(&self, library: &Library, at: &LineRef, id: &BeaterId) -> Before {
        self.before(library, at, |given| given.beaters.contains(id))
    }

    fn before(&self, library: &Library, at: &LineRef, had: impl Fn(&Assignment) -> bool) -> Before {
        if self.by_line.get(at).is_some_and(&had) {
            return Before::Asker;
        }
        let alike = library
            .line(at)
            .and_then(|(work, line)| self.alike.get(&(work.composer.clone(), line.kind.clone()?)));
        if alike.is_some_and(had) { Before::Alike } else { Before::Never }
    }
}
