use super::*;
use backrow_core::collection::{Hardness, Head};
use backrow_core::music::Dynamic;
use proptest::prelude::*;

const RATE: u32 = 48_000;

fn blow(head: Head, dynamic: Dynamic, seed: u64) -> Blow {
    Blow::with(head, Hardness::Medium, dynamic, seed)
}

/// Power at a frequency over a stretch, by one bin of a Fourier sum under a Hann window.
fn power(sound: &[f32], hz: f64) -> f64 {
    let n = sound.len() as f64;
    let (re, im) = sound.iter().enumerate().fold((0.0, 0.0), |(re, im), (i, v)| {
        let window = 0.5 - 0.5 * (TAU * i as f64 / n).cos();
        let angle = TAU * hz * i as f64 / f64::from(RATE);
        let v = f64::from(*v) * window;
        (re + v * angle.cos(), im + v * angle.sin())
    });
    (re * re + im * im) / (n * n)
}

/// The mean of a body's partials, each weighed by how strong it begins.
fn centroid(sound: &[f32], body: &Body) -> f64 {
    let strong = |hz: f64| power(&sound[..4800], hz).sqrt();
    let sums = body.partials.iter().map(|partial| (partial.hz, strong(partial.hz)));
    let (top, all) = sums.fold((0.0, 0.0), |(top, all), (hz, a)| (top + hz * a, all + a));
    top / all
}

#[test]
fn partials_are_where_they_are_stated() {
    for ratios in [body::FREE_BAR, body::TWELFTH_BAR, body::BELL, body::TIMPANO, body::ROUND_PLATE] {
        let body = Body::of(ratios, 330.0, body::Ring { t60_s: 3.0, hz: 330.0, fall: 0.3 });
        let sound = strike(&body, &blow(Head::Steel, Dynamic::Ff, 5), RATE, 2.0);
        for partial in body.partials.iter().filter(|p| p.hz < 8000.0) {
            let there = power(&sound[..24_000], partial.hz);
            let beside =
                power(&sound[..24_000], partial.hz + 25.0).max(power(&sound[..24_000], partial.hz - 25.0));
            assert!(there > 10.0 * beside, "{} Hz of {ratios:?}: {there:e} beside {beside:e}", partial.hz);
        }
    }
}

#[test]
fn a_partial_falls_by_sixty_decibels_in_its_time() {
    let body = Body::of(&[(1.0, 0.0)], 440.0, body::Ring { t60_s: 2.0, hz: 440.0, fall: 0.0 });
    let sound = strike(&body, &blow(Head::Wood, Dynamic::Ff, 1), RATE, 2.0);
    let (early, late) = (power(&sound[0..9600], 440.0), power(&sound[48_000..57_600], 440.0));
    let fell = 10.0 * (early / late).log10();
    assert!((fell - 30.0).abs() < 0.1, "half its time is 30 dB: {fell}");
}

#[test]
fn a_harder_beater_and_a_louder_blow_are_brighter() {
    let body = Body::of(body::FREE_BAR, 700.0, body::Ring { t60_s: 3.0, hz: 700.0, fall: 0.5 });
    let bright = |head, dynamic| centroid(&strike(&body, &blow(head, dynamic, 3), RATE, 1.0), &body);
    assert!(bright(Head::Brass, Dynamic::Mf) > 1.2 * bright(Head::Yarn, Dynamic::Mf));
    assert!(bright(Head::Rubber, Dynamic::Ff) > 1.05 * bright(Head::Rubber, Dynamic::Pp));
}

#[test]
fn the_same_seed_gives_the_same_sound() {
    let body = Body::dense(80, (200.0, 9000.0), body::Ring { t60_s: 2.0, hz: 500.0, fall: 0.5 }, 0.1, 9)
        .grains((3000.0, 9000.0), 0.5, 100.0);
    let sound = |seed| strike(&body, &blow(Head::Wood, Dynamic::F, seed), RATE, 0.5);
    assert_eq!(sound(1), sound(1));
    assert_ne!(sound(1), sound(2));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn every_strike_is_finite_and_within_full_scale(
        hz in 30.0..5000.0_f64,
        t60_s in 0.01..10.0_f64,
        head in prop::sample::select(Head::ALL.to_vec()),
        dynamic in prop::sample::select(Dynamic::ALL.to_vec()),
        seed in any::<u64>(),
        dense in any::<bool>(),
    ) {
        let ring = body::Ring { t60_s, hz, fall: 0.6 };
        let body = if dense {
            Body::dense(40, (hz, hz * 4.0), ring, 0.2, seed).rustle((hz, hz * 2.0), 0.0, 0.2)
        } else {
            Body::of(body::BELL, hz, ring).tap(hz * 2.0, 0.0)
        };
        let sound = strike(&body, &blow(head, dynamic, seed), RATE, 0.4);
        prop_assert!(sound.iter().all(|v| v.is_finite() && v.abs() <= 0.7001));
        prop_assert!(sound.iter().any(|v| v.abs() > 1e-4), "it sounds");
        prop_assert!(sound.len() <= 19_201);
    }
}
