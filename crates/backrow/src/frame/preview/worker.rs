//! The thread that sets sheets while the window goes on.

use super::{Asked, set};
use backrow_core::library::Library;
use backrow_print::{Paper, Templates};
use std::sync::mpsc::{Receiver, Sender, channel};

/// What is to be set, with a copy of all it needs.
pub(super) struct Order {
    pub(super) key: Asked,
    pub(super) library: Library,
    pub(super) paper: Paper,
    pub(super) templates: Templates,
    pub(super) today: Option<jiff::civil::Date>,
    pub(super) folder: Option<std::path::PathBuf>,
    pub(super) plans: crate::sheets::Plans,
}

/// Pages as pictures with what is to be told about them, or why there are none.
pub(super) type Done = Result<(Vec<egui::ColorImage>, Vec<String>), String>;

/// The thread with its two ends. It ends when this is dropped.
pub(super) struct Worker {
    orders: Sender<Order>,
    done: Receiver<(Asked, Done)>,
    asked: Option<Asked>,
}

impl Worker {
    /// Starts it; an error says why not.
    pub(super) fn start(ctx: &egui::Context) -> Result<Self, String> {
        let (orders, waiting) = channel::<Order>();
        let (send, done) = channel();
        let ctx = ctx.clone();
        let started = std::thread::Builder::new().name("sheets".to_owned()).spawn(move || {
            let press = crate::sheets::press();
            while let Ok(mut order) = waiting.recv() {
                // Only the newest is wanted.
                while let Ok(newer) = waiting.try_recv() {
                    order = newer;
                }
                let pages = set(&press, &order);
                if send.send((order.key, pages)).is_err() {
                    return;
                }
                ctx.request_repaint();
            }
        });
        match started {
            Ok(_thread) => Ok(Self { orders, done, asked: None }),
            Err(why) => Err(format!("The sheets cannot be shown now: {why}. They can still be printed.")),
        }
    }

    /// Asks once for a key.
    pub(super) fn ask(&mut self, key: &Asked, order: impl FnOnce() -> Order) {
        if self.asked.as_ref() != Some(key) && self.orders.send(order()).is_ok() {
            self.asked = Some(key.clone());
        }
    }

    /// What has been done since.
    pub(super) fn take(&mut self) -> Option<(Asked, Done)> {
        let done = self.done.try_recv().ok()?;
        if self.asked.as_ref() == Some(&done.0) {
            self.asked = None;
        }
        Some(done)
    }
}
