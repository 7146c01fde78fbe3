//! What a work remembers: comparisons by ear and decisions.

use super::{Choice, Grade};
use crate::id::{BeaterId, DecisionId, InstrumentId, KindId, LineId, TakeId, TrialId};
use jiff::civil::Date;

/// Everything that was tried and decided for the lines of a work. It outlives programmes and new readings of the score.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Memory {
    /// In the order in which they were entered.
    pub trials: Vec<Trial>,
    /// In the order in which they were entered.
    pub decisions: Vec<Decision>,
}

/// The line that something is about, and what it was when that was entered: a new reading may have lost it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct About {
    /// The line within the work.
    pub line: LineId,
    /// What it was called: "Xylophone".
    pub name: String,
    /// What it asked for; `None` where the part left it open.
    pub kind: Option<KindId>,
    /// What the part said of it: "Xyl., hard sticks".
    pub words: String,
}

/// Something that a line can be played on, with and where.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Candidate {
    /// On which instruments; more than one where a single one does not reach.
    pub instruments: Vec<InstrumentId>,
    /// With which beaters.
    pub beaters: Vec<BeaterId>,
    /// Where or how it is struck: "edge", "over the node"; may be empty.
    pub spot: String,
    /// The strike that is heard, in a take of the first instrument: the take and its number there; `None` on stage, and where any
    /// strike does that was played so.
    pub strike: Option<(TakeId, usize)>,
    /// What it was called when it was entered, for when an instrument or beater is no longer there.
    pub name: String,
}

/// How candidates are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum How {
    /// On stage, by whoever listens in the hall.
    #[default]
    Live,
    /// Two by two on one question.
    Pairs,
    /// Several at once, graded from 0 to 100, one of them hidden in there twice.
    Graded,
    /// Whether a difference can be heard at all: which of the two is the third?
    Abx,
}

impl How {
    /// All, in the order of menus.
    pub const ALL: [Self; 4] = [Self::Live, Self::Pairs, Self::Graded, Self::Abx];

    /// The word in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Live => "live",
            Self::Pairs => "pairs",
            Self::Graded => "graded",
            Self::Abx => "abx",
        }
    }

    /// In words.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Live => "live in the hall",
            Self::Pairs => "two by two",
            Self::Graded => "several at once, graded",
            Self::Abx => "can we hear a difference?",
        }
    }

    /// The usual number of rounds; what a round is [`Trial::rounds`] says.
    pub const fn usual_rounds(self) -> u32 {
        match self {
            Self::Live | Self::Graded => 1,
            Self::Pairs => 2,
            Self::Abx => 16,
        }
    }

    /// Whether takes are listened to, and not the stage.
    pub const fn needs_takes(self) -> bool {
        !matches!(self, Self::Live)
    }
}

/// Somebody who listened, with what they said.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Listener {
    /// The name.
    pub name: String,
    /// From where in the hall: "row 12", "balcony"; may be empty.
    pub from: String,
    /// In the order in which they were given.
    pub answers: Vec<Answer>,
    /// In their own words; may be empty.
    pub words: String,
}

/// One answer. Candidates are numbered from 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Answer {
    /// The one that was liked best of all.
    Best(usize),
    /// Of two.
    Pair {
        /// The one that was heard first.
        one: usize,
        /// The one that was heard second.
        other: usize,
        /// Which was chosen.
        said: Choice,
    },
    /// Which of the first two candidates the unknown one was: 0 or 1.
    Abx {
        /// Which it was.
        was: usize,
        /// Which was said.
        said: usize,
    },
    /// A grade.
    Grade(Grade),
}

/// Candidates for a line compared by ear, and what was said.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Stable within the work.
    pub id: TrialId,
    /// For which line.
    pub about: About,
    /// When it was begun.
    pub when: Date,
    /// What was asked: "Which is nearer to what the conductor asked?"; may be empty.
    pub question: String,
    /// What was compared.
    pub candidates: Vec<Candidate>,
    /// How.
    pub how: How,
    /// Fixed beforehand: how often each pair is heard, how many answers there are to whether a difference is heard; 1 elsewhere.
    pub rounds: u32,
    /// Whether names and order were hidden from the listeners.
    pub blind: bool,
    /// What orders by chance were drawn from.
    pub seed: u64,
    /// One after the other.
    pub listeners: Vec<Listener>,
    /// What came of it, in the section's words; may be empty.
    pub verdict: String,
    /// What the conductor said; may be empty.
    pub conductor: String,
}

/// What was chosen for a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decision {
    /// Stable within the work.
    pub id: DecisionId,
    /// For which line.
    pub about: About,
    /// What was chosen.
    pub chosen: Candidate,
    /// Why; may be empty.
    pub why: String,
    /// By whom; may be empty.
    pub by: String,
    /// When.
    pub when: Date,
    /// What the conductor said; may be empty.
    pub conductor: String,
    /// The trial that led to it.
    pub trial: Option<TrialId>,
}

