//! Every check over a programme worked out, as plain values: what, where, how bad, and what would mend it. One rule a file;
//! to add one, write the file with its `check`, name it in `RULES`, and give it a row in `rule.rs`. What is found in the collection
//! whatever the programme is [`of_collection`].

mod absent;
mod beaters;
mod bells;
mod dangling;
mod double_booked;
mod engaged;
mod floor;
mod given;
mod hands;
mod loud;
mod moves;
mod notes;
mod odd;
mod reach;
mod retuning;
mod rule;
mod services;
mod short_beaters;
#[cfg(test)]
mod tests;
mod tuning;

pub use double_booked::{
    CARRY_MIN, Neighbours, TRAVEL_MIN, Wanted, busy_elsewhere, other_use, wanted_elsewhere,
};
pub use odd::of_collection;
pub use rule::Rule;

use crate::edit::{Edit, words};
use crate::evening::Evening;
use crate::id::{InstrumentId, PlayerId, ProgrammeId, ServiceId};
use crate::library::Library;
use crate::moves::{Answer, Timetable};
use crate::week::{LineRef, Programme, Standing};

/// Something that the program noticed. It is worded here, once; screens, paper and commands print it as it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What was looked for.
    pub rule: Rule,
    /// How bad.
    pub degree: Degree,
    /// What, in a few words; no full stop.
    pub what: String,
    /// Where and how bad; whole sentences, empty where `what` says it all.
    pub why: String,
    /// What would mend it; whole sentences, empty where there is nothing to mend.
    pub remedy: String,
    /// What it is about, the first most of all.
    pub about: Vec<About>,
    /// A change that mends it, with its words. Where there is none the window leads to where it is mended by hand.
    pub fix: Option<(String, Edit)>,
}

impl Finding {
    fn new(rule: Rule, degree: Degree, what: impl Into<String>) -> Self {
        let (why, remedy) = (String::new(), String::new());
        Self { rule, degree, what: what.into(), why, remedy, about: Vec::new(), fix: None }
    }

    fn why(self, why: impl Into<String>) -> Self {
        Self { why: why.into(), ..self }
    }

    fn remedy(self, remedy: impl Into<String>) -> Self {
        Self { remedy: remedy.into(), ..self }
    }

    fn about(self, about: impl IntoIterator<Item = About>) -> Self {
        Self { about: about.into_iter().collect(), ..self }
    }

    fn fix(self, fix: Option<(String, Edit)>) -> Self {
        Self { fix, ..self }
    }

    /// What, where and how bad in one line, for a cell of a table.
    pub fn line(&self) -> String {
        let mut chars = self.why.trim_end_matches('.').chars();
        let Some(first) = chars.next() else { return self.what.clone() };
        format!("{}: {}{}", self.what, first.to_lowercase(), chars.as_str())
    }

    /// Where, how bad, and what would mend it, as one text.
    pub fn detail(&self) -> String {
        let both = [self.why.as_str(), self.remedy.as_str()];
        both.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" ")
    }
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
    Sounds,
    Collection,
}

/// What a finding is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each names what it holds")]
pub enum About {
    Line(LineRef),
    Instrument(InstrumentId),
    Player(PlayerId),
    Programme(ProgrammeId),
    Service(ServiceId),
}

/// Words as the beginning of a sentence.
fn sentence(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// "a, b and c".
fn listed(words: &[String], and: &str) -> String {
    match words {
        [most @ .., last] if !most.is_empty() => format!("{} {and} {last}", crate::id::listed(most)),
        all => all.concat(),
    }
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
    let mut found: Vec<Finding> = RULES.iter().flat_map(|rule| rule(&case)).collect();
    found.sort_by_key(|one| (one.degree, one.rule.shows_on()));
    found
}

/// Every file of rules.
const RULES: &[fn(&Case<'_>) -> Vec<Finding>] = &[
    moves::check,
    hands::check,
    reach::check,
    double_booked::check,
    notes::check,
    retuning::check,
    beaters::check,
    short_beaters::check,
    absent::check,
    engaged::check,
    floor::check,
    given::check,
    services::check,
    tuning::check,
    bells::check,
    loud::check,
    dangling::check,
];

/// What other programmes need too, when this one does: instruments, players and beaters; and services of its own that collide.
/// For the season, which asks for nothing else.
pub fn across(evening: &Evening) -> Vec<Finding> {
    let (library, programme) = (evening.library(), evening.programme());
    let case = Case { evening, library, programme, timetable: evening.timetable() };
    let mut found = double_booked::check(&case);
    found.extend(services::collide(&case));
    found
}

impl Case<'_> {
    /// "Xylophone in Lanterns on the Estuary II".
    fn line_words(&self, at: &LineRef) -> String {
        let Some((_, line)) = self.library.line(at) else { return at.line.to_string() };
        format!("{} in {}", self.library.line_name(line), self.movement_words(at))
    }

    /// The work and movement of a line, "Lanterns on the Estuary II".
    fn movement_words(&self, at: &LineRef) -> String {
        let Some((work, line)) = self.library.line(at) else { return String::new() };
        let number = work.movement(&line.movement).map_or("", |movement| movement.number.as_str());
        format!("{} {number}", work.title).trim_end().to_owned()
    }

    /// A change with its words.
    fn words_of(&self, edit: Edit) -> (String, Edit) {
        (words(self.library, &edit), edit)
    }

    /// Assigns the first of these lines that is not locked, and that another player can take, to the first in roster order who
    /// can: of those engaged, else of those in reserve.
    fn to_another(&self, lines: &[&LineRef]) -> Option<(String, Edit)> {
        let free = lines.iter().filter(|line| !self.programme.given(line).is_some_and(|given| given.locked));
        for line in free {
            let answers = self.timetable.answers(self.library, &self.programme.id, line);
            let standing = |answer: &Answer| {
                let player = self.library.players.get(&answer.player);
                player.map_or(Standing::Free, |player| self.programme.roster.of(player).standing)
            };
            let able = answers.into_iter().filter(Answer::fits);
            if let Some(answer) = able.min_by_key(standing) {
                let (programme, line) = (self.programme.id.clone(), (*line).clone());
                return Some(self.words_of(Edit::Assign { programme, line, player: Some(answer.player) }));
            }
        }
        None
    }

    /// The lines of the programme that were given something, in playing order.
    fn given(&self) -> impl Iterator<Item = &crate::moves::AssignedLine> {
        self.timetable.lines.iter()
    }
}
