//! The fewest things that serve every line of a kind: an exact set cover for a concert's size.

/// At most so many branches are looked at; beyond, the best found so far stands. A hundred lines of one kind need a handful.
const MOST_BRANCHES: u32 = 20_000;

/// Which things to take, as places in `serves`, so that every line that anything serves is served: the fewest, `free` ones not
/// counted, and of equal ones those that stand first. `serves[i]` says for every line whether thing `i` serves it.
pub(super) fn fewest(serves: &[Vec<bool>], free: &[bool]) -> Vec<usize> {
    let lines = serves.first().map_or(0, Vec::len);
    let served = |thing: usize, line: usize| serves.get(thing).and_then(|row| row.get(line)) == Some(&true);
    let open: Vec<usize> =
        (0..lines).filter(|line| (0..serves.len()).any(|thing| served(thing, *line))).collect();
    // A thing that serves no more than an earlier one never makes an answer better; a free one only yields to a free one.
    let is_free = |thing: usize| free.get(thing) == Some(&true);
    let within =
        |one: usize, other: usize| open.iter().all(|line| !served(one, *line) || served(other, *line));
    let kept: Vec<usize> = (0..serves.len())
        .filter(|one| {
            !(0..serves.len()).any(|other| {
                other != *one
                    && within(*one, other)
                    && (is_free(other) || !is_free(*one))
                    && (other < *one || !within(other, *one) || (is_free(other) && !is_free(*one)))
            })
        })
        .collect();
    let mut search =
        Search { kept: &kept, served: &served, is_free: &is_free, best: None, left: MOST_BRANCHES };
    search.go(&mut Vec::new(), &open);
    let mut best = search.best.unwrap_or_default();
    best.sort_unstable();
    best
}

struct Search<'a> {
    kept: &'a [usize],
    served: &'a dyn Fn(usize, usize) -> bool,
    is_free: &'a dyn Fn(usize) -> bool,
    best: Option<Vec<usize>>,
    left: u32,
}

impl Search<'_> {
    fn cost(&self, taken: &[usize]) -> usize {
        taken.iter().filter(|thing| !(self.is_free)(**thing)).count()
    }

    fn go(&mut self, taken: &mut Vec<usize>, open: &[usize]) {
        let bound = self.best.as_ref().map(|best| self.cost(best));
        if bound.is_some_and(|bound| self.cost(taken) + usize::from(!open.is_empty()) > bound) {
            return;
        }
        let (kept, served) = (self.kept, self.served);
        let serving = |line: usize| kept.iter().copied().filter(move |thing| served(*thing, line));
        let Some(line) = open.iter().copied().min_by_key(|line| serving(*line).count()) else {
            let sum = |things: &[usize]| things.iter().sum::<usize>();
            let key = |things: &[usize]| (self.cost(things), things.len(), sum(things));
            if self.best.as_ref().is_none_or(|best| key(taken) < key(best)) {
                self.best = Some(taken.clone());
            }
            return;
        };
        let things: Vec<usize> = serving(line).collect();
        for thing in things {
            if self.left == 0 && self.best.is_some() {
                return;
            }
            self.left = self.left.saturating_sub(1);
            taken.push(thing);
            let rest: Vec<usize> = open.iter().copied().filter(|line| !served(thing, *line)).collect();
            self.go(taken, &rest);
            taken.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    fn rows(text: &str) -> Vec<Vec<bool>> {
        text.split_whitespace().map(|row| row.chars().map(|c| c == 'x').collect()).collect()
    }

    #[rstest]
    #[case::one_for_all("xx. xxx .xx", "...", &[1])]
    #[case::two("xx.. ..xx x.x.", "...", &[0, 1])]
    #[case::first_of_equal("xx xx", "..", &[0])]
    #[case::what_is_there_anyway("xx xx", ".f", &[1])]
    #[case::what_is_there_though_two("xxx xx. ..x", ".ff", &[1, 2])]
    #[case::what_nothing_serves_is_left("x. x.", "..", &[0])]
    #[case::none("", "", &[])]
    fn tables(#[case] serves: &str, #[case] free: &str, #[case] expected: &[usize]) {
        let free: Vec<bool> = free.chars().map(|c| c == 'f').collect();
        assert_eq!(fewest(&rows(serves), &free), expected);
    }

    proptest! {
        /// Against every subset.
        #[test]
        fn as_few_as_any_subset(serves in prop::collection::vec(prop::collection::vec(any::<bool>(), 5), 1..7), free in prop::collection::vec(any::<bool>(), 7)) {
            let free = &free[..serves.len()];
            let all = |things: &[usize]| (0..5).all(|line| {
                !serves.iter().any(|row| row[line]) || things.iter().any(|thing| serves[*thing][line])
            });
            let cost = |things: &[usize]| things.iter().filter(|thing| !free[**thing]).count();
            let subsets = (0_u32..1 << serves.len()).map(|mask| {
                (0..serves.len()).filter(|thing| mask & (1 << thing) != 0).collect::<Vec<_>>()
            });
            let least = subsets.filter(|things| all(things)).map(|things| cost(&things)).min().unwrap();
            let found = fewest(&serves, free);
            prop_assert!(all(&found));
            prop_assert_eq!(cost(&found), least);
        }
    }
}
