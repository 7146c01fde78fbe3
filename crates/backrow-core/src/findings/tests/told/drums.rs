//! Timpani that cannot be retuned in time.

use super::*;

/// The sample with the xylophone's line turned into one of timpani, a note a second, on drums of these ranges.
pub(super) fn timpani(notes: &str, drums: &[&str], screws: bool) -> Library {
    let mut kind = crate::sample::kind("timpani", crate::collection::Pitched::Yes, None);
    kind.family = Family::Timpani;
    kind.layout = crate::collection::Layout::Drums;
    let mut set = crate::sample::instrument("set", "timpani", drums);
    set.layout = crate::collection::Layout::Drums;
    for (nth, frame) in set.frames.iter_mut().enumerate() {
        frame.name = format!("{} in", 29 - 3 * nth);
        if screws {
            frame.tuned_by = crate::collection::TunedBy::HandScrews;
        }
    }
    let mut line = crate::sample::line("xyl", Some("timpani"), crate::pitch::Octave::AS_WRITTEN, notes);
    let passage = &mut line.passages[0];
    let count = u32::try_from(passage.notes.len()).unwrap();
    for (at, note) in (1..=count).zip(&mut passage.notes) {
        note.measure = MeasureName::from(at);
    }
    passage.to = MeasureName::from(count);
    passage.to_s = f64::from(count);
    let base = edited(&settled(), vec![Edit::PutKind(kind), Edit::PutInstrument(set)]);
    edited(&base, vec![Edit::PutLine { work: WorkId::new("w").unwrap(), line }, play_on("xyl", &["set"])])
}

pub(super) const PAIR: &[&str] = &["F2-C3", "A#2-F3"];

/// A pair with hand screws has no second for D3 between two G2: the line does not go, and says where and that moments are
/// guessed.
#[test]
fn drums_that_cannot_be_retuned_in_time() {
    assert_eq!(whats(&timpani("C3 G2 C3 G2", PAIR, true), "no-tuning"), [""; 0]);
    let finding = the(&timpani("C3 G2 D3 G2 C3", PAIR, true), "no-tuning");
    // D3 and C3 are on the higher drum alone, within two seconds of each other; G2 is on the lower.
    assert_eq!((finding.what.as_str(), finding.degree), ("Timpani has too few drums", Degree::Clash));
    assert!(finding.why.starts_with("Timpani in Work w I: "), "{}", finding.why);
    assert!(finding.why.ends_with("even within their measures."), "{}", finding.why);
    assert_eq!(finding.about, [About::Line(at("w", "xyl")), About::Instrument(instrument("set"))]);
}

#[test]
fn a_drum_that_is_retuned_under_the_others_is_heard() {
    let finding = the(&timpani("C3 G2 G2 G2 G2 D3 G2", PAIR, false), "heard-tuning");
    assert_eq!(finding.what, "Timpani retunes a drum while others are struck");
    assert_eq!(
        finding.why,
        "Timpani in Work w I: The 26 in, mm.\u{a0}2–6: from C3 to D3 in 4.0\u{202f}s, while other drums are struck. When each note is struck is not known, so notes are taken to be even within their measures."
    );
    // In a rest of all drums nobody hears it: three seconds without a note before D3.
    let mut quiet = timpani("C3 G2 G2 G2 G2 D3 G2", PAIR, false);
    let edit = changed_line(&quiet, "xyl", |line| {
        line.passages[0].notes.retain(|note| note.measure.number().is_none_or(|n| n == 1 || n > 5));
    });
    quiet = edited(&quiet, vec![edit]);
    assert_eq!(whats(&quiet, "heard-tuning"), [""; 0]);
    let twice = the(&timpani("C3 G2 G2 G2 G2 D3 G2 G2 G2 G2 C3 G2", PAIR, false), "heard-tuning");
    assert_eq!(twice.what, "Timpani retunes drums 2 times while others are struck");
}

#[test]
fn a_pitch_that_is_fixed_to_no_drum_of_the_line_is_told() {
    let base = timpani("C3 G2 C3 G2", PAIR, false);
    let pin = |drum: &str| Edit::PinDrum {
        programme: programme(),
        line: at("w", "xyl"),
        key: key("G2"),
        on: Some((instrument("set"), drum.to_owned())),
    };
    assert_eq!(whats(&edited(&base, vec![pin("29 in")]), "drum-not-there"), [""; 0]);
    let finding = the(&edited(&base, vec![pin("40 in")]), "drum-not-there");
    assert_eq!(finding.what, "Timpani: G2 is fixed to a drum that is not there");
    assert_eq!(finding.why, "Timpani in Work w I: the line has no drum 40 in.");
}

/// Fixed to a drum that does not reach it, a pitch is on none; without that, what nothing reaches is told as lacking alone.
#[test]
fn a_pitch_that_its_drum_does_not_reach() {
    let base = timpani("C3 G2 C3 G2", PAIR, false);
    let pin = Edit::PinDrum {
        programme: programme(),
        line: at("w", "xyl"),
        key: key("G2"),
        on: Some((instrument("set"), "26 in".to_owned())),
    };
    assert_eq!(the(&edited(&base, vec![pin]), "no-tuning").what, "Timpani cannot be tuned");
    let beyond = timpani("C3 G4", PAIR, false);
    assert_eq!((whats(&beyond, "no-tuning"), whats(&beyond, "lacks-notes").len()), (vec![], 1));
}
