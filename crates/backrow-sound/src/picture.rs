//! A recording as pictures: the outline of its wave, and its spectrogram. Rows and columns in, levels out; nothing is drawn here.

use crate::spectrum::{Power, hann, signed, whole};

/// The least and the greatest sample in each of so many equal parts; silence where there are fewer samples than parts.
pub fn outline(sound: &[f32], parts: usize) -> Vec<(f32, f32)> {
    let part = |at: usize| {
        let (from, to) = (at * sound.len() / parts, (at + 1) * sound.len() / parts);
        let piece = sound.get(from..to.max(from + 1).min(sound.len())).unwrap_or_default();
        piece.iter().fold((0.0_f32, 0.0_f32), |(least, most), value| (least.min(*value), most.max(*value)))
    };
    (0..parts).map(part).collect()
}

/// Levels by time and pitch.
#[derive(Clone, Debug, PartialEq)]
pub struct Spectrogram {
    /// Columns in time.
    pub columns: usize,
    /// Rows in pitch.
    pub rows: usize,
    /// The frequencies of the lowest and the highest row, Hz; rows lie at equal ratios between.
    pub hz: (f64, f64),
    /// dB over a sine of full scale, -140 and up: column after column, each from its lowest row up.
    pub db: Vec<f32>,
}

/// The spectrogram of a recording, between two frequencies in Hz that lie above 0 and in order; none of no samples.
pub fn spectrogram(
    sound: &[f32],
    rate_hz: f64,
    (columns, rows): (usize, usize),
    hz: (f64, f64),
) -> Option<Spectrogram> {
    let sane = crate::RATES_HZ.contains(&rate_hz) && hz.0 > 0.0 && hz.0 < hz.1 && hz.1.is_finite();
    if sound.is_empty() || columns == 0 || rows == 0 || !sane {
        return None;
    }
    // 85 ms tell neighbouring semitones apart from about A4 up.
    let length = whole(rate_hz * 0.085).next_power_of_two();
    let mut fft = Power::new(hann(length), length);
    let (mut power, mut db) = (Vec::new(), Vec::with_capacity(columns * rows));
    let bin = |row: usize| {
        let share = (row as f64 - 0.5) / (rows.max(2) - 1) as f64;
        hz.0 * (hz.1 / hz.0).powf(share) / rate_hz * length as f64
    };
    // Rows that are wider than a bin show the greatest in them; narrower ones the nearest.
    let bins: Vec<(usize, usize)> = (0..rows)
        .map(|row| {
            let from = whole(bin(row).round()).min(length / 2);
            (from, whole(bin(row + 1).round()).min(length / 2 + 1).max(from + 1))
        })
        .collect();
    let full = (fft.sine_gain / 2.0).powi(2);
    for column in 0..columns {
        let middle = (2 * column + 1) * sound.len() / (2 * columns);
        fft.at(sound, signed(middle) - signed(length / 2), &mut power);
        db.extend(bins.iter().map(|(from, to)| {
            let most = power.get(*from..*to).unwrap_or_default().iter().copied().fold(0.0, f64::max);
            crate::spectrum::single(10.0 * (most / full + 1e-14).log10())
        }));
    }
    Some(Spectrogram { columns, rows, hz, db })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::made::{Dice, Made};

    #[test]
    fn the_outline_holds_every_peak() {
        let sound = [0.0, 0.5, -0.25, 0.0, 0.0, -1.0];
        assert_eq!(outline(&sound, 2), [(-0.25, 0.5), (-1.0, 0.0)]);
        assert_eq!(outline(&sound[..1], 3), [(0.0, 0.0); 3]);
        assert_eq!(outline(&[], 2), [(0.0, 0.0); 2]);
    }

    #[test]
    fn a_partial_is_bright_in_its_row() {
        let mut made = Made::silence(1.0);
        made.strike(0.0, &[(1000.0, 0.0, 50.0)], 1.0, &mut Dice::new(1));
        let picture = spectrogram(&made.sound, Made::RATE, (10, 101), (100.0, 10_000.0)).unwrap();
        let column = &picture.db[5 * 101..6 * 101];
        let brightest = (0..101).max_by(|one, other| column[*one].total_cmp(&column[*other])).unwrap();
        assert!(brightest.abs_diff(50) <= 1, "{brightest}");
        assert!((column[brightest] + 12.0).abs() < 1.5, "{}", column[brightest]);
        assert!(spectrogram(&[], 48_000.0, (1, 1), (100.0, 200.0)).is_none());
        assert!(spectrogram(&[0.0; 9], 48_000.0, (2, 1), (100.0, 200.0)).is_some());
    }
}
