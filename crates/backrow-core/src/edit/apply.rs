//! Making the next library: one list of all changes, and a file for each of the five things that they change.

mod assignments;
mod collection;
mod floor;
mod music;
mod week;

use super::Edit;
use crate::id::{ProgrammeId, WeekId, WorkId};
use crate::library::{Library, Shared};
use crate::week::{Programme, Week};
use std::fmt;
use std::sync::Arc;

/// Why a change cannot be made, and what would help.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EditError {
    /// An id that the library does not have.
    Unknown {
        /// "work", "player", ...
        what: &'static str,
        /// The id.
        id: String,
    },
    /// Something else still needs it.
    InUse {
        /// What was to go.
        what: String,
        /// What needs it.
        by: String,
    },
    /// An id that stands in another week already.
    Elsewhere {
        /// "programme" or "service".
        what: &'static str,
        /// The id.
        id: String,
        /// The week's title.
        week: String,
    },
    /// A figure out of its range.
    OutOfRange {
        /// Which, and what was expected.
        what: String,
    },
}

impl fmt::Display for EditError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown { what, id } => {
                write!(f, "the library has no {what} \"{id}\"; it may have been removed")
            }
            Self::InUse { what, by } => write!(f, "{what} is needed by {by}; change that first"),
            Self::Elsewhere { what, id, week } => {
                write!(f, "the {what} \"{id}\" is in {week} already; remove it there, or choose another id")
            }
            Self::OutOfRange { what } => f.write_str(what),
        }
    }
}

impl std::error::Error for EditError {}

/// The library after the change; the given one stays as it is.
pub fn apply(library: &Library, edit: &Edit) -> Result<Library, EditError> {
    let mut next = library.clone();
    change(&mut next, edit)?;
    Ok(next)
}

#[expect(clippy::unnecessary_wraps, reason = "is one of the changes that can fail")]
fn put<K: Ord + Clone, V: PartialEq + Clone>(
    map: &mut Shared<K, V>,
    id: &K,
    value: &V,
) -> Result<(), EditError> {
    if map.get(id).is_none_or(|old| **old != *value) {
        Arc::make_mut(map).insert(id.clone(), Arc::new(value.clone()));
    }
    Ok(())
}

fn take<K: Ord + Clone + fmt::Display, V>(
    map: &mut Shared<K, V>,
    what: &'static str,
    id: &K,
) -> Result<(), EditError> {
    known(map, what, id)?;
    Arc::make_mut(map).remove(id);
    Ok(())
}

fn known<K: Ord + fmt::Display, V>(map: &Shared<K, V>, what: &'static str, id: &K) -> Result<(), EditError> {
    if map.contains_key(id) { Ok(()) } else { Err(EditError::Unknown { what, id: id.to_string() }) }
}

fn change(next: &mut Library, edit: &Edit) -> Result<(), EditError> {
    match edit {
        Edit::SetOrchestra(orchestra) => collection::set_orchestra(next, orchestra),
        Edit::PutKind(kind) => put(&mut next.kinds, &kind.id, kind),
        Edit::RemoveKind(id) => collection::remove_kind(next, id),
        Edit::PutInstrument(thing) => put(&mut next.instruments, &thing.id, thing),
        Edit::RemoveInstrument(id) => collection::remove_instrument(next, id),
        Edit::PutCare(care) => collection::put_care(next, care),
        Edit::PutBeater(beater) => put(&mut next.beaters, &beater.id, beater),
        Edit::RemoveBeater(id) => collection::remove_beater(next, id),
        Edit::PutPlayer(player) => put(&mut next.players, &player.id, player),
        Edit::RemovePlayer(id) => collection::remove_player(next, id),
        Edit::PutPlace(place) => put(&mut next.places, &place.id, place),
        Edit::RemovePlace(id) => collection::remove_place(next, id),
        Edit::PutVenue(venue) => put(&mut next.venues, &venue.id, venue),
        Edit::RemoveVenue(id) => collection::remove_venue(next, id),
        Edit::PutWork(work) => music::put_work(next, work),
        Edit::RemoveWork(id) => music::remove_work(next, id),
        Edit::PutLine { work, line } => music::put_line(next, work, line),
        Edit::RemoveLine { work, line } => music::remove_line(next, work, line),
        Edit::PutTrial { work, trial } => music::put_trial(next, work, trial),
        Edit::RemoveTrial { work, trial } => music::remove_trial(next, work, trial),
        Edit::PutDecision { work, decision } => music::put_decision(next, work, decision),
        Edit::RemoveDecision { work, decision } => music::remove_decision(next, work, decision),
        Edit::PutWeek(week) => week::put_week(next, week),
        Edit::RemoveWeek(id) => week::remove_week(next, id),
        Edit::PutProgramme { week, programme } => week::put_programme(next, week, programme),
        Edit::RemoveProgramme(id) => week::remove_programme(next, id),
        Edit::TakeUp { programme, work } => in_programme(next, programme, |p| p.take_up(work)),
        Edit::DropAside { programme, work } => in_programme(next, programme, |p| p.drop_aside(work)),
        Edit::PutService { week, service } => week::put_services(next, std::iter::once((week, service))),
        Edit::RemoveService(id) => week::remove_services(next, std::iter::once(id)),
        Edit::Assign { programme, line, player } => {
            assignments::assign(next, programme, line, player.as_ref())
        }
        Edit::Accept { programme, line, player } => {
            assignments::accept(next, programme, line, player.as_ref())
        }
        Edit::Engage { programme, player, engagement } => {
            assignments::engage(next, programme, player, engagement.as_ref())
        }
        Edit::OwnPart { programme, part, player } => {
            assignments::own_part(next, programme, part, player.as_ref())
        }
        Edit::UseInstruments { programme, line, instruments } => {
            assignments::use_instruments(next, programme, line, instruments)
        }
        Edit::UseBeaters { programme, line, beaters } => {
            assignments::use_beaters(next, programme, line, beaters)
        }
        Edit::PinDrum { programme, line, key, on } => {
            assignments::pin_drum(next, programme, line, *key, on.as_ref())
        }
        Edit::Decide { programme, line, key, instead } => {
            assignments::decide(next, programme, line, (*key, instead.as_ref()))
        }
        Edit::Lock { programme, line, locked } => {
            assignments::change(next, programme, line, |given| given.locked = *locked)
        }
        Edit::PutRule { programme, rule } => assignments::put_rule(next, programme, rule),
        Edit::RemoveRule { programme, rule } => assignments::remove_rule(next, programme, rule),
        Edit::Stand { programme, instrument, placement } => {
            floor::stand(next, programme, instrument, placement)
        }
        Edit::StandFor { programme, work, instrument, placement } => {
            floor::stand_for(next, (programme, work), instrument, placement)
        }
        Edit::TakeOffFor { programme, work, instrument } => {
            floor::take_off_for(next, (programme, work), instrument)
        }
        Edit::AsBase { programme, work, instrument } => floor::as_base(next, (programme, work), instrument),
        Edit::StandWith { programme, instrument, with } => {
            floor::stand_with(next, programme, instrument, with.as_ref())
        }
        Edit::LieOn { programme, instrument, by } => floor::bear(next, programme, instrument, by.as_ref()),
        Edit::TakeOff { programme, instrument } => floor::take_off(next, programme, instrument),
        Edit::PutTake(take) => collection::put_take(next, take),
        Edit::RemoveTake(key) => take(&mut next.takes, "take", key),
        Edit::Together { edits, .. } => together(next, edits),
    }
}

