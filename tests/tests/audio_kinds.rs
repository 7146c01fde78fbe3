//! Audio files of every kind that is read, written by general-purpose tools (`tests/audio/make.py`): the same strike is read from
//! each of them, a damaged one is told.

use backrow_files::sound::{ENDINGS, Recording, read, read_file};
use backrow_sound::{Analysed, analyse};
use proptest::prelude::*;
use rstest::rstest;
use std::path::PathBuf;

/// The strike of `make.py`: its rate, its samples, when it begins in seconds, its two partials in Hz.
const RATE_HZ: u32 = 16_000;
const SAMPLES: usize = 9_600;
const BEGINS_S: f64 = 0.1;
const PARTIALS_HZ: [f64; 2] = [880.0, 2425.0];

/// Every file, and by how much its sound begins late, in samples: an AAC stream does not say how much of its beginning is lead-in.
const FILES: [(&str, usize); 10] = [
    ("strike.wav", 0),
    ("strike.aiff", 0),
    ("strike.aifc", 0),
    ("strike.flac", 0),
    ("strike.caf", 0),
    ("strike.mp4", 0),
    ("strike.ogg", 0),
    ("strike.mp3", 0),
    ("strike.m4a", 1024),
    ("strike.aac", 1024),
];

fn path(file: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("audio").join(file)
}

fn bytes(file: &str) -> Vec<u8> {
    std::fs::read(path(file)).expect("a file of the tree")
}

fn only_strike(read: &Recording) -> Analysed {
    let mut all = analyse(&read.sound, f64::from(read.rate_hz));
    let begins: Vec<f64> = all.iter().map(|one| one.strike.from_s).collect();
    assert_eq!(begins.len(), 1, "strikes begin at {begins:?}");
    all.remove(0)
}

fn plain() -> Recording {
    read_file(&path("strike.wav")).expect("a file of the tree")
}

#[test]
fn every_ending_that_is_read_has_a_file_here() {
    let same = |ending: &str| match ending {
        "wave" => "wav",
        "aif" => "aiff",
        "oga" => "ogg",
        other => other.to_owned().leak(),
    };
    for ending in ENDINGS {
        let name = format!("strike.{}", same(ending));
        assert!(FILES.iter().any(|(file, _)| *file == name), "{name}");
    }
}

/// Without loss every sample is the one of the WAV file.
#[rstest]
#[case("strike.aiff")]
#[case("strike.aifc")]
#[case("strike.flac")]
#[case("strike.caf")]
#[case("strike.mp4")]
fn what_loses_nothing_is_read_sample_by_sample(#[case] file: &str) {
    let (read, plain) = (read_file(&path(file)).unwrap(), plain());
    assert_eq!((read.rate_hz, read.channels, read.cut_short), (RATE_HZ, 1, false));
    assert_eq!(plain.sound.len(), SAMPLES);
    assert!(read.sound == plain.sound, "{file}: samples differ");
}

/// The strike begins where it does, with its two partials to a fifth of a cent (without loss) or a cent, and falls as it does.
#[rstest]
#[case("strike.wav", 0.2)]
#[case("strike.aiff", 0.2)]
#[case("strike.aifc", 0.2)]
#[case("strike.flac", 0.2)]
#[case("strike.caf", 0.2)]
#[case("strike.mp4", 0.2)]
#[case("strike.ogg", 1.0)]
#[case("strike.mp3", 1.0)]
#[case("strike.m4a", 1.0)]
#[case("strike.aac", 1.0)]
fn the_same_strike_is_in_every_file(#[case] file: &str, #[case] within_cents: f64) {
    let read = read_file(&path(file)).unwrap();
    let (_, late) = FILES.iter().find(|(name, _)| *name == file).unwrap();
    assert_eq!((read.rate_hz, read.channels, read.clipped, read.cut_short), (RATE_HZ, 1, 0, false));
    let strike = only_strike(&read);
    let begins_s = BEGINS_S + *late as f64 / f64::from(RATE_HZ);
    // Lossy kinds let a little be heard before the strike (pre-echo): a quarter of a block and more, which is 64 ms long here.
    let within_s = match file {
        "strike.ogg" => 0.018,
        "strike.mp3" | "strike.m4a" | "strike.aac" => 0.008,
        _ => 0.001,
    };
    assert!((strike.strike.from_s - begins_s).abs() < within_s, "begins at {}", strike.strike.from_s);
    for (at, hz) in PARTIALS_HZ.into_iter().enumerate() {
        let heard = strike.measures.partials.get(at).expect("a partial");
        let cents = 1200.0 * (heard.hz / hz).log2();
        assert!(cents.abs() < within_cents, "{hz} Hz: {cents} cents");
    }
    let fall = strike.measures.partials[0].t60_s.unwrap();
    assert!((fall.value / 0.4 - 1.0).abs() < 0.02, "{fall:?}");
}

/// Lossy kinds have the length of the sound; a raw stream of AAC has whole blocks.
#[rstest]
#[case("strike.ogg", SAMPLES)]
#[case("strike.mp3", SAMPLES)]
#[case("strike.m4a", SAMPLES + 2048)]
#[case("strike.aac", SAMPLES + 2048)]
fn lossy_files_are_as_long_as_the_sound(#[case] file: &str, #[case] most: usize) {
    let length = read_file(&path(file)).unwrap().sound.len();
    assert!((SAMPLES..=most).contains(&length), "{file}: {length}");
}

/// Half a file is read so far and marked, or refused with a word; it is never taken for a whole one.
#[rstest]
#[case("strike.wav")]
#[case("strike.aiff")]
#[case("strike.aifc")]
#[case("strike.flac")]
#[case("strike.caf")]
#[case("strike.mp4")]
#[case("strike.ogg")]
#[case("strike.mp3")]
#[case("strike.m4a")]
#[case("strike.aac")]
fn half_a_file_is_told(#[case] file: &str) {
    let mut half = bytes(file);
    half.truncate(half.len() / 2 + 7);
    match read(file, half) {
        Ok(read) => {
            assert!(read.cut_short, "{file}: {} samples pass for a whole file", read.sound.len());
            assert!(read.sound.len() < SAMPLES);
        }
        Err(why) => assert!(why.code == "audio-file" && why.what.contains("ends too early"), "{why}"),
    }
}

/// A file whose head is lost is refused with a word, whatever its ending says.
#[rstest]
#[case("strike.wav")]
#[case("strike.aiff")]
#[case("strike.aifc")]
#[case("strike.caf")]
#[case("strike.mp4")]
#[case("strike.m4a")]
fn a_file_without_its_head_is_refused(#[case] file: &str) {
    let mut bytes = bytes(file);
    bytes.drain(..64);
    let why = read(file, bytes).unwrap_err();
    assert!(why.code == "audio-file" && why.remedy.contains("FLAC"), "{why}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    /// Changed bytes give a sound of finite samples or a word, never a panic; the ending says nothing that is believed blindly.
    #[test]
    fn changed_bytes_do_no_harm(
        which in 0..FILES.len(),
        ending in 0..ENDINGS.len() * 3,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..16),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let (file, _) = FILES[which];
        let mut bytes = bytes(file);
        for (at, value) in changes {
            let at = at.index(bytes.len());
            bytes[at] = value;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        let name = ENDINGS.get(ending).map_or_else(|| file.to_owned(), |ending| format!("take.{ending}"));
        if let Ok(read) = read(&name, bytes) {
            prop_assert!(!read.sound.is_empty() && read.sound.iter().all(|value| value.is_finite()));
        }
    }
}
