//! What changed in an instrument’s tuning and care, in words.

use crate::care::Care;
use crate::days::Days;
use crate::library::Library;

/// "Marimba 1: add the survey of 3 Mar 2026".
pub(super) fn words(library: &Library, next: &Care) -> String {
    let name = library.instrument_name(&next.instrument);
    let nothing = Care::of(next.instrument.clone());
    let old = library.care.get(&next.instrument).map_or(&nothing, |care| &**care);
    format!("{name}: {}", what(library.days(), old, next))
}

fn what(days: Days, old: &Care, next: &Care) -> String {
    let day = |on| days.day(on);
    if let Some(survey) = next.surveys.iter().find(|survey| !old.surveys.contains(survey)) {
        let verb = if next.surveys.len() > old.surveys.len() { "add" } else { "change" };
        return format!("{verb} the survey of {}", day(survey.on));
    }
    if let Some(survey) = old.surveys.iter().find(|survey| !next.surveys.contains(survey)) {
        return format!("remove the survey of {}", day(survey.on));
    }
    if let Some(entry) = next.log.iter().find(|entry| !old.log.contains(entry)) {
        let verb = if next.log.len() > old.log.len() { "log" } else { "change the log" };
        return format!("{verb}: {}, {}", entry.work.word(), day(entry.on));
    }
    if let Some(entry) = old.log.iter().find(|entry| !next.log.contains(entry)) {
        return format!("remove from the log: {}, {}", entry.work.word(), day(entry.on));
    }
    if let Some(bell) = next.bells.iter().find(|bell| !old.bells.contains(bell)) {
        return format!("register of bells, {}", bell.key);
    }
    if next.bells.len() < old.bells.len() {
        return "remove a bell from the register".to_owned();
    }
    if next.value != old.value || next.irreplaceable != old.irreplaceable {
        return "change its value".to_owned();
    }
    "change its resonators or tolerance".to_owned()
}
