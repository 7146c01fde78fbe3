//! Moments, lengths and repetitions, in one zone.

use super::lines::Line;
use super::own_zones::{Own, Zone, Zones, until_local};
use super::windows;
use chrono::{Datelike, NaiveDateTime, TimeZone, Timelike, Utc};
use chrono_tz::Tz;
use jiff::civil::{Date, DateTime, Time};
use rrule::RRuleSet;

/// Whether a zone is known by that name.
pub fn is_zone(name: &str) -> bool {
    zone_of(name).is_some()
}

/// Which day it is in a zone at a moment; `None` where no zone is known by that name.
pub fn day_in(zone: &str, at: chrono::DateTime<Utc>) -> Option<Date> {
    let there = at.with_timezone(&zone_of(zone)?).date_naive();
    let part = |n: u32| i8::try_from(n).ok();
    Date::new(i16::try_from(there.year()).ok()?, part(there.month())?, part(there.day())?).ok()
}

/// The names of all zones of the tz database, in order.
pub fn zones() -> impl Iterator<Item = &'static str> {
    chrono_tz::TZ_VARIANTS.iter().map(|zone| zone.name())
}

/// A zone of the tz database by its name or by that which Windows has for it; of a name with a producer's own beginning the last
/// two parts count.
pub(super) fn zone_of(name: &str) -> Option<Tz> {
    let exact = name.trim().parse().ok();
    let windows = || windows::tz_name(name).and_then(|zone| zone.parse().ok());
    exact.or_else(windows).or_else(|| windows::by_places(name)).or_else(|| {
        let parts: Vec<&str> = name.trim().rsplit('/').take(2).collect();
        let [city, area] = parts.as_slice() else { return None };
        format!("{area}/{city}").parse().ok()
    })
}

/// A DATE-TIME (3.3.5) in the home zone: one with a Z is UTC, one with a known TZID is in that zone, any other is local as it
/// stands.
pub(super) fn moment(line: &Line, home: Option<Tz>, zones: &Zones) -> Result<DateTime, String> {
    let value = line.value.trim();
    let expected = || format!("\"{value}\" is not a time; expected such as 20271012T193000");
    let utc = value.strip_suffix(['Z', 'z']);
    let local =
        NaiveDateTime::parse_from_str(utc.unwrap_or(value), "%Y%m%dT%H%M%S").map_err(|_bad| expected())?;
    let there = match (zone_in(line, zones), home) {
        (Some(Zone::Known(zone)), Some(home)) if zone == home => local,
        // An hour that is left out is taken as it stands.
        (Some(zone), Some(home)) => {
            zone.utc(local).map_or(local, |utc| home.from_utc_datetime(&utc).naive_local())
        }
        _ => local,
    };
    civil(there).ok_or_else(expected)
}

/// The zone that a time is in: UTC with a Z, else that which it names; `None` for one that is local as it stands.
fn zone_in<'z>(line: &Line, zones: &'z Zones) -> Option<Zone<'z>> {
    if line.value.trim().ends_with(['Z', 'z']) {
        return Some(Zone::Known(Tz::UTC));
    }
    line.param("TZID").and_then(|name| zones.find(name))
}

fn civil(at: NaiveDateTime) -> Option<DateTime> {
    let small = |value: u32| i8::try_from(value).ok();
    let date = Date::new(i16::try_from(at.year()).ok()?, small(at.month())?, small(at.day())?).ok()?;
    let time = Time::new(small(at.hour())?, small(at.minute())?, small(at.second())?, 0).ok()?;
    Some(date.to_datetime(time))
}

/// The longest that an event is taken to last, minutes: a week.
const LONGEST_MIN: f64 = 7.0 * 24.0 * 60.0;

/// How long an event lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Lasts {
    /// Minutes.
    Minutes(u32),
    /// It does not say.
    Unsaid,
    /// It ends before it begins, or when it begins.
    Backwards,
    /// Longer than anything that a person attends.
    TooLong,
}

impl Lasts {
    /// Minutes, where they can be believed.
    pub(super) const fn minutes(self) -> Option<u32> {
        match self {
            Self::Minutes(minutes) => Some(minutes),
            _ => None,
        }
    }

