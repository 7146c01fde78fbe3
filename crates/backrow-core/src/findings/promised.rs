//! An instrument promised to two programmes that need it at the same time, or in two venues within the same days.

use super::{About, Case, Degree, Finding, ShowsOn};
use crate::id::InstrumentId;
use crate::library::Library;
use crate::week::{Programme, Service};
use jiff::civil::Date;
use std::collections::BTreeSet;

/// Instruments of this programme that another one has as well.
pub(super) fn check(case: &Case<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for instrument in used(case.programme) {
        let Some((other, when)) = other_use(case.library, case.programme, &instrument) else { continue };
        let venue = other.venue.as_ref().and_then(|id| case.library.venues.get(id));
        let place = venue.map_or_else(String::new, |venue| format!(" in {}", venue.name));
        let call = case.given().find(|taken| taken.instruments.contains(&instrument));
        let mut about = vec![About::Instrument(instrument.clone())];
        about.extend(call.map(|taken| About::Call(taken.call.clone())));
        about.push(About::Programme(other.id.clone()));
        found.push(Finding {
            code: "promised-twice",
            degree: Degree::Clash,
            shows_on: ShowsOn::Compass,
            what: format!("{} is promised twice", case.library.instrument_name(&instrument)),
            detail: format!(
                "{} has it too{place}, {when}. Choose another that reaches the notes, hire, or ask a player for theirs.",
                other.title
            ),
            about,
            fix: None,
        });
    }
    found
}

/// The instruments that a programme uses or has on its floor.
fn used(programme: &Programme) -> BTreeSet<InstrumentId> {
    let given = programme.share_out.values().flat_map(|given| &given.instruments);
    given.chain(programme.setup.placements.keys()).cloned().collect()
}

/// Another programme that needs the instrument when this one does, and when, in words. Two programmes need it at the same
/// time when services of theirs overlap, or when they are in different venues and their spans of days share a day: it
/// would have to be carried to and fro between services.
pub fn other_use<'a>(
    library: &'a Library,
    programme: &Programme,
    instrument: &InstrumentId,
) -> Option<(&'a Programme, String)> {
    let mine = library.services_of(&programme.id);
    library
        .programmes()
        .map(|(_, other)| other)
        .filter(|other| other.id != programme.id && used(other).contains(instrument))
        .find_map(|other| {
            clash(&mine, programme, &library.services_of(&other.id), other).map(|when| (other, when))
        })
}

fn clash(mine: &[&Service], one: &Programme, theirs: &[&Service], other: &Programme) -> Option<String> {
    let pairs = mine.iter().flat_map(|a| theirs.iter().map(move |b| (a, b)));
    let overlap = pairs.into_iter().find(|(a, b)| a.overlaps(b));
    if let Some((a, b)) = overlap {
        let later = a.start.max(b.start);
        return Some(format!("at the same time on {} {}", later.day(), month(later.date())));
    }
    if one.venue == other.venue {
        return None;
    }
    let ((from, to), (their_from, their_to)) = (span_of(mine)?, span_of(theirs)?);
    let (from, to) = (from.max(their_from), to.min(their_to));
    (from <= to).then(|| {
        format!("within the same days, {} {} to {} {}", from.day(), month(from), to.day(), month(to))
    })
}

/// The first and the last day of some services.
pub fn span_of(services: &[&Service]) -> Option<(Date, Date)> {
    let days = || services.iter().map(|service| service.start.date());
    Some((days().min()?, days().max()?))
}

fn month(date: Date) -> &'static str {
    const MONTHS: [&str; 12] =
        ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    usize::try_from(date.month() - 1).ok().and_then(|at| MONTHS.get(at)).copied().unwrap_or("")
}