/// One after the other. Services that are put or removed in a row go in one walk over the weeks: a calendar brings thousands.
fn together(next: &mut Library, edits: &[Edit]) -> Result<(), EditError> {
    let is_alike = |one: &Edit, other: &Edit| {
        matches!(
            (one, other),
            (Edit::PutService { .. }, Edit::PutService { .. })
                | (Edit::RemoveService(_), Edit::RemoveService(_))
        )
    };
    for run in edits.chunk_by(is_alike) {
        match run {
            [Edit::PutService { .. }, _, ..] => {
                let put = run.iter().filter_map(|edit| match edit {
                    Edit::PutService { week, service } => Some((week, service)),
                    _ => None,
                });
                week::put_services(next, put)?;
            }
            [Edit::RemoveService(_), _, ..] => {
                let ids = run.iter().filter_map(|edit| match edit {
                    Edit::RemoveService(id) => Some(id),
                    _ => None,
                });
                week::remove_services(next, ids)?;
            }
            others => others.iter().try_for_each(|edit| change(next, edit))?,
        }
    }
    Ok(())
}

fn in_week(next: &mut Library, id: &WeekId, f: impl FnOnce(&mut Week)) -> Result<(), EditError> {
    known(&next.weeks, "week", id)?;
    if let Some(week) = Arc::make_mut(&mut next.weeks).get_mut(id) {
        f(Arc::make_mut(week));
    }
    Ok(())
}

fn week_of(library: &Library, id: &ProgrammeId) -> Result<WeekId, EditError> {
    let week = library.week_of(id).map(|week| week.id.clone());
    week.ok_or_else(|| EditError::Unknown { what: "programme", id: id.to_string() })
}

fn in_programme(
    next: &mut Library,
    id: &ProgrammeId,
    f: impl FnOnce(&mut Programme),
) -> Result<(), EditError> {
    let week = week_of(next, id)?;
    in_week(next, &week, |week| {
        if let Some(programme) = week.programmes.iter_mut().find(|programme| programme.id == *id) {
            f(programme);
        }
    })
}

/// A work that a programme does not play has nothing in it: what is said of it would be put aside when the library is opened again.
fn is_played(library: &Library, programme: &ProgrammeId, work: &WorkId) -> Result<(), EditError> {
    let Some(title) = library.works.get(work).map(|work| &work.title) else {
        return Err(EditError::Unknown { what: "work", id: work.to_string() });
    };
    if library.programme(programme).is_none_or(|programme| programme.plays(work)) {
        return Ok(());
    }
    let what = format!("{title} is not in the programme: add the work first");
    Err(EditError::OutOfRange { what })
}

/// Changes every programme, leaving alone (shared) each week in which nothing changes.
fn each_programme(next: &mut Library, f: impl Fn(&mut Programme)) {
    for week in Arc::make_mut(&mut next.weeks).values_mut() {
        let mut changed = Week::clone(week);
        changed.programmes.iter_mut().for_each(&f);
        if changed != **week {
            *week = Arc::new(changed);
        }
    }
}
