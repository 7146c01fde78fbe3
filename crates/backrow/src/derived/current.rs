//! The current programme, worked out: at once where the floor is small, else by a thread, while the last answer is still shown.

use backrow_core::evening::Evening;
use backrow_core::findings::{Finding, check};
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::week::Programme;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// With more things than this on all its floors together an evening is worked out away from the frame: all ways between
/// 80 things take some 40 ms, and they grow with the square.
const AT_ONCE: usize = 48;

/// A revision of a programme.
type Of = (u64, ProgrammeId);

struct Done {
    of: Of,
    evening: Arc<Evening>,
    findings: Vec<Finding>,
}

impl Done {
    fn make(of: Of, evening: Arc<Evening>) -> Self {
        let findings = check(&evening);
        evening.work_out();
        Self { of, evening, findings }
    }
}

/// What is known of the current programme.
#[derive(Default)]
pub(super) struct Current {
    now: Option<Done>,
    /// The same as it is at this revision: what is cheap of it is there, what is dear may be on its way.
    present: Option<(Of, Arc<Evening>)>,
    coming: Option<(Of, Receiver<Done>)>,
    stamp: u64,
}

impl Current {
    /// Brings it up to date, or sets about it.
    pub(super) fn refresh(
        &mut self,
        ctx: &egui::Context,
        library: &Library,
        revision: u64,
        programme: Option<&Programme>,
    ) {
        self.take();
        let Some(programme) = programme else {
            self.forget();
            return;
        };
        let of = (revision, programme.id.clone());
        let on_its_way = self.coming.as_ref().is_some_and(|(coming, _)| *coming == of);
        if on_its_way || self.now.as_ref().is_some_and(|done| done.of == of) {
            return;
        }
        // What another programme comes to is not shown for this one.
        self.now = self.now.take().filter(|done| done.of.1 == programme.id);
        let evening = match &self.now {
            Some(done) => done.evening.after(library, programme),
            None => Evening::of(library, programme),
        };
        let things: usize = evening.floors().map(|(_, floor)| floor.plan().things.len()).sum();
        let evening = Arc::new(evening);
        self.present = Some((of.clone(), evening.clone()));
        self.coming = None;
        if evening.knows_its_ways() || things <= AT_ONCE || self.send(ctx, &of, &evening).is_none() {
            self.stamp += 1;
            self.now = Some(Done::make(of, evening));
        }
    }

    /// Has a thread work it out; `None` when there is none to be had.
    fn send(&mut self, ctx: &egui::Context, of: &Of, evening: &Arc<Evening>) -> Option<()> {
        let (done, coming) = channel();
        let (key, evening, ctx) = (of.clone(), evening.clone(), ctx.clone());
        let work = move || {
            // Nobody waits for it any more where it cannot be sent.
            if done.send(Done::make(key, evening)).is_ok() {
                ctx.request_repaint();
            }
        };
        std::thread::Builder::new().name("evening".to_owned()).spawn(work).ok()?;
        self.coming = Some((of.clone(), coming));
        Some(())
    }

    fn take(&mut self) {
        let Some((_, coming)) = &self.coming else { return };
        match coming.try_recv() {
            Ok(done) => {
                self.stamp += 1;
                self.now = Some(done);
                self.coming = None;
            }
            Err(TryRecvError::Disconnected) => self.coming = None,
            Err(TryRecvError::Empty) => {}
        }
    }

    /// The evening as it was last worked out.
    pub(super) fn evening(&self) -> Option<&Evening> {
        self.now.as_ref().map(|done| &*done.evening)
    }

    /// The evening as it is now.
    pub(super) fn present(&self) -> Option<&Evening> {
        self.present.as_ref().map(|(_, evening)| &**evening)
    }

    /// The evening of a programme at a revision, if it is this one.
    pub(super) fn present_at(&self, revision: u64, programme: &ProgrammeId) -> Option<Arc<Evening>> {
        let (of, evening) = self.present.as_ref()?;
        (of.0 == revision && of.1 == *programme).then(|| evening.clone())
    }

    pub(super) fn findings(&self) -> &[Finding] {
        self.now.as_ref().map_or(&[], |done| &done.findings)
    }

