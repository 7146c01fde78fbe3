//! Bars, bells and drums recovered from made-up sound: what is known of it is found again within the error that is stated beside each
//! figure. Partials go by published ratios (a marimba bar tuned 1 : 4 : 9.7; the just pattern of a bell; T. D. Rossing's kettledrum, as
//! handbooks quote, from memory); noise lies 60 dB under the loudest moment.

use backrow_core::compass::PitchSet;
use backrow_core::pitch::{KeyNumber, ReferenceA};
use backrow_core::sound::Measures;
use backrow_core::tuning::{bell, cents, head, usual};
use backrow_core::upkeep::from_take;
use backrow_sound::keyboard::{Instrument, Remark, walk};
use backrow_sound::{Analysed, analyse};
use std::f64::consts::TAU;

const RATE_HZ: f64 = 48_000.0;

/// Frequency in Hz, level in dB, seconds for a fall by 60 dB.
type Truth = (f64, f64, f64);

#[expect(clippy::cast_possible_truncation, reason = "samples")]
fn single(value: f64) -> f32 {
    value as f32
}

/// A take of strikes, one every so many seconds, the first after half a second.
fn take(strikes: &[Vec<Truth>], every_s: f64) -> Vec<f32> {
    let mut chance = 7_u32;
    let frames = (0.5 + every_s * strikes.len() as f64) * RATE_HZ;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a minute of frames")]
    let mut sound = vec![0.0_f32; frames as usize];
    for value in &mut sound {
        chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        // Evenly spread, so that its deviation is a root of three less: 60 dB under 0.3.
        *value = single((f64::from(chance) / 2_f64.powi(31) - 1.0) * 0.3e-3 * 3_f64.sqrt());
    }
    for (nth, partials) in strikes.iter().enumerate() {
        let loudest: f64 = partials.iter().map(|(_, db, _)| 10_f64.powf(db / 20.0)).sum();
        let begins_s = 0.5 + every_s * nth as f64;
        for (at, value) in sound.iter_mut().enumerate() {
            let time = at as f64 / RATE_HZ - begins_s;
            if !(0.0..every_s + 3.0).contains(&time) {
                continue;
            }
            let one = |(hz, db, t60): &Truth| {
                10_f64.powf(db / 20.0) * (-1000_f64.ln() * time / t60).exp() * (TAU * hz * time).sin()
            };
            *value +=
                single(0.3 / loudest * (time * 1000.0).min(1.0) * partials.iter().map(one).sum::<f64>());
        }
    }
    sound
}

fn heard(strikes: &[Vec<Truth>], every_s: f64) -> Vec<Analysed> {
    let all = analyse(&take(strikes, every_s), RATE_HZ);
    assert_eq!(all.len(), strikes.len(), "every strike is found, and no other");
    all
}

/// Seconds for a fall by 60 dB, as measured of one partial whose amplitude falls as exp(-t / tau).
pub(super) fn t60_of_decay_s(tau_s: f64) -> f64 {
    let all = heard(&[vec![(1000.0, 0.0, 1000_f64.ln() * tau_s)]], 6.0);
    let found = all[0].measures.partials.iter().find(|partial| (partial.hz - 1000.0).abs() < 1.0);
    found.and_then(|partial| partial.t60_s.as_ref()).expect("a partial with its fall").value
}

/// The partial of a strike that lies nearest, with its frequency's stated deviation.
fn nearest(measures: &Measures, hz: f64) -> (f64, f64) {
    let far = |found: f64| (found / hz).log2().abs();
    let found = measures.partials.iter().min_by(|a, b| far(a.hz).total_cmp(&far(b.hz))).unwrap();
    (found.hz, found.hz_sd)
}

/// How many of found frequencies lie within twice their stated deviation, and the furthest in cents.
fn within(pairs: &[(f64, (f64, f64))]) -> (usize, f64) {
    let inside = pairs.iter().filter(|(truth, (found, sd))| (found - truth).abs() <= 2.0 * sd).count();
    let worst =
        pairs.iter().map(|(truth, (found, _))| cents(*found, *truth).unwrap().abs()).fold(0.0, f64::max);
    (inside, worst)
}

