//! One partial: the sound shifted down by its frequency and smoothed.

use super::line::{Line, Point, line};
use super::{Heard, Look};
use crate::spectrum::{blackman_harris, single, whole};
use backrow_core::sound::{Figure, Partial};
use std::f64::consts::{LOG10_E, PI, TAU};

/// Windows that overlap by three quarters: so many of them are looks of their own. Found by trials with known decays.
const OWN: f64 = 0.4;
/// The stated deviation of a decay is widened by this: in trials with known decays twice the plain one held too few.
const WIDER: f64 = 1.3;
/// The beginning of a strike is found to about so many seconds (one standard deviation): a partial is drawn back to it, so that the level
/// of what dies soon depends on it.
const BEGINS_SD_S: f64 = 0.0004;
/// What no line tells of a level, dB: how the blow itself rises and what the stick adds. From trials with known levels.
const BLOW_SD_DB: f64 = 0.1;
/// Decibels in one neper.
const NEPER_DB: f64 = 20.0 * LOG10_E;

/// The partial near a frequency through a window of `length`; `None` where none is, or where it sounded before.
pub(super) fn refine(look: &Look<'_>, guess: f64, length: usize) -> Option<Heard> {
    let window = Window::new(length);
    let mut hz = guess;
    let mut result = None;
    for _ in 0..2 {
        let step = -TAU * hz / look.rate;
        let turning = window.turning(step);
        let seen = window.seen(look, &turning, step, look.floor.at(guess));
        // What sounded as loud before the strike (a hum, the ring of an earlier strike) is not this strike's.
        if let Some(at) = look.span.from.checked_sub(length + length / 8)
            && let Some(before) = look.sound.get(at..at + length)
            && power(shifted(before, &turning)) > 0.5 * seen.most
        {
            return None;
        }
        let decay = line(&seen.points(|one| one.magnitude), OWN)?;
        let spin = line(&seen.points(|one| one.phase), OWN)?;
        hz += spin.slope / TAU;
        if (hz - guess).abs() > 4.0 * look.rate / length as f64 || hz < 20.0 {
            return None;
        }
        result = Some(window.heard(look.rate, hz, &seen, &decay, &spin));
        // A guess that was right to a tenth of a bin needs no second look.
        if (spin.slope / TAU).abs() < 0.1 * look.rate / length as f64 {
            break;
        }
    }
    result.filter(|heard| heard.partial.cents_sd() < 20.0 && heard.partial.db < 12.0)
}

struct Window {
    weights: Vec<f64>,
    squares: f64,
}

/// One look through the window.
struct Seen {
    /// Seconds from the strike.
    time: f64,
    /// Logarithm of the magnitude.
    magnitude: f64,
    /// Radians, without jumps.
    phase: f64,
    /// Power over that of the noise.
    over_noise: f64,
}

struct All {
    looks: Vec<Seen>,
    /// The greatest power.
    most: f64,
}

impl All {
    fn points(&self, value: fn(&Seen) -> f64) -> Vec<Point> {
        // How exactly one look can be known: the noise, and 0.03 (a quarter of a dB) for what no straight line tells.
        let weight = |one: &Seen| 1.0 / (0.5 / one.over_noise + 0.0009);
        self.looks
            .iter()
            .map(|one| Point { time: one.time, value: value(one), weight: weight(one) })
            .collect()
    }
}

impl Window {
    fn new(length: usize) -> Self {
        let weights = blackman_harris(length);
        Self { squares: weights.iter().map(|w| w * w).sum(), weights }
    }

    /// The window times a pointer that turns by `step` radians a sample, as two rows: made once, then each look is two plain sums,
    /// which the compiler makes wide. Single precision is 120 dB and more, beyond what the window keeps out.
    fn turning(&self, step: f64) -> (Vec<f32>, Vec<f32>) {
        let turned = |(i, weight): (usize, &f64)| {
            let (sin, cos) = (step * i as f64).sin_cos();
            (single(weight * cos), single(weight * sin))
        };
        self.weights.iter().enumerate().map(turned).unzip()
    }

    /// Looks from the strike on, a quarter of the window apart, as long as the partial stands out of the noise; the first 35 dB
    /// only, since under them lie the room and the other plane of a bar.
    fn seen(&self, look: &Look<'_>, turning: &(Vec<f32>, Vec<f32>), step: f64, floor: f64) -> All {
        let (length, noise) = (self.weights.len(), self.squares * floor);
        let mut all = All { looks: Vec::new(), most: 0.0 };
        let (mut last, mut turns, mut weak) = (0.0, 0.0, 0);
        let mut at = look.span.from + whole(look.rate * 0.004);
        while at + length <= look.span.to && all.looks.len() < 2000 {
            let Some(piece) = look.sound.get(at..at + length) else { break };
            let since = (at - look.span.from) as f64;
            let (re, im) = turned(shifted(piece, turning), (step * since) % TAU);
            let here = re * re + im * im;
            all.most = here.max(all.most);
            if here < 8.0 * noise || here < all.most * 3e-4 {
                // Where a person has set the beginning, the strike may come a little later.
                weak += usize::from(!all.looks.is_empty());
                if weak > 2 || (all.looks.is_empty() && since > 0.3 * look.rate) {
                    break;
                }
            } else {
                weak = 0;
                let phase = im.atan2(re);
                if !all.looks.is_empty() {
                    turns += jump(phase - last);
                }
                last = phase;
                all.looks.push(Seen {
                    time: since / look.rate,
                    magnitude: 0.5 * here.ln(),
                    phase: phase + turns,
                    over_noise: here / noise,
                });
            }
            at += (length / 4).max(1);
        }
        all
    }

