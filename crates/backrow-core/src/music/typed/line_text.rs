//! A line in one line: instrument, stretches with their notes, beaters, printed part.

use super::{TypedError, measures};
use crate::id::{KindId, LineId, MovementId};
use crate::music::{Degree, Dynamics, Line, LineNote, MeasureName, Passage, Timeline, UnpitchedNote};
use crate::pitch::{Octave, Reading, Spelled, parse_note};
use std::collections::BTreeMap;

/// The most strokes of one note that may be typed.
const MOST_STROKES: u32 = 1_000_000;

/// A line as typed.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct TypedLine {
    /// The instrument, as the part prints it or in any language.
    pub name: String,
    /// Sounding above written; the kind's usual convention when it is not said.
    pub octave: Option<Octave>,
    /// In the order of time.
    pub stretches: Vec<Stretch>,
    /// Beaters in words.
    pub beaters: Vec<String>,
    /// The printed part.
    pub part: String,
}

/// A stretch of a line as typed: one passage.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// First measure.
    pub from: MeasureName,
    /// Last measure.
    pub to: MeasureName,
    /// From and to in seconds of the movement; by the tempo lines when it is not said.
    pub seconds: Option<(f64, f64)>,
    /// Written notes, their shift in semitones on top of the convention, and how often each is struck.
    pub notes: Vec<(Spelled, i8, u32)>,
    /// Strokes without pitch, by name.
    pub strokes: Vec<UnpitchedNote>,
    /// "p-ff".
    pub dynamics: Option<Dynamics>,
}

/// Reads the line.
///
/// # Errors
/// What cannot be read, and what was expected.
pub fn parse_line(text: &str, reading: Reading) -> Result<TypedLine, TypedError> {
    let mut fields = text.split('|').map(str::trim);
    let (name, octave) = name_and_octave(fields.next().unwrap_or_default())?;
    let music = fields.next().unwrap_or_default();
    let list = |text: &str| -> Vec<String> {
        text.split(',').map(str::trim).filter(|word| !word.is_empty()).map(str::to_owned).collect()
    };
    let beaters = list(fields.next().unwrap_or_default());
    let part = fields.next().unwrap_or_default().to_owned();
    if fields.next().is_some() {
        return Err(TypedError::new(
            "four fields at the most: instrument | measures and notes | beaters | part",
        ));
    }
    let stretches = music.split(';').map(str::trim).filter(|stretch| !stretch.is_empty());
    let stretches = stretches.map(|stretch| parse_stretch(stretch, reading)).collect::<Result<_, _>>()?;
    Ok(TypedLine { name, octave, stretches, beaters, part })
}

/// "glockenspiel +24".
fn name_and_octave(text: &str) -> Result<(String, Option<Octave>), TypedError> {
    let last = text.rsplit_once(char::is_whitespace);
    let signed = |word: &str| word.starts_with(['+', '-', '−']) && word.len() > 1;
    let (name, octave) = match last.filter(|(_, word)| signed(word)) {
        Some((name, word)) => {
            let number: i32 = word.replace('−', "-").parse().map_err(|_bad| {
                TypedError::new(format!("\"{word}\": semitones sounding above written, such as +12"))
            })?;
            let octave = Octave::new(number).map_err(|why| TypedError::new(why.to_string()))?;
            (name.trim(), Some(octave))
        }
        None => (text, None),
    };
    if name.is_empty() {
        return Err(TypedError::new("a line begins with its instrument: xylophone | 31-58 F5 A5 x3"));
    }
    Ok((name.to_owned(), octave))
}

fn parse_stretch(text: &str, reading: Reading) -> Result<Stretch, TypedError> {
    let mut words = words(text)?.into_iter();
    let first = words.next().unwrap_or_default();
    let (from, to) = measures(&first).ok_or_else(|| {
        TypedError::new(format!("\"{first}\": a stretch begins with its measures, such as 31-58 or 81"))
    })?;
    let mut stretch =
        Stretch { from, to, seconds: None, notes: Vec::new(), strokes: Vec::new(), dynamics: None };
    let mut before = Before::Other;
    for word in words {
        before = stretch.take(&word, before, reading)?;
    }
    Ok(stretch)
}

