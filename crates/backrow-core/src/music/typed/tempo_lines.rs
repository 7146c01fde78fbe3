//! Tempo lines: measures, metre, tempo, holds, letters and words, to the measures as played and their seconds.

use super::{TypedError, measures};
use crate::music::{MeasureName, PlayedMeasure, TempoMark, Timeline};

/// The most measures that may be typed; a slip of the hand should not fill the memory.
const MOST_MEASURES: usize = 20_000;

/// One line, read.
struct Line {
    from: MeasureName,
    to: MeasureName,
    /// Quarter notes a measure, and the note that the metre counts.
    metre: Option<(f64, u32)>,
    /// Quarter notes a minute, and the note that they are counted in, quarter notes.
    tempo: Option<(f64, f64)>,
    /// Seconds held at the end.
    hold_s: f64,
    letter: Option<String>,
    words: String,
}

/// The measures as played: each line's in turn. A stretch that is repeated is typed once more.
///
/// # Errors
/// The first line that cannot be read, and what was expected.
pub fn parse_tempo(text: &str) -> Result<Timeline, TypedError> {
    let mut timeline = Timeline::default();
    let (mut metre, mut tempo) = (None, None);
    for (index, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
        let here = |error: TypedError| error.in_line(index + 1);
        let line = parse_line(line).map_err(here)?;
        let fresh = line.tempo;
        metre = line.metre.or(metre);
        tempo = fresh.map(|(quarters, _)| quarters).or(tempo);
        let (Some((metre, of)), Some(tempo)) = (metre, tempo) else {
            let what = "the first line needs a metre and a tempo: 1-64 4/4 1/4=112";
            return Err(here(TypedError::new(what)));
        };
        let names = names(&line).map_err(here)?;
        if timeline.measures.len() + names.len() > MOST_MEASURES {
            return Err(here(TypedError::new(format!("more than {MOST_MEASURES} measures"))));
        }
        if fresh.is_some() || line.letter.is_some() || !line.words.is_empty() {
            timeline.marks.push(TempoMark {
                measure: line.from.clone(),
                words: line.words,
                quarters_per_minute: fresh.map(|(quarters, _)| quarters),
                beat: fresh.map(|(_, beat)| beat).filter(|beat| (beat - 1.0).abs() > 1e-9),
                letter: line.letter,
            });
        }
        let start = timeline.end_s;
        let length = metre * 60.0 / tempo;
        for (nth, name) in names.into_iter().enumerate() {
            timeline.measures.push(PlayedMeasure {
                name,
                at_s: start + nth as f64 * length,
                quarters: metre,
                of,
            });
            timeline.end_s = start + (nth + 1) as f64 * length;
        }
        timeline.end_s += line.hold_s;
    }
    Ok(timeline)
}

/// Every measure of a line: numbers count up; a name with letters stands alone.
fn names(line: &Line) -> Result<Vec<MeasureName>, TypedError> {
    if line.from == line.to {
        return Ok(vec![line.from.clone()]);
    }
    let number = |name: &MeasureName| name.as_str().parse::<u32>().ok();
    let (Some(from), Some(to)) = (number(&line.from), number(&line.to)) else {
        return Err(TypedError::new(format!("{}-{}: a stretch counts in whole numbers", line.from, line.to)));
    };
    if from > to {
        return Err(TypedError::new(format!("measure {from} comes after {to}; the first comes first")));
    }
    if (to - from) as usize >= MOST_MEASURES {
        return Err(TypedError::new(format!("{from}-{to} is more than {MOST_MEASURES} measures")));
    }
    Ok((from..=to).map(MeasureName::from).collect())
}