    fn heard(&self, rate: f64, hz: f64, seen: &All, decay: &Line, spin: &Line) -> Heard {
        let falls = (-decay.slope).max(0.0);
        let shape = |(i, weight): (usize, &f64)| weight * (-falls * i as f64 / rate).exp();
        // What a decaying sine of amplitude 1 gives under this window.
        let of_one = self.weights.iter().enumerate().map(shape).sum::<f64>() / 2.0;
        // Where in the window that is, seconds: a wrong decay draws the level back from there.
        let within = self.weights.iter().enumerate().map(|one| one.0 as f64 * shape(one)).sum::<f64>()
            / (2.0 * of_one * rate);
        let ln_60_db = 1000_f64.ln();
        let t60 = Figure::above_zero(ln_60_db / falls, WIDER * ln_60_db / falls * (decay.slope_sd / falls));
        let ends = seen.looks.first().zip(seen.looks.last());
        let partial = Partial {
            hz,
            hz_sd: spin.slope_sd / TAU,
            db: NEPER_DB * (decay.at_zero - of_one.ln()),
            db_sd: level_sd_db(decay, within, falls),
            t60_s: t60.filter(|_| falls > 2.5 * decay.slope_sd),
            bend_db: decay.rest * NEPER_DB,
            heard_db: ends.map_or(0.0, |(first, last)| (first.magnitude - last.magnitude) * NEPER_DB),
        };
        Heard { partial, beat: beat(seen, decay) }
    }
}

/// One standard deviation of a level at the strike, dB. The height of the line in its middle and its slope are independent of each other; the
/// slope counts for as long as the line is drawn back, from its middle and from within the window.
fn level_sd_db(decay: &Line, within: f64, falls: f64) -> f64 {
    let drawn = decay.middle_sd.hypot(decay.slope_sd * (decay.middle + within));
    (WIDER * NEPER_DB * drawn).hypot(NEPER_DB * falls * BEGINS_SD_S).hypot(BLOW_SD_DB)
}

/// The rise and fall that a straight decay leaves, where most of it is of one period.
fn beat(seen: &All, decay: &Line) -> Option<(Figure, f64)> {
    let looks = &seen.looks;
    let (first, last) = (looks.first()?, looks.last()?);
    let length = last.time - first.time;
    if looks.len() < 12 || decay.rest * NEPER_DB < 0.4 {
        return None;
    }
    let rest: Vec<(f64, f64)> = looks
        .iter()
        .map(|one| (one.time - first.time, one.magnitude - decay.at_zero - decay.slope * one.time))
        .collect();
    let whole_power: f64 = rest.iter().map(|(_, off)| off * off).sum();
    let share = |hz: f64| {
        let sum = |of: fn(f64) -> f64| rest.iter().map(|(time, off)| off * of(TAU * hz * time)).sum::<f64>();
        2.0 * (sum(f64::cos).powi(2) + sum(f64::sin).powi(2)) / (whole_power * rest.len() as f64)
    };
    // From two beats in what was heard to a beat every four looks, in eighths of a beat.
    let (low, high) = (1.5 / length, looks.len() as f64 / length / 4.0);
    let steps = whole((high - low) * length * 8.0).min(4000);
    let of = |step: usize| low + step as f64 / (8.0 * length);
    let (step, most) = (0..=steps)
        .map(|step| (step, share(of(step))))
        .fold((0, 0.0), |most, one| if one.1 > most.1 { one } else { most });
    // The deepest fall of the greatest beat: from the greatest to the least of what is left, outliers left out.
    let mut offs: Vec<f64> = rest.iter().map(|(_, off)| *off).collect();
    let depth = crate::spectrum::quantile(&mut offs, 0.97) - crate::spectrum::quantile(&mut offs, 0.03);
    if most < 0.5 || step == 0 {
        return None;
    }
    Some((Figure::above_zero(of(step), 0.1 / length)?, depth * NEPER_DB))
}

/// A whole turn back or forth where the phase has jumped.
fn jump(turned: f64) -> f64 {
    if turned > PI {
        -TAU
    } else if turned < -PI {
        TAU
    } else {
        0.0
    }
}

fn power((re, im): (f64, f64)) -> f64 {
    re * re + im * im
}

fn turned((re, im): (f64, f64), by: f64) -> (f64, f64) {
    let (sin, cos) = by.sin_cos();
    (re * cos - im * sin, re * sin + im * cos)
}

/// The sum of the piece times the turning pointer.
fn shifted(piece: &[f32], (cos, sin): &(Vec<f32>, Vec<f32>)) -> (f64, f64) {
    // Sums side by side: one alone would have to be added in order.
    const WIDE: usize = 16;
    let (mut re, mut im) = ([0.0_f32; WIDE], [0.0_f32; WIDE]);
    let ((pieces, rest), (cosines, cos_rest), (sines, sin_rest)) =
        (piece.as_chunks::<WIDE>(), cos.as_chunks::<WIDE>(), sin.as_chunks::<WIDE>());
    for ((piece, cos), sin) in pieces.iter().zip(cosines).zip(sines) {
        for lane in 0..WIDE {
            re[lane] += piece[lane] * cos[lane];
            im[lane] += piece[lane] * sin[lane];
        }
    }
    let sum = |lanes: &[f32]| lanes.iter().map(|value| f64::from(*value)).sum::<f64>();
    let end = |row: &[f32]| rest.iter().zip(row).map(|(value, turn)| f64::from(value * turn)).sum::<f64>();
    (sum(&re) + end(cos_rest), sum(&im) + end(sin_rest))
}
