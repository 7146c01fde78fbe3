//! Frames as a line of text each, so that bars are typed as quickly as they are said: in the form of an instrument and in tables.

use super::{DeadBar, Frame, TunedBy};
use crate::compass::PitchSet;
use crate::pitch::{KeyNumber, Reading, Spelled, parse_note};
use jiff::civil::Date;

/// The text of some frames, which [`frames_in`] reads, with days as somebody writes them.
pub fn frames_text(frames: &[Frame], day: &dyn Fn(Date) -> String) -> String {
    frames.iter().map(|frame| line_of(frame, day)).collect::<Vec<_>>().join("\n")
}

fn ascii(key: KeyNumber) -> String {
    Spelled::usual(key).ascii()
}

/// "D7 (2026-09-09 cracked at the cord hole)".
fn dead_text(bar: &DeadBar, day: &dyn Fn(Date) -> String) -> String {
    let since = bar.since.map(day);
    let why = Some(bar.why.replace(['(', ')', '\n'], " ")).filter(|why| !why.trim().is_empty());
    let said: Vec<String> = since.into_iter().chain(why).collect();
    let key = ascii(bar.key);
    if said.is_empty() { key } else { format!("{key} ({})", said.join(" ")) }
}

fn line_of(frame: &Frame, day: &dyn Fn(Date) -> String) -> String {
    let keys = |keys: &mut dyn Iterator<Item = KeyNumber>| keys.map(ascii).collect::<Vec<_>>().join(" ");
    let mut parts = Vec::new();
    if let Some((low, high)) = frame.range {
        parts.push(format!("{}-{}", ascii(low), ascii(high)));
    }
    for (word, set) in [("gaps", frame.gaps), ("doubled", frame.doubled), ("extra", frame.extra)] {
        if !set.is_empty() {
            parts.push(format!("{word} {}", keys(&mut set.iter())));
        }
    }
    if !frame.dead.is_empty() {
        let dead: Vec<String> = frame.dead.iter().map(|bar| dead_text(bar, day)).collect();
        parts.push(format!("dead {}", dead.join(" ")));
    }
    if !frame.order.is_empty() {
        parts.push(format!("order {}", keys(&mut frame.order.iter().copied())));
    }
    if frame.tuned_by == TunedBy::HandScrews {
        parts.push(frame.tuned_by.word().to_owned());
    }
    if let Some(seconds) = frame.retune_s {
        parts.push(format!("retunes in {seconds}"));
    }
    let line = parts.join(", ");
    if frame.name.is_empty() { line } else { format!("{}: {line}", frame.name) }
}

/// How a text of frames is read.
#[derive(Clone, Copy)]
pub struct FramesRead<'a> {
    /// The language of its notes.
    pub notes: Reading,
    /// The day with which a text begins, and what follows it.
    pub first_day: &'a dyn for<'t> Fn(&'t str) -> Option<(Date, &'t str)>,
}

/// Reads the lines, one a frame: "low: F4-C8, gaps C#8, doubled A5, extra E4, dead D7 (2026-09-09 cracked), order C5 E5".
///
/// # Errors
/// Which line, and what was expected.
pub fn frames_in(text: &str, read: FramesRead<'_>) -> Result<Vec<Frame>, String> {
    let lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    lines.map(|(at, line)| frame_in(line, read).map_err(|why| format!("line {}: {why}", at + 1))).collect()
}

/// The parts between commas; a comma within brackets parts nothing.
fn parts(text: &str) -> Vec<String> {
    let mut depth = 0_usize;
    let mut out = vec![String::new()];
    for c in text.chars() {
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            ',' if depth == 0 => {
                out.push(String::new());
                continue;
            }
            _ => {}
        }
        if let Some(last) = out.last_mut() {
            last.push(c);
        }
    }
    out
}

