//! Recording a take: the level, the second before the start, and what went wrong on the way.

use backrow_core::sound::TakeFault;
use std::collections::VecDeque;

/// How much is kept from before the start, seconds: who presses the key after the strike still has it.
pub const BEFORE_S: f64 = 1.0;

/// The longest take, seconds; then it ends by itself and says so.
pub const LONGEST_S: f64 = 600.0;

/// How long a peak is held, seconds.
const HOLD_S: f64 = 2.0;

/// How fast a level falls when it is quiet again, dB a second. As common peak meters do (20 dB in 1.7 s, IEC 60268-18, from
/// memory).
const FALL_DB_S: f64 = 12.0;

/// The level of what comes in: its peak, and the highest peak held for a while.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meter {
    rate: f64,
    /// dB under full scale, 0 at most for a signal that does not clip.
    level_db: f64,
    held_db: f64,
    /// Seconds since the held peak.
    since_s: f64,
}

/// The lowest level that a meter shows, dB.
pub const SILENCE_DB: f64 = -96.0;

/// A peak as dB under full scale, [`SILENCE_DB`] at least.
pub fn peak_db(samples: &[f32]) -> f64 {
    let peak = samples.iter().fold(0.0f32, |peak, value| peak.max(value.abs()));
    (20.0 * f64::from(peak).log10()).max(SILENCE_DB)
}

impl Meter {
    fn new(rate: u32) -> Self {
        Self { rate: f64::from(rate.max(1)), level_db: SILENCE_DB, held_db: SILENCE_DB, since_s: 0.0 }
    }

    fn hear(&mut self, samples: &[f32]) {
        let lasts_s = samples.len() as f64 / self.rate;
        let now_db = peak_db(samples);
        self.level_db = now_db.max(self.level_db - FALL_DB_S * lasts_s).max(SILENCE_DB);
        self.since_s += lasts_s;
        if now_db >= self.held_db || self.since_s > HOLD_S {
            self.held_db = now_db.max(self.level_db);
            self.since_s = 0.0;
        }
    }

    /// The level now, dB under full scale.
    pub const fn level_db(&self) -> f64 {
        self.level_db
    }

    /// The highest of the last moments, dB under full scale.
    pub const fn held_db(&self) -> f64 {
        self.held_db
    }
}

/// A take as it came from the microphone.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Recorded {
    /// One channel.
    pub samples: Vec<f32>,
    /// Frames a second.
    pub rate: u32,
    /// Samples at full scale, as [`TakeFault::clipped`] counts them.
    pub clipped: u64,
    /// Frames that the device lost.
    pub lost: u64,
    /// The longest take was reached.
    pub cut: bool,
}

impl Recorded {
    /// How long it lasts, seconds.
    pub fn lasts_s(&self) -> f64 {
        self.samples.len() as f64 / f64::from(self.rate.max(1))
    }

    /// Whether it is so quiet that its noise will be heard.
    pub fn too_quiet(&self) -> bool {
        peak_db(&self.samples) < TakeFault::QUIET_DBFS
    }

    /// What is to be told of it, each a sentence; empty where nothing is.
    pub fn troubles(&self) -> Vec<String> {
        let mut told = Vec::new();
        if self.samples.is_empty() {
            told.push("Nothing was recorded. Check that the microphone is on.".to_owned());
            return told;
        }
        if self.clipped > 0 {
            told.push(
                "The take is clipped: turn the microphone down or move away, then record again.".to_owned(),
            );
        }
        if self.too_quiet() {
            told.push("The take is very quiet: turn the microphone up or move closer.".to_owned());
        }
        if self.lost > 0 {
            let ms = (self.lost as f64 * 1000.0 / f64::from(self.rate.max(1))).max(1.0);
            told.push(format!(
                "About {ms:.0}\u{202F}ms of sound was lost on the way: the computer was too busy."
            ));
        }
        if self.cut {
            told.push(format!("The take ended by itself after {:.0} minutes.", LONGEST_S / 60.0));
        }
        told
    }
}

/// A microphone that is listened to, and what is kept of it.
#[derive(Clone, Debug)]
pub struct Capture {
    rate: u32,
    meter: Meter,
    before: VecDeque<f32>,
    kept: Option<Recorded>,
    /// Lost before the take began.
    lost_before: u64,
    lost: u64,
}

impl Capture {
    /// Listens, and keeps nothing yet.
    pub fn new(rate: u32) -> Self {
        Self { rate, meter: Meter::new(rate), before: VecDeque::new(), kept: None, lost_before: 0, lost: 0 }
    }

    /// Some samples came in; `lost` counts all frames lost since the microphone was opened.
    pub fn hear(&mut self, samples: &[f32], lost: u64) {
        self.meter.hear(samples);
        self.lost = lost;
        if let Some(kept) = &mut self.kept {
            let room = frames(self.rate, LONGEST_S).saturating_sub(kept.samples.len());
            kept.cut |= samples.len() > room;
            let samples = samples.get(..room).unwrap_or(samples);
            // The last one before belongs to it: what is cut off may begin there.
            kept.clipped += TakeFault::clipped(kept.samples.last().into_iter().chain(samples));
            kept.samples.extend_from_slice(samples);
            return;
        }
        self.before.extend(samples);
        let too_many = self.before.len().saturating_sub(frames(self.rate, BEFORE_S));
        self.before.drain(..too_many);
    }

