//! What is played: several candidates side by side, one heard at a time, switched without losing the place.

use crate::device::{Feed, Frame};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, AtomicUsize, Ordering};

/// How long one candidate fades into another, frames: 10 ms at [`crate::device::RATE`].
const CROSS: f32 = 480.0;

/// How long sound fades in where it begins in the middle, out where it is stopped, and to another volume, frames: 20 ms.
const FADE: f32 = 960.0;

/// The volume at which the program starts to play: a quarter of full scale, 12 dB down. Whoever wants more turns it up.
pub const SOFT: f32 = 0.25;

/// One candidate's sound.
#[derive(Clone, Debug)]
pub struct Track {
    /// One channel at [`crate::device::RATE`].
    pub samples: Arc<[f32]>,
    /// What it is multiplied by, so that candidates are equally loud.
    pub gain: f32,
    /// How much of it goes to the left and to the right (`pan`); [`BOTH`] for all of it to each.
    pub pan: Frame,
    /// What sounds along with it, at the same rate, and what that is multiplied by.
    pub along: Option<(Arc<[Frame]>, f32)>,
}

/// As loud in both loudspeakers as it is.
pub const BOTH: Frame = [1.0, 1.0];

impl Track {
    /// A sound by itself, in both loudspeakers.
    pub const fn new(samples: Arc<[f32]>, gain: f32) -> Self {
        Self { samples, gain, pan: BOTH, along: None }
    }

    /// How many frames it has.
    pub fn length(&self) -> usize {
        let along = self.along.as_ref().map_or(0, |(along, _)| along.len());
        self.samples.len().max(along)
    }

    /// A frame of it; silence beyond its end.
    pub fn at(&self, frame: usize) -> Frame {
        let own = self.samples.get(frame).copied().unwrap_or(0.0) * self.gain;
        let along = self.along.as_ref().and_then(|(along, gain)| Some(along.get(frame)?.map(|v| v * gain)));
        let ([left, right], [along_left, along_right]) = (self.pan, along.unwrap_or_default());
        [own * left + along_left, own * right + along_right]
    }
}

#[derive(Debug, Default)]
struct Wishes {
    chosen: AtomicUsize,
    at: AtomicUsize,
    volume: AtomicU32,
    stop: AtomicBool,
}

/// The hand on a [`Deck`] that plays.
#[derive(Clone, Debug)]
pub struct DeckHand(Arc<Wishes>);

impl DeckHand {
    /// Lets another candidate be heard from now on, at the same place.
    pub fn choose(&self, track: usize) {
        self.0.chosen.store(track, Ordering::Relaxed);
    }

    /// Which candidate is heard.
    pub fn chosen(&self) -> usize {
        self.0.chosen.load(Ordering::Relaxed)
    }

    /// How loud, from 0 to 1.
    pub fn volume(&self, volume: f32) {
        let volume = if volume.is_finite() { volume.clamp(0.0, 1.0) } else { 0.0 };
        self.0.volume.store(volume.to_bits(), Ordering::Relaxed);
    }

    /// Fades out and ends.
    pub fn stop(&self) {
        self.0.stop.store(true, Ordering::Relaxed);
    }

    /// Where it is, frames from the start of the tracks.
    pub fn at(&self) -> usize {
        self.0.at.load(Ordering::Relaxed)
    }
}

/// Candidates side by side, as a device asks for them.
#[derive(Debug)]
pub struct Deck {
    tracks: Vec<Track>,
    /// How much of each is heard now.
    heard: Vec<f32>,
    at: usize,
    until: usize,
    volume: f32,
    wishes: Arc<Wishes>,
}

impl Deck {
    /// Tracks that begin together, heard from a frame on at a volume.
    pub fn new(tracks: Vec<Track>, (chosen, from): (usize, usize), volume: f32) -> (Self, DeckHand) {
        let wishes = Arc::new(Wishes::default());
        let hand = DeckHand(Arc::clone(&wishes));
        hand.choose(chosen);
        hand.volume(volume);
        wishes.at.store(from, Ordering::Relaxed);
        let until = tracks.iter().map(Track::length).max().unwrap_or(0);
        let heard = (0..tracks.len()).map(|n| if n == chosen { 1.0 } else { 0.0 }).collect();
        // An attack at the very beginning is the point of it and stays whole; in the middle of a sound it would be a click.
        let volume = if from == 0 { f32::from_bits(wishes.volume.load(Ordering::Relaxed)) } else { 0.0 };
        (Self { tracks, heard, at: from, until, volume, wishes }, hand)
    }
}

fn towards(now: f32, wanted: f32, step: f32) -> f32 {
    if now < wanted { (now + step).min(wanted) } else { (now - step).max(wanted) }
}

