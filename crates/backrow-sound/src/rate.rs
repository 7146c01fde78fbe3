//! Sounds of different rates through one stream.

use rubato::audioadapter_buffers::owned::InterleavedOwned;
use rubato::{Fft, FixedSync, Resampler as _};

/// Frames that are converted at a time.
const PIECE: usize = 1024;

/// The same sound at another rate. A rate that is none, or one that cannot be converted, gives the sound as it is: it then
/// plays at the wrong speed, which is heard, and nothing else is lost.
///
/// The result lies half a frame late at 44.1 to 48 kHz; pitch and decay are unchanged.
pub fn at_rate(samples: &[f32], from: u32, to: u32) -> Vec<f32> {
    if from == to || samples.is_empty() {
        return samples.to_vec();
    }
    converted(samples, from, to).unwrap_or_else(|| samples.to_vec())
}

fn converted(samples: &[f32], from: u32, to: u32) -> Option<Vec<f32>> {
    let (from, to) = (usize::try_from(from).ok()?, usize::try_from(to).ok()?);
    let mut fft = Fft::<f32>::new(from, to, PIECE, 1, FixedSync::Both).ok()?;
    let input = InterleavedOwned::new_from(samples.to_vec(), 1, samples.len()).ok()?;
    let output = fft.process_all(&input, samples.len(), None).ok()?;
    Some(output.take_data())
}

/// The same sound `semitones` higher, by playing it faster: shorter, as a smaller bar of the same make is.
pub fn shifted(samples: &[f32], semitones: f64) -> Vec<f32> {
    // A ratio of whole numbers that is right to a twentieth of a cent: the steps of equal temperament as 10,000ths of a hertz
    // would ask for transforms without end.
    let ratio = (semitones / 12.0).exp2();
    if !ratio.is_finite() || samples.is_empty() || semitones.abs() < 1e-9 {
        return samples.to_vec();
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a length of samples")]
    let length = (samples.len() as f64 / ratio) as usize;
    (0..length).map(|n| between(samples, n as f64 * ratio)).collect()
}

/// The value between samples by a cubic through four of them (Catmull and Rom 1974): enough for three semitones of a sound with
/// little near half the rate.
fn between(samples: &[f32], at: f64) -> f32 {
    let whole = at.floor();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an index of samples")]
    let index = whole as usize;
    #[expect(clippy::cast_possible_truncation, reason = "a part of one")]
    let t = (at - whole) as f32;
    let value = |n: usize| samples.get(n).copied().unwrap_or(0.0);
    let (before, here, next, after) =
        (value(index.saturating_sub(1)), value(index), value(index + 1), value(index + 2));
    let cubic = 3.0f32.mul_add(here - next, after) - before;
    let square = 2.0f32.mul_add(before, 4.0f32.mul_add(next, -5.0 * here)) - after;
    0.5 * (cubic * t + square).mul_add(t, next - before) * t + here
}

#[cfg(test)]
mod tests {
    use super::*;

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a second of samples between -1 and 1"
    )]
    fn sine(hz: f64, rate: u32, seconds: f64) -> Vec<f32> {
        let n = (f64::from(rate) * seconds) as usize;
        (0..n)
            .map(|i| ((std::f64::consts::TAU * hz * i as f64 / f64::from(rate)).sin() * 0.5) as f32)
            .collect()
    }

    /// Hertz from the crossings of zero.
    fn hz(samples: &[f32], rate: u32) -> f64 {
        let crossings: Vec<usize> =
            (1..samples.len()).filter(|i| samples[i - 1] < 0.0 && samples[*i] >= 0.0).collect();
        let (first, last) = (crossings[0], crossings[crossings.len() - 1]);
        (crossings.len() - 1) as f64 * f64::from(rate) / (last - first) as f64
    }

    #[test]
    fn another_rate_is_the_same_sound() {
        let out = at_rate(&sine(440.0, 44_100, 1.0), 44_100, 48_000);
        assert!((47_990..=48_010).contains(&out.len()), "{}", out.len());
        assert!((hz(&out[2000..46_000], 48_000) - 440.0).abs() < 0.1);
        let peak = out[2000..46_000].iter().fold(0.0f32, |p, v| p.max(v.abs()));
        assert!((peak - 0.5).abs() < 0.01, "{peak}");
    }

    #[test]
    fn three_semitones_are_three() {
        let out = shifted(&sine(440.0, 48_000, 1.0), 3.0);
        assert!((hz(&out, 48_000) - 523.25).abs() < 0.3, "{}", hz(&out, 48_000));
        let down = shifted(&sine(440.0, 48_000, 1.0), -3.0);
        assert!((hz(&down, 48_000) - 369.99).abs() < 0.3);
        assert!(down.len() > 57_000);
    }

    #[test]
    fn what_is_no_rate_changes_nothing() {
        assert_eq!(at_rate(&[0.1, 0.2], 0, 48_000), [0.1, 0.2]);
        assert_eq!(shifted(&[0.1, 0.2], f64::NAN), [0.1, 0.2]);
        assert!(at_rate(&[], 44_100, 48_000).is_empty());
    }
}