fn key(number: i32) -> KeyNumber {
    KeyNumber::new(number).unwrap()
}

/// Cents that a bar of the made-up marimba is off, from a rule that nobody would guess.
fn off(number: i32) -> f64 {
    f64::from((number * 37) % 23 - 11)
}

fn bar(number: i32) -> Vec<Truth> {
    let hz = ReferenceA::ISO_16.frequency(key(number)).value() * (off(number) / 1200.0).exp2();
    let ring = 1.6 * (f64::from(60 - number) / 18.0).exp2();
    vec![(hz, 0.0, ring), (hz * 4.0, -12.0, ring / 3.0), (hz * 9.7, -18.0, ring / 8.0)]
}

/// One take up the keyboard becomes a survey: every bar with its cents, its second partial, and what is missing or dead is noticed.
#[test]
fn bars_are_recovered_from_one_take_up_the_keyboard() {
    let struck: Vec<i32> = (48..=72).filter(|number| *number != 61).collect();
    let strikes: Vec<Vec<Truth>> = struck
        .iter()
        .map(|number| {
            let mut bar = bar(*number);
            if *number == 57 {
                // A cord has come loose: it rings a quarter as long.
                for (_, _, t60) in &mut bar {
                    *t60 /= 4.0;
                }
            }
            bar
        })
        .collect();
    let all = heard(&strikes, 1.8);
    let measures: Vec<&Measures> = all.iter().map(|one| &one.measures).collect();
    let bars = PitchSet::range(key(48), key(72));
    let found = walk(&measures, &Instrument { bars, dead: PitchSet::EMPTY, a: ReferenceA::ISO_16 });
    assert!(found.remarks.contains(&Remark::NotStruck(PitchSet::EMPTY.with(key(61)))), "{:?}", found.remarks);
    assert!(
        found
            .remarks
            .iter()
            .any(|remark| matches!(remark, Remark::SoundsDead { key: dead, .. } if *dead == key(57))),
        "{:?}",
        found.remarks
    );
    let keys = found.bars.iter().map(|bar| bar.map(|bar| bar.key));
    let readings = from_take::readings(keys.zip(measures.iter().copied()), usual::of_kind("marimba"));
    assert_eq!(
        readings.iter().map(|reading| i32::from(reading.bar.key.number())).collect::<Vec<_>>(),
        struck
    );
    let mut pairs = Vec::new();
    for ((reading, number), measures) in readings.iter().zip(&struck).zip(&measures) {
        let truth = bar(*number)[0].0;
        let sd = measures.pitch.unwrap().hz.sd;
        pairs.push((truth, (reading.hz, sd)));
        let second = reading.second_hz.expect("the second partial is heard");
        assert!(cents(second, truth * 4.0).unwrap().abs() < 1.0, "{number}: {second}");
    }
    let (inside, worst) = within(&pairs);
    assert!(inside * 10 >= pairs.len() * 8, "{inside} of {} within twice the stated deviation", pairs.len());
    assert!(worst < 0.5, "{worst} cents");
}

