//! Words of parts: which kind they name, in four languages, with abbreviations, accents or none.

mod aliases;
mod ambiguous;
mod around;
mod beaters;
mod fold;
mod resolve;
mod sounds;
mod table;

pub(crate) use beaters::{Technique, techniques};
pub(crate) use fold::{Token, key, tokens};
pub(crate) use resolve::{Context, Resolved, fits};
pub(crate) use sounds::{is_kit, is_percussion_sound, key_of_map, kind_of_program, kind_of_sound, of_kit};
pub(crate) use table::{Candidate, Found, Heading, NameTable, languages_of};

use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use backrow_core::music::Degree;

/// What a word or heading was taken for, without knowing its notes.
#[derive(Clone, Debug, PartialEq)]
pub struct Guess {
    /// The likeliest kind.
    pub kind: KindId,
    /// All that it could be, the likeliest first.
    pub candidates: Vec<KindId>,
    /// As printed.
    pub printed: String,
    /// How sure.
    pub degree: Degree,
}

/// The kinds that a part's heading names; empty for "Percussion 2" and for other instruments.
pub fn name_of_heading(text: &str, kinds: &Shared<KindId, Kind>) -> Vec<Guess> {
    name_in(text, &NameTable::new(kinds))
}

/// The same for one of many headings.
pub(crate) fn name_in(text: &str, table: &NameTable) -> Vec<Guess> {
    let heading = table.heading(text);
    if heading.other { Vec::new() } else { guesses(table, &heading.found) }
}

/// The kinds that words in a part name, and the beaters that they ask for.
pub fn words_of_part(text: &str, kinds: &Shared<KindId, Kind>) -> (Vec<Guess>, Vec<String>) {
    let table = NameTable::new(kinds);
    let (found, technique) = read_words(&table, text);
    (guesses(&table, &found), technique.beaters)
}

fn guesses(table: &NameTable, found: &[Found]) -> Vec<Guess> {
    found
        .iter()
        .filter_map(|found| {
            let resolved = table.resolve(&found.candidates, &Context::default());
            Some(Guess {
                kind: resolved.kind?,
                candidates: resolved.candidates,
                printed: found.printed.clone(),
                degree: resolved.degree,
            })
        })
        .collect()
}

/// Names and techniques in words of a part; names inside a beater's phrase ("snare drum sticks") are the beater's.
pub(crate) fn read_words(table: &NameTable, text: &str) -> (Vec<Found>, Technique) {
    let words = tokens(text);
    let is_name = |from: usize, to: usize| {
        words.get(from..to).is_some_and(|window| {
            table.find(text, window, &[]).first().is_some_and(|f| f.from == 0 && f.to == to - from)
        })
    };
    let technique = techniques(text, &words, &is_name);
    let found = table.find(text, &words, &technique.taken);
    (found, technique)
}
