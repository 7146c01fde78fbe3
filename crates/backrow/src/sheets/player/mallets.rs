//! How many mallets a passage takes, where a line asks for two in one place and for four in another.

use super::Case;
use super::too_short;
use backrow_core::moves::{Aside, AssignedLine, Span};
use backrow_core::seconds::Hold;

/// "4 mallets"; "4 mallets, then 2 from m. 20, too short: has 1.0 s, needs 4.0 s". Empty for a line that asks for one number throughout.
pub(super) fn words(case: &Case<'_>, taken: &AssignedLine, span: &Span) -> String {
    let given = case.programme.assignment(&taken.line);
    let mut asides = case.timetable.asides(case.library, taken, &given);
    asides.retain(|aside| aside.mallets().is_some());
    if asides.is_empty() {
        return String::new();
    }
    let count = if span.begins.holds.contains(&Hold::FourMallets) { 4 } else { 2 };
    let mut words = format!("{count} mallets");
    let here = |at_us: i64| at_us == span.from_us || (span.from_us..span.to_us).contains(&at_us);
    for aside in asides.iter().filter(|aside| here(aside.step.to.at_us)) {
        words.push_str(&within(aside, span));
        words.push_str(&too_short(aside));
    }
    words
}

/// ", then 2 from m. 20"; nothing for the change before the first stroke of the passage, which its beginning says.
fn within(aside: &Aside, span: &Span) -> String {
    match aside.mallets() {
        Some(count) if aside.step.from.at_us >= span.from_us => {
            format!(", then {count} from m. {}", aside.step.to.measure)
        }
        _ => String::new(),
    }
}
