//! What somebody corrected once is offered the next time that the same name is read.

use backrow_core::id::{KindId, slug_of};
use backrow_core::library::Library;
use backrow_core::music::Line;

/// The kind that a line of this library with the same printed name was corrected to, where that is another than what the
/// line was taken for; and the work in which it was.
pub(crate) fn kind_of(library: &Library, line: &Line) -> Option<(KindId, String)> {
    if line.printed.trim().is_empty() || line.is_chosen() {
        return None;
    }
    let name = slug_of(&line.printed);
    let same = |other: &&Line| {
        other.is_chosen() && other.is_pitched() == line.is_pitched() && slug_of(&other.printed) == name
    };
    library.works.values().find_map(|work| {
        let kind = work.lines.iter().find(same)?.kind.clone()?;
        (line.kind.as_ref() != Some(&kind)).then(|| (kind, work.title.clone()))
    })
}

/// The line as it was corrected then, with the octave that is usual for the kind; `None` where nobody has corrected its name.
pub(in crate::places::works) fn corrected(library: &Library, line: &Line) -> Option<Line> {
    let (kind, _) = kind_of(library, line)?;
    let (name, octave) = (library.kind_name(&kind), library.kinds.get(&kind).and_then(|kind| kind.octave));
    let mut now = line.with_kind(Some(kind), Some(&name));
    now.octave = octave.unwrap_or(now.octave);
    Some(now)
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::edit::{Edit, apply};

    #[test]
    fn a_correction_is_offered_for_the_same_name() {
        let library = crate::sample::small();
        let work = library.works.values().next().expect("a work");
        let line = work.lines.iter().find(|line| !line.is_pitched()).expect("a line without pitch");
        let other = library.kinds.keys().find(|id| Some(*id) != line.kind.as_ref()).expect("another kind");
        assert_eq!(kind_of(&library, line), None, "nobody has corrected anything");
        let corrected = line.with_kind(Some(other.clone()), Some("other"));
        let edit = Edit::PutLine { work: work.id.clone(), line: corrected.clone() };
        let library = apply(&library, &edit).expect("it is put");
        let read = Line { printed: line.printed.to_uppercase(), ..line.clone() };
        assert_eq!(kind_of(&library, &read), Some((other.clone(), work.title.clone())));
        assert_eq!(kind_of(&library, &corrected), None);
    }
}
