//! What a calendar's events would be among the library's services.

use super::{Calendar, Event};
use backrow_core::edit::Edit;
use backrow_core::id::{ProgrammeId, ServiceId, VenueId, slug_of};
use backrow_core::library::Library;
use backrow_core::week::{Service, ServiceKind};

/// Words that make an event a concert. Common practice in a few languages.
const CONCERT: [&str; 8] =
    ["concert", "konzert", "performance", "auffuhrung", "concerto", "matinee", "gala", "show"];
/// Words that make an event a rehearsal, whatever else it is called.
const REHEARSAL: [&str; 7] = ["rehearsal", "probe", "repetition", "prova", "generale", "dress", "seating"];

/// An event with what it would become.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// The event.
    pub event: Event,
    /// Whether it is to be taken in.
    pub take: bool,
    /// Of which programme; without one it cannot be taken in.
    pub programme: Option<ProgrammeId>,
    /// What it is.
    pub kind: ServiceKind,
    /// Where; the programme's own venue when `None`.
    pub venue: Option<VenueId>,
    /// The service that is there already at that hour or on that day, and would be changed.
    pub known: Option<ServiceId>,
}

impl Proposal {
    /// What would happen, in words: "new", "there already", "changes 14:30", "no programme".
    pub fn words(&self, library: &Library) -> String {
        let Some(programme) = &self.programme else { return "no programme".to_owned() };
        let Some(known) = self.known.as_ref().and_then(|id| library.service(id)) else {
            return "new".to_owned();
        };
        let venue = self.venue.is_none() || known.venue == self.venue;
        let same = known.start == self.event.start
            && known.minutes == self.event.minutes
            && known.programme == *programme
            && known.kind == self.kind;
        if same && venue {
            "there already".to_owned()
        } else {
            format!("changes {} {}", known.kind.word(), known.start.strftime("%H:%M"))
        }
    }
}

/// Each event with the programme, kind and venue that its words speak for. What is there already is not ticked.
pub fn propose(library: &Library, calendar: &Calendar) -> Vec<Proposal> {
    let mut used: Vec<ServiceId> = Vec::new();
    let propose = |event: &Event| {
        let programme = programme_of(library, event);
        let words = slug_of(&event.summary);
        let any = |list: &[&str]| list.iter().any(|word| words.contains(word));
        let kind =
            if any(&CONCERT) && !any(&REHEARSAL) { ServiceKind::Concert } else { ServiceKind::Rehearsal };
        let own = programme.as_ref().and_then(|id| library.programme(id)).and_then(|p| p.venue.clone());
        let venue = venue_of(library, &event.location).filter(|venue| Some(venue) != own.as_ref());
        let known = programme.as_ref().and_then(|id| known(library, id, event, &used));
        used.extend(known.clone());
        let mut proposal = Proposal { event: event.clone(), take: false, programme, kind, venue, known };
        proposal.take = proposal.programme.is_some() && proposal.words(library) != "there already";
        proposal
    };
    calendar.events.iter().map(propose).collect()
}

/// The programme whose title, or else one of whose works, the event's words hold; the longest such title wins. Of a title that
/// several programmes bear, the one whose services are nearest.
fn programme_of(library: &Library, event: &Event) -> Option<ProgrammeId> {
    let words = slug_of(&format!("{} {}", event.summary, event.location));
    let holds = |title: &str| {
        let title = slug_of(title);
        (title.len() >= 4 && words.contains(&title)).then_some(title.len())
    };
    let score = |programme: &backrow_core::week::Programme| {
        let works = programme.works.iter().filter_map(|id| library.works.get(id));
        let of_work = || works.filter_map(|work| holds(&work.title)).max();
        // "Ferry Tales, for schools" is "Ferry Tales" in most calendars.
        let short = programme.title.split([',', ':', '(']).next().unwrap_or_default();
        holds(&programme.title).or_else(|| holds(short)).map(|n| (1, n)).or_else(|| of_work().map(|n| (0, n)))
    };
    let far = |programme: &backrow_core::week::Programme| {
        let services = library.services_of(&programme.id);
        let days = services.iter().filter_map(|s| event.start.date().until(s.start.date()).ok());
        days.map(|span| span.get_days().unsigned_abs()).min().unwrap_or(u32::MAX)
    };
    let scored = library.programmes().filter_map(|(_, programme)| Some((score(programme)?, programme)));
    let best = scored.max_by_key(|(score, programme)| (*score, std::cmp::Reverse(far(programme))));
    best.map(|(_, programme)| programme.id.clone())
}

fn venue_of(library: &Library, location: &str) -> Option<VenueId> {
    let place = slug_of(location);
    let named = library.venues.values().filter(|venue| {
        let name = slug_of(&venue.name);
        !location.trim().is_empty() && (place.contains(&name) || name.contains(&place))
    });
    named.max_by_key(|venue| venue.name.len()).map(|venue| venue.id.clone())
}

/// The programme's service at that very hour; else, where there is but one on that day, that one.
fn known(library: &Library, programme: &ProgrammeId, event: &Event, used: &[ServiceId]) -> Option<ServiceId> {
    let services = library.services_of(programme);
    let free: Vec<&&Service> = services.iter().filter(|service| !used.contains(&service.id)).collect();
    let exact = free.iter().find(|service| service.start == event.start);
    let on_day: Vec<_> = free.iter().filter(|service| service.start.date() == event.start.date()).collect();
    let only = on_day.first().filter(|_| on_day.len() == 1);
    exact.or(only.copied()).map(|service| service.id.clone())
}

/// What is ticked as one step, with the number of services; `None` when nothing is.
pub fn edit(library: &Library, file: &str, proposals: &[Proposal]) -> Option<Edit> {
    let mut ids: Vec<ServiceId> = Vec::new();
    let mut edits = Vec::new();
    for proposal in proposals.iter().filter(|proposal| proposal.take) {
        let Some(programme) = &proposal.programme else { continue };
        let Some(week) = library.week_of(programme) else { continue };
        let id = proposal.known.clone().unwrap_or_else(|| {
            ServiceId::fresh(&format!("{programme}-s"), |id| {
                library.service(id).is_some() || ids.contains(id)
            })
        });
        ids.push(id.clone());
        let service = Service {
            id,
            kind: proposal.kind,
            programme: programme.clone(),
            venue: proposal.venue.clone(),
            start: proposal.event.start,
            minutes: proposal.event.minutes,
        };
        edits.push(Edit::PutService { week: week.id.clone(), service });
    }
    let many = edits.len();
    let words = format!("Take in {many} service{} of {file}", if many == 1 { "" } else { "s" });
    (many > 0).then_some(Edit::Together { words, edits })
}