    /// Starts a take with what was heard in the second before.
    pub fn begin(&mut self) {
        if self.kept.is_some() {
            return;
        }
        let samples: Vec<f32> = std::mem::take(&mut self.before).into();
        self.lost_before = self.lost;
        self.kept = Some(Recorded {
            clipped: TakeFault::clipped(&samples),
            samples,
            rate: self.rate,
            lost: 0,
            cut: false,
        });
    }

    /// Ends the take and hands it over; `None` where none was begun.
    pub fn end(&mut self) -> Option<Recorded> {
        let mut kept = self.kept.take()?;
        kept.lost = self.lost.saturating_sub(self.lost_before);
        Some(kept)
    }

    /// Whether a take is under way.
    pub const fn is_recording(&self) -> bool {
        self.kept.is_some()
    }

    /// Whether the take has reached its greatest length.
    pub fn is_full(&self) -> bool {
        self.kept.as_ref().is_some_and(|kept| kept.cut)
    }

    /// How long the take under way is, seconds.
    pub fn lasts_s(&self) -> f64 {
        self.kept.as_ref().map_or(0.0, Recorded::lasts_s)
    }

    /// Whether the take under way is clipped.
    pub fn is_clipped(&self) -> bool {
        self.kept.as_ref().is_some_and(|kept| kept.clipped > 0)
    }

    /// The level.
    pub const fn meter(&self) -> Meter {
        self.meter
    }
}

fn frames(rate: u32, seconds: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few minutes of frames")]
    let frames = (f64::from(rate) * seconds) as usize;
    frames
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    const RATE: u32 = 8000;

    fn tone(level: f32, seconds: f64) -> Vec<f32> {
        vec![level; frames(RATE, seconds)]
    }

    #[test]
    fn the_second_before_the_start_is_kept() {
        let mut capture = Capture::new(RATE);
        capture.hear(&tone(0.1, 3.0), 0);
        capture.hear(&tone(0.2, 0.5), 0);
        capture.begin();
        capture.hear(&tone(0.3, 2.0), 0);
        let take = capture.end().unwrap();
        assert_abs_diff_eq!(take.lasts_s(), 3.0);
        let at = |s: f64| take.samples[frames(RATE, s)];
        for (s, level) in [(0.2, 0.1), (0.7, 0.2), (1.5, 0.3)] {
            assert_abs_diff_eq!(at(s), level);
        }
        assert!(take.troubles().is_empty(), "{:?}", take.troubles());
        assert!(capture.end().is_none());
    }

    #[test]
    fn clipped_quiet_and_lossy_takes_are_told() {
        let take = |level: f32, lost: u64| {
            let mut capture = Capture::new(RATE);
            capture.hear(&tone(0.0, 0.1), 40);
            capture.begin();
            capture.hear(&tone(level, 1.0), 40 + lost);
            capture.end().unwrap()
        };
        assert_eq!(take(1.0, 0).clipped, u64::from(RATE) - 1);
        assert!(take(1.0, 0).troubles()[0].contains("clipped"));
        assert!(take(0.005, 0).troubles()[0].contains("very quiet"));
        assert_eq!(take(0.5, 80).lost, 80, "what was lost before the take is not its fault");
        assert!(take(0.5, 80).troubles()[0].contains("10\u{202F}ms"));
    }

    #[test]
    fn it_counts_the_same_however_the_sound_comes_in() {
        let sound = [0.0, 1.0, 1.0, 0.2, -1.0, 0.1, 1.0, -1.0, 1.0];
        for piece in 1..=sound.len() {
            let mut capture = Capture::new(RATE);
            capture.begin();
            for part in sound.chunks(piece) {
                capture.hear(part, 0);
            }
            let take = capture.end().unwrap();
            assert_eq!((take.clipped, TakeFault::clipped(&take.samples)), (3, 3), "pieces of {piece}");
        }
    }

    #[test]
    fn a_take_without_end_ends_by_itself() {
        let mut capture = Capture::new(10);
        capture.begin();
        capture.hear(&vec![0.1; 5999], 0);
        assert!(!capture.is_full());
        capture.hear(&[0.1; 20], 0);
        assert!(capture.is_full());
        let take = capture.end().unwrap();
        assert_eq!((take.samples.len(), take.cut), (6000, true));
    }

    #[test]
    fn a_peak_is_held_and_then_let_go() {
        let mut meter = Meter::new(RATE);
        meter.hear(&tone(0.5, 0.1));
        meter.hear(&tone(0.0, 1.0));
        assert_abs_diff_eq!(meter.held_db(), -6.02, epsilon = 0.01);
        assert_abs_diff_eq!(meter.level_db(), -18.02, epsilon = 0.01);
        meter.hear(&tone(0.0, 1.5));
        assert!(meter.held_db() < -30.0, "{}", meter.held_db());
    }
}
