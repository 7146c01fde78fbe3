//! Very loud things in a programme: ears need protection, the neighbours' too.

use super::{About, Case, Degree, Finding, Rule};
use crate::stage::LOUD_CAUTION;
use std::collections::BTreeSet;

/// One note for the programme, with the kinds that are called for.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let loud = || {
        case.given().filter(|taken| taken.kind.as_ref().is_some_and(|kind| case.library.is_very_loud(kind)))
    };
    let names: BTreeSet<String> = loud().map(|taken| taken.name.clone()).collect();
    if names.is_empty() {
        return Vec::new();
    }
    let names: Vec<String> = names.into_iter().collect();
    let what = format!("Very loud in this programme: {}", names.join(", "));
    let about = loud().map(|taken| About::Line(taken.line.clone()));
    vec![Finding::new(Rule::Loud, Degree::Note, what).why(LOUD_CAUTION).about(about)]
}
