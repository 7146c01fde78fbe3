//! Attack and ring: the level of a strike in time.

use crate::partial::Look;
use crate::spectrum::{signed, whole};
use backrow_core::sound::Figure;

/// Milliseconds of one step of the decay.
const STEP_MS: usize = 2;

/// The level of a strike.
pub(super) struct Level {
    /// Power by the half millisecond, over 2 ms.
    rise: Vec<f64>,
    /// What is left of the energy from each step of 2 ms on, dB under the whole; the noise taken off.
    left_db: Vec<f64>,
    /// Power at the greatest, at the end, before the strike, and of the noise.
    top: f64,
    end: f64,
    before: f64,
    noise: f64,
    /// The end of the energy's row is the end of the recording, not the noise.
    cut_off: bool,
}

fn power(piece: &[f32]) -> f64 {
    piece.iter().map(|value| f64::from(*value).powi(2)).sum::<f64>() / piece.len().max(1) as f64
}

impl Level {
    pub(super) fn of(look: &Look<'_>) -> Self {
        let part = look.part();
        let half_ms = look.rate / 2000.0;
        let window = whole(look.rate * 0.002).max(1);
        let at = |step: usize| {
            let from = whole(step as f64 * half_ms);
            part.get(from..(from + window).min(part.len())).map_or(0.0, power)
        };
        let steps = whole(part.len() as f64 / half_ms);
        let rise: Vec<f64> = (0..steps.min(400)).map(at).collect();
        let (top_at, top) = greatest(&rise);
        let noise = look.floor.variance();
        let step = whole(look.rate * STEP_MS as f64 / 1000.0).max(1);
        let from = whole(top_at as f64 * half_ms);
        let all = part.get(from..).unwrap_or_default();
        let energy: Vec<f64> = all.chunks_exact(step).map(|piece| (power(piece) - noise).max(0.0)).collect();
        let heard = energy.windows(5).position(|five| five.iter().sum::<f64>() < 15.0 * noise);
        let end = heard.unwrap_or(energy.len());
        let before = signed(look.span.from) - signed(whole(look.rate * 0.03));
        let before =
            usize::try_from(before).ok().and_then(|at| look.sound.get(at..look.span.from)).map_or(0.0, power);
        let last = energy.get(end.saturating_sub(10)..end).unwrap_or_default();
        Self {
            left_db: left_db(energy.get(..end).unwrap_or_default()),
            end: last.iter().sum::<f64>() / last.len().max(1) as f64,
            cut_off: heard.is_none(),
            rise,
            top,
            before,
            noise,
        }
    }

    /// From a tenth to nine tenths of the greatest amplitude.
    pub(super) fn attack(&self) -> Option<Figure> {
        let (top_at, top) = greatest(&self.rise);
        if top <= 0.0 {
            return None;
        }
        let crosses = |share: f64| {
            let gate = top * share * share;
            let at = self.rise.iter().take(top_at + 1).position(|value| *value >= gate)?;
            let (after, before) = (*self.rise.get(at)?, at.checked_sub(1).and_then(|at| self.rise.get(at)));
            // Between two steps the level is taken to rise evenly.
            let back = before.map_or(0.0, |before| (after - gate) / (after - before).max(1e-30));
            Some(at as f64 - back.clamp(0.0, 1.0))
        };
        let (from, to) = (crosses(0.1)?, crosses(0.9)?);
        let seconds = (to - from).max(0.5) * 0.0005;
        // Half a step at each end, and the noise against the slope.
        let noisy = (self.noise / top).sqrt() * seconds;
        Figure::above_zero(seconds, 0.000_25_f64.hypot(noisy))
    }

    /// From 5 to 25 dB under the beginning, or as far as the noise lets one hear.
    pub(super) fn ring(&self) -> Option<Figure> {
        [-25.0, -20.0, -15.0].into_iter().find_map(|low| self.fall(-5.0, low))
    }

    pub(super) fn early_ring(&self) -> Option<Figure> {
        self.fall(-0.5, -10.0)
    }

