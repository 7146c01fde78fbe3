//! What a change does, in words: "Give Glockenspiel to N. Okafor".

use super::Edit;
use crate::library::Library;
use crate::week::{CallRef, Kept};

fn call_name(library: &Library, call: &CallRef) -> String {
    library.call(call).map_or_else(|| call.call.to_string(), |(_, c)| library.call_name(c))
}

fn work_title(library: &Library, work: &crate::id::WorkId) -> String {
    library.works.get(work).map_or_else(|| work.to_string(), |work| work.title.clone())
}

fn list(names: impl Iterator<Item = String>) -> String {
    let names: Vec<String> = names.collect();
    if names.is_empty() { "nothing".to_owned() } else { names.join(", ") }
}

/// The change in words; `library` is the one before it.
pub fn words(library: &Library, edit: &Edit) -> String {
    match edit {
        Edit::SetHouse(_) => "Change the house's settings".to_owned(),
        Edit::PutKind(kind) => put(library.kinds.contains_key(&kind.id), kind.name()),
        Edit::RemoveKind(id) => format!("Remove kind {}", library.kind_name(id)),
        Edit::PutInstrument(thing) => put(library.instruments.contains_key(&thing.id), &thing.name),
        Edit::RemoveInstrument(id) => format!("Remove {}", library.instrument_name(id)),
        Edit::PutBeater(beater) => put(library.beaters.contains_key(&beater.id), &beater.name),
        Edit::RemoveBeater(id) => {
            format!("Remove {}", library.beaters.get(id).map_or(id.as_str(), |beater| &beater.name))
        }
        Edit::PutPlayer(player) => put(library.players.contains_key(&player.id), &player.name),
        Edit::RemovePlayer(id) => format!("Remove {}", library.player_name(id)),
        Edit::PutPlace(place) => put(library.places.contains_key(&place.id), &place.name),
        Edit::RemovePlace(id) => {
            format!("Remove {}", library.places.get(id).map_or(id.as_str(), |place| &place.name))
        }
        Edit::PutVenue(venue) => put(library.venues.contains_key(&venue.id), &venue.name),
        Edit::RemoveVenue(id) => {
            format!("Remove {}", library.venues.get(id).map_or(id.as_str(), |venue| &venue.name))
        }
        Edit::PutWork(work) => put(library.works.contains_key(&work.id), &work.title),
        Edit::RemoveWork(id) => {
            format!("Remove {}", library.works.get(id).map_or(id.as_str(), |work| &work.title))
        }
        Edit::Together { words, .. } => words.clone(),
        other => words_of_week(library, other),
    }
}

fn put(there: bool, name: &str) -> String {
    if there { format!("Change {name}") } else { format!("Add {name}") }
}

/// What is kept, in words: "Xylophone and Marimba with one player".
pub fn kept_words(library: &Library, kept: &Kept) -> String {
    let pair = |a, b| format!("{} and {}", call_name(library, a), call_name(library, b));
    match kept {
        Kept::Together(a, b) => format!("{} with one player", pair(a, b)),
        Kept::Apart(a, b) => format!("{} with different players", pair(a, b)),
        Kept::Only(call, players) => {
            let names: Vec<String> = players.iter().map(|id| library.player_name(id)).collect();
            format!("{} only for {}", call_name(library, call), names.join(" or "))
        }
    }
}

fn words_of_week(library: &Library, edit: &Edit) -> String {
    match edit {
        Edit::PutCall { work, call } => {
            let there = library.works.get(work).is_some_and(|work| work.call(&call.id).is_some());
            put(there, &format!("call {}", library.call_name(call)))
        }
        Edit::RemoveCall { work, call } => {
            let at = CallRef { work: work.clone(), call: call.clone() };
            format!("Remove call {}", call_name(library, &at))
        }
        Edit::PutWeek(week) => put(library.weeks.contains_key(&week.id), &week.title),
        Edit::RemoveWeek(id) => {
            format!("Remove {}", library.weeks.get(id).map_or(id.as_str(), |week| &week.title))
        }
        Edit::PutProgramme { programme, .. } => {
            put(library.programme(&programme.id).is_some(), &programme.title)
        }
        Edit::RemoveProgramme(id) => {
            format!("Remove {}", library.programme(id).map_or(id.as_str(), |programme| &programme.title))
        }
        Edit::PutService { service, .. } => put(
            library.service(&service.id).is_some(),
            &format!("{} {}", service.kind.word(), service.start.strftime("%-d %b, %H:%M")),
        ),
        Edit::RemoveService(id) => {
            let words = |service: &crate::week::Service| {
                format!("{} {}", service.kind.word(), service.start.strftime("%-d %b, %H:%M"))
            };
            format!("Remove {}", library.service(id).map_or_else(|| format!("service {id}"), words))
        }
        Edit::Give { call, player: Some(player), .. } => {
            format!("Give {} to {}", call_name(library, call), library.player_name(player))
        }
        Edit::Give { call, player: None, .. } => format!("Take {} back", call_name(library, call)),
        Edit::UseInstruments { call, instruments, .. } => {
            let names = list(instruments.iter().map(|id| library.instrument_name(id)));
            format!("Play {} on {names}", call_name(library, call))
        }
        Edit::UseBeaters { call, beaters, .. } => {
            let name = |id| library.beaters.get(id).map_or_else(String::new, |beater| beater.name.clone());
            format!("Play {} with {}", call_name(library, call), list(beaters.iter().map(name)))
        }
        Edit::Pin { call, pinned: true, .. } => format!("Pin {}", call_name(library, call)),
        Edit::Pin { call, pinned: false, .. } => format!("Unpin {}", call_name(library, call)),
        Edit::Keep { kept, .. } => kept_words(library, kept),
        Edit::LetGo { kept, .. } => format!("Let go: {}", kept_words(library, kept)),
        Edit::Stand { programme, instrument, placement } => {
            let name = library.instrument_name(instrument);
            let before = library.programme(programme).and_then(|p| p.setup.placements.get(instrument));
            match before {
                None => format!("Stand {name} on the floor"),
                Some(old) if old.at != placement.at => format!("Move {name}"),
                Some(old) if old.turn_deg.total_cmp(&placement.turn_deg).is_ne() => {
                    format!("Turn {name} to {}°", placement.turn_deg.rem_euclid(360.0))
                }
                Some(_) => format!("Change the place of {name}"),
            }
        }
        Edit::StandFor { work, instrument, .. } => {
            format!("Stand {} for {}", library.instrument_name(instrument), work_title(library, work))
        }
        Edit::TakeOffFor { work, instrument, .. } => {
            let name = library.instrument_name(instrument);
            format!("Take {name} away for {}", work_title(library, work))
        }
        Edit::AsBase { work, instrument, .. } => {
            let name = library.instrument_name(instrument);
            format!("Let {name} stand as always for {}", work_title(library, work))
        }
        Edit::Bear { instrument, by: Some(by), .. } => {
            format!("Put {} on {}", library.instrument_name(instrument), library.instrument_name(by))
        }
        Edit::Bear { instrument, by: None, .. } => {
            format!("Let {} stand by itself", library.instrument_name(instrument))
        }
        Edit::TakeOff { instrument, .. } => {
            format!("Take {} off the floor", library.instrument_name(instrument))
        }
        _ => String::new(),
    }
}
