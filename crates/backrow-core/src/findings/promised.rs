//! The same thing twice: an instrument, a set of beaters or a player needed in overlapping services, or in two venues
//! without the time to get from one to the other.

mod instead;

use super::{About, Case, Degree, Finding, ShowsOn};
use crate::id::{BeaterId, InstrumentId, PlayerId};
use crate::library::Library;
use crate::week::{Programme, Service};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Minutes to take an instrument down, carry it to another venue and stand it there. Ours; no published source.
pub const CARRY_MIN: i32 = 180;

/// Minutes for a player, or a bag of beaters, from one venue to another. Ours; no published source.
pub const TRAVEL_MIN: i32 = 60;

/// The rule codes that speak of other programmes, for the season.
pub const ACROSS: [&str; 3] = ["promised-twice", "player-twice", "beaters-twice"];

/// A finding for each other programme and each sort of thing that both need.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let (here, library) = (case.programme, case.library);
    for (_, other) in library.programmes().filter(|(_, other)| other.id != here.id) {
        let instruments: BTreeSet<InstrumentId> = used(here).intersection(&used(other)).cloned().collect();
        if let Some(when) = clash(library, here, other, CARRY_MIN).filter(|_| !instruments.is_empty()) {
            found.push(of_instruments(case, other, &instruments, &when));
        }
        let Some(when) = clash(library, here, other, TRAVEL_MIN) else { continue };
        let players: BTreeSet<PlayerId> = players(here).intersection(&players(other)).cloned().collect();
        found.extend(players.iter().filter_map(|id| of_player(case, other, id)));
        let lacking = beaters_lacking(library, here, other);
        if !lacking.is_empty() {
            found.push(of_beaters(case, other, &lacking, &when));
        }
    }
    found
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
        [one] => format!("{one} is promised twice"),
        many => format!("{} instruments are promised twice", many.len()),
    };
    let venue = other.venue.as_ref().and_then(|id| library.venues.get(id));
    let place = venue.map_or_else(String::new, |venue| format!(" in {}", venue.name));
    let instead = instead::words(case, other, instruments);
    let mut about: Vec<About> = instruments.iter().cloned().map(About::Instrument).collect();
    let call = case.given().find(|taken| taken.instruments.iter().any(|id| instruments.contains(id)));
    about.extend(call.map(|taken| About::Call(taken.call.clone())));
    about.push(About::Programme(other.id.clone()));
    let subject = if names.len() == 1 { "it".to_owned() } else { names.join(", ") };
    Finding {
        code: "promised-twice",
        degree: Degree::Clash,
        shows_on: ShowsOn::Week,
        what,
        detail: format!("{} has {subject} too{place}, {when}. {instead}", other.title),
        about,
        fix: None,
    }
}

/// A player in both; services that the player misses anyway do not count.
fn of_player(case: &Case<'_>, other: &Programme, id: &PlayerId) -> Option<Finding> {
    let library = case.library;
    let player = library.players.get(id)?;
    let free = |services: Vec<&'_ Service>| -> Vec<Service> {
        services.into_iter().filter(|service| !player.absences.contains(&service.id)).cloned().collect()
    };
    let (mine, theirs) =
        (free(library.services_of(&case.programme.id)), free(library.services_of(&other.id)));
    let (mine, theirs): (Vec<&Service>, Vec<&Service>) = (mine.iter().collect(), theirs.iter().collect());
    let when = collision((&mine, case.programme), (&theirs, other), TRAVEL_MIN)?;
    let others: BTreeSet<PlayerId> = players(case.programme).union(&players(other)).cloned().collect();
    let spare: Vec<String> = library
        .roster()
        .into_iter()
        .filter(|spare| !others.contains(&spare.id))
        .map(|spare| spare.name.clone())
        .collect();
    let instead = if spare.is_empty() {
        "Everybody on the roster plays already: an extra could.".to_owned()
    } else {
        format!("Free in both: {}.", spare.join(", "))
    };
    Some(Finding {
        code: "player-twice",
        degree: Degree::Clash,
        shows_on: ShowsOn::Week,
        what: format!("{} is needed twice", player.name),
        detail: format!(
            "{} needs {} too, {when}. Give the calls of one to somebody else. {instead}",
            other.title, player.initials
        ),
        about: vec![About::Player(id.clone()), About::Programme(other.id.clone())],
        fix: None,
    })
}

