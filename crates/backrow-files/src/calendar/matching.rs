//! What a calendar's events would be among the library's services.

use super::write::uid_of;
use super::{Calendar, Event};
use backrow_core::collection::Venue;
use backrow_core::days::Days;
use backrow_core::edit::Edit;
use backrow_core::id::{ProgrammeId, ServiceId, VenueId, WeekId, WorkId, slug_of};
use backrow_core::library::Library;
use backrow_core::week::{Programme, Service, ServiceKind};
use jiff::civil::{Date, DateTime};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// Words that make an event a concert. Common practice in a few languages.
const CONCERT: [&str; 8] =
    ["concert", "konzert", "performance", "auffuhrung", "concerto", "matinee", "gala", "show"];
/// Words that make an event a dress rehearsal.
const DRESS: [&str; 5] =
    ["dress-rehearsal", "generalprobe", "hauptprobe", "repetition-generale", "prova-generale"];
/// Words that make an event the setting up before one.
const GET_IN: [&str; 6] = ["get-in", "load-in", "setup", "aufbau", "montage", "allestimento"];
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
    /// The service that is there already: by the event's identifier, or at that hour, or alone on that day. It would be changed.
    pub known: Option<ServiceId>,
    /// Whether the service that is known would be removed: the event is cancelled, or is in the calendar no longer.
    pub removes: bool,
}

impl Proposal {
    /// What would happen, in words: "new", "there already", "changes 14:30", "no programme".
    pub fn words(&self, library: &Library) -> String {
        self.words_of(library.days(), self.known.as_ref().and_then(|id| library.service(id)))
    }

    /// The same with the service that is known.
    fn words_of(&self, days: Days, known: Option<&Service>) -> String {
        if self.removes {
            return if self.event.cancelled { "cancelled" } else { "no longer in the calendar" }.to_owned();
        }
        let Some(programme) = &self.programme else { return "no programme".to_owned() };
        let Some(known) = known else { return "new".to_owned() };
        let venue = self.venue.is_none() || known.venue == self.venue;
        let same = known.start == self.event.start
            && known.minutes == self.event.minutes
            && known.programme == *programme
            && known.kind == self.kind;
        if same && venue {
            "there already".to_owned()
        } else if known.start != self.event.start {
            format!("moved from {}", days.weekday_at(known.start))
        } else {
            format!("changes {} {}", known.kind.word(), days.hour(known.start.time()))
        }
    }
}

/// Each event with the programme, kind and venue that its words speak for. What is there already is not ticked.
pub fn propose(library: &Library, calendar: &Calendar) -> Vec<Proposal> {
    let index = Index::of(library);
    let venues = Venues::of(library);
    let mut free = Free::of(library);
    // What is known by its event is not taken by another at the same hour.
    for service in calendar.events.iter().filter_map(|event| index.by_event(event)) {
        free.use_up(service);
    }
    // Events that repeat, and most others, share their words.
    let mut said: BTreeMap<(&str, &str), Said<'_>> = BTreeMap::new();
    let mut proposals = Vec::new();
    for event in &calendar.events {
        let said = said.entry((event.summary.as_str(), event.location.as_str())).or_insert_with(|| Said {
            candidates: index.candidates(event),
            venue: venues.of_location(&event.location),
            kind: kind_of(event),
        });
        let by_event = index.by_event(event);
        let own = by_event.and_then(|service| index.by_id.get(&service.programme).copied());
        let found = own.or_else(|| index.nearest(&said.candidates, event));
        let known = by_event.or_else(|| found.and_then(|programme| free.known(&programme.id, event)));
        if let Some(known) = known {
            free.use_up(known);
        }
        if event.cancelled && known.is_none() {
            continue;
        }
        let usual = found.and_then(|programme| programme.venue.clone());
        let venue = said.venue.clone().filter(|venue| Some(venue) != usual.as_ref());
        let mut proposal = Proposal {
            event: event.clone(),
            take: false,
            programme: found.map(|programme| programme.id.clone()),
            kind: by_event.map_or(said.kind, |service| service.kind),
            venue: venue.or_else(|| by_event.and_then(|service| service.venue.clone())),
            known: known.map(|service| service.id.clone()),
            removes: event.cancelled,
        };
        proposal.take =
            proposal.programme.is_some() && proposal.words_of(library.days(), known) != "there already";
        proposals.push(proposal);
    }
    proposals.extend(gone(library, calendar, &free.used));
    proposals
}

