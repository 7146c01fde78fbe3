//! Files that are no score, or a broken or hostile one: each a message with file, line and remedy; never a panic.

mod score_made;

use backrow_files::score::{ReadError, ReadOptions, ScoreReading, read_score};
use rstest::rstest;
use score_made::{kinds, note, part, partwise, rest, struck, words};
use std::io::{Cursor, Write as _};
use zip::write::{SimpleFileOptions, ZipWriter};

fn try_read(bytes: &[u8]) -> Result<ScoreReading, ReadError> {
    read_score("bad.musicxml", bytes, &kinds(), &ReadOptions::default())
}

fn sound_score() -> String {
    let measures = [words("Triangel") + &struck(16), words("to Glsp.") + &note("F#5", 16), rest(16)];
    let measures: Vec<&str> = measures.iter().map(String::as_str).collect();
    partwise(&[part("Schlagzeug", &measures)])
}

/// A zip of these entries, as small as it gets.
fn packed(entries: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (path, bytes) in entries {
        writer.start_file(*path, SimpleFileOptions::default()).expect("a new entry");
        writer.write_all(bytes).expect("in memory");
    }
    writer.finish().expect("in memory").into_inner()
}

const CONTAINER: &[u8] =
    br#"<container><rootfiles><rootfile full-path="music/score.xml"/></rootfiles></container>"#;

#[rstest]
#[case::empty(b"", "empty")]
#[case::prose(b"Dear colleague, the parts are in the post.", "not-a-score")]
#[case::other_xml(b"<html><body/></html>", "not-a-score")]
#[case::cut_in_a_tag(b"<score-partwise><part-list><score-part id=", "broken-xml")]
#[case::cut_between_tags(b"<score-partwise><part-list></part-list>", "cut-off")]
#[case::crossed_tags(b"<score-partwise><part-list></score-partwise>", "broken-xml")]
#[case::no_measures(b"<score-partwise><part-list/></score-partwise>", "no-measures")]
#[case::zip_cut(b"PK\x03\x04 and nothing more", "broken-archive")]
#[case::midi_cut(b"MThd\x00\x00", "cut-off")]
#[case::midi_without_tracks(b"MThd\x00\x00\x00\x06\x00\x01\x00\x01\x00\x60", "cut-off")]
fn refused(#[case] bytes: &[u8], #[case] code: &str) {
    let error = try_read(bytes).expect_err("nothing to read");
    assert_eq!(error.0.code, code, "{error}");
    assert!(error.0.place.contains("bad.musicxml"), "{error}");
    assert!(!error.0.remedy.is_empty());
}

#[test]
fn a_broken_line_is_named() {
    let text = sound_score()
        .replace("</measure>\n<measure number=\"2\">", "</measure>\n<measure number=\"2\"></wrong>");
    let error = try_read(text.as_bytes()).expect_err("crossed tags");
    assert!(error.0.place.contains("line 2"), "{error}");
}

#[test]
fn entities_are_refused_and_not_expanded() {
    let laughs = "<!DOCTYPE score-partwise [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\">]>";
    let text = sound_score().replace("<score-partwise", &format!("{laughs}<score-partwise"));
    assert_eq!(try_read(text.as_bytes()).expect_err("entities").0.code, "entities");
    let outside = "<!DOCTYPE score-partwise [<!ENTITY x SYSTEM \"file:///etc/hostname\">]>";
    let text = sound_score().replace("<score-partwise", &format!("{outside}<score-partwise"));
    assert_eq!(try_read(text.as_bytes()).expect_err("entities").0.code, "entities");
    // An entity that nothing declares costs that sign.
    let text = sound_score().replace("Triangel", "Tri&nosuch;angel");
    let reading = try_read(text.as_bytes()).expect("the rest reads");
    assert!(reading.problems.iter().any(|p| p.code == "entity" && p.place.contains("line")));
}

#[test]
fn depth_is_bounded() {
    let deep = "<a>".repeat(100_000);
    let text = sound_score().replace("<note>", &format!("<note>{deep}"));
    assert_eq!(try_read(text.as_bytes()).expect_err("too deep").0.code, "too-deep");
}

