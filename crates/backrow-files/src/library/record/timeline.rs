//! The timeline of a movement as runs: neighbouring measures of the same length stand on one line.
//!
//! The seconds must come back to the last bit, so a run is only as long as its rule gives exactly the times that the
//! timeline has; whatever fits no rule stands with its own time.

use super::is_default;
use backrow_core::music::{MeasureName, PlayedMeasure, TempoMark};
use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

/// The most measures of a run, and attacks of a repeated note: a slip of the finger must not fill the memory.
pub(super) const LONGEST: usize = 100_000;

/// A measure as printed; a plain number stands without quotes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Measure(pub MeasureName);

/// The number of a name that is printed as that very number.
fn plain_number(name: &MeasureName) -> Option<u32> {
    let number: u32 = name.as_str().parse().ok()?;
    (number.to_string() == name.as_str()).then_some(number)
}

impl Serialize for Measure {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match plain_number(&self.0) {
            Some(number) => serializer.serialize_u32(number),
            None => serializer.serialize_str(self.0.as_str()),
        }
    }
}

impl<'de> Deserialize<'de> for Measure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Name;

        impl Visitor<'_> for Name {
            type Value = Measure;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a measure as printed: 41 or \"12a\"")
            }

            fn visit_u64<E: Error>(self, number: u64) -> Result<Measure, E> {
                Ok(Measure(MeasureName::new(&number.to_string())))
            }

            fn visit_str<E: Error>(self, name: &str) -> Result<Measure, E> {
                Ok(Measure(MeasureName::new(name)))
            }
        }

        deserializer.deserialize_any(Name)
    }
}

/// Neighbouring measures of the same length.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RunRecord {
    /// The first.
    from: Measure,
    /// The last, where there are several: numbers that count up by one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    to: Option<Measure>,
    /// Length of each in quarter notes.
    quarters: f64,
    /// The note that their time signature counts, where it is not a quarter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    of: Option<u32>,
    /// Quarter notes a minute.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    tempo: Option<f64>,
    /// Length of each in seconds, where no tempo is stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    seconds: Option<f64>,
    /// When the first begins, where it does not begin as the run before ends.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    at_s: Option<f64>,
    /// Whether measure n begins at the start plus n times the length, instead of the sum of the lengths before it: the
    /// same but for the last bits of the number.
    #[serde(default, skip_serializing_if = "is_default")]
    even: bool,
}

/// How the times within a run follow from its first.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Rule {
    quarters: f64,
    tempo: Option<f64>,
    seconds: Option<f64>,
    even: bool,
}

impl Rule {
    /// When measure `n` of the run begins; `before` is when measure `n - 1` did. `None` when no length is stated.
    fn next(self, start: f64, before: f64, n: usize) -> Option<f64> {
        let from = if self.even { start } else { before };
        let times = if self.even { n as f64 } else { 1.0 };
        match (self.tempo, self.seconds) {
            (Some(tempo), _) => Some(from + times * self.quarters * 60.0 / tempo),
            (None, Some(seconds)) => Some(from + times * seconds),
            (None, None) => None,
        }
    }
}

fn same(a: f64, b: f64) -> bool {
    a.to_bits() == b.to_bits()
}

/// The runs of a timeline; `None` for `end_s` when it is where the last run ends.
pub(super) fn runs(measures: &[PlayedMeasure], end_s: f64) -> (Vec<RunRecord>, Option<f64>) {
    let mut runs = Vec::new();
    let mut expected = 0.0;
    let mut rest = measures;
    while let Some(first) = rest.first() {
        let named = same_kind(rest);
        let ends: Vec<f64> = rest.iter().skip(1).map(|m| m.at_s).chain([end_s]).take(named).collect();
        let (rule, count) = best_rule(first, &ends);
        let last = if count > 1 { rest.get(count - 1) } else { None };
        runs.push(RunRecord {
            from: Measure(first.name.clone()),
            to: last.map(|m| Measure(m.name.clone())),
            quarters: first.quarters,
            of: (first.of != PlayedMeasure::QUARTER).then_some(first.of),
            tempo: rule.tempo,
            seconds: rule.seconds,
            at_s: (!same(first.at_s, expected)).then_some(first.at_s),
            even: rule.even,
        });
        expected = walk(rule, first.at_s, count).last().copied().unwrap_or(first.at_s);
        rest = rest.get(count..).unwrap_or_default();
    }
    (runs, (!same(expected, end_s)).then_some(end_s))
}

