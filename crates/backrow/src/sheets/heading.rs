//! What stands at the head and foot of every sheet of a programme.

use crate::frame::top_strip::span_words;
use backrow_core::library::Library;
use backrow_core::week::Programme;
use backrow_print::{Head, Version};
use jiff::civil::Date;

/// The head of a programme's sheets.
pub fn head(library: &Library, programme: &Programme, today: Option<Date>) -> Head {
    let services = library.services_of(&programme.id);
    let dates = match (services.first(), services.last()) {
        (Some(first), Some(last)) => span_words(first.start.date(), last.start.date()),
        _ => String::new(),
    };
    let venue = programme.venue.as_ref().and_then(|id| library.venues.get(id));
    let at =
        today.map_or_else(String::new, |day| format!("printed {}, {}", span_words(day, day), day.year()));
    Head {
        orchestra: library.house.name.clone(),
        programme: programme.title.clone(),
        venue: venue.map_or_else(String::new, |venue| venue.name.clone()),
        dates,
        version: Version { number: String::new(), at, replaces: String::new() },
        today: None,
    }
}
