//! Weeks with their programmes and services.

use super::{EditError, each_programme, in_week, take, week_of};
use crate::id::{ProgrammeId, ServiceId, WeekId};
use crate::library::Library;
use crate::week::{Programme, Service, Week};
use std::sync::Arc;

pub(super) fn put_week(next: &mut Library, week: &Week) -> Result<(), EditError> {
    let mut week = week.clone();
    week.programmes.iter_mut().for_each(Programme::settle);
    super::put(&mut next.weeks, &week.id.clone(), &week)
}

pub(super) fn remove_week(next: &mut Library, id: &WeekId) -> Result<(), EditError> {
    let services = next.weeks.get(id).map(|week| week.services.clone()).unwrap_or_default();
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
    let services: Vec<Service> = next.services_of(id).into_iter().cloned().collect();
    forget_services(next, &services);
    in_week(next, &week, |week| {
        week.programmes.retain(|programme| programme.id != *id);
        week.services.retain(|service| service.programme != *id);
    })
}

pub(super) fn put_service(next: &mut Library, week: &WeekId, service: &Service) -> Result<(), EditError> {
    let has = |other: &&Arc<Week>| other.id != *week && other.services.iter().any(|old| old.id == service.id);
    free(next.weeks.values().find(has).map(|week| &**week), "service", service.id.as_str())?;
    in_week(next, week, |week| {
        week.services.retain(|old| old.id != service.id);
        week.services.push(service.clone());
        week.services.sort_by(|a, b| (a.start, &a.id).cmp(&(b.start, &b.id)));
    })
}

pub(super) fn remove_service(next: &mut Library, id: &ServiceId) -> Result<(), EditError> {
    let week = next.weeks.values().find(|week| week.services.iter().any(|service| service.id == *id));
    let week = week.map(|week| week.id.clone());
    let week = week.ok_or_else(|| EditError::Unknown { what: "service", id: id.to_string() })?;
    let service: Vec<Service> = next.service(id).into_iter().cloned().collect();
    forget_services(next, &service);
    in_week(next, &week, |week| week.services.retain(|service| service.id != *id))
}

/// Nobody misses a service that is no more.
fn forget_services(next: &mut Library, services: &[Service]) {
    let gone = |id: &ServiceId| services.iter().any(|service| service.id == *id);
    let ids: Vec<ServiceId> = services.iter().map(|service| service.id.clone()).collect();
    each_programme(next, |programme| programme.roster.forget_services(&ids));
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