/// What stands before a word: "x3" says how often that is struck.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Before {
    /// A note, or strokes of a name, not counted yet.
    Note,
    Strokes,
    /// What was counted.
    Counted,
    /// The measures, seconds or dynamics.
    Other,
}

/// Words apart by spaces; what stands in quotes is one.
fn words(text: &str) -> Result<Vec<String>, TypedError> {
    let mut out: Vec<String> = Vec::new();
    let (mut open, mut fresh) = (false, true);
    for c in text.chars() {
        if c == '"' {
            open = !open;
        }
        if c.is_whitespace() && !open {
            fresh = true;
            continue;
        }
        if fresh {
            out.push(String::new());
            fresh = false;
        }
        if let Some(last) = out.last_mut() {
            last.push(c);
        }
    }
    if open { Err(TypedError::new("a quotation mark is not closed")) } else { Ok(out) }
}

/// The 3 of "x3"; `None` where a word is something else.
fn times(word: &str) -> Option<&str> {
    let count = word.strip_prefix(['x', '×'])?;
    (!count.is_empty() && count.chars().all(|c| c.is_ascii_digit())).then_some(count)
}

/// The "12.5-48" of "12.5s-48s", and of "@12.5-48" as it was typed once; `None` where a word is something else.
fn span_of(word: &str) -> Option<&str> {
    word.strip_prefix('@')
        .or_else(|| word.strip_suffix('s').filter(|_| word.starts_with(|c: char| c.is_ascii_digit())))
}

/// "A5" and "3" of "A5x3"; a double sharp is a note's own and is read before.
fn counted_note(word: &str, reading: Reading) -> Option<(&str, &str)> {
    let (note, count) = word.rsplit_once(['x', '×'])?;
    let bare = note.split_once('^').map_or(note, |(bare, _)| bare);
    let is_count = !count.is_empty() && count.chars().all(|c| c.is_ascii_digit());
    (is_count && parse_note(word, reading).is_err() && parse_note(bare, reading).is_ok())
        .then_some((note, count))
}

fn seconds(text: &str) -> Result<(f64, f64), TypedError> {
    let number = |text: &str| {
        text.strip_suffix('s').unwrap_or(text).parse::<f64>().ok().filter(|s| s.is_finite() && *s >= 0.0)
    };
    let span = text.split_once(['-', '–']).and_then(|(from, to)| Some((number(from)?, number(to)?)));
    span.filter(|(from, to)| from <= to)
        .ok_or_else(|| TypedError::new(format!("\"{text}\": seconds are typed 12.5s-48s, the first first")))
}

fn strokes(word: &str, count: &str) -> Result<u32, TypedError> {
    let count = count.parse::<u32>().ok().filter(|count| (1..=MOST_STROKES).contains(count));
    count.ok_or_else(|| {
        TypedError::new(format!(
            "\"{word}\": how often is typed as a number from 1: C6 x4, or x24 without pitch"
        ))
    })
}

/// The 12 of "F#5^12": how far the page departs from the line's convention there.
fn semitones(word: &str, shift: &str) -> Result<i8, TypedError> {
    shift.parse().map_err(|_bad| {
        TypedError::new(format!("\"{word}\": after ^ semitones are typed, such as F#5^12 or F#5^-12"))
    })
}

impl TypedLine {
    /// The line that would be typed for a line.
    pub fn of(line: &Line, name: String, usual: Option<Octave>, timeline: &Timeline) -> Self {
        Self {
            name,
            octave: Some(line.octave).filter(|octave| Some(*octave) != usual),
            stretches: stretches_of(line, &Spans::of(timeline)),
            beaters: line.beaters.clone(),
            part: line.part.clone(),
        }
    }

    /// The text; reads back as the same.
    pub fn text(&self, reading: Reading) -> String {
        let mut fields = vec![match self.octave {
            Some(octave) => format!("{} {:+}", self.name, octave.semitones()),
            None => self.name.clone(),
        }];
        fields.push(self.stretches.iter().map(|s| s.text(reading)).collect::<Vec<_>>().join("; "));
        fields.push(self.beaters.join(", "));
        fields.push(self.part.clone());
        while fields.len() > 1 && fields.last().is_some_and(String::is_empty) {
            fields.pop();
        }
        fields.join(" | ")
    }

