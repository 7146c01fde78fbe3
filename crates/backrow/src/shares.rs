//! Work on many things alike, shared among threads.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread::{Builder, ScopedJoinHandle};

/// More threads than this gain nothing that anybody would notice.
const MOST_THREADS: usize = 8;

/// What `work` makes of each, in the order of `all`, on as many threads as there are cores but `spare`, and on one at the least.
/// What a thread left undone, as none could be had or it broke off, is done here.
pub fn each<T: Sync, R: Send>(all: &[T], spare: usize, work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let threads = cores.saturating_sub(spare).clamp(1, MOST_THREADS);
    let next = AtomicUsize::new(0);
    let share = || {
        let mine = || {
            let at = next.fetch_add(1, Ordering::Relaxed);
            all.get(at).map(|one| (at, work(one)))
        };
        std::iter::from_fn(mine).collect::<Vec<_>>()
    };
    let mut done: Vec<Option<R>> = all.iter().map(|_| None).collect();
    let mut put = |made: Vec<(usize, R)>| {
        for (at, one) in made {
            if let Some(place) = done.get_mut(at) {
                *place = Some(one);
            }
        }
    };
    std::thread::scope(|scope| {
        let started: Vec<_> = (1..threads)
            .filter_map(|_| Builder::new().name("share".to_owned()).spawn_scoped(scope, share).ok())
            .collect();
        put(share());
        started.into_iter().map(ScopedJoinHandle::join).filter_map(Result::ok).for_each(&mut put);
    });
    done.into_iter().zip(all).map(|(made, one)| made.unwrap_or_else(|| work(one))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;
    use std::sync::Mutex;

    #[rstest]
    #[case(0)]
    #[case(1)]
    #[case(1000)]
    fn each_is_worked_on_once_and_in_order(#[case] count: usize) {
        let all: Vec<usize> = (0..count).collect();
        let seen = Mutex::new(Vec::new());
        let twice = each(&all, 0, |one| {
            seen.lock().expect("nobody broke off").push(*one);
            2 * one
        });
        assert_eq!(twice, all.iter().map(|one| 2 * one).collect::<Vec<_>>());
        let mut seen = seen.into_inner().expect("nobody broke off");
        seen.sort_unstable();
        assert_eq!(seen, all);
    }

    /// One of the threads breaks off at its first; the thread that asks is never it.
    #[test]
    fn what_a_thread_left_undone_is_done_here() {
        let here = std::thread::current().id();
        let all: Vec<usize> = (0..100).collect();
        let made = each(&all, 0, |one| {
            assert_eq!(std::thread::current().id(), here, "broken off on purpose");
            *one
        });
        assert_eq!(made, all);
    }
}
