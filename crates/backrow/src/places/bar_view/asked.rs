//! The answer to a written note: its bar, or why there is none and what helps.

use super::Shown;
use backrow_core::collection::{BarPlace, Layout, Row, bar_place};
use backrow_core::days::Days;
use backrow_core::id::listed;
use backrow_core::library::Library;
use backrow_core::pitch::{KeyNumber, Reading, Spelled, helmholtz, parse_helmholtz, parse_note};

/// What is known of the note that was asked for.
#[derive(Clone, Debug, Default)]
pub(super) struct Asked {
    /// By its written name, moved by octaves.
    pub(super) sounding: Option<Spelled>,
    pub(super) hz: Option<f64>,
    pub(super) place: Option<BarPlace>,
    /// What stands large: "Upper row", "no bar here".
    pub(super) head: String,
    /// Beneath: the group, the count; or who has it.
    pub(super) lines: Vec<String>,
    /// Nothing to strike.
    pub(super) missing: bool,
}

impl Asked {
    /// The key that sounds.
    pub(super) fn key(&self) -> Option<KeyNumber> {
        self.sounding.map(Spelled::key)
    }
}

/// Works the answer out. An empty text asks nothing.
pub(super) fn asked(
    library: &Library,
    shown: &Shown,
    (text, reading): (&str, Reading),
    note: Option<(Spelled, KeyNumber)>,
) -> Asked {
    let said = |head: &str, line: String, missing| Asked {
        head: head.to_owned(),
        lines: vec![line],
        missing,
        ..Asked::default()
    };
    if let Some((written, sounding)) = note {
        return answer(library, shown, written, sounding);
    }
    if text.trim().is_empty() {
        return said("Type a written note", "such as F#5 or Bb3; or click a bar".to_owned(), false);
    }
    match parse_note(text, reading).or_else(|why| parse_helmholtz(text).map_err(|_also| why)) {
        Err(why) => said("no note", why.to_string(), true),
        Ok(written) => match shown.octave.sounding(written) {
            Some(sounding) => answer(library, shown, written, sounding),
            None => said(
                "no bar here",
                format!("{written} would sound {}: beyond the keys", shown.octave.words()),
                true,
            ),
        },
    }
}

fn answer(library: &Library, shown: &Shown, written: Spelled, sounding: KeyNumber) -> Asked {
    let hz = Some(library.orchestra.a.frequency(sounding).value());
    let mut answer = Asked { sounding: Some(written.moved_to(sounding)), hz, ..Asked::default() };
    // The plan knows which of several drums it is.
    let planned = shown.drums.as_ref().and_then(|drums| drums.lit);
    let planned = planned.map(|frame| BarPlace {
        frame,
        row: Row::Only,
        number: 1,
        of: 1,
        group: None,
        sounds: true,
        doubled: false,
    });
    match planned.or_else(|| bar_place(&shown.instrument, sounding)) {
        Some(place) => there(library.days(), shown, sounding, &mut answer, place),
        None => lacking(library, shown, sounding, &mut answer),
    }
    answer.lines.push(format!("written {} by octave marks", helmholtz(written)));
    answer
}

fn there(days: Days, shown: &Shown, sounding: KeyNumber, answer: &mut Asked, place: BarPlace) {
    let frame = shown.instrument.frames.get(place.frame);
    answer.head = match place.row {
        Row::Lower => "Lower row".to_owned(),
        Row::Upper => "Upper row".to_owned(),
        Row::Only if shown.instrument.layout == Layout::Drums => drum_head(shown, place.frame),
        Row::Only => format!("{} of {} from the left", ordinal(place.number), place.of),
    };
    if let Some(group) = &place.group {
        let of = if group.three { "three" } else { "two" };
        answer.lines.push(format!("{} of the group of {of}", ordinal(group.number)));
        answer.lines.push(format!("{} group of {of} from the low end", ordinal(group.group)));
    }
    if place.row != Row::Only {
        answer.lines.push(format!("{} of the {} bars in the row", ordinal(place.number), place.of));
    }
    if shown.instrument.layout == Layout::Drums {
        let (nth, of) = (ordinal(shown.place_from_left(place.frame)), shown.instrument.frames.len());
        let drum = if of > 1 { format!("{nth} of {of} drums from the left") } else { "the drum".to_owned() };
        answer.lines.extend(frame.map(|frame| format!("{drum}, range {}", frame.bars())));
        answer.lines.extend(drum_lines(shown, place.frame, sounding));
    } else if shown.instrument.frames.len() > 1
        && let Some(frame) = frame
    {
        let name =
            if frame.name.is_empty() { format!("frame {}", place.frame + 1) } else { frame.name.clone() };
        answer.lines.push(format!("on {name}"));
    }
    if place.doubled {
        answer.lines.push("there are two of these".to_owned());
    }
    if !place.sounds {
        let dead = frame.and_then(|frame| frame.dead.iter().find(|bar| bar.key == sounding));
        let since = dead
            .and_then(|bar| bar.since)
            .map_or_else(String::new, |day| format!(" since {}", days.day(day)));
        answer.head = format!("dead{since}");
        answer.lines.extend(dead.map(|bar| bar.why.clone()).filter(|why| !why.is_empty()));
        answer.missing = true;
    }
    answer.place = Some(place);
}

