//! What is worked out from one strike.

use super::Figure;
use crate::pitch::{Cents, Hertz, KeyNumber, ReferenceA};
use std::fmt;

/// Bands of the coarse spectrum: two thirds of an octave each, from 50 Hz up.
pub const COARSE_BANDS: usize = 13;
/// Slices of the coarse spectrum in time: seconds from the strike.
pub const COARSE_SLICES: [(f64, f64); 3] = [(0.0, 0.04), (0.04, 0.16), (0.16, 0.6)];
/// The coarse spectrum in time: bands within slices, dB under the strike's own total, 0 to -70.
pub type Coarse = [f64; COARSE_BANDS * COARSE_SLICES.len()];

/// The figures of one strike. What could not be heard is `None`, never a number that stands for nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Measures {
    /// Those with the most energy first.
    pub partials: Vec<Partial>,
    /// The pitch, where one partial stands out; see [`PitchHeard::clarity`] for how far.
    pub pitch: Option<PitchHeard>,
    /// Spectral centroid of the first half second, Hz.
    pub brightness_hz: Option<Figure>,
    /// Of the first 50 ms, Hz.
    pub brightness_at_strike_hz: Option<Figure>,
    /// Between 200 and 300 ms after the strike, Hz.
    pub brightness_after_hz: Option<Figure>,
    /// Seconds for a fall by 60 dB, from the stretch between -5 and -25 dB.
    pub ring_s: Option<Figure>,
    /// The same from the first 10 dB.
    pub early_ring_s: Option<Figure>,
    /// From a tenth to nine tenths of the greatest level, seconds.
    pub attack_s: Option<Figure>,
    /// Roughness of the partials together, 0 to 1.
    pub roughness: Option<Figure>,
    /// The strongest pair of partials that beat.
    pub beating: Option<Beating>,
    /// Greatest momentary loudness, LUFS.
    pub loudness_lufs: Option<Figure>,
    /// True peak, dB over full scale.
    pub true_peak_dbtp: Option<Figure>,
    /// Geometric over arithmetic mean of the spectrum, 100 Hz to 10 kHz: near 1 for noise, near 0 for a tone.
    pub flatness: Option<Figure>,
    /// Share of the energy that lies in the partials, 0 to 1.
    pub tonal: Option<Figure>,
    /// Share of the strongest partial in the energy of all partials, 0 to 1.
    pub strongest: Option<Figure>,
    /// How far the partials are from whole multiples of the lowest strong one, 0 to 0.5.
    pub inharmonicity: Option<Figure>,
    /// For likeness.
    pub coarse: Coarse,
    /// What the room, the noise or the recording makes uncertain.
    pub doubts: Vec<Doubt>,
}

impl Measures {
    /// Of silence: nothing was heard.
    pub const NOTHING: Self = Self {
        partials: Vec::new(),
        pitch: None,
        brightness_hz: None,
        brightness_at_strike_hz: None,
        brightness_after_hz: None,
        ring_s: None,
        early_ring_s: None,
        attack_s: None,
        roughness: None,
        beating: None,
        loudness_lufs: None,
        true_peak_dbtp: None,
        flatness: None,
        tonal: None,
        strongest: None,
        inharmonicity: None,
        coarse: [-70.0; COARSE_BANDS * COARSE_SLICES.len()],
        doubts: Vec::new(),
    };
}

/// One partial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Partial {
    /// Frequency, Hz, above zero.
    pub hz: f64,
    /// One standard deviation of it, Hz.
    pub hz_sd: f64,
    /// Amplitude at the strike, dB under full scale, drawn back along the decay.
    pub db: f64,
    /// One standard deviation of it, dB.
    pub db_sd: f64,
    /// Seconds to fall by 60 dB; `None` where no fall was heard (too short a recording, a looped sample).
    pub t60_s: Option<Figure>,
    /// How far the decay is from a straight line, dB: beating, or two slopes.
    pub bend_db: f64,
    /// How many dB of the decay were heard.
    pub heard_db: f64,
}

impl Partial {
    /// Energy from the strike on, in relative units; a partial that was not heard to fall counts as one of 4 s.
    pub fn energy(&self) -> f64 {
        let t60_s = self.t60_s.map_or(4.0, |t60| t60.value.min(4.0));
        10_f64.powf(self.db / 10.0) * t60_s / (2.0 * 1000_f64.ln())
    }

    /// One standard deviation of the frequency, in cents.
    pub fn cents_sd(&self) -> f64 {
        1200.0 * std::f64::consts::LOG2_E * self.hz_sd / self.hz
    }
}

/// The pitch of a strike: the frequency of the partial that carries it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PitchHeard {
    /// Frequency, Hz.
    pub hz: Figure,
    /// How clear the pitch is, 0 to 1: the share of the sound's energy that this partial and those near its whole multiples have.
    pub clarity: Figure,
}

impl PitchHeard {
    /// The nearest key by an A, and how far the pitch lies above it; `None` outside the keys.
    pub fn key(&self, a: ReferenceA) -> Option<(KeyNumber, Cents)> {
        a.nearest(Hertz::new(self.hz.value).ok()?)
    }

    /// One standard deviation, in cents.
    pub fn cents_sd(&self) -> f64 {
        1200.0 * std::f64::consts::LOG2_E * self.hz.sd / self.hz.value
    }
}

/// Two partials so near that they are heard as one that beats: a doublet of a bell or a drum, or two bars out of tune.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beating {
    /// The lower of the two, Hz.
    pub hz: f64,
    /// Beats in a second.
    pub rate_hz: Figure,
    /// From the greatest to the least level of a beat, dB.
    pub depth_db: f64,
}

/// Why a figure is less sure than it looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Doubt {
    /// The strike was cut off while it rang.
    StillRinging,
    /// Less than 30 dB stand above the noise.
    Noisy,
    /// The early and the late decay differ by more than a third: two slopes, of the thing or of the room.
    TwoSlopes,
    /// Partials beat, so that their decays are no straight lines.
    Beats,
    /// Several partials are about equally strong: what is called the pitch is one of them (bells, gongs).
    PitchOpen,
    /// Samples stand at full scale.
    Clipped,
    /// What rang before is as loud as the strike's end.
    UnderOthers,
}

impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::StillRinging => {
                "the strike was cut off while it rang; record a longer take to measure how long it rings"
            }
            Self::Noisy => "less than 30\u{202f}dB stand above the noise; soft partials and the end of the ring are lost",
            Self::TwoSlopes => "it falls at first otherwise than later; the room or a second part of the instrument rings on",
            Self::Beats => "partials beat; their decays are uncertain",
            Self::PitchOpen => {
                "several partials are about equally strong; the ear may hear the pitch of another one, or of none"
            }
            Self::Clipped => "the loudest moments are clipped; brightness and attack are uncertain",
            Self::UnderOthers => "an earlier strike still rings; its sound is mixed in",
        })
    }
}
