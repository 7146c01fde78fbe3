//! Strikes made up from known partials in noise, for tests.

use crate::spectrum::{single, whole};
use std::f64::consts::TAU;

/// Numbers by chance from a seed (xorshift, Marsaglia 2003).
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(0x9e37_79b9_7f4a_7c15 ^ seed)
    }

    /// From 0 to 1.
    pub(crate) fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// With mean 0 and deviation 1.
    pub(crate) fn normal(&mut self) -> f64 {
        (-2.0 * self.next().max(1e-300).ln()).sqrt() * (TAU * self.next()).cos()
    }
}

/// Frequency in Hz, level in dB, seconds for a fall by 60 dB.
pub(crate) type Truth = (f64, f64, f64);

/// Kinds of things that are struck, each a little elsewhere every time. Ratios of partials as acoustics handbooks have them
/// (from memory); only their being known matters here.
pub(crate) fn kinds(dice: &mut Dice) -> Vec<(&'static str, Vec<Truth>)> {
    let mut near = |hz: f64| hz * 2_f64.powf((dice.next() - 0.5) / 6.0);
    let (bar, steel, plate, skin, tube, block) =
        (near(220.0), near(1568.0), near(349.0), near(98.0), near(330.0), near(1100.0));
    let of = |hz: f64, partials: &[Truth]| {
        partials.iter().map(|(ratio, db, t60)| (ratio * hz, *db, *t60)).collect()
    };
    vec![
        ("marimba bar", of(bar, &[(1.0, 0.0, 1.4), (3.98, -12.0, 0.45), (9.7, -18.0, 0.15)])),
        (
            "glockenspiel bar",
            of(steel, &[(1.0, 0.0, 5.0), (2.71, -6.0, 2.5), (5.15, -9.0, 1.0), (8.43, -15.0, 0.5)]),
        ),
        ("vibraphone bar", of(plate, &[(1.0, 0.0, 7.0), (4.01, -14.0, 2.5), (10.1, -20.0, 0.7)])),
        (
            "timpano",
            of(
                skin,
                &[
                    (1.0, 0.0, 3.5),
                    (1.504, -6.0, 4.0),
                    (1.742, -10.0, 1.2),
                    (2.0, -9.0, 2.5),
                    (2.44, -14.0, 1.8),
                    (2.9, -18.0, 1.5),
                ],
            ),
        ),
        (
            "tubular bell",
            of(
                tube,
                &[
                    (1.0, -8.0, 9.0),
                    (1.57, -4.0, 8.0),
                    (2.27, 0.0, 7.0),
                    (3.1, -2.0, 5.0),
                    (4.02, -6.0, 3.5),
                    (5.05, -9.0, 2.5),
                ],
            ),
        ),
        ("woodblock", of(block, &[(1.0, 0.0, 0.09), (1.63, -3.0, 0.07), (2.51, -8.0, 0.06)])),
        ("pair 8 Hz apart", vec![(plate, 0.0, 4.0), (plate + 8.0, -6.0, 4.0)]),
        ("pair 1.5 Hz apart", vec![(plate, 0.0, 4.0), (plate + 1.5, -6.0, 4.0)]),
    ]
}

/// A recording that is made up.
pub(crate) struct Made {
    pub(crate) sound: Vec<f32>,
}

impl Made {
    pub(crate) const RATE: f64 = 48_000.0;
    /// The amplitude of a strike's partial of 0 dB.
    pub(crate) const FULL: f64 = 0.25;

    pub(crate) fn silence(seconds: f64) -> Self {
        Self { sound: vec![0.0; whole(seconds * Self::RATE)] }
    }

    /// Adds a strike: a millisecond of rise, the partials, and the stick's 4 ms of noise.
    pub(crate) fn strike(&mut self, at_s: f64, partials: &[Truth], gain: f64, dice: &mut Dice) {
        let phases: Vec<f64> = partials.iter().map(|_| dice.next() * TAU).collect();
        let first = whole((at_s * Self::RATE).ceil());
        for (at, value) in self.sound.iter_mut().enumerate().skip(first).take(whole(Self::RATE * 6.0)) {
            let time = at as f64 / Self::RATE - at_s;
            let mut sum = 0.25 * (-time / 0.001).exp() * dice.normal();
            for ((hz, db, t60), phase) in partials.iter().zip(&phases) {
                sum += 10_f64.powf(db / 20.0)
                    * (-1000_f64.ln() * time / t60).exp()
                    * (TAU * hz * time + phase).sin();
            }
            *value += single(Self::FULL * gain * (time * 1000.0).min(1.0) * sum);
        }
    }

    /// Adds white noise so many dB (rms) under a strike's partial of 0 dB.
    pub(crate) fn noise(&mut self, under_db: f64, dice: &mut Dice) {
        let sigma = Self::FULL * 10_f64.powf(-under_db / 20.0);
        for value in &mut self.sound {
            *value += single(sigma * dice.normal());
        }
    }
}