/// The drum by its size; by its place where it has no name.
fn drum_head(shown: &Shown, frame: usize) -> String {
    match shown.instrument.frames.get(frame).filter(|frame| !frame.name.is_empty()) {
        Some(frame) => frame.name.clone(),
        None => format!("{} drum", ordinal(shown.place_from_left(frame))),
    }
}

/// What the drums are tuned to now, what comes next to this one, and which other drums could have the pitch.
fn drum_lines(shown: &Shown, frame: usize, sounding: KeyNumber) -> Vec<String> {
    let name = |at: usize| shown.instrument.frames.get(at).map_or("", |frame| frame.name.as_str());
    let mut lines = Vec::new();
    if let Some(drums) = shown.drums.as_ref() {
        let now =
            drums.now.iter().enumerate().filter_map(|(at, key)| Some(format!("{} {}", name(at), (*key)?)));
        lines.push(format!("tuned now: {}", now.collect::<Vec<_>>().join(", ")));
        lines.extend(drums.next.clone());
    } else {
        lines.push("one pitch at a time; retuning takes time".to_owned());
    }
    let others = shown.instrument.frames.iter().enumerate();
    let others = others.filter(|(at, other)| *at != frame && other.compass().contains(sounding));
    let others: Vec<&str> = others.map(|(at, _)| name(at)).collect();
    if !others.is_empty() {
        lines.push(format!("also on {}", backrow_core::id::listed(&others)));
    }
    lines
}

fn lacking(library: &Library, shown: &Shown, sounding: KeyNumber, answer: &mut Asked) {
    answer.missing = true;
    "no bar here".clone_into(&mut answer.head);
    let bars = shown.instrument.bars();
    if let (Some(low), Some(high)) = (bars.lowest(), bars.highest()) {
        answer.lines.push(if sounding < low {
            format!("its lowest bar sounds {low}")
        } else if sounding > high {
            format!("its highest bar sounds {high}")
        } else {
            "there is no bar for this note".to_owned()
        });
    }
    let who = |of_kind: bool| -> Vec<&str> {
        let has = |thing: &&std::sync::Arc<backrow_core::collection::Instrument>| {
            (thing.kind == shown.instrument.kind) == of_kind && thing.compass().contains(sounding)
        };
        library.instruments.values().filter(has).map(|thing| thing.name.as_str()).take(2).collect()
    };
    let (same, other) = (who(true), who(false));
    let kind = library.kind_name(&shown.instrument.kind);
    if !same.is_empty() {
        let has = if same.len() == 1 { "has" } else { "have" };
        answer.lines.push(format!("{} {has} it", listed(&same)));
    } else if !other.is_empty() {
        let has = if other.len() == 1 { "has" } else { "have" };
        answer.lines.push(format!("no {kind} here has it; {} {has}", listed(&other)));
    } else {
        answer.lines.push(format!("nothing in the collection has it; hire a {kind} that does"));
    }
    for (by, words) in [
        (-12, "an octave lower"),
        (12, "an octave higher"),
        (-24, "two octaves lower"),
        (24, "two octaves higher"),
    ] {
        let Some(key) = sounding.up(by).filter(|key| shown.instrument.compass().contains(*key)) else {
            continue;
        };
        let bar = bar_place(&shown.instrument, key).map_or_else(String::new, |place| {
            let count = format!("{} of {}", ordinal(place.number), place.of);
            match place.row {
                Row::Lower => format!(": lower row, {count}"),
                Row::Upper => format!(": upper row, {count}"),
                Row::Only => format!(": {count} from the left"),
            }
        });
        answer.lines.push(format!("here {words}{bar}; ask the conductor"));
        break;
    }
}

/// 1st, 2nd, 3rd, 4th, 11th, 21st.
pub(super) fn ordinal(n: u32) -> String {
    let ending = match (n % 100, n % 10) {
        (11..=13, _) => "th",
        (_, 1) => "st",
        (_, 2) => "nd",
        (_, 3) => "rd",
        _ => "th",
    };
    format!("{n}{ending}")
}

#[cfg(test)]
mod tests {
    use super::ordinal;

    #[test]
    fn ordinals() {
        let said: Vec<String> = [1, 2, 3, 4, 11, 12, 13, 21, 102, 111].into_iter().map(ordinal).collect();
        assert_eq!(said.join(" "), "1st 2nd 3rd 4th 11th 12th 13th 21st 102nd 111th");
    }
}