fn of_beaters(case: &Case<'_>, other: &Programme, lacking: &[BeaterId], when: &str) -> Finding {
    let name =
        |id: &BeaterId| case.library.beaters.get(id).map_or_else(|| id.to_string(), |b| b.name.clone());
    let names: Vec<String> = lacking.iter().map(name).collect();
    let what = match names.as_slice() {
        [one] => format!("{one} are needed twice"),
        many => format!("{} sets of beaters are needed twice", many.len()),
    };
    Finding {
        code: "beaters-twice",
        degree: Degree::Care,
        shows_on: ShowsOn::Week,
        what,
        detail: format!(
            "{} has {} too, {when}. Take another set like them, or a player’s own.",
            other.title,
            names.join(", ")
        ),
        about: vec![About::Programme(other.id.clone())],
        fix: None,
    }
}

/// The instruments that a programme uses or has on its floor.
fn used(programme: &Programme) -> BTreeSet<InstrumentId> {
    let given = programme.share_out.values().flat_map(|given| &given.instruments);
    given.chain(programme.setup.placements.keys()).cloned().collect()
}

fn players(programme: &Programme) -> BTreeSet<PlayerId> {
    programme.share_out.values().filter_map(|given| given.player.clone()).collect()
}

/// Beaters of which the two together need more than there are. A player holds two of a set at a time, so that a set of two
/// serves one player; each player of a programme counts once.
fn beaters_lacking(library: &Library, here: &Programme, other: &Programme) -> Vec<BeaterId> {
    let holders = |programme: &Programme| {
        let mut holders: BTreeMap<BeaterId, BTreeSet<Option<PlayerId>>> = BTreeMap::new();
        for given in programme.share_out.values() {
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
        let count = library.beaters.get(id).map_or(0, |beater| beater.count);
        let sets = usize::try_from((count / 2).max(1)).unwrap_or(usize::MAX);
        (both.len() > sets).then(|| id.clone())
    };
    mine.iter().filter_map(short).collect()
}

/// Another programme that needs the instrument when this one does, and when, in words: services of theirs overlap, or are in
/// two venues with less than [`CARRY_MIN`] minutes between them.
pub fn other_use<'a>(
    library: &'a Library,
    programme: &Programme,
    instrument: &InstrumentId,
) -> Option<(&'a Programme, String)> {
    library
        .programmes()
        .map(|(_, other)| other)
        .filter(|other| other.id != programme.id && used(other).contains(instrument))
        .find_map(|other| clash(library, programme, other, CARRY_MIN).map(|when| (other, when)))
}

fn clash(library: &Library, one: &Programme, other: &Programme, minutes: i32) -> Option<String> {
    collision((&library.services_of(&one.id), one), (&library.services_of(&other.id), other), minutes)
}

/// The first pair of services that overlap, or are in two venues with less than `minutes` between them; an overlap is
/// preferred, as it is the harder fact.
fn collision(
    (mine, one): (&[&Service], &Programme),
    (theirs, other): (&[&Service], &Programme),
    minutes: i32,
) -> Option<String> {
    let pairs = || mine.iter().flat_map(|a| theirs.iter().map(move |b| (*a, *b)));
    if let Some((a, b)) = pairs().find(|(a, b)| a.overlaps(b)) {
        return Some(format!("at the same time on {}", when(a.start.max(b.start))));
    }
    pairs().find_map(|(a, b)| {
        let venue = |service: &Service, programme: &Programme| {
            service.venue.clone().or_else(|| programme.venue.clone())
        };
        let (here, there) = (venue(a, one), venue(b, other));
        if here == there {
            return None;
        }
        let (first, second) = if a.start <= b.start { (a, b) } else { (b, a) };
        let between = first.end().until(second.start).ok()?.total(jiff::Unit::Minute).ok()?;
        (between < f64::from(minutes)).then(|| {
            format!(
                "in two venues with {between:.0} min between them on {}, {minutes} reckoned with",
                when(second.start)
            )
        })
    })
}

fn when(at: jiff::civil::DateTime) -> String {
    at.strftime("%-d %b, %H:%M").to_string()
}

/// The first and the last day of some services.
pub fn span_of(services: &[&Service]) -> Option<(Date, Date)> {
    let days = || services.iter().map(|service| service.start.date());
    Some((days().min()?, days().max()?))
}
