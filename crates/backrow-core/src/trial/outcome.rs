//! What the answers of a trial say. While somebody still answers there is no figure: who could stop when it looks good would make
//! it false.

use super::{
    Answer, Grade, Graded, How, LEVEL, NoRanking, Preferred, Ranking, Trial, by_guessing, graded, own_error,
    rank, right_needed,
};

/// What was said of two candidates.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Choice {
    /// The first heard.
    One,
    /// The second heard.
    Other,
    /// Neither.
    Neither,
}

impl Choice {
    /// All.
    pub const ALL: [Self; 3] = [Self::One, Self::Other, Self::Neither];

    /// The word in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::One => "one",
            Self::Other => "other",
            Self::Neither => "neither",
        }
    }
}

/// How somebody did in telling two candidates apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Told {
    /// Right answers.
    pub right: u32,
    /// All answers, as fixed beforehand.
    pub of: u32,
    /// The right answers that one in twenty wants; `None` where so few answers can show nothing.
    pub needed: Option<u32>,
    /// How often somebody who guesses is right as often.
    pub by_guessing: f64,
}

impl Told {
    /// Whether a difference was shown. Not shown is not the same as none.
    pub fn is_shown(&self) -> bool {
        self.by_guessing <= LEVEL
    }
}

/// What came of a trial.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// Nobody has listened, or somebody has answers left: so many of all listeners together.
    Open {
        /// Answers that are still to come.
        left: usize,
    },
    /// Words and best ones: how often each candidate was somebody's best.
    Said {
        /// By candidate.
        best: Vec<u32>,
    },
    /// A ranking from pairs.
    Ranked(Ranking),
    /// Pairs that rank nothing.
    NotRanked(NoRanking),
    /// Each listener's figure, in their order, and that of all together.
    Told {
        /// By listener.
        each: Vec<Told>,
        /// All answers together.
        all: Told,
    },
    /// Grades, the best first.
    Graded {
        /// By candidate.
        grades: Vec<Graded>,
        /// The standard deviation of one grade, by the hidden repeats.
        own_error: Option<f64>,
    },
}

impl Trial {
    /// What its answers say; no figure before everybody who has begun has ended.
    pub fn outcome(&self) -> Outcome {
        let left = |(at, listener): (usize, &super::Listener)| {
            self.steps(at).len().saturating_sub(listener.answers.len())
        };
        let left: usize = self.listeners.iter().enumerate().map(left).sum();
        if left > 0 || self.listeners.is_empty() {
            return Outcome::Open { left };
        }
        match self.how {
            How::Live => Outcome::Said { best: self.best() },
            How::Pairs => match rank(&self.preferred()) {
                Ok(ranking) => Outcome::Ranked(ranking),
                Err(why) => Outcome::NotRanked(why),
            },
            How::Abx => self.told(),
            How::Graded => {
                let own: Vec<Vec<Grade>> = self.listeners.iter().map(|l| grades(&l.answers)).collect();
                let own: Vec<&[Grade]> = own.iter().map(Vec::as_slice).collect();
                Outcome::Graded { grades: graded(self.candidates.len(), &own), own_error: own_error(&own) }
            }
        }
    }

    fn answers(&self) -> impl Iterator<Item = &Answer> {
        self.listeners.iter().flat_map(|listener| &listener.answers)
    }

    fn best(&self) -> Vec<u32> {
        let count = |candidate| self.answers().filter(|answer| **answer == Answer::Best(candidate)).count();
        (0..self.candidates.len()).map(|one| u32::try_from(count(one)).unwrap_or(u32::MAX)).collect()
    }

    /// How often each candidate was preferred to each other one, by all listeners together.
    pub fn preferred(&self) -> Preferred {
        let mut all = Preferred::among(self.candidates.len());
        for answer in self.answers() {
            match *answer {
                Answer::Pair { one, other, said: Choice::One } => all.prefer(one, other, 1),
                Answer::Pair { one, other, said: Choice::Other } => all.prefer(other, one, 1),
                Answer::Pair { one, other, said: Choice::Neither } => all.neither(one, other),
                _ => {}
            }
        }
        all
    }

