//! Services and weeks.

use super::Programme;
use crate::id::{ProgrammeId, ServiceId, VenueId, WeekId};
use jiff::civil::{Date, DateTime};

/// One rehearsal or concert, or the setting up before it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Service {
    /// Stable for ever, unique over all weeks.
    pub id: ServiceId,
    /// What it is.
    pub kind: ServiceKind,
    /// Of which programme.
    pub programme: ProgrammeId,
    /// Where; the programme's own venue when `None`.
    pub venue: Option<VenueId>,
    /// When it begins, local time.
    pub start: DateTime,
    /// How long it lasts, minutes.
    pub minutes: u32,
    /// By which event of a calendar it is known, so that a moved or cancelled one is found again: the event's identifier, and of
    /// one that repeats the moment that it was first meant for. Empty where it comes from no calendar.
    pub event: String,
}

impl Service {
    /// Where it is: its own venue, or else its programme's.
    pub fn place<'a>(&'a self, programme: &'a Programme) -> Option<&'a VenueId> {
        self.venue.as_ref().or(programme.venue.as_ref())
    }

    /// Whether two services share a moment of time.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.start < other.end() && other.start < self.end()
    }

    /// When it ends.
    pub fn end(&self) -> DateTime {
        self.start.saturating_add(jiff::Span::new().minutes(i64::from(self.minutes.min(10_000))))
    }
}

/// What a service is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the trade’s words")]
pub enum ServiceKind {
    Rehearsal,
    DressRehearsal,
    Concert,
    GetIn,
}

impl ServiceKind {
    /// All, in the order of menus.
    pub const ALL: [Self; 4] = [Self::Rehearsal, Self::DressRehearsal, Self::Concert, Self::GetIn];

    /// "rehearsal", "dress rehearsal", "concert" or "get-in".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Rehearsal => "rehearsal",
            Self::DressRehearsal => "dress rehearsal",
            Self::Concert => "concert",
            Self::GetIn => "get-in",
        }
    }
}

/// One file's worth of the season: programmes and services that belong to a week.
#[derive(Clone, Debug, PartialEq)]
pub struct Week {
    /// Stable for ever.
    pub id: WeekId,
    /// What it is called: "Week 7, 12–18 October".
    pub title: String,
    /// In order.
    pub programmes: Vec<Programme>,
    /// In order of time.
    pub services: Vec<Service>,
}

/// The first and the last day of some services.
pub fn span_of(services: &[&Service]) -> Option<(Date, Date)> {
    let days = || services.iter().map(|service| service.start.date());
    Some((days().min()?, days().max()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::service;

    #[test]
    fn services_have_a_place_an_end_and_a_span() {
        let one = service("s", "p", 10);
        assert_eq!(one.end(), jiff::civil::date(2031, 3, 4).at(12, 30, 0, 0));
        let mut programme = crate::sample::programme("p", &[]);
        assert_eq!(one.place(&programme).map(VenueId::as_str), Some("hall"));
        let own = Service { venue: VenueId::new("pier").ok(), ..one.clone() };
        assert_eq!(own.place(&programme).map(VenueId::as_str), Some("pier"));
        programme.venue = None;
        assert_eq!(one.place(&programme), None);
        let later = Service { start: jiff::civil::date(2031, 3, 9).at(9, 0, 0, 0), ..one.clone() };
        let days = (jiff::civil::date(2031, 3, 4), jiff::civil::date(2031, 3, 9));
        assert_eq!(span_of(&[&later, &one]), Some(days));
        assert_eq!(span_of(&[]), None);
        assert!(one.overlaps(&service("t", "p", 12)) && !one.overlaps(&later));
        assert_eq!(
            ServiceKind::ALL.map(ServiceKind::word),
            ["rehearsal", "dress rehearsal", "concert", "get-in"]
        );
        assert_eq!(
            super::super::HireState::ALL.map(super::super::HireState::word),
            ["to ask", "asked", "confirmed", "on site", "returned"]
        );
    }
}
