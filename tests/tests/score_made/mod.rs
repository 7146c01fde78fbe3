//! A small writer of MusicXML for tests: parts of measures, in the words of the format.

#![allow(dead_code, reason = "each test program uses its own share of this module")]

use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use backrow_files::score::{ReadLine, ReadOptions, ScoreReading, read_score};
use std::fmt::Write as _;

/// A part: its heading, and the inside of each of its measures.
pub(crate) struct Part {
    pub(crate) name: String,
    pub(crate) measures: Vec<String>,
}

/// A part of that heading; the first measure gets four divisions, 4/4 and quarter = 60 in front.
pub(crate) fn part(name: &str, measures: &[&str]) -> Part {
    let head = "<attributes><divisions>4</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>\
                <sound tempo=\"60\"/>";
    let measures = measures
        .iter()
        .enumerate()
        .map(|(at, inside)| if at == 0 { format!("{head}{inside}") } else { (*inside).to_owned() })
        .collect();
    Part { name: name.to_owned(), measures }
}

/// A whole partwise score.
pub(crate) fn partwise(parts: &[Part]) -> String {
    let mut out = head(parts, "score-partwise");
    for (at, part) in parts.iter().enumerate() {
        write!(out, "<part id=\"P{}\">", at + 1).expect("a String takes all");
        for (number, inside) in part.measures.iter().enumerate() {
            writeln!(out, "<measure number=\"{}\">{inside}</measure>", number + 1)
                .expect("a String takes all");
        }
        out.push_str("</part>");
    }
    out + "</score-partwise>"
}

/// The same score timewise.
pub(crate) fn timewise(parts: &[Part]) -> String {
    let mut out = head(parts, "score-timewise");
    let measures = parts.iter().map(|part| part.measures.len()).max().unwrap_or(0);
    for number in 0..measures {
        write!(out, "<measure number=\"{}\">", number + 1).expect("a String takes all");
        for (at, part) in parts.iter().enumerate() {
            let inside = part.measures.get(number).map_or("", String::as_str);
            writeln!(out, "<part id=\"P{}\">{inside}</part>", at + 1).expect("a String takes all");
        }
        out.push_str("</measure>");
    }
    out + "</score-timewise>"
}

fn head(parts: &[Part], root: &str) -> String {
    let mut out = format!("<?xml version=\"1.0\"?><{root} version=\"4.0\"><part-list>");
    for (at, part) in parts.iter().enumerate() {
        let name = part.name.replace('&', "&amp;").replace('<', "&lt;");
        write!(out, "<score-part id=\"P{}\"><part-name>{name}</part-name></score-part>", at + 1)
            .expect("a String takes all");
    }
    out + "</part-list>"
}

/// A pitched note: "F#5", "Bb3", "C4"; sixteenths.
pub(crate) fn note(name: &str, sixteenths: u32) -> String {
    with(name, sixteenths, "", "")
}

/// A pitched note with children before its pitch and after its duration.
pub(crate) fn with(name: &str, sixteenths: u32, before: &str, after: &str) -> String {
    let step = name.chars().next().expect("a letter");
    let alter = match name.chars().nth(1) {
        Some('#') => "<alter>1</alter>",
        Some('b') => "<alter>-1</alter>",
        _ => "",
    };
    let octave: String = name.chars().filter(|c| c.is_ascii_digit() || *c == '-').collect();
    format!(
        "<note>{before}<pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch>\
         <duration>{sixteenths}</duration>{after}</note>"
    )
}

/// An unpitched note.
pub(crate) fn struck(sixteenths: u32) -> String {
    format!(
        "<note><unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched>\
         <duration>{sixteenths}</duration></note>"
    )
}

/// A rest.
pub(crate) fn rest(sixteenths: u32) -> String {
    format!("<note><rest/><duration>{sixteenths}</duration></note>")
}

/// Words over the staff.
pub(crate) fn words(text: &str) -> String {
    format!("<direction><direction-type><words>{text}</words></direction-type></direction>")
}

/// A clef.
pub(crate) fn clef(sign: &str) -> String {
    format!("<attributes><clef><sign>{sign}</sign></clef></attributes>")
}

/// A transposition by octaves.
pub(crate) fn transpose(octaves: i32) -> String {
    format!(
        "<attributes><transpose><chromatic>0</chromatic><octave-change>{octaves}</octave-change></transpose></attributes>"
    )
}

/// The standard kinds.
pub(crate) fn kinds() -> Shared<KindId, Kind> {
    backrow_files::kinds::standard().expect("the kinds table")
}

/// The reading of a text that must be readable.
pub(crate) fn read(text: &str) -> ScoreReading {
    read_score("made.musicxml", text.as_bytes(), &kinds(), &ReadOptions::default()).expect("the score reads")
}

/// The ids of the kinds of all lines; "?" for an open one.
pub(crate) fn kinds_of(reading: &ScoreReading) -> Vec<&str> {
    reading.lines.iter().map(kind_of).collect()
}

/// The id of a line's kind; "?" for an open one.
pub(crate) fn kind_of(line: &ReadLine) -> &str {
    line.kind.as_ref().map_or("?", |kind| kind.as_str())
}

/// The measures in the order of playing, as printed.
pub(crate) fn order(reading: &ScoreReading) -> String {
    let names: Vec<&str> = reading.timeline.measures.iter().map(|m| m.name.as_str()).collect();
    names.join(" ")
}