    pub(super) const fn is_working(&self) -> bool {
        self.coming.is_some()
    }

    pub(super) const fn stamp(&self) -> u64 {
        self.stamp
    }

    pub(super) fn forget(&mut self) {
        if self.now.is_some() || self.coming.is_some() {
            *self = Self { stamp: self.stamp + 1, ..Self::default() };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::collection::Point;
    use backrow_core::edit::{Edit, apply};
    use backrow_core::id::InstrumentId;
    use backrow_core::week::Placement;
    use std::time::{Duration, Instant};

    /// The sample with so many more things on its floor, the first of them at `x`.
    fn with_things(count: u32, x: f64) -> Library {
        let library = crate::sample::small();
        let (_, programme) = library.programmes().next().unwrap();
        let model = library.instruments.values().next().unwrap();
        let edits = (0..count).flat_map(|n| {
            let mut thing = (**model).clone();
            thing.id = InstrumentId::new(&format!("more-{n}")).unwrap();
            let x = if n == 0 { x } else { f64::from(n % 10) * 2.0 - 9.0 };
            let at = Point::new(x, 1.0 + f64::from(n / 10));
            let placement = Placement { at, turn_deg: 0.0, number: 100 + n, locked: false };
            let stand =
                Edit::Stand { programme: programme.id.clone(), instrument: thing.id.clone(), placement };
            [Edit::PutInstrument(thing), stand]
        });
        apply(&library, &Edit::Together { words: String::new(), edits: edits.collect() }).unwrap()
    }

    fn settle(current: &mut Current, ctx: &egui::Context, library: &Library, revision: u64) {
        let programme = library.programmes().next().map(|(_, programme)| programme);
        let begun = Instant::now();
        current.refresh(ctx, library, revision, programme);
        while current.is_working() && begun.elapsed() < Duration::from_mins(1) {
            std::thread::sleep(Duration::from_millis(5));
            current.refresh(ctx, library, revision, programme);
        }
        assert!(!current.is_working(), "worked out in a minute");
    }

    fn x_of(current: &Current) -> Option<f64> {
        let plan = current.evening()?.floor(None).plan();
        plan.thing(&InstrumentId::new("more-0").unwrap()).map(|stood| stood.placement.at.x)
    }

    #[test]
    fn a_full_floor_is_worked_out_beside_the_frame_and_the_last_answer_stands() {
        let (ctx, mut current) = (egui::Context::default(), Current::default());
        let (before, after) = (with_things(60, -9.0), with_things(60, -8.5));
        let programme = |library: &Library| library.programmes().next().map(|(_, p)| p.clone());
        current.refresh(&ctx, &before, 1, programme(&before).as_ref());
        assert!(current.is_working() && current.evening().is_none());
        settle(&mut current, &ctx, &before, 1);
        assert_eq!(x_of(&current), Some(-9.0));
        let stamp = current.stamp();
        current.refresh(&ctx, &after, 2, programme(&after).as_ref());
        assert!(current.is_working());
        assert_eq!((x_of(&current), current.stamp()), (Some(-9.0), stamp), "the last answer stands");
        let present = current.present().unwrap().floor(None).plan();
        let first = present.thing(&InstrumentId::new("more-0").unwrap()).unwrap();
        assert_eq!(
            first.placement.at.x.to_bits(),
            (-8.5_f64).to_bits(),
            "what stands where is known at once"
        );
        settle(&mut current, &ctx, &after, 2);
        assert_eq!(x_of(&current), Some(-8.5));
        assert!(current.stamp() > stamp);
        // An edit that moves nothing is there at once.
        current.refresh(&ctx, &after, 3, programme(&after).as_ref());
        assert!(!current.is_working());
    }

    #[test]
    fn a_small_floor_is_there_at_once_and_forgotten_with_its_programme() {
        let (ctx, mut current) = (egui::Context::default(), Current::default());
        let library = with_things(3, 0.0);
        current.refresh(&ctx, &library, 1, library.programmes().next().map(|(_, p)| p));
        assert!(!current.is_working());
        assert_eq!(x_of(&current), Some(0.0));
        current.refresh(&ctx, &library, 1, None);
        assert!(current.evening().is_none() && current.findings().is_empty());
    }
}
