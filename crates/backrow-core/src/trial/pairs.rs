//! A ranking from comparisons two by two: the model of R. A. Bradley and M. E. Terry (Biometrika 39, 1952), in which of two
//! candidates with the strengths g and h the first is preferred g times of g + h.
//!
//! Strengths are found by minorisation-maximisation as described by D. R. Hunter (Annals of Statistics 32, 2004, section 2), their
//! standard deviations from the inverse of the information, with the mean of the log strengths held at zero. An answer "neither" counts as
//! half a preference each way (common practice, no source). A greatest likelihood exists only where, however the candidates are
//! parted in two groups, each group was preferred to the other at least once (L. R. Ford, American Mathematical Monthly 64, 1957). Where
//! it does not, half a preference each way is added to every pair that was compared (common practice, no source), and that is said.

/// Steps after which the search ends, however little it still moves.
const STEPS: usize = 20_000;
/// A step so small, relative to the strength, that the search ends.
const STILL: f64 = 1e-13;
/// How many standard deviations part two candidates clearly: one in twenty, two-sided, of a normal law.
const CLEAR: f64 = 1.959_964;

/// How often each candidate was preferred to each other one.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Preferred {
    rows: Vec<Vec<f64>>,
}

/// Why no ranking of all candidates can be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoRanking {
    /// Nothing was compared.
    Nothing,
    /// These groups were never compared with one another, not through others either.
    Groups(Vec<Vec<usize>>),
}

/// One candidate's place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Which candidate.
    pub candidate: usize,
    /// The natural logarithm of its strength; the mean of all is zero.
    pub strength: f64,
    /// The standard deviation of `strength`.
    pub sd: f64,
}

/// Candidates in their order, with how sure it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// The strongest first.
    pub places: Vec<Place>,
    /// Some were always or never preferred, so that the order stands but their distances are held by half a preference added to
    /// every pair.
    pub held: bool,
    covariance: Preferred,
}

impl Preferred {
    /// No comparison yet among so many candidates.
    pub fn among(candidates: usize) -> Self {
        Self { rows: vec![vec![0.0; candidates]; candidates] }
    }

    /// How many candidates.
    pub const fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there are no candidates.
    pub const fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// How often one was preferred to another; 0 for a candidate that is not there.
    pub fn over(&self, one: usize, other: usize) -> f64 {
        self.rows.get(one).and_then(|row| row.get(other)).copied().unwrap_or(0.0)
    }

    fn add(&mut self, one: usize, other: usize, much: f64) {
        if let Some(cell) = self.rows.get_mut(one).and_then(|row| row.get_mut(other)) {
            *cell += much;
        }
    }

    /// One was preferred to another so many times; nothing where both are the same.
    pub fn prefer(&mut self, one: usize, other: usize, times: u32) {
        if one != other {
            self.add(one, other, f64::from(times));
        }
    }

    /// Neither was preferred.
    pub fn neither(&mut self, one: usize, other: usize) {
        if one != other {
            self.add(one, other, 0.5);
            self.add(other, one, 0.5);
        }
    }

    fn compared(&self, one: usize, other: usize) -> f64 {
        self.over(one, other) + self.over(other, one)
    }

    /// From which candidate which others are reached by going from the preferred to the other, or back as well.
    fn reached(&self, both_ways: bool) -> Vec<Vec<bool>> {
        let n = self.len();
        let step = |a, b| if both_ways { self.compared(a, b) } else { self.over(a, b) };
        let mut reach: Vec<Vec<bool>> =
            (0..n).map(|a| (0..n).map(|b| a == b || step(a, b) > 0.0).collect()).collect();
        let at = |reach: &[Vec<bool>], a: usize, b: usize| {
            reach.get(a).and_then(|row| row.get(b)).copied().unwrap_or(false)
        };
        for over in 0..n {
            for a in 0..n {
                for b in 0..n {
                    if at(&reach, a, over)
                        && at(&reach, over, b)
                        && let Some(cell) = reach.get_mut(a).and_then(|row| row.get_mut(b))
                    {
                        *cell = true;
                    }
                }
            }
        }
        reach
    }

    /// Candidates that were compared with one another, directly or through others.
    fn groups(&self) -> Vec<Vec<usize>> {
        let reach = self.reached(true);
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for (one, row) in reach.iter().enumerate() {
            let group: Vec<usize> =
                row.iter().enumerate().filter_map(|(other, to)| to.then_some(other)).collect();
            if group.first() == Some(&one) {
                groups.push(group);
            }
        }
        groups
    }

