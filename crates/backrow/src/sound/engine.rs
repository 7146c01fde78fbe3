//! The thread that holds the device.

use backrow_sound::capture::{Capture, Meter, Recorded};
use backrow_sound::device::{Device, NoSound, Playing, Port, RATE, Recording, of_this_machine};
use backrow_sound::mix::{Deck, DeckHand, SOFT, Track};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// Between two looks at a device that plays or records.
const EVERY: Duration = Duration::from_millis(30);

enum Order {
    Ports,
    Play(Vec<Track>, usize, usize),
    Stop,
    On(Option<String>),
    Listen(Option<String>),
    Begin,
    End,
    Deaf,
}

/// What the device does now.
#[derive(Clone, Debug, Default)]
pub struct Now {
    /// Loudspeakers and microphones, once they were asked for.
    pub ports: Vec<Port>,
    /// Why there is no sound, as one sentence.
    pub why_not: Option<String>,
    /// How often something failed: each time is said.
    pub failures: u64,
    /// How often something began to sound.
    pub begun: u64,
    /// Whether something is heard.
    pub plays: bool,
    /// The level of the microphone that is open.
    pub meter: Option<Meter>,
    /// How long the take under way is, seconds.
    pub recording_s: Option<f64>,
    /// Whether the take under way is clipped.
    pub clipped: bool,
    /// The take that was ended last, until it is fetched.
    pub recorded: Option<Arc<Recorded>>,
}

impl Now {
    fn failed(&mut self, why: String) {
        self.why_not = Some(why);
        self.failures += 1;
    }
}

#[derive(Default)]
struct Shared {
    now: Now,
    hand: Option<DeckHand>,
    volume: Option<f32>,
}

fn held(shared: &Mutex<Shared>) -> MutexGuard<'_, Shared> {
    shared.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The way to the device.
pub struct Engine {
    shared: Arc<Mutex<Shared>>,
    device: Option<Box<dyn Device>>,
    orders: Option<Sender<Order>>,
}

impl Default for Engine {
    fn default() -> Self {
        Self::with(of_this_machine())
    }
}

impl Engine {
    /// An engine on a device; tests bring one that is none.
    pub fn with(device: Box<dyn Device>) -> Self {
        Self { shared: Arc::default(), device: Some(device), orders: None }
    }

    /// What the device does now.
    pub fn now(&self) -> Now {
        held(&self.shared).now.clone()
    }

    /// Fetches the take that was ended last.
    pub fn recorded(&self) -> Option<Arc<Recorded>> {
        held(&self.shared).now.recorded.take()
    }

    /// Where the sound that is played is, frames.
    pub fn at(&self) -> Option<usize> {
        held(&self.shared).hand.as_ref().map(DeckHand::at)
    }

    /// How loud it plays, from 0 to 1; soft until somebody has turned it up.
    pub fn volume(&self) -> f32 {
        held(&self.shared).volume.unwrap_or(SOFT)
    }

    /// Turns the volume.
    pub fn set_volume(&self, volume: f32) {
        let mut shared = held(&self.shared);
        shared.volume = Some(volume);
        if let Some(hand) = &shared.hand {
            hand.volume(volume);
        }
    }

    /// Lets another candidate be heard at the same place.
    pub fn choose(&self, track: usize) {
        if let Some(hand) = &held(&self.shared).hand {
            hand.choose(track);
        }
    }

    /// Plays candidates, one of them heard, from a frame on.
    pub fn play(&mut self, ctx: &egui::Context, tracks: Vec<Track>, chosen: usize, from: usize) {
        self.order(ctx, Order::Play(tracks, chosen, from));
    }

    /// Fades out.
    pub fn stop(&mut self, ctx: &egui::Context) {
        self.order(ctx, Order::Stop);
    }

    /// Asks which loudspeakers and microphones there are.
    pub fn ask_for_ports(&mut self, ctx: &egui::Context) {
        self.order(ctx, Order::Ports);
    }

    /// The loudspeaker to play on.
    pub fn play_on(&mut self, ctx: &egui::Context, id: Option<String>) {
        self.order(ctx, Order::On(id));
    }

    /// Opens a microphone.
    pub fn listen(&mut self, ctx: &egui::Context, id: Option<String>) {
        self.order(ctx, Order::Listen(id));
    }

    /// Begins a take.
    pub fn begin(&mut self, ctx: &egui::Context) {
        self.order(ctx, Order::Begin);
    }

    /// Ends the take.
    pub fn end(&mut self, ctx: &egui::Context) {
        self.order(ctx, Order::End);
    }

    /// Closes the microphone; a take under way is ended, not lost.
    pub fn deaf(&mut self, ctx: &egui::Context) {
        if self.orders.is_some() {
            self.order(ctx, Order::Deaf);
        }
    }