    /// The line: stretches find their seconds in the timeline; one that stands unchanged in `before` keeps its order of
    /// notes.
    ///
    /// # Errors
    /// A measure that the timeline does not have.
    pub fn line(
        &self,
        (id, movement): (LineId, MovementId),
        (kind, usual): (Option<KindId>, Option<Octave>),
        timeline: &Timeline,
        before: Option<&Line>,
    ) -> Result<Line, TypedError> {
        self.line_in((id, movement), (kind, usual), &Spans::of(timeline), before)
    }

    /// The same for one of many lines of a movement.
    ///
    /// # Errors
    /// A measure that the timeline does not have.
    pub fn line_in(
        &self,
        (id, movement): (LineId, MovementId),
        (kind, usual): (Option<KindId>, Option<Octave>),
        spans: &Spans<'_>,
        before: Option<&Line>,
    ) -> Result<Line, TypedError> {
        // What stood there before, by its measures: a line of a thousand passages is not gone through for each.
        let mut known: BTreeMap<(MeasureName, MeasureName), Vec<(Stretch, &Passage)>> = BTreeMap::new();
        for passage in before.into_iter().flat_map(|line| &line.passages) {
            let at = known.entry((passage.from.clone(), passage.to.clone())).or_default();
            at.push((Stretch::of(passage, spans), passage));
        }
        let mut passages = Vec::new();
        for stretch in &self.stretches {
            let here = known.get(&(stretch.from.clone(), stretch.to.clone()));
            let same = here.into_iter().flatten().find(|(known, _)| known == stretch);
            passages.push(match same {
                Some((_, passage)) => (*passage).clone(),
                None => stretch.passage(spans)?,
            });
        }
        passages.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
        let same_kind = before.is_some_and(|line| line.kind == kind);
        Ok(Line {
            id,
            movement,
            kind,
            printed: before
                .filter(|_| same_kind)
                .map_or_else(|| self.name.clone(), |line| line.printed.clone()),
            part: self.part.clone(),
            octave: self.octave.or(usual).unwrap_or_default(),
            passages,
            beaters: self.beaters.clone(),
            exposed: before.is_some_and(|line| line.exposed),
            degree: if same_kind { before.map_or(Degree::Sure, |line| line.degree) } else { Degree::Sure },
            evidence: before.map_or_else(|| vec!["typed by hand".to_owned()], |line| line.evidence.clone()),
        })
    }
}