/// Services that came from this calendar and are not in it any more. They are not ticked: the calendar may be a part.
fn gone(library: &Library, calendar: &Calendar, used: &BTreeSet<&ServiceId>) -> Vec<Proposal> {
    let uid = |key: &str| key.split('/').next().unwrap_or_default().to_owned();
    let uids: BTreeSet<&str> = calendar.events.iter().map(|event| event.uid.as_str()).collect();
    let days = || calendar.events.iter().map(|event| event.start);
    let (Some(first), Some(last)) = (days().min(), days().max()) else { return Vec::new() };
    let is_known = |service: &&Service| !service.event.is_empty() && used.contains(&service.id);
    if !library.services().any(|service| is_known(&service)) {
        return Vec::new();
    }
    // Of a calendar that is known, what has its own event within the days that it covers; and what is of a series in it.
    let within = |service: &&Service| {
        let of_series = service.event.contains('/') && uids.contains(uid(&service.event).as_str());
        !service.event.is_empty()
            && !used.contains(&service.id)
            && (of_series || !service.event.contains('/'))
            && (first..=last).contains(&service.start)
    };
    let proposal = |service: &Service| Proposal {
        event: Event {
            uid: uid(&service.event),
            summary: String::new(),
            location: String::new(),
            start: service.start,
            minutes: service.minutes,
            line: 0,
            key: service.event.clone(),
            repeats: false,
            cancelled: false,
        },
        take: false,
        programme: Some(service.programme.clone()),
        kind: service.kind,
        venue: service.venue.clone(),
        known: Some(service.id.clone()),
        removes: true,
    };
    library.services().filter(within).map(proposal).collect()
}

/// What an event's words alone speak for.
struct Said<'i> {
    candidates: Vec<&'i Titled>,
    venue: Option<VenueId>,
    kind: ServiceKind,
}

fn kind_of(event: &Event) -> ServiceKind {
    let words = slug_of(&event.summary);
    let any = |list: &[&str]| list.iter().any(|word| words.contains(word));
    if any(&DRESS) {
        ServiceKind::DressRehearsal
    } else if any(&CONCERT) && !any(&REHEARSAL) {
        ServiceKind::Concert
    } else if any(&GET_IN) && !any(&REHEARSAL) {
        ServiceKind::GetIn
    } else {
        ServiceKind::Rehearsal
    }
}

/// The programmes that share a title, or of which each has a work of that title.
#[derive(Default)]
struct Titled {
    /// The days of their services, each with the last of the programmes that have one on it.
    days: BTreeMap<Date, usize>,
    /// The last of them.
    last: usize,
}

/// Programmes by their titles, or by those of their works, as slugs.
#[derive(Default)]
struct Titles {
    by_title: BTreeMap<String, Titled>,
    lengths: BTreeSet<usize>,
}

impl Titles {
    fn put(&mut self, title: &str, programme: usize, days: &[Date]) {
        // Shorter ones stand in too many words.
        if title.len() < 4 {
            return;
        }
        self.lengths.insert(title.len());
        let titled = self.by_title.entry(title.to_owned()).or_default();
        titled.last = titled.last.max(programme);
        for day in days {
            let last = titled.days.entry(*day).or_insert(programme);
            *last = programme.max(*last);
        }
    }

    /// The longest titles that stand somewhere in a slug. A slug is short, so that what is looked up here does not grow with the
    /// number of programmes.
    fn longest_in(&self, words: &str) -> Vec<&Titled> {
        for length in self.lengths.iter().rev().filter(|length| **length <= words.len()) {
            let at = |from: usize| self.by_title.get(words.get(from..from + length)?);
            let found: Vec<&Titled> = (0..=words.len() - length).filter_map(at).collect();
            if !found.is_empty() {
                return found;
            }
        }
        Vec::new()
    }
}

/// The library by what events are matched with.
struct Index<'a> {
    /// In the library's order.
    programmes: Vec<&'a Programme>,
    by_id: BTreeMap<&'a ProgrammeId, &'a Programme>,
    /// By their titles: "Ferry Tales, for schools" is "Ferry Tales" in most calendars.
    titles: Titles,
    works: Titles,
    by_event: BTreeMap<String, &'a Service>,
}

