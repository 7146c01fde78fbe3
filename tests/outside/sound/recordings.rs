//! Real recordings from packages of the Debian archive, which are never copied into this tree. `BACKROW_RECORDINGS` names the
//! folder where they lie (packages unpacked with `dpkg-deb -x`, or `/`); without it these checks say that they skip.
//!
//! Packages: `fluid-soundfont-gm` 3.1 (MIT), `freepats` 2006 (GPL-2 with exception), `sonic-pi-samples` (CC0),
//! `hydrogen-drumkits` (GPL-2, CC-BY, CC-BY-SA, CC0 by kit).

#![allow(clippy::print_stdout, reason = "what was skipped and what was measured is said")]

use super::patch;
use super::soundfont::{Sample, samples};
use backrow_core::sound::{Measures, Partial};
use backrow_sound::{Analyser, Span};
use std::fs;
use std::path::{Path, PathBuf};

/// The folder, if one is named.
pub(super) fn folder() -> Option<PathBuf> {
    let folder = std::env::var_os("BACKROW_RECORDINGS").map(PathBuf::from);
    if folder.is_none() {
        println!("skipped: BACKROW_RECORDINGS names no folder of recordings");
    }
    folder
}

/// Every file in these places of the folder, in order.
pub(super) fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for place in [
        "usr/share/sounds/sf2",
        "usr/share/midi/freepats",
        "usr/share/sonic-pi/samples",
        "usr/share/hydrogen/data",
    ] {
        walk(&folder.join(place), &mut found);
    }
    found.sort();
    assert!(!found.is_empty(), "{} holds none of the packages", folder.display());
    found
}

fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() { walk(&path, found) } else { found.push(path) }
    }
}

/// The first strike of a sound and all that follows.
pub(super) fn first_strike(sound: &[f32], rate_hz: f64) -> Option<Measures> {
    let analyser = Analyser::new(sound, rate_hz)?;
    let from = analyser.strikes(8.0).first().map_or(0, |span| span.from);
    Some(analyser.measure(Span { from, to: sound.len() }))
}

/// The strongest partial near the stated frequency; `None` where none is near.
fn near(sample: &Sample) -> Option<Partial> {
    let measures = first_strike(&sample.sound, sample.rate_hz)?;
    let near = measures.partials.into_iter().filter(|partial| cents(partial, sample).abs() < 120.0);
    near.max_by(|one, other| one.energy().total_cmp(&other.energy()))
}

fn cents(partial: &Partial, sample: &Sample) -> f64 {
    1200.0 * (partial.hz / sample.hz).log2()
}

/// How far that partial lies above what is stated, in cents.
fn off(sample: &Sample) -> Option<f64> {
    near(sample).map(|partial| cents(&partial, sample))
}

/// The middle and the greatest of what samples are off by.
fn against_root_keys(what: &str, all: &[Sample]) -> (f64, f64, usize) {
    let mut offs: Vec<f64> = all.iter().filter_map(off).collect();
    for (sample, off) in all.iter().zip(all.iter().map(off)) {
        println!("{what}: {}: {:.2} Hz stated, {off:?} cents", sample.name, sample.hz);
    }
    offs.sort_by(f64::total_cmp);
    let greatest = offs.iter().fold(0.0_f64, |most, off| most.max(off.abs()));
    (offs.get(offs.len() / 2).copied().unwrap_or(f64::NAN), greatest, offs.len())
}

fn named(folder: &Path, ending: &str) -> Option<Vec<u8>> {
    let path = files(folder).into_iter().find(|path| path.to_string_lossy().ends_with(ending));
    if path.is_none() {
        println!("skipped: no {ending} in {}", folder.display());
    }
    path.map(|path| fs::read(path).unwrap())
}

/// Its maker tuned every bar, so that this is the best check of the absolute scale.
#[test]
fn bars_of_a_sound_font_against_their_root_keys() {
    let Some(font) = folder().and_then(|folder| named(&folder, "FluidR3_GM.sf2")) else { return };
    let (middle, greatest, count) = against_root_keys("xylophone", &samples(&font, 13));
    assert!(count >= 10 && middle.abs() < 0.5 && greatest < 1.0, "{count}: {middle}, {greatest}");
    let (middle, greatest, count) = against_root_keys("marimba", &samples(&font, 12));
    assert!(count >= 6 && middle.abs() < 2.0 && greatest < 3.0, "{count}: {middle}, {greatest}");
    // Glockenspiels are tuned sharp upwards.
    let (middle, greatest, count) = against_root_keys("glockenspiel", &samples(&font, 9));
    assert!(count >= 8 && (4.0..10.0).contains(&middle) && greatest < 13.0, "{count}: {middle}, {greatest}");
}

#[test]
fn bars_of_a_patch_against_their_root_keys() {
    let Some(glockenspiel) = folder().and_then(|folder| named(&folder, "009_Glockenspiel.pat")) else {
        return;
    };
    let all = patch::samples(&glockenspiel);
    let (middle, greatest, count) = against_root_keys("glockenspiel", &all);
    assert!(count >= 5 && middle.abs() < 0.3 && greatest < 0.5, "{count}: {middle}, {greatest}");
    // A small bar rings shorter than a large one.
    let mut rings: Vec<(f64, f64)> =
        all.iter().filter_map(|sample| Some((sample.hz, near(sample)?.t60_s?.value))).collect();
    rings.sort_by(|one, other| one.0.total_cmp(&other.0));
    assert!(rings.windows(2).all(|pair| pair[1].1 < pair[0].1), "{rings:?}");
}
