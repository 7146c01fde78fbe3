//! Gathered works into a library.

use super::{Gathered, GatheredWork, same_composer};
use crate::score::ScoreReading;
use backrow_core::edit::Edit;
use backrow_core::id::{WorkId, slug_of};
use backrow_core::library::Library;
use backrow_core::music::Work;
use std::sync::Arc;

/// The work of a library with the title and composer of this one.
pub fn known_work<'a>(library: &'a Library, work: &Work) -> Option<&'a Arc<Work>> {
    let same = |other: &&Arc<Work>| {
        slug_of(&other.title) == slug_of(&work.title) && same_composer(&other.composer, &work.composer)
    };
    library.works.values().find(same)
}

/// The edits that take in every work with a movement that is wanted, and the ids of these works in order: a new one under
/// an id of its own, one that is known brought up to date movement by movement.
pub fn take_all(
    library: &Library,
    gathered: &Gathered,
    readings: &[ScoreReading],
    wanted: &dyn Fn(usize) -> bool,
) -> (Vec<Edit>, Vec<WorkId>) {
    let readings: Vec<&ScoreReading> = readings.iter().collect();
    let mut taken: Vec<WorkId> = Vec::new();
    let mut edits = Vec::new();
    for gathered in &gathered.works {
        let pieces = gathered.pieces.iter().filter(|piece| wanted(piece.reading)).cloned();
        let gathered = GatheredWork { pieces: pieces.collect(), ..gathered.clone() };
        if gathered.pieces.is_empty() {
            continue;
        }
        let mut work = gathered.work(&readings);
        if let Some(old) = known_work(library, &work) {
            work = old.brought_up(&work);
            let gone = old.lines.iter().filter(|line| work.line(&line.id).is_none());
            edits.extend(gone.map(|line| Edit::RemoveLine { work: old.id.clone(), line: line.id.clone() }));
        } else {
            let used = |id: &WorkId| library.works.contains_key(id) || taken.contains(id);
            work.id = WorkId::fresh(&work.title, used);
        }
        taken.push(work.id.clone());
        edits.push(Edit::PutWork(work));
    }
    (edits, taken)
}
