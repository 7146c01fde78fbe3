//! References that lead nowhere. The things themselves are kept as they are, so that nothing is lost while the other
//! file is mended.

use super::content::{BEATERS, CARE, INSTRUMENTS, PLAYERS, SOUNDS, WEEKS, WORKS, path_of};
use super::problem::{Problem, nearest};
use backrow_core::collection::Owner;
use backrow_core::library::Library;
use backrow_core::music::Work;
use backrow_core::week::{LineRef, Programme, Week};
use std::collections::BTreeSet;
use std::fmt::Display;

/// Finds the file, and the line in it, of an id that a file mentions.
type Find<'a> = &'a dyn Fn(&str, &str) -> (String, Option<u32>);

/// Every reference of the library that leads nowhere, each once a file.
pub(super) fn problems(library: &Library, find: Find<'_>) -> Vec<Problem> {
    let mut found = Found { library, find, seen: BTreeSet::new(), problems: Vec::new(), more: None };
    found.players();
    found.collection();
    found.care();
    found.takes();
    for work in library.works.values() {
        found.work(work);
    }
    let programmes: BTreeSet<&str> =
        library.programmes().map(|(_, programme)| programme.id.as_str()).collect();
    for week in library.weeks.values() {
        found.week(week, &programmes);
    }
    found.double_ids();
    if let Some((file, more)) = found.more {
        let what = format!("{more} more ids, in it and in other files, lead nowhere");
        let remedy = "bring back what is missing; the rest are listed once there are fewer";
        found.problems.push(Problem::new(file, "unknown-ids", what, remedy));
    }
    found.problems
}

/// More than this are counted: who has lost a folder does not want each of its ids.
const MOST: usize = 2_000;
/// So many are told what they are nearest to; finding that looks through every id there is.
const MOST_NEAR: usize = 200;

struct Found<'a> {
    library: &'a Library,
    find: Find<'a>,
    seen: BTreeSet<(String, &'static str, String)>,
    problems: Vec<Problem>,
    /// The file of the first that is only counted, and how many are.
    more: Option<(String, usize)>,
}

macro_rules! check {
    ($found:expr, $path:expr, $code:literal, $what:literal, $id:expr, $map:ident) => {
        if !$found.library.$map.contains_key($id) {
            let library = $found.library;
            let near =
                || nearest($id.as_str(), library.$map.keys().map(|id| id.as_str())).map(ToOwned::to_owned);
            $found.add($path, $code, $what, $id, &near);
        }
    };
}

/// The line of a work whose id is nearest.
fn near_line(work: &Work, id: &str) -> Option<String> {
    nearest(id, work.lines.iter().map(|line| line.id.as_str())).map(ToOwned::to_owned)
}

