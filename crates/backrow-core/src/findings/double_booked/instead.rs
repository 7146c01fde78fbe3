//! What could stand in for an instrument that two programmes need.

use super::{Case, other_use};
use crate::collection::{Instrument, Owner};
use crate::compass::{Fit, PitchSet, fit};
use crate::edit::Edit;
use crate::id::InstrumentId;
use crate::week::Programme;
use std::collections::{BTreeMap, BTreeSet};

/// Names at most so many of the free ones.
const MOST: usize = 2;

/// For each instrument another of its kind that also reaches what is asked of it and that neither programme has: ours first,
/// then a player's own; else hire.
pub(super) fn words(case: &Case<'_>, other: &Programme, twice: &BTreeSet<InstrumentId>) -> String {
    let (ours, theirs) = (case.programme.instruments(), other.instruments());
    let taken: BTreeSet<&InstrumentId> = ours.union(&theirs).copied().collect();
    let mut by_answer: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for id in twice {
        by_answer.entry(answer(case, id, &taken)).or_default().push(case.library.instrument_name(id));
    }
    let many = twice.len() > 1;
    let sentence = |(answer, names): (&String, &Vec<String>)| {
        if many { format!("For {}: {answer}.", names.join("; ")) } else { format!("Instead: {answer}.") }
    };
    by_answer.iter().map(sentence).collect::<Vec<_>>().join(" ")
}

/// Plays this programme on one of ours that is free, where one instrument alone is needed twice; it stands where the other stood.
/// Not where something else hangs on the instrument that has to be decided anew: drums with pitches of their own, single notes
/// played on it, a place of its own for one work, a station, something that lies on it; nor where the place is locked.
pub(super) fn swap(
    case: &Case<'_>,
    other: &Programme,
    twice: &BTreeSet<InstrumentId>,
) -> Option<(String, Edit)> {
    let (programme, library) = (case.programme, case.library);
    let id = twice.first().filter(|_| twice.len() == 1)?;
    let (ours, theirs) = (programme.instruments(), other.instruments());
    let taken: BTreeSet<&InstrumentId> = ours.union(&theirs).copied().collect();
    let can = |thing: &&Instrument| {
        thing.owner == Owner::Orchestra && other_use(library, programme, &thing.id).is_none()
    };
    let instead = free(case, id, &taken).into_iter().find(can)?;
    let mut edits: Vec<Edit> = Vec::new();
    for (line, given) in programme.lines().filter(|(_, given)| given.is_on(id)) {
        if !given.drums.is_empty() || given.instead.values().any(|how| how.on() == Some(id)) {
            return None;
        }
        let on = |one: &InstrumentId| if one == id { instead.id.clone() } else { one.clone() };
        let instruments = given.instruments.iter().map(on).collect();
        edits.push(Edit::UseInstruments { programme: programme.id.clone(), line: line.clone(), instruments });
    }
    let setup = &programme.setup;
    let of_a_work = setup.own.values().any(|own| own.placements.contains_key(id) || own.away.contains(id));
    let bears = setup.lies_on.iter().any(|(thing, by)| thing == id || by == id);
    if of_a_work || bears || setup.peers(id).next().is_some() {
        return None;
    }
    if let Some(placement) = setup.base.get(id) {
        if placement.locked {
            return None;
        }
        let (programme, placement) = (programme.id.clone(), *placement);
        edits.push(Edit::TakeOff { programme: programme.clone(), instrument: id.clone() });
        edits.push(Edit::Stand { programme, instrument: instead.id.clone(), placement });
    }
    let words = format!("Use {} instead of {}", instead.name, library.instrument_name(id));
    Some((words.clone(), Edit::Together { words, edits }))
}

/// What neither programme has of the instrument’s kind and reaches all that this one asks of it: ours first, then by name.
fn free<'a>(case: &'a Case<'_>, id: &InstrumentId, taken: &BTreeSet<&InstrumentId>) -> Vec<&'a Instrument> {
    let library = case.library;
    let Some(thing) = library.instruments.get(id) else { return Vec::new() };
    let asks = case
        .programme
        .lines()
        .filter(|(_, given)| given.is_on(id))
        .filter_map(|(at, given)| Some(given.asks_of(library.line(at)?.1, id)))
        .fold(PitchSet::EMPTY, PitchSet::union)
        .intersection(thing.bars());
    let others = library.instruments.values().map(|other| &**other);
    let mut free: Vec<&Instrument> = others
        .filter(|other| other.kind == thing.kind && !taken.contains(&&other.id))
        .filter(|other| asks.is_empty() || fit(other.compass(), asks).fit == Fit::Whole)
        .collect();
    free.sort_by_key(|other| (other.owner != Owner::Orchestra, other.name.clone()));
    free
}

fn answer(case: &Case<'_>, id: &InstrumentId, taken: &BTreeSet<&InstrumentId>) -> String {
    let library = case.library;
    let free = free(case, id, taken);
    let names: Vec<String> = free
        .iter()
        .take(MOST)
        .map(|other| match &other.owner {
            Owner::Orchestra => other.name.clone(),
            Owner::Player(player) => format!("{} ({}’s own)", other.name, library.player_name(player)),
            Owner::Other(words) => format!("{} ({words})", other.name),
        })
        .collect();
    if names.is_empty() {
        "nothing else free covers the notes: hire one, or use a player’s own".to_owned()
    } else {
        names.join(" or ")
    }
}
