//! Our services as a calendar (RFC 5545), for players' own.

use super::times;
use backrow_core::id::ProgrammeId;
use backrow_core::library::Library;
use backrow_core::week::{Programme, Service};
use std::collections::BTreeMap;

/// What ends the identifier of a service that comes from no calendar.
pub(super) const OURS: &str = "@backrow";

/// The most octets of a content line (3.1).
const LINE: usize = 75;

/// The identifier that an event of ours has: that of the calendar's own event where it comes from one that does not repeat.
pub(super) fn uid_of(service: &Service) -> String {
    let own = Some(service.event.as_str()).filter(|event| !event.is_empty() && !event.contains('/'));
    own.map_or_else(|| format!("{}{OURS}", service.id), str::to_owned)
}

/// The services of these programmes as an iCalendar file; hours in UTC where the orchestra's zone is known, else as they are.
/// `stamp` is the moment of writing, UTC (`20271012T080000Z`).
pub fn calendar_of<'a>(
    library: &Library,
    programmes: impl Iterator<Item = &'a Programme>,
    stamp: &str,
) -> String {
    let mut out = String::new();
    for line in ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Backrow//Services//EN", "CALSCALE:GREGORIAN"] {
        put(&mut out, line);
    }
    if !library.orchestra.zone.is_empty() {
        put(&mut out, &format!("X-WR-TIMEZONE:{}", library.orchestra.zone));
    }
    let mut services: BTreeMap<&ProgrammeId, Vec<&Service>> = BTreeMap::new();
    for service in library.services() {
        services.entry(&service.programme).or_default().push(service);
    }
    for own in services.values_mut() {
        own.sort_by_key(|service| service.start);
    }
    for programme in programmes {
        for service in services.get(&programme.id).into_iter().flatten() {
            event(&mut out, library, programme, service, stamp);
        }
    }
    put(&mut out, "END:VCALENDAR");
    out
}

fn event(out: &mut String, library: &Library, programme: &Programme, service: &Service, stamp: &str) {
    let zone = times::zone_of(&library.orchestra.zone);
    let kind = service.kind.word();
    let mut letters = kind.chars();
    let kind: String = letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect();
    let works = programme.works_in_order().filter_map(|(_, id)| library.works.get(id));
    let works: Vec<&str> = works.map(|work| work.title.as_str()).collect();
    put(out, "BEGIN:VEVENT");
    put(out, &format!("UID:{}", escaped(&uid_of(service))));
    put(out, &format!("DTSTAMP:{stamp}"));
    put(out, &format!("DTSTART:{}", times::in_utc(service.start, zone)));
    put(out, &format!("DTEND:{}", times::in_utc(service.end(), zone)));
    put(out, &format!("SUMMARY:{}", escaped(&format!("{kind}: {}", programme.title))));
    if let Some(venue) = service.place(programme).and_then(|id| library.venues.get(id)) {
        put(out, &format!("LOCATION:{}", escaped(&venue.name)));
    }
    if !works.is_empty() {
        put(out, &format!("DESCRIPTION:{}", escaped(&works.join("\n"))));
    }
    put(out, "END:VEVENT");
}

/// Text as 3.3.11 has it.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for sign in text.chars() {
        match sign {
            '\\' | ';' | ',' => out.extend(['\\', sign]),
            '\n' => out.push_str("\\n"),
            '\r' => {}
            other => out.push(other),
        }
    }
    out
}

/// A line, folded where it is longer than 75 octets; no letter is cut.
fn put(out: &mut String, line: &str) {
    let mut length = 0;
    for sign in line.chars() {
        if length + sign.len_utf8() > LINE {
            out.push_str("\r\n ");
            length = 1;
        }
        out.push(sign);
        length += sign.len_utf8();
    }
    out.push_str("\r\n");
}
