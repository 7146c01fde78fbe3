//! Two services that one player, instrument or set of beaters cannot serve both.

use super::Service;
use crate::days::Days;
use crate::id::VenueId;
use jiff::Span;
use jiff::civil::DateTime;

/// Two services that collide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collision<'a> {
    /// The one that was asked about.
    pub here: &'a Service,
    /// The other.
    pub there: &'a Service,
    /// Minutes between them, and the minutes that are assumed; `None` when they share a moment.
    pub between: Option<(i64, i64)>,
}

/// How two services collide for something that needs `minutes` from one venue to another; `None` when they do not.
pub fn collision<'a>(
    (here, at): (&'a Service, Option<&VenueId>),
    (there, elsewhere): (&'a Service, Option<&VenueId>),
    minutes: i64,
) -> Option<Collision<'a>> {
    if here.overlaps(there) {
        return Some(Collision { here, there, between: None });
    }
    if at == elsewhere {
        return None;
    }
    let (first, second) = if here.start <= there.start { (here, there) } else { (there, here) };
    let seconds = first.end().until(second.start).ok()?.total(jiff::Unit::Second).ok()?;
    // Whole minutes, rounded down: what is too short never reads as enough.
    #[expect(clippy::cast_possible_truncation, reason = "minutes between two dates")]
    let between = (seconds / 60.0).floor() as i64;
    (between < minutes).then_some(Collision { here, there, between: Some((between, minutes)) })
}

/// How long the longest of some services lasts, minutes.
pub(crate) fn longest(services: &[&Service]) -> u32 {
    services.iter().map(|service| service.minutes).max().unwrap_or(0)
}

/// Of services in order of time, none of which lasts longer than `longest`, those that may collide with one for something that needs
/// `minutes` between two venues: the others need not be looked at.
pub(crate) fn near<'s, 'a>(
    service: &Service,
    in_order: &'s [&'a Service],
    longest: u32,
    minutes: i64,
) -> &'s [&'a Service] {
    let span = |minutes: i64| Span::new().try_minutes(minutes).unwrap_or_default();
    let before = span(i64::from(longest).saturating_add(minutes));
    let from = service.start.checked_sub(before).unwrap_or(DateTime::MIN);
    let to = service.end().checked_add(span(minutes)).unwrap_or(DateTime::MAX);
    let at = in_order.partition_point(|other| other.start < from);
    let end = in_order.partition_point(|other| other.start <= to);
    in_order.get(at..end.max(at)).unwrap_or_default()
}

