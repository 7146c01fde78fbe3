//! Sounds: made-up strikes against scipy and librosa, the test condition of ITU-R BS.1770, and real recordings.

mod kinds;
mod neighbours;
mod patch;
mod recordings;
mod soundfont;

use super::rows;
use approx::assert_relative_eq;
use backrow_core::sound::Measures;
use backrow_sound::{Analyser, Span, analyse};
use std::f64::consts::TAU;

const RATE_HZ: f64 = 48_000.0;

/// Columns: strike; frequency of the strongest partial by a transform padded to 2^21 points; its decay by band-pass, Hilbert
/// envelope and regression; T20 and early decay time (ISO 3382-1) by backward integration and regression; spectral centroids over
/// 0 to 0.5, 0 to 0.05 and 0.2 to 0.3 s; spectral flatness, 100 Hz to 10 kHz. Worked out by `sound_librosa.py` with scipy 1.17.1,
/// librosa 0.11.0 and numpy 2.4.6 on the same strikes; what is of the whole sound (from T20 on) on the strikes without their noise.
const BY_OTHERS: &str = include_str!("data/sound.csv");

/// Frequency in Hz, level in dB, seconds for a fall by 60 dB: the same as in `sound_librosa.py`.
fn strike(name: &str) -> Vec<(f64, f64, f64)> {
    match name {
        "bar" => vec![(220.0, 0.0, 1.4), (875.6, -12.0, 0.45), (2134.0, -18.0, 0.15)],
        "steel" => vec![(1568.0, 0.0, 3.0), (4249.28, -6.0, 1.5), (8075.2, -9.0, 0.6)],
        "skin" => vec![(98.0, 0.0, 2.2), (147.4, -6.0, 2.6), (170.7, -10.0, 1.2), (196.0, -9.0, 1.8)],
        "block" => vec![(1100.0, 0.0, 0.09), (1793.0, -3.0, 0.07), (2761.0, -8.0, 0.06)],
        other => panic!("no strike {other}"),
    }
}

/// Four seconds with a strike at half a second and noise 100 dB under it.
fn made(partials: &[(f64, f64, f64)]) -> Vec<f32> {
    let mut chance = 1_u32;
    (0..4 * 48_000_u32)
        .map(|at| {
            chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let noise = (f64::from(chance) / 2_f64.powi(32) - 0.5) * 2e-5;
            let time = f64::from(at) / RATE_HZ - 0.5;
            if time < 0.0 {
                return single(noise);
            }
            let one = |(hz, db, t60): &(f64, f64, f64)| {
                10_f64.powf(db / 20.0) * (-1000_f64.ln() * time / t60).exp() * (TAU * hz * time).sin()
            };
            single(0.25 * (time * 1000.0).min(1.0) * partials.iter().map(one).sum::<f64>() + noise)
        })
        .collect()
}

#[expect(clippy::cast_possible_truncation, reason = "samples")]
fn single(value: f64) -> f32 {
    value as f32
}

/// Measured from the true beginning, as the others did.
fn measured(partials: &[(f64, f64, f64)]) -> Measures {
    let sound = made(partials);
    Analyser::new(&sound, RATE_HZ).unwrap().measure(Span { from: 24_000, to: sound.len() })
}

#[test]
fn scipy_and_librosa_measure_the_same() {
    let mut count = 0;
    for row in rows(BY_OTHERS) {
        let name = &row[0];
        let theirs = |column: usize| row[column].parse::<f64>().ok();
        let partials = strike(name);
        let ours = measured(&partials);
        let main = ours.partials.first().unwrap();
        // Pitch: both are right to a hundredth of a cent for bars, to a few tenths for what dies in a tenth of a second.
        let cents = 1200.0 * (main.hz / theirs(1).unwrap()).log2();
        assert!(cents.abs() < if name == "block" { 0.5 } else { 0.05 }, "{name}: {cents} cents");
        assert!((1200.0 * (main.hz / partials[0].0).log2()).abs() < 0.5);
        assert_relative_eq!(main.t60_s.unwrap().value, theirs(2).unwrap(), max_relative = 0.01);
        assert_relative_eq!(ours.ring_s.unwrap().value, theirs(3).unwrap(), max_relative = 0.03);
        assert_relative_eq!(ours.early_ring_s.unwrap().value, theirs(4).unwrap(), max_relative = 0.06);
        assert_relative_eq!(ours.brightness_hz.unwrap().value, theirs(5).unwrap(), max_relative = 0.01);
        assert_relative_eq!(
            ours.brightness_at_strike_hz.unwrap().value,
            theirs(6).unwrap(),
            max_relative = 0.03
        );
        if let Some(after) = theirs(7) {
            assert_relative_eq!(ours.brightness_after_hz.unwrap().value, after, max_relative = 0.01);
        }
        // In tones this pure flatness is nearly all of what little there is between the partials.
        let flatness = (ours.flatness.unwrap().value / theirs(8).unwrap()).log10();
        assert!(flatness.abs() < 0.5, "{name}: {} and {:?}", ours.flatness.unwrap().value, theirs(8));
        count += 1;
    }
    assert_eq!(count, 4);
}

