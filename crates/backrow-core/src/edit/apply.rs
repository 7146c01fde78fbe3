//! Making the next library.

use super::Edit;
use crate::id::{InstrumentId, KindId, ProgrammeId, ServiceId, VenueId, WeekId, WorkId};
use crate::library::{Library, Shared};
use crate::week::{Assignment, CallRef, Kept, Placement, Programme, Service, Week, WorkSetup};
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

fn put<K: Ord + Clone, V: PartialEq>(map: &mut Shared<K, V>, id: K, value: V) {
    if map.get(&id).is_none_or(|old| **old != value) {
        Arc::make_mut(map).insert(id, Arc::new(value));
    }
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
        Edit::SetHouse(house) => {
            if *next.house != *house {
                next.house = Arc::new(house.clone());
            }
        }
        Edit::PutKind(kind) => put(&mut next.kinds, kind.id.clone(), kind.clone()),
        Edit::RemoveKind(id) => {
            kind_is_free(next, id)?;
            take(&mut next.kinds, "kind", id)?;
        }
        Edit::PutInstrument(thing) => put(&mut next.instruments, thing.id.clone(), thing.clone()),
        Edit::RemoveInstrument(id) => {
            take(&mut next.instruments, "instrument", id)?;
            each_programme(next, |programme| {
                programme.setup.forget(id);
                for hire in programme.hires.iter_mut().filter(|hire| hire.instrument.as_ref() == Some(id)) {
                    hire.instrument = None;
                }
                each_assignment(programme, |given| given.instruments.retain(|used| used != id));
            });
        }
        Edit::PutBeater(beater) => put(&mut next.beaters, beater.id.clone(), beater.clone()),
        Edit::RemoveBeater(id) => {
            take(&mut next.beaters, "beater", id)?;
            each_programme(next, |programme| {
                each_assignment(programme, |given| given.beaters.retain(|used| used != id));
            });
        }
        Edit::PutPlayer(player) => put(&mut next.players, player.id.clone(), player.clone()),
        Edit::RemovePlayer(id) => {
            take(&mut next.players, "player", id)?;
            each_programme(next, |programme| {
                for kept in &mut programme.kept {
                    if let Kept::Only(_, players) = kept {
                        players.retain(|player| player != id);
                    }
                }
                programme.kept.retain(|kept| !matches!(kept, Kept::Only(_, players) if players.is_empty()));
                each_assignment(programme, |given| {
                    given.player = given.player.take().filter(|who| who != id);
                    given.pinned &= given.player.is_some();
                });
            });
        }
        Edit::PutPlace(place) => put(&mut next.places, place.id.clone(), place.clone()),
        Edit::RemovePlace(id) => {
            take(&mut next.places, "place", id)?;
            forget_place(next, id);
        }
        Edit::PutVenue(venue) => put(&mut next.venues, venue.id.clone(), venue.clone()),
        Edit::RemoveVenue(id) => {
            venue_is_free(next, id)?;
            take(&mut next.venues, "venue", id)?;
        }
        Edit::Together { edits, .. } => {
            for edit in edits {
                change(next, edit)?;
            }
        }
        other => change_music_or_week(next, other)?,
    }
    Ok(())
}

