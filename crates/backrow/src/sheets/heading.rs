//! What stands at the head and foot of every sheet of a programme.

use backrow_core::library::Library;
use backrow_core::week::Programme;
use backrow_print::{Head, Version};

/// The head of a programme's sheets; the version is set where the whole of a sheet is known.
pub fn head(library: &Library, programme: &Programme) -> Head {
    let services = library.services_of(&programme.id);
    let dates = match (services.first(), services.last()) {
        // Paper outlives the year.
        (Some(first), Some(last)) => library.days().lasting().dates(first.start.date(), last.start.date()),
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
