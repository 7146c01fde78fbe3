//! What a line is heard in: one stretch at a time, no longer than is made ready at once.

use super::prepare::Span;
use backrow_core::music::{Line, MeasureName, Passage, Timeline};
use backrow_sound::passage;

/// A stretch of a line that is heard at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    pub(super) span: Span,
    /// "measures 12–30".
    pub(super) words: String,
}

/// What a line is heard in: its passages, or the whole movement, each in parts that are made ready at once.
pub fn stretches(line: &Line, timeline: &Timeline, whole: bool) -> Vec<Stretch> {
    let named = |(from_s, to_s): Span| {
        let from = timeline.index_at(from_s + 1e-6).unwrap_or(0);
        let to = timeline.index_at(to_s - 1e-6).unwrap_or(0).max(from);
        let name = |at: usize| timeline.measures.get(at).map(|measure| measure.name.clone());
        measure_words(name(from).zip(name(to)))
    };
    if whole {
        return parts(timeline, (0.0, timeline.end_s), true)
            .into_iter()
            .map(|span| Stretch { span, words: named(span) })
            .collect();
    }
    let of_passage = |passage: &Passage| {
        let all = parts(timeline, (passage.from_s, passage.to_s), false);
        let words = measure_words(Some((passage.from.clone(), passage.to.clone())));
        let part = |span: Span| {
            let words = if all.len() > 1 { format!("{}, of {words}", named(span)) } else { words.clone() };
            Stretch { span, words }
        };
        all.iter().copied().map(part).collect::<Vec<_>>()
    };
    line.passages.iter().flat_map(of_passage).collect()
}

fn measure_words(ends: Option<(MeasureName, MeasureName)>) -> String {
    match ends {
        None => "the movement".to_owned(),
        Some((from, to)) if from == to => format!("measure {from}"),
        Some((from, to)) => format!("measures {from}–{to}"),
    }
}

/// A span in parts of at most [`passage::LONGEST_S`], cut where a measure begins. At the end of a passage a stroke may stand.
fn parts(timeline: &Timeline, (mut from_s, to_s): Span, is_whole: bool) -> Vec<Span> {
    let mut parts = Vec::new();
    while to_s - from_s > passage::LONGEST_S {
        let latest = from_s + passage::LONGEST_S;
        let bar = timeline.measure_at(latest).map_or(latest, |measure| measure.at_s);
        // A measure that is longer than all of it is cut anywhere.
        let cut = if bar > from_s + 1.0 { bar } else { latest };
        parts.push((from_s, cut - 2e-6));
        from_s = cut;
    }
    if to_s > from_s || !is_whole {
        parts.push((from_s, to_s));
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::music::PlayedMeasure;

    /// Two hundred measures of two seconds.
    fn timeline() -> Timeline {
        let measure = |n: u32| PlayedMeasure {
            name: MeasureName::from(n + 1),
            at_s: f64::from(n) * 2.0,
            quarters: 4.0,
            of: 4,
        };
        Timeline { measures: (0..200).map(measure).collect(), end_s: 400.0, marks: Vec::new() }
    }

    #[test]
    fn a_long_passage_comes_in_parts_that_say_what_they_are() {
        let octave = backrow_core::pitch::Octave::AS_WRITTEN;
        let mut line = crate::sample::line("marimba", octave, &[(1, 2, "C4")]).unwrap();
        let passage = |from: u32, to: u32, span: (f64, f64)| Passage {
            from: MeasureName::from(from),
            to: MeasureName::from(to),
            from_s: span.0,
            to_s: span.1,
            ..line.passages[0].clone()
        };
        let passages = vec![passage(1, 2, (0.0, 3.5)), passage(10, 120, (18.0, 239.0))];
        line.passages = passages;
        let heard = stretches(&line, &timeline(), false);
        let words: Vec<&str> = heard.iter().map(|one| one.words.as_str()).collect();
        assert_eq!(
            words,
            ["measures 1–2", "measures 10–99, of measures 10–120", "measures 100–120, of measures 10–120"]
        );
        // What one leaves the next begins with.
        assert!(heard[1].span.1 < heard[2].span.0 && heard[2].span.0 - heard[1].span.1 < 1e-5);
        assert_eq!(heard[2].span, (198.0, 239.0));
        let whole = stretches(&line, &timeline(), true);
        let words: Vec<&str> = whole.iter().map(|one| one.words.as_str()).collect();
        assert_eq!(words, ["measures 1–90", "measures 91–180", "measures 181–200"]);
    }
}