impl<'a> Index<'a> {
    fn of(library: &'a Library) -> Self {
        let mut days: BTreeMap<&ProgrammeId, Vec<Date>> = BTreeMap::new();
        let mut by_event = BTreeMap::new();
        for service in library.services() {
            days.entry(&service.programme).or_default().push(service.start.date());
            by_event.entry(uid_of(service)).or_insert(service);
        }
        for service in library.services().filter(|service| !service.event.is_empty()) {
            by_event.insert(service.event.clone(), service);
        }
        let slugs: BTreeMap<&WorkId, String> =
            library.works.iter().map(|(id, work)| (id, slug_of(&work.title))).collect();
        let mut index = Self {
            programmes: library.programmes().map(|(_, programme)| programme).collect(),
            by_id: BTreeMap::new(),
            titles: Titles::default(),
            works: Titles::default(),
            by_event,
        };
        for (at, programme) in index.programmes.iter().enumerate() {
            index.by_id.entry(&programme.id).or_insert(programme);
            let days = days.get(&programme.id).map_or(&[][..], Vec::as_slice);
            index.titles.put(&slug_of(&programme.title), at, days);
            let short = programme.title.split([',', ':', '(']).next().unwrap_or_default();
            index.titles.put(&slug_of(short), at, days);
            for title in programme.works.iter().filter_map(|id| slugs.get(id)) {
                index.works.put(title, at, days);
            }
        }
        index
    }

    /// The service that came from that event, or that the event came from.
    fn by_event(&self, event: &Event) -> Option<&'a Service> {
        self.by_event.get(&event.key).copied().filter(|_| !event.key.is_empty())
    }

    /// The programmes whose title, or else one of whose works, the event's words hold; those with the longest such title.
    fn candidates(&self, event: &Event) -> Vec<&Titled> {
        let words = slug_of(&format!("{} {}", event.summary, event.location));
        let titled = self.titles.longest_in(&words);
        if titled.is_empty() { self.works.longest_in(&words) } else { titled }
    }

    /// Of programmes that bear the same title, the one whose services are nearest; the last of several that are as near.
    fn nearest(&self, candidates: &[&Titled], event: &Event) -> Option<&'a Programme> {
        let day = event.start.date();
        let near = |titled: &&Titled| {
            let before = titled.days.range(..day).next_back();
            let around = before.into_iter().chain(titled.days.range(day..).next());
            let far = |(other, programme): (&Date, &usize)| {
                Some((day.until(*other).ok()?.get_days().unsigned_abs(), Reverse(*programme)))
            };
            around.filter_map(far).min().unwrap_or((u32::MAX, Reverse(titled.last)))
        };
        let (_, Reverse(at)) = candidates.iter().map(near).min()?;
        self.programmes.get(at).copied()
    }
}

/// Services by their place in the library's order.
type InOrder<'a> = BTreeMap<usize, &'a Service>;

/// The services that no event has been found to be yet.
#[derive(Default)]
struct Free<'a> {
    at_hour: BTreeMap<(&'a ProgrammeId, DateTime), InOrder<'a>>,
    on_day: BTreeMap<(&'a ProgrammeId, Date), InOrder<'a>>,
    by_id: BTreeMap<&'a ServiceId, InOrder<'a>>,
    used: BTreeSet<&'a ServiceId>,
}

impl<'a> Free<'a> {
    fn of(library: &'a Library) -> Self {
        let mut free = Self::default();
        for (at, service) in library.services().enumerate() {
            free.at_hour.entry((&service.programme, service.start)).or_default().insert(at, service);
            free.on_day.entry((&service.programme, service.start.date())).or_default().insert(at, service);
            free.by_id.entry(&service.id).or_default().insert(at, service);
        }
        free
    }

    fn use_up(&mut self, service: &'a Service) {
        self.used.insert(&service.id);
        for (at, service) in self.by_id.remove(&service.id).unwrap_or_default() {
            if let Some(free) = self.at_hour.get_mut(&(&service.programme, service.start)) {
                free.remove(&at);
            }
            if let Some(free) = self.on_day.get_mut(&(&service.programme, service.start.date())) {
                free.remove(&at);
            }
        }
    }

    /// The programme's service at that very hour; else, where there is but one on that day, that one.
    fn known(&self, programme: &ProgrammeId, event: &Event) -> Option<&'a Service> {
        let exact = self.at_hour.get(&(programme, event.start)).and_then(InOrder::first_key_value);
        let on_day = || {
            let free = self.on_day.get(&(programme, event.start.date()))?;
            free.first_key_value().filter(|_| free.len() == 1)
        };
        exact.or_else(on_day).map(|(_, service)| *service)
    }
}

/// Venues by their names as slugs.
struct Venues<'a>(Vec<(String, &'a Venue)>);

