//! The thread that sets sheets while the window goes on.

use super::{Asked, look_at, set};
use backrow_core::evening::Evening;
use backrow_print::{Pages, Paper, Templates};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};

/// What is to be set and which page of it is looked at, with a copy of all it needs.
pub(super) struct Order {
    pub(super) key: Asked,
    pub(super) page: usize,
    pub(super) evening: Arc<Evening>,
    pub(super) paper: Paper,
    pub(super) templates: Templates,
    pub(super) today: Option<jiff::civil::Date>,
    pub(super) folder: Option<std::path::PathBuf>,
    pub(super) plans: crate::sheets::Plans,
}

/// One page of a sheet, and what is to be told about the sheet.
pub(super) struct Looked {
    /// How many pages the sheet has.
    pub(super) count: usize,
    pub(super) told: Vec<String>,
    /// Which page it is, from 0.
    pub(super) page: usize,
    pub(super) drawn: Result<egui::ColorImage, String>,
}

/// What came of an order, or why the sheet could not be set.
pub(super) struct Done {
    pub(super) key: Asked,
    pub(super) sheet: Result<Looked, String>,
}

/// What the thread has to say.
pub(super) enum Taken {
    Nothing,
    Done(Box<Done>),
    /// It has ended before its time.
    Ended,
}

/// The thread with its two ends. It ends when this is dropped.
pub(super) struct Worker {
    orders: Sender<Order>,
    done: Receiver<Done>,
    asked: Option<(Asked, usize)>,
}

impl Worker {
    /// Starts it; an error says why not.
    pub(super) fn start(ctx: &egui::Context) -> Result<Self, String> {
        let (orders, waiting) = channel::<Order>();
        let (send, done) = channel();
        let ctx = ctx.clone();
        let started = std::thread::Builder::new().name("sheets".to_owned()).spawn(move || {
            // Told last, when nothing more will come.
            let _woken = Waker(ctx.clone());
            let send = send;
            let press = crate::sheets::press();
            let mut last: Option<(Asked, Result<Pages, String>)> = None;
            while let Ok(mut order) = waiting.recv() {
                // Only the newest is wanted.
                while let Ok(newer) = waiting.try_recv() {
                    order = newer;
                }
                // Another page of the same sheet is only drawn.
                let (key, pages) = match last.take() {
                    Some(last) if last.0 == order.key => last,
                    _ => (order.key.clone(), set(&press, &order)),
                };
                let sheet = pages.as_ref().map(|pages| look_at(pages, order.page)).map_err(Clone::clone);
                if send.send(Done { key: key.clone(), sheet }).is_err() {
                    return;
                }
                last = Some((key, pages));
                ctx.request_repaint();
            }
        });
        match started {
            Ok(_thread) => Ok(Self { orders, done, asked: None }),
            Err(why) => Err(format!("The sheets cannot be shown now: {why}. They can still be printed.")),
        }
    }

    /// Asks once for a page.
    pub(super) fn ask(&mut self, key: &Asked, page: usize, order: impl FnOnce() -> Order) {
        let is_asked = self.asked.as_ref().is_some_and(|asked| asked.0 == *key && asked.1 == page);
        if !is_asked && self.orders.send(order()).is_ok() {
            self.asked = Some((key.clone(), page));
        }
    }

    /// What has been done since.
    pub(super) fn take(&mut self) -> Taken {
        match self.done.try_recv() {
            Ok(done) => {
                if self.asked.as_ref().is_some_and(|asked| asked.0 == done.key) {
                    self.asked = None;
                }
                Taken::Done(Box::new(done))
            }
            Err(TryRecvError::Empty) => Taken::Nothing,
            Err(TryRecvError::Disconnected) => Taken::Ended,
        }
    }
}

/// Wakes the window when the thread ends, so that it is seen to have ended.
struct Waker(egui::Context);

impl Drop for Waker {
    fn drop(&mut self) {
        self.0.request_repaint();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thread_that_has_ended_is_not_waited_for() {
        let (orders, waiting) = channel();
        let (send, done) = channel();
        let mut worker = Worker { orders, done, asked: None };
        assert!(matches!(worker.take(), Taken::Nothing));
        drop((waiting, send));
        assert!(matches!(worker.take(), Taken::Ended));
    }
}
