//! Very loud things in a programme: ears need protection, the neighbours' too.

use super::{About, Case, Degree, Finding, Rule};
use crate::stage::LOUD_CAUTION;
use std::collections::BTreeSet;

/// One note for the programme, with the kinds that are called for or played.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let loud = || case.given().map(|taken| (taken, taken.loud_kinds(case.library)));
    let names: BTreeSet<String> =
        loud().flat_map(|(_, kinds)| kinds).map(|kind| case.library.kind_name(kind)).collect();
    if names.is_empty() {
        return Vec::new();
    }
    let names: Vec<String> = names.into_iter().collect();
    let what = format!("Very loud in this programme: {}", crate::id::listed(&names));
    let about = loud().filter(|(_, kinds)| !kinds.is_empty());
    let about = about.map(|(taken, _)| About::Line(taken.line.clone()));
    vec![Finding::new(Rule::Loud, Degree::Note, what).why(LOUD_CAUTION).about(about)]
}
