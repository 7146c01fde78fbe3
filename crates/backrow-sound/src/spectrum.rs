//! Windows, power spectra, and the noise that lies under a recording.

use realfft::num_complex::Complex;
use realfft::{RealFftPlanner, RealToComplex};
use std::f64::consts::TAU;
use std::sync::Arc;

/// The whole number at or under a length or place; 0 for what is negative or no number.
pub(crate) fn whole(value: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to what fits")]
    let whole = value.clamp(0.0, 1e12) as usize;
    whole
}

/// In single precision, as samples are kept.
pub(crate) fn single(value: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "the nearest is wanted")]
    let single = value as f32;
    single
}

/// A place as a signed number, so that one may look before the beginning.
pub(crate) fn signed(place: usize) -> i64 {
    i64::try_from(place).unwrap_or(i64::MAX)
}

/// The place of a signed number; the beginning for what lies before it.
pub(crate) fn place(signed: i64) -> usize {
    usize::try_from(signed).unwrap_or(0)
}

/// The value that a share of the row lies under (0 for the least, 0.5 for the middle); 0 for an empty row. The row is disordered.
pub(crate) fn quantile(row: &mut [f64], share: f64) -> f64 {
    let at = whole(row.len() as f64 * share).min(row.len().saturating_sub(1));
    if row.is_empty() { 0.0 } else { *row.select_nth_unstable_by(at, f64::total_cmp).1 }
}

/// Von Hann's window, periodic.
pub(crate) fn hann(length: usize) -> Vec<f64> {
    (0..length).map(|i| 0.5 - 0.5 * (TAU * i as f64 / length as f64).cos()).collect()
}

/// Blackman and Harris's window of four terms (Harris 1978): side lobes 92 dB down, so that a weak partial beside a strong one is
/// not one of its lobes.
pub(crate) fn blackman_harris(length: usize) -> Vec<f64> {
    let turn = TAU / length as f64;
    let value = |i: usize| {
        let phase = turn * i as f64;
        0.35875 - 0.48829 * phase.cos() + 0.14128 * (2.0 * phase).cos() - 0.01168 * (3.0 * phase).cos()
    };
    (0..length).map(value).collect()
}

/// A transform of one size with its window.
pub(crate) struct Power {
    fft: Arc<dyn RealToComplex<f64>>,
    window: Vec<f64>,
    input: Vec<f64>,
    output: Vec<Complex<f64>>,
    scratch: Vec<Complex<f64>>,
    /// The sum of the squares of the window: white noise of variance v has the power v times this in every bin.
    pub(crate) noise_gain: f64,
    /// The sum of the window: a sine of amplitude a has the power (a times half of this)² at its peak.
    pub(crate) sine_gain: f64,
}

impl Power {
    /// The window's samples, zero-padded to `size`.
    pub(crate) fn new(window: Vec<f64>, size: usize) -> Self {
        let fft = RealFftPlanner::new().plan_fft_forward(size.max(window.len()).max(2));
        Self {
            noise_gain: window.iter().map(|w| w * w).sum(),
            sine_gain: window.iter().sum(),
            input: fft.make_input_vec(),
            output: fft.make_output_vec(),
            scratch: fft.make_scratch_vec(),
            window,
            fft,
        }
    }

    pub(crate) fn bins(&self) -> usize {
        self.output.len()
    }

    /// The power in each bin of the piece that begins at `at`; beyond the ends of `sound` there is silence.
    pub(crate) fn at(&mut self, sound: &[f32], at: i64, power: &mut Vec<f64>) {
        self.input.fill(0.0);
        let skipped = place(-at.min(0)).min(self.window.len());
        let there = sound.get(place(at.max(0))..).unwrap_or_default();
        let inside = self.input.iter_mut().skip(skipped).zip(self.window.iter().skip(skipped));
        for ((input, weight), value) in inside.zip(there) {
            *input = f64::from(*value) * weight;
        }
        power.clear();
        // The lengths are those of the plan, so this cannot fail; if it did there would be silence.
        if self.fft.process_with_scratch(&mut self.input, &mut self.output, &mut self.scratch).is_ok() {
            power.extend(self.output.iter().map(Complex::norm_sqr));
        } else {
            power.resize(self.output.len(), 0.0);
        }
    }
}

