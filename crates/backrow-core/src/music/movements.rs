//! Works made of others: a movement read again, added, taken out or moved; two works as one.

use super::{Line, Movement, Work};
use crate::id::{LineId, MovementId, WorkId, slug_of};

impl Movement {
    /// The figure of its number: 3 for "III", "3." and "3"; `None` for anything else.
    pub fn figure(&self) -> Option<u32> {
        let text = self.number.trim().trim_end_matches(['.', ')', ':']).trim();
        text.parse().ok().or_else(|| roman(text))
    }

    /// Whether two movements are the same one of a work: by their numbers, else by their titles; two without either are.
    pub fn is_same(&self, other: &Self) -> bool {
        let said = |text: &str| Some(slug_of(text)).filter(|_| !text.trim().is_empty());
        let titles = (said(&self.title), said(&other.title));
        match (self.figure(), other.figure(), titles) {
            (Some(a), Some(b), _) => a == b,
            (_, _, (Some(a), Some(b))) => a == b,
            _ => said(&self.number) == said(&other.number) && self.title.trim() == other.title.trim(),
        }
    }
}

/// Roman figures below 90, in either case.
fn roman(text: &str) -> Option<u32> {
    let value = |c: char| match c.to_ascii_lowercase() {
        'i' => Some(1),
        'v' => Some(5),
        'x' => Some(10),
        'l' => Some(50),
        _ => None,
    };
    let values: Vec<u32> = text.chars().map(value).collect::<Option<_>>()?;
    let mut sum = 0;
    for (at, value) in values.iter().enumerate() {
        if values.get(at + 1).is_some_and(|next| next > value) {
            sum -= i64::from(*value);
        } else {
            sum += i64::from(*value);
        }
    }
    u32::try_from(sum).ok().filter(|sum| *sum > 0)
}

/// Takes other words in the place of some, where they say something else and not only in another spelling.
fn take_words(here: &mut String, new: &str) {
    if !new.trim().is_empty() && slug_of(here) != slug_of(new) {
        new.trim().clone_into(here);
    }
}

/// Two remarks as one.
fn both(one: &str, other: &str) -> String {
    [one.trim(), other.trim()].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" ")
}

/// What became of the lines of a work that was put into another: their ids there and here.
pub type Renamed = Vec<(LineId, LineId)>;

impl Work {
    /// The movement that another work's movement is, if it is here.
    pub fn same_movement(&self, new: &Movement) -> Option<&Movement> {
        self.movements.iter().find(|movement| movement.is_same(new))
    }