#[test]
fn huge_attributes_and_texts_do_no_harm() {
    let attributes = " a=\"\"".repeat(200_000);
    let text = sound_score().replace("<measure number=\"2\"", &format!("<measure number=\"2\"{attributes}"));
    let text = text.replace("Triangel", &format!("Triangel {}", "x".repeat(1_000_000)));
    let reading = try_read(text.as_bytes()).expect("reads");
    assert_eq!(reading.measures, 3);
    let name = "9".repeat(100_000);
    let text = sound_score().replace("number=\"3\"", &format!("number=\"{name}\""));
    assert!(try_read(text.as_bytes()).is_ok());
}

#[test]
fn compressed_scores_are_read_and_bombs_are_not() {
    let score = sound_score();
    let whole = packed(&[("META-INF/container.xml", CONTAINER), ("music/score.xml", score.as_bytes())]);
    let reading = try_read(&whole).expect("a compressed score");
    assert_eq!(reading.lines.len(), 2);
    assert!(!reading.problems.iter().any(|p| p.code == "container"));

    let unlisted = packed(&[("music/score.xml", score.as_bytes())]);
    let reading = try_read(&unlisted).expect("the only score inside");
    assert!(reading.problems.iter().any(|p| p.code == "container"));
    assert_eq!(try_read(&packed(&[("a.txt", b"hello")])).expect_err("no score").0.code, "no-score-inside");

    for length in [whole.len() - 1, whole.len() / 2, 40, 5] {
        assert!(try_read(whole.get(..length).expect("shorter")).is_err(), "cut at {length}");
    }

    let zeros = vec![b' '; 64 << 20];
    let bomb = packed(&[("META-INF/container.xml", CONTAINER), ("music/score.xml", &zeros)]);
    assert!(bomb.len() < 200_000, "a bomb of {} bytes", bomb.len());
    assert_eq!(try_read(&bomb).expect_err("a bomb").0.code, "unpacks-too-large");
    // The same with a header that lies about the size.
    let mut lying = bomb.clone();
    let size = u32::try_from(zeros.len()).expect("fits").to_le_bytes();
    let mut from = 0;
    while let Some(at) = lying.get(from..).and_then(|rest| rest.windows(4).position(|window| window == size))
    {
        if let Some(field) = lying.get_mut(from + at..from + at + 4) {
            field.copy_from_slice(&1000_u32.to_le_bytes());
        }
        from += at + 4;
    }
    assert!(try_read(&lying).is_err());
}

#[test]
fn what_cannot_be_read_is_named_and_the_rest_goes_on() {
    let good = sound_score();
    let bad_step = good.replace("<step>F</step>", "<step>H</step>");
    let reading = try_read(bad_step.as_bytes()).expect("the rest reads");
    assert!(reading.problems.iter().any(|p| p.code == "note" && p.what.contains("m. 2")));
    assert_eq!(reading.lines.len(), 1);
    let bad_divisions = good.replace("<divisions>4<", "<divisions>none<");
    let reading = try_read(bad_divisions.as_bytes()).expect("the rest reads");
    assert!(reading.problems.iter().any(|p| p.code == "divisions"));
    let unlisted = good.replace("<part id=\"P1\">", "<part id=\"P7\">");
    let reading = try_read(unlisted.as_bytes()).expect("the rest reads");
    assert!(reading.problems.iter().any(|p| p.code == "part-unlisted"));
    assert_eq!(reading.lines.len(), 2);
}

#[test]
fn repeats_without_end_are_cut() {
    let back = "<barline><repeat direction=\"backward\" times=\"4000000000\"/></barline>";
    let measures = vec![struck(16) + back; 4];
    let measures: Vec<&str> = measures.iter().map(String::as_str).collect();
    let reading = try_read(partwise(&[part("Triangle", &measures)]).as_bytes()).expect("reads");
    assert!(reading.timeline.measures.len() <= 100_000);
}

