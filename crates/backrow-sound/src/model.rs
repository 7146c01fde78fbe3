//! Models of struck things: what an instrument of a kind may sound like, where nobody has recorded it yet.
//!
//! Partials in the ratios of bars, tubes, plates, bells and skins ([`body`]), each dying away at its own pace; what strikes says
//! how much the high ones get ([`blow`]), and how hard says it too. A model is no recording: whoever shows or plays what comes
//! from here marks it as made by a model.

pub mod blow;
pub mod body;
mod dice;
mod kinds;
pub mod stand_in;

pub use blow::Blow;
pub use body::{Body, Noise, Partial};
pub use dice::{Dice, seed_of};
pub use kinds::body_of;

use std::f64::consts::TAU;

/// The level below which a partial is no longer worked out, relative to its beginning: 80 dB down.
const GONE: f64 = 1e-4;

/// The highest peak of what is rendered: 3 dB under full scale, fortissimo of the loudest kinds.
const PEAK: f64 = 0.7;

/// The longest that anything rings here, seconds.
const LONGEST_S: f64 = 12.0;

/// The sound of a body that is struck once, one channel, at most `longest_s` long. The same body, blow and rate give the same
/// samples. Nothing above half the rate sounds; the greatest sample follows from the blow's dynamic and the body's loudness.
pub fn strike(body: &Body, blow: &Blow, rate: u32, longest_s: f64) -> Vec<f32> {
    let rate = f64::from(rate.max(8000));
    let mut dice = Dice::new(blow.seed);
    let length_s = length_s(body).min(if longest_s.is_finite() { longest_s.max(0.01) } else { LONGEST_S });
    let mut sound = vec![0.0f64; whole(length_s * rate).max(1)];
    for partial in &body.partials {
        add_partial(&mut sound, partial, (body, blow), rate, &mut dice);
    }
    for noise in &body.noises {
        add_noise(&mut sound, noise, (body, blow), rate, &mut dice);
    }
    let peak = sound.iter().fold(0.0f64, |peak, value| peak.max(value.abs()));
    let wanted = PEAK * amplitude(body.level_db + blow.level_db()).min(1.0);
    let gain = if peak > 0.0 { wanted / peak } else { 0.0 };
    fade_out(&mut sound, rate);
    #[expect(clippy::cast_possible_truncation, reason = "samples between -1 and 1")]
    let sound = sound.into_iter().map(|value| (value * gain) as f32).collect();
    sound
}

/// How long a body rings until it is 80 dB down, seconds; 12 at the most.
pub fn length_s(body: &Body) -> f64 {
    let partials = body.partials.iter().map(|partial| partial.t60_s + partial.grows_s);
    let noises = body.noises.iter().map(|noise| noise.t60_s + noise.lasts_s);
    partials.chain(noises).fold(0.05, f64::max).min(LONGEST_S)
}

fn amplitude(db: f64) -> f64 {
    10f64.powf(db / 20.0)
}

fn whole(frames: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few seconds of frames")]
    let whole = frames.clamp(0.0, 1e7) as usize;
    whole
}

/// A decaying sine, turned by one complex multiplication a sample. It begins where it is zero, as a bar at rest does.
fn add_partial(
    sound: &mut [f64],
    partial: &Partial,
    (body, blow): (&Body, &Blow),
    rate: f64,
    dice: &mut Dice,
) {
    // Drawn for every partial, sounding or not, so that the rate does not change the dice of the others.
    let spread = amplitude((dice.even() - 0.5) * 2.0 * body.spread_db);
    let amp = amplitude(partial.db) * spread * blow.reaches(partial.hz * body.soft);
    if !(partial.hz > 10.0 && partial.hz < rate * 0.49 && amp > 1e-7) {
        return;
    }
    let turn = TAU * partial.hz / rate;
    let fall = (-1000f64.ln() / (partial.t60_s.max(1e-3) * rate)).exp();
    let (cos, sin) = (turn.cos() * fall, turn.sin() * fall);
    let grow = if partial.grows_s > 0.0 { 1.0 / (partial.grows_s * rate) } else { f64::INFINITY };
    let (mut re, mut im, mut up, mut left) = (amp, 0.0, 0.0f64, 1.0f64);
    for value in sound.iter_mut() {
        up = (up + grow).min(1.0);
        *value += im * up;
        (re, im) = (re * cos - im * sin, re * sin + im * cos);
        left *= fall;
        if left < GONE {
            break;
        }
    }
}

/// Noise in a band, as one burst or as many grains, by a resonator of two poles (J. O. Smith, "Introduction to Digital
/// Filters", two-pole resonators; from memory).
fn add_noise(sound: &mut [f64], noise: &Noise, (body, blow): (&Body, &Blow), rate: f64, dice: &mut Dice) {
    let centre = (noise.low_hz * noise.high_hz).sqrt();
    if !(centre > 10.0 && centre < rate * 0.45) {
        return;
    }
    let width = (noise.high_hz - noise.low_hz).max(10.0);
    let radius = (-std::f64::consts::PI * width / rate).exp();
    let (a1, a2) = (2.0 * radius * (TAU * centre / rate).cos(), -radius * radius);
    let amp = amplitude(noise.db) * blow.reaches(centre * body.soft) * (1.0 - radius * radius).sqrt();
    let fall = (-1000f64.ln() / (noise.t60_s.max(1e-3) * rate)).exp();
    let (mut one, mut two, mut level) = (0.0f64, 0.0f64, amp);
    for (n, value) in sound.iter_mut().enumerate() {
        let at_s = n as f64 / rate;
        if noise.lasts_s > 0.0 && at_s < noise.lasts_s && dice.even() < noise.grains_s / rate {
            level = amp * (0.3 + 0.7 * dice.even());
        }
        let next = a1.mul_add(one, a2 * two) + level * dice.normal();
        (one, two) = (next, one);
        *value += next * noise.mix;
        level *= fall;
    }
}

/// The last tenth fades, so that a sound that is cut does not end with a click.
fn fade_out(sound: &mut [f64], rate: f64) {
    let over = whole(0.05 * rate).min(sound.len() / 10).max(1);
    for (n, value) in sound.iter_mut().rev().take(over).enumerate() {
        *value *= n as f64 / over as f64;
    }
}

#[cfg(test)]
mod tests;