    /// Half a preference more each way for every pair that was compared.
    fn held(&self) -> Self {
        let mut held = self.clone();
        for one in 0..self.len() {
            for other in 0..one {
                if self.compared(one, other) > 0.0 {
                    held.neither(one, other);
                }
            }
        }
        held
    }

    /// The strengths, their geometric mean one.
    fn strengths(&self) -> Vec<f64> {
        let n = self.len();
        let mut strength = vec![1.0_f64; n];
        let preferred: Vec<f64> = self.rows.iter().map(|row| row.iter().sum()).collect();
        for _ in 0..STEPS {
            let mut moved = 0.0_f64;
            let before = strength.clone();
            for (one, wins) in preferred.iter().enumerate() {
                let own = before.get(one).copied().unwrap_or(1.0);
                let faced = before.iter().enumerate().filter(|(other, _)| *other != one);
                let sum: f64 = faced.map(|(other, g)| self.compared(one, other) / (own + g)).sum();
                if sum > 0.0
                    && let Some(cell) = strength.get_mut(one)
                {
                    *cell = wins / sum;
                }
            }
            let mean = (strength.iter().map(|g| g.ln()).sum::<f64>() / count(n)).exp();
            for (cell, old) in strength.iter_mut().zip(&before) {
                *cell /= mean;
                moved = moved.max((*cell / old - 1.0).abs());
            }
            if moved < STILL {
                break;
            }
        }
        strength
    }

    /// The covariance of the log strengths, their mean held at zero: the inverse of the information on that plane.
    fn covariance(&self, strength: &[f64]) -> Self {
        let n = self.len();
        let even = 1.0 / count(n);
        // The information with every number raised by 1/n has the same inverse on the plane, and one off it.
        let mut information = Self { rows: vec![vec![even; n]; n] };
        for (one, g) in strength.iter().enumerate() {
            for (other, h) in strength.iter().enumerate().filter(|(other, _)| *other != one) {
                let known = self.compared(one, other) * (g / (g + h)) * (h / (g + h));
                information.add(one, one, known);
                information.add(one, other, -known);
            }
        }
        let mut inverse = information.inverse();
        inverse.rows.iter_mut().flatten().for_each(|cell| *cell -= even);
        inverse
    }

    /// By elimination; the matrix is positive definite.
    fn inverse(&self) -> Self {
        let n = self.len();
        let mut left = self.clone();
        let mut right = Self::among(n);
        (0..n).for_each(|at| right.add(at, at, 1.0));
        for at in 0..n {
            let by = left.over(at, at);
            for side in [&mut left, &mut right] {
                side.rows.get_mut(at).into_iter().flatten().for_each(|cell| *cell /= by);
            }
            for row in (0..n).filter(|row| *row != at) {
                let much = left.over(row, at);
                for side in [&mut left, &mut right] {
                    let taken = side.rows.get(at).cloned().unwrap_or_default();
                    let cells = side.rows.get_mut(row).into_iter().flatten();
                    cells.zip(taken).for_each(|(cell, own)| *cell -= much * own);
                }
            }
        }
        right
    }
}

/// A small count as a number.
fn count(n: usize) -> f64 {
    n as f64
}

/// The ranking of all candidates, the strongest first; of equally strong ones the first named.
///
/// # Errors
/// Nothing was compared, or there are groups that were not compared with one another.
pub fn rank(preferred: &Preferred) -> Result<Ranking, NoRanking> {
    let groups = preferred.groups();
    match groups.as_slice() {
        [] => return Err(NoRanking::Nothing),
        [only] if only.len() < 2 => return Err(NoRanking::Nothing),
        [_] => {}
        _ if groups.len() == preferred.len() => return Err(NoRanking::Nothing),
        _ => return Err(NoRanking::Groups(groups)),
    }
    let held = !preferred.reached(false).iter().flatten().all(|to| *to);
    let counted = if held { preferred.held() } else { preferred.clone() };
    let strengths = counted.strengths();
    let covariance = counted.covariance(&strengths);
    let mut places: Vec<Place> = strengths
        .iter()
        .enumerate()
        .map(|(candidate, strength)| Place {
            candidate,
            strength: strength.ln(),
            sd: covariance.over(candidate, candidate).max(0.0).sqrt(),
        })
        .collect();
    places.sort_by(|a, b| b.strength.total_cmp(&a.strength));
    Ok(Ranking { places, held, covariance })
}