/// How many measures from the first have its length and numbers that count up.
fn same_kind(measures: &[PlayedMeasure]) -> usize {
    let Some(first) = measures.first() else { return 0 };
    let Some(number) = plain_number(&first.name) else { return 1 };
    let alike = measures.iter().zip(number..).take(LONGEST);
    alike
        .take_while(|(m, n)| {
            plain_number(&m.name) == Some(*n) && same(m.quarters, first.quarters) && m.of == first.of
        })
        .count()
        .max(1)
}

/// The rule that gives the most of those ends exactly, and for how many measures.
fn best_rule(first: &PlayedMeasure, ends: &[f64]) -> (Rule, usize) {
    let quarters = first.quarters;
    let none = Rule { quarters, tempo: None, seconds: None, even: false };
    let Some(length) = ends.first().map(|end| end - first.at_s).filter(|s| s.is_finite()) else {
        return (none, 1);
    };
    let mut rules = Vec::new();
    let tempo = quarters * 60.0 / length;
    if tempo.is_finite() && tempo > 0.0 {
        // Tempi as people state them, then the exact one.
        let tempi = [tempo.round(), (tempo * 10.0).round() / 10.0, (tempo * 1000.0).round() / 1000.0, tempo];
        rules.extend(tempi.into_iter().filter(|t| *t > 0.0).map(|t| Rule { tempo: Some(t), ..none }));
    }
    rules.push(Rule { seconds: Some(length), ..none });
    let even: Vec<Rule> = rules.iter().map(|rule| Rule { even: true, ..*rule }).collect();
    rules.extend(even);
    let mut best = (none, 0);
    for rule in rules {
        let reached = reach(rule, first.at_s, ends);
        if reached > best.1 {
            best = (rule, reached);
        }
    }
    (best.0, best.1.max(1))
}

/// How many of the ends a rule gives exactly, one after another.
fn reach(rule: Rule, start: f64, ends: &[f64]) -> usize {
    let mut before = start;
    ends.iter()
        .zip(1..)
        .take_while(|(end, n)| {
            let next = rule.next(start, before, *n);
            before = **end;
            next.is_some_and(|next| same(next, **end))
        })
        .count()
}

/// When each of that many measures ends. The last counts as the start of what follows.
fn walk(rule: Rule, start: f64, count: usize) -> Vec<f64> {
    let mut before = start;
    (1..=count)
        .map(|n| {
            before = rule.next(start, before, n).unwrap_or(before);
            before
        })
        .collect()
}

/// The measures of a run that begins at `start` unless it says otherwise, and when it ends.
fn measures_of(run: &RunRecord, start: f64) -> Result<(Vec<PlayedMeasure>, f64), String> {
    let start = run.at_s.unwrap_or(start);
    if run.tempo.is_some_and(|tempo| tempo <= 0.0) {
        return Err("a tempo above 0 was expected, quarter notes a minute".to_owned());
    }
    let names: Vec<MeasureName> = match &run.to {
        None => vec![run.from.0.clone()],
        Some(to) => {
            let ends = plain_number(&run.from.0).zip(plain_number(&to.0));
            let (from, to) = ends.filter(|(from, to)| from <= to).ok_or_else(|| {
                format!("from {} to {}: numbers that count up were expected", run.from.0, to.0)
            })?;
            if to.abs_diff(from) as usize >= LONGEST {
                return Err(format!("from {from} to {to}: at most {LONGEST} measures were expected"));
            }
            (from..=to).map(MeasureName::from).collect()
        }
    };
    let RunRecord { quarters, tempo, seconds, even, .. } = *run;
    let of = run.of.unwrap_or(PlayedMeasure::QUARTER);
    if !of.is_power_of_two() || of > 1024 {
        return Err(format!("of: {of}: the lower figure of a time signature was expected, such as 8"));
    }
    if names.len() > 1 && tempo.is_none() && seconds.is_none() {
        return Err(format!(
            "measures {} and on: a tempo, or the seconds of a measure, were expected",
            run.from.0
        ));
    }
    let ends = walk(Rule { quarters, tempo, seconds, even }, start, names.len());
    let starts = [start].into_iter().chain(ends.iter().copied());
    let measures =
        names.into_iter().zip(starts).map(|(name, at_s)| PlayedMeasure { name, at_s, quarters, of });
    Ok((measures.collect(), ends.last().copied().unwrap_or(start)))
}

