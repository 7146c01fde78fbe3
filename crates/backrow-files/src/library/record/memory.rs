//! What a work remembers, in its file: trials and decisions.

use super::is_default;
use crate::library::text::{Text, plain, texts};
use backrow_core::id::{BeaterId, DecisionId, InstrumentId, KindId, LineId, TakeId, TrialId};
use backrow_core::trial::{About, Answer, Candidate, Choice, Decision, Grade, How, Listener, Memory, Trial};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

#[derive(Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MemoryRecord {
    #[serde(default, skip_serializing_if = "is_default")]
    decisions: Vec<DecisionRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    trials: Vec<TrialRecord>,
}

/// The line, and what it was when this was entered.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutRecord {
    id: Text<LineId>,
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    #[serde(default, skip_serializing_if = "is_default")]
    kind: Option<Text<KindId>>,
    /// What the part said of it.
    #[serde(default, skip_serializing_if = "is_default")]
    words: String,
}

#[derive(Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CandidateRecord {
    #[serde(default, skip_serializing_if = "is_default")]
    instruments: Vec<Text<InstrumentId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    beaters: Vec<Text<BeaterId>>,
    #[serde(default, skip_serializing_if = "is_default")]
    spot: String,
    /// A take of the first instrument, and which of its strikes, from 0.
    #[serde(default, skip_serializing_if = "is_default")]
    strike: Option<(Text<TakeId>, usize)>,
    /// What it was called then.
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct DecisionRecord {
    id: Text<DecisionId>,
    line: AboutRecord,
    when: Text<Date>,
    #[serde(default, skip_serializing_if = "is_default")]
    chosen: CandidateRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    why: String,
    #[serde(default, skip_serializing_if = "is_default")]
    by: String,
    #[serde(default, skip_serializing_if = "is_default")]
    conductor: String,
    #[serde(default, skip_serializing_if = "is_default")]
    trial: Option<Text<TrialId>>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct TrialRecord {
    id: Text<TrialId>,
    line: AboutRecord,
    when: Text<Date>,
    how: Text<How>,
    #[serde(default, skip_serializing_if = "is_default")]
    question: String,
    candidates: Vec<CandidateRecord>,
    #[serde(default = "one", skip_serializing_if = "is_one")]
    rounds: u32,
    #[serde(default, skip_serializing_if = "is_default")]
    blind: bool,
    seed: u64,
    #[serde(default, skip_serializing_if = "is_default")]
    listeners: Vec<ListenerRecord>,
    #[serde(default, skip_serializing_if = "is_default")]
    verdict: String,
    #[serde(default, skip_serializing_if = "is_default")]
    conductor: String,
}

const fn one() -> u32 {
    1
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
const fn is_one(rounds: &u32) -> bool {
    *rounds == 1
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ListenerRecord {
    #[serde(default, skip_serializing_if = "is_default")]
    name: String,
    #[serde(default, skip_serializing_if = "is_default")]
    from: String,
    #[serde(default, skip_serializing_if = "is_default")]
    words: String,
    #[serde(default, skip_serializing_if = "is_default")]
    answers: Vec<AnswerRecord>,
}

/// Candidates are numbered from 0 as they stand in the trial.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum AnswerRecord {
    Best(usize),
    Pair(usize, usize, Text<Choice>),
    Abx {
        was: usize,
        said: usize,
    },
    Grade(usize, f64),
    /// The second grade of the candidate that was hidden in there twice.
    Again(usize, f64),
}

impl AboutRecord {
    fn of(about: &About) -> Self {
        let About { line, name, kind, words } = about.clone();
        Self { id: Text(line), name, kind: kind.map(Text), words }
    }

    fn value(self) -> About {
        let Self { id, name, kind, words } = self;
        About { line: id.0, name, kind: kind.map(|kind| kind.0), words }
    }
}

impl CandidateRecord {
    fn of(candidate: &Candidate) -> Self {
        let Candidate { instruments, beaters, spot, strike, name } = candidate;
        Self {
            instruments: texts(instruments),
            beaters: texts(beaters),
            spot: spot.clone(),
            strike: strike.clone().map(|(take, at)| (Text(take), at)),
            name: name.clone(),
        }
    }

    fn value(self) -> Candidate {
        let Self { instruments, beaters, spot, strike, name } = self;
        let strike = strike.map(|(take, at)| (take.0, at));
        Candidate { instruments: plain(instruments), beaters: plain(beaters), spot, strike, name }
    }
}

impl DecisionRecord {
    fn of(decision: &Decision) -> Self {
        let Decision { id, about, chosen, why, by, when, conductor, trial } = decision;
        Self {
            id: Text(id.clone()),
            line: AboutRecord::of(about),
            when: Text(*when),
            chosen: CandidateRecord::of(chosen),
            why: why.clone(),
            by: by.clone(),
            conductor: conductor.clone(),
            trial: trial.clone().map(Text),
        }
    }

    fn value(self) -> Decision {
        let Self { id, line, when, chosen, why, by, conductor, trial } = self;
        Decision {
            id: id.0,
            about: line.value(),
            chosen: chosen.value(),
            why,
            by,
            when: when.0,
            conductor,
            trial: trial.map(|trial| trial.0),
        }
    }
}

impl AnswerRecord {
    const fn of(answer: &Answer) -> Self {
        match *answer {
            Answer::Best(candidate) => Self::Best(candidate),
            Answer::Pair { one, other, said } => Self::Pair(one, other, Text(said)),
            Answer::Abx { was, said } => Self::Abx { was, said },
            Answer::Grade(Grade { candidate, grade, again: false }) => Self::Grade(candidate, grade),
            Answer::Grade(Grade { candidate, grade, again: true }) => Self::Again(candidate, grade),
        }
    }

    fn value(self) -> Answer {
        match self {
            Self::Best(candidate) => Answer::Best(candidate),
            Self::Pair(one, other, said) => Answer::Pair { one, other, said: said.0 },
            Self::Abx { was, said } => Answer::Abx { was, said },
            Self::Grade(candidate, grade) => Answer::Grade(Grade { candidate, grade, again: false }),
            Self::Again(candidate, grade) => Answer::Grade(Grade { candidate, grade, again: true }),
        }
    }
}

impl ListenerRecord {
    fn of(listener: &Listener) -> Self {
        let Listener { name, from, answers, words } = listener;
        Self {
            name: name.clone(),
            from: from.clone(),
            words: words.clone(),
            answers: answers.iter().map(AnswerRecord::of).collect(),
        }
    }

    fn value(self) -> Listener {
        let Self { name, from, words, answers } = self;
        Listener { name, from, words, answers: answers.into_iter().map(AnswerRecord::value).collect() }
    }
}

impl TrialRecord {
    fn of(trial: &Trial) -> Self {
        Self {
            id: Text(trial.id.clone()),
            line: AboutRecord::of(&trial.about),
            when: Text(trial.when),
            how: Text(trial.how),
            question: trial.question.clone(),
            candidates: trial.candidates.iter().map(CandidateRecord::of).collect(),
            rounds: trial.rounds,
            blind: trial.blind,
            seed: trial.seed,
            listeners: trial.listeners.iter().map(ListenerRecord::of).collect(),
            verdict: trial.verdict.clone(),
            conductor: trial.conductor.clone(),
        }
    }

    fn value(self) -> Trial {
        Trial {
            id: self.id.0,
            about: self.line.value(),
            when: self.when.0,
            question: self.question,
            candidates: self.candidates.into_iter().map(CandidateRecord::value).collect(),
            how: self.how.0,
            rounds: self.rounds,
            blind: self.blind,
            seed: self.seed,
            listeners: self.listeners.into_iter().map(ListenerRecord::value).collect(),
            verdict: self.verdict,
            conductor: self.conductor,
        }
    }
}

impl MemoryRecord {
    pub(super) fn of(memory: &Memory) -> Self {
        Self {
            decisions: memory.decisions.iter().map(DecisionRecord::of).collect(),
            trials: memory.trials.iter().map(TrialRecord::of).collect(),
        }
    }

    pub(super) fn value(self) -> Memory {
        Memory {
            trials: self.trials.into_iter().map(TrialRecord::value).collect(),
            decisions: self.decisions.into_iter().map(DecisionRecord::value).collect(),
        }
    }
}