impl<'a> Venues<'a> {
    fn of(library: &'a Library) -> Self {
        Self(library.venues.values().map(|venue| (slug_of(&venue.name), &**venue)).collect())
    }

    /// The one with the longest name of those that a location names, or that hold it.
    fn of_location(&self, location: &str) -> Option<VenueId> {
        if location.trim().is_empty() {
            return None;
        }
        let place = slug_of(location);
        let named = self.0.iter().filter(|(name, _)| place.contains(name) || name.contains(&place));
        named.map(|(_, venue)| venue).max_by_key(|venue| venue.name.len()).map(|venue| venue.id.clone())
    }
}

/// What would happen with each, in words, as [`Proposal::words`] has it; the services are gone through once.
pub fn words_of_all(library: &Library, proposals: &[Proposal]) -> Vec<String> {
    let services = by_id(library);
    let known = |proposal: &Proposal| services.get(proposal.known.as_ref()?).copied();
    proposals.iter().map(|proposal| proposal.words_of(library.days(), known(proposal))).collect()
}

fn by_id(library: &Library) -> BTreeMap<&ServiceId, &Service> {
    let mut services = BTreeMap::new();
    for service in library.services() {
        services.entry(&service.id).or_insert(service);
    }
    services
}

/// What is ticked as one step; `None` when that changes nothing. Services that are there already are remembered by their events,
/// so that they are found again when those are moved.
pub fn edit(library: &Library, file: &str, proposals: &[Proposal]) -> Option<Edit> {
    let mut taken: BTreeSet<ServiceId> = library.services().map(|service| service.id.clone()).collect();
    let weeks: BTreeMap<&ProgrammeId, &WeekId> =
        library.programmes().map(|(week, programme)| (&programme.id, &week.id)).collect();
    let services = by_id(library);
    // The next number to try for a programme's services.
    let mut next: BTreeMap<&ProgrammeId, u64> = BTreeMap::new();
    let mut edits = Vec::new();
    let (mut many, mut removed) = (0, 0);
    for proposal in proposals {
        if !proposal.take {
            let known = proposal.known.as_ref().and_then(|id| services.get(id)).copied();
            edits.extend(known.and_then(|known| remembered(proposal, known, *weeks.get(&known.programme)?)));
            continue;
        }
        if let Some(known) = proposal.known.as_ref().filter(|_| proposal.removes) {
            edits.push(Edit::RemoveService(known.clone()));
            removed += 1;
            continue;
        }
        let Some(programme) = &proposal.programme else { continue };
        let Some(week) = weeks.get(programme) else { continue };
        let id = proposal.known.clone().unwrap_or_else(|| {
            let number = next.entry(programme).or_insert(1);
            loop {
                let name =
                    if *number == 1 { format!("{programme}-s") } else { format!("{programme}-s-{number}") };
                *number += 1;
                match ServiceId::new(&name) {
                    Ok(id) if !taken.contains(&id) => break id,
                    Ok(_taken) => {}
                    Err(_odd) => break ServiceId::fresh(&name, |id| taken.contains(id)),
                }
            }
        });
        taken.insert(id.clone());
        let service = Service {
            id,
            kind: proposal.kind,
            programme: programme.clone(),
            venue: proposal.venue.clone(),
            start: proposal.event.start,
            minutes: proposal.event.minutes,
            event: event_of(proposal),
        };
        edits.push(Edit::PutService { week: WeekId::clone(week), service });
        many += 1;
    }
    let services = |count: usize| format!("{count} service{}", if count == 1 { "" } else { "s" });
    let words = match (many, removed) {
        (0, 0) => format!("Remember {} by the events of {file}", services(edits.len())),
        (_, 0) => format!("Import {} of {file}", services(many)),
        _ => format!("Import {} of {file}, remove {}", services(many), services(removed)),
    };
    (!edits.is_empty()).then_some(Edit::Together { words, edits })
}

/// An event of ours that comes back needs no other name than the service has.
fn event_of(proposal: &Proposal) -> String {
    let key = &proposal.event.key;
    if key.ends_with(super::write::OURS) { String::new() } else { key.clone() }
}

/// The service that is there already, with its event.
fn remembered(proposal: &Proposal, service: &Service, week: &WeekId) -> Option<Edit> {
    let event = event_of(proposal);
    if proposal.removes || event.is_empty() || service.event == event || service.start != proposal.event.start
    {
        return None;
    }
    Some(Edit::PutService { week: week.clone(), service: Service { event, ..service.clone() } })
}