    /// What is wrong with the length of the event of that name, and what is done about it.
    pub(super) fn odd(self, summary: &str) -> Option<(String, &'static str)> {
        let what = match self {
            Self::Minutes(_) => return None,
            Self::Unsaid => format!("\"{summary}\" does not say how long it lasts"),
            Self::Backwards => format!("\"{summary}\" does not end after it begins"),
            Self::TooLong => format!("\"{summary}\" is said to last more than a week"),
        };
        Some((what, "two hours are assumed"))
    }
}

/// How long an event lasts, by its length or its end.
pub(super) fn lasts(
    start: Option<&Line>,
    end: Option<&Line>,
    length: Option<&Line>,
    home: Option<Tz>,
    zones: &Zones,
) -> Lasts {
    let by_end = || {
        // Both in UTC, so that a change of the clocks in between does not count.
        let utc = |line: &Line| moment(line, Some(home.unwrap_or(Tz::UTC)), zones).ok();
        let span = utc(start?)?.until(utc(end?)?).ok()?;
        span.total(jiff::SpanTotal::from(jiff::Unit::Minute).days_are_24_hours()).ok()
    };
    match length.and_then(|line| duration(&line.value)).or_else(by_end) {
        None => Lasts::Unsaid,
        Some(total) if total > LONGEST_MIN => Lasts::TooLong,
        Some(total) if total < 1.0 => Lasts::Backwards,
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "held between 1 and a week"
        )]
        Some(total) => Lasts::Minutes(total.round() as u32),
    }
}

/// A DURATION (3.3.6) in minutes: `PT2H30M`, `P1DT12H`, `P2W`.
fn duration(text: &str) -> Option<f64> {
    let text = text.trim().to_uppercase();
    let body = text.strip_prefix('+').unwrap_or(&text).strip_prefix('P')?;
    let mut minutes = 0.0;
    let mut digits = String::new();
    for sign in body.chars() {
        if sign.is_ascii_digit() {
            digits.push(sign);
            continue;
        }
        let unit = match sign {
            'T' => continue,
            'W' => 7.0 * 24.0 * 60.0,
            'D' => 24.0 * 60.0,
            'H' => 60.0,
            'M' => 1.0,
            'S' => 1.0 / 60.0,
            _ => return None,
        };
        minutes += std::mem::take(&mut digits).parse::<f64>().ok()? * unit;
    }
    digits.is_empty().then_some(minutes)
}

/// One time of an event.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct At {
    /// When it begins, in the home zone.
    pub(super) start: DateTime,
    /// The same moment as [`stamp`] writes it.
    pub(super) stamp: String,
}

pub(super) const STAMP: &str = "%Y%m%dT%H%M%S";

/// A DATE-TIME that means the same whatever the home zone is: in UTC where its zone is known, else as it stands.
pub(super) fn stamp(line: &Line, zones: &Zones) -> Option<String> {
    let value = line.value.trim();
    let Some(zone) = zone_in(line, zones) else { return Some(value.to_owned()) };
    let local = NaiveDateTime::parse_from_str(value.trim_end_matches(['Z', 'z']), STAMP).ok()?;
    Some(format!("{}Z", zone.utc(local).unwrap_or(local).format(STAMP)))
}

/// A moment in a zone as UTC, with its Z; without a known zone as it stands.
pub(super) fn in_utc(at: DateTime, zone: Option<Tz>) -> String {
    let plain = || at.strftime(STAMP).to_string();
    let (Some(zone), Ok(local)) = (zone, NaiveDateTime::parse_from_str(&plain(), STAMP)) else {
        return plain();
    };
    zone.from_local_datetime(&local)
        .earliest()
        .map_or_else(plain, |at| format!("{}Z", at.naive_utc().format(STAMP)))
}

/// Whether a rule has neither a count nor an end.
pub(super) fn is_endless(lines: &[&Line]) -> bool {
    let mut rules = lines.iter().filter(|line| line.name == "RRULE");
    rules.any(|rule| {
        let rule = rule.value.to_uppercase();
        !rule.split(';').any(|part| part.starts_with("COUNT=") || part.starts_with("UNTIL="))
    })
}