fn change_music_or_week(next: &mut Library, edit: &Edit) -> Result<(), EditError> {
    match edit {
        Edit::PutWork(work) => put(&mut next.works, work.id.clone(), work.clone()),
        Edit::RemoveWork(id) => {
            take(&mut next.works, "work", id)?;
            each_programme(next, |programme| {
                programme.works.retain(|work| work != id);
                programme.setup.changes.remove(id);
                programme.share_out.retain(|call, _| call.work != *id);
                programme.kept.retain(|kept| match kept {
                    Kept::Together(a, b) | Kept::Apart(a, b) => a.work != *id && b.work != *id,
                    Kept::Only(call, _) => call.work != *id,
                });
            });
        }
        Edit::PutCall { work, call } => {
            in_work(next, work, |work| match work.calls.iter_mut().find(|old| old.id == call.id) {
                Some(old) => *old = call.clone(),
                None => work.calls.push(call.clone()),
            })?;
        }
        Edit::RemoveCall { work, call } => {
            let at = CallRef { work: work.clone(), call: call.clone() };
            if next.works.contains_key(work) && next.call(&at).is_none() {
                return Err(EditError::Unknown { what: "call", id: format!("{work}/{call}") });
            }
            in_work(next, work, |work| {
                work.calls.retain(|old| old.id != *call);
                work.together.retain(|(a, b)| a != call && b != call);
            })?;
            each_programme(next, |programme| {
                programme.share_out.remove(&at);
                programme.kept.retain(|kept| !kept.is_about(&at));
            });
        }
        Edit::PutWeek(week) => put(&mut next.weeks, week.id.clone(), week.clone()),
        Edit::RemoveWeek(id) => {
            let services = next.weeks.get(id).map(|week| week.services.clone()).unwrap_or_default();
            take(&mut next.weeks, "week", id)?;
            forget_services(next, &services);
        }
        Edit::PutProgramme { week, programme } => {
            in_week(next, week, |week| {
                match week.programmes.iter_mut().find(|old| old.id == programme.id) {
                    Some(old) => *old = programme.clone(),
                    None => week.programmes.push(programme.clone()),
                }
            })?;
        }
        Edit::RemoveProgramme(id) => {
            let week = week_of(next, id)?;
            let services: Vec<Service> = next.services_of(id).into_iter().cloned().collect();
            forget_services(next, &services);
            in_week(next, &week, |week| {
                week.programmes.retain(|programme| programme.id != *id);
                week.services.retain(|service| service.programme != *id);
            })?;
        }
        Edit::PutService { week, service } => in_week(next, week, |week| {
            week.services.retain(|old| old.id != service.id);
            week.services.push(service.clone());
            week.services.sort_by(|a, b| (a.start, &a.id).cmp(&(b.start, &b.id)));
        })?,
        Edit::RemoveService(id) => {
            let week = next.weeks.values().find(|week| week.services.iter().any(|service| service.id == *id));
            let week = week.map(|week| week.id.clone());
            let week = week.ok_or_else(|| EditError::Unknown { what: "service", id: id.to_string() })?;
            let service: Vec<Service> = next.service(id).into_iter().cloned().collect();
            forget_services(next, &service);
            in_week(next, &week, |week| week.services.retain(|service| service.id != *id))?;
        }
        other => change_share_out(next, other)?,
    }
    Ok(())
}

fn change_share_out(next: &mut Library, edit: &Edit) -> Result<(), EditError> {
    match edit {
        Edit::Give { programme, call, player } => {
            if let Some(player) = player {
                known(&next.players, "player", player)?;
            }
            assign(next, programme, call, |given| {
                given.player.clone_from(player);
                given.pinned &= player.is_some();
            })
        }
        Edit::UseInstruments { programme, call, instruments } => {
            for instrument in instruments {
                known(&next.instruments, "instrument", instrument)?;
            }
            assign(next, programme, call, |given| given.instruments.clone_from(instruments))
        }
        Edit::UseBeaters { programme, call, beaters } => {
            for beater in beaters {
                known(&next.beaters, "beater", beater)?;
            }
            assign(next, programme, call, |given| given.beaters.clone_from(beaters))
        }
        Edit::Pin { programme, call, pinned } => {
            assign(next, programme, call, |given| given.pinned = *pinned)
        }
        Edit::Keep { programme, kept } => {
            let calls: Vec<&CallRef> = match kept {
                Kept::Together(a, b) | Kept::Apart(a, b) => vec![a, b],
                Kept::Only(call, players) => {
                    for player in players {
                        known(&next.players, "player", player)?;
                    }
                    vec![call]
                }
            };
            if let Some(call) = calls.into_iter().find(|call| next.call(call).is_none()) {
                return Err(EditError::Unknown { what: "call", id: format!("{}/{}", call.work, call.call) });
            }
            in_programme(next, programme, |programme| {
                // A call is for one set of players; what was said before is replaced.
                if let Kept::Only(call, _) = kept {
                    programme.kept.retain(|old| !matches!(old, Kept::Only(other, _) if other == call));
                }
                if !programme.kept.contains(kept) {
                    programme.kept.push(kept.clone());
                }
            })
        }
        Edit::LetGo { programme, kept } => {
            in_programme(next, programme, |programme| programme.kept.retain(|old| old != kept))
        }
        other => change_floor(next, other),
    }
}