/// The noise under a recording: its density (the variance of white noise, so that `density * noise_gain` is a bin's power), in
/// bands of equal width, from the quietest tenth of the moments in each.
pub(crate) struct Floor {
    density: Vec<f64>,
    hz: f64,
}

impl Floor {
    /// Of a whole recording.
    pub(crate) fn of(sound: &[f32], rate: f64) -> Self {
        // A recording of one short strike is quiet only for moments, at its end.
        let length = if sound.len() as f64 > 1.5 * rate { 4096 } else { 1024 };
        let mut fft = Power::new(hann(length), length);
        let frames = sound.len().saturating_sub(length) / (length / 2) + 1;
        // At most about 400 frames, evenly spread: a floor needs no more.
        let step = frames.div_ceil(400).max(1);
        let mut power = Vec::new();
        let mut bands: Vec<Vec<f64>> = vec![Vec::new(); fft.bins()];
        for frame in (0..frames).step_by(step) {
            fft.at(sound, signed(frame * length / 2), &mut power);
            for (bin, band) in bands.iter_mut().enumerate() {
                // Three bins together: steadier.
                let three = &power[bin.saturating_sub(1)..(bin + 2).min(power.len())];
                band.push(three.iter().sum::<f64>() / three.len() as f64);
            }
        }
        // The lowest tenth of three of Hann's bins together lies at 0.28 of their mean (tried: neighbours hang together, so that
        // they are like a chi-square of four degrees of freedom). Nothing is quieter than 24 bits.
        let density: Vec<f64> =
            bands.iter_mut().map(|band| (quantile(band, 0.1) / 0.28 / fft.noise_gain).max(1e-13)).collect();
        // Noise is smooth over frequency; what stands out of its neighbours is a tone that never is quiet (a hum, a looped sample).
        let smooth = |bin: usize| {
            let mut near = density[bin.saturating_sub(9)..(bin + 10).min(density.len())].to_vec();
            quantile(&mut near, 0.5)
        };
        Self { density: (0..density.len()).map(smooth).collect(), hz: rate / length as f64 }
    }

    /// The density at a frequency.
    pub(crate) fn at(&self, hz: f64) -> f64 {
        let bin = whole((hz / self.hz).round()).min(self.density.len().saturating_sub(1));
        self.density.get(bin).copied().unwrap_or(1e-13)
    }

    /// The variance of the noise as a whole.
    pub(crate) fn variance(&self) -> f64 {
        self.density.iter().sum::<f64>() / self.density.len().max(1) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_sine_and_white_noise_have_the_power_that_is_stated() {
        let rate = 48_000.0;
        let sine: Vec<f32> =
            (0..8192).map(|i| single(0.5 * (TAU * 1500.0 * f64::from(i) / rate).sin())).collect();
        let mut fft = Power::new(hann(4096), 4096);
        let mut power = Vec::new();
        fft.at(&sine, 1000, &mut power);
        assert_relative_eq!(power[128], (0.5 * fft.sine_gain / 2.0).powi(2), max_relative = 1e-4);
        let mut dice = crate::made::Dice::new(1);
        let noise: Vec<f32> = (0..480_000).map(|_| single(0.01 * dice.normal())).collect();
        let floor = Floor::of(&noise, rate);
        assert_relative_eq!(floor.at(3000.0), 1e-4, max_relative = 0.25);
        assert_relative_eq!(floor.variance(), 1e-4, max_relative = 0.1);
    }

    #[test]
    fn beyond_the_ends_there_is_silence() {
        let mut fft = Power::new(hann(64), 64);
        let mut power = Vec::new();
        for at in [-1000, -64, 10, 1000] {
            fft.at(&[0.0; 8], at, &mut power);
            assert!(power.iter().all(|value| *value == 0.0));
        }
        let floor = Floor::of(&[], 48_000.0);
        assert!(floor.at(f64::NAN) > 0.0 && floor.variance() > 0.0);
    }
}