fn parse_line(text: &str) -> Result<Line, TypedError> {
    let mut words = text.split_whitespace();
    let first = words.next().unwrap_or_default();
    let (from, to) = measures(first).ok_or_else(|| {
        TypedError::new(format!("\"{first}\": a line begins with its measures, such as 1-64 or 81"))
    })?;
    let mut line =
        Line { from, to, metre: None, tempo: None, hold_s: 0.0, letter: None, words: String::new() };
    let mut said: Vec<&str> = Vec::new();
    for word in words {
        if let Some((value, minute)) = word.split_once('=') {
            line.tempo = Some(tempo(value, minute)?);
        } else if let Some(metre) = fraction(word) {
            line.metre = Some((metre, lower(word)));
        } else if let Some(letter) = word.strip_prefix('[').and_then(|w| w.strip_suffix(']')) {
            line.letter = Some(letter.to_owned());
        } else if let Some(hold) = word.strip_prefix('+').and_then(|w| w.strip_suffix('s')) {
            line.hold_s = positive(hold)
                .ok_or_else(|| TypedError::new(format!("\"{word}\": a hold is typed +2.5s, in seconds")))?;
        } else {
            said.push(word);
        }
    }
    line.words = said.join(" ");
    Ok(line)
}

/// The lower figure of "6/8"; a dotted note is counted in its half.
fn lower(text: &str) -> u32 {
    let (plain, twice) = text.strip_suffix('.').map_or((text, 1), |plain| (plain, 2));
    let of = plain.split_once('/').and_then(|(_, of)| of.parse::<u32>().ok());
    of.map_or(PlayedMeasure::QUARTER, |of| of.saturating_mul(twice).min(64))
}

/// "4/4" or "1/4." in quarter notes.
fn fraction(text: &str) -> Option<f64> {
    let (plain, dots) = text.strip_suffix('.').map_or((text, 1.0), |plain| (plain, 1.5));
    let (count, of) = plain.split_once('/')?;
    let (count, of): (u32, u32) = (count.parse().ok()?, of.parse().ok()?);
    let fits = (1..=64).contains(&count) && of.is_power_of_two() && of <= 64;
    fits.then(|| f64::from(count) * 4.0 / f64::from(of) * dots)
}

fn tempo(value: &str, minute: &str) -> Result<(f64, f64), TypedError> {
    let expected = || {
        TypedError::new(format!(
            "\"{value}={minute}\": a tempo is typed 1/4=112, or 1/4.=56 for a dotted one"
        ))
    };
    let quarters = fraction(value).ok_or_else(expected)?;
    let minute = positive(minute).filter(|m| (1.0..=2000.0).contains(m)).ok_or_else(expected)?;
    Ok((quarters * minute, quarters))
}

fn positive(text: &str) -> Option<f64> {
    text.parse::<f64>().ok().filter(|value| value.is_finite() && *value > 0.0)
}

/// The lines that a timeline would be typed in; seconds come back to within a microsecond a measure.
pub fn tempo_text(timeline: &Timeline) -> String {
    let mut lines: Vec<String> = Vec::new();
    let mut before: Option<(String, String)> = None;
    let mut marks: Vec<&TempoMark> = timeline.marks.iter().collect();
    let mut beat = 1.0;
    let mut index = 0;
    while let Some(first) = timeline.measures.get(index) {
        let end = stretch_end(timeline, index, &marks);
        let last = timeline.measures.get(end - 1).map_or(&first.name, |m| &m.name);
        let mut words =
            vec![if *last == first.name { first.name.to_string() } else { format!("{}-{last}", first.name) }];
        let length = timeline.end_of(index) - first.at_s;
        if let Some(stated) =
            marks.iter().find(|m| m.measure == first.name && m.quarters_per_minute.is_some())
        {
            beat = stated.beat.filter(|beat| beat_text(*beat).is_some()).unwrap_or(1.0);
        }
        let said = (metre_text(first.quarters, first.of), tempo_words(first.quarters, length, beat));
        let old = before.as_ref();
        words.extend(old.is_none_or(|(metre, _)| *metre != said.0).then(|| said.0.clone()));
        words.extend(old.is_none_or(|(_, tempo)| *tempo != said.1).then(|| said.1.clone()));
        before = Some(said);
        if let Some(at) = marks.iter().position(|mark| mark.measure == first.name) {
            let mark = marks.remove(at);
            words.extend(Some(mark.words.clone()).filter(|words| !words.is_empty()));
            words.extend(mark.letter.as_ref().map(|letter| format!("[{letter}]")));
        }
        lines.push(words.join(" "));
        index = end;
    }
    lines.join("\n")
}

