//! Two services that one player, instrument or set of beaters cannot serve both.

use super::Service;
use crate::days::Days;
use crate::id::VenueId;

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
