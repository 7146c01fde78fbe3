//! What is written is read again; what is no sound is refused with a word.

use super::*;
use proptest::prelude::*;
use rstest::rstest;

/// A sound whose samples 24 bits hold exactly.
fn sound(length: usize) -> Vec<f32> {
    (0..length).map(|i| ((i * 7919) % 16_777_216) as f32 / 8_388_608.0 - 1.0).collect()
}

#[rstest]
#[case(1)]
#[case(17)]
#[case(255)]
#[case(256)]
#[case(960)]
#[case(4096)]
#[case(4097)]
#[case(12_345)]
#[case(48_000)]
fn flac_is_read_again_sample_by_sample(#[case] length: usize) {
    let sound = sound(length);
    let is = read("take.flac", flac(&sound, 48_000, Depth::TwentyFour).unwrap()).unwrap();
    assert_eq!((is.rate_hz, is.channels, is.cut_short), (48_000, 1, false));
    assert_eq!(&is.sound[..length], &sound[..]);
    assert!(is.sound[length..].iter().all(|value| *value == 0.0) && is.sound.len() == length.max(256));
}

#[rstest]
#[case(Depth::Sixteen)]
#[case(Depth::TwentyFour)]
fn wav_is_read_again(#[case] depth: Depth) {
    for length in [1, 2, 999, 48_000] {
        let sound = sound(length);
        let is = read("take.wav", wav(&sound, 44_100, depth)).unwrap();
        assert_eq!((is.rate_hz, is.sound.len(), is.channels), (44_100, length, 1));
        let step = 1.0 / f32::from(2_u8).powi(i32::from(depth.bits()) - 1);
        assert!(is.sound.iter().zip(&sound).all(|(one, other)| (one - other).abs() <= step));
    }
}

#[test]
fn clipping_is_counted_and_values_beyond_full_scale_are_cut() {
    let is =
        read("a.wav", wav(&[0.0, 2.0, 2.0, 2.0, 0.5, -3.0, f32::NAN, 1.0], 48_000, Depth::Sixteen)).unwrap();
    assert_eq!(is.clipped, 2);
    assert!(is.sound.iter().all(|value| value.abs() <= 1.0) && is.sound[6] == 0.0);
}

#[test]
fn two_channels_become_their_mean() {
    // The head of a WAV of one channel, changed to two: each pair of samples is a frame.
    let mut bytes = wav(&[0.5, -0.25, 0.5, 0.5], 48_000, Depth::Sixteen);
    bytes[22] = 2;
    bytes[32] = 4;
    bytes[28..32].copy_from_slice(&(48_000_u32 * 4).to_le_bytes());
    let is = read("two.wav", bytes).unwrap();
    assert_eq!((is.channels, is.sound.as_slice()), (2, &[0.125, 0.5][..]));
}

#[test]
fn what_is_cut_short_is_read_so_far() {
    let whole = flac(&sound(48_000), 48_000, Depth::Sixteen).unwrap();
    let is = read("a.flac", whole[..whole.len() / 2].to_vec()).unwrap();
    assert!(is.cut_short && is.sound.len() > 10_000 && is.sound.len() < 40_000, "{}", is.sound.len());
}

#[rstest]
#[case("words.wav", b"this is no sound at all, only words in a file".to_vec())]
#[case("empty.flac", Vec::new())]
#[case("riff.wav", b"RIFF\x04\0\0\0WAVE".to_vec())]
#[case("head.flac", b"fLaC".to_vec())]
fn what_is_no_sound_is_refused_with_a_remedy(#[case] name: &str, #[case] bytes: Vec<u8>) {
    let why = read(name, bytes).unwrap_err();
    assert_eq!((why.code, why.place.as_str()), ("audio-file", name));
    assert!(why.remedy.contains("FLAC"), "{why}");
}

#[test]
fn a_file_that_is_not_there_is_told() {
    let why = read_file(std::path::Path::new("there/is/none.wav")).unwrap_err();
    assert!(why.what.contains("cannot be read") && why.place.ends_with("none.wav"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    /// Whatever stands in a file: a sound or a word, never a panic.
    #[test]
    fn damaged_files_do_no_harm(
        which in 0_usize..2,
        cut in 0_usize..4000,
        changes in prop::collection::vec((0_usize..4000, any::<u8>()), 0..12),
        name in prop::sample::select(vec!["a.wav", "a.flac", "a.mp3", "a.ogg", "a.m4a", "a.aiff", "a.caf", "a"]),
    ) {
        let sound = sound(3000);
        let mut bytes =
            if which == 0 { wav(&sound, 48_000, Depth::Sixteen) } else { flac(&sound, 48_000, Depth::Sixteen).unwrap() };
        bytes.truncate(bytes.len().saturating_sub(cut));
        for (at, value) in changes {
            if let Some(byte) = bytes.get_mut(at) {
                *byte = value;
            }
        }
        if let Ok(is) = read(name, bytes) {
            prop_assert!(!is.sound.is_empty() && is.sound.iter().all(|value| value.is_finite()));
        }
    }
}
