//! Works joined, parted and put in another order; what was assigned goes with its lines.

use backrow_core::edit::Edit;
use backrow_core::id::{LineId, MovementId, WorkId};
use backrow_core::library::Library;
use backrow_core::music::Work;

/// All movements of another work after those of this one; the other work goes.
pub(super) fn join(library: &Library, into: &WorkId, other: &WorkId) -> Option<Edit> {
    let (one, two) = (library.works.get(into)?, library.works.get(other).filter(|_| into != other)?);
    let (work, renamed) = one.with_all_of(two);
    let words = format!("Join {} into {}", two.title, one.title);
    let mut edits = vec![Edit::PutWork(work)];
    for (week, programme) in library.programmes().filter(|(_, p)| p.plays(other)) {
        let programme = programme.with_work_joined(other, into, &renamed);
        edits.push(Edit::PutProgramme { week: week.id.clone(), programme });
    }
    edits.push(Edit::RemoveWork(other.clone()));
    Some(Edit::Together { words, edits })
}

/// A movement as a work of its own, next to the one that it stood in.
pub(super) fn part(library: &Library, work: &Work, movement: &MovementId) -> Option<(WorkId, Edit)> {
    let heading = work.movement(movement)?.heading();
    let name = format!("{} {heading}", work.title);
    let id = WorkId::fresh(&name, |id| library.works.contains_key(id));
    let (rest, own) = work.parted(movement, id.clone())?;
    let lines: Vec<LineId> = own.lines.iter().map(|line| line.id.clone()).collect();
    let words = format!("Make {} a work of its own", if heading.is_empty() { &work.title } else { &heading });
    let mut edits = vec![Edit::PutWork(own)];
    for (week, programme) in library.programmes().filter(|(_, p)| p.plays(&work.id)) {
        let programme = programme.with_work_parted(&work.id, &id, &lines);
        edits.push(Edit::PutProgramme { week: week.id.clone(), programme });
    }
    edits.push(Edit::PutWork(rest));
    Some((id, Edit::Together { words, edits }))
}

/// A movement at another place of its work.
pub(super) fn reorder(work: &Work, from: usize, to: usize) -> Option<Edit> {
    let mut next = work.clone();
    next.move_movement(from, to);
    let heading = work.movements.get(from)?.heading();
    let words = format!("Move {heading} of {}", work.title);
    (next != *work).then(|| Edit::Together { words, edits: vec![Edit::PutWork(next)] })
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::edit::apply;
    use backrow_core::week::{Assignment, LineRef};

    /// The sample with a second work, and a player on a line of each.
    fn library() -> (Library, WorkId, WorkId) {
        let library = crate::sample::small();
        let (week, programme) = library.programmes().next().expect("a programme");
        let one = programme.works.first().expect("a work").clone();
        let old = library.works.get(&one).expect("it is there");
        let other = WorkId::new("other").expect("an id");
        let second = Work { id: other.clone(), title: "Other".into(), ..(**old).clone() };
        let player = library.roster().first().map(|player| player.id.clone());
        let mut programme = programme.clone();
        programme.works = vec![one.clone(), other.clone()];
        for work in [&one, &other] {
            let line = old.lines.first().expect("a line").id.clone();
            let given = Assignment { player: player.clone(), ..Assignment::default() };
            programme.assign(LineRef { work: work.clone(), line }, given);
        }
        let edits = vec![Edit::PutWork(second), Edit::PutProgramme { week: week.id.clone(), programme }];
        let edit = Edit::Together { words: String::new(), edits };
        (apply(&library, &edit).expect("it applies"), one, other)
    }

    fn given(library: &Library) -> usize {
        let (_, programme) = library.programmes().next().expect("a programme");
        let there = |line: &LineRef| library.line(line).is_some();
        programme.lines().filter(|(line, given)| given.player.is_some() && there(line)).count()
    }

    #[test]
    fn joined_works_keep_what_was_assigned_and_part_again() {
        let (library, one, other) = library();
        let before = given(&library);
        let edit = join(&library, &one, &other).expect("two works");
        let joined = apply(&library, &edit).expect("it applies");
        assert!(!joined.works.contains_key(&other));
        assert_eq!(given(&joined), before, "no line lost its player");
        let work = joined.works.get(&one).expect("it stays").clone();
        let last = work.movements.last().expect("two movements").id.clone();
        let (id, edit) = part(&joined, &work, &last).expect("it can be parted");
        let parted = apply(&joined, &edit).expect("it applies");
        assert_eq!(given(&parted), before);
        let (_, programme) = parted.programmes().next().expect("a programme");
        assert_eq!(programme.works, [one, id]);
    }

    #[test]
    fn a_movement_that_stays_where_it_is_is_no_step() {
        let (library, one, _) = library();
        let work = library.works.get(&one).expect("it is there");
        assert_eq!(reorder(work, 0, 0), None);
        assert_eq!(reorder(work, 0, 9), None);
    }
}
