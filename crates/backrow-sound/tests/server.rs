//! A real sound server with a sink that goes nowhere: what is played is captured again.
//!
//! Runs when `BACKROW_SOUND_SERVER=1`; `.ci/run` starts such a server by itself, sets it, and fails when this did not run.
#![cfg(target_os = "linux")]
#![expect(clippy::cast_possible_truncation, reason = "samples between -1 and 1")]
#![expect(clippy::print_stdout, reason = "a test says that it was skipped, and what it measured")]

use backrow_sound::device::{Device, PortKind, RATE, Recording, of_this_machine};
use backrow_sound::mix::{Deck, Track};
use std::time::{Duration, Instant};

fn wanted() -> bool {
    let wanted = std::env::var("BACKROW_SOUND_SERVER").is_ok_and(|v| v == "1");
    if !wanted {
        println!("skipped: BACKROW_SOUND_SERVER is not 1");
    }
    wanted
}

/// A click to line up by, then five decaying partials; nothing above 12 kHz.
fn signal() -> Vec<f32> {
    let mut x = vec![0.0f32; RATE as usize * 2];
    x[4800] = 0.9;
    for (k, f) in [220.0, 880.0, 2417.0, 6001.0, 11_003.0].into_iter().enumerate() {
        for (i, v) in x.iter_mut().enumerate().skip(9600) {
            let t = (i - 9600) as f64 / f64::from(RATE);
            *v += (0.1 * (-t * (2.0 + k as f64)).exp() * (std::f64::consts::TAU * f * t).sin()) as f32;
        }
    }
    x
}

fn hear(recording: &mut dyn Recording, until: Instant, into: &mut Vec<f32>) {
    while Instant::now() < until {
        into.extend(recording.heard().expect("the microphone stays").samples);
        std::thread::sleep(Duration::from_millis(5));
    }
}

/// Plays and records; what came back from the click on, and how long it took from the order to play until the click was heard.
fn there_and_back(device: &mut dyn Device, sent: &[f32]) -> Option<(Vec<f32>, f64)> {
    let ports = device.ports().expect("a server");
    let monitor = ports.iter().find(|port| port.kind == PortKind::Monitor).expect("the sink's monitor");
    let mut recording = device.record(Some(&monitor.id)).expect("recording");
    let mut got = Vec::new();
    hear(&mut *recording, Instant::now() + Duration::from_millis(300), &mut got);
    let ordered = Instant::now();
    let before = got.len();
    let (deck, _hand) = Deck::new(vec![Track::new(sent.into(), 1.0)], (0, 0), 1.0);
    let mut playing = device.play(Box::new(deck), None).expect("playing");
    let mut heard_after = None;
    while playing.goes_on().expect("the loudspeaker stays") {
        hear(&mut *recording, Instant::now() + Duration::from_millis(5), &mut got);
        if heard_after.is_none() && got[before..].iter().any(|v| v.abs() > 0.3) {
            heard_after = Some(ordered.elapsed().as_secs_f64() - 4800.0 / f64::from(RATE));
        }
    }
    hear(&mut *recording, Instant::now() + Duration::from_millis(400), &mut got);
    let click = got.iter().position(|v| v.abs() > 0.3)?;
    Some((got.get(click.checked_sub(4800)?..)?.to_vec(), heard_after.unwrap_or(f64::NAN)))
}

/// Decibels by which what came back differs from what was sent, over a piece.
fn error_db(sent: &[f32], got: &[f32]) -> f64 {
    let (signal, error) = sent
        .iter()
        .zip(got)
        .fold((0.0, 0.0), |(s, e), (a, b)| (s + f64::from(a * a), e + f64::from((a - b) * (a - b))));
    10.0 * (error.max(1e-20) / f64::max(signal, 1e-20)).log10()
}

#[test]
fn what_is_played_is_captured_again() {
    if !wanted() {
        return;
    }
    let mut device = of_this_machine();
    let sent = signal();
    // A busy server may put silence in; pieces of 100 ms are compared, and one repeat is allowed.
    let mut best = (0, f64::NAN);
    let mut latencies = Vec::new();
    for _ in 0..3 {
        let Some((got, latency)) = there_and_back(&mut *device, &sent) else { continue };
        let same = |(a, b): (&[f32], &[f32])| error_db(a, b) < -80.0;
        let equal = sent[9600..57_600].chunks(4800).zip(got.get(9600..57_600).unwrap_or(&[]).chunks(4800));
        let equal = equal.filter(|pair| same(*pair)).count();
        latencies.push(latency);
        if equal >= best.0 {
            best = (equal, latency);
        }
        println!("{} of 10 pieces equal; from the order to the sound {:.0} ms", equal, latency * 1000.0);
        if best.0 == 10 {
            break;
        }
    }
    assert!(best.0 >= 9, "{} of 10 pieces came back as they were sent", best.0);
    // 120 ms are wanted, which a quiet machine keeps; what builds beside the test may take several times that.
    latencies.sort_by(f64::total_cmp);
    let middle = latencies.get(latencies.len() / 2).copied().unwrap_or(f64::INFINITY);
    assert!(middle < 0.5, "from the order to the sound {:.0} ms", middle * 1000.0);
}

#[test]
fn what_is_not_there_is_said_in_one_sentence() {
    if !wanted() {
        return;
    }
    let mut device = of_this_machine();
    let (deck, _hand) = Deck::new(Vec::new(), (0, 0), 1.0);
    let why = device.play(Box::new(deck), Some("no-such-sink")).err().expect("refused");
    assert!(why.0.contains("no longer there"), "{why}");
    let why = device.record(Some("no-such-source")).err().expect("refused");
    assert!(why.0.contains("no longer there"), "{why}");
    assert!(device.ports().is_ok(), "and everything else goes on");
}
