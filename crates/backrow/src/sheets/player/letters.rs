//! Where a passage begins, as a conductor says it: counted from a rehearsal letter, and at which tempo.

use backrow_core::music::{MeasureName, TempoMark, Timeline};

/// The first measure of a passage counted from the rehearsal letter before it: "B" at the letter itself, "B+26" twenty-six
/// measures after it, measures counted as they are printed. Empty before the first letter, and where there are none. Common
/// practice of rehearsals ("26 after B"); no source.
pub(super) fn counted(timeline: &Timeline, measure: &MeasureName) -> String {
    let Some(here) = place(timeline, measure) else { return String::new() };
    let before = timeline.marks.iter().filter_map(|mark| {
        let letter = mark.letter.as_deref()?;
        let at = place(timeline, &mark.measure).filter(|at| *at <= here)?;
        Some((at, letter))
    });
    let Some((at, letter)) = before.max_by_key(|(at, _)| *at) else { return String::new() };
    match printed(timeline, at, here) {
        0 => letter.to_owned(),
        n => format!("{letter}+{n}"),
    }
}

/// The tempo that holds at a measure: "Poco meno, ♩ = 96"; empty where the music states none.
pub(super) fn tempo(timeline: &Timeline, measure: &MeasureName) -> String {
    let Some(here) = place(timeline, measure) else { return String::new() };
    let stated = |mark: &&TempoMark| !mark.words.is_empty() || mark.quarters_per_minute.is_some();
    let before = timeline.marks.iter().filter(stated).filter_map(|mark| {
        let at = place(timeline, &mark.measure).filter(|at| *at <= here)?;
        Some((at, mark))
    });
    let Some((_, mark)) = before.max_by_key(|(at, _)| *at) else { return String::new() };
    let parts = [Some(mark.words.clone()).filter(|words| !words.is_empty()), mark.tempo_words()];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Where a measure is played for the first time.
fn place(timeline: &Timeline, measure: &MeasureName) -> Option<usize> {
    timeline.measures.iter().position(|played| played.name == *measure)
}

/// How many measures are printed from one place to another: those of a repeat count once.
fn printed(timeline: &Timeline, from: usize, to: usize) -> usize {
    let between = timeline.measures.get(from + 1..=to).unwrap_or_default();
    let names: std::collections::BTreeSet<_> = between.iter().map(|played| &played.name).collect();
    names.len()
}

#[cfg(test)]
mod tests {
    use super::*;
    use backrow_core::music::PlayedMeasure;

    /// Measures 1 to 40 with 11 to 20 twice; A at 5, B at 25, "Meno" at 21.
    fn timeline() -> Timeline {
        let names = (1..=20).chain(11..=40);
        let measure = |n: u32| MeasureName::new(&n.to_string());
        let played = |(at, n)| PlayedMeasure { name: measure(n), at_s: at as f64, quarters: 4.0, of: 4 };
        let mark = |n, words: &str, beats, letter: Option<&str>| TempoMark {
            measure: measure(n),
            words: words.to_owned(),
            quarters_per_minute: beats,
            beat: None,
            letter: letter.map(str::to_owned),
        };
        Timeline {
            measures: names.enumerate().map(played).collect(),
            end_s: 50.0,
            marks: vec![
                mark(1, "Allegro", Some(112.0), None),
                mark(5, "", None, Some("A")),
                mark(21, "Meno", None, None),
                mark(25, "", Some(60.0), Some("B")),
            ],
        }
    }

    #[test]
    fn measures_are_counted_from_the_letter_before() {
        let said = |n: u32| counted(&timeline(), &MeasureName::new(&n.to_string()));
        assert_eq!([said(4), said(5), said(24), said(25), said(40)], ["", "A", "A+19", "B", "B+15"]);
        assert_eq!(said(99), "");
        assert_eq!(counted(&Timeline::default(), &MeasureName::new("1")), "");
    }

    #[test]
    fn the_tempo_that_holds_is_said() {
        let said = |n: u32| tempo(&timeline(), &MeasureName::new(&n.to_string()));
        assert_eq!([said(3), said(22), said(30)], ["Allegro, ♩ = 112", "Meno", "♩ = 60"]);
    }
}