/// Reads one line.
///
/// # Errors
/// What was expected.
pub fn frame_in(line: &str, read: FramesRead<'_>) -> Result<Frame, String> {
    // A colon within the brackets of a dead bar names no frame.
    let named = line.split_once(':').filter(|(name, _)| !name.contains('('));
    let (name, rest) = named.unwrap_or(("", line));
    let mut frame = Frame { name: name.trim().to_owned(), ..Frame::default() };
    for part in parts(rest).iter().map(|part| part.trim()).filter(|part| !part.is_empty()) {
        let (word, notes) = part.split_once(' ').unwrap_or((part, ""));
        match word {
            "gaps" => frame.gaps = keys(notes, read)?.into_iter().collect(),
            "doubled" => frame.doubled = keys(notes, read)?.into_iter().collect(),
            "extra" => frame.extra = keys(notes, read)?.into_iter().collect(),
            "order" => frame.order = keys(notes, read)?,
            "dead" => frame.dead = dead_bars(notes, read)?,
            "hand" | "pedal" if matches!(part, "hand screws" | "pedal") => {
                frame.tuned_by = if word == "pedal" { TunedBy::Pedal } else { TunedBy::HandScrews };
            }
            "retunes" => frame.retune_s = Some(retune_s(notes)?),
            _ if frame.range.is_some() => {
                return Err(format!(
                    "\"{part}\" is a second range; a frame has one, and further bars stand after extra"
                ));
            }
            _ => frame.range = Some(range(part, read)?),
        }
    }
    let ordered: PitchSet = frame.order.iter().copied().collect();
    let all = u32::try_from(frame.order.len()) == Ok(frame.bars().len());
    if !frame.order.is_empty() && (ordered != frame.bars() || !all) {
        return Err(format!("the order must name every bar once: {}", frame.bars()));
    }
    Ok(frame)
}

/// "in 15", with or without the unit.
fn retune_s(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_start_matches("in").trim_end_matches('s').trim();
    let seconds: Option<f64> = crate::numbers::typed(number).filter(|s| (0.1..=300.0).contains(s));
    seconds
        .ok_or_else(|| format!("\"retunes {text}\" does not say how many seconds; expected: retunes in 15"))
}

/// Notes, each with a date and a reason in brackets if they are known.
fn dead_bars(text: &str, read: FramesRead<'_>) -> Result<Vec<DeadBar>, String> {
    let mut out: Vec<DeadBar> = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        if let Some(said) = rest.strip_prefix('(') {
            let (said, after) = said
                .split_once(')')
                .ok_or_else(|| format!("\"({said}\" is not closed: end the note on a dead bar with )"))?;
            let bar = out.last_mut().ok_or("the note of a dead bar comes before the brackets")?;
            let (since, why) = match (read.first_day)(said) {
                Some((day, why)) => (Some(day), why),
                None => (None, said),
            };
            (bar.since, bar.why) = (since, why.trim().to_owned());
            rest = after.trim_start();
        } else {
            let end = rest.find([' ', '(']).unwrap_or(rest.len());
            let (note, after) = rest.split_at_checked(end).unwrap_or((rest, ""));
            let key = key_of(note, read)?;
            out.push(DeadBar { key, since: None, why: String::new() });
            rest = after.trim_start();
        }
    }
    Ok(out)
}

fn range(text: &str, read: FramesRead<'_>) -> Result<(KeyNumber, KeyNumber), String> {
    let expected = || format!("\"{text}\" is not a range; expected lowest-highest, sounding, such as F4-C8");
    let cut = text.char_indices().skip(1).find(|(at, c)| {
        let after_digit = text.get(..*at).is_some_and(|head| head.ends_with(|c: char| c.is_ascii_digit()));
        matches!(c, '-' | '–') && after_digit
    });
    let (at, dash) = cut.ok_or_else(expected)?;
    let (low, high) =
        (text.get(..at).ok_or_else(expected)?, text.get(at + dash.len_utf8()..).ok_or_else(expected)?);
    let (low, high) = (key_of(low, read)?, key_of(high, read)?);
    if low > high {
        return Err(format!("{low} lies above {high}; the lowest bar comes first"));
    }
    Ok((low, high))
}

fn key_of(note: &str, read: FramesRead<'_>) -> Result<KeyNumber, String> {
    parse_note(note, read.notes).map(Spelled::key).map_err(|why| why.to_string())
}

fn keys(text: &str, read: FramesRead<'_>) -> Result<Vec<KeyNumber>, String> {
    text.split_whitespace().map(|note| key_of(note, read)).collect()
}