impl Memory {
    /// Whether there is nothing in it.
    pub const fn is_empty(&self) -> bool {
        self.trials.is_empty() && self.decisions.is_empty()
    }

    /// One of its trials.
    pub fn trial(&self, id: &TrialId) -> Option<&Trial> {
        self.trials.iter().find(|trial| trial.id == *id)
    }

    /// One of its decisions.
    pub fn decision(&self, id: &DecisionId) -> Option<&Decision> {
        self.decisions.iter().find(|decision| decision.id == *id)
    }

    /// The latest decision about a line; of those of one day the one entered last.
    pub fn decided(&self, line: &LineId) -> Option<&Decision> {
        self.decisions.iter().filter(|decision| decision.about.line == *line).max_by_key(|one| one.when)
    }

    /// Adds a trial, or puts it in the place of the one with its id.
    pub fn put_trial(&mut self, trial: Trial) {
        match self.trials.iter_mut().find(|old| old.id == trial.id) {
            Some(old) => *old = trial,
            None => self.trials.push(trial),
        }
    }

    /// Adds a decision, or puts it in the place of the one with its id.
    pub fn put_decision(&mut self, decision: Decision) {
        match self.decisions.iter_mut().find(|old| old.id == decision.id) {
            Some(old) => *old = decision,
            None => self.decisions.push(decision),
        }
    }

    /// With what another remembers as well, where this does not know it.
    pub fn joined(&mut self, other: &Self) {
        for trial in &other.trials {
            if self.trial(&trial.id).is_none() {
                self.trials.push(trial.clone());
            }
        }
        for decision in &other.decisions {
            if self.decision(&decision.id).is_none() {
                self.decisions.push(decision.clone());
            }
        }
    }

    /// With all that another work remembers, whose lines are called otherwise here, under ids that are free here.
    pub fn take_over(&mut self, other: &Self, renamed: &[(LineId, LineId)]) {
        let about = |about: &About| {
            let here = renamed.iter().find(|(there, _)| *there == about.line);
            About { line: here.map_or_else(|| about.line.clone(), |(_, here)| here.clone()), ..about.clone() }
        };
        let mut trials: Vec<(TrialId, TrialId)> = Vec::new();
        for trial in &other.trials {
            let id = TrialId::fresh(trial.id.as_str(), |id| self.trial(id).is_some());
            trials.push((trial.id.clone(), id.clone()));
            self.trials.push(Trial { id, about: about(&trial.about), ..trial.clone() });
        }
        for decision in &other.decisions {
            let id = DecisionId::fresh(decision.id.as_str(), |id| self.decision(id).is_some());
            let here =
                |old: &TrialId| trials.iter().find(|(there, _)| there == old).map(|(_, id)| id.clone());
            let trial = decision.trial.as_ref().and_then(here);
            self.decisions.push(Decision { id, about: about(&decision.about), trial, ..decision.clone() });
        }
    }

    /// What is about these lines alone.
    #[must_use]
    pub fn only_about(&self, of: impl Fn(&LineId) -> bool) -> Self {
        let mut some = self.clone();
        some.trials.retain(|trial| of(&trial.about.line));
        some.decisions.retain(|decision| of(&decision.about.line));
        some
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    fn id(id: &str) -> LineId {
        LineId::new(id).unwrap()
    }

    #[test]
    fn the_latest_decision_counts() {
        let mut memory = Memory::default();
        for (id, year) in [("old", 2027), ("new", 2033), ("older", 2021)] {
            let mut decision = sample::decision(id, "xyl");
            decision.when = jiff::civil::date(year, 3, 1);
            memory.put_decision(decision);
        }
        assert_eq!(memory.decided(&id("xyl")).map(|one| one.id.as_str()), Some("new"));
        assert_eq!(memory.decided(&id("sn")), None);
    }

    #[test]
    fn joined_works_keep_both_memories_and_their_ties() {
        let mut here = Memory::default();
        here.put_trial(sample::trial("t", "xyl"));
        let mut there = here.clone();
        let decision =
            Decision { trial: there.trials.first().map(|t| t.id.clone()), ..sample::decision("d", "xyl") };
        there.put_decision(decision);
        here.take_over(&there, &[(id("xyl"), id("xyl-2"))]);
        let ids: Vec<&str> = here.trials.iter().map(|trial| trial.id.as_str()).collect();
        assert_eq!(ids, ["t", "t-2"]);
        let taken = here.decided(&id("xyl-2")).unwrap();
        assert_eq!(taken.trial.as_ref().map(TrialId::as_str), Some("t-2"));
        assert_eq!(here.only_about(|line| *line == id("xyl")).trials.len(), 1);
    }
}
