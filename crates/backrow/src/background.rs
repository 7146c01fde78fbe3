//! Long work on a thread of its own, with a copy of all it needs. The frame goes on; an answer to a question that is no longer
//! asked is dropped; the last answer stays to be shown, marked as being worked out anew.

use backrow_core::halt::{Halt, Reached};
use egui::Context;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::Duration;

/// So long a frame waits for an answer that is nearly there: what is quick is shown at once and does not flicker.
const PATIENCE: Duration = Duration::from_millis(6);

/// Whether the answer is still wanted. Long work asks now and then, and ends early when it is not; and it may tell how far it
/// has come.
#[derive(Clone, Default)]
pub struct Stop {
    asked: Arc<AtomicBool>,
    done: Arc<AtomicUsize>,
    of: Arc<AtomicUsize>,
    ctx: Option<Context>,
}

impl Stop {
    /// Whether nobody waits for the answer any more.
    pub fn is_asked(&self) -> bool {
        self.asked.load(Ordering::Relaxed)
    }

    /// The same question for a search in the core, which tells how far it has come in hundredths of what it may take.
    pub fn halt(&self) -> Halt {
        let stop = self.clone();
        Halt::when(move |reached| {
            if let Some(hundredths) = reached.and_then(hundredths) {
                // A search asks every few microseconds: a frame for each would be all that is drawn.
                let told = stop.done.load(Ordering::Relaxed) == hundredths
                    && stop.of.load(Ordering::Relaxed) == HUNDRED;
                return if told { stop.is_asked() } else { !stop.tell(hundredths, HUNDRED) };
            }
            stop.is_asked()
        })
    }

    /// So many of so many parts are done; shown in the next frame. Whether to go on.
    pub fn tell(&self, done: usize, of: usize) -> bool {
        self.done.store(done, Ordering::Relaxed);
        self.of.store(of, Ordering::Relaxed);
        if let Some(ctx) = &self.ctx {
            ctx.request_repaint();
        }
        !self.is_asked()
    }

    fn ask(&self) {
        self.asked.store(true, Ordering::Relaxed);
    }
}

/// Searches tell how far they have come in so many parts.
const HUNDRED: usize = 100;

/// How many hundredths of its steps a search has taken.
fn hundredths(reached: Reached) -> Option<usize> {
    let hundredths = reached.steps.saturating_mul(HUNDRED as u64).checked_div(reached.of)?;
    usize::try_from(hundredths).ok()
}

/// One piece of work under way. Dropping it says that its answer is not wanted any more.
pub struct Job<V> {
    stop: Stop,
    answer: Receiver<V>,
    ready: Option<V>,
}

/// What has become of a job.
#[derive(Debug, PartialEq, Eq)]
pub enum Taken<V> {
    /// It is not done.
    Working,
    /// Its answer; it is given once.
    Done(V),
    /// It stopped short and will not answer.
    Failed,
}

impl<V: Send + 'static> Job<V> {
    /// Starts work on a thread of that name; asks for one frame when it is done.
    ///
    /// # Errors
    /// Why no thread can be started.
    pub fn start(
        ctx: &Context,
        name: &str,
        work: impl FnOnce(&Stop) -> V + Send + 'static,
    ) -> std::io::Result<Self> {
        let (send, answer) = channel();
        let stop = Stop { ctx: Some(ctx.clone()), ..Stop::default() };
        let (asked, counted, ctx) = (stop.clone(), Counted::new(&counter(ctx)), ctx.clone());
        std::thread::Builder::new().name(name.to_owned()).spawn(move || {
            let value = work(&asked);
            // Nobody listens when the question was dropped meanwhile.
            drop(send.send(value));
            drop(counted);
            ctx.request_repaint();
        })?;
        let mut job = Self { stop, answer, ready: None };
        job.ready = job.answer.recv_timeout(PATIENCE).ok();
        Ok(job)
    }

    /// Tells the work that its answer is not wanted any more; it ends when it next asks, and says what it says then.
    pub fn cancel(&self) {
        self.stop.ask();
    }

    /// How many of how many parts are done, where the work tells.
    pub fn progress(&self) -> Option<(usize, usize)> {
        let of = self.stop.of.load(Ordering::Relaxed);
        (of > 0).then(|| (self.stop.done.load(Ordering::Relaxed).min(of), of))
    }

    /// What has become of it.
    pub fn take(&mut self) -> Taken<V> {
        if let Some(value) = self.ready.take() {
            return Taken::Done(value);
        }
        match self.answer.try_recv() {
            Ok(value) => Taken::Done(value),
            Err(TryRecvError::Empty) => Taken::Working,
            Err(TryRecvError::Disconnected) => Taken::Failed,
        }
    }
}

