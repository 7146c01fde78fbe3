//! Which instruments and beaters a programme's lines could take: proposed for every line that has none, each with its reason and
//! the next best. It proposes and never decides: what was chosen by hand stays, and what is of another kind, lacks notes or may
//! do harm waits for somebody's yes.
//!
//! The rules, in this order, are exact and small: what was decided by ear for the line; what is of the kind and reaches; what is free at that hour; the fewest
//! instruments of a kind for the evening; what the line had last time; what the part's own words say; what the player or the
//! floor has already; whose it is; its state; its tuning; its room; its name. The same library gives the same answer.

mod beaters;
mod decided;
mod fewest;
mod instruments;
mod last;
mod lines;
mod rank;
#[cfg(test)]
mod tests;

use crate::collection::{Hardness, Head};
use crate::edit::Edit;
use crate::id::{BeaterId, InstrumentId, ProgrammeId};
use crate::library::Library;
use crate::week::{LineRef, Programme};
use std::collections::BTreeMap;

/// What a part's words fix of a beater: "hard", "bacchette di spugna", "mit Holzschlägeln".
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Wanted {
    /// Heads that would do, the likeliest first; empty where the words name none.
    pub heads: Vec<Head>,
    /// How hard; `None` where the words do not say.
    pub hardness: Option<Hardness>,
}

impl Wanted {
    /// Whether the words fix nothing.
    pub const fn is_open(&self) -> bool {
        self.heads.is_empty() && self.hardness.is_none()
    }
}

/// What is asked: a programme of a library, and who can read a part's words.
#[derive(Clone, Copy)]
pub struct Ask<'a> {
    /// The library.
    pub library: &'a Library,
    /// The programme, which need not stand in the library as it is here.
    pub programme: &'a Programme,
    /// What the beater words of a line fix. The words are the files' to know.
    pub wanted: &'a dyn Fn(&[String]) -> Wanted,
}

/// What one line could take.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The line.
    pub line: LineRef,
    /// On what; `None` where something was chosen by hand.
    pub instruments: Option<Pick<InstrumentId>>,
    /// With what; `None` where something was chosen by hand, or where the kind is not struck with a beater.
    pub beaters: Option<Pick<BeaterId>>,
}

/// A proposal with its reason and what would be next.
#[derive(Clone, Debug, PartialEq)]
pub struct Pick<T> {
    /// What is proposed; empty where nothing can be.
    pub chosen: Vec<T>,
    /// Why this, or why nothing; a phrase without its stop.
    pub reason: String,
    /// What would be next; empty where there is nothing else.
    pub next: Vec<T>,
    /// Why it comes after; a phrase without its stop.
    pub next_reason: String,
    /// Somebody must say yes to it first: another kind, notes that lack, a beater that is not what the part asks.
    pub asks: bool,
}

impl<T> Pick<T> {
    fn nothing(reason: impl Into<String>) -> Self {
        Self {
            chosen: Vec::new(),
            reason: reason.into(),
            next: Vec::new(),
            next_reason: String::new(),
            asks: false,
        }
    }
}

/// A proposal for every line of the programme that lacks an instrument or beaters, in playing order.
pub fn propose(ask: &Ask<'_>) -> Vec<Choice> {
    let lines = lines::of(ask.library, ask.programme);
    let last = last::Last::of(ask.library, ask.programme);
    let mut on = instruments::propose(ask, &lines, &last);
    let mut with = beaters::propose(ask, &lines, &last, &on);
    lines
        .iter()
        .enumerate()
        .map(|(at, row)| Choice {
            line: row.at.clone(),
            instruments: on.remove(&at),
            beaters: with.remove(&at),
        })
        .filter(|choice| choice.instruments.is_some() || choice.beaters.is_some())
        .collect()
}

/// The edits that take a proposal: on what, with what, or both. Empty where nothing is proposed.
pub fn edits(programme: &ProgrammeId, choice: &Choice) -> Vec<Edit> {
    let chosen = |ids: &Pick<InstrumentId>| (!ids.chosen.is_empty()).then(|| ids.chosen.clone());
    let on = choice.instruments.as_ref().and_then(chosen).map(|instruments| Edit::UseInstruments {
        programme: programme.clone(),
        line: choice.line.clone(),
        instruments,
    });
    let with = choice.beaters.as_ref().filter(|pick| !pick.chosen.is_empty()).map(|pick| Edit::UseBeaters {
        programme: programme.clone(),
        line: choice.line.clone(),
        beaters: pick.chosen.clone(),
    });
    on.into_iter().chain(with).collect()
}

/// Picks by the place of their line among the lines.
type Picks<T> = BTreeMap<usize, Pick<T>>;
