//! Weeks with their programmes and services.

use super::{EditError, each_programme, in_week, take, week_of};
use crate::collection::Player;
use crate::id::{ProgrammeId, ServiceId, WeekId};
use crate::library::Library;
use crate::week::{Programme, Service, Week};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::sync::Arc;

pub(super) fn put_week(next: &mut Library, week: &Week) -> Result<(), EditError> {
    let mut week = week.clone();
    week.programmes.iter_mut().for_each(Programme::settle);
    super::put(&mut next.weeks, &week.id.clone(), &week)
}

pub(super) fn remove_week(next: &mut Library, id: &WeekId) -> Result<(), EditError> {
    let services = next.weeks.get(id).map(|week| week.services.iter().map(|service| service.id.clone()));
    let services = services.into_iter().flatten().collect();
    take(&mut next.weeks, "week", id)?;
    forget_services(next, &services);
    Ok(())
}

/// What works have that the programme does not play any more is put aside.
pub(super) fn put_programme(
    next: &mut Library,
    week: &WeekId,
    programme: &Programme,
) -> Result<(), EditError> {
    let other = next.week_of(&programme.id).filter(|other| other.id != *week);
    free(other, "programme", programme.id.as_str())?;
    in_week(next, week, |week| {
        let mut programme = programme.clone();
        programme.settle();
        match week.programmes.iter_mut().find(|old| old.id == programme.id) {
            Some(old) => *old = programme,
            None => week.programmes.push(programme),
        }
    })
}

/// An id is unique over all weeks.
fn free(other: Option<&Week>, what: &'static str, id: &str) -> Result<(), EditError> {
    match other {
        Some(other) => Err(EditError::Elsewhere { what, id: id.to_owned(), week: other.title.clone() }),
        None => Ok(()),
    }
}

pub(super) fn remove_programme(next: &mut Library, id: &ProgrammeId) -> Result<(), EditError> {
    let week = week_of(next, id)?;
    let services = next.services_of(id).into_iter().map(|service| service.id.clone()).collect();
    forget_services(next, &services);
    in_week(next, &week, |week| {
        week.programmes.retain(|programme| programme.id != *id);
        week.services.retain(|service| service.programme != *id);
    })
}

/// Services one after the other, as each alone would be put; the weeks are gone through once for all of them.
pub(super) fn put_services<'e>(
    next: &mut Library,
    services: impl Iterator<Item = (&'e WeekId, &'e Service)> + Clone,
) -> Result<(), EditError> {
    let mut homes = homes_of(next, services.clone().map(|(_, service)| &service.id));
    let mut changed: BTreeMap<&WeekId, BTreeMap<&ServiceId, &Service>> = BTreeMap::new();
    for (week, service) in services {
        let homes = homes.entry(&service.id).or_default();
        let other = homes.iter().find(|home| *home != week).and_then(|home| next.weeks.get(home));
        free(other.map(|week| &**week), "service", service.id.as_str())?;
        super::known(&next.weeks, "week", week)?;
        if homes.is_empty() {
            homes.push_back(week.clone());
        }
        changed.entry(week).or_default().insert(&service.id, service);
    }
    for (week, services) in changed {
        in_week(next, week, |week| {
            week.services.retain(|old| !services.contains_key(&old.id));
            week.services.extend(services.into_values().cloned());
            week.services.sort_by(|a, b| (a.start, &a.id).cmp(&(b.start, &b.id)));
        })?;
    }
    Ok(())
}

/// Services one after the other, as each alone would be removed; the weeks are gone through once for all of them.
pub(super) fn remove_services<'e>(
    next: &mut Library,
    ids: impl Iterator<Item = &'e ServiceId> + Clone,
) -> Result<(), EditError> {
    let mut homes = homes_of(next, ids.clone());
    let mut changed: BTreeMap<WeekId, BTreeSet<&ServiceId>> = BTreeMap::new();
    for id in ids.clone() {
        let home = homes.get_mut(id).and_then(VecDeque::pop_front);
        let home = home.ok_or_else(|| EditError::Unknown { what: "service", id: id.to_string() })?;
        changed.entry(home).or_default().insert(id);
    }
    forget_services(next, &ids.cloned().collect());
    for (week, gone) in changed {
        in_week(next, &week, |week| week.services.retain(|service| !gone.contains(&service.id)))?;
    }
    Ok(())
}

/// The weeks in which these services stand; one id in two weeks is a broken library.
fn homes_of<'e>(
    library: &Library,
    ids: impl Iterator<Item = &'e ServiceId>,
) -> BTreeMap<&'e ServiceId, VecDeque<WeekId>> {
    let mut homes: BTreeMap<&ServiceId, VecDeque<WeekId>> = ids.map(|id| (id, VecDeque::new())).collect();
    for week in library.weeks.values() {
        for service in &week.services {
            if let Some(homes) = homes.get_mut(&service.id).filter(|homes| homes.back() != Some(&week.id)) {
                homes.push_back(week.id.clone());
            }
        }
    }
    homes
}

/// Nobody misses a service that is no more.
fn forget_services(next: &mut Library, gone: &BTreeSet<ServiceId>) {
    each_programme(next, |programme| programme.roster.forget_services(gone));
    let misses = |player: &Player| player.absences.iter().any(|id| gone.contains(id));
    if !next.players.values().any(|player| misses(player)) {
        return;
    }
    for player in Arc::make_mut(&mut next.players).values_mut() {
        if misses(player) {
            Arc::make_mut(player).absences.retain(|id| !gone.contains(id));
        }
    }
}