/// One past the last measure that goes on as the one at `start`: counting up, as long, and with no mark over it.
fn stretch_end(timeline: &Timeline, start: usize, marks: &[&TempoMark]) -> usize {
    let number = |at: usize| timeline.measures.get(at).and_then(|m| m.name.as_str().parse::<u32>().ok());
    let mut end = start + 1;
    while let Some(next) = timeline.measures.get(end) {
        let counts = number(end).is_some() && number(end) == number(end - 1).and_then(|n| n.checked_add(1));
        let marked = marks.iter().any(|mark| mark.measure == next.name);
        if !counts || marked || !goes_on(timeline, (start, end)) {
            break;
        }
        end += 1;
    }
    end
}

/// Whether the measure at `end` is as long as the stretch's, in quarters and seconds.
fn goes_on(timeline: &Timeline, (start, end): (usize, usize)) -> bool {
    let (Some(first), Some(next)) = (timeline.measures.get(start), timeline.measures.get(end)) else {
        return false;
    };
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    near(first.quarters, next.quarters)
        && first.of == next.of
        && near(timeline.end_of(end) - next.at_s, timeline.end_of(start) - first.at_s)
}

fn metre_text(quarters: f64, of: u32) -> String {
    for of in [of, 4_u32, 8, 16, 32, 64] {
        let count = quarters * f64::from(of) / 4.0;
        if (count - count.round()).abs() < 1e-9 {
            return format!("{:.0}/{of}", count.round());
        }
    }
    format!("{:.0}/64", (quarters * 16.0).round().max(1.0))
}

/// The tempo that makes a measure of so many quarters last so long, counted in that note.
fn tempo_words(quarters: f64, seconds: f64, beat: f64) -> String {
    let minute = if seconds > 0.0 { quarters * 60.0 / seconds } else { 120.0 };
    let (note, beat) = beat_text(beat).map_or_else(|| ("1/4".to_owned(), 1.0), |note| (note, beat));
    let text = format!("{:.7}", minute / beat);
    format!("{note}={}", text.trim_end_matches('0').trim_end_matches('.'))
}

