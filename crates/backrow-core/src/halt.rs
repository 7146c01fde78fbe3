//! Ending a search whose answer nobody waits for any more, and telling how far it has come.

use std::sync::Arc;

/// How far a search has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reached {
    /// Steps taken.
    pub steps: u64,
    /// Steps that it may take at the most. It may find its answer, and the proof, long before.
    pub of: u64,
}

/// A question that a search asks again and again: whether it is to end early. Whoever starts the search knows, by a clock, a
/// thread or a button; the core knows none of these. With the question goes how far the search has come, where it counts that.
/// A search that was ended says what it says when its steps run out.
#[derive(Clone, Default)]
pub struct Halt(Option<Arc<Asked>>);

type Asked = dyn Fn(Option<Reached>) -> bool + Send + Sync;

impl Halt {
    /// Ends the search when `asked` says so. It is asked every few microseconds.
    pub fn when(asked: impl Fn(Option<Reached>) -> bool + Send + Sync + 'static) -> Self {
        Self(Some(Arc::new(asked)))
    }

    /// Whether the search is to end.
    pub fn is_asked(&self) -> bool {
        self.0.as_ref().is_some_and(|asked| asked(None))
    }

    /// The same question, that is told nothing: for a part of a longer work, which counts by itself.
    #[must_use]
    pub fn quiet(&self) -> Self {
        let whole = self.clone();
        Self::when(move |_| whole.is_asked())
    }

    /// Tells how far the search has come; whether it is to end.
    pub fn is_asked_after(&self, steps: u64, of: u64) -> bool {
        self.0.as_ref().is_some_and(|asked| asked(Some(Reached { steps, of })))
    }
}

impl std::fmt::Debug for Halt {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(if self.0.is_some() { "Halt when asked" } else { "Halt never" })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rota::{Answer, Effort, Rota, text::read};
    use std::sync::Mutex;
    use std::sync::atomic::{AtomicU32, Ordering};

    /// Sixty lines of two passages each, so mixed that it takes a search.
    fn hard() -> Rota {
        let lines = (0..60).map(|n| {
            let (one, two) = (f64::from(n) * 2.3, f64::from((n * 37) % 60) * 2.3 + 0.4);
            let (from, other) = (one.min(two), one.max(two));
            format!("line c{n}: {from:.1}-{:.1} {other:.1}-{:.1}\n", from + 2.0, other + 1.5)
        });
        let text: String =
            std::iter::once("players a b c d e f g h\nextras 6\n".to_owned()).chain(lines).collect();
        Rota::new(read(&text).unwrap()).unwrap()
    }

    #[test]
    fn a_search_that_is_ended_stops_asking_and_claims_nothing() {
        let asked = Arc::new(AtomicU32::new(0));
        let counted = asked.clone();
        let until = |most: u32| {
            let asked = asked.clone();
            Halt::when(move |_| asked.fetch_add(1, Ordering::Relaxed) >= most)
        };
        let effort = Effort { steps: 100_000, width: 40 };
        let free = hard().until(until(u32::MAX));
        let Answer::Found(whole) = free.fewest(effort) else { panic!("fourteen are enough") };
        counted.store(0, Ordering::Relaxed);
        assert!(free.best(whole.players, Some(&whole.assignments), effort).is_some());
        let all = counted.swap(0, Ordering::Relaxed);
        assert!(all > 100, "the search asks now and then whether it is to go on: {all}");
        let ended = hard().until(until(0));
        match ended.fewest(effort) {
            Answer::Found(found) => assert!(found.at_least <= whole.players),
            Answer::GaveUp { at_least } => assert!(at_least <= whole.players),
            Answer::Impossible(no) => panic!("nothing is proven by an ended search: {no:?}"),
        }
        let best = ended.best(whole.players, Some(&whole.assignments), effort);
        assert!(best.is_none_or(|best| !best.proven()), "an ended search proves nothing");
        let few = counted.load(Ordering::Relaxed);
        assert!(few < all / 4, "{few} beside {all}");
    }

    #[test]
    fn a_search_tells_how_far_it_has_come_and_never_more_than_it_may() {
        let told = Arc::new(Mutex::new(Vec::new()));
        let heard = told.clone();
        let halt = Halt::when(move |reached| {
            heard.lock().unwrap().extend(reached);
            false
        });
        let effort = Effort { steps: 100_000, width: 40 };
        assert!(matches!(hard().until(halt).fewest(effort), Answer::Found(_)));
        let told = told.lock().unwrap();
        assert!(told.len() > 1, "it tells more than once");
        assert!(told.iter().all(|one| one.steps <= one.of && one.of <= effort.steps), "{told:?}");
        let moved = told.windows(2).any(|two| two[0].of == two[1].of && two[0].steps < two[1].steps);
        assert!(moved, "the same search tells later that it has come further");
    }
}
