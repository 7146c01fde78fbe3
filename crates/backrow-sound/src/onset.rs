//! Where the strikes are.
//!
//! The rise of bands of a sixth of an octave over 10 ms, each against its noise and against the greatest of its neighbours before, so
//! that neither noise nor a wandering partial is a rise; the mean of the eighth of the bands that rise most, since a bar in a noisy
//! room rises in a few. What stands out of its surroundings is a strike; [`start`] finds its first sample.

mod start;

use crate::spectrum::{Floor, Power, hann, quantile, signed, whole};

/// A strike: from its first sample to shortly before the next (or the end), in samples.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// The first sample.
    pub from: usize,
    /// One behind the last.
    pub to: usize,
}

/// The rise over what rang before that makes a strike, dB, by default: at 8 no beating partial is taken for a strike; at 6 soft
/// strikes in a noisy room are found too, and now and then something else.
pub const SENSITIVITY_DB: f64 = 8.0;

/// The strikes of a recording.
pub(crate) fn strikes(sound: &[f32], rate: f64, floor: &Floor, sensitivity_db: f64) -> Vec<Span> {
    let Some(rises) = Rises::of(sound, rate, floor) else { return Vec::new() };
    let mut found: Vec<usize> = Vec::new();
    for coarse in rises.peaks(sensitivity_db) {
        let at = start::of(sound, rate, coarse, rises.length);
        if found.last().is_none_or(|last| at > last + whole(rate * 0.03)) {
            found.push(at);
        }
    }
    let ends = found.iter().skip(1).map(|next| next.saturating_sub(whole(rate * 0.003))).chain([sound.len()]);
    found
        .iter()
        .zip(ends)
        .map(|(from, to)| Span { from: *from, to })
        .filter(|span| span.to > span.from)
        .collect()
}

/// Bands of a spectrum, `per_octave` of them from `low` Hz up, none narrower than a bin: their edges in bins.
fn edges(rate: f64, length: usize, low: f64, per_octave: f64) -> Vec<usize> {
    let (mut edges, mut last, mut hz) = (vec![1], 1, low);
    while hz < rate * 0.46 {
        let bin = whole((hz / rate * length as f64).round());
        if bin > last {
            edges.push(bin);
            last = bin;
        }
        hz *= 2_f64.powf(1.0 / per_octave);
    }
    edges
}

/// The mean of the greatest part: one in `share` of the row, which is disordered.
fn upper(row: &mut [f64], share: usize) -> f64 {
    let most = (row.len() / share).max(1);
    if row.len() < most {
        return 0.0;
    }
    row.select_nth_unstable_by(most - 1, |a, b| b.total_cmp(a));
    row[..most].iter().sum::<f64>() / most as f64
}

/// The rise of a recording, a figure every 5 ms.
struct Rises {
    rise_db: Vec<f64>,
    /// Samples of a window and between two.
    length: usize,
    hop: usize,
}

/// Figures within which only the greatest is a strike: 30 ms.
const NEAR: usize = 6;
/// Figures on each side that say what is usual: 150 ms.
const AROUND: usize = 30;

impl Rises {
    fn of(sound: &[f32], rate: f64, floor: &Floor) -> Option<Self> {
        let (length, hop) = (whole(rate * 0.0213) & !1, whole(rate / 200.0));
        if length < 16 || sound.len() < length {
            return None;
        }
        let levels = levels(sound, rate, floor, (length, hop));
        let bands = levels.first().map_or(0, Vec::len);
        let mut row = vec![0.0; bands];
        let mut rise_db = vec![0.0; levels.len()];
        for (figure, frames) in rise_db.iter_mut().skip(2).zip(levels.windows(3)) {
            let [old, _, now] = frames else { continue };
            for (band, rise) in row.iter_mut().enumerate() {
                let near = &old[band.saturating_sub(1)..(band + 2).min(bands)];
                *rise = (now[band] - near.iter().copied().fold(f64::MIN, f64::max)).max(0.0);
            }
            *figure = upper(&mut row, 8);
        }
        Some(Self { rise_db, length, hop })
    }

