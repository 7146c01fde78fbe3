//! A whole take made by a model: an instrument's bars, one after the other, with one or more beaters.

use super::{Blow, body_of, seed_of, strike};
use backrow_core::collection::{Beater, Hardness, Head, Instrument, Kind};
use backrow_core::music::Dynamic;
use backrow_core::pitch::KeyNumber;
use backrow_core::sound::Strike;

/// Silence between two strikes, seconds.
const GAP_S: f64 = 0.06;

/// What a take is to hold.
#[derive(Clone, Debug)]
pub struct Plan<'a> {
    /// Beaters to strike with, one after the other; none for the kind's most usual one.
    pub beaters: Vec<&'a Beater>,
    /// Bars at the most, spread over the compass.
    pub most_bars: usize,
    /// How hard, one after the other.
    pub dynamics: Vec<Dynamic>,
    /// How long each rings at the most, seconds.
    pub rings_s: f64,
}

/// One channel at `rate`, and its strikes; `None` where no model stands in for the kind. The same instrument gives the same take.
pub fn stand_in(
    instrument: &Instrument,
    kind: &Kind,
    plan: &Plan<'_>,
    rate: u32,
) -> Option<(Vec<f32>, Vec<Strike>)> {
    let seed = seed_of(instrument.id.as_str());
    let beaters: Vec<Option<&Beater>> =
        if plan.beaters.is_empty() { vec![None] } else { plan.beaters.iter().copied().map(Some).collect() };
    let (mut sound, mut strikes) = (Vec::new(), Vec::new());
    for beater in beaters {
        for bar in bars(instrument, plan.most_bars) {
            let body = body_of(instrument, kind, bar)?;
            for dynamic in &plan.dynamics {
                let number = strikes.len() as u64;
                let seed = seed.wrapping_add(number);
                let blow = match beater {
                    Some(beater) => Blow::with_beater(beater, *dynamic, seed),
                    None => usual(kind, *dynamic, seed),
                };
                pause(&mut sound, rate);
                let from_s = sound.len() as f64 / f64::from(rate);
                sound.extend(strike(&body, &blow, rate, plan.rings_s));
                let to_s = sound.len() as f64 / f64::from(rate);
                let beater = beater.map(|beater| beater.id.clone());
                strikes.push(Strike {
                    from_s,
                    to_s,
                    bar,
                    beater,
                    how_hard: Some(*dynamic),
                    ..Strike::default()
                });
            }
        }
    }
    Some((sound, strikes))
}

fn pause(sound: &mut Vec<f32>, rate: u32) {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a part of a second")]
    let frames = (GAP_S * f64::from(rate)) as usize;
    sound.resize(sound.len() + frames, 0.0);
}

/// So many bars, the lowest and the highest among them; none that is dead. A thing without bars has one strike.
fn bars(instrument: &Instrument, most: usize) -> Vec<Option<KeyNumber>> {
    let all: Vec<KeyNumber> = instrument.compass().iter().collect();
    if all.is_empty() {
        return vec![None];
    }
    let count = all.len().min(most.max(1));
    let place = |n: usize| if count > 1 { n * (all.len() - 1) / (count - 1) } else { 0 };
    (0..count).filter_map(|n| all.get(place(n)).copied().map(Some)).collect()
}

/// With the beater that is the most usual for a kind.
pub fn usual(kind: &Kind, dynamic: Dynamic, seed: u64) -> Blow {
    let usual = kind.usual.first();
    let head = usual.map_or(Head::Rubber, |usual| usual.head);
    let hardness = usual.and_then(|usual| usual.hardness).unwrap_or(Hardness::Medium);
    Blow::with(head, hardness, dynamic, seed)
}
