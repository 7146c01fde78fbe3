//! `backrow sound` as a script runs it.
#![expect(clippy::unwrap_used, reason = "a test helper that fails is a failed test")]

use backrow_files::sound::{Depth, flac, wav};
use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

fn backrow(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_backrow")).args(words).output().unwrap()
}

fn object(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|why| panic!("{why}: {output:?}"))
}

/// Two strikes of one decaying sine: at 0.5 and 2.5 s, 442 Hz, 60 dB in 1.2 s.
#[expect(clippy::cast_possible_truncation, reason = "samples")]
fn two_strikes() -> Vec<f32> {
    let rate = 48_000.0;
    let wave = |i: u32| {
        let time = f64::from(i) / rate;
        let since = if time < 2.5 { time - 0.5 } else { time - 2.5 };
        let decay = if since < 0.0 { 0.0 } else { (-1000_f64.ln() * since / 1.2).exp() };
        // A least of noise, as every recording has.
        let noise = f64::from((i.wrapping_mul(2_654_435_761) >> 8) % 1000) / 1000.0 - 0.5;
        (0.3 * decay * (std::f64::consts::TAU * 442.0 * since).sin() + 1e-4 * noise) as f32
    };
    (0..240_000).map(wave).collect()
}

fn strikes_of(path: &Path, more: &[&str]) -> Vec<Value> {
    let run = backrow(&[&["sound", path.to_str().unwrap(), "--json"], more].concat());
    assert_eq!(run.status.code(), Some(0), "{run:?}");
    let object = object(&run);
    assert_eq!(object["files"][0]["rate_hz"], 48_000);
    object["files"][0]["strikes"].as_array().unwrap().clone()
}

#[test]
fn strikes_are_found_and_measured_with_their_uncertainty() {
    let dir = tempfile::tempdir().unwrap();
    let (one, other) = (dir.path().join("take.wav"), dir.path().join("take.flac"));
    std::fs::write(&one, wav(&two_strikes(), 48_000, Depth::TwentyFour)).unwrap();
    std::fs::write(&other, flac(&two_strikes(), 48_000, Depth::TwentyFour).unwrap()).unwrap();
    let strikes = strikes_of(&one, &[]);
    assert_eq!(strikes, strikes_of(&other, &[]));
    assert_eq!(strikes.len(), 2);
    for (strike, at) in strikes.iter().zip([0.5, 2.5]) {
        let figure = |name: &str| strike[name].as_f64().unwrap_or_else(|| panic!("{name} in {strike:#}"));
        assert!((figure("from_s") - at).abs() < 0.003 && figure("to_s") > at + 1.5);
        assert!((figure("pitch_hz") - 442.0).abs() < 0.02 && figure("pitch_hz_sd") < 0.02);
        assert_eq!((&strike["key"], strike["note"].as_str()), (&Value::from(69), Some("A4")));
        assert!((figure("cents") - 7.85).abs() < 0.1);
        assert!((figure("ring_s") - 1.2).abs() < 0.03 && figure("clarity") > 0.8);
        for name in ["brightness_hz", "attack_s", "loudness_lufs"] {
            assert!(figure(name).is_finite() && figure(&format!("{name}_sd")) >= 0.0);
        }
        let partial = &strike["partials"][0];
        assert!((partial["t60_s"].as_f64().unwrap() - 1.2).abs() < 0.02, "{partial}");
        assert!(partial["hz_sd"].as_f64().unwrap() > 0.0);
        // An amplitude of 0.3.
        let (db, sd) = (partial["db"].as_f64().unwrap(), partial["db_sd"].as_f64().unwrap());
        assert!(sd > 0.0 && sd < 0.5 && (db - 20.0 * 0.3_f64.log10()).abs() < 2.0 * sd, "{partial}");
    }
    let by_442 = strikes_of(&one, &["--a", "442"]);
    assert!(by_442[0]["cents"].as_f64().unwrap().abs() < 0.1);
    let text = String::from_utf8(backrow(&["sound", one.to_str().unwrap()]).stdout).unwrap();
    assert!(text.contains("2 strikes") && text.contains("A4 +8 cents"), "{text}");
}

#[test]
fn what_is_no_sound_is_told_and_the_rest_goes_on() {
    let dir = tempfile::tempdir().unwrap();
    let (good, bad) = (dir.path().join("take.wav"), dir.path().join("words.wav"));
    std::fs::write(&good, wav(&two_strikes(), 48_000, Depth::Sixteen)).unwrap();
    std::fs::write(&bad, "only words").unwrap();
    let run = backrow(&["sound", bad.to_str().unwrap(), good.to_str().unwrap(), "--json"]);
    assert_eq!(run.status.code(), Some(1));
    let object = object(&run);
    assert_eq!(object["files"].as_array().unwrap().len(), 1);
    assert_eq!(object["problems"][0]["code"], "audio-file");
    assert_eq!(backrow(&["sound", bad.to_str().unwrap()]).status.code(), Some(2));
    assert_eq!(backrow(&["sound", good.to_str().unwrap(), "--a", "44"]).status.code(), Some(2));
    assert_eq!(backrow(&["sound"]).status.code(), Some(2));
}

#[test]
fn the_library_is_ranked_by_likeness_with_reasons() {
    let dir = tempfile::tempdir().unwrap();
    let library = dir.path().join("library");
    backrow_files::library::copy_demo(&library).unwrap();
    let take = dir.path().join("take.wav");
    std::fs::write(&take, wav(&two_strikes(), 48_000, Depth::Sixteen)).unwrap();
    let (library, take) = (library.to_str().unwrap(), take.to_str().unwrap());
    let like = |more: &[&str]| {
        let run = Command::new(env!("CARGO_BIN_EXE_backrow"))
            .args([&["like", library, take, "--json"], more].concat())
            .env("HOME", dir.path())
            .env("XDG_CACHE_HOME", dir.path().join("cache"))
            .output()
            .unwrap();
        assert_eq!(run.status.code(), Some(0), "{run:?}");
        object(&run)
    };
    let plain = like(&["--most", "5"]);
    let found = plain["found"].as_array().unwrap();
    assert_eq!(found.len(), 5, "{plain:#}");
    let far: Vec<f64> = found.iter().map(|one| one["distance"].as_f64().unwrap()).collect();
    assert!(far.windows(2).all(|pair| pair[0] <= pair[1]), "{far:?}");
    assert!(found.iter().all(|one| !one["reasons"].as_array().unwrap().is_empty()));
    let longer = like(&["--longer", "--words", "metal"]);
    for one in longer["found"].as_array().unwrap() {
        assert!(one["reasons"][0].as_str().unwrap().starts_with("longer by "), "{one:#}");
    }
    assert!(!longer["unmeasured"].as_array().unwrap().is_empty());
}