impl Collision<'_> {
    /// When the later of the two begins: "14 Oct, 11:00".
    pub fn start(&self, days: Days) -> String {
        days.at(self.here.start.max(self.there.start))
    }

    /// The other service and how they collide: "concert Wed 14 Oct, 18:30–19:45, at the same time".
    pub fn other_words(&self, days: Days) -> String {
        let there = self.there;
        let how = match self.between {
            None => "at the same time".to_owned(),
            Some((has, needs)) => {
                format!("{has}\u{202F}min between them, {needs}\u{202F}min to travel assumed")
            }
        };
        format!("{} {}, {how}", there.kind.word(), days.span(there.start, there.end()))
    }

    /// "at the same time on 14 Oct, 11:00"; "on 14 Oct, 19:30 with 20 min to come from the other venue, 60 assumed".
    pub fn words(&self, days: Days) -> String {
        let start = self.start(days);
        match self.between {
            None => format!("at the same time on {start}"),
            Some((has, needs)) => {
                format!(
                    "in two venues with {has}\u{202F}min between them on {start}; moving takes about {needs}\u{202F}min"
                )
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::service;
    use proptest::prelude::*;
    use rstest::rstest;

    // The services of the sample last 150 minutes; the first begins at 10:00.
    #[rstest]
    #[case(11, true, "at the same time on 4 Mar, 11:00")]
    #[case(14, true, "")]
    #[case(
        13,
        false,
        "in two venues with 30\u{202f}min between them on 4 Mar, 13:00; moving takes about 60\u{202f}min"
    )]
    #[case(14, false, "")]
    fn in_time_and_on_the_way(#[case] hour: i8, #[case] same: bool, #[case] says: &str) {
        let (one, other) = (service("s", "p", 10), service("t", "q", hour));
        let (here, there) = (VenueId::new("hall").unwrap(), VenueId::new("pier").unwrap());
        let elsewhere = if same { &here } else { &there };
        let found = collision((&one, Some(&here)), (&other, Some(elsewhere)), 60);
        assert_eq!(found.map_or_else(String::new, |found| found.words(Days::default())), says);
        let back = collision((&other, Some(elsewhere)), (&one, Some(&here)), 60);
        assert_eq!(
            back.map_or_else(String::new, |found| found.words(Days::default())),
            says,
            "either way round"
        );
    }

    proptest! {
        /// What is not near collides with nothing, and a still frame of a season looks at few.
        #[test]
        fn those_that_are_not_near_do_not_collide(
            all in proptest::collection::vec((0_i64..3_000, 1_u32..400), 1..20),
            minutes in 0_i64..200,
        ) {
            let first = service("s", "p", 10);
            let at = |(later, lasts): &(i64, u32)| Service {
                start: first.start + Span::new().minutes(*later),
                minutes: *lasts,
                ..first.clone()
            };
            let mut all: Vec<Service> = all.iter().map(at).collect();
            all.sort_by_key(|one| one.start);
            let all: Vec<&Service> = all.iter().collect();
            let (hall, pier) = (VenueId::new("hall").unwrap(), VenueId::new("pier").unwrap());
            let collides = |one: &Service, other: &Service| {
                collision((one, Some(&hall)), (other, Some(&pier)), minutes).is_some()
            };
            for one in &all {
                let plain: Vec<&Service> = all.iter().copied().filter(|other| collides(one, other)).collect();
                let near = near(one, &all, longest(&all), minutes).iter().copied();
                prop_assert_eq!(near.filter(|other| collides(one, other)).collect::<Vec<_>>(), plain);
            }
        }
    }

    /// The work of a season grows with its services: of one a day, each looks at its neighbours alone.
    #[test]
    fn few_are_near() {
        let first = service("s", "p", 10);
        for days in [100, 1_000] {
            let at = |day: i64| Service { start: first.start + Span::new().days(day), ..first.clone() };
            let all: Vec<Service> = (0..days).map(at).collect();
            let all: Vec<&Service> = all.iter().collect();
            let looked: usize = all.iter().map(|one| near(one, &all, longest(&all), 180).len()).sum();
            assert_eq!(looked, all.len(), "each at itself");
        }
    }

    #[test]
    fn one_that_begins_when_the_other_ends_is_no_collision() {
        let one = service("s", "p", 10);
        let next = Service { start: one.end(), ..service("t", "p", 12) };
        assert!(!one.overlaps(&next) && !next.overlaps(&one));
        let hall = VenueId::new("hall").unwrap();
        assert_eq!(collision((&one, Some(&hall)), (&next, Some(&hall)), 60), None);
    }

    // An hour is assumed; 59 minutes are too short, and so are 59 and a half.
    #[rstest]
    #[case(30, 0, None)]
    #[case(29, 0, Some((59, 60)))]
    #[case(29, 30, Some((59, 60)))]
    fn an_hour_is_enough_and_a_minute_less_is_not(
        #[case] minute: i8,
        #[case] second: i8,
        #[case] between: Option<(i64, i64)>,
    ) {
        let one = service("s", "p", 10);
        let start = jiff::civil::date(2031, 3, 4).at(13, minute, second, 0);
        let other = Service { start, ..service("t", "q", 13) };
        let (here, there) = (VenueId::new("hall").unwrap(), VenueId::new("pier").unwrap());
        let found = collision((&one, Some(&here)), (&other, Some(&there)), 60);
        assert_eq!(found.and_then(|found| found.between), between);
    }
}
