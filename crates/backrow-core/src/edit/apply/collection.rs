//! The orchestra, and what it has: kinds, instruments, beaters, players, places, venues.

use super::{EditError, each_programme, known, put, take};
use crate::care::Care;
use crate::collection::Owner;
use crate::id::{BeaterId, InstrumentId, KindId, PlaceId, PlayerId, VenueId};
use crate::library::{Library, Orchestra};
use crate::sound::Take;
use crate::week::LineRule;
use std::sync::Arc;

#[expect(clippy::unnecessary_wraps, reason = "is one of the changes that can fail")]
pub(super) fn set_orchestra(next: &mut Library, orchestra: &Orchestra) -> Result<(), EditError> {
    if *next.orchestra != *orchestra {
        next.orchestra = Arc::new(orchestra.clone());
    }
    Ok(())
}

pub(super) fn remove_kind(next: &mut Library, id: &KindId) -> Result<(), EditError> {
    kind_is_free(next, id)?;
    take(&mut next.kinds, "kind", id)
}

pub(super) fn remove_instrument(next: &mut Library, id: &InstrumentId) -> Result<(), EditError> {
    take(&mut next.instruments, "instrument", id)?;
    forget_care(next, id);
    if next.takes_of(id).next().is_some() {
        Arc::make_mut(&mut next.takes).retain(|key, _| key.instrument != *id);
    }
    each_programme(next, |programme| {
        programme.forget_instrument(id);
        for hire in programme.hires.iter_mut().filter(|hire| hire.instrument.as_ref() == Some(id)) {
            hire.instrument = None;
        }
    });
    Ok(())
}

pub(super) fn put_care(next: &mut Library, care: &Care) -> Result<(), EditError> {
    known(&next.instruments, "instrument", &care.instrument)?;
    if care.is_empty() {
        forget_care(next, &care.instrument);
        return Ok(());
    }
    put(&mut next.care, &care.instrument, &care.clone().in_order())
}

fn forget_care(next: &mut Library, id: &InstrumentId) {
    if next.care.contains_key(id) {
        Arc::make_mut(&mut next.care).remove(id);
    }
}

pub(super) fn remove_beater(next: &mut Library, id: &BeaterId) -> Result<(), EditError> {
    take(&mut next.beaters, "beater", id)?;
    forget_beater(next, id);
    each_programme(next, |programme| {
        programme.change_assignments(|given| given.beaters.retain(|used| used != id));
    });
    forget_bells_beater(next, id);
    Ok(())
}

/// Takes a beater out of the register of bells; what no bell names it in stays shared.
fn forget_bells_beater(next: &mut Library, id: &BeaterId) {
    let names = |care: &Care| care.bells.iter().any(|bell| bell.beaters.iter().any(|one| one.beater == *id));
    if !next.care.values().any(|care| names(care)) {
        return;
    }
    for care in Arc::make_mut(&mut next.care).values_mut().filter(|care| names(care)) {
        for bell in &mut Arc::make_mut(care).bells {
            bell.beaters.retain(|one| one.beater != *id);
        }
    }
}

pub(super) fn remove_player(next: &mut Library, id: &PlayerId) -> Result<(), EditError> {
    let name = next.players.get(id).map(|player| player.name.clone()).unwrap_or_default();
    take(&mut next.players, "player", id)?;
    // What is theirs stays theirs, by name.
    let theirs = Owner::Player(id.clone());
    for thing in Arc::make_mut(&mut next.instruments).values_mut().filter(|thing| thing.owner == theirs) {
        Arc::make_mut(thing).owner = Owner::Other(name.clone());
    }
    for beater in Arc::make_mut(&mut next.beaters).values_mut().filter(|beater| beater.owner == theirs) {
        Arc::make_mut(beater).owner = Owner::Other(name.clone());
    }
    each_programme(next, |programme| {
        for rule in &mut programme.rules {
            if let LineRule::Only(_, players) = rule {
                players.retain(|player| player != id);
            }
        }
        programme.rules.retain(|rule| !matches!(rule, LineRule::Only(_, players) if players.is_empty()));
        programme.change_assignments(|given| {
            given.player = given.player.take().filter(|who| who != id);
            given.locked &= given.player.is_some();
            given.by_hand &= given.player.is_some();
        });
        programme.roster.forget_player(id);
    });
    Ok(())
}

pub(super) fn remove_place(next: &mut Library, id: &PlaceId) -> Result<(), EditError> {
    take(&mut next.places, "place", id)?;
    forget_place(next, id);
    Ok(())
}

pub(super) fn remove_venue(next: &mut Library, id: &VenueId) -> Result<(), EditError> {
    venue_is_free(next, id)?;
    take(&mut next.venues, "venue", id)
}

fn kind_is_free(library: &Library, id: &KindId) -> Result<(), EditError> {
    let instrument =
        library.instruments.values().find(|thing| thing.kind == *id).map(|thing| thing.name.clone());
    let work = || {
        let of_kind =
            |work: &Arc<crate::music::Work>| work.lines.iter().any(|line| line.kind.as_ref() == Some(id));
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

/// Strikes that were made with a beater which is gone were made with nobody knows what.
fn forget_beater(next: &mut Library, id: &BeaterId) {
    let with = |take: &Take| take.strikes.iter().any(|strike| strike.beater.as_ref() == Some(id));
    if !next.takes.values().any(|take| with(take)) {
        return;
    }
    for take in Arc::make_mut(&mut next.takes).values_mut().filter(|take| with(take)) {
        for strike in &mut Arc::make_mut(take).strikes {
            strike.beater = strike.beater.take().filter(|beater| beater != id);
        }
    }
}

pub(super) fn put_take(next: &mut Library, take: &Take) -> Result<(), EditError> {
    known(&next.instruments, "instrument", &take.instrument)?;
    match take.wrong() {
        Some(what) => Err(EditError::OutOfRange { what }),
        None => put(&mut next.takes, &take.key(), take),
    }
}

fn forget_place(next: &mut Library, id: &PlaceId) {
    for thing in Arc::make_mut(&mut next.instruments).values_mut().filter(|t| t.place.as_ref() == Some(id)) {
        Arc::make_mut(thing).place = None;
    }
    for beater in Arc::make_mut(&mut next.beaters).values_mut().filter(|b| b.place.as_ref() == Some(id)) {
        Arc::make_mut(beater).place = None;
    }
}
