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
        let rules: [(&'static str, Degree, ShowsOn, &str, &str, fn(&Taken) -> bool); 3] = [
            (
                "nobody",
                Degree::Care,
                ShowsOn::Section,
                "given to nobody",
                "Drag them to players in Section.",
                |t| t.player.is_none(),
            ),
            (
                "no-instrument",
                Degree::Note,
                ShowsOn::Compass,
                "without an instrument",
                "Choose instruments on Compass.",
                |t| t.instruments.is_empty(),
            ),
            (
                "open-kind",
                Degree::Care,
                ShowsOn::Section,
                "of an open kind",
                "Say in Works what is meant.",
                |t| t.kind.is_none(),
            ),
        ];
        for (code, degree, shows_on, words, remedy, wanted) in rules {
            let missing: Vec<&&Taken> = of_work.iter().filter(|taken| wanted(taken)).collect();
            let Some(first) = missing.first() else { continue };
            let noun = if missing.len() == 1 { "call" } else { "calls" };
            let names: Vec<&str> = missing.iter().take(4).map(|taken| taken.name.as_str()).collect();
            let more = if missing.len() > 4 { " and others" } else { "" };
            found.push(Finding {
                code,
                degree,
                shows_on,
                what: format!("{}: {} {noun} {words}", work.title, missing.len()),
                detail: format!("{}{more}. {remedy}", names.join(", ")),
                about: vec![About::Call(first.call.clone())],
                fix: None,
            });
        }
    }
    found
}
