//! The same thing twice: an instrument, a set of beaters or a player needed in overlapping services, or in two venues
//! without the time to get from one to the other.

mod instead;
mod neighbours;

pub use neighbours::Neighbours;

use super::{About, Case, Degree, Finding, Rule, listed};
use crate::days::Days;
use crate::id::{BeaterId, InstrumentId, PlayerId};
use crate::library::Library;
use crate::week::{Collision, Programme, Service, collision};
use std::collections::{BTreeMap, BTreeSet};

/// Minutes to take an instrument down, carry it to another venue and stand it there. Ours; no published source.
pub const CARRY_MIN: i64 = 180;

/// Minutes for a player, or a bag of beaters, from one venue to another. Ours; no published source.
pub const TRAVEL_MIN: i64 = 60;

/// A finding for each other programme and each sort of thing that both need, with every collision.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let (here, library) = (case.programme, case.library);
    let neighbours = Neighbours::of(library, here);
    let (our_instruments, our_players) = (here.instruments(), here.players());
    for other in neighbours.others() {
        let instruments: BTreeSet<InstrumentId> =
            our_instruments.intersection(&other.instruments()).map(|id| (*id).clone()).collect();
        let carried = neighbours.collisions(other, CARRY_MIN);
        if !instruments.is_empty() && !carried.is_empty() {
            found.push(of_instruments(case, other, &instruments, &when(library.days(), &carried)));
        }
        let collisions = neighbours.collisions(other, TRAVEL_MIN);
        if collisions.is_empty() {
            continue;
        }
        for id in our_players.intersection(&other.players()) {
            found.extend(of_player(case, other, id, &collisions));
        }
        let lacking = beaters_lacking(library, here, other);
        if !lacking.is_empty() {
            found.push(of_beaters(case, other, &lacking, &when(library.days(), &collisions)));
        }
    }
    found
}

/// Every collision in words: those at one time first, in one phrase, then those that lack the time to travel.
fn when(days: Days, collisions: &[Collision<'_>]) -> String {
    let (at_once, travel): (Vec<&Collision<'_>>, Vec<&Collision<'_>>) =
        collisions.iter().partition(|one| one.between.is_none());
    let mut moments: Vec<String> = at_once.iter().map(|one| one.start(days)).collect();
    moments.dedup();
    let mut words: Vec<String> = travel.iter().map(|one| one.words(days)).collect();
    words.dedup();
    if !moments.is_empty() {
        words.insert(0, format!("at the same time on {}", listed(&moments, "and on")));
    }
    listed(&words, "and")
}

fn of_instruments(
    case: &Case<'_>,
    other: &Programme,
    instruments: &BTreeSet<InstrumentId>,
    when: &str,
) -> Finding {
    let library = case.library;
    let names: Vec<String> = instruments.iter().map(|id| library.instrument_name(id)).collect();
    let what = match names.as_slice() {
        [one] => format!("{one} is double-booked"),
        many => format!("{} instruments are double-booked", many.len()),
    };
    let venue = other.venue.as_ref().and_then(|id| library.venues.get(id));
    let place = venue.map_or_else(String::new, |venue| format!(" at {}", venue.name));
    let mut about: Vec<About> = instruments.iter().cloned().map(About::Instrument).collect();
    let line = case.given().find(|taken| taken.instruments.iter().any(|id| instruments.contains(id)));
    about.extend(line.map(|taken| About::Line(taken.line.clone())));
    about.push(About::Programme(other.id.clone()));
    let subject = if names.len() == 1 { String::new() } else { format!(": {}", names.join("; ")) };
    Finding::new(Rule::InstrumentTwice, Degree::Clash, what)
        .why(format!("Also booked for “{}”{place}, {when}{subject}.", other.title))
        .remedy(instead::words(case, other, instruments))
        .about(about)
        .fix(instead::swap(case, other, instruments))
}

/// A player in both; services that the player misses anyway, or is not engaged for, do not count.
fn of_player(
    case: &Case<'_>,
    other: &Programme,
    id: &PlayerId,
    collisions: &[Collision<'_>],
) -> Option<Finding> {
    let library = case.library;
    let player = library.players.get(id)?;
    let comes = |programme: &Programme, service: &Service| !programme.presence(player, service).misses();
    let real: Vec<Collision<'_>> = collisions
        .iter()
        .filter(|both| comes(case.programme, both.here) && comes(other, both.there))
        .copied()
        .collect();
    if real.is_empty() {
        return None;
    }
    let busy: BTreeSet<&PlayerId> = case.programme.players().union(&other.players()).copied().collect();
    let spare: Vec<String> = library
        .roster()
        .into_iter()
        .filter(|spare| !busy.contains(&spare.id))
        .map(|spare| spare.name.clone())
        .collect();
    let instead = if spare.is_empty() {
        "Everyone on the roster is already playing; engage an extra.".to_owned()
    } else {
        format!("Free in both: {}.", spare.join(", "))
    };
    Some(
        Finding::new(Rule::PlayerTwice, Degree::Clash, format!("{} is double-booked", player.name))
            .why(format!("“{}” needs {} too, {}.", other.title, player.initials, when(library.days(), &real)))
            .remedy(format!("Assign their lines in one of the two to another player. {instead}"))
            .about([About::Player(id.clone()), About::Programme(other.id.clone())]),
    )
}

fn of_beaters(case: &Case<'_>, other: &Programme, lacking: &[BeaterId], when: &str) -> Finding {
    let name =
        |id: &BeaterId| case.library.beaters.get(id).map_or_else(|| id.to_string(), |b| b.name.clone());
    let names: Vec<String> = lacking.iter().map(name).collect();
    let what = match names.as_slice() {
        [one] => format!("{one} are double-booked"),
        many => format!("{} sets of beaters are double-booked", many.len()),
    };
    Finding::new(Rule::BeatersTwice, Degree::Care, what)
        .why(format!("“{}” needs {} too, {when}.", other.title, names.join("; ")))
        .remedy("Bring another set like them, or a player’s own.")
        .about([About::Programme(other.id.clone())])
}

/// Beaters of which the two together need more than there are. A player holds two of a set at a time, so that a set of two
/// serves one player; each player of a programme counts once.
fn beaters_lacking(library: &Library, here: &Programme, other: &Programme) -> Vec<BeaterId> {
    let holders = |programme: &Programme| {
        let mut holders: BTreeMap<BeaterId, BTreeSet<Option<PlayerId>>> = BTreeMap::new();
        for (_, given) in programme.lines() {
            for beater in &given.beaters {
                holders.entry(beater.clone()).or_default().insert(given.player.clone());
            }
        }
        holders
    };
    let (mine, theirs) = (holders(here), holders(other));
    let short = |(id, here): (&BeaterId, &BTreeSet<Option<PlayerId>>)| {
        let there = theirs.get(id)?;
        let both: BTreeSet<_> = here.union(there).collect();
        let beater = library.beaters.get(id);
        let count = beater.map_or(0, |beater| beater.count);
        let sets = usize::try_from((count / 2).max(1)).unwrap_or(usize::MAX);
        let shared = beater.is_none_or(|beater| beater.is_laid_out());
        (shared && both.len() > sets).then(|| id.clone())
    };
    mine.iter().filter_map(short).collect()
}

/// Another programme that needs the instrument when this one does, and when, in words. Who asks for many instruments asks
/// [`Neighbours`].
pub fn other_use<'a>(
    library: &'a Library,
    programme: &'a Programme,
    instrument: &InstrumentId,
) -> Option<(&'a Programme, String)> {
    Neighbours::of(library, programme).other_use(instrument)
}

/// A player of a service whom another programme wants in a service that collides with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted<'a> {
    /// Who.
    pub player: PlayerId,
    /// The other programme.
    pub programme: &'a Programme,
    /// How the services collide; its `there` is the other's.
    pub collision: Collision<'a>,
}