impl Stretch {
    /// Takes the next word; what it leaves to be counted. Before the plainer "A5 x3" and "12.5s-48s" strokes were typed "A5*3" and
    /// "*24", and seconds "@12.5-48"; they still read.
    fn take(&mut self, word: &str, before: Before, reading: Reading) -> Result<Before, TypedError> {
        if let Some(span) = span_of(word) {
            self.seconds = Some(seconds(span)?);
            return Ok(Before::Other);
        }
        if let Some(dynamics) = Dynamics::parse(word) {
            self.dynamics = Some(dynamics);
            return Ok(Before::Other);
        }
        if let Some(count) = times(word) {
            return self.count(strokes(word, count)?, word, before);
        }
        if let Some(name) = word.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')) {
            self.strokes.push(UnpitchedNote::new(name.to_owned(), 1));
            return Ok(Before::Strokes);
        }
        let (name, count) = match word.rsplit_once('*').or_else(|| counted_note(word, reading)) {
            Some((name, count)) => (name, Some(strokes(word, count)?)),
            None => (word, None),
        };
        let (bare, shift) = name.split_once('^').unwrap_or((name, "0"));
        match parse_note(bare, reading) {
            Ok(written) => self.notes.push((written, semitones(word, shift)?, count.unwrap_or(1))),
            Err(_) if word.contains('*') => {
                self.strokes.push(UnpitchedNote::new(name.trim_matches('"').to_owned(), count.unwrap_or(1)));
            }
            Err(why) => return Err(TypedError::new(format!("{why}; strokes without pitch are typed x24"))),
        }
        Ok(if count.is_some() { Before::Counted } else { Before::Note })
    }

    /// Says how often what stands before is struck; without that, strokes without pitch.
    fn count(&mut self, count: u32, word: &str, before: Before) -> Result<Before, TypedError> {
        match before {
            Before::Note => {
                self.notes.last_mut().into_iter().for_each(|(_, _, times)| *times = count);
            }
            Before::Strokes => self.strokes.last_mut().into_iter().for_each(|last| last.count = count),
            Before::Other => self.strokes.push(UnpitchedNote::new(String::new(), count)),
            Before::Counted => {
                let what = format!(
                    "\"{word}\": how often is said once; strokes without pitch after notes are typed \"\" {word}"
                );
                return Err(TypedError::new(what));
            }
        }
        Ok(Before::Counted)
    }

    fn of(passage: &Passage, spans: &Spans<'_>) -> Self {
        let mut notes: BTreeMap<(crate::pitch::KeyNumber, Spelled, i8), u32> = BTreeMap::new();
        for note in &passage.notes {
            *notes.entry((note.written.key(), note.written, note.shift)).or_default() += 1;
        }
        let round = |s: f64| (s * 1000.0).round() / 1000.0;
        let usual = spans.between(&passage.from, &passage.to);
        let here = (round(passage.from_s), round(passage.to_s));
        Self {
            from: passage.from.clone(),
            to: passage.to.clone(),
            seconds: Some(here)
                .filter(|here| usual.is_none_or(|(from, to)| (round(from), round(to)) != *here)),
            notes: notes.into_iter().map(|((_, written, shift), count)| (written, shift, count)).collect(),
            strokes: passage.unpitched.iter().map(UnpitchedNote::counted).collect(),
            dynamics: passage.dynamics,
        }
    }

    fn text(&self, reading: Reading) -> String {
        let mut words = vec![if self.from == self.to {
            self.from.to_string()
        } else {
            format!("{}-{}", self.from, self.to)
        }];
        words.extend(self.seconds.map(|(from, to)| format!("{from}s-{to}s")));
        words.extend(self.dynamics.map(Dynamics::ascii));
        let times = |count: u32| (count != 1).then(|| format!("x{count}"));
        for (written, shift, count) in &self.notes {
            let shift = if *shift == 0 { String::new() } else { format!("^{shift}") };
            words.push(format!("{}{shift}", written.named(reading)));
            words.extend(times(*count));
        }
        for (nth, UnpitchedNote { name, count, .. }) in self.strokes.iter().enumerate() {
            // The first without a name follows nothing that its count could be taken for.
            if name.is_empty() && nth == 0 && self.notes.is_empty() {
                words.push(format!("x{count}"));
                continue;
            }
            words.push(format!("\"{name}\""));
            words.extend(times(*count));
        }
        words.join(" ")
    }

    fn passage(&self, spans: &Spans<'_>) -> Result<Passage, TypedError> {
        let Some((from_s, to_s)) = self.seconds.or_else(|| spans.between(&self.from, &self.to)) else {
            let last = spans.timeline.measures.last().map_or("none yet", |m| m.name.as_str());
            return Err(TypedError::new(format!(
                "measures {}-{} are not in the tempo lines; their last is {last}",
                self.from, self.to
            )));
        };
        let note = |(written, shift, count): &(Spelled, i8, u32)| {
            let note =
                LineNote { written: *written, shift: *shift, measure: self.from.clone(), struck: None };
            std::iter::repeat_n(note, *count as usize)
        };
        Ok(Passage {
            from: self.from.clone(),
            to: self.to.clone(),
            from_s,
            to_s,
            notes: self.notes.iter().flat_map(note).collect(),
            unpitched: self.strokes.clone(),
            dynamics: self.dynamics,
        })
    }
}

fn stretches_of(line: &Line, spans: &Spans<'_>) -> Vec<Stretch> {
    line.passages.iter().map(|passage| Stretch::of(passage, spans)).collect()
}

/// A timeline by the names of its measures: made once for many stretches.
pub struct Spans<'t> {
    timeline: &'t Timeline,
    /// Where each is played, in order.
    played: BTreeMap<&'t MeasureName, Vec<usize>>,
}

impl<'t> Spans<'t> {
    /// Those of a timeline.
    pub fn of(timeline: &'t Timeline) -> Self {
        let mut played: BTreeMap<&MeasureName, Vec<usize>> = BTreeMap::new();
        for (at, measure) in timeline.measures.iter().enumerate() {
            played.entry(&measure.name).or_default().push(at);
        }
        Self { timeline, played }
    }

