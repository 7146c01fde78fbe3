//! A device for tests: it plays into a buffer and hears what a test says.

use super::{Device, Feed, Frame, Heard, NoSound, Playing, Port, PortKind, Recording};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// What a fake device knows, shared with the test that made it.
#[derive(Debug, Default)]
struct Inside {
    played: Vec<Frame>,
    to_hear: Vec<f32>,
    why_not: Option<NoSound>,
    /// What is played goes on until it fails.
    goes_on: bool,
    lost: u64,
}

/// The test's hand on a [`Fake`].
#[derive(Clone, Debug, Default)]
pub struct FakeHand(Arc<Mutex<Inside>>);

impl FakeHand {
    fn inside(&self) -> MutexGuard<'_, Inside> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Everything that was played so far: the mean of left and right.
    pub fn played(&self) -> Vec<f32> {
        self.inside().played.iter().map(|[left, right]| f32::midpoint(*left, *right)).collect()
    }

    /// The same, left and right apart.
    pub fn played_on_both(&self) -> Vec<Frame> {
        self.inside().played.clone()
    }

    /// Lets the microphone hear this next.
    pub fn sounds(&self, samples: &[f32]) {
        self.inside().to_hear.extend_from_slice(samples);
    }

    /// What is played has no end until the plug is pulled.
    pub fn plays_on(&self) {
        self.inside().goes_on = true;
    }

    /// From now on there is no sound, for this reason: the plug was pulled.
    pub fn fails(&self, why: &str) {
        self.inside().why_not = Some(NoSound(why.to_owned()));
    }

    /// So many frames were lost on the way.
    pub fn loses(&self, frames: u64) {
        self.inside().lost = frames;
    }
}

/// A device that is none. What it is given to play is played at once, however long.
#[derive(Debug, Default)]
pub struct Fake(FakeHand);

impl Fake {
    /// A device and the hand on it.
    pub fn new() -> (Self, FakeHand) {
        let hand = FakeHand::default();
        (Self(hand.clone()), hand)
    }

    fn or_why_not(&self) -> Result<(), NoSound> {
        self.0.inside().why_not.clone().map_or(Ok(()), Err)
    }
}

/// The most that a fake device plays of one thing, samples: what never ends must not hang a test.
const MOST: usize = 48_000 * 120;

impl Device for Fake {
    fn ports(&mut self) -> Result<Vec<Port>, NoSound> {
        self.or_why_not()?;
        let port = |id: &str, name: &str, kind| Port { id: id.to_owned(), name: name.to_owned(), kind };
        Ok(vec![
            port("mic", "Microphone of the test", PortKind::Microphone),
            port("monitor", "What the loudspeaker of the test plays", PortKind::Monitor),
            port("speaker", "Loudspeaker of the test", PortKind::Loudspeaker),
        ])
    }

    fn play(&mut self, mut feed: Box<dyn Feed>, _: Option<&str>) -> Result<Box<dyn Playing>, NoSound> {
        self.or_why_not()?;
        let mut piece = vec![[0.0; 2]; 960];
        for _ in 0..MOST / piece.len() {
            let filled = feed.fill(&mut piece).min(piece.len());
            if filled == 0 {
                break;
            }
            self.0.inside().played.extend(piece.iter().take(filled));
        }
        Ok(Box::new(FakePlaying(self.0.clone())))
    }

    fn record(&mut self, _: Option<&str>) -> Result<Box<dyn Recording>, NoSound> {
        self.or_why_not()?;
        Ok(Box::new(FakeRecording(self.0.clone())))
    }
}

struct FakePlaying(FakeHand);

impl Playing for FakePlaying {
    fn goes_on(&mut self) -> Result<bool, NoSound> {
        let inside = self.0.inside();
        inside.why_not.clone().map_or(Ok(inside.goes_on), Err)
    }
}

struct FakeRecording(FakeHand);

impl Recording for FakeRecording {
    fn heard(&mut self) -> Result<Heard, NoSound> {
        let mut inside = self.0.inside();
        if let Some(why) = &inside.why_not {
            return Err(why.clone());
        }
        Ok(Heard { samples: std::mem::take(&mut inside.to_hear), lost: inside.lost })
    }
}
