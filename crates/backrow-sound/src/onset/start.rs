//! From about where a strike is to its first sample.

use super::{edges, upper};
use crate::spectrum::{Power, hann, place, signed, whole};

/// The first sample of the strike near `coarse`, which was seen through a window of `length`: first by short spectra, each band
/// against what rang in it before (a soft strike under a bell), then, where the strike stands out of the wave itself, by the wave.
pub(super) fn of(sound: &[f32], rate: f64, coarse: usize, length: usize) -> usize {
    let rough = by_spectra(sound, rate, coarse, length);
    let at = by_wave(sound, rate, rough).unwrap_or(rough);
    place(at).min(sound.len())
}

fn by_spectra(sound: &[f32], rate: f64, coarse: usize, length: usize) -> i64 {
    let ms = rate / 1000.0;
    // A recording may begin with the strike: before it there is silence then.
    let from = signed(coarse) - signed(length) - signed(whole(25.0 * ms));
    let to = signed((coarse + whole(8.0 * ms)).min(sound.len()));
    let (short, hop) = (whole(5.3 * ms) & !1, whole(ms / 2.0).max(1));
    if to < from + 2 * signed(short) {
        return from.max(0);
    }
    let mut fft = Power::new(hann(short), short);
    let edges = edges(rate, short, 300.0, 3.0);
    let mut power = Vec::new();
    let rows: Vec<Vec<f64>> = (from..to - signed(short))
        .step_by(hop)
        .map(|at| {
            fft.at(sound, at, &mut power);
            edges.windows(2).map(|edge| power[edge[0]..edge[1]].iter().sum::<f64>()).collect()
        })
        .collect();
    // What rang before: the greatest in the first 12 ms.
    let first = 24.min(rows.len() / 3).max(1);
    let before: Vec<f64> = (0..edges.len() - 1)
        .map(|band| rows.iter().take(first).map(|row| row[band]).fold(1e-12, f64::max))
        .collect();
    let rise = |row: &Vec<f64>| {
        let over = |(now, was): (&f64, &f64)| (10.0 * (now / was + 1.0).log10() - 3.0).max(0.0);
        upper(&mut row.iter().zip(&before).map(over).collect::<Vec<_>>(), 3)
    };
    let curve: Vec<f64> = rows.iter().map(rise).collect();
    let (top, peak) = greatest(&curve);
    let start = curve[..top].iter().rposition(|value| *value < 0.25 * peak).unwrap_or(0);
    from + signed(start * hop + short * 4 / 5)
}

/// By the greatest value of each millisecond and a half, every quarter of a millisecond; `None` where the strike does not stand
/// 12 dB above the wave before it.
fn by_wave(sound: &[f32], rate: f64, rough: i64) -> Option<i64> {
    let ms = rate / 1000.0;
    let (step, width) = (whole(ms / 4.0).max(1), whole(ms * 1.5).max(1));
    let (from, to) =
        (rough - signed(whole(10.0 * ms)), (rough + signed(whole(12.0 * ms))).min(signed(sound.len())));
    let value =
        |at: i64| usize::try_from(at).ok().and_then(|at| sound.get(at)).map_or(0.0, |value| value.abs());
    let wave: Vec<f32> = (from..to - signed(width))
        .step_by(step)
        .map(|at| (at..at + signed(width)).fold(0.0, |most: f32, place| most.max(value(place))))
        .collect();
    let before = wave.iter().take((wave.len() / 3).max(1)).copied().fold(0.0, f32::max);
    let most = wave.iter().copied().fold(0.0, f32::max);
    if most <= 4.0 * before {
        return None;
    }
    let gate = before + (most - before) * 0.05;
    let at = wave.iter().position(|value| *value > gate)?;
    Some(from + signed(at * step + width.saturating_sub(step)))
}

/// Where the greatest value is, and what it is.
fn greatest(row: &[f64]) -> (usize, f64) {
    row.iter()
        .copied()
        .enumerate()
        .fold((0, 0.0), |most, (at, value)| if value > most.1 { (at, value) } else { most })
}