impl Found<'_> {
    fn add(
        &mut self,
        path: &str,
        code: &'static str,
        what: &str,
        id: &dyn Display,
        near: &dyn Fn() -> Option<String>,
    ) {
        let id = id.to_string();
        if !self.seen.insert((path.to_owned(), code, id.clone())) {
            return;
        }
        if self.problems.len() >= MOST {
            self.more.get_or_insert((path.to_owned(), 0)).1 += 1;
            return;
        }
        let (file, line) = (self.find)(path, &id);
        let near = if self.problems.len() < MOST_NEAR { near() } else { None };
        let remedy = match near {
            Some(near) => format!("write \"{near}\" if that is meant, or bring the {what} back"),
            None => {
                format!("bring the {what} back, or choose another; until then the entry stays as it is")
            }
        };
        let words = format!("the library has no {what} \"{id}\"");
        self.problems.push(Problem::new(file, code, words, remedy).at(line));
    }

    fn players(&mut self) {
        let services: BTreeSet<&str> = self.library.services().map(|service| service.id.as_str()).collect();
        for player in self.library.players.values() {
            for kind in player.only.iter().chain(&player.never) {
                check!(self, PLAYERS, "unknown-kind", "kind", kind, kinds);
            }
            for service in player.absences.iter().filter(|id| !services.contains(id.as_str())) {
                let near = || nearest(service.as_str(), services.iter().copied()).map(ToOwned::to_owned);
                self.add(PLAYERS, "unknown-service", "service", service, &near);
            }
        }
    }

    fn collection(&mut self) {
        for beater in self.library.beaters.values() {
            for kind in &beater.suits {
                check!(self, BEATERS, "unknown-kind", "kind", kind, kinds);
            }
            if let Owner::Player(player) = &beater.owner {
                check!(self, BEATERS, "unknown-player", "player", player, players);
            }
            if let Some(place) = &beater.place {
                check!(self, BEATERS, "unknown-place", "place", place, places);
            }
        }
        for thing in self.library.instruments.values() {
            let path = &path_of(INSTRUMENTS, &thing.id);
            check!(self, path, "unknown-kind", "kind", &thing.kind, kinds);
            if let Owner::Player(player) = &thing.owner {
                check!(self, path, "unknown-player", "player", player, players);
            }
            if let Some(place) = &thing.place {
                check!(self, path, "unknown-place", "place", place, places);
            }
        }
    }

    fn care(&mut self) {
        for care in self.library.care.values() {
            let path = &path_of(CARE, &care.instrument);
            check!(self, path, "unknown-instrument", "instrument", &care.instrument, instruments);
            for one in care.bells.iter().flat_map(|bell| &bell.beaters) {
                check!(self, path, "unknown-beater", "beater", &one.beater, beaters);
            }
        }
    }

    fn takes(&mut self) {
        for (key, take) in self.library.takes.iter() {
            let path = &path_of(SOUNDS, key);
            check!(self, path, "unknown-instrument", "instrument", &take.instrument, instruments);
            for beater in take.strikes.iter().filter_map(|strike| strike.beater.as_ref()) {
                check!(self, path, "unknown-beater", "beater", beater, beaters);
            }
        }
    }

    fn work(&mut self, work: &Work) {
        let path = &path_of(WORKS, &work.id);
        for line in &work.lines {
            if let Some(kind) = &line.kind {
                check!(self, path, "unknown-kind", "kind", kind, kinds);
            }
            if work.movement(&line.movement).is_none() {
                let known = || work.movements.iter().map(|movement| movement.id.as_str());
                let near = || nearest(line.movement.as_str(), known()).map(ToOwned::to_owned);
                self.add(path, "unknown-movement", "movement", &line.movement, &near);
            }
        }
        for line in work.together.iter().flat_map(|(one, other)| [one, other]) {
            if work.line(line).is_none() {
                self.add(path, "unknown-line", "line", line, &|| near_line(work, line.as_str()));
            }
        }
    }

    fn week(&mut self, week: &Week, programmes: &BTreeSet<&str>) {
        let path = &path_of(WEEKS, &week.id);
        for service in &week.services {
            if let Some(venue) = &service.venue {
                check!(self, path, "unknown-venue", "venue", venue, venues);
            }
            if !programmes.contains(service.programme.as_str()) {
                let near =
                    || nearest(service.programme.as_str(), programmes.iter().copied()).map(ToOwned::to_owned);
                self.add(path, "unknown-programme", "programme", &service.programme, &near);
            }
        }
        for programme in &week.programmes {
            self.programme(path, programme);
        }
    }

    fn programme(&mut self, path: &str, programme: &Programme) {
        if let Some(venue) = &programme.venue {
            check!(self, path, "unknown-venue", "venue", venue, venues);
        }
        for work in &programme.works {
            check!(self, path, "unknown-work", "work", work, works);
        }
        let aside = || programme.put_aside().values();
        for (line, given) in programme.lines().chain(aside().flat_map(|aside| &aside.lines)) {
            self.line(path, line);
            if let Some(player) = &given.player {
                check!(self, path, "unknown-player", "player", player, players);
            }
            for instrument in given.uses() {
                check!(self, path, "unknown-instrument", "instrument", instrument, instruments);
            }
            for beater in &given.beaters {
                check!(self, path, "unknown-beater", "beater", beater, beaters);
            }
        }
        let setup = &programme.setup;
        let own = setup.of_works().map(|(_, own)| own).chain(aside().map(|aside| &aside.own));
        let own = own.flat_map(|own| own.places().map(|(id, _)| id).chain(own.taken_away()));
        let ties = setup.lying().chain(setup.in_stations()).flat_map(|(thing, by)| [thing, by]);
        let gone = aside().flat_map(|aside| aside.base.keys());
        let all: BTreeSet<_> = setup.places().map(|(id, _)| id).chain(own).chain(ties).chain(gone).collect();
        for instrument in all {
            check!(self, path, "unknown-instrument", "instrument", instrument, instruments);
        }
    }

    fn line(&mut self, path: &str, line: &LineRef) {
        match self.library.works.get(&line.work) {
            None => check!(self, path, "unknown-work", "work", &line.work, works),
            Some(work) if work.line(&line.line).is_none() => {
                self.add(path, "unknown-line", "line", &line.line, &|| near_line(work, line.line.as_str()));
            }
            Some(_) => {}
        }
    }

    /// Programmes and services of one id, and movements and lines of one id within a work: all are kept, but the
    /// second is out of reach.
    fn double_ids(&mut self) {
        let library = self.library;
        let mut programmes = BTreeSet::new();
        let mut services = BTreeSet::new();
        for week in library.weeks.values() {
            let path = path_of(WEEKS, &week.id);
            for programme in &week.programmes {
                self.double(&path, "programme", &programme.id, programmes.insert(&programme.id));
            }
            for service in &week.services {
                self.double(&path, "service", &service.id, services.insert(&service.id));
            }
        }
        for work in library.works.values() {
            let path = path_of(WORKS, &work.id);
            let mut movements = BTreeSet::new();
            for movement in &work.movements {
                self.double(&path, "movement", &movement.id, movements.insert(&movement.id));
            }
            let mut lines = BTreeSet::new();
            for line in &work.lines {
                self.double(&path, "line", &line.id, lines.insert(&line.id));
            }
        }
    }

    fn double(&mut self, path: &str, what: &str, id: &dyn Display, first: bool) {
        if first {
            return;
        }
        let (file, line) = (self.find)(path, &id.to_string());
        let words = format!("the id \"{id}\" of a {what} appears twice");
        let remedy = "give one of the two an id of its own; until then only the first is reached";
        self.problems.push(Problem::new(file, "double-id", words, remedy).at(line));
    }
}