/// Every player of a service who is wanted elsewhere too, the time to travel counted in; players who miss one of the two
/// services, or are not engaged for it, are not. Nobody is "in" for a service without a look here.
pub fn wanted_elsewhere<'a>(library: &'a Library, service: &'a Service) -> Vec<Wanted<'a>> {
    let Some(programme) = library.programme(&service.programme) else { return Vec::new() };
    wanted(library, (programme, service), &programme.players())
}

/// The same of one player, whether the service’s programme has something for that player or not: every service of other
/// programmes that the player could not come from, or go to.
pub fn busy_elsewhere<'a>(library: &'a Library, service: &'a Service, player: &PlayerId) -> Vec<Wanted<'a>> {
    let Some(programme) = library.programme(&service.programme) else { return Vec::new() };
    wanted(library, (programme, service), &BTreeSet::from([player]))
}

fn wanted<'a>(
    library: &'a Library,
    (programme, service): (&'a Programme, &'a Service),
    ours: &BTreeSet<&PlayerId>,
) -> Vec<Wanted<'a>> {
    let mut wanted = Vec::new();
    for other in Neighbours::of(library, programme).others() {
        let both: Vec<&PlayerId> = ours.intersection(&other.players()).copied().collect();
        if both.is_empty() {
            continue;
        }
        for there in library.services_of(&other.id) {
            let Some(collision) =
                collision((service, service.place(programme)), (there, there.place(other)), TRAVEL_MIN)
            else {
                continue;
            };
            for id in &both {
                let misses = |programme: &Programme, service: &Service| {
                    let player = library.players.get(*id);
                    player.is_some_and(|player| programme.presence(player, service).misses())
                };
                if !misses(programme, service) && !misses(other, there) {
                    wanted.push(Wanted { player: (*id).clone(), programme: other, collision });
                }
            }
        }
    }
    wanted
}