    /// The seconds of a stretch: from the first time that its first measure is played to the end of its last thereafter.
    fn between(&self, from: &MeasureName, to: &MeasureName) -> Option<(f64, f64)> {
        let first = *self.played.get(from)?.first()?;
        let last = self.played.get(to)?;
        let last = *last.get(last.partition_point(|at| *at < first))?;
        Some((self.timeline.measures.get(first)?.at_s, self.timeline.end_of(last)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::music::Dynamic;
    use crate::music::typed::parse_tempo;
    use crate::pitch::spelled_notes;
    use proptest::prelude::*;
    use rstest::rstest;

    fn timeline() -> Timeline {
        parse_tempo("1-100 4/4 1/4=120").unwrap()
    }

    fn made(text: &str) -> Result<Line, TypedError> {
        let typed = parse_line(text, Reading::English)?;
        let ids = (LineId::new("c").unwrap(), MovementId::new("m").unwrap());
        typed.line(ids, (None, Some(Octave::ONE_UP)), &timeline(), None)
    }

    #[test]
    fn a_line_becomes_a_line() {
        let line = made("xylophone | 31-58 F#5 A5 x3; 60 C6 | hard rubber, plastic | Percussion 2").unwrap();
        assert_eq!((line.printed.as_str(), line.part.as_str()), ("xylophone", "Percussion 2"));
        assert_eq!(line.octave, Octave::ONE_UP, "the usual convention");
        assert_eq!(line.beaters, ["hard rubber", "plastic"]);
        let spans: Vec<(f64, f64)> = line.passages.iter().map(|p| (p.from_s, p.to_s)).collect();
        assert_eq!(spans, [(60.0, 116.0), (118.0, 120.0)], "a measure lasts 2 s");
        let counts: Vec<u32> = line.written_counts().iter().map(|(_, count)| *count).collect();
        assert_eq!(counts, [1, 3, 1]);
    }

    /// How often each note is struck, and how many strokes have no pitch.
    #[rstest]
    #[case("A5 x3 C6", &[3, 1], 0)]
    #[case("A5x3 C6×2", &[3, 2], 0)]
    #[case("A5*3 C6", &[3, 1], 0)]
    #[case("A5^12 x3", &[3], 0)]
    #[case("Fx5 x2", &[2], 0)] // F double sharp
    #[case("A5 \"\" x24", &[1], 24)]
    #[case("x24 A5", &[1], 24)]
    #[case("A5 mf x24", &[1], 24)]
    fn how_often_can_be_said(#[case] notes: &str, #[case] expected: &[u32], #[case] without: u32) {
        let typed = parse_line(&format!("xylophone | 1 {notes}"), Reading::English).unwrap();
        let stretch = typed.stretches.first().unwrap();
        let counts: Vec<u32> = stretch.notes.iter().map(|(_, _, count)| *count).collect();
        assert_eq!(counts, expected);
        assert_eq!(stretch.strokes.iter().map(|stroke| stroke.count).sum::<u32>(), without);
        assert_eq!(parse_line(&typed.text(Reading::English), Reading::English), Ok(typed));
    }

    #[test]
    fn dynamics_can_be_said() {
        let line = made("xylophone | 31-58 p-ff F#5 A5 x3; 60 mf C6").unwrap();
        let said: Vec<String> = line
            .passages
            .iter()
            .filter_map(|passage| passage.dynamics)
            .map(|both| both.to_string())
            .collect();
        assert_eq!(said, ["p–ff", "mf"]);
    }

    #[rstest]
    #[case("snare drum +0 | 3-4 10.5s-12s x24 \"rim shot\" x2")]
    #[case("snare drum +0 | 3-4 x24 10.5-12s \"rim shot\" ×2")]
    #[case::as_it_was_once("snare drum +0 | 3-4 @10.5-12 *24 \"rim shot\"*2")]
    fn strokes_seconds_and_octaves_can_be_said(#[case] text: &str) {
        let line = made(text).unwrap();
        assert_eq!(line.octave, Octave::AS_WRITTEN);
        let passage = line.passages.first().unwrap();
        assert_eq!((passage.from_s, passage.to_s), (10.5, 12.0));
        let names: Vec<(&str, u32)> = passage.unpitched.iter().map(|u| (u.name.as_str(), u.count)).collect();
        assert_eq!(names, [("", 24), ("rim shot", 2)]);
    }

    #[rstest]
    #[case("", "begins with its instrument")]
    #[case("xylophone +x | 1", "such as +12")]
    #[case("xylophone | F5", "begins with its measures")]
    #[case("xylophone | 1 H5", "not a note")]
    #[case("xylophone | 1 F5*0", "number from 1")]
    #[case("xylophone | 1 F5 x0", "number from 1")]
    #[case("xylophone | 1 F5 x3 x4", "said once")]
    #[case("xylophone | 1 9s-3s", "the first first")]
    #[case("xylophone | 1 9s", "12.5s-48s")]
    #[case("xylophone | 1 F#5^abc", "semitones")]
    #[case("xylophone | 1 F#5^abc*3", "semitones")]
    #[case("xylophone | 1 F#5^200", "semitones")]
    #[case("xylophone | 1 F#5^", "semitones")]
    #[case("xylophone | 1 @9-3", "the first first")]
    #[case("xylophone | 1 \"rim*3", "not closed")]
    #[case("xylophone | 90-120 F5", "not in the tempo lines; their last is 100")]
    #[case("a | 1 | b | c | d", "four fields")]
    fn errors_say_what_was_expected(#[case] text: &str, #[case] says: &str) {
        let error = made(text).unwrap_err();
        assert!(error.what.contains(says), "{error}");
    }

    #[test]
    fn what_is_not_changed_keeps_its_order_of_notes() {
        let mut line = made("xylophone | 1 A5 F5; 5 C6").unwrap();
        for passage in &mut line.passages {
            passage.notes.reverse();
        }
        let typed = TypedLine::of(&line, "xylophone".to_owned(), Some(Octave::ONE_UP), &timeline());
        let text = typed.text(Reading::English).replace("C6", "D6");
        let ids = (line.id.clone(), line.movement.clone());
        let usual = (None, Some(Octave::ONE_UP));
        let again =
            parse_line(&text, Reading::English).unwrap().line(ids, usual, &timeline(), Some(&line)).unwrap();
        assert_eq!(again.passages.first(), line.passages.first());
        assert_ne!(again.passages.get(1), line.passages.get(1));
    }

    prop_compose! {
        fn stretch()(
            from in 1_u32..200,
            length in 0_u32..50,
            seconds in prop::option::of((0_u32..5000, 0_u32..5000)),
            notes in prop::collection::vec((spelled_notes(), -12_i8..=12, 1_u32..50), 0..5),
            strokes in prop::collection::vec(("[a-z ]{0,8}", 1_u32..99), 0..3),
            dynamics in prop::option::of((0_usize..10, 0_usize..10)),
        ) -> Stretch {
            let tenths = |n: u32| f64::from(n) / 10.0;
            Stretch {
                from: from.into(),
                to: (from + length).into(),
                seconds: seconds.map(|(a, more)| (tenths(a), tenths(a + more))),
                notes,
                strokes: strokes
                    .into_iter()
                    .map(|(name, count)| UnpitchedNote::new(name, count))
                    .filter(|u| parse_note(&u.name, Reading::English).is_err())
                    .collect(),
                dynamics: dynamics.map(|(one, other)| Dynamics::new(Dynamic::ALL[one], Dynamic::ALL[other])),
            }
        }
    }

    prop_compose! {
        fn typed()(
            name in "[a-zé]{1,9}( [a-z]{1,6})?",
            octave in prop::option::of(-24_i32..=36),
            stretches in prop::collection::vec(stretch(), 0..4),
            beaters in prop::collection::vec("[a-z]{1,6}( [a-z]{1,5})?", 0..3),
            part in "([A-Z][a-z]{1,8} [1-4])?",
        ) -> TypedLine {
            TypedLine { name, octave: octave.map(|o| Octave::new(o).unwrap()), stretches, beaters, part }
        }
    }

    proptest! {
        #[test]
        fn what_is_typed_comes_back(typed in typed()) {
            for reading in [Reading::English, Reading::German, Reading::Syllables] {
                prop_assert_eq!(parse_line(&typed.text(reading), reading), Ok(typed.clone()));
            }
        }

        #[test]
        fn no_text_stops_the_reader(text in "\\PC{0,60}") {
            drop(parse_line(&text, Reading::English));
            drop(parse_tempo(&text));
        }
    }
}
