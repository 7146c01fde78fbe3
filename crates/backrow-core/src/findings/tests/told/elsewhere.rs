//! A note that is played on another instrument: the seconds there and back, by hand.

use super::*;
use crate::week::Instead;

/// The sample's xylophone line, C6 and E6 evenly from 0 to so many seconds, on a xylophone that ends at D6; E6 is played on another.
fn aside(seconds: f64, edits: Vec<Edit>) -> Library {
    let base = settled();
    let short = changed_thing(&base, "xylophone-1", |thing| {
        thing.frames[0].range = Some((key("F4"), key("D6")));
    });
    let other = Edit::PutInstrument(crate::sample::instrument("other", "xylophone", &["F4-C8"]));
    let longer = changed_line(&base, "xyl", |line| line.passages[0].to_s = seconds);
    let decide = Edit::Decide {
        programme: programme(),
        line: at("w", "xyl"),
        key: key("E6"),
        instead: Some(Instead::On(instrument("other"))),
    };
    edited(&base, [vec![short, other, longer, decide], edits].concat())
}

/// Strokes at 0 and 1 s; 2.0 m by default at 1.2 m/s and 1.0 s to settle need 2.667 s.
#[test]
fn too_few_seconds_to_a_note_elsewhere_are_told() {
    let finding = the(&aside(2.0, vec![]), "note-elsewhere");
    assert_eq!(finding.what, "1.7\u{202f}s short to other: Player a, Work w I, m. 1");
    assert_eq!(
        finding.why,
        "In Xylophone in Work w I E6 is played on other. 1.0\u{202f}s from stroke to stroke; 2.7\u{202f}s needed for 2.0\u{202f}m (assumed). When each note is struck is not known, so notes are taken to be even within their measures."
    );
    assert_eq!(
        finding.about,
        [About::Line(at("w", "xyl")), About::Instrument(instrument("other")), About::Player(player("a"))]
    );
}

/// 6 s make 3 s from stroke to stroke, which are enough; 5.3 s make 2.65 s.
#[rstest]
#[case(6.0, 0)]
#[case(5.3, 1)]
fn enough_seconds_are_none(#[case] seconds: f64, #[case] count: usize) {
    assert_eq!(whats(&aside(seconds, vec![]), "note-elsewhere").len(), count);
}

/// The floor replaces the default distance: from place to place 5.0 m take 5.167 s.
#[test]
fn the_way_on_the_floor_counts() {
    let hall = Edit::PutVenue(with_hall(|_| {}).venues.values().next().map(|hall| (**hall).clone()).unwrap());
    let stood = vec![hall, stand("xylophone-1", 1, -2.5, 4.0), stand("other", 2, 2.5, 4.0)];
    let finding = the(&aside(10.0, stood.clone()), "note-elsewhere");
    assert!(
        finding.why.contains("5.0\u{202f}s from stroke to stroke; 5.2\u{202f}s needed for 5.0\u{202f}m."),
        "{}",
        finding.why
    );
    assert_eq!(whats(&aside(10.4, stood), "note-elsewhere"), [""; 0]);
}

/// A note that is left out, or played an octave away, asks for no move; nor does one that the instrument has after all.
#[rstest]
#[case(Some(Instead::LeftOut))]
#[case(Some(Instead::Octaves(-1)))]
#[case(None)]
fn other_decisions_ask_for_no_move(#[case] instead: Option<Instead>) {
    let decide = Edit::Decide { programme: programme(), line: at("w", "xyl"), key: key("E6"), instead };
    assert_eq!(whats(&aside(2.0, vec![decide]), "note-elsewhere"), [""; 0]);
}
