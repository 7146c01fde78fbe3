//! What a calendar's events would be among the library's services.

use super::write::uid_of;
use super::{Calendar, Event};
use backrow_core::days::Days;
use backrow_core::edit::Edit;
use backrow_core::id::{ProgrammeId, ServiceId, VenueId, WeekId, slug_of};
use backrow_core::library::Library;
use backrow_core::week::{Programme, Service, ServiceKind};
use jiff::civil::DateTime;
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
    // What is known by its event is not taken by another at the same hour.
    let mut used: BTreeSet<&ServiceId> =
        calendar.events.iter().filter_map(|event| index.by_event(event)).map(|service| &service.id).collect();
    // Events that repeat, and most others, share their words.
    let mut said: BTreeMap<(&str, &str), Said<'_>> = BTreeMap::new();
    let mut proposals = Vec::new();
    for event in &calendar.events {
        let said = said.entry((event.summary.as_str(), event.location.as_str())).or_insert_with(|| Said {
            candidates: index.candidates(event),
            venue: venue_of(library, &event.location),
            kind: kind_of(event),
        });
        let by_event = index.by_event(event);
        let own = by_event.and_then(|service| library.programme(&service.programme));
        let found = own.or_else(|| nearest(&said.candidates, event));
        let known = by_event.or_else(|| found.and_then(|programme| index.known(&programme.id, event, &used)));
        used.extend(known.map(|service| &service.id));
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
    let gone = gone(library, calendar, &used);
    proposals.extend(gone);
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
struct Said<'a> {
    candidates: Vec<&'a Titles<'a>>,
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

/// A programme with the words by which an event is known to be of it.
struct Titles<'a> {
    programme: &'a Programme,
    whole: String,
    /// "Ferry Tales, for schools" is "Ferry Tales" in most calendars.
    short: String,
    works: Vec<String>,
    /// The days of its services, in order.
    days: Vec<jiff::civil::Date>,
}

/// The library by what events are matched with.
struct Index<'a> {
    programmes: Vec<Titles<'a>>,
    at_hour: BTreeMap<(&'a ProgrammeId, DateTime), Vec<&'a Service>>,
    on_day: BTreeMap<(&'a ProgrammeId, jiff::civil::Date), Vec<&'a Service>>,
    by_event: BTreeMap<String, &'a Service>,
}

impl<'a> Index<'a> {
    fn of(library: &'a Library) -> Self {
        let mut at_hour: BTreeMap<_, Vec<&Service>> = BTreeMap::new();
        let mut on_day: BTreeMap<_, Vec<&Service>> = BTreeMap::new();
        let mut days: BTreeMap<&ProgrammeId, Vec<jiff::civil::Date>> = BTreeMap::new();
        for service in library.services() {
            at_hour.entry((&service.programme, service.start)).or_default().push(service);
            on_day.entry((&service.programme, service.start.date())).or_default().push(service);
            days.entry(&service.programme).or_default().push(service.start.date());
        }
        let mut by_event = BTreeMap::new();
        for service in library.services() {
            by_event.entry(uid_of(service)).or_insert(service);
            if !service.event.is_empty() {
                by_event.insert(service.event.clone(), service);
            }
        }
        for days in days.values_mut() {
            days.sort_unstable();
        }
        let titles = |(_, programme): (&'a backrow_core::week::Week, &'a Programme)| Titles {
            programme,
            whole: slug_of(&programme.title),
            short: slug_of(programme.title.split([',', ':', '(']).next().unwrap_or_default()),
            works: programme
                .works
                .iter()
                .filter_map(|id| library.works.get(id))
                .map(|work| slug_of(&work.title))
                .collect(),
            days: days.get(&programme.id).cloned().unwrap_or_default(),
        };
        Self { programmes: library.programmes().map(titles).collect(), at_hour, on_day, by_event }
    }

    /// The service that came from that event, or that the event came from.
    fn by_event(&self, event: &Event) -> Option<&'a Service> {
        self.by_event.get(&event.key).copied().filter(|_| !event.key.is_empty())
    }

    /// The programmes whose title, or else one of whose works, the event's words hold; those with the longest such title.
    fn candidates(&self, event: &Event) -> Vec<&Titles<'a>> {
        let words = slug_of(&format!("{} {}", event.summary, event.location));
        let holds =
            |title: &String| (title.len() >= 4 && words.contains(title.as_str())).then_some(title.len());
        let score = |titles: &Titles<'_>| {
            let of_work = || titles.works.iter().filter_map(holds).max();
            let of_title = holds(&titles.whole).or_else(|| holds(&titles.short));
            of_title.map(|n| (1, n)).or_else(|| of_work().map(|n| (0, n)))
        };
        let scored: Vec<((u8, usize), &Titles<'a>)> =
            self.programmes.iter().filter_map(|titles| Some((score(titles)?, titles))).collect();
        let best = scored.iter().map(|(score, _)| *score).max();
        scored.into_iter().filter(|(score, _)| Some(*score) == best).map(|(_, titles)| titles).collect()
    }

    /// The programme's service at that very hour; else, where there is but one on that day, that one.
    fn known(
        &self,
        programme: &ProgrammeId,
        event: &Event,
        used: &BTreeSet<&ServiceId>,
    ) -> Option<&'a Service> {
        let free = |services: Option<&Vec<&'a Service>>| -> Vec<&'a Service> {
            services.into_iter().flatten().filter(|service| !used.contains(&service.id)).copied().collect()
        };
        let exact = free(self.at_hour.get(&(programme, event.start)));
        let on_day = || free(self.on_day.get(&(programme, event.start.date())));
        exact.first().copied().or_else(|| match on_day().as_slice() {
            [only] => Some(*only),
            _ => None,
        })
    }
}

