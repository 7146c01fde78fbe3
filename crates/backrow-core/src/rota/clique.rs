//! Largest sets in which everyone disagrees with everyone: of passages at a moment, of lines in all.

use super::colour::Steps;
use super::conflicts::Rota;
use super::number::{LineNo, List};
use super::problem::PassageRef;

/// A largest clique among `0..count`, or the largest found when the steps run out.
///
/// Branch and bound with a greedy colouring as the bound (Tomita and others, "A simple and faster
/// branch-and-bound algorithm for finding a maximum clique", 2010; cited from memory).
/// Only cliques larger than `beat` are looked for; an empty answer means there is none, or none was found in time.
pub(super) fn largest(
    count: usize,
    beat: usize,
    joined: &dyn Fn(usize, usize) -> bool,
    steps: &mut Steps,
) -> Vec<usize> {
    if !steps.take(count.saturating_mul(count)) {
        return Vec::new();
    }
    let mut degree: Vec<(usize, usize)> =
        (0..count).map(|i| ((0..count).filter(|&j| j != i && joined(i, j)).count(), i)).collect();
    degree.sort_unstable_by(|a, b| b.cmp(a));
    let order: Vec<usize> = degree.into_iter().map(|(_, i)| i).collect();
    let mut search = CliqueSearch { joined, steps, beat, now: Vec::new(), best: Vec::new() };
    search.expand(&order);
    search.best.sort_unstable();
    search.best
}

struct CliqueSearch<'a> {
    joined: &'a dyn Fn(usize, usize) -> bool,
    steps: &'a mut Steps,
    beat: usize,
    now: Vec<usize>,
    best: Vec<usize>,
}

impl CliqueSearch<'_> {
    fn expand(&mut self, candidates: &[usize]) {
        let classes = self.classes(candidates);
        let mut open: Vec<(usize, usize)> = classes
            .iter()
            .enumerate()
            .flat_map(|(colour, class)| class.iter().map(move |&v| (colour + 1, v)))
            .collect();
        while let Some((colours, v)) = open.pop() {
            if self.now.len() + colours <= self.best.len().max(self.beat)
                || !self.steps.take(candidates.len())
            {
                return;
            }
            self.now.push(v);
            let next: Vec<usize> = open.iter().map(|&(_, u)| u).filter(|&u| (self.joined)(v, u)).collect();
            if next.is_empty() {
                if self.now.len() > self.best.len().max(self.beat) {
                    self.best.clone_from(&self.now);
                }
            } else {
                self.expand(&next);
            }
            self.now.pop();
        }
    }

    /// Greedy classes of pairwise unjoined candidates; their number bounds any clique.
    fn classes(&self, candidates: &[usize]) -> Vec<Vec<usize>> {
        let mut classes: Vec<Vec<usize>> = Vec::new();
        for &v in candidates {
            match classes.iter_mut().find(|class| class.iter().all(|&u| !(self.joined)(v, u))) {
                Some(class) => class.push(v),
                None => classes.push(vec![v]),
            }
        }
        classes
    }
}

/// The lines that most crowd one moment, as passages that clash pairwise.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Moment {
    /// The passages, one a line, in the order of their starts; the last start is the moment.
    pub(super) passages: Vec<PassageRef>,
    /// The moment in microseconds.
    pub(super) at_us: i64,
}

/// The moment at which the most lines in scope sound or crowd; no more than `enough` of them are looked for.
///
/// For each passage taken as the last to start, those that started before it and clash with it are
/// looked at; the moment is where that last passage starts.
pub(super) fn busiest_moment(
    rota: &Rota,
    in_scope: &List<LineNo, bool>,
    enough: usize,
    steps: &mut Steps,
) -> Moment {
    let mut all: Vec<(i64, PassageRef, i64)> = Vec::new();
    for line in in_scope.numbers().filter(|&c| in_scope[c]) {
        for (passage, span) in rota.spans(line).entries() {
            all.push((span.from, PassageRef { line, passage }, span.to));
        }
    }
    all.sort_unstable();
    let mut best = Moment::default();
    if let Some(&(at_us, only, _)) = all.first() {
        best = Moment { passages: vec![only], at_us };
    }
    let mut reach = i64::MIN;
    let reaches: Vec<i64> = all
        .iter()
        .map(|&(_, _, to)| {
            reach = reach.max(to);
            reach
        })
        .collect();
    for (index, &(from, last, _)) in all.iter().enumerate() {
        if best.passages.len() >= enough || !steps.take(index) {
            break;
        }
        let mut near: Vec<PassageRef> = Vec::new();
        for (&(_, p, _), &reach) in all.iter().zip(&reaches).take(index).rev() {
            if reach < from - rota.longest_need() {
                break;
            }
            if disagree(rota, p, last) {
                near.push(p);
            }
        }
        if near.len() < best.passages.len() {
            continue;
        }
        near.reverse();
        let joined = |i: usize, j: usize| match (near.get(i.min(j)), near.get(i.max(j))) {
            (Some(&p), Some(&q)) => disagree(rota, p, q),
            _ => false,
        };
        let found = largest(near.len(), best.passages.len().saturating_sub(1), &joined, steps);
        if !found.is_empty() && found.len() >= best.passages.len() {
            let mut passages: Vec<PassageRef> = found.iter().filter_map(|&i| near.get(i).copied()).collect();
            passages.push(last);
            best = Moment { passages, at_us: from };
        }
    }
    best
}

