//! The programmes that come near enough in time to a programme to need the same things as it does.

use super::{CARRY_MIN, TRAVEL_MIN, when};
use crate::days::Days;
use crate::id::{InstrumentId, ProgrammeId};
use crate::library::Library;
use crate::week::{Collision, Programme, Service, collision, longest, near};
use jiff::Span;
use std::collections::{BTreeMap, BTreeSet};

/// A programme and those with services near its own. Found in one look over all services, and asked for as many things as one
/// likes: looking again for each thing would take as long as all services for each of all instruments.
pub struct Neighbours<'a> {
    /// How their moments are shown.
    days: Days,
    programme: &'a Programme,
    services: Vec<&'a Service>,
    others: Vec<Other<'a>>,
}

struct Other<'a> {
    programme: &'a Programme,
    services: Vec<&'a Service>,
    instruments: BTreeSet<&'a InstrumentId>,
}

impl<'a> Neighbours<'a> {
    /// The neighbours of a programme, in order of the library's programmes.
    pub fn of(library: &'a Library, programme: &'a Programme) -> Self {
        let services = library.services_of(&programme.id);
        let mut near: BTreeMap<&ProgrammeId, Vec<&Service>> = BTreeMap::new();
        let margin = Span::new().minutes(CARRY_MIN.max(TRAVEL_MIN));
        let begins = services.iter().map(|service| service.start).min();
        let ends = services.iter().map(|service| service.end()).max();
        if let Some((begins, ends)) = begins.zip(ends) {
            let from = begins.checked_sub(margin).unwrap_or(jiff::civil::DateTime::MIN);
            let to = ends.checked_add(margin).unwrap_or(jiff::civil::DateTime::MAX);
            let is_near = |service: &&Service| {
                service.start <= to && service.end() >= from && service.programme != programme.id
            };
            for service in library.services().filter(is_near) {
                near.entry(&service.programme).or_default().push(service);
            }
        }
        let others = library.programmes().filter_map(|(_, other)| {
            // Of two with one id each has the same services.
            let mut services = near.get(&other.id)?.clone();
            services.sort_by_key(|service| service.start);
            Some(Other { programme: other, services, instruments: other.instruments() })
        });
        let others = others.collect();
        Self { days: library.days(), programme, services, others }
    }

    /// The other programmes.
    pub(super) fn others(&self) -> impl Iterator<Item = &'a Programme> {
        self.others.iter().map(|other| other.programme)
    }

    /// Every pair of services of the programme and another that collide for something that needs `minutes` between two venues, in
    /// order of time.
    pub(super) fn collisions(&self, other: &Programme, minutes: i64) -> Vec<Collision<'a>> {
        let known = self.others.iter().find(|one| one.programme.id == other.id);
        let theirs = known.map_or(&[][..], |other| &other.services);
        let longest = longest(theirs);
        let near = |a: &'a Service| near(a, theirs, longest, minutes).iter().map(move |b| (a, *b));
        let pairs = self.services.iter().flat_map(|a| near(a));
        pairs
            .filter_map(|(a, b)| collision((a, a.place(self.programme)), (b, b.place(other)), minutes))
            .collect()
    }

    /// Another programme that needs the instrument when this one does, and when, in words: services of theirs overlap, or are in two
    /// venues with less than [`CARRY_MIN`] minutes between them.
    pub fn other_use(&self, instrument: &InstrumentId) -> Option<(&'a Programme, String)> {
        let have_it = self.others.iter().filter(|other| other.instruments.contains(instrument));
        have_it
            .map(|other| (other.programme, self.collisions(other.programme, CARRY_MIN)))
            .find(|(_, collisions)| !collisions.is_empty())
            .map(|(other, collisions)| (other, when(self.days, &collisions)))
    }
}