/// Of programmes that bear the same title, the one whose services are nearest.
fn nearest<'a>(candidates: &[&Titles<'a>], event: &Event) -> Option<&'a Programme> {
    let day = event.start.date();
    let far = |titles: &Titles<'_>| {
        let at = titles.days.partition_point(|other| *other < day);
        let around = titles.days.get(at.saturating_sub(1)..(at + 1).min(titles.days.len()));
        let days = around.unwrap_or_default().iter().filter_map(|other| day.until(*other).ok());
        days.map(|span| span.get_days().unsigned_abs()).min().unwrap_or(u32::MAX)
    };
    // As with the longest title, the last of several that are as near.
    candidates.iter().rev().min_by_key(|titles| far(titles)).map(|titles| titles.programme)
}

fn venue_of(library: &Library, location: &str) -> Option<VenueId> {
    let place = slug_of(location);
    let named = library.venues.values().filter(|venue| {
        let name = slug_of(&venue.name);
        !location.trim().is_empty() && (place.contains(&name) || name.contains(&place))
    });
    named.max_by_key(|venue| venue.name.len()).map(|venue| venue.id.clone())
}

/// What is ticked as one step; `None` when that changes nothing. Services that are there already are remembered by their events,
/// so that they are found again when those are moved.
pub fn edit(library: &Library, file: &str, proposals: &[Proposal]) -> Option<Edit> {
    let mut taken: BTreeSet<ServiceId> = library.services().map(|service| service.id.clone()).collect();
    let weeks: BTreeMap<&ProgrammeId, &WeekId> =
        library.programmes().map(|(week, programme)| (&programme.id, &week.id)).collect();
    // The next number to try for a programme's services.
    let mut next: BTreeMap<&ProgrammeId, u64> = BTreeMap::new();
    let mut edits = Vec::new();
    let (mut many, mut removed) = (0, 0);
    for proposal in proposals {
        if !proposal.take {
            edits.extend(remembered(library, proposal));
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
fn remembered(library: &Library, proposal: &Proposal) -> Option<Edit> {
    let service = library.service(proposal.known.as_ref()?)?;
    let event = event_of(proposal);
    if proposal.removes || event.is_empty() || service.event == event || service.start != proposal.event.start
    {
        return None;
    }
    let week = library.week_of(&service.programme)?.id.clone();
    Some(Edit::PutService { week, service: Service { event, ..service.clone() } })
}