/// Whether one player cannot take both passages, the first starting no later than the second.
fn disagree(rota: &Rota, first: PassageRef, second: PassageRef) -> bool {
    first.line != second.line
        && rota.do_clash(first.line, second.line)
        && rota.way_between(first, second).is_some_and(|m| !m.fits())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::halt::Halt;
    use crate::rota::text::read;

    /// A triangle 0-1-2 that is joined by 2-3 to four of which each is joined to each: 3, 4, 5, 6. 7 stands alone.
    fn joined(a: usize, b: usize) -> bool {
        let (a, b) = (a.min(b), a.max(b));
        a != b && b < 7 && (b <= 2 || a >= 3 || (a, b) == (2, 3))
    }

    fn largest_in(count: usize, beat: usize, steps: u64) -> Vec<usize> {
        largest(count, beat, &joined, &mut Steps::until(steps, Halt::default()))
    }

    #[test]
    fn the_largest_clique_is_found_and_nothing_smaller_than_asked_for() {
        assert_eq!(largest_in(8, 0, 1_000), [3, 4, 5, 6]);
        assert_eq!(largest_in(8, 3, 1_000), [3, 4, 5, 6]);
        assert_eq!(largest_in(8, 4, 1_000), [0; 0], "only larger ones are looked for");
        assert_eq!(largest_in(3, 0, 1_000), [0, 1, 2]);
        assert_eq!(largest_in(8, 0, 0), [0; 0], "no steps, no answer");
        assert_eq!(largest_in(0, 0, 1_000), [0; 0]);
    }

    fn busiest(text: &str, enough: usize, without: &[usize]) -> (Vec<usize>, i64) {
        let rota = Rota::new(read(text).unwrap()).unwrap();
        let lines = List::made(rota.problem().lines.len(), |line: LineNo| !without.contains(&line.0));
        let moment = busiest_moment(&rota, &lines, enough, &mut rota.steps(100_000));
        (moment.passages.iter().map(|p| p.line.0).collect(), moment.at_us / 1000)
    }

    /// Two at once from 2 s, and three from 22 s on; d is too near to c for one player: 2.667 s are needed.
    const LINES: &str = "extras 9\nline a: 0-4 20-30\nline b: 2-3 21-25\nline c: 22-23\nline d: 25.5-26";

    #[test]
    fn the_busiest_moment_is_where_the_last_of_them_starts() {
        assert_eq!(busiest(LINES, 9, &[]), (vec![0, 1, 2, 3], 25_500));
        assert_eq!(busiest(LINES, 9, &[3]), (vec![0, 1, 2], 22_000));
        assert_eq!(busiest(LINES, 2, &[]), (vec![0, 1], 2_000), "two are enough, and the first two are told");
        assert_eq!(busiest(LINES, 9, &[0, 1, 3]), (vec![2], 22_000));
        assert_eq!(busiest(LINES, 9, &[0, 1, 2, 3]), (vec![], 0));
    }

    /// c and d are 2.0 s apart: too near for one player. With 2.667 s between them they are not.
    #[test]
    fn what_is_near_enough_counts_and_what_is_not_does_not() {
        assert_eq!(busiest("extras 9\nline c: 0-1\nline d: 3-4", 9, &[]), (vec![0, 1], 3_000));
        assert_eq!(busiest("extras 9\nline c: 0-1\nline d: 3.666667-4", 9, &[]), (vec![0], 0));
        // The long line still sounds when the last starts, though a short one began after it.
        let long = "extras 9\nline a: 0-60\nline b: 10-11\nline c: 50-51";
        assert_eq!(busiest(long, 9, &[]), (vec![0, 1], 10_000));
        assert_eq!(busiest(long, 9, &[1]), (vec![0, 2], 50_000));
    }

    /// Where nobody is joined to anybody each is a clique of one; what was found first is beaten by larger ones only.
    #[test]
    fn one_alone_is_a_clique_of_one() {
        let largest = |joined: &dyn Fn(usize, usize) -> bool, beat: usize| {
            largest(4, beat, joined, &mut Steps::until(1_000, Halt::default()))
        };
        assert_eq!(largest(&|_, _| false, 0).len(), 1);
        assert_eq!(largest(&|_, _| false, 1), [0; 0]);
        assert_eq!(largest(&|a, b| a != b, 3), [0, 1, 2, 3]);
        assert_eq!(largest(&|a, b| a != b, 4), [0; 0]);
        // Who says to be joined to themselves counts no more for it.
        assert_eq!(largest(&|a, b| a == b || (a.min(b), a.max(b)) == (0, 2), 0), [0, 2]);
    }

    /// Three that one player can play at once, and one that clashes with each of them: two at a moment, not one.
    #[test]
    fn what_clashes_with_many_clashes_with_one() {
        let text = "extras 9\nline a: 0-9\nline b: 1-9\nline c: 2-9\nline d: 3-4\nplayable a b\nplayable b c\nplayable a c";
        let (lines, at_ms) = busiest(text, 9, &[]);
        assert!(lines.len() == 2 && lines[1] == 3 && at_ms == 3_000, "{lines:?}");
    }
}