/// "1/4", "1/4.", "1/2": a note as it is typed; `None` for a length that no single note has.
fn beat_text(quarters: f64) -> Option<String> {
    [1_u32, 2, 4, 8, 16, 32, 64].into_iter().find_map(|of| {
        let plain = 4.0 / f64::from(of);
        let is = |length: f64| (quarters - length).abs() < 1e-9;
        is(plain).then(|| format!("1/{of}")).or_else(|| is(plain * 1.5).then(|| format!("1/{of}.")))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    #[test]
    fn lines_become_measures_and_seconds() {
        let text = "1-2 4/4 1/4=120 Allegro [A]\n3 3/4\n4 1/4.=40 +2s\n1-2 4/4 1/4=60";
        let timeline = parse_tempo(text).unwrap();
        let at: Vec<(String, f64)> = timeline.measures.iter().map(|m| (m.name.to_string(), m.at_s)).collect();
        let names: Vec<&str> = at.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["1", "2", "3", "4", "1", "2"], "a repeat is typed once more");
        // 4 quarters at 120 last 2 s, 3 last 1.5 s; a dotted quarter at 40 is 60 quarters a minute: 3 s, and 2 s held.
        let seconds: Vec<f64> = at.iter().map(|(_, s)| *s).collect();
        assert_eq!(seconds, [0.0, 2.0, 4.0, 5.5, 10.5, 14.5]);
        assert!((timeline.end_s - 18.5).abs() < 1e-9);
        assert_eq!(
            timeline.marks.first().map(|m| (m.words.as_str(), m.letter.as_deref())),
            Some(("Allegro", Some("A")))
        );
    }

    /// A metre comes back as it was typed, though 6/8 and 3/4 are as long, and 2/2 and 4/4.
    #[rstest]
    #[case("1-8 6/8 1/4.=56", &[8])]
    #[case("1-8 3/4 1/4=56\n9-16 6/8", &[4, 8])]
    #[case("1-8 2/2 1/2=60\n9-12 4/4", &[2, 4])]
    #[case("1-8 9/16 1/8.=60", &[16])]
    fn the_metre_comes_back(#[case] text: &str, #[case] of: &[u32]) {
        let timeline = parse_tempo(text).unwrap();
        let mut counted: Vec<u32> = timeline.measures.iter().map(|measure| measure.of).collect();
        counted.dedup();
        assert_eq!(counted, of);
        let again = parse_tempo(&tempo_text(&timeline)).unwrap();
        let metres =
            |timeline: &Timeline| timeline.measures.iter().map(|m| (m.quarters, m.of)).collect::<Vec<_>>();
        assert_eq!(metres(&again), metres(&timeline), "{}", tempo_text(&timeline));
    }

    /// What was typed for a dotted beat is typed so when it is opened again.
    #[rstest]
    #[case("1-8 6/8 1/4.=56 Allegretto\n9-12 6/8 1/8=120")]
    #[case("1-8 2/2 1/2=60\n9-12 Più mosso")]
    #[case("1-8 4/4 1/4=120 [A]\n9-12 12/8 1/4.=80\n13-20 4/4 1/4=120")]
    fn the_beat_comes_back(#[case] text: &str) {
        let timeline = parse_tempo(text).unwrap();
        let again = tempo_text(&timeline);
        let minutes = |text: &str| {
            let words = text.split_whitespace().filter(|word| word.contains('='));
            words.map(str::to_owned).collect::<Vec<_>>()
        };
        assert_eq!(minutes(&again), minutes(text), "{again}");
        let marks = parse_tempo(&again).unwrap().marks;
        assert_eq!(
            marks.iter().map(|m| m.beat).collect::<Vec<_>>(),
            timeline.marks.iter().map(|m| m.beat).collect::<Vec<_>>()
        );
    }

    #[rstest]
    #[case("1-64", "needs a metre and a tempo")]
    #[case("1-4 4/4 1/4=120\nAllegro", "begins with its measures")]
    #[case("9-4 4/4 1/4=120", "the first comes first")]
    #[case("1-4 4/4 1/5=120", "1/4=112")]
    #[case("1-4 4/4 1/4=0", "1/4=112")]
    #[case("1-4 4/4 1/4=120 +xs", "+2.5s")]
    #[case("1-999999 4/4 1/4=120", "20000 measures")]
    fn errors_say_what_was_expected(#[case] text: &str, #[case] says: &str) {
        let error = parse_tempo(text).unwrap_err();
        assert!(error.what.contains(says), "{error}");
        assert_eq!(error.line, text.lines().count());
    }

    prop_compose! {
        fn line()(length in 1_u32..30, count in 1_u32..13, of in prop::sample::select(vec![4_u32, 8]), tempo in 30_u32..220)
            -> (u32, String) {
            (length, format!("{count}/{of} 1/4={tempo}"))
        }
    }

    proptest! {
        #[test]
        fn a_timeline_comes_back(lines in prop::collection::vec(line(), 1..6)) {
            let mut next = 1;
            let mut text = Vec::new();
            for (length, rest) in lines {
                text.push(format!("{next}-{} {rest}", next + length));
                next += length + 1;
            }
            let timeline = parse_tempo(&text.join("\n")).unwrap();
            let again = parse_tempo(&tempo_text(&timeline)).unwrap();
            prop_assert_eq!(again.measures.len(), timeline.measures.len());
            for (one, other) in timeline.measures.iter().zip(&again.measures) {
                prop_assert_eq!(&one.name, &other.name);
                prop_assert!((one.at_s - other.at_s).abs() < 1e-4, "{} {}", one.at_s, other.at_s);
                prop_assert!((one.quarters - other.quarters).abs() < 1e-9);
            }
        }
    }
}
