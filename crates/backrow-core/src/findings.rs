//! Every check over a programme, as plain values: what, where, how bad, and what would mend it. One rule a file.

mod absent;
mod beaters;
mod dangling;
mod floor;
mod given;
mod hands;
mod loud;
mod moves;
mod promised;
mod reach;
#[cfg(test)]
mod tests;
mod tuning;

pub use promised::{ACROSS, CARRY_MIN, TRAVEL_MIN, other_use, span_of};

use crate::edit::Edit;
use crate::evening::Evening;
use crate::id::{InstrumentId, PlayerId, ProgrammeId};
use crate::library::Library;
use crate::moves::Timetable;
use crate::week::{CallRef, Programme};

/// Something that the program noticed.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// A short stable word for scripts: `overlap`, `promised-twice`.
    pub code: &'static str,
    /// How bad.
    pub degree: Degree,
    /// Where it shows.
    pub shows_on: ShowsOn,
    /// What, in a few words; no full stop.
    pub what: String,
    /// Where, how bad, and what would mend it; whole sentences.
    pub detail: String,
    /// What it is about, the first most of all.
    pub about: Vec<About>,
    /// A change that mends it, with its words.
    pub fix: Option<(String, Edit)>,
}

/// How bad a finding is, the worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Degree {
    /// It does not go.
    Clash,
    /// Take care.
    Care,
    /// Worth knowing.
    Note,
}

impl Degree {
    /// "clash", "care" or "note".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Clash => "clash",
            Self::Care => "care",
            Self::Note => "note",
        }
    }
}

/// The screen that shows what a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the places' own words")]
pub enum ShowsOn {
    Section,
    Compass,
    Floor,
    Week,
}

/// What a finding is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each names what it holds")]
pub enum About {
    Call(CallRef),
    Instrument(InstrumentId),
    Player(PlayerId),
    Programme(ProgrammeId),
}

/// What every rule is given.
struct Case<'a> {
    evening: &'a Evening,
    library: &'a Library,
    programme: &'a Programme,
    timetable: &'a Timetable,
}

/// Everything that is found in a programme, worst first, then by screen and words.
pub fn check(evening: &Evening) -> Vec<Finding> {
    let (library, programme) = (evening.library(), evening.programme());
    let case = Case { evening, library, programme, timetable: evening.timetable() };
    let rules: [fn(&Case<'_>) -> Vec<Finding>; 11] = [
        moves::check,
        hands::check,
        promised::check,
        reach::check,
        beaters::check,
        absent::check,
        floor::check,
        given::check,
        tuning::check,
        loud::check,
        dangling::check,
    ];
    let mut found: Vec<Finding> = rules.iter().flat_map(|rule| rule(&case)).collect();
    found.sort_by_key(|a| (a.degree, a.shows_on));
    found
}

impl Case<'_> {
    /// "Xylophone in Lanterns on the Estuary II".
    fn call_words(&self, at: &CallRef) -> String {
        let Some((work, call)) = self.library.call(at) else { return at.call.to_string() };
        let number = work.movement(&call.movement).map_or("", |movement| movement.number.as_str());
        format!("{} in {} {number}", self.library.call_name(call), work.title).trim_end().to_owned()
    }

    /// The calls of the programme that were given something, in playing order.
    fn given(&self) -> impl Iterator<Item = &crate::moves::Taken> {
        self.timetable.calls.iter()
    }
}