/// A small file of format 1: a tempo, a broken time signature, a roll of notes on channel 10 and on a timpani channel.
fn midi() -> Vec<u8> {
    let mut track: Vec<u8> = Vec::new();
    track.extend([0, 0xFF, 0x51, 3, 0x07, 0xA1, 0x20]); // quarter = 120
    track.extend([0, 0xFF, 0x58, 1, 4]); // a time signature of one byte
    track.extend([0, 0xC0, 47]); // timpani
    for _ in 0..4 {
        track.extend([0, 0x99, 81, 90, 0x30, 0x89, 81, 0]);
        track.extend([0, 0x90, 45, 90, 0x30, 45, 0]);
    }
    track.extend([0, 0xFF, 0x2F, 0]);
    let mut file = b"MThd\x00\x00\x00\x06\x00\x01\x00\x01\x00\x60MTrk".to_vec();
    file.extend(u32::try_from(track.len()).expect("short").to_be_bytes());
    file.extend(track);
    file
}

#[test]
fn a_malformed_event_costs_that_event() {
    let reading = try_read(&midi()).expect("reads");
    let kinds: Vec<&str> = reading.lines.iter().map(score_made::kind_of).collect();
    assert_eq!(kinds, ["timpani", "triangle"]);
    assert!(reading.lines.iter().all(|line| line.passages.iter().map(|p| p.attacks).sum::<u32>() == 4));
    assert!(reading.problems.iter().any(|p| p.code == "midi-event" && p.what.contains("time signature")));
    assert!((reading.timeline.end_s - 2.0).abs() < 1e-6, "{}", reading.timeline.end_s);
}

/// Numbers that look random and are the same every time (a linear congruential generator, constants of Knuth's MMIX).
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % most.max(1)
    }
}

/// Changes a file in one to six places: bytes, cuts, doublings, numbers and words that matter to the reader.
fn mutated(bytes: &[u8], dice: &mut Dice) -> Vec<u8> {
    const PIECES: [&[u8]; 12] = [
        b"<chord/>",
        b"-1",
        b"99999999999",
        b"1e308",
        b"<backup><duration>9999</duration></backup>",
        b"</part>",
        b"&#0;",
        b"<repeat direction=\"backward\"/>",
        b"<sound dacapo=\"yes\"/>",
        b"<measure>",
        b"\xFF\x2F\x00",
        b"]]>",
    ];
    let mut out = bytes.to_vec();
    for _ in 0..=dice.below(5) {
        let at = dice.below(out.len());
        match dice.below(5) {
            0 => {
                if let Some(byte) = out.get_mut(at) {
                    *byte = u8::try_from(dice.below(256)).unwrap_or(0);
                }
            }
            1 => out.truncate(at.max(4)),
            2 => {
                let to = (at + dice.below(60)).min(out.len());
                out.drain(at..to);
            }
            3 => {
                let to = (at + dice.below(300)).min(out.len());
                let copy = out.get(at..to).unwrap_or_default().to_vec();
                let into = dice.below(out.len());
                out.splice(into..into, copy);
            }
            _ => {
                let piece = PIECES.get(dice.below(PIECES.len())).copied().unwrap_or_default();
                out.splice(at..at, piece.iter().copied());
            }
        }
        if out.is_empty() {
            out.push(b'<');
        }
    }
    out
}

/// The bounded run of the fuzz targets: a fixed number of changed files, the same every time, and no panic.
#[test]
fn changed_files_never_panic() {
    let kinds = kinds();
    let score = sound_score();
    let changes = include_str!("../scores/changes.musicxml");
    let seeds: [Vec<u8>; 4] = [
        score.clone().into_bytes(),
        changes.as_bytes().to_vec(),
        packed(&[("META-INF/container.xml", CONTAINER), ("music/score.xml", score.as_bytes())]),
        midi(),
    ];
    let mut dice = Dice(20_251_125);
    let (mut read, mut refused) = (0, 0);
    for round in 0..1600 {
        let seed = seeds.get(round % seeds.len()).expect("four seeds");
        let bytes = mutated(seed, &mut dice);
        match read_score("changed", &bytes, &kinds, &ReadOptions::default()) {
            Ok(reading) => {
                read += 1;
                assert!(reading.timeline.end_s.is_finite());
                assert!(
                    reading
                        .lines
                        .iter()
                        .flat_map(|c| &c.passages)
                        .all(|p| p.passage.to_s >= p.passage.from_s)
                );
            }
            Err(error) => {
                refused += 1;
                assert!(!error.0.what.is_empty() && !error.0.remedy.is_empty());
            }
        }
    }
    assert!(read > 100 && refused > 100, "{read} read, {refused} refused");
}