impl Ranking {
    /// A candidate's place.
    pub fn of(&self, candidate: usize) -> Option<&Place> {
        self.places.iter().find(|place| place.candidate == candidate)
    }

    /// By how much the log strength of one is above another's, with its standard deviation.
    pub fn above(&self, one: usize, other: usize) -> Option<(f64, f64)> {
        let difference = self.of(one)?.strength - self.of(other)?.strength;
        let c = |a, b| self.covariance.over(a, b);
        let variance = c(one, one) + c(other, other) - 2.0 * c(one, other);
        Some((difference, variance.max(0.0).sqrt()))
    }

    /// Whether one stands clearly above another: by more than chance does one time in twenty.
    pub fn is_clear(&self, one: usize, other: usize) -> bool {
        self.above(one, other).is_some_and(|(difference, sd)| difference > CLEAR * sd)
    }

    /// How often the model expects one to be preferred to another, 0 to 1.
    pub fn expected(&self, one: usize, other: usize) -> Option<f64> {
        self.above(one, other).map(|(difference, _)| 1.0 / (1.0 + (-difference).exp()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn of(rows: &[&[u32]]) -> Preferred {
        let mut preferred = Preferred::among(rows.len());
        for (one, row) in rows.iter().enumerate() {
            for (other, times) in row.iter().enumerate() {
                preferred.prefer(one, other, *times);
            }
        }
        preferred
    }

    #[test]
    fn two_candidates_by_hand() {
        // 6 of 8: odds of three to one; the variance of the difference is 1/6 + 1/2.
        let ranking = rank(&of(&[&[0, 2], &[6, 0]])).unwrap();
        assert_eq!(ranking.places.first().map(|place| place.candidate), Some(1));
        let (difference, sd) = ranking.above(1, 0).unwrap();
        assert_relative_eq!(difference, 3.0_f64.ln(), epsilon = 1e-9);
        assert_relative_eq!(sd * sd, 1.0 / 6.0 + 0.5, epsilon = 1e-9);
        assert_relative_eq!(ranking.expected(1, 0).unwrap(), 0.75, epsilon = 1e-9);
        assert!(!ranking.held && !ranking.is_clear(1, 0));
    }

    #[test]
    fn who_always_wins_is_first_and_the_distance_is_held() {
        let ranking = rank(&of(&[&[0, 0, 1], &[9, 0, 9], &[8, 0, 0]])).unwrap();
        let order: Vec<usize> = ranking.places.iter().map(|place| place.candidate).collect();
        assert_eq!((order, ranking.held), (vec![1, 2, 0], true));
        assert!(ranking.places.iter().all(|place| place.strength.is_finite() && place.sd.is_finite()));
    }

    #[test]
    fn what_was_never_compared_is_not_ranked() {
        assert_eq!(rank(&Preferred::among(0)), Err(NoRanking::Nothing));
        assert_eq!(rank(&Preferred::among(3)), Err(NoRanking::Nothing));
        let apart = of(&[&[0, 2, 0, 0], &[1, 0, 0, 0], &[0, 0, 0, 1], &[0, 0, 1, 0]]);
        assert_eq!(rank(&apart), Err(NoRanking::Groups(vec![vec![0, 1], vec![2, 3]])));
    }

    #[test]
    fn neither_pulls_together() {
        let mut some = of(&[&[0, 5], &[1, 0]]);
        let before = rank(&some).unwrap().above(0, 1).unwrap().0;
        (0..4).for_each(|_| some.neither(0, 1));
        assert!(rank(&some).unwrap().above(0, 1).unwrap().0 < before);
    }

    proptest! {
        /// At the greatest likelihood each candidate is expected to be preferred as often as it was.
        #[test]
        fn expectations_meet_what_was_heard(cells in proptest::collection::vec(1_u32..9, 16)) {
            let mut some = Preferred::among(4);
            for (at, times) in cells.iter().enumerate() {
                some.prefer(at / 4, at % 4, *times);
            }
            let ranking = rank(&some).unwrap();
            for one in 0..4 {
                let heard: f64 = (0..4).map(|other| some.over(one, other)).sum();
                let expected: f64 = (0..4)
                    .filter(|other| *other != one)
                    .map(|other| some.compared(one, other) * ranking.expected(one, other).unwrap())
                    .sum();
                prop_assert!((heard - expected).abs() < 1e-6, "{heard} {expected}");
            }
        }
    }
}
