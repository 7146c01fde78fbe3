//! What a listener hears, in which order: drawn from the trial's seed, so that the same trial can be read again.

use super::{Chance, How, Trial};

/// The most answers that one listener is asked for; beyond it ears tire, and a file typed by hand may ask for anything.
pub const MOST_STEPS: usize = 500;

/// One thing that a listener hears and answers. Candidates are numbered from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Two candidates, the first heard first.
    Pair(usize, usize),
    /// The first two candidates, known as the one and the other, and an unknown that is one of them.
    Abx(usize),
    /// One of several; the second time where it says so.
    Grade {
        /// Which.
        candidate: usize,
        /// Whether the listener grades it for the second time.
        again: bool,
    },
}

impl Trial {
    /// What the listener with that number, from 0, hears in order; nothing for a live trial, and where there are fewer than two
    /// candidates.
    pub fn steps(&self, listener: usize) -> Vec<Step> {
        let count = self.candidates.len();
        if count < 2 {
            return Vec::new();
        }
        let number = u32::try_from(listener).unwrap_or(u32::MAX);
        let mut chance = Chance::for_listener(self.seed, number);
        let mut steps = match self.how {
            How::Live => Vec::new(),
            How::Pairs => self.pairs(&mut chance),
            How::Abx => (0..self.rounds).take(MOST_STEPS).map(|_| Step::Abx(chance.coin().into())).collect(),
            How::Graded => graded(count, &mut chance),
        };
        steps.truncate(MOST_STEPS);
        steps
    }

    /// Every pair once a round, each round in an order of its own; who is heard first changes from round to round.
    fn pairs(&self, chance: &mut Chance) -> Vec<Step> {
        let count = self.candidates.len();
        let mut all = Vec::new();
        let mut turned: Vec<bool> = Vec::new();
        for round in 0..self.rounds {
            if all.len() >= MOST_STEPS {
                break;
            }
            let mut pairs = Vec::new();
            let each = (0..count).flat_map(|one| (one + 1..count).map(move |other| (one, other)));
            for (at, (one, other)) in each.enumerate() {
                if turned.len() <= at {
                    turned.push(chance.coin());
                }
                let first = turned.get(at).copied().unwrap_or_default() == (round % 2 == 0);
                pairs.push(if first { Step::Pair(one, other) } else { Step::Pair(other, one) });
            }
            chance.shuffle(&mut pairs);
            all.extend(pairs);
        }
        all
    }

    /// What the listener with that number hears next; `None` when all has been answered.
    pub fn next_step(&self, listener: usize) -> Option<Step> {
        let answered = self.listeners.get(listener).map_or(0, |listener| listener.answers.len());
        self.steps(listener).get(answered).copied()
    }

    /// Whether the listener has answered everything.
    pub fn is_done(&self, listener: usize) -> bool {
        self.listeners.get(listener).is_some() && self.next_step(listener).is_none()
    }

    /// Whether names are hidden at present: somebody has begun to listen blind and has not ended.
    pub fn hides_names(&self) -> bool {
        self.blind && self.how.needs_takes() && (0..self.listeners.len()).any(|at| !self.is_done(at))
    }
}

/// Every candidate, and one of them twice.
fn graded(count: usize, chance: &mut Chance) -> Vec<Step> {
    let twice = usize::try_from(chance.below(count as u64)).unwrap_or(0);
    let mut heard: Vec<usize> = (0..count).chain([twice]).collect();
    chance.shuffle(&mut heard);
    let mut before = false;
    let step = |candidate| {
        let again = candidate == twice && before;
        before |= candidate == twice;
        Step::Grade { candidate, again }
    };
    heard.into_iter().map(step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;
    use crate::trial::Candidate;
    use proptest::prelude::*;

    fn trial(how: How, candidates: usize, rounds: u32, seed: u64) -> Trial {
        Trial {
            how,
            rounds,
            seed,
            candidates: vec![Candidate::default(); candidates],
            ..sample::trial("t", "xyl")
        }
    }

    proptest! {
        #[test]
        fn every_pair_is_heard_as_often_from_either_side(seed: u64, n in 2_usize..6, listener in 0_usize..9) {
            let steps = trial(How::Pairs, n, 2, seed).steps(listener);
            for one in 0..n {
                for other in (0..n).filter(|other| *other != one) {
                    let count = steps.iter().filter(|step| **step == Step::Pair(one, other)).count();
                    prop_assert_eq!(count, 1);
                }
            }
        }

        #[test]
        fn one_is_hidden_twice_and_the_second_time_comes_later(seed: u64, n in 2_usize..9) {
            let steps = trial(How::Graded, n, 1, seed).steps(0);
            prop_assert_eq!(steps.len(), n + 1);
            let again: Vec<usize> =
                steps.iter().enumerate().filter(|(_, s)| matches!(s, Step::Grade { again: true, .. })).map(|(at, _)| at).collect();
            prop_assert_eq!(again.len(), 1);
            let Some(Step::Grade { candidate, .. }) = again.first().and_then(|at| steps.get(*at)) else { panic!() };
            let first = steps.iter().position(|s| *s == Step::Grade { candidate: *candidate, again: false });
            prop_assert!(first < again.first().copied());
        }
    }

    #[test]
    fn what_cannot_be_compared_is_not_asked() {
        assert!(trial(How::Pairs, 1, 2, 0).steps(0).is_empty());
        assert!(trial(How::Live, 3, 2, 0).steps(0).is_empty());
        assert_eq!(trial(How::Abx, 2, 16, 0).steps(0).len(), 16);
        assert_eq!(trial(How::Abx, 2, u32::MAX, 0).steps(0).len(), MOST_STEPS);
        assert_eq!(trial(How::Pairs, 60, u32::MAX, 0).steps(0).len(), MOST_STEPS);
    }
}
