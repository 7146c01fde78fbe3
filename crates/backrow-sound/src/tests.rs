//! The analysis as a whole.

use super::*;
use crate::made::{Dice, Made, kinds};
use approx::assert_relative_eq;
use backrow_core::sound::{Doubt, Measure};
use proptest::prelude::*;

fn made(kind: usize, noise_db: f64, seconds: f64) -> (Vec<made::Truth>, Analysed) {
    let mut dice = Dice::new(11);
    let truth = kinds(&mut dice).swap_remove(kind).1;
    let mut made = Made::silence(seconds);
    made.strike(0.5, &truth, 1.0, &mut dice);
    made.noise(noise_db, &mut dice);
    let mut all = analyse(&made.sound, Made::RATE);
    assert_eq!(all.len(), 1);
    (truth, all.remove(0))
}

#[test]
fn a_marimba_bar_has_its_pitch_ring_and_attack() {
    let (truth, is) = made(0, 60.0, 4.0);
    assert!((is.strike.from_s - 0.5).abs() < 0.002, "{}", is.strike.from_s);
    let pitch = is.measures.pitch.unwrap();
    assert_relative_eq!(pitch.hz.value, truth[0].0, max_relative = 1e-4);
    assert!(pitch.clarity.value > 0.9, "{pitch:?}");
    // The first partial carries nearly all of the decay after the first 5 dB.
    let ring = is.measures.ring_s.unwrap();
    assert_relative_eq!(ring.value, truth[0].2, max_relative = 0.05);
    assert!(is.measures.attack_s.unwrap().value < 0.006);
    assert!(!is.measures.doubts.contains(&Doubt::Noisy), "{:?}", is.measures.doubts);
    let (first, later) =
        (is.measures.brightness_at_strike_hz.unwrap(), is.measures.brightness_after_hz.unwrap());
    assert!(first.value > later.value, "{first:?} {later:?}");
}

#[test]
fn one_decaying_sine_is_worked_by_hand() {
    let mut dice = Dice::new(5);
    let mut made = Made::silence(4.0);
    made.strike(0.5, &[(1000.0, 0.0, 2.0)], 1.0, &mut dice);
    made.noise(70.0, &mut dice);
    let all = analyse(&made.sound, Made::RATE);
    let is = &all[0].measures;
    assert_relative_eq!(is.ring_s.unwrap().value, 2.0, max_relative = 0.01);
    assert_relative_eq!(is.early_ring_s.unwrap().value, 2.0, max_relative = 0.05);
    assert_relative_eq!(is.brightness_after_hz.unwrap().value, 1000.0, max_relative = 0.02);
    // K-weighting is +0 dB at 1 kHz but for the offset of -0.691 that it makes up for; power of the decaying sine over 400 ms:
    // a²/2 (1 - exp(-2dT)) / (2dT) with d = ln 1000 / 2 s.
    let d = 1000_f64.ln() / 2.0 * 2.0 * 0.4;
    let power = Made::FULL.powi(2) / 2.0 * (1.0 - (-d).exp()) / d;
    assert!((is.loudness_lufs.unwrap().value - 10.0 * power.log10()).abs() < 0.2, "{:?}", is.loudness_lufs);
    // The stick's noise lies on top of the sine.
    let peak = is.true_peak_dbtp.unwrap().value;
    assert!((peak - 20.0 * Made::FULL.log10()).abs() < 3.0, "{peak}");
    assert!(is.tonal.unwrap().value > 0.95 && is.flatness.unwrap().value < 0.01);
}

#[test]
fn what_makes_figures_unsure_is_said() {
    let (_, bell) = made(4, 60.0, 1.2);
    assert!(bell.measures.doubts.contains(&Doubt::StillRinging), "{:?}", bell.measures.doubts);
    assert!(bell.measures.doubts.contains(&Doubt::PitchOpen), "{:?}", bell.measures.doubts);
    let (_, noisy) = made(0, 20.0, 4.0);
    assert!(noisy.measures.doubts.contains(&Doubt::Noisy), "{:?}", noisy.measures.doubts);
    let (_, pair) = made(6, 60.0, 4.0);
    let beating = pair.measures.beating.unwrap();
    assert_relative_eq!(beating.rate_hz.value, 8.0, max_relative = 0.01);
    assert!(pair.measures.doubts.contains(&Doubt::Beats));
}

#[test]
fn a_moved_strike_is_measured_anew() {
    let mut dice = Dice::new(2);
    let mut made = Made::silence(2.0);
    made.strike(0.5, &[(440.0, 0.0, 1.0)], 1.0, &mut dice);
    made.noise(60.0, &mut dice);
    let analyser = Analyser::new(&made.sound, Made::RATE).unwrap();
    let strike = Strike { from_s: 0.45, to_s: 99.0, ..Strike::default() };
    let is = analyser.measure(analyser.span(&strike));
    assert_relative_eq!(is.pitch.unwrap().hz.value, 440.0, max_relative = 1e-3);
    let none = analyser.measure(Span { from: 500_000, to: 3 });
    assert_eq!(none, Measures::NOTHING);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    /// Whatever the samples are, figures are finite and shares are shares.
    #[test]
    fn figures_are_sane(
        seed in 0_u64..1000,
        rate in prop::sample::select(vec![8_000.0, 22_050.0, 44_100.0, 96_000.0]),
        pieces in prop::collection::vec((0_usize..4000, -1.5_f32..1.5, 0_u8..5), 0..8),
    ) {
        let mut dice = Dice::new(seed);
        let mut sound: Vec<f32> = Vec::new();
        for (length, level, what) in pieces {
            let one = |i: usize| match what {
                0 => level,
                1 => level * spectrum::single(dice.normal()),
                2 => level * spectrum::single((i as f64 * 0.3).sin()),
                3 if i.is_multiple_of(500) => level * 1e30,
                4 if i == 7 => f32::NAN,
                _ => 0.0,
            };
            sound.extend((0..length).map(one));
        }
        for one in analyse(&sound, rate) {
            prop_assert!(one.strike.from_s >= 0.0 && one.strike.to_s > one.strike.from_s);
            prop_assert!(one.strike.to_s <= sound.len() as f64 / rate + 1e-9);
            for measure in Measure::ALL {
                if let Some(figure) = measure.of(&one.measures) {
                    prop_assert!(figure.value.is_finite() && figure.sd.is_finite() && figure.sd >= 0.0, "{measure:?}");
                }
            }
            for share in [one.measures.tonal, one.measures.strongest, one.measures.roughness].into_iter().flatten() {
                prop_assert!((0.0..=1.0 + 1e-9).contains(&share.value));
            }
            for partial in &one.measures.partials {
                prop_assert!(partial.hz > 0.0 && partial.hz < rate && partial.db.is_finite());
                prop_assert!(partial.db_sd.is_finite() && partial.db_sd > 0.0);
            }
            prop_assert!(one.measures.coarse.iter().all(|db| (-70.1..=0.1).contains(db)));
        }
    }
}
