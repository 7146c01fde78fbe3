//! An instrument tuned to another A than the orchestra's.

use super::{About, Case, Degree, Finding, Rule};
use crate::pitch::{Hertz, KeyNumber};
use std::collections::BTreeSet;

/// Less than this is not worth a word, cents. Common practice; no source.
const LEAST_CENTS: f64 = 2.0;

/// Instruments of the programme that are tuned elsewhere by [`LEAST_CENTS`] or more.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut seen = BTreeSet::new();
    let used = case.given().flat_map(|taken| taken.instruments.iter().map(move |id| (id, taken)));
    let mut found = Vec::new();
    for (id, taken) in used {
        let Some(thing) = case.library.instruments.get(id).filter(|_| seen.insert(id.clone())) else {
            continue;
        };
        let Some(a) = thing.tuned_to else { continue };
        let orchestra: Hertz = case.library.orchestra.a.frequency(KeyNumber::A4);
        let cents = a.frequency(KeyNumber::A4).cents_above(orchestra).value();
        if cents.abs() < LEAST_CENTS {
            continue;
        }
        let way = if cents < 0.0 { "under" } else { "over" };
        let what = format!("{} is tuned to A {}", thing.name, a.value());
        found.push(
            Finding::new(Rule::OtherA, Degree::Note, what)
                .why(format!(
                    "{:.1} cents {way} the orchestra’s A. It can be heard in long unisons high up.",
                    cents.abs()
                ))
                .about([About::Instrument(id.clone()), About::Line(taken.line.clone())]),
        );
    }
    found
}