impl<V> Drop for Job<V> {
    fn drop(&mut self) {
        self.stop.ask();
    }
}

/// Counts as work under way as long as it lives, even when the work panics.
struct Counted(Arc<AtomicUsize>);

impl Counted {
    fn new(count: &Arc<AtomicUsize>) -> Self {
        count.fetch_add(1, Ordering::Relaxed);
        Self(Arc::clone(count))
    }
}

impl Drop for Counted {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

/// The count of one window.
fn counter(ctx: &Context) -> Arc<AtomicUsize> {
    let id = egui::Id::unique("work under way");
    ctx.data_mut(|data| data.get_temp_mut_or_default::<Arc<AtomicUsize>>(id).clone())
}

/// Whether anything is being worked out for that window.
pub fn is_working(ctx: &Context) -> bool {
    counter(ctx).load(Ordering::Relaxed) > 0
}

/// An answer that is remembered by what it was worked out from, and worked out beside the frame.
pub struct Remembered<K, V> {
    answer: Option<(K, V)>,
    job: Option<(K, Job<V>)>,
    failed: Option<K>,
}

impl<K, V> Default for Remembered<K, V> {
    fn default() -> Self {
        Self { answer: None, job: None, failed: None }
    }
}

/// What is known of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Known<'a, V> {
    /// The last answer, perhaps to an earlier question.
    pub value: Option<&'a V>,
    /// Whether it answers what is asked now; when not, that is being worked out.
    pub is_current: bool,
    /// How many of how many parts of the work under way are done, where it tells.
    pub progress: Option<(usize, usize)>,
}