    /// Seconds for 60 dB by the line through the stretch between two levels.
    fn fall(&self, high: f64, low: f64) -> Option<Figure> {
        let row = &self.left_db;
        // What is guessed after the end must not weigh much.
        if row.last().is_none_or(|last| *last > low - 3.0) {
            return None;
        }
        let (from, to) = (row.iter().position(|db| *db <= high)?, row.iter().position(|db| *db <= low)?);
        let stretch = row.get(from..=to)?;
        let step_s = STEP_MS as f64 / 1000.0;
        let points: Vec<_> = stretch
            .iter()
            .enumerate()
            .map(|(at, db)| crate::partial::Point { time: at as f64 * step_s, value: *db, weight: 1.0 })
            .collect();
        if points.len() < 4 {
            // A click: between two steps nothing more can be said.
            let seconds = 60.0 * step_s * (stretch.len().max(2) - 1) as f64 / (high - low);
            return Figure::above_zero(seconds, 0.5 * seconds);
        }
        // The integral is smooth: a tenth of its points are looks of their own.
        let line = crate::partial::line(&points, 0.1)?;
        let seconds = -60.0 / line.slope;
        Figure::above_zero(seconds, seconds * line.slope_sd / line.slope.abs())
    }

    /// Whether the recording, or the next strike, ended it less than 30 dB down.
    pub(super) fn is_cut_off(&self) -> bool {
        self.cut_off && self.end > self.top * 1e-3
    }

    /// How far the greatest level stands above the noise.
    pub(super) fn above_noise_db(&self) -> f64 {
        10.0 * (self.top / self.noise.max(1e-30)).max(1e-9).log10()
    }

    /// Whether what rang before is louder than 30 dB under the strike, and no noise.
    pub(super) fn others_ring(&self) -> bool {
        self.before > 10.0 * self.noise && self.before > self.top * 1e-3
    }
}

/// Backward integration (Schroeder 1965), with what would have followed after the end if it went on falling as it last did
/// (ISO 3382-1 corrects for the finite end so). Empty where it does not fall: nothing can be said of its ring.
fn left_db(energy: &[f64]) -> Vec<f64> {
    let Some(after) = after_the_end(energy) else { return Vec::new() };
    let mut left: Vec<f64> = energy
        .iter()
        .rev()
        .scan(after, |sum, energy| {
            *sum += energy;
            Some(*sum)
        })
        .collect();
    left.reverse();
    let whole = left.first().copied().unwrap_or_default();
    if whole <= 0.0 {
        return Vec::new();
    }
    left.iter().map(|left| 10.0 * (left / whole + 1e-12).log10()).collect()
}

/// The energy after the end of a row, by the line through the logarithm of its last third, or of all of it where the last third
/// happens to rise within a beat; `None` where neither falls.
fn after_the_end(energy: &[f64]) -> Option<f64> {
    let third = energy.len() - energy.len() / 3;
    beyond(energy, third).or_else(|| beyond(energy, 0))
}

fn beyond(energy: &[f64], from: usize) -> Option<f64> {
    let blocks = (energy.len() / 60).clamp(1, 10);
    let mean = |piece: &[f64]| piece.iter().sum::<f64>() / piece.len() as f64;
    let points: Vec<_> = energy
        .get(from..)?
        .chunks_exact(blocks)
        .map(mean)
        .enumerate()
        .filter(|(_, mean)| *mean > 0.0)
        .map(|(at, mean)| crate::partial::Point { time: (at * blocks) as f64, value: mean.ln(), weight: 1.0 })
        .collect();
    // Of a click there is nothing left.
    let Some(line) = crate::partial::line(&points, 1.0) else { return Some(0.0) };
    // A fall that is not surely one may be none.
    if line.slope > -2.0 * line.slope_sd {
        return None;
    }
    let last = line.at_zero + line.slope * (energy.len() - from) as f64;
    Some(last.exp() / -line.slope)
}

fn greatest(row: &[f64]) -> (usize, f64) {
    row.iter()
        .copied()
        .enumerate()
        .fold((0, 0.0), |most, (at, value)| if value > most.1 { (at, value) } else { most })
}