/// Every start of an event that repeats, and whether that is all of them; with `until`, those of the year that ends with that day.
pub(super) fn repeated(
    lines: &[&Line],
    home: Option<Tz>,
    (most, until): (u16, Option<Date>),
    zones: &Zones,
) -> Result<(Vec<At>, bool), String> {
    let begins = lines.iter().find(|line| line.name == "DTSTART");
    let zone = begins.and_then(|line| zone_in(line, zones));
    let own = match zone {
        Some(Zone::Own(own)) => Some(own),
        _ => None,
    };
    let rules: Vec<String> = lines
        .iter()
        .filter(|line| matches!(line.name.as_str(), "DTSTART" | "RRULE" | "RDATE" | "EXDATE" | "EXRULE"))
        .map(|line| own.map_or_else(|| in_a_zone(line, zones), |own| on_own_clocks(line, own)))
        .collect();
    let mut set: RRuleSet = rules.join("\n").parse().map_err(|why: rrule::RRuleError| why.to_string())?;
    if let Some(until) = until {
        let midnight = |date: Date| {
            let days = chrono::NaiveDate::from_ymd_opt(
                i32::from(date.year()),
                u32::try_from(date.month()).ok()?,
                u32::try_from(date.day()).ok()?,
            )?;
            Some(rrule::Tz::UTC.from_utc_datetime(&days.and_time(chrono::NaiveTime::MIN)))
        };
        // A day more at each end, as the zone is not counted here.
        let year = jiff::Span::new().days(367);
        let from = until.checked_sub(year).ok().and_then(midnight);
        let to = until.tomorrow().ok().and_then(midnight);
        set = from.map_or_else(|| set.clone(), |from| set.clone().after(from));
        set = to.map_or_else(|| set.clone(), |to| set.clone().before(to));
    }
    let found = set.all(most);
    let starts = found.dates.into_iter().filter_map(|date| {
        let local = date.naive_local();
        let utc = match zone {
            Some(zone @ Zone::Own(_)) => Utc.from_utc_datetime(&zone.utc(local).unwrap_or(local)),
            _ => date.with_timezone(&Utc),
        };
        let (there, stamp) = match home {
            _ if zone.is_none() => (local, local.format(STAMP).to_string()),
            Some(home) => (utc.with_timezone(&home).naive_local(), format!("{}Z", utc.format(STAMP))),
            None => (local, format!("{}Z", utc.format(STAMP))),
        };
        Some(At { start: civil(there)?, stamp })
    });
    Ok((starts.collect(), !found.limited))
}

/// The line with a zone that the tz database knows, so that no clock of the machine is asked.
fn in_a_zone(line: &Line, zones: &Zones) -> String {
    if !matches!(line.name.as_str(), "DTSTART" | "RDATE" | "EXDATE") {
        return line.whole.clone();
    }
    match line.param("TZID").and_then(zone_of) {
        Some(zone) => format!("{};TZID={}:{}", line.name, zone.name(), line.value),
        None if zone_in(line, zones).is_none() => format!("{};TZID=UTC:{}", line.name, line.value),
        None => format!("{}:{}", line.name, line.value),
    }
}

/// The line of a series whose zone the calendar defines itself: every time on that zone's clocks, and called UTC, so that nothing
/// is added to it.
fn on_own_clocks(line: &Line, own: &Own) -> String {
    if !matches!(line.name.as_str(), "DTSTART" | "RDATE" | "EXDATE") {
        return format!("{}:{}", line.name, until_local(&line.value, |utc| own.local(utc)));
    }
    let local = |value: &str| {
        let utc = value.trim().strip_suffix(['Z', 'z'])?;
        Some(own.local(NaiveDateTime::parse_from_str(utc, STAMP).ok()?)?.format(STAMP).to_string())
    };
    let values = line.value.split(',').map(|value| local(value).unwrap_or_else(|| value.trim().to_owned()));
    format!("{};TZID=UTC:{}", line.name, values.collect::<Vec<_>>().join(","))
}
