//! The same score read again: what differs from the work that the library has, movement by movement, what would be lost,
//! and bringing it up to date so that everything that was given stays.

use backrow_core::id::WorkId;
use backrow_core::library::Library;
use backrow_core::music::{Line, Movement, Work};
use backrow_core::week::LineRef;
use backrow_files::score::known_work;

/// The work that the library has already.
#[derive(Clone, Debug)]
pub(super) struct Against {
    pub(super) id: WorkId,
    pub(super) title: String,
    /// Brought up to date when kept; else the reading is taken as another work.
    pub(super) update: bool,
    /// What becomes of each movement, in a sentence.
    pub(super) movements: String,
    /// What differs, a line each.
    pub(super) differs: Vec<String>,
    /// What is in the library and not in the reading, with what it was given; a line each.
    pub(super) lost: Vec<String>,
}

/// A work of the library with the title and composer of this one.
pub(super) fn same_work(library: &Library, work: &Work) -> Option<Against> {
    let known = known_work(library, work)?;
    Some(Against {
        id: known.id.clone(),
        title: known.title.clone(),
        update: true,
        movements: movements(known, work),
        differs: differences(library, known, work),
        lost: known.lost(work).into_iter().map(|line| lost(library, known, line)).collect(),
    })
}

fn names<'a>(movements: impl Iterator<Item = &'a Movement>) -> Option<String> {
    let names: Vec<String> = movements
        .map(|movement| {
            let heading = movement.heading();
            if heading.is_empty() { "the only movement".to_owned() } else { heading }
        })
        .collect();
    match names.as_slice() {
        [] => None,
        [one] => Some(one.clone()),
        [first @ .., last] => Some(format!("{} and {last}", backrow_core::id::listed(first))),
    }
}

/// "Read again: II Lento. Not there yet: III Scherzo. Stays as it is: I Allegro."
fn movements(old: &Work, new: &Work) -> String {
    let again = |movement: &&Movement| old.same_movement(movement).is_some();
    let stays = |movement: &&Movement| !new.movements.iter().any(|read| read.is_same(movement));
    let rows = [
        ("Read again", names(new.movements.iter().filter(again))),
        ("Not there yet", names(new.movements.iter().filter(|movement| !again(movement)))),
        ("Stays as it is", names(old.movements.iter().filter(stays))),
    ];
    if old.movements.len() == 1 && new.movements.len() == 1 && rows.iter().all(|(_, names)| names.is_none()) {
        return String::new();
    }
    let rows = rows.into_iter().filter_map(|(word, names)| Some(format!("{word}: {}.", names?)));
    rows.collect::<Vec<_>>().join(" ")
}

/// A line with what it has been given in programmes, which goes with it.
fn lost(library: &Library, work: &Work, line: &Line) -> String {
    let at = LineRef { work: work.id.clone(), line: line.id.clone() };
    let given: Vec<String> = library
        .programmes()
        .filter_map(|(_, programme)| {
            let assignment = programme.given(&at).filter(|assignment| !assignment.is_empty())?;
            let player = assignment.player.as_ref().map(|id| library.player_name(id));
            let what = player.unwrap_or_else(|| "instruments or beaters".to_owned());
            Some(format!("{what} in {}", programme.title))
        })
        .collect();
    let given = if given.is_empty() {
        String::new()
    } else {
        format!("; it was assigned: {}", backrow_core::id::listed(&given))
    };
    let movement = work.movement(&line.movement).map(Movement::heading).filter(|heading| !heading.is_empty());
    let movement = movement.map_or_else(String::new, |heading| format!(" of {heading}"));
    format!("{}, {}{movement}{given}", library.line_name(line), line.where_played())
}

fn differences(library: &Library, old: &Work, new: &Work) -> Vec<String> {
    let mut lines = Vec::new();
    for (line, known) in &old.pairs(new) {
        let name = library.line_name(line);
        let there =
            new.movement(&line.movement).is_some_and(|movement| old.same_movement(movement).is_some());
        match known {
            None if there => lines.push(format!("{name}, {}: new", line.where_played())),
            Some(known) if known.passages != line.passages => {
                let was = (known.where_played(), known.passages.len(), known.notes().count());
                let is = (line.where_played(), line.passages.len(), line.notes().count());
                lines.push(if was == is {
                    format!("{name}, {}: notes, dynamics or seconds differ", is.0)
                } else {
                    format!(
                        "{name}: {} in {} passages with {} notes; was {} in {} with {}",
                        is.0, is.1, is.2, was.0, was.1, was.2
                    )
                });
            }
            _ => {}
        }
    }
    lines
}

/// The library's work with the music of the new reading.
pub(super) fn brought_up(library: &Library, new: &Work, against: &Against) -> Work {
    library.works.get(&against.id).map_or_else(|| new.clone(), |old| old.brought_up(new))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;
    use backrow_core::id::{LineId, MovementId};

    fn library() -> (Library, Work) {
        let library = sample::small();
        let work = library.works.values().next().map(|work| (**work).clone());
        (library, work.expect("the sample has a work"))
    }

    #[test]
    fn the_same_reading_differs_in_nothing_and_changes_nothing() {
        let (library, work) = library();
        let against = same_work(&library, &work).expect("it is there");
        assert!(against.differs.is_empty() && against.lost.is_empty(), "{:?}", against.differs);
        assert_eq!(brought_up(&library, &work, &against), work);
    }

    #[test]
    fn a_changed_reading_keeps_ids_and_what_was_settled() {
        let (library, work) = library();
        let mut read = work.clone();
        read.lines.rotate_left(1);
        for (at, line) in read.lines.iter_mut().enumerate() {
            line.id = LineId::fresh(&format!("read {at}"), |_| false);
            line.kind = None;
        }
        if let Some(passage) = read.lines.first_mut().and_then(|line| line.passages.first_mut()) {
            passage.to_s += 1.0;
        }
        let against = same_work(&library, &read).expect("it is there");
        assert_eq!(against.differs.len(), 1, "{:?}", against.differs);
        let up = brought_up(&library, &read, &against);
        for line in &work.lines {
            let again = up.line(&line.id).expect("its id stays");
            assert_eq!(again.kind, line.kind);
        }
        let gone = Work { lines: read.lines.iter().skip(1).cloned().collect(), ..read };
        let against = same_work(&library, &gone).expect("it is there");
        assert_eq!(against.lost.len(), 1, "{:?}", against.lost);
    }

    #[test]
    fn another_movement_takes_none_away() {
        let (library, work) = library();
        let mut read = work.clone();
        let next = MovementId::fresh("next", |_| false);
        for movement in &mut read.movements {
            (movement.id, movement.number, movement.title) =
                (next.clone(), "IX".to_owned(), "Later".to_owned());
        }
        read.movements.truncate(1);
        for line in &mut read.lines {
            line.movement = next.clone();
        }
        let against = same_work(&library, &read).expect("it is there");
        assert!(against.lost.is_empty(), "{:?}", against.lost);
        assert!(against.movements.contains("Not there yet: IX Later."), "{}", against.movements);
        let up = brought_up(&library, &read, &against);
        assert_eq!(up.movements.len(), work.movements.len() + 1);
        assert_eq!(up.lines.len(), work.lines.len() + read.lines.len());
    }
}
