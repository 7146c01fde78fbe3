//! The sound device behind one small trait: what there is to hear with and to be heard by, playing, recording, and in one
//! sentence why not.
//!
//! Everything is played at [`RATE`]; what was recorded at another rate is converted first ([`crate::rate`]). On Linux the sound
//! server is asked over its socket (`pulse`), on Windows and macOS the system (`system`, not compiled where this is built).
//! Tests play and record with [`Fake`].

mod fake;
mod lag;
#[cfg(target_os = "linux")]
mod pulse;
#[cfg(any(windows, target_os = "macos"))]
mod system;

pub use fake::{Fake, FakeHand};
pub use lag::Lag;
use std::fmt;

/// Frames a second of everything that is played and recorded through a device.
pub const RATE: u32 = 48_000;

/// Where sound goes out or comes in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PortKind {
    /// A microphone or line input.
    Microphone,
    /// What a loudspeaker is playing, heard again.
    Monitor,
    /// A loudspeaker or headphones.
    Loudspeaker,
}

/// One loudspeaker or microphone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Port {
    /// The name by which it is asked for; stays the same from day to day where the system keeps it.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// What it is.
    pub kind: PortKind,
}

/// Why there is no sound: one whole sentence for a person, with what to do where something can be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoSound(pub String);

impl fmt::Display for NoSound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for NoSound {}

/// One moment of what is played: left, right.
pub type Frame = [f32; 2];

/// What gives frames to a device, on a thread of the device's: it must neither wait nor read files.
pub trait Feed: Send + 'static {
    /// Fills from the front and says how many frames it wrote; 0 is the end.
    fn fill(&mut self, out: &mut [Frame]) -> usize;
}

/// What was heard since it was last asked.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Heard {
    /// One channel, the mean of what came in; 1.0 is full scale.
    pub samples: Vec<f32>,
    /// Frames that the device lost since the beginning, by the clock.
    pub lost: u64,
}

/// Something that is being played; dropped, it is silent at once.
pub trait Playing: Send {
    /// Whether it still plays; an error where the device went away meanwhile.
    fn goes_on(&mut self) -> Result<bool, NoSound>;
}

/// A microphone that is open; dropped, it is closed.
pub trait Recording: Send {
    /// What has come in since the last time; an error where the device went away. Never waits long.
    fn heard(&mut self) -> Result<Heard, NoSound>;
}

/// A way to the sound of this machine.
pub trait Device: Send {
    /// Every loudspeaker and microphone, microphones first; monitors come after real microphones.
    fn ports(&mut self) -> Result<Vec<Port>, NoSound>;
    /// Plays on a loudspeaker by its id, or on the usual one.
    fn play(&mut self, feed: Box<dyn Feed>, on: Option<&str>) -> Result<Box<dyn Playing>, NoSound>;
    /// Opens a microphone by its id, or the first there is.
    fn record(&mut self, from: Option<&str>) -> Result<Box<dyn Recording>, NoSound>;
}

/// The device of this machine. Nothing is opened before it is asked for.
pub fn of_this_machine() -> Box<dyn Device> {
    #[cfg(target_os = "linux")]
    {
        Box::new(pulse::Server::default())
    }
    #[cfg(any(windows, target_os = "macos"))]
    {
        Box::new(system::System::default())
    }
    #[cfg(not(any(target_os = "linux", windows, target_os = "macos")))]
    {
        Box::new(Silent)
    }
}

/// Where no way to the sound is known.
#[derive(Clone, Copy, Debug, Default)]
pub struct Silent;

impl Silent {
    fn why() -> NoSound {
        NoSound(
            "On this system nothing can be played or recorded. Recordings can still be imported from files."
                .to_owned(),
        )
    }
}

impl Device for Silent {
    fn ports(&mut self) -> Result<Vec<Port>, NoSound> {
        Err(Self::why())
    }

    fn play(&mut self, _: Box<dyn Feed>, _: Option<&str>) -> Result<Box<dyn Playing>, NoSound> {
        Err(Self::why())
    }

    fn record(&mut self, _: Option<&str>) -> Result<Box<dyn Recording>, NoSound> {
        Err(Self::why())
    }
}