/// The just pattern of a cast bell, every partial moved by known cents: each is named, and lies where it was put.
#[test]
fn bells_are_recovered_from_their_sound() {
    for (strike_hz, moved) in [
        (261.6, [-12.0, 9.0, 15.0, -20.0, 0.0, 10.0, 22.0]),
        (523.3, [8.0, -14.0, -6.0, 11.0, 0.0, -9.0, 30.0]),
        (130.8, [0.0, 20.0, -18.0, 5.0, 0.0, 14.0, 12.0]),
    ] {
        let level = [-4.0, -8.0, 0.0, -12.0, -3.0, -9.0, -12.0];
        let truth: Vec<Truth> = bell::Partial::ALL
            .iter()
            .zip(moved)
            .zip(level)
            .map(|((partial, off), db)| {
                let ratio = partial.just();
                (strike_hz * ratio * (off / 1200.0_f64).exp2(), db, 9.0 / ratio.sqrt())
            })
            .collect();
        let all = heard(std::slice::from_ref(&truth), 6.0);
        let measures = &all[0].measures;
        let (partials, warble) = from_take::bell(measures, bell::Body::Cast).expect("a bell is recognised");
        assert_eq!(partials.0.len(), 7, "{partials:?}");
        assert_eq!(warble, None, "nothing beats in it");
        // The nominal was not moved: the strike note is where it was put.
        assert!(cents(partials.strike(bell::Body::Cast).unwrap().0, strike_hz).unwrap().abs() < 0.1);
        for ((partial, cents), moved) in partials.from_just(bell::Body::Cast).iter().zip(moved) {
            assert!((cents - moved).abs() < 0.2, "{}: {cents} where {moved} was made", partial.word());
        }
        let pairs: Vec<_> = truth.iter().map(|(hz, ..)| (*hz, nearest(measures, *hz))).collect();
        let (inside, worst) = within(&pairs);
        assert!(inside >= 5 && worst < 0.2, "{inside} of 7 within twice the stated deviation; {worst} cents");
    }
}

/// A bell that is not quite round has its tierce twice: the two are told, and how often they warble.
#[test]
fn a_doublet_warbles_as_it_was_made() {
    let strike_hz = 349.2;
    let mut truth: Vec<Truth> =
        bell::Partial::ALL.iter().map(|partial| (strike_hz * partial.just(), -6.0, 8.0)).collect();
    truth.push((strike_hz * 1.2 + 6.5, -9.0, 8.0));
    let all = heard(std::slice::from_ref(&truth), 6.0);
    let found: Vec<f64> = all[0].measures.partials.iter().map(|partial| partial.hz).collect();
    let pairs = bell::doublets(&found);
    assert_eq!(pairs.len(), 1, "{found:?}");
    assert!((pairs[0].warble_hz() - 6.5).abs() < 0.05, "{pairs:?}");
}

/// Rossing's kettledrum 1 : 1.50 : 1.97 : 2.44, and round its head a lug that is 14 cents tight.
#[test]
fn kettledrums_are_recovered_from_their_sound() {
    let drum = |first: f64| -> Vec<Truth> {
        let [_, fifth, octave, tenth] = head::MEASURED;
        vec![
            // The mode without nodal lines is short, and lies under the tuned one.
            (first * 0.85, -10.0, 0.4),
            (first, 0.0, 2.2),
            (first * fifth, -5.0, 2.6),
            (first * octave, -9.0, 1.8),
            (first * tenth, -13.0, 1.2),
        ]
    };
    let lugs = [0.0, -2.0, 14.0, 1.0, -1.0, 2.0];
    let strikes: Vec<_> = lugs.iter().map(|off| drum(116.5 * (off / 1200.0_f64).exp2())).collect();
    let all = heard(&strikes, 3.0);
    let read: Vec<Vec<f64>> =
        all.iter().map(|one| from_take::drum(&one.measures).expect("a kettledrum")).collect();
    let firsts: Vec<f64> = read.iter().map(|partials| partials[0]).collect();
    for (first, off) in firsts.iter().zip(lugs) {
        let truth = 116.5 * (off / 1200.0_f64).exp2();
        assert!(cents(*first, truth).unwrap().abs() < 0.5, "{first} where {truth} was made");
    }
    let round = head::lugs(&firsts);
    // From the middle of all, which lies half a cent over the first lug.
    for (found, made) in round.iter().zip(lugs) {
        assert!((found - (made - 0.5)).abs() < 0.7, "{round:?}");
    }
    for partials in &read {
        let places = head::places(partials[0], partials);
        assert_eq!(places.len(), 4, "{partials:?}");
        assert_eq!(head::is_clear(&places), Some(true));
        for (place, ratio) in places.iter().zip(head::MEASURED) {
            assert!((place.hz / partials[0] / ratio - 1.0).abs() < 1e-3, "{place:?}");
        }
    }
}
