//! What could stand in for an instrument that two programmes need.

use super::Case;
use crate::collection::Owner;
use crate::compass::{Fit, PitchSet, fit};
use crate::id::InstrumentId;
use crate::week::Programme;
use std::collections::{BTreeMap, BTreeSet};

/// Names at most so many of the free ones.
const MOST: usize = 2;

/// For each instrument another of its kind that also reaches what is asked of it and that neither programme has: ours first,
/// then a player's own; else hire.
pub(super) fn words(case: &Case<'_>, other: &Programme, twice: &BTreeSet<InstrumentId>) -> String {
    let taken: BTreeSet<&InstrumentId> =
        case.programme.instruments().union(&other.instruments()).copied().collect();
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

fn answer(case: &Case<'_>, id: &InstrumentId, taken: &BTreeSet<&InstrumentId>) -> String {
    let library = case.library;
    let Some(thing) = library.instruments.get(id) else { return "hire".to_owned() };
    let asks = case
        .programme
        .lines()
        .filter(|(_, given)| given.is_on(id))
        .filter_map(|(at, given)| Some(given.asks_of(library.line(at)?.1, id)))
        .fold(PitchSet::EMPTY, PitchSet::union)
        .intersection(thing.bars());
    let mut free: Vec<_> = library
        .instruments
        .values()
        .filter(|other| other.kind == thing.kind && !taken.contains(&&other.id))
        .filter(|other| asks.is_empty() || fit(other.compass(), asks).fit == Fit::Whole)
        .collect();
    free.sort_by_key(|other| (other.owner != Owner::Orchestra, other.name.clone()));
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
