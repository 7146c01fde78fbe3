//! Zones that a calendar defines itself (`VTIMEZONE`, RFC 5545, 3.6.5), for names that neither the tz database nor Windows knows.

use super::lines::Line;
use super::times;
use chrono::{NaiveDateTime, TimeDelta, TimeZone};
use chrono_tz::Tz;
use rrule::RRuleSet;
use std::collections::BTreeMap;
use std::fmt::Write;

/// Changes of one observance that are worked out at the most: some programs begin their rules in 1601.
const MOST: u16 = 800;

/// A zone that a calendar names.
#[derive(Clone, Copy, Debug)]
pub(super) enum Zone<'z> {
    /// One of the tz database.
    Known(Tz),
    /// One that the calendar itself defines.
    Own(&'z Own),
}

impl Zone<'_> {
    /// A time on the zone's clocks in UTC. Of an hour that comes twice the first counts; `None` for one that is left out.
    pub(super) fn utc(self, local: NaiveDateTime) -> Option<NaiveDateTime> {
        match self {
            Self::Known(zone) => zone.from_local_datetime(&local).earliest().map(|at| at.naive_utc()),
            Self::Own(own) => local.checked_sub_signed(own.offset(|onset| onset.local <= local)),
        }
    }
}

/// When the clocks of a zone are changed.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Onset {
    /// The time at which it is done, on the clocks as they were before.
    local: NaiveDateTime,
    /// By how much the clocks were ahead of UTC before.
    before: TimeDelta,
    /// By how much they are after.
    after: TimeDelta,
}

impl Onset {
    fn utc(&self) -> Option<NaiveDateTime> {
        self.local.checked_sub_signed(self.before)
    }
}

/// A zone that a calendar defines: its changes in order of time, at least one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Own {
    onsets: Vec<Onset>,
}

impl Own {
    /// By how much the clocks are ahead of UTC after the last change that has come.
    fn offset(&self, has_come: impl Fn(&Onset) -> bool) -> TimeDelta {
        let last = self.onsets.iter().rev().find(|onset| has_come(onset)).map(|onset| onset.after);
        last.or_else(|| self.onsets.first().map(|onset| onset.before)).unwrap_or_default()
    }

    /// A moment in UTC on the zone's clocks.
    pub(super) fn local(&self, utc: NaiveDateTime) -> Option<NaiveDateTime> {
        utc.checked_add_signed(self.offset(|onset| onset.utc().is_some_and(|at| at <= utc)))
    }
}

/// The zones of a calendar, by the names that its events use.
#[derive(Clone, Debug, Default)]
pub(super) struct Zones(BTreeMap<String, Own>);

impl Zones {
    /// Those that a file defines. One that cannot be read is not among them.
    pub(super) fn of(all: &[Line]) -> Self {
        let mut zones = BTreeMap::new();
        let (mut name, mut onsets) = (None, Vec::new());
        let mut observance: Option<Vec<&Line>> = None;
        let mut inside = false;
        for line in all {
            let value = line.value.trim().to_uppercase();
            match (line.name.as_str(), value.as_str()) {
                ("BEGIN", "VTIMEZONE") => {
                    inside = true;
                    (name, onsets, observance) = (None, Vec::new(), None);
                }
                ("BEGIN", "STANDARD" | "DAYLIGHT") if inside => observance = Some(Vec::new()),
                ("END", "STANDARD" | "DAYLIGHT") if inside => {
                    onsets.extend(observance.take().and_then(|lines| onsets_of(&lines)).unwrap_or_default());
                }
                ("END", "VTIMEZONE") => {
                    inside = false;
                    onsets.sort_by_key(|onset: &Onset| onset.local);
                    if let Some(name) = name.take().filter(|_| !onsets.is_empty()) {
                        zones.insert(name, Own { onsets: std::mem::take(&mut onsets) });
                    }
                }
                ("TZID", _) if inside => name = Some(line.value.trim().to_owned()),
                _ => {
                    if let Some(lines) = &mut observance {
                        lines.push(line);
                    }
                }
            }
        }
        Self(zones)
    }

    /// The zone of that name: that of the tz database first, as everybody means the same by it.
    pub(super) fn find(&self, name: &str) -> Option<Zone<'_>> {
        times::zone_of(name).map(Zone::Known).or_else(|| self.0.get(name.trim()).map(Zone::Own))
    }
}

/// The changes of one observance.
fn onsets_of(lines: &[&Line]) -> Option<Vec<Onset>> {
    let get = |name: &str| lines.iter().find(|line| line.name == name);
    let before = offset(&get("TZOFFSETFROM")?.value)?;
    let after = offset(&get("TZOFFSETTO")?.value)?;
    let first = get("DTSTART")?.value.trim();
    let repeats = lines.iter().any(|line| matches!(line.name.as_str(), "RRULE" | "RDATE"));
    let mut local: Vec<NaiveDateTime> = if repeats {
        // Its times are on its own clocks; they are called UTC here, so that nothing is added to them.
        let mut text = format!("DTSTART;TZID=UTC:{first}");
        for line in lines {
            match line.name.as_str() {
                "RRULE" => {
                    let rule = until_local(&line.value, |utc| utc.checked_add_signed(before));
                    write!(text, "\nRRULE:{rule}").ok()?;
                }
                "RDATE" => write!(text, "\nRDATE;TZID=UTC:{}", line.value.trim()).ok()?,
                _ => {}
            }
        }
        let set: RRuleSet = text.parse().ok()?;
        set.all(MOST).dates.iter().map(chrono::DateTime::naive_local).collect()
    } else {
        Vec::new()
    };
    // The first time counts whatever repeats (RFC 5545, 3.8.5.2); with dates alone the set leaves it out.
    let first = NaiveDateTime::parse_from_str(first, times::STAMP).ok()?;
    if !local.contains(&first) {
        local.insert(0, first);
    }
    Some(local.into_iter().map(|local| Onset { local, before, after }).collect())
}

/// A rule whose end is in UTC, with that end on the clocks that its times are on.
pub(super) fn until_local(rule: &str, local: impl Fn(NaiveDateTime) -> Option<NaiveDateTime>) -> String {
    let part = |part: &str| {
        let until = part.trim().to_uppercase();
        let moved = until.strip_prefix("UNTIL=").and_then(|at| at.strip_suffix('Z')).and_then(|at| {
            let at = local(NaiveDateTime::parse_from_str(at, times::STAMP).ok()?)?;
            Some(format!("UNTIL={}Z", at.format(times::STAMP)))
        });
        moved.unwrap_or_else(|| part.to_owned())
    };
    rule.trim().split(';').map(part).collect::<Vec<_>>().join(";")
}

/// A UTC-OFFSET (3.3.14): `+0530`, `-043000`.
fn offset(text: &str) -> Option<TimeDelta> {
    let text = text.trim();
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) => (-1, digits),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    let two = |at: usize| digits.get(at..at + 2)?.parse::<i64>().ok();
    let seconds = if digits.len() > 4 { two(4)? } else { 0 };
    let minutes = two(2)?;
    (minutes < 60 && seconds < 60).then_some(())?;
    TimeDelta::try_seconds(sign * (two(0)? * 3600 + minutes * 60 + seconds))
}
