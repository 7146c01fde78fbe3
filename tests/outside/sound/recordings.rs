//! Real recordings from packages of the Debian archive, which are never copied into this tree. `BACKROW_RECORDINGS` names the
//! folder where they lie (packages unpacked with `dpkg-deb -x`, or `/`); without it these checks say that they skip.
//!
//! Packages: `fluid-soundfont-gm` 3.1 (MIT), `freepats` 2006 (GPL-2 with exception), `sonic-pi-samples` (CC0),
//! `hydrogen-drumkits` (GPL-2, CC-BY, CC-BY-SA, CC0 by kit).

#![allow(clippy::print_stdout, reason = "what was skipped and what was measured is said")]

use super::patch;
use super::soundfont::{Sample, samples};
use backrow_core::sound::{Figure, Measures, Partial};
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

/// Columns: file, sample, where it begins in samples; the frequency of the strongest partial by librosa's reassigned spectrogram; spectral
/// centroids over 0 to 0.5 and 0 to 0.05 s by librosa; T20 (ISO 3382-1) by scipy's regression. Worked out by `recordings_librosa.py` with
/// scipy 1.17.1, librosa 0.11.0 and numpy 2.4.6 on the same recordings.
const BY_LIBROSA: &str = include_str!("../data/recordings.csv");

/// The sound of a row of [`BY_LIBROSA`].
fn sound_of(folder: &Path, row: &csv::StringRecord) -> Option<(Vec<f32>, f64)> {
    let file = &row[0];
    if file.contains(".pat") {
        let all = patch::samples(&named(folder, file)?);
        let sample = all.into_iter().nth(row[1].parse().unwrap())?;
        return Some((sample.sound, sample.rate_hz));
    }
    let read = backrow_files::sound::read(file, named(folder, file)?).unwrap();
    Some((read.sound, f64::from(read.rate_hz)))
}

/// Figures of a measure by us and by them; prints what differs and gives the middle and the greatest of the differences.
fn differences(
    what: &str,
    pairs: &[(String, f64, f64)],
    apart: impl Fn(f64, f64) -> f64,
) -> (f64, f64, usize) {
    let mut all: Vec<f64> = Vec::new();
    for (name, ours, theirs) in pairs {
        let off = apart(*ours, *theirs);
        println!("{what}: {name}: {ours:.4} ours, {theirs:.4} theirs, {off:.3}");
        all.push(off.abs());
    }
    all.sort_by(f64::total_cmp);
    let middle = all.get(all.len() / 2).copied().unwrap_or(f64::NAN);
    (middle, all.last().copied().unwrap_or(f64::NAN), all.len())
}

#[test]
fn librosa_measures_the_same_on_real_recordings() {
    let Some(folder) = folder() else { return };
    let (mut pitch, mut whole, mut first, mut ring) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for row in super::super::rows(BY_LIBROSA) {
        let Some((sound, rate)) = sound_of(&folder, &row) else { return };
        let name = format!("{} {}", &row[0], &row[1]);
        let analyser = Analyser::new(&sound, rate).unwrap();
        let ours = analyser.measure(Span { from: row[2].parse().unwrap(), to: sound.len() });
        let theirs = |column: usize| row[column].parse::<f64>().ok();
        let off = |partial: &&Partial, hz: f64| (1200.0 * (partial.hz / hz).log2()).abs();
        if let Some(hz) = theirs(3) {
            let near = ours.partials.iter().min_by(|one, other| off(one, hz).total_cmp(&off(other, hz)));
            pitch.extend(near.map(|partial| (name.clone(), partial.hz, hz)));
        }
        let both = |into: &mut Vec<(String, f64, f64)>, figure: Option<Figure>, column: usize| {
            into.extend(figure.zip(theirs(column)).map(|(ours, theirs)| (name.clone(), ours.value, theirs)));
        };
        both(&mut whole, ours.brightness_hz, 4);
        both(&mut first, ours.brightness_at_strike_hz, 5);
        both(&mut ring, ours.ring_s, 6);
    }
    let cents = differences("cents", &pitch, |ours, theirs| 1200.0 * (ours / theirs).log2());
    let per_cent = |ours: f64, theirs: f64| 100.0 * (ours / theirs - 1.0);
    let whole = differences("brightness", &whole, per_cent);
    let first = differences("brightness at the strike", &first, per_cent);
    let ring = differences("ring", &ring, per_cent);
    // Bars stay where they are; drums and muffled strokes glide, so that what is heard of them hangs on when one listens.
    let bars: Vec<_> = pitch.iter().filter(|row| row.0.contains(".pat")).cloned().collect();
    let of_bars = differences("cents of bars", &bars, |ours, theirs| 1200.0 * (ours / theirs).log2());
    println!(
        "middle and greatest: cents {cents:?}, of bars {of_bars:?}; per cent: {whole:?} {first:?} {ring:?}"
    );
    assert!(cents.2 >= 30 && cents.0 < 1.0 && of_bars.2 >= 17 && of_bars.1 < 5.0, "{cents:?}, {of_bars:?}");
    // The noise of the recordings, which we take off and they do not, makes theirs brighter.
    assert!(whole.2 >= 20 && whole.0 < 4.0 && first.2 >= 30 && first.0 < 1.0, "{whole:?}, {first:?}");
    assert!(ring.2 >= 15 && ring.0 < 1.0, "{ring:?}");
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