/// Where things stand.
fn change_floor(next: &mut Library, edit: &Edit) -> Result<(), EditError> {
    match edit {
        Edit::Stand { programme, instrument, placement } => {
            known(&next.instruments, "instrument", instrument)?;
            let placement = checked(placement)?;
            in_programme(next, programme, |programme| {
                programme.setup.placements.insert(instrument.clone(), placement);
            })
        }
        Edit::StandFor { programme, work, instrument, placement } => {
            known(&next.instruments, "instrument", instrument)?;
            known(&next.works, "work", work)?;
            let placement = checked(placement)?;
            for_work(next, programme, work, |own| {
                own.away.remove(instrument);
                own.placements.insert(instrument.clone(), placement);
            })
        }
        Edit::TakeOffFor { programme, work, instrument } => {
            known(&next.works, "work", work)?;
            for_work(next, programme, work, |own| {
                own.placements.remove(instrument);
                own.away.insert(instrument.clone());
            })
        }
        Edit::AsBase { programme, work, instrument } => for_work(next, programme, work, |own| {
            own.placements.remove(instrument);
            own.away.remove(instrument);
        }),
        Edit::Bear { programme, instrument, by } => {
            known(&next.instruments, "instrument", instrument)?;
            if let Some(by) = by {
                known(&next.instruments, "instrument", by)?;
                bears(next, programme, instrument, by)?;
            }
            in_programme(next, programme, |programme| {
                match by {
                    Some(by) => programme.setup.borne.insert(instrument.clone(), by.clone()),
                    None => programme.setup.borne.remove(instrument),
                };
            })
        }
        Edit::TakeOff { programme, instrument } => in_programme(next, programme, |programme| {
            programme.setup.placements.remove(instrument);
            if programme.setup.number_of(instrument).is_none() {
                programme.setup.borne.retain(|thing, by| thing != instrument && by != instrument);
            }
        }),
        _ => Ok(()),
    }
}

/// Nothing bears itself, and what bears is not borne.
fn bears(
    library: &Library,
    programme: &ProgrammeId,
    thing: &InstrumentId,
    by: &InstrumentId,
) -> Result<(), EditError> {
    let Some(setup) = library.programme(programme).map(|programme| &programme.setup) else { return Ok(()) };
    let (thing_name, by_name) = (library.instrument_name(thing), library.instrument_name(by));
    if thing == by || setup.borne.contains_key(by) {
        let what = format!("{by_name} cannot bear {thing_name}: it lies on something itself");
        return Err(EditError::OutOfRange { what });
    }
    if setup.borne_by(thing).next().is_some() {
        let what = format!("{thing_name} bears other things: take them down first");
        return Err(EditError::OutOfRange { what });
    }
    Ok(())
}

/// A place in finite metres, its turn from 0 up to 360 degrees.
fn checked(placement: &Placement) -> Result<Placement, EditError> {
    let finite = placement.at.x.is_finite() && placement.at.y.is_finite() && placement.turn_deg.is_finite();
    if !finite {
        return Err(EditError::OutOfRange {
            what: "a place on the floor needs finite metres and degrees".into(),
        });
    }
    Ok(Placement { turn_deg: placement.turn_deg.rem_euclid(360.0), ..*placement })
}

