//! The same score read again: what differs from the work that the library has, and bringing that up to date so that
//! everything that was given stays.

use backrow_core::id::{CallId, WorkId, slug_of};
use backrow_core::library::Library;
use backrow_core::music::{Call, Work};

/// The work that the library has already.
#[derive(Clone, Debug)]
pub(super) struct Against {
    pub(super) id: WorkId,
    pub(super) title: String,
    /// Brought up to date when kept; else the reading is taken as another work.
    pub(super) update: bool,
    /// What differs, a line each.
    pub(super) differs: Vec<String>,
}

/// A work of the library with the title and composer of this one.
pub(super) fn same_work(library: &Library, work: &Work) -> Option<Against> {
    let same = |other: &Work| {
        slug_of(&other.title) == slug_of(&work.title)
            && (other.composer.is_empty()
                || work.composer.is_empty()
                || slug_of(&other.composer) == slug_of(&work.composer))
    };
    let known = library.works.values().find(|other| same(other))?;
    let differs = differences(library, known, work);
    Some(Against { id: known.id.clone(), title: known.title.clone(), update: true, differs })
}

/// The calls of the new reading with the call of the old work that each one was.
fn pairs<'a>(old: &'a Work, new: &'a Work) -> Vec<(&'a Call, Option<&'a Call>)> {
    let mut free: Vec<&Call> = old.calls.iter().collect();
    let mut take = |fits: &dyn Fn(&Call) -> bool| {
        let at = free.iter().position(|call| fits(call))?;
        Some(free.remove(at))
    };
    let mut out: Vec<(&Call, Option<&Call>)> = Vec::new();
    for call in &new.calls {
        let printed = |other: &Call| other.printed == call.printed && other.part == call.part;
        out.push((call, take(&printed)));
    }
    for (call, found) in &mut out {
        if found.is_none() {
            *found =
                take(&|other| other.kind.is_some() && other.kind == call.kind && other.part == call.part);
        }
    }
    out
}

fn differences(library: &Library, old: &Work, new: &Work) -> Vec<String> {
    let mut lines = Vec::new();
    let pairs = pairs(old, new);
    for (call, known) in &pairs {
        let name = library.call_name(call);
        match known {
            None => lines.push(format!("{name}, mm. {}: new", call.measures())),
            Some(known) if known.passages != call.passages => {
                let was = (known.measures(), known.passages.len(), known.notes().count());
                let is = (call.measures(), call.passages.len(), call.notes().count());
                lines.push(if was == is {
                    format!("{name}, mm. {}: notes, dynamics or seconds differ", is.0)
                } else {
                    format!(
                        "{name}: mm. {} in {} passages with {} notes; was mm. {} in {} with {}",
                        is.0, is.1, is.2, was.0, was.1, was.2
                    )
                });
            }
            Some(_) => {}
        }
    }
    for call in &old.calls {
        if !pairs.iter().any(|(_, known)| known.is_some_and(|known| known.id == call.id)) {
            lines.push(format!("{}, mm. {}: no longer there", library.call_name(call), call.measures()));
        }
    }
    lines
}

/// The library's work with the music of the new reading. A call that was there keeps its id, and with it all that it was
/// given; the kind, octave and beaters that the section has settled stay too.
pub(super) fn brought_up(library: &Library, new: &Work, against: &Against) -> Work {
    let Some(old) = library.works.get(&against.id) else { return new.clone() };
    let pairs = pairs(old, new);
    let mut work = Work { id: old.id.clone(), together: old.together.clone(), ..new.clone() };
    let mut used: Vec<CallId> = pairs.iter().filter_map(|(_, known)| known.map(|k| k.id.clone())).collect();
    let movement_of = |call: &Call| {
        let place = new.movements.iter().position(|m| m.id == call.movement);
        place.and_then(|at| old.movements.get(at)).map_or_else(|| call.movement.clone(), |m| m.id.clone())
    };
    work.calls = pairs
        .iter()
        .map(|(call, known)| {
            if let Some(known) = known {
                return Call {
                    movement: movement_of(call),
                    passages: call.passages.clone(),
                    evidence: call.evidence.clone(),
                    ..(*known).clone()
                };
            }
            let id = CallId::fresh(call.id.as_str(), |id| used.contains(id) || old.call(id).is_some());
            used.push(id.clone());
            Call { id, movement: movement_of(call), ..(*call).clone() }
        })
        .collect();
    for (movement, known) in work.movements.iter_mut().zip(&old.movements) {
        movement.id.clone_from(&known.id);
    }
    work.together
        .retain(|(a, b)| work.calls.iter().any(|c| c.id == *a) && work.calls.iter().any(|c| c.id == *b));
    work
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    fn library() -> (Library, Work) {
        let library = sample::small();
        let work = library.works.values().next().map(|work| (**work).clone());
        (library, work.expect("the sample has a work"))
    }

    #[test]
    fn the_same_reading_differs_in_nothing_and_changes_nothing() {
        let (library, work) = library();
        let against = same_work(&library, &work).expect("it is there");
        assert!(against.differs.is_empty(), "{:?}", against.differs);
        assert_eq!(brought_up(&library, &work, &against), work);
    }

    #[test]
    fn a_changed_reading_keeps_ids_and_what_was_settled() {
        let (library, work) = library();
        let mut read = work.clone();
        read.calls.rotate_left(1);
        for (at, call) in read.calls.iter_mut().enumerate() {
            call.id = CallId::fresh(&format!("read {at}"), |_| false);
            call.kind = None;
        }
        if let Some(passage) = read.calls.first_mut().and_then(|call| call.passages.first_mut()) {
            passage.to_s += 1.0;
        }
        let against = same_work(&library, &read).expect("it is there");
        assert_eq!(against.differs.len(), 1, "{:?}", against.differs);
        let up = brought_up(&library, &read, &against);
        for call in &work.calls {
            let again = up.call(&call.id).expect("its id stays");
            assert_eq!(again.kind, call.kind);
        }
        let gone = Work { calls: read.calls.iter().skip(1).cloned().collect(), ..read };
        let against = same_work(&library, &gone).expect("it is there");
        assert!(against.differs.iter().any(|line| line.contains("no longer there")), "{:?}", against.differs);
    }
}