    /// The lines of a new reading with the line of this work that each one was, movement by movement: as printed in the
    /// same part, else of the same kind in the same part.
    pub fn pairs<'a>(&'a self, new: &'a Self) -> Vec<(&'a Line, Option<&'a Line>)> {
        let home =
            |line: &Line| new.movement(&line.movement).and_then(|movement| self.same_movement(movement));
        let mut free: Vec<&Line> = self.lines.iter().collect();
        let mut take = |fits: &dyn Fn(&Line) -> bool| {
            let at = free.iter().position(|line| fits(line))?;
            Some(free.remove(at))
        };
        let mut out: Vec<(&Line, Option<&Line>)> = Vec::with_capacity(new.lines.len());
        for line in &new.lines {
            let known = home(line).and_then(|movement| {
                take(&|other| {
                    other.movement == movement.id && other.printed == line.printed && other.part == line.part
                })
            });
            out.push((line, known));
        }
        for (line, found) in out.iter_mut().filter(|(_, found)| found.is_none()) {
            *found = home(line).and_then(|movement| {
                take(&|other| {
                    let same_kind = other.kind.is_some() && other.kind == line.kind;
                    other.movement == movement.id && same_kind && other.part == line.part
                })
            });
        }
        out
    }

    /// The lines of this work that stand in a movement that was read again, and are not there any more.
    pub fn lost<'a>(&'a self, new: &'a Self) -> Vec<&'a Line> {
        let pairs = self.pairs(new);
        let again = |line: &Line| {
            let here = self.movement(&line.movement);
            here.is_some_and(|here| new.movements.iter().any(|movement| movement.is_same(here)))
        };
        let found =
            |line: &Line| pairs.iter().any(|(_, known)| known.is_some_and(|known| known.id == line.id));
        self.lines.iter().filter(|line| again(line) && !found(line)).collect()
    }

    /// This work with the music of a new reading. Movements that it does not hold stay as they are; new ones find their
    /// place by their numbers. A line that was there keeps its id, and with it all that it was given; the kind, octave and
    /// beaters that the section has settled stay too.
    #[must_use]
    pub fn brought_up(&self, new: &Self) -> Self {
        let pairs = self.pairs(new);
        let mut work = self.clone();
        let mut homes: Vec<(MovementId, MovementId)> = Vec::new();
        for movement in &new.movements {
            let id = match self.same_movement(movement) {
                Some(known) => known.id.clone(),
                None => work.insert(movement),
            };
            if let Some(here) = work.movements.iter_mut().find(|here| here.id == id) {
                here.timeline.clone_from(&movement.timeline);
                if here.number.trim().is_empty() {
                    here.number.clone_from(&movement.number);
                }
                take_words(&mut here.title, &movement.title);
            }
            homes.push((movement.id.clone(), id));
        }
        let home = |id: &MovementId| {
            homes.iter().find(|(there, _)| there == id).map_or_else(|| id.clone(), |(_, here)| here.clone())
        };
        let again = |line: &Line| homes.iter().any(|(_, here)| *here == line.movement);
        work.lines.retain(|line| !again(line));
        let mut lines: Vec<Line> = Vec::new();
        for (line, known) in &pairs {
            let movement = home(&line.movement);
            let next = if let Some(known) = known {
                let (passages, evidence) = (line.passages.clone(), line.evidence.clone());
                Line { movement, passages, evidence, ..(*known).clone() }
            } else {
                let id = LineId::fresh(line.id.as_str(), |id| {
                    self.line(id).is_some() || lines.iter().any(|other| other.id == *id)
                });
                Line { id, movement, ..(*line).clone() }
            };
            lines.push(next);
        }
        work.lines.extend(lines);
        work.in_order();
        work.together.retain(|(a, b)| {
            work.lines.iter().any(|line| line.id == *a) && work.lines.iter().any(|line| line.id == *b)
        });
        take_words(&mut work.title, &new.title);
        take_words(&mut work.composer, &new.composer);
        if !work.remark.contains(new.remark.trim()) {
            work.remark = both(&work.remark, &new.remark);
        }
        work
    }

    /// Adds a movement of another work after the last one with a lower number; its id here.
    fn insert(&mut self, movement: &Movement) -> MovementId {
        let id = MovementId::fresh(movement.id.as_str(), |id| self.movement(id).is_some());
        let figure = movement.figure().unwrap_or(u32::MAX);
        let before = self.movements.iter().rposition(|here| here.figure().is_some_and(|here| here <= figure));
        let at = match before {
            Some(before) => before + 1,
            None if figure == u32::MAX => self.movements.len(),
            None => {
                self.movements.iter().position(|here| here.figure().is_some()).unwrap_or(self.movements.len())
            }
        };
        self.movements.insert(at, Movement { id: id.clone(), ..movement.clone() });
        id
    }

    /// Lines in the order of their movements; within one they stay as they are.
    pub(super) fn in_order(&mut self) {
        let place =
            |line: &Line| self.movements.iter().position(|m| m.id == line.movement).unwrap_or(usize::MAX);
        let mut lines = self.lines.clone();
        lines.sort_by_key(place);
        self.lines = lines;
    }

    /// This work with all movements of another after its own, and what the other's lines are called here.
    #[must_use]
    pub fn with_all_of(&self, other: &Self) -> (Self, Renamed) {
        let mut work = self.clone();
        let (mut homes, mut renamed): (Vec<(MovementId, MovementId)>, Renamed) = (Vec::new(), Vec::new());
        for movement in &other.movements {
            let id = MovementId::fresh(movement.id.as_str(), |id| work.movement(id).is_some());
            homes.push((movement.id.clone(), id.clone()));
            // A work in one movement has no number of its own for it: its title is the movement's.
            let named = !movement.heading().is_empty();
            let title = if named { movement.title.clone() } else { other.title.clone() };
            work.movements.push(Movement { id, title, ..movement.clone() });
        }
        for line in &other.lines {
            let id = LineId::fresh(line.id.as_str(), |id| work.line(id).is_some());
            let home = homes.iter().find(|(there, _)| *there == line.movement);
            let movement = home.map_or_else(|| line.movement.clone(), |(_, here)| here.clone());
            renamed.push((line.id.clone(), id.clone()));
            work.lines.push(Line { id, movement, ..line.clone() });
        }
        let here = |id: &LineId| renamed.iter().find(|(there, _)| there == id).map(|(_, here)| here.clone());
        work.together.extend(other.together.iter().filter_map(|(a, b)| Some((here(a)?, here(b)?))));
        if !other.remark.trim().is_empty() && !work.remark.contains(other.remark.trim()) {
            work.remark = both(&work.remark, &other.remark);
        }
        work.memory.take_over(&other.memory, &renamed);
        (work, renamed)
    }

    /// What is left without a movement, and that movement as a work of its own under that id; `None` for a movement that
    /// is not there or the only one. Lines keep their ids in both.
    pub fn parted(&self, movement: &MovementId, id: WorkId) -> Option<(Self, Self)> {
        let own = self.movement(movement).filter(|_| self.movements.len() > 1)?;
        let title = [&own.title, &own.number].into_iter().find(|text| !text.is_empty());
        let title = title.map_or_else(|| self.title.clone(), |text| format!("{}: {text}", self.title));
        let mut rest = self.clone();
        let mut part = Self { id, title, movements: vec![own.clone()], ..self.clone() };
        rest.movements.retain(|other| other.id != *movement);
        rest.lines.retain(|line| line.movement != *movement);
        part.lines.retain(|line| line.movement == *movement);
        for work in [&mut rest, &mut part] {
            let lines: Vec<LineId> = work.lines.iter().map(|line| line.id.clone()).collect();
            work.together.retain(|(a, b)| lines.contains(a) && lines.contains(b));
        }
        part.memory = self.memory.only_about(|line| part.line(line).is_some());
        Some((rest, part))
    }

    /// Moves the movement at a place to another place; its lines go with it.
    pub fn move_movement(&mut self, from: usize, to: usize) {
        if from < self.movements.len() && to < self.movements.len() && from != to {
            let movement = self.movements.remove(from);
            self.movements.insert(to, movement);
            self.in_order();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::music::Timeline;
    use crate::pitch::Octave;
    use crate::sample;
    use rstest::rstest;

    fn movement(id: &str, number: &str, title: &str) -> Movement {
        let id = MovementId::new(id).unwrap();
        Movement { id, number: number.into(), title: title.into(), timeline: Timeline::default() }
    }

    fn line(id: &str, movement: &str, kind: &str) -> Line {
        let line = sample::line(id, Some(kind), Octave::AS_WRITTEN, "C4");
        Line { movement: MovementId::new(movement).unwrap(), printed: kind.into(), ..line }
    }

    fn work(movements: Vec<Movement>, lines: Vec<Line>) -> Work {
        Work { movements, ..sample::work("w", lines) }
    }

    fn four() -> Work {
        work(
            vec![movement("1", "I", "Allegro"), movement("2", "II", "Lento"), movement("4", "IV", "Finale")],
            vec![
                line("i-timp", "1", "timpani"),
                line("ii-timp", "2", "timpani"),
                line("iv-timp", "4", "timpani"),
            ],
        )
    }

    fn ids(work: &Work) -> (Vec<&str>, Vec<&str>) {
        let movements = work.movements.iter().map(|movement| movement.number.as_str()).collect();
        (movements, work.lines.iter().map(|line| line.id.as_str()).collect())
    }

    #[rstest]
    #[case(("III", ""), ("3.", "Trio"), true)]
    #[case(("II", ""), ("3", ""), false)]
    #[case(("", "Lento"), ("II", "lento"), true)]
    #[case(("", ""), ("", ""), true)]
    #[case(("", ""), ("2", ""), false)]
    #[case(("", "Lento"), ("", "Allegro"), false)]
    fn the_same_movement(#[case] one: (&str, &str), #[case] other: (&str, &str), #[case] same: bool) {
        let (one, other) = (movement("a", one.0, one.1), movement("b", other.0, other.1));
        assert_eq!((one.is_same(&other), other.is_same(&one)), (same, same));
    }

    #[test]
    fn a_movement_read_again_leaves_the_others_alone() {
        let old = four();
        let mut second = line("read", "x", "timpani");
        second.passages.clear();
        let read = work(vec![movement("x", "2", "Lento assai")], vec![second, line("new", "x", "triangle")]);
        assert!(old.lost(&read).is_empty());
        let up = old.brought_up(&read);
        assert_eq!(ids(&up), (vec!["I", "II", "IV"], vec!["i-timp", "ii-timp", "new", "iv-timp"]));
        assert!(up.line(&LineId::new("ii-timp").unwrap()).unwrap().passages.is_empty(), "its music is new");
    }

    #[test]
    fn what_is_lost_is_named_for_the_movement_read_alone() {
        let read = work(vec![movement("x", "2", "")], vec![line("read", "x", "triangle")]);
        let old = four();
        let lost: Vec<&str> = old.lost(&read).into_iter().map(|line| line.id.as_str()).collect();
        assert_eq!(lost, ["ii-timp"]);
    }

    #[test]
    fn a_movement_that_was_not_there_finds_its_place() {
        let read = work(vec![movement("1", "3", "Scherzo")], vec![line("i-timp", "1", "timpani")]);
        let up = four().brought_up(&read);
        assert_eq!(ids(&up), (vec!["I", "II", "3", "IV"], vec!["i-timp", "ii-timp", "i-timp-2", "iv-timp"]));
        let ids: Vec<&str> = up.movements.iter().map(|movement| movement.id.as_str()).collect();
        assert_eq!(ids, ["1", "2", "1-2", "4"]);
    }

    #[test]
    fn two_works_as_one_and_parted_again() {
        let one = Work {
            title: "Tide".into(),
            ..work(vec![movement("1", "", "")], vec![line("timp", "1", "timpani")])
        };
        let other = Work { title: "Ferry".into(), ..one.clone() };
        let (both, renamed) = one.with_all_of(&other);
        assert_eq!(both.movements.iter().map(|m| m.title.as_str()).collect::<Vec<_>>(), ["", "Ferry"]);
        assert_eq!(renamed, [(LineId::new("timp").unwrap(), LineId::new("timp-2").unwrap())]);
        let second = both.movements.last().unwrap().id.clone();
        let (rest, part) = both.parted(&second, WorkId::new("f").unwrap()).unwrap();
        assert_eq!((rest.lines, rest.movements), (one.lines.clone(), one.movements.clone()));
        assert_eq!((part.title.as_str(), part.lines.len()), ("Tide: Ferry", 1));
        assert_eq!(one.parted(&one.movements.first().unwrap().id, WorkId::new("f").unwrap()), None);
    }

    #[test]
    fn lines_go_with_their_movement() {
        let mut work = four();
        work.move_movement(2, 0);
        assert_eq!(ids(&work), (vec!["IV", "I", "II"], vec!["iv-timp", "i-timp", "ii-timp"]));
    }
}