/// Changes what differs for a work; what comes to nothing is let go.
fn for_work(
    next: &mut Library,
    programme: &ProgrammeId,
    work: &WorkId,
    f: impl FnOnce(&mut WorkSetup),
) -> Result<(), EditError> {
    in_programme(next, programme, |programme| {
        let base = programme.setup.placements.clone();
        let own = programme.setup.changes.entry(work.clone()).or_default();
        f(own);
        own.placements.retain(|id, placement| base.get(id) != Some(placement));
        own.away.retain(|id| base.contains_key(id));
        if own.is_empty() {
            programme.setup.changes.remove(work);
        }
    })
}

fn kind_is_free(library: &Library, id: &KindId) -> Result<(), EditError> {
    let instrument =
        library.instruments.values().find(|thing| thing.kind == *id).map(|thing| thing.name.clone());
    let work = || {
        let of_kind =
            |work: &Arc<crate::music::Work>| work.calls.iter().any(|call| call.kind.as_ref() == Some(id));
        library.works.values().find(|work| of_kind(work)).map(|work| work.title.clone())
    };
    match instrument.or_else(work) {
        Some(by) => Err(EditError::InUse { what: format!("kind {id}"), by }),
        None => Ok(()),
    }
}

fn venue_is_free(library: &Library, id: &VenueId) -> Result<(), EditError> {
    let programme = library.programmes().map(|(_, p)| p).find(|p| p.venue.as_ref() == Some(id));
    let programme = programme.map(|p| p.title.clone());
    let service =
        || library.services().find(|s| s.venue.as_ref() == Some(id)).map(|s| format!("service {}", s.id));
    match programme.or_else(service) {
        Some(by) => Err(EditError::InUse { what: format!("venue {id}"), by }),
        None => Ok(()),
    }
}

/// Nobody misses a service that is no more.
fn forget_services(next: &mut Library, services: &[Service]) {
    let gone = |id: &ServiceId| services.iter().any(|service| service.id == *id);
    let touched = next.players.values().any(|player| player.absences.iter().any(gone));
    if !touched {
        return;
    }
    for player in Arc::make_mut(&mut next.players).values_mut() {
        if player.absences.iter().any(gone) {
            Arc::make_mut(player).absences.retain(|id| !gone(id));
        }
    }
}

fn forget_place(next: &mut Library, id: &crate::id::PlaceId) {
    for thing in Arc::make_mut(&mut next.instruments).values_mut().filter(|t| t.place.as_ref() == Some(id)) {
        Arc::make_mut(thing).place = None;
    }
    for beater in Arc::make_mut(&mut next.beaters).values_mut().filter(|b| b.place.as_ref() == Some(id)) {
        Arc::make_mut(beater).place = None;
    }
}

fn in_work(
    next: &mut Library,
    id: &WorkId,
    f: impl FnOnce(&mut crate::music::Work),
) -> Result<(), EditError> {
    known(&next.works, "work", id)?;
    if let Some(work) = Arc::make_mut(&mut next.works).get_mut(id) {
        f(Arc::make_mut(work));
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

fn assign(
    next: &mut Library,
    programme: &ProgrammeId,
    call: &CallRef,
    f: impl FnOnce(&mut Assignment),
) -> Result<(), EditError> {
    if next.call(call).is_none() {
        return Err(EditError::Unknown { what: "call", id: format!("{}/{}", call.work, call.call) });
    }
    in_programme(next, programme, |programme| {
        let given = programme.share_out.entry(call.clone()).or_default();
        f(given);
        if given.is_empty() {
            programme.share_out.remove(call);
        }
    })
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

fn each_assignment(programme: &mut Programme, f: impl Fn(&mut Assignment)) {
    programme.share_out.values_mut().for_each(f);
    programme.share_out.retain(|_, given| !given.is_empty());
}
