//! Lines that nobody plays, that have no instrument, or whose kind is open: one finding a work.

use super::{About, Case, Degree, Finding, Rule};
use crate::collection::Head;
use crate::edit::Edit;
use crate::moves::AssignedLine;
use crate::music::Work;

/// What is still to be given, work by work.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for (_, id) in case.programme.works_in_order() {
        let Some(work) = case.library.works.get(id) else {
            found.push(
                Finding::new(Rule::UnknownWork, Degree::Clash, format!("The library has no work {id}"))
                    .why("Its file is missing or could not be read.")
                    .remedy("Bring the file back, or remove the work from the programme.")
                    .about([About::Programme(case.programme.id.clone())]),
            );
            continue;
        };
        found.extend(had_before(case, work));
        let of_work: Vec<&AssignedLine> = case.given().filter(|taken| taken.line.work == *id).collect();
        for open in &OPEN {
            found.extend(missing(case, &work.title, open, &of_work));
        }
    }
    found
}

/// A work that was taken out and is played again, with what it had and nobody has asked for yet.
fn had_before(case: &Case<'_>, work: &Work) -> Option<Finding> {
    let aside = case.programme.aside(&work.id)?;
    let (lines, places) = (aside.lines.len(), aside.places());
    let of = |n: usize, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
    let what = format!("{} was in this programme before, with {} assigned", work.title, of(lines, "line"));
    let edit = Edit::TakeUp { programme: case.programme.id.clone(), work: work.id.clone() };
    let why = if places == 0 {
        String::new()
    } else {
        format!("{} stood on the floor for it.", of(places, "instrument"))
    };
    Some(
        Finding::new(Rule::HadBefore, Degree::Note, what)
            .why(why)
            .remedy(
                "Restore what it had wherever nothing has been assigned since, or assign its lines afresh.",
            )
            .about([About::Programme(case.programme.id.clone())])
            .fix(Some(case.words_of(edit))),
    )
}

/// What may still be open about a line.
struct Open {
    rule: Rule,
    degree: Degree,
    words: &'static str,
    remedy: &'static str,
    holds: fn(&Case<'_>, &AssignedLine) -> bool,
}

const OPEN: [Open; 4] = [
    Open {
        rule: Rule::Nobody,
        degree: Degree::Care,
        words: "not assigned",
        remedy: "Assign them in Section.",
        holds: |_, taken| taken.player.is_none(),
    },
    Open {
        rule: Rule::NoInstrument,
        degree: Degree::Note,
        words: "without an instrument",
        remedy: "Choose instruments on Compass.",
        holds: |_, taken| taken.instruments.is_empty(),
    },
    Open {
        rule: Rule::OpenKind,
        degree: Degree::Care,
        words: "not identified",
        remedy: "Search for its sound in Sounds, or choose the instrument in Works.",
        holds: |_, taken| taken.kind.is_none(),
    },
    Open {
        rule: Rule::NoBeaters,
        degree: Degree::Note,
        words: "without beaters",
        remedy: "Choose beaters in Section, or let the program propose them.",
        holds: |case, taken| taken.beaters.is_empty() && is_struck(case, taken),
    },
];

/// Whether a line is of a kind that is struck with beaters, as far as the kinds table says.
fn is_struck(case: &Case<'_>, taken: &AssignedLine) -> bool {
    let kind = taken.kind.as_ref().and_then(|id| case.library.kinds.get(id));
    kind.and_then(|kind| kind.usual.first()).is_some_and(|usual| usual.head != Head::Hand)
}

fn missing(case: &Case<'_>, title: &str, rule: &Open, lines: &[&AssignedLine]) -> Option<Finding> {
    let open: Vec<&&AssignedLine> = lines.iter().filter(|taken| (rule.holds)(case, taken)).collect();
    let first = open.first()?;
    let noun = if open.len() == 1 { "line" } else { "lines" };
    let named: Vec<String> = open.iter().take(4).map(|taken| case.line_words(&taken.line)).collect();
    let more = if open.len() > 4 { " and others" } else { "" };
    Some(
        Finding::new(rule.rule, rule.degree, format!("{title}: {} {noun} {}", open.len(), rule.words))
            .why(format!("{}{more}.", crate::id::listed(&named)))
            .remedy(rule.remedy)
            .about([About::Line(first.line.clone())]),
    )
}
