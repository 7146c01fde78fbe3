//! The fewest instruments that reach a call together.

use super::PitchSet;

/// The smallest set of candidates (by index into `has`) whose bars together hold all of `asks`; the first such set in
/// order of index. `None` when even all of them do not. Empty when `asks` is.
///
/// Exact: branch and bound over the note with the fewest candidates, after candidates that another one dominates are dropped.
pub fn fewest_together(has: &[PitchSet], asks: PitchSet) -> Option<Vec<usize>> {
    let all = has.iter().fold(PitchSet::EMPTY, |sum, set| sum.union(*set));
    if !all.contains_all(asks) {
        return None;
    }
    let useful: Vec<(usize, PitchSet)> = undominated(has, asks);
    let mut best: Option<Vec<usize>> = None;
    search(&useful, asks, &mut Vec::new(), &mut best);
    best.map(|mut found| {
        found.sort_unstable();
        found
    })
}

fn undominated(has: &[PitchSet], asks: PitchSet) -> Vec<(usize, PitchSet)> {
    let parts: Vec<(usize, PitchSet)> = has
        .iter()
        .map(|set| set.intersection(asks))
        .enumerate()
        .filter(|(_, part)| !part.is_empty())
        .collect();
    parts
        .iter()
        .filter(|(at, part)| {
            !parts.iter().any(|(other_at, other)| {
                other_at != at && other.contains_all(*part) && (other != part || other_at < at)
            })
        })
        .copied()
        .collect()
}

fn search(
    useful: &[(usize, PitchSet)],
    left: PitchSet,
    chosen: &mut Vec<usize>,
    best: &mut Option<Vec<usize>>,
) {
    if left.is_empty() {
        if best.as_ref().is_none_or(|b| chosen.len() < b.len()) {
            *best = Some(chosen.clone());
        }
        return;
    }
    let widest = useful.iter().map(|(_, part)| part.intersection(left).len()).max().unwrap_or(0).max(1);
    let at_least = usize::try_from(left.len().div_ceil(widest)).unwrap_or(usize::MAX);
    if best.as_ref().is_some_and(|b| chosen.len() + at_least >= b.len()) {
        return;
    }
    let rarest = left.iter().min_by_key(|key| useful.iter().filter(|(_, part)| part.contains(*key)).count());
    let Some(rarest) = rarest else { return };
    let mut options: Vec<&(usize, PitchSet)> =
        useful.iter().filter(|(_, part)| part.contains(rarest)).collect();
    options.sort_by_key(|(at, part)| (std::cmp::Reverse(part.intersection(left).len()), *at));
    for (at, part) in options {
        chosen.push(*at);
        search(useful, left.minus(*part), chosen, best);
        chosen.pop();
    }
}
