//! Candidates equally loud: by greatest momentary loudness, brought down to the softest and never up into clipping.

use crate::device::RATE;
use ebur128::{EbuR128, Mode};

/// The highest true peak of what is played, dB over full scale (EBU R 128 asks for -1 of programmes; borrowed).
pub const CEILING_DBTP: f64 = -1.0;

/// Pieces in which a sound is measured, frames: 10 ms.
const PIECE: usize = 480;

/// What a sound measures; `None` where it is silent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loud {
    /// Greatest momentary loudness (400 ms, ITU-R BS.1770 as EBU Tech 3341 has it), LUFS.
    pub lufs: f64,
    /// True peak, dB over full scale.
    pub dbtp: f64,
}

/// Measures a sound of one channel at [`RATE`], with 400 ms of silence behind it: a strike that ends sooner is then measured too.
pub fn loud(sound: &[f32]) -> Option<Loud> {
    let mut meter = EbuR128::new(1, RATE, Mode::M | Mode::TRUE_PEAK).ok()?;
    // One channel counts as one, not as two that are alike.
    let silence = [0.0f32; PIECE];
    let mut lufs = f64::NEG_INFINITY;
    for piece in sound.chunks(PIECE).chain(std::iter::repeat_n(&silence[..], 40)) {
        meter.add_frames_f32(piece).ok()?;
        lufs = lufs.max(meter.loudness_momentary().ok()?);
    }
    let peak = meter.true_peak(0).ok()?;
    (lufs.is_finite() && peak > 0.0).then(|| Loud { lufs, dbtp: 20.0 * peak.log10() })
}

/// The gains, dB, that make sounds equally loud: down to the softest, and all of them down once more where one would go over
/// [`CEILING_DBTP`]. Silence stays as it is.
pub fn matched_db(sounds: &[Option<Loud>]) -> Vec<f64> {
    let softest = sounds.iter().flatten().map(|loud| loud.lufs).fold(f64::INFINITY, f64::min);
    let gains = sounds.iter().map(|loud| loud.map_or(0.0, |loud| softest - loud.lufs)).collect();
    under_the_ceiling(sounds, gains)
}

/// The gain, dB, that all have in common when they are heard as recorded: none but what keeps the loudest under the ceiling.
pub fn as_recorded_db(sounds: &[Option<Loud>]) -> Vec<f64> {
    under_the_ceiling(sounds, vec![0.0; sounds.len()])
}

fn under_the_ceiling(sounds: &[Option<Loud>], gains: Vec<f64>) -> Vec<f64> {
    let peaks = sounds.iter().zip(&gains).filter_map(|(loud, gain)| Some(loud.as_ref()?.dbtp + gain));
    let common = under_db(peaks);
    gains.into_iter().map(|gain| gain + common).collect()
}

/// The gain, dB, that brings true peaks under the ceiling together: 0 where none is over it.
pub fn under_db(peaks_dbtp: impl Iterator<Item = f64>) -> f64 {
    -(peaks_dbtp.fold(f64::NEG_INFINITY, f64::max) - CEILING_DBTP).max(0.0)
}

/// The true peak of a sound of one channel at [`RATE`], dB over full scale; `None` of silence.
pub fn true_peak_dbtp(sound: &[f32]) -> Option<f64> {
    let mut meter = EbuR128::new(1, RATE, Mode::TRUE_PEAK).ok()?;
    // What lies between the last samples is heard in the silence behind them.
    for piece in sound.chunks(PIECE).chain(std::iter::once(&[0.0f32; PIECE][..])) {
        meter.add_frames_f32(piece).ok()?;
    }
    meter.true_peak(0).ok().filter(|peak| *peak > 0.0).map(|peak| 20.0 * peak.log10())
}

/// A gain in dB as a factor.
pub fn factor(db: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "a gain")]
    let factor = 10f64.powf(db / 20.0) as f32;
    factor
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[expect(clippy::cast_possible_truncation, reason = "samples between -1 and 1")]
    fn tone(level: f64, seconds: usize) -> Vec<f32> {
        let turn = std::f64::consts::TAU * 1000.0 / f64::from(RATE);
        (0..RATE as usize * seconds).map(|n| (level * (turn * n as f64).sin()) as f32).collect()
    }

    /// ITU-R BS.1770: a sine of 997 Hz (here 1 kHz) at 0 dBFS in one channel reads -3.01 LKFS; at -20 dBFS, -23.01.
    #[test]
    fn the_published_condition_reads_as_stated() {
        let loud = loud(&tone(0.1, 1)).unwrap();
        assert_abs_diff_eq!(loud.lufs, -23.0, epsilon = 0.05);
        assert_abs_diff_eq!(loud.dbtp, -20.0, epsilon = 0.1);
    }

    #[test]
    fn all_come_down_to_the_softest() {
        let sounds = [loud(&tone(0.1, 1)), None, loud(&tone(0.4, 1))];
        let gains = matched_db(&sounds);
        assert_abs_diff_eq!(gains[0], 0.0, epsilon = 0.01);
        assert_abs_diff_eq!(gains[1], 0.0);
        assert_abs_diff_eq!(gains[2], -12.04, epsilon = 0.05);
    }

    #[test]
    fn a_peak_alone_is_the_peak_of_the_loudness() {
        let sound = tone(0.7, 1);
        assert_abs_diff_eq!(true_peak_dbtp(&sound).unwrap(), loud(&sound).unwrap().dbtp, epsilon = 1e-9);
        assert_eq!(true_peak_dbtp(&[0.0; 100]), None);
        assert_abs_diff_eq!(under_db([-3.0, 2.0].into_iter()), -3.0);
        assert_abs_diff_eq!(under_db([-3.0].into_iter()), 0.0);
    }

    #[test]
    fn nothing_goes_over_the_ceiling() {
        let sounds = [loud(&tone(1.0, 1)), loud(&tone(2.0, 1))];
        for gains in [matched_db(&sounds), as_recorded_db(&sounds)] {
            for (gain, sound) in gains.iter().zip(&sounds) {
                assert!(sound.unwrap().dbtp + gain <= CEILING_DBTP + 1e-9);
            }
        }
        assert!(loud(&[]).is_none() && loud(&vec![0.0; 48_000]).is_none());
    }
}