/// ITU-R BS.1770-4, and EBU Tech 3341 test case 1: a sine of 1 kHz at -23 dBFS in both of two channels is -23.0 LUFS, so that
/// one of -20 dBFS in one channel is as well (from memory; the tolerance there is 0.1 LU).
#[test]
fn a_kilohertz_at_minus_20_dbfs_is_minus_23_lufs() {
    let level = 10_f64.powf(-20.0 / 20.0);
    let sine = |at: u32| {
        if at < 24_000 { 0.0 } else { single(level * (TAU * 1000.0 * f64::from(at) / RATE_HZ).sin()) }
    };
    let sound: Vec<f32> = (0..120_000).map(sine).collect();
    let all = analyse(&sound, RATE_HZ);
    assert_eq!(all.len(), 1);
    let loudness = all[0].measures.loudness_lufs.unwrap();
    assert!((loudness.value + 23.0).abs() < 0.1, "{loudness:?}");
    let peak = all[0].measures.true_peak_dbtp.unwrap();
    assert!((peak.value + 20.0).abs() < 0.3, "{peak:?}");
    // A looped or endless sound does not ring for any number of seconds.
    assert_eq!(all[0].measures.ring_s, None);
    assert_eq!(all[0].measures.partials[0].t60_s, None);
}

/// What a sine of -20 dBFS in one channel reads by the two filters of ITU-R BS.1770-4, by `k_weighting_scipy.py` with scipy 1.17.1 and
/// numpy 2.4.6. Columns: Hz, LUFS.
const K_WEIGHTING: &str = include_str!("data/k_weighting.csv");

#[test]
fn loudness_follows_the_published_filters_at_every_frequency() {
    let rows: Vec<_> = rows(K_WEIGHTING).collect();
    // The standard's own sentence: 0 dBFS at 997 Hz in one channel reads -3.01.
    let told = rows.iter().find(|row| &row[0] == "997").unwrap()[1].parse::<f64>().unwrap();
    assert!((told + 23.01).abs() < 0.005, "{told}");
    for row in &rows {
        let [hz, lufs] = [0, 1].map(|column| row[column].parse::<f64>().unwrap());
        let sine = |at: u32| single(0.1 * (TAU * hz * f64::from(at) / RATE_HZ).sin());
        let sound: Vec<f32> = (0..96_000).map(sine).collect();
        let is = backrow_sound::level::loud(&sound).unwrap().lufs;
        // A window of 400 ms holds half a turn too much or too little of the lowest ones.
        let within = if hz < 100.0 { 0.1 } else { 0.02 };
        assert!((is - lufs).abs() < within, "{hz} Hz: {is} LUFS, {lufs} by the filters");
    }
    assert_eq!(rows.len(), 14);
}

/// Ring of two slopes, in closed form: energies a exp(-2 p t) + b exp(-2 q t) leave a/2p exp(-2 p t) + b/2q exp(-2 q t) from t on.
/// T20 of ISO 3382-1 is the line of least squares through that curve in dB between -5 and -25.
#[test]
fn two_slopes_ring_as_the_integral_says() {
    let partials = [(500.0, 0.0, 0.4), (3000.0, -10.0, 2.0)];
    let rates = partials.map(|(_, _, t60)| 1000_f64.ln() / t60);
    let energy = partials.map(|(_, db, _)| 10_f64.powf(db / 10.0));
    let left = |time: f64| {
        energy
            .iter()
            .zip(rates)
            .map(|(energy, rate)| energy / (2.0 * rate) * (-2.0 * rate * time).exp())
            .sum::<f64>()
    };
    let db = |time: f64| 10.0 * (left(time) / left(0.0)).log10();
    let points = |high: f64, low: f64| {
        let all = (0..20_000_u32).map(|step| f64::from(step) * 1e-4).map(|time| (time, db(time)));
        all.filter(|(_, db)| (low..=high).contains(db)).collect::<Vec<(f64, f64)>>()
    };
    let seconds = |points: &[(f64, f64)]| {
        let count = points.len() as f64;
        let (time, level) =
            points.iter().fold((0.0, 0.0), |sum, one| (sum.0 + one.0 / count, sum.1 + one.1 / count));
        let product: f64 = points.iter().map(|one| (one.0 - time) * (one.1 - level)).sum();
        -60.0 * points.iter().map(|one| (one.0 - time).powi(2)).sum::<f64>() / product
    };
    let ours = measured(&partials);
    assert_relative_eq!(ours.ring_s.unwrap().value, seconds(&points(-5.0, -25.0)), max_relative = 0.03);
    assert_relative_eq!(ours.early_ring_s.unwrap().value, seconds(&points(-0.5, -10.0)), max_relative = 0.05);
    assert!(ours.doubts.contains(&backrow_core::sound::Doubt::TwoSlopes), "{:?}", ours.doubts);
}