    fn order(&mut self, ctx: &egui::Context, order: Order) {
        if self.orders.is_none() {
            self.start(ctx);
        }
        let sent = self.orders.as_ref().is_some_and(|orders| orders.send(order).is_ok());
        if !sent {
            held(&self.shared).now.failed("The sound has stopped; restart the program.".to_owned());
        }
    }

    fn start(&mut self, ctx: &egui::Context) {
        let Some(device) = self.device.take() else { return };
        let (orders, listens) = channel();
        let mut worker = Worker {
            device,
            shared: Arc::clone(&self.shared),
            ctx: ctx.clone(),
            on: None,
            playing: None,
            heard: None,
        };
        let started =
            std::thread::Builder::new().name("sound".to_owned()).spawn(move || worker.run(&listens)).is_ok();
        self.orders = started.then_some(orders);
    }
}

struct Worker {
    device: Box<dyn Device>,
    shared: Arc<Mutex<Shared>>,
    ctx: egui::Context,
    on: Option<String>,
    playing: Option<Box<dyn Playing>>,
    heard: Option<(Box<dyn Recording>, Capture)>,
}

impl Worker {
    fn run(&mut self, orders: &Receiver<Order>) {
        loop {
            let busy = self.playing.is_some() || self.heard.is_some();
            let order = if busy {
                orders.recv_timeout(EVERY)
            } else {
                orders.recv().map_err(|_gone| RecvTimeoutError::Disconnected)
            };
            match order {
                Ok(order) => self.carry_out(order),
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => return,
            }
            self.look();
            self.ctx.request_repaint();
        }
    }

    fn carry_out(&mut self, order: Order) {
        let done = match order {
            Order::Ports => self.device.ports().map(|ports| held(&self.shared).now.ports = ports),
            Order::Play(tracks, chosen, from) => self.play(tracks, (chosen, from)),
            Order::Stop => {
                if let Some(hand) = &held(&self.shared).hand {
                    hand.stop();
                }
                Ok(())
            }
            Order::On(id) => {
                self.on = id;
                Ok(())
            }
            Order::Listen(id) => self.device.record(id.as_deref()).map(|recording| {
                self.heard = Some((recording, Capture::new(RATE)));
            }),
            Order::Begin => {
                if let Some((_, capture)) = &mut self.heard {
                    capture.begin();
                }
                Ok(())
            }
            Order::End => {
                self.end();
                Ok(())
            }
            Order::Deaf => {
                self.end();
                self.heard = None;
                Ok(())
            }
        };
        let mut shared = held(&self.shared);
        match done {
            Ok(()) => shared.now.why_not = None,
            Err(NoSound(why)) => shared.now.failed(why),
        }
    }

    fn play(&mut self, tracks: Vec<Track>, start: (usize, usize)) -> Result<(), NoSound> {
        // What was heard before is cut off by what comes after it.
        self.playing = None;
        let volume = held(&self.shared).volume.unwrap_or(SOFT);
        let (deck, hand) = Deck::new(tracks, start, volume);
        held(&self.shared).hand = Some(hand);
        self.playing = Some(self.device.play(Box::new(deck), self.on.as_deref())?);
        held(&self.shared).now.begun += 1;
        Ok(())
    }

    fn end(&mut self) {
        if let Some(take) = self.heard.as_mut().and_then(|(_, capture)| capture.end()) {
            held(&self.shared).now.recorded = Some(Arc::new(take));
        }
    }

    /// What has become of what plays and of what is heard.
    fn look(&mut self) {
        if let Some(playing) = &mut self.playing {
            match playing.goes_on() {
                Ok(true) => {}
                Ok(false) => self.playing = None,
                Err(NoSound(why)) => {
                    self.playing = None;
                    held(&self.shared).now.failed(why);
                }
            }
        }
        if let Some((recording, capture)) = &mut self.heard {
            match recording.heard() {
                Ok(heard) => capture.hear(&heard.samples, heard.lost),
                Err(NoSound(why)) => {
                    // Unplugged in the middle: what was recorded until then is kept.
                    self.end();
                    self.heard = None;
                    held(&self.shared).now.failed(why);
                }
            }
        }
        if self.heard.as_ref().is_some_and(|(_, capture)| capture.is_full()) {
            self.end();
        }
        let mut shared = held(&self.shared);
        shared.now.plays = self.playing.is_some();
        let capture = self.heard.as_ref().map(|(_, capture)| capture);
        shared.now.meter = capture.map(Capture::meter);
        shared.now.recording_s = capture.filter(|capture| capture.is_recording()).map(Capture::lasts_s);
        shared.now.clipped = capture.is_some_and(Capture::is_clipped);
    }
}