    fn told(&self) -> Outcome {
        let told = |right: u32, of: u32| Told {
            right,
            of,
            needed: right_needed(of, LEVEL),
            by_guessing: by_guessing(right, of),
        };
        let counts: Vec<(u32, u32)> = self
            .listeners
            .iter()
            .map(|listener| {
                let answers = listener.answers.iter().filter_map(|answer| match answer {
                    Answer::Abx { was, said } => Some(was == said),
                    _ => None,
                });
                answers.fold((0, 0), |(right, of), is_right| (right + u32::from(is_right), of + 1))
            })
            .collect();
        let all = counts.iter().fold((0, 0), |sum, count| (sum.0 + count.0, sum.1 + count.1));
        Outcome::Told {
            each: counts.into_iter().map(|(right, of)| told(right, of)).collect(),
            all: told(all.0, all.1),
        }
    }
}

fn grades(answers: &[Answer]) -> Vec<Grade> {
    let grade = |answer: &Answer| match answer {
        Answer::Grade(grade) => Some(*grade),
        _ => None,
    };
    answers.iter().filter_map(grade).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;
    use crate::trial::{Candidate, Listener, Step};

    /// A trial with a listener who answers every step so.
    fn answered(how: How, rounds: u32, say: impl Fn(Step) -> Answer, drop: usize) -> Trial {
        let mut trial = Trial {
            how,
            rounds,
            candidates: vec![Candidate::default(); 3],
            listeners: Vec::new(),
            ..sample::trial("t", "xyl")
        };
        let mut answers: Vec<Answer> = trial.steps(0).into_iter().map(say).collect();
        answers.truncate(answers.len() - drop);
        trial.listeners.push(Listener { name: "A".to_owned(), answers, ..Listener::default() });
        trial
    }

    fn higher(step: Step) -> Answer {
        let Step::Pair(one, other) = step else { panic!("pairs are asked") };
        Answer::Pair { one, other, said: if one > other { Choice::One } else { Choice::Other } }
    }

    fn right(step: Step) -> Answer {
        let Step::Abx(was) = step else { panic!("an unknown is asked") };
        Answer::Abx { was, said: was }
    }

    #[test]
    fn pairs_make_a_ranking() {
        let Outcome::Ranked(ranking) = answered(How::Pairs, 2, higher, 0).outcome() else { panic!() };
        let order: Vec<usize> = ranking.places.iter().map(|place| place.candidate).collect();
        assert_eq!((order, ranking.held), (vec![2, 1, 0], true));
    }

    #[test]
    fn no_figure_before_the_end() {
        assert_eq!(answered(How::Abx, 16, right, 1).outcome(), Outcome::Open { left: 1 });
        assert_eq!(sample::trial("t", "xyl").outcome(), Outcome::Open { left: 0 });
        let Outcome::Told { each, all } = answered(How::Abx, 16, right, 0).outcome() else { panic!() };
        assert_eq!((all.right, all.of, all.needed, all.is_shown()), (16, 16, Some(12), true));
        assert_eq!(each, [all]);
    }

    #[test]
    fn grades_with_the_listeners_own_error() {
        let grade = |step| {
            let Step::Grade { candidate, again } = step else { panic!("grades are asked") };
            let grade = candidate as f64 * 10.0 + if again { 4.0 } else { 0.0 };
            Answer::Grade(Grade { candidate, grade, again })
        };
        let Outcome::Graded { grades, own_error } = answered(How::Graded, 1, grade, 0).outcome() else {
            panic!()
        };
        assert_eq!(grades.first().map(|graded| graded.candidate), Some(2));
        assert!(own_error.is_some_and(|error| (error - 8.0_f64.sqrt()).abs() < 1e-12));
    }
}