/// The measures of all runs, and when the last ends.
pub(super) fn measures(runs: &[RunRecord]) -> Result<(Vec<PlayedMeasure>, f64), String> {
    let mut all = Vec::new();
    let mut at = 0.0;
    for run in runs {
        let (measures, end) = measures_of(run, at)?;
        all.extend(measures);
        at = end;
    }
    Ok((all, at))
}

/// A tempo, metre or rehearsal mark.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MarkRecord {
    measure: Measure,
    #[serde(default, skip_serializing_if = "is_default")]
    words: String,
    #[serde(default, skip_serializing_if = "is_default")]
    tempo: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    beat: Option<f64>,
    #[serde(default, skip_serializing_if = "is_default")]
    letter: Option<String>,
}

impl MarkRecord {
    pub(super) fn of(mark: &TempoMark) -> Self {
        Self {
            measure: Measure(mark.measure.clone()),
            words: mark.words.clone(),
            tempo: mark.quarters_per_minute,
            beat: mark.beat,
            letter: mark.letter.clone(),
        }
    }

    pub(super) fn value(self) -> TempoMark {
        TempoMark {
            measure: self.measure.0,
            words: self.words,
            quarters_per_minute: self.tempo,
            beat: self.beat.filter(|beat| beat.is_finite() && *beat > 0.0),
            letter: self.letter,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn come_back(measures: &[PlayedMeasure], end_s: f64) -> usize {
        let (runs, end) = runs(measures, end_s);
        let (read, read_end) = super::measures(&runs).unwrap();
        assert_eq!(read, measures);
        assert!(same(end.unwrap_or(read_end), end_s));
        runs.len()
    }

    /// As a reader would count: `step` gives the start of measure n from the one before.
    fn counted(count: u32, step: impl Fn(u32, f64) -> f64) -> (Vec<PlayedMeasure>, f64) {
        let mut at_s = 0.0;
        let mut all = Vec::new();
        for n in 1..=count {
            all.push(PlayedMeasure { name: n.into(), at_s, quarters: 4.0, of: 4 });
            at_s = step(n, at_s);
        }
        (all, at_s)
    }

    #[test]
    fn nine_hundred_equal_measures_are_one_line() {
        for tempo in [60.0, 66.0, 108.0, 132.5, 97.3] {
            let (summed, end) = counted(900, |_, at| at + 4.0 * 60.0 / tempo);
            assert_eq!(come_back(&summed, end), 1, "summed at {tempo}");
            let (even, end) = counted(900, |n, _| f64::from(n) * 4.0 * 60.0 / tempo);
            assert_eq!(come_back(&even, end), 1, "even at {tempo}");
        }
    }

    #[test]
    fn pickups_repeats_and_letters_come_back() {
        let played = |name: &str, at_s, quarters| PlayedMeasure {
            name: MeasureName::new(name),
            at_s,
            quarters,
            of: 4,
        };
        let measures = [
            played("0", 0.0, 1.0),
            played("1", 0.5, 4.0),
            played("2", 2.5, 4.0),
            played("1", 4.5, 4.0),
            played("2", 6.5, 4.0),
            played("2a", 8.5, 3.0),
            played("007", 10.0, 3.0),
            played("", 10.0, 0.0),
        ];
        assert_eq!(come_back(&measures, 10.0), 6);
        // In 3/4 and then in 6/8: as long, and two runs.
        let eights = [("1", 0.0, 4), ("2", 1.0, 4), ("3", 2.0, 8), ("4", 3.0, 8)]
            .map(|(name, at_s, of)| PlayedMeasure { of, ..played(name, at_s, 3.0) });
        assert_eq!(come_back(&eights, 4.0), 2);
        assert_eq!(come_back(&[], 0.0), 0);
    }

    #[test]
    fn slips_are_refused() {
        let run = |from: &str, to: &str, tempo| RunRecord {
            from: Measure(MeasureName::new(from)),
            to: Some(Measure(MeasureName::new(to))),
            quarters: 4.0,
            of: None,
            tempo,
            seconds: None,
            at_s: None,
            even: false,
        };
        let refused = |record| measures(&[record]).unwrap_err();
        assert!(refused(run("9", "1", Some(60.0))).contains("count up"));
        assert!(refused(run("1", "4000000000", Some(60.0))).contains("at most"));
        assert!(refused(run("1", "9", Some(0.0))).contains("above 0"));
        assert!(refused(run("1", "9", None)).contains("tempo"));
    }

    proptest! {
        #[test]
        fn timelines_come_back(timeline in crate::library::any::timeline()) {
            come_back(&timeline.measures, timeline.end_s);
        }
    }
}
