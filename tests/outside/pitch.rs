//! Key numbers and frequencies.

use super::{key, rows};
use approx::assert_relative_eq;
use backrow_core::pitch::{Hertz, KeyNumber, ReferenceA};
use rstest::rstest;

/// Columns: key number, note, Hz at A4 = 440, Hz at A4 = 442. From the equal-temperament formula of the MIDI Tuning
/// Standard, f = A4 * 2^((n - 69) / 12); A4 = 440 Hz by ISO 16:1975 (from memory). Computed outside this program.
const PITCH: &str = include_str!("data/pitch.csv");

#[test]
fn the_pitch_table() {
    let a442 = ReferenceA::new(442.0).unwrap();
    let mut count = 0;
    for row in rows(PITCH) {
        let number: i32 = row[0].parse().unwrap();
        let here = KeyNumber::new(number).unwrap();
        assert_eq!(here, key(&row[1]), "{row:?}");
        for (a, hz) in [(ReferenceA::ISO_16, &row[2]), (a442, &row[3])] {
            let hz: f64 = hz.parse().unwrap();
            // The table has six places after the point.
            assert_relative_eq!(a.frequency(here).value(), hz, epsilon = 1e-6, max_relative = 0.0);
            let (near, cents) = a.nearest(Hertz::new(hz).unwrap()).unwrap();
            assert_eq!(near, here);
            assert!(cents.value().abs() < 1e-3);
        }
        count += 1;
    }
    assert_eq!(count, 73);
}

/// Numbers of the MIDI 1.0 specification's table; also by the Emacs Calc manual, "Musical Notes" (C-1 = 0, G9 = 127); seen.
#[rstest]
#[case("C-1", 0)]
#[case("C4", 60)]
#[case("A4", 69)]
#[case("C8", 108)]
#[case("G9", 127)]
fn key_numbers(#[case] note: &str, #[case] number: u8) {
    assert_eq!(key(note).number(), number);
}

/// Whole hertz as pages of physics and instruments print them, at A4 = 440; seen.
#[rstest]
#[case::glockenspiel_low("G5", 784.0, "HyperPhysics, glockenspiel")]
#[case::glockenspiel_high("C8", 4186.0, "HyperPhysics, glockenspiel")]
#[case::marimba_low("A2", 110.0, "HyperPhysics, marimba")]
#[case::marimba_high("C7", 2093.0, "HyperPhysics, marimba")]
#[case::marimba_five_octaves("C2", 65.0, "HyperPhysics, marimba")]
#[case::xylophone("F4", 349.0, "HyperPhysics, xylophone: it prints F3 beside 349 Hz, which is F4")]
fn printed_frequencies(#[case] note: &str, #[case] hz: f64, #[case] source: &str) {
    let ours = ReferenceA::ISO_16.frequency(key(note)).value();
    assert!((ours - hz).abs() <= 0.5, "{note}: {ours} Hz, {hz} by {source}");
}