impl<K: PartialEq + Clone, V: Send + 'static> Remembered<K, V> {
    /// The answer for `key`, or the last one while it is being worked out. There is never more than one thread: the next
    /// question waits for the end of the one before, whose answer is dropped. `prepare` is called only when work begins: it
    /// copies what the work needs.
    pub fn get<W: FnOnce(&Stop) -> V + Send + 'static>(
        &mut self,
        ctx: &Context,
        name: &str,
        key: &K,
        prepare: impl FnOnce() -> W,
    ) -> Known<'_, V> {
        self.take(key);
        let is_known =
            self.answer.as_ref().is_some_and(|(of, _)| of == key) || self.failed.as_ref() == Some(key);
        match &self.job {
            Some((of, job)) if of != key => job.stop.ask(),
            None if !is_known => {
                match Job::start(ctx, name, prepare()) {
                    Ok(job) => self.job = Some((key.clone(), job)),
                    Err(_no_thread) => self.failed = Some(key.clone()),
                }
                self.take(key);
            }
            _ => {}
        }
        let is_current = self.answer.as_ref().is_some_and(|(of, _)| of == key);
        let progress = self.job.as_ref().filter(|(of, _)| of == key).and_then(|(_, job)| job.progress());
        Known { value: self.answer.as_ref().map(|(_, value)| value), is_current, progress }
    }

    fn take(&mut self, key: &K) {
        let Some((_, job)) = &mut self.job else { return };
        let taken = job.take();
        if matches!(taken, Taken::Working) {
            return;
        }
        if let Some((of, _)) = self.job.take().filter(|(of, _)| of == key) {
            match taken {
                Taken::Done(value) => self.answer = Some((of, value)),
                _ => self.failed = Some(of),
            }
        }
    }

    /// Drops what is being worked out, and does not begin it again until it is asked for; whether there was something.
    pub fn cancel(&mut self) -> bool {
        let Some((of, _)) = self.job.take() else { return false };
        self.failed = Some(of);
        true
    }

    /// Whether the answer for `key` is not to be had: it was cancelled, or stopped short.
    pub fn has_ended(&self, key: &K) -> bool {
        self.failed.as_ref() == Some(key)
    }

    /// Lets what ended be begun again.
    pub fn begin_again(&mut self) {
        self.failed = None;
    }

    /// How far what is being worked out has come, where there is something.
    pub fn working(&self) -> Option<Option<(usize, usize)>> {
        self.job.as_ref().map(|(_, job)| job.progress())
    }

    /// The last answer.
    pub fn held(&self) -> Option<&V> {
        self.answer.as_ref().map(|(_, value)| value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn until<K: PartialEq + Clone>(
        ctx: &Context,
        memory: &mut Remembered<K, u32>,
        key: &K,
        work: impl Fn(&Stop) -> u32 + Send + Copy + 'static,
    ) -> u32 {
        for _ in 0..2_000 {
            let known = memory.get(ctx, "test", key, || work);
            if known.is_current {
                return *known.value.unwrap();
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        panic!("never answered");
    }

    #[test]
    fn the_last_answer_stays_and_a_stale_one_is_dropped() {
        let ctx = Context::default();
        let mut memory = Remembered::default();
        assert_eq!(until(&ctx, &mut memory, &1, |_| 10), 10);
        let slow = |stop: &Stop| {
            for _ in 0..2_000 {
                if stop.is_asked() {
                    return 0;
                }
                std::thread::sleep(Duration::from_millis(5));
            }
            20
        };
        let known = memory.get(&ctx, "test", &2, || slow);
        assert_eq!((known.value, known.is_current), (Some(&10), false), "the old one, marked");
        assert!(is_working(&ctx));
        // Another question: the slow one is told to stop, and what it says then is not shown.
        assert_eq!(until(&ctx, &mut memory, &3, |_| 30), 30);
    }

    #[test]
    fn a_job_tells_how_far_it_is_and_ends_when_it_is_cancelled() {
        let ctx = Context::default();
        let work = |stop: &Stop| {
            for _ in 0..2_000 {
                if !stop.tell(3, 12) || stop.halt().is_asked() {
                    return "ended";
                }
                std::thread::sleep(Duration::from_millis(5));
            }
            "went on"
        };
        let mut job = Job::start(&ctx, "test", work).unwrap();
        assert_eq!(job.take(), Taken::Working);
        while job.progress().is_none() {
            std::thread::sleep(Duration::from_millis(1));
        }
        assert_eq!(job.progress(), Some((3, 12)));
        job.cancel();
        for _ in 0..2_000 {
            match job.take() {
                Taken::Working => std::thread::sleep(Duration::from_millis(5)),
                said => return assert_eq!(said, Taken::Done("ended")),
            }
        }
        panic!("never ended");
    }

    #[test]
    fn a_search_tells_its_hundredths_once_and_no_part_of_it_tells_others() {
        let stop = Stop::default();
        let halt = stop.halt();
        assert!(!halt.is_asked_after(30, 60));
        let told = || (stop.done.load(Ordering::Relaxed), stop.of.load(Ordering::Relaxed));
        assert_eq!(told(), (50, 100));
        assert!(!halt.quiet().is_asked_after(1, 4) && !halt.is_asked_after(1, 0));
        assert_eq!(told(), (50, 100), "parts and what is not counted tell nothing");
        stop.ask();
        assert!(halt.is_asked_after(30, 60) && halt.quiet().is_asked());
    }

    #[test]
    fn what_is_cancelled_ends_and_begins_again_when_that_is_asked() {
        let ctx = Context::default();
        let mut memory = Remembered::default();
        let slow = |stop: &Stop| {
            while !stop.is_asked() {
                std::thread::sleep(Duration::from_millis(5));
            }
            20
        };
        assert!(!memory.cancel(), "nothing is under way");
        assert!(!memory.get(&ctx, "test", &1, || slow).is_current && memory.working().is_some());
        assert!(memory.cancel() && memory.working().is_none() && memory.has_ended(&1));
        assert!(!memory.get(&ctx, "test", &1, || slow).is_current && memory.working().is_none());
        memory.begin_again();
        assert_eq!(until(&ctx, &mut memory, &1, |_| 10), 10);
        assert!(!memory.has_ended(&1));
    }

    #[test]
    fn work_that_panics_is_not_begun_for_ever() {
        let ctx = Context::default();
        let mut memory: Remembered<u32, u32> = Remembered::default();
        let again = |memory: &mut Remembered<u32, u32>| {
            let known = memory.get(&ctx, "test that panics", &1, || |_: &Stop| panic!("as wished"));
            assert!(!known.is_current);
        };
        for _ in 0..2_000 {
            again(&mut memory);
            if memory.failed.is_some() {
                break;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        again(&mut memory);
        assert!(memory.failed == Some(1) && memory.job.is_none(), "it is not begun again");
    }
}
