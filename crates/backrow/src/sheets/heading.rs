//! What stands at the head and foot of every sheet of a programme.

use crate::words::span_words;
use backrow_core::library::Library;
use backrow_core::week::Programme;
use backrow_print::{Head, Version};
use jiff::civil::Date;

/// Days with their year, as paper outlives it: "12–15 Oct 2027".
pub(super) fn days(first: Date, last: Date) -> String {
    if first.year() == last.year() {
        format!("{} {}", span_words(first, last), last.year())
    } else {
        format!("{} {} – {} {}", span_words(first, first), first.year(), span_words(last, last), last.year())
    }
}

/// The head of a programme's sheets; the version is set where the whole of a sheet is known.
pub fn head(library: &Library, programme: &Programme) -> Head {
    let services = library.services_of(&programme.id);
    let dates = match (services.first(), services.last()) {
        (Some(first), Some(last)) => days(first.start.date(), last.start.date()),
        _ => String::new(),
    };
    let venue = programme.venue.as_ref().and_then(|id| library.venues.get(id));
    Head {
        orchestra: library.orchestra.name.clone(),
        programme: programme.title.clone(),
        venue: venue.map_or_else(String::new, |venue| venue.name.clone()),
        dates,
        version: Version::default(),
        today: None,
    }
}
