//! Calls that nobody plays, that have no instrument, or whose kind is open: one finding a work.

use super::{About, Case, Degree, Finding, ShowsOn};
use crate::moves::Taken;

/// What is still to be given, work by work.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for id in &case.programme.works {
        let Some(work) = case.library.works.get(id) else {
            found.push(Finding {
                code: "unknown-work",
                degree: Degree::Clash,
                shows_on: ShowsOn::Section,
                what: format!("The library has no work {id}"),
                detail: "Its file is missing or could not be read. Bring the file back, or take the work out of the programme.".to_owned(),
                about: vec![About::Programme(case.programme.id.clone())],
                fix: None,
            });
            continue;
        };
        let of_work: Vec<&Taken> = case.given().filter(|taken| taken.call.work == *id).collect();
        for rule in &RULES {
            found.extend(missing(case, &work.title, rule, &of_work));
        }
    }
    found
}

/// What may still be open about a call.
struct Rule {
    code: &'static str,
    degree: Degree,
    shows_on: ShowsOn,
    words: &'static str,
    remedy: &'static str,
    is_open: fn(&Taken) -> bool,
}

const RULES: [Rule; 3] = [
    Rule {
        code: "nobody",
        degree: Degree::Care,
        shows_on: ShowsOn::Section,
        words: "given to nobody",
        remedy: "Drag them to players in Section.",
        is_open: |taken| taken.player.is_none(),
    },
    Rule {
        code: "no-instrument",
        degree: Degree::Note,
        shows_on: ShowsOn::Compass,
        words: "without an instrument",
        remedy: "Choose instruments on Compass.",
        is_open: |taken| taken.instruments.is_empty(),
    },
    Rule {
        code: "open-kind",
        degree: Degree::Care,
        shows_on: ShowsOn::Section,
        words: "of an open kind",
        remedy: "Say in Works what is meant.",
        is_open: |taken| taken.kind.is_none(),
    },
];

fn missing(case: &Case<'_>, title: &str, rule: &Rule, calls: &[&Taken]) -> Option<Finding> {
    let open: Vec<&&Taken> = calls.iter().filter(|taken| (rule.is_open)(taken)).collect();
    let first = open.first()?;
    let noun = if open.len() == 1 { "call" } else { "calls" };
    let named: Vec<String> = open.iter().take(4).map(|taken| case.call_words(&taken.call)).collect();
    let more = if open.len() > 4 { " and others" } else { "" };
    Some(Finding {
        code: rule.code,
        degree: rule.degree,
        shows_on: rule.shows_on,
        what: format!("{title}: {} {noun} {}", open.len(), rule.words),
        detail: format!("{}{more}. {}", named.join(", "), rule.remedy),
        about: vec![About::Call(first.call.clone())],
        fix: None,
    })
}
