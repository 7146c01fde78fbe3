//! Frames as a line of text each, so that bars are typed as quickly as they are said.

use crate::dates::{self, Order};
use backrow_core::collection::{DeadBar, Frame, TunedBy};
use backrow_core::compass::PitchSet;
use backrow_core::pitch::{KeyNumber, Reading, parse_note};

/// What may be typed, for the hint under the field.
pub(super) const HINT: &str = "One line per frame: name: F4-C8, gaps C#8, doubled A5, extra E4, dead D7 (2026-09-09 cracked), order C5 E5 …; a drum: 29 in: F2-C3, hand screws, retunes in 15";

/// The text of some frames.
pub(super) fn text_of(frames: &[Frame]) -> String {
    frames.iter().map(line_of).collect::<Vec<_>>().join("\n")
}

fn ascii(key: KeyNumber) -> String {
    backrow_core::pitch::Spelled::usual(key).ascii()
}

/// "D7 (2026-09-09 cracked at the cord hole)".
fn dead_text(bar: &DeadBar) -> String {
    let since = bar.since.map(|day| day.to_string());
    let why = Some(bar.why.replace(['(', ')'], " ")).filter(|why| !why.trim().is_empty());
    let said: Vec<String> = since.into_iter().chain(why).collect();
    let key = ascii(bar.key);
    if said.is_empty() { key } else { format!("{key} ({})", said.join(" ")) }
}

fn line_of(frame: &Frame) -> String {
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
        parts.push(format!("dead {}", frame.dead.iter().map(dead_text).collect::<Vec<_>>().join(" ")));
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

/// Reads the lines, days in that order. An error names the line and what was expected.
pub(super) fn frames_of(text: &str, order: Order) -> Result<Vec<Frame>, String> {
    let lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    lines.map(|(at, line)| frame_of(line, order).map_err(|why| format!("line {}: {why}", at + 1))).collect()
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

fn frame_of(line: &str, order: Order) -> Result<Frame, String> {
    // A colon within the brackets of a dead bar names no frame.
    let named = line.split_once(':').filter(|(name, _)| !name.contains('('));
    let (name, rest) = named.unwrap_or(("", line));
    let mut frame = Frame { name: name.trim().to_owned(), ..Frame::default() };
    for part in parts(rest).iter().map(|part| part.trim()).filter(|part| !part.is_empty()) {
        let (word, notes) = part.split_once(' ').unwrap_or((part, ""));
        match word {
            "gaps" => frame.gaps = keys(notes)?.into_iter().collect(),
            "doubled" => frame.doubled = keys(notes)?.into_iter().collect(),
            "extra" => frame.extra = keys(notes)?.into_iter().collect(),
            "order" => frame.order = keys(notes)?,
            "dead" => frame.dead = dead_bars(notes, order)?,
            "hand" | "pedal" if matches!(part, "hand screws" | "pedal") => {
                frame.tuned_by = if word == "pedal" { TunedBy::Pedal } else { TunedBy::HandScrews };
            }
            "retunes" => frame.retune_s = Some(retune_s(notes)?),
            _ => frame.range = Some(range(part)?),
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
    let seconds: Option<f64> = backrow_core::numbers::typed(number).filter(|s| (0.1..=300.0).contains(s));
    seconds
        .ok_or_else(|| format!("\"retunes {text}\" does not say how many seconds; expected: retunes in 15"))
}

/// Notes, each with a date and a reason in brackets if they are known.
fn dead_bars(text: &str, order: Order) -> Result<Vec<DeadBar>, String> {
    let mut out: Vec<DeadBar> = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        if let Some(said) = rest.strip_prefix('(') {
            let (said, after) = said
                .split_once(')')
                .ok_or_else(|| format!("\"({said}\" is not closed: end the note on a dead bar with )"))?;
            let bar = out.last_mut().ok_or("the note of a dead bar comes before the brackets")?;
            let (since, why) = match dates::first_day(said, dates::today(), dates::today(), order) {
                Some((day, why)) => (Some(day), why),
                None => (None, said),
            };
            (bar.since, bar.why) = (since, why.trim().to_owned());
            rest = after.trim_start();
        } else {
            let end = rest.find([' ', '(']).unwrap_or(rest.len());
            let (note, after) = rest.split_at_checked(end).unwrap_or((rest, ""));
            let key = parse_note(note, Reading::English).map_err(|why| why.to_string())?.key();
            out.push(DeadBar { key, since: None, why: String::new() });
            rest = after.trim_start();
        }
    }
    Ok(out)
}

fn range(text: &str) -> Result<(KeyNumber, KeyNumber), String> {
    let expected = || format!("\"{text}\" is not a range; expected lowest-highest, sounding, such as F4-C8");
    let cut = text.char_indices().skip(1).find(|(at, c)| {
        let after_digit = text.get(..*at).is_some_and(|head| head.ends_with(|c: char| c.is_ascii_digit()));
        matches!(c, '-' | '–') && after_digit
    });
    let (at, dash) = cut.ok_or_else(expected)?;
    let (low, high) =
        (text.get(..at).ok_or_else(expected)?, text.get(at + dash.len_utf8()..).ok_or_else(expected)?);
    let note = |text: &str| {
        parse_note(text, Reading::English)
            .map(backrow_core::pitch::Spelled::key)
            .map_err(|why| why.to_string())
    };
    let (low, high) = (note(low)?, note(high)?);
    if low > high {
        return Err(format!("{low} lies above {high}; the lowest bar comes first"));
    }
    Ok((low, high))
}

fn keys(text: &str) -> Result<Vec<KeyNumber>, String> {
    text.split_whitespace()
        .map(|note| {
            parse_note(note, Reading::English)
                .map(backrow_core::pitch::Spelled::key)
                .map_err(|why| why.to_string())
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("F4-C8")]
    #[case("low: C6-C7, gaps C#6 D6, dead A6")]
    #[case("F4-C8, dead D7 (2026-09-09 cracked, at the cord hole) E4 A5 (buzzes: rail)")]
    #[case("F4-C8, gaps G4, doubled A5, extra E4\nhigh: C8-F8")]
    #[case("extra C5 E5 G5, order G5 C5 E5")]
    fn what_is_typed_comes_back(#[case] text: &str) {
        assert_eq!(text_of(&frames_of(text, Order::DayFirst).unwrap()), text);
    }

    #[rstest]
    #[case("F4-C8, dead D7 (9 Sep 2026 cracked)", Order::DayFirst)]
    #[case("F4-C8, dead D7 (9.9.2026 cracked)", Order::DayFirst)]
    #[case("F4-C8, dead D7 (Sep 9, 2026 cracked)", Order::MonthFirst)]
    fn a_dead_bar_takes_a_day_as_services_do(#[case] text: &str, #[case] order: Order) {
        let read = frames_of(text, order).unwrap();
        assert_eq!(text_of(&read), "F4-C8, dead D7 (2026-09-09 cracked)");
    }

    #[rstest]
    #[case("F4", "line 1")]
    #[case("F4-C8, dead D7 (cracked", "is not closed")]
    #[case("F4-C8, dead (cracked) D7", "comes before the brackets")]
    #[case("C8-F4", "lowest bar comes first")]
    #[case("F4-C8\nG9-H9", "line 2")]
    #[case("extra C5 E5, order C5", "every bar once")]
    #[case("extra C5 E5, order C5 C5 E5", "every bar once")]
    fn errors_say_where_and_what(#[case] text: &str, #[case] says: &str) {
        assert!(frames_of(text, Order::DayFirst).unwrap_err().contains(says));
    }
}