impl Feed for Deck {
    fn fill(&mut self, out: &mut [Frame]) -> usize {
        let chosen = self.wishes.chosen.load(Ordering::Relaxed);
        let stop = self.wishes.stop.load(Ordering::Relaxed);
        let wanted = if stop { 0.0 } else { f32::from_bits(self.wishes.volume.load(Ordering::Relaxed)) };
        let mut written = 0;
        for place in out.iter_mut() {
            if self.at >= self.until || (stop && self.volume <= 0.0) {
                break;
            }
            let mut sum: Frame = [0.0; 2];
            for (n, (track, heard)) in self.tracks.iter().zip(&mut self.heard).enumerate() {
                *heard = towards(*heard, if n == chosen { 1.0 } else { 0.0 }, 1.0 / CROSS);
                if *heard > 0.0 {
                    for (sum, value) in sum.iter_mut().zip(track.at(self.at)) {
                        *sum += value * *heard;
                    }
                }
            }
            self.volume = towards(self.volume, wanted, 1.0 / FADE);
            *place = sum.map(|value| (value * self.volume).clamp(-1.0, 1.0));
            self.at += 1;
            written += 1;
        }
        self.wishes.at.store(self.at, Ordering::Relaxed);
        written
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn track(level: f32, frames: usize) -> Track {
        Track::new(vec![level; frames].into(), 1.0)
    }

    fn both(deck: &mut Deck) -> Vec<Frame> {
        let mut out = Vec::new();
        let mut piece = [[0.0; 2]; 100];
        loop {
            let n = deck.fill(&mut piece);
            if n == 0 {
                return out;
            }
            out.extend_from_slice(&piece[..n]);
        }
    }

    /// Of sounds that are the same on both sides.
    fn one(frames: &[Frame]) -> Vec<f32> {
        assert!(
            frames.iter().all(|[left, right]| left.to_bits() == right.to_bits()),
            "left and right differ"
        );
        frames.iter().map(|[left, _]| *left).collect()
    }

    fn all(deck: &mut Deck) -> Vec<f32> {
        one(&both(deck))
    }

    #[test]
    fn each_side_has_its_share_and_what_sounds_along() {
        let along: Arc<[Frame]> = vec![[0.25, 0.0]; 300].into();
        let sent = Track { pan: [0.5, 1.0], along: Some((along, 0.5)), ..track(0.5, 250) };
        let (mut deck, _) = Deck::new(vec![sent], (0, 0), 1.0);
        let heard = both(&mut deck);
        assert_eq!(heard.len(), 300, "until both have ended");
        assert_eq!((heard[0], heard[299]), ([0.375, 0.5], [0.125, 0.0]));
    }

    #[test]
    fn an_attack_stays_whole_and_the_end_is_the_end() {
        let (mut deck, hand) = Deck::new(vec![track(0.5, 250)], (0, 0), 1.0);
        assert_eq!(all(&mut deck), vec![0.5; 250]);
        assert_eq!(hand.at(), 250);
    }

    #[test]
    fn in_the_middle_it_fades_in() {
        let (mut deck, _) = Deck::new(vec![track(0.5, 5000)], (0, 1000), 1.0);
        let out = all(&mut deck);
        assert_eq!(out.len(), 4000);
        assert!(out[0] < 0.001 && (out[2000] - 0.5).abs() < 1e-6);
    }

    #[test]
    fn another_candidate_comes_in_at_the_same_place() {
        let (mut deck, hand) = Deck::new(vec![track(0.5, 5000), track(-0.25, 5000)], (0, 0), 1.0);
        let mut piece = [[0.0; 2]; 1000];
        assert_eq!(deck.fill(&mut piece), 1000);
        hand.choose(1);
        assert_eq!(deck.fill(&mut piece), 1000);
        let piece = one(&piece);
        assert!((piece[0] - 0.5).abs() < 0.01, "no jump");
        assert!((piece[999] + 0.25).abs() < 1e-6);
        assert_eq!(hand.at(), 2000);
        let steepest = piece.windows(2).map(|w| (w[1] - w[0]).abs()).fold(0.0, f32::max);
        assert!(steepest < 0.002, "no click: {steepest}");
    }

    #[test]
    fn stopped_it_fades_out_and_ends() {
        let (mut deck, hand) = Deck::new(vec![track(0.5, 50_000)], (0, 0), 1.0);
        let mut piece = [[0.0; 2]; 100];
        deck.fill(&mut piece);
        hand.stop();
        let rest = all(&mut deck);
        assert!((900..=1000).contains(&rest.len()), "{}", rest.len());
        assert!(rest.last().unwrap().abs() < 0.001);
    }

    #[test]
    fn nothing_leaves_full_scale() {
        let loud = Track { gain: 7.0, ..track(1.0, 10) };
        let (mut deck, hand) = Deck::new(vec![loud], (0, 0), 1.0);
        hand.volume(f32::NAN);
        hand.volume(9.0);
        assert!(all(&mut deck).iter().all(|v| v.abs() <= 1.0));
    }
}