    /// About where the strikes are, in samples.
    fn peaks(&self, sensitivity_db: f64) -> Vec<usize> {
        let rise = &self.rise_db;
        let lead = self.length / self.hop;
        let is_peak = |at: usize| {
            let near = &rise[at.saturating_sub(NEAR)..(at + NEAR + 1).min(rise.len())];
            if near.iter().any(|other| *other > rise[at]) || rise[at] < sensitivity_db {
                return false;
            }
            let mut around = rise[at.saturating_sub(AROUND)..(at + AROUND).min(rise.len())].to_vec();
            rise[at] >= sensitivity_db + quantile(&mut around, 0.5)
        };
        // The window's end reaches the strike first.
        let place = |at: usize| (at * self.hop + self.length).saturating_sub(lead * self.hop);
        (2..rise.len()).filter(|at| is_peak(*at)).map(place).collect()
    }
}

/// The level of every band in every frame, dB. Frames begin before the recording, and end with it: a window over its sudden end
/// would rise in every band.
fn levels(sound: &[f32], rate: f64, floor: &Floor, (length, hop): (usize, usize)) -> Vec<Vec<f64>> {
    let mut fft = Power::new(hann(length), length);
    let edges = edges(rate, length, 60.0, 6.0);
    // Ten times the noise is added to each band, so that noise alone cannot rise by more than a decibel or two.
    let under: Vec<f64> = edges
        .windows(2)
        .map(|edge| {
            let middle = (edge[0] + edge[1]) as f64 / 2.0;
            10.0 * floor.at(middle * rate / length as f64) + 1e-10
        })
        .collect();
    let (lead, frames) = (length / hop, (sound.len() - length) / hop + 1);
    let mut power = Vec::new();
    let mut level = |frame: usize| {
        fft.at(sound, signed(frame * hop) - signed(lead * hop), &mut power);
        let band = |(edge, under): (&[usize], &f64)| {
            let mean = power[edge[0]..edge[1]].iter().sum::<f64>() / (edge[1] - edge[0]) as f64;
            10.0 * (mean / fft.noise_gain + under).log10()
        };
        edges.windows(2).zip(&under).map(band).collect()
    };
    (0..lead + frames).map(&mut level).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::made::{Dice, Made, kinds};

    fn found(noise_db: f64, sensitivity_db: f64) -> (usize, usize, usize, f64) {
        let mut dice = Dice::new(42);
        let mut made = Made::silence(24.0);
        let mut truth = Vec::new();
        let mut at_s = 0.4;
        while at_s < 22.0 {
            let all = kinds(&mut dice);
            let pick = whole(dice.next() * 6.0);
            let gain = 10_f64.powf(-30.0 * dice.next() / 20.0);
            made.strike(at_s, &all[pick].1, gain, &mut dice);
            truth.push(at_s);
            at_s += 0.12 + dice.next() * 1.08;
        }
        made.noise(noise_db, &mut dice);
        let (sound, rate) = (&made.sound, Made::RATE);
        let spans = strikes(sound, rate, &Floor::of(sound, rate), sensitivity_db);
        let off = |at: &f64| {
            spans.iter().map(|span| (span.from as f64 / rate - at).abs()).fold(f64::INFINITY, f64::min)
        };
        let mut near: Vec<f64> = truth.iter().map(off).filter(|off| *off < 0.02).collect();
        (truth.len(), near.len(), spans.len() - near.len().min(spans.len()), quantile(&mut near, 0.95))
    }

    #[test]
    fn strikes_under_ringing_bells_are_found_to_a_millisecond() {
        let (there, found_80, more, off) = found(80.0, SENSITIVITY_DB);
        assert!(found_80 == there && more <= 1 && off < 0.002, "{there} {found_80} {more} {off}");
        let (there, found_60, more, _) = found(60.0, SENSITIVITY_DB);
        assert!(found_60 * 100 >= there * 93 && more == 0, "{there} {found_60} {more}");
        let (there, found_40, more, _) = found(40.0, 6.0);
        assert!(found_40 * 100 >= there * 75 && more == 0, "{there} {found_40} {more}");
    }

    #[test]
    fn silence_noise_and_nothing_have_no_strikes() {
        let mut dice = Dice::new(3);
        let mut made = Made::silence(4.0);
        let look =
            |made: &Made| strikes(&made.sound, Made::RATE, &Floor::of(&made.sound, Made::RATE), 8.0).len();
        assert_eq!(look(&made), 0);
        made.noise(40.0, &mut dice);
        assert_eq!(look(&made), 0);
        assert!(strikes(&[], 48_000.0, &Floor::of(&[], 48_000.0), 8.0).is_empty());
        assert!(strikes(&[0.5; 3], 48_000.0, &Floor::of(&[0.5; 3], 48_000.0), 8.0).is_empty());
    }
}
