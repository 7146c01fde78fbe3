//! What stands at the head and foot of every sheet of a programme.

use crate::words::span_words;
use backrow_core::library::Library;
use backrow_core::week::Programme;
use backrow_print::{Head, Version};
use jiff::civil::Date;

/// Four signs that change whenever the plan does: works, calls, share-out, setup, hires. Two sheets that bear the same were
/// printed from the same state. (FNV-1a, 32 bits, folded to 16.)
pub(super) fn version(library: &Library, programme: &Programme) -> String {
    let mut hash: u32 = 0x811c_9dc5;
    let mut take = |text: &str| {
        for byte in text.bytes() {
            hash = (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193);
        }
    };
    take(&format!("{programme:?}"));
    for work in programme.works.iter().filter_map(|id| library.works.get(id)) {
        for call in &work.calls {
            take(&format!("{} {:?} {} {}", call.id, call.kind, call.measures(), call.passages.len()));
        }
    }
    for service in library.services_of(&programme.id) {
        take(&format!("{service:?}"));
    }
    format!("{:04x}", (hash >> 16) ^ (hash & 0xffff))
}

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
        version: Version { number: version(library, programme), at, replaces: String::new() },
        today: None,
    }
}
