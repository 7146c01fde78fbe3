//! Edits of programmes: what is played and in what order, what was put aside, who is engaged, what lies on what, what is hired; and
//! of works, with their lines.

use super::Dice;
use backrow_core::collection::Point;
use backrow_core::edit::Edit;
use backrow_core::id::{InstrumentId, LineId, WorkId};
use backrow_core::library::Library;
use backrow_core::week::{
    Engagement, Hire, Instead, LineRef, LineRule, PartRef, Placement, Programme, Standing,
};

/// An edit of this programme, or of a work; `None` where the dice point nowhere.
pub(super) fn any_edit(
    library: &Library,
    of: &Programme,
    line: Option<LineRef>,
    dice: &mut Dice,
) -> Option<Edit> {
    let programme = of.id.clone();
    let things: Vec<InstrumentId> = of.standing_anywhere().into_iter().cloned().collect();
    let thing = dice.of(&things).cloned();
    let work = dice.of(&of.works).cloned();
    let players: Vec<_> = library.players.keys().cloned().collect();
    let player = dice.of(&players).cloned();
    Some(match dice.roll(18) {
        0..=4 => {
            let mut next = of.clone();
            other_works(&mut next, library, dice)?;
            Edit::PutProgramme { week: library.week_of(&of.id)?.id.clone(), programme: next }
        }
        5 | 6 => Edit::TakeUp { programme, work: work? },
        7 => Edit::DropAside { programme, work: any_work(library, dice)? },
        8 => {
            let service = library.services_of(&of.id).first().map(|service| service.id.clone());
            let services = service.into_iter().filter(|_| dice.roll(2) == 0).collect();
            let standing = *dice.of(&Standing::ALL)?;
            let engagement = Engagement { standing, timpani: dice.roll(4) == 0, services };
            let engagement = Some(engagement).filter(|_| dice.roll(3) > 0);
            Edit::Engage { programme, player: player?, engagement }
        }
        9 => {
            let part = PartRef { work: work?, part: format!("Percussion {}", dice.roll(3)) };
            Edit::OwnPart { programme, part, player: player.filter(|_| dice.roll(3) > 0) }
        }
        10 => {
            let at = line?;
            let (_, notes) = library.line(&at)?;
            let keys: Vec<_> = notes.notes().filter_map(|note| notes.sounding_of(note)).collect();
            let instead = match dice.roll(4) {
                0 => None,
                1 => Some(Instead::LeftOut),
                2 => Some(Instead::Octaves(1)),
                _ => Some(Instead::On(thing?)),
            };
            Edit::Decide { programme, line: at, key: *dice.of(&keys)?, instead }
        }
        11 => Edit::TakeOffFor { programme, work: work?, instrument: thing? },
        12 => Edit::AsBase { programme, work: work?, instrument: thing? },
        13 => Edit::LieOn { programme, instrument: thing?, by: dice.of(&things).cloned() },
        14 => Edit::StandWith { programme, instrument: thing?, with: dice.of(&things).cloned() },
        15 => {
            let mut next = of.clone();
            match dice.roll(2) {
                0 => next.hires.push(Hire { instrument: thing, ..Hire::wanted("wind machine") }),
                _ => drop(next.hires.pop()?),
            }
            Edit::PutProgramme { week: library.week_of(&of.id)?.id.clone(), programme: next }
        }
        16 => across(library, of, line?, dice)?,
        _ => of_a_work(library, dice)?,
    })
}

fn any_work(library: &Library, dice: &mut Dice) -> Option<WorkId> {
    let works: Vec<_> = library.works.keys().cloned().collect();
    dice.of(&works).cloned()
}

/// A work leaves, comes, comes back or moves.
fn other_works(programme: &mut Programme, library: &Library, dice: &mut Dice) -> Option<()> {
    let played = programme.works.len();
    match dice.roll(3) {
        0 if played > 1 => drop(programme.works.remove(dice.roll(played))),
        1 if played > 1 => programme.works.swap(dice.roll(played), 0),
        _ => {
            let work = any_work(library, dice)?;
            if !programme.works.contains(&work) {
                programme.works.push(work);
            }
        }
    }
    Some(())
}

/// A rule between a line and one of another work, or the floor of a work that differs.
fn across(library: &Library, of: &Programme, line: LineRef, dice: &mut Dice) -> Option<Edit> {
    let programme = of.id.clone();
    let other = super::line(library, of, dice)?;
    if dice.roll(2) == 0 {
        return Some(Edit::PutRule { programme, rule: LineRule::Apart(line, other) });
    }
    let things: Vec<_> = library.instruments.keys().cloned().collect();
    let at = Point::new(dice.roll(60) as f64 / 10.0, dice.roll(60) as f64 / 10.0);
    let number = u32::try_from(dice.roll(40)).unwrap() + 1;
    let placement = Placement { at, turn_deg: 0.0, number, locked: dice.roll(2) == 0 };
    Some(Edit::StandFor { programme, work: other.work, instrument: dice.of(&things)?.clone(), placement })
}

/// A line more, a line less, another title; a work that nobody plays is removed.
fn of_a_work(library: &Library, dice: &mut Dice) -> Option<Edit> {
    let id = any_work(library, dice)?;
    let mut work = (**library.works.get(&id)?).clone();
    Some(match dice.roll(6) {
        0 if library.works.len() > 4 && library.programmes().all(|(_, one)| !one.plays(&id)) => {
            Edit::RemoveWork(id)
        }
        1 if work.lines.len() > 2 => {
            Edit::RemoveLine { line: work.lines[dice.roll(work.lines.len())].id.clone(), work: id }
        }
        2 | 3 => {
            let mut line = dice.of(&work.lines)?.clone();
            line.id = LineId::fresh(&format!("line-{}", dice.roll(200)), |id| work.line(id).is_some());
            Edit::PutLine { work: id, line }
        }
        _ => {
            work.title = format!("{} {}", work.title, dice.roll(10)).chars().take(60).collect();
            Edit::PutWork(work)
        }
    })
}
