//! From written to sounding: the usual conventions.

use super::{key, kind};
use backrow_core::pitch::{Octave, Reading, parse_note};
use rstest::rstest;

/// Sounding minus written, semitones; the last column says where, and whether it was read there.
#[rstest]
#[case("glockenspiel", 24, "Grove; an encyclopedia: written two octaves below sound; seen")]
#[case("crotales", 24, "Grove; an encyclopedia; seen")]
#[case("xylophone", 12, "several sources: written one octave below; seen")]
#[case("celesta", 12, "several sources; seen")]
#[case("handbells", 12, "an encyclopedia: sound one octave above; seen")]
#[case("song_bells", 12, "from memory")]
#[case("marimba", 0, "several sources: as sounding; seen")]
#[case("vibraphone", 0, "several sources; seen")]
#[case("tubular_bells", 0, "several sources; seen; an older view names them an octave higher")]
#[case("timpani", 0, "several sources; seen")]
fn usual_conventions(#[case] id: &str, #[case] semitones: i32, #[case] source: &str) {
    assert_eq!(kind(id).octave.map(Octave::semitones), Some(semitones), "{id}: {source}");
}

/// Where sources or composers do not agree, the table must not choose. Common practice, from memory, save where said.
#[rstest]
#[case("xylorimba", "at pitch in one table (seen), an octave low with some composers")]
#[case("almglocken", "written at pitch, an octave low or with 15ma clefs")]
#[case("tuned_gongs", "at pitch or an octave off")]
#[case("church_bells", "often written an octave or more above the bells that can be had")]
fn not_agreed(#[case] id: &str, #[case] why: &str) {
    assert_eq!(kind(id).octave, None, "{id}: {why}");
}

/// Written and sounding ends as sources print them.
#[rstest]
#[case::glockenspiel_low("glockenspiel", "G3", "G5", "an encyclopedia: written G3 to C6; seen")]
#[case::glockenspiel_high("glockenspiel", "C6", "C8", "the same")]
#[case::xylophone_safe("xylophone", "C4", "C5", "an orchestration lesson: written from C4; seen")]
#[case::xylophone_high("xylophone", "C7", "C8", "a school glossary: F3 to C7 written; seen")]
#[case::xylophone_low("xylophone", "F3", "F4", "the same")]
#[case::handbells(
    "handbells",
    "C4",
    "C5",
    "two handbell pages: bell C5 is written as middle C and sounds C5; seen"
)]
#[case::celesta("celesta", "C3", "C4", "a bell page: C3 to C7 of four octaves; seen")]
#[case::vibraphone("vibraphone", "F3", "F3", "an orchestration handbook; seen")]
fn printed_ends(#[case] id: &str, #[case] written: &str, #[case] sounding: &str, #[case] source: &str) {
    let octave = kind(id).octave.unwrap();
    let note = parse_note(written, Reading::English).unwrap();
    assert_eq!(octave.sounding(note), Some(key(sounding)), "{source}");
    assert_eq!(octave.written(key(sounding)), Some(note), "{source}");
}

/// German H is B natural and B is B flat (a sample-library page's tuning lists; seen).
#[test]
fn german_b_and_h() {
    let german = |name| parse_note(name, Reading::German).unwrap().key();
    assert_eq!(german("H3"), key("B3"));
    assert_eq!(german("B3"), key("Bb3"));
}
