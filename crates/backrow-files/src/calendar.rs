//! Services from a calendar: iCalendar files (RFC 5545), with time zones and rules of repetition.
//!
//! The lines are read here, so that a fault is named with its line and the rest goes on; repetition is worked out by the
//! `rrule` crate and zones by the tz database of `chrono-tz`.

mod lines;
mod matching;
mod own_zones;
mod times;
mod windows;
mod write;

pub use matching::{Proposal, edit, propose, words_of_all};
pub use times::{day_in, is_zone, zones};
pub use write::calendar_of;

use crate::limits::MOST_EVENTS;
use crate::problem::Problem;
use chrono_tz::Tz;
use jiff::civil::{Date, DateTime};
use lines::{Line, lines};
use own_zones::Zones;
use std::collections::{BTreeMap, BTreeSet};

/// Repetitions that are worked out for one event at the most.
const MOST: u16 = 800;

/// What a calendar holds, in one zone.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Calendar {
    /// The file's name.
    pub file: String,
    /// The zone in which the hours are said, a name of the tz database; empty for hours as written.
    pub zone: String,
    /// Whether no zone is known and hours stand in UTC: they are not those of the hall's clock.
    pub utc: bool,
    /// Every event at every time it happens, in order of time.
    pub events: Vec<Event>,
    /// Whether one repeats without end.
    pub endless: bool,
    /// What was left out or guessed at.
    pub problems: Vec<Problem>,
}

/// An event at one of its times.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// Its identifier in the calendar.
    pub uid: String,
    /// What it is called.
    pub summary: String,
    /// Where.
    pub location: String,
    /// When it begins, in the calendar's zone.
    pub start: DateTime,
    /// How long it lasts, minutes.
    pub minutes: u32,
    /// The line where it begins in the file.
    pub line: usize,
    /// By which it is found again: its identifier, and of one that repeats the moment that it was first meant for.
    pub key: String,
    /// Whether it is one of several times of an event that repeats.
    pub repeats: bool,
    /// Whether the calendar says that it does not take place.
    pub cancelled: bool,
}

/// How a calendar is read.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct How {
    /// The zone in which hours are said, a name of the tz database or of Windows; without it the calendar's own
    /// (`X-WR-TIMEZONE`, else the zone that its first event names).
    pub zone: Option<String>,
    /// The last day of the season: events that repeat without end are worked out for the year that ends with it.
    pub until: Option<Date>,
}

/// Reads a calendar. `zone` is the orchestra's; without it the calendar's own holds. An error says why the file is no calendar.
pub fn read(file: &str, bytes: &[u8], zone: Option<&str>) -> Result<Calendar, Problem> {
    read_as(file, bytes, &How { zone: zone.map(str::to_owned), until: None })
}

/// The same with all that can be said about it.
pub fn read_as(file: &str, bytes: &[u8], how: &How) -> Result<Calendar, Problem> {
    let text = String::from_utf8_lossy(bytes);
    let all = lines(&text);
    let begins =
        all.first().is_some_and(|line| line.name == "BEGIN" && line.value.eq_ignore_ascii_case("VCALENDAR"));
    if !begins {
        return Err(Problem {
            code: "no-calendar",
            place: format!("{file}, line 1"),
            what: "this is not an iCalendar file: BEGIN:VCALENDAR was expected".to_owned(),
            remedy: "export the calendar as .ics and try again".to_owned(),
        });
    }
    let mut calendar = Calendar { file: file.to_owned(), ..Calendar::default() };
    let all_cancelled =
        all.iter().any(|line| line.name == "METHOD" && line.value.eq_ignore_ascii_case("CANCEL"));
    let events = events_of(&all);
    let own = || all.iter().find(|line| line.name == "X-WR-TIMEZONE").map(|line| line.value.clone());
    let zones = Zones::of(&all);
    let named = || events.iter().filter_map(|event| event.get("DTSTART")?.param("TZID").map(str::to_owned));
    let known = || named().find(|name| times::zone_of(name).is_some());
    let wanted = how.zone.clone().or_else(own).or_else(known).or_else(|| named().next());
    let home: Option<Tz> = wanted.as_deref().and_then(times::zone_of);
    if let (Some(wanted), None) = (&wanted, home)
        && zones.find(wanted).is_none()
    {
        calendar.problem(
            "zone",
            1,
            format!("the zone \"{wanted}\" is not known"),
            "hours are taken as written",
        );
    }
    let in_utc =
        |event: &Raw<'_>| event.get("DTSTART").is_some_and(|line| line.value.trim().ends_with(['Z', 'z']));
    calendar.utc = home.is_none() && events.iter().any(in_utc);
    calendar.zone = home.map_or_else(String::new, |zone| zone.name().to_owned());
    let mut moved: BTreeMap<String, BTreeSet<DateTime>> = BTreeMap::new();
    for event in &events {
        if let Some(line) = event.get("RECURRENCE-ID")
            && let Ok(at) = times::moment(line, home, &zones)
        {
            moved.entry(event.uid()).or_default().insert(at);
        }
    }
    for event in &events {
        if calendar.events.len() >= MOST_EVENTS {
            let what = format!("it holds more than {MOST_EVENTS} events, repetitions among them");
            calendar.problem(
                "many",
                event.line,
                what,
                "those from here on are left out; export a shorter time",
            );
            break;
        }
        calendar.take(event, (home, &zones), &moved, how.until);
    }
    calendar.events.truncate(MOST_EVENTS);
    for event in calendar.events.iter_mut().filter(|_| all_cancelled) {
        event.cancelled = true;
    }
    calendar.events.sort_by(|a, b| (a.start, &a.uid).cmp(&(b.start, &b.uid)));
    Ok(calendar)
}

/// The lines of one event.
struct Raw<'a> {
    line: usize,
    lines: Vec<&'a Line>,
}

impl Raw<'_> {
    fn get(&self, name: &str) -> Option<&Line> {
        self.lines.iter().find(|line| line.name == name).copied()
    }

    fn text(&self, name: &str) -> String {
        self.get(name).map_or_else(String::new, Line::text)
    }

    fn uid(&self) -> String {
        self.text("UID")
    }

    fn repeats(&self) -> bool {
        self.lines.iter().any(|line| matches!(line.name.as_str(), "RRULE" | "RDATE"))
    }
}

/// Every `VEVENT`, without what is nested in it (alarms).
fn events_of(all: &[Line]) -> Vec<Raw<'_>> {
    let mut events: Vec<Raw<'_>> = Vec::new();
    let mut inside: Vec<String> = Vec::new();
    for line in all {
        match line.name.as_str() {
            "BEGIN" => {
                inside.push(line.value.to_uppercase());
                if inside.last().is_some_and(|last| last == "VEVENT") {
                    events.push(Raw { line: line.number, lines: Vec::new() });
                }
            }
            "END" => {
                inside.pop();
            }
            _ if inside.last().is_some_and(|last| last == "VEVENT") => {
                if let Some(event) = events.last_mut() {
                    event.lines.push(line);
                }
            }
            _ => {}
        }
    }
    events
}

impl Calendar {
    fn problem(&mut self, code: &'static str, line: usize, what: String, remedy: &str) {
        let place = format!("{}, line {line}", self.file);
        self.problems.push(Problem { code, place, what, remedy: remedy.to_owned() }.cut());
    }

    fn take(
        &mut self,
        event: &Raw<'_>,
        (home, zones): (Option<Tz>, &Zones),
        moved: &BTreeMap<String, BTreeSet<DateTime>>,
        until: Option<Date>,
    ) {
        let summary = event.text("SUMMARY");
        let Some(start) = event.get("DTSTART") else {
            self.problem("no-start", event.line, format!("\"{summary}\" has no DTSTART"), "it is left out");
            return;
        };
        if start.param("VALUE").is_some_and(|value| value.eq_ignore_ascii_case("DATE"))
            || start.value.len() == 8
        {
            let what = format!("\"{summary}\" is for whole days");
            self.problem("whole-day", start.number, what, "it is not a service and is left out");
            return;
        }
        if let Some(zone) = start.param("TZID").filter(|zone| zones.find(zone).is_none()) {
            let what = format!("the zone \"{zone}\" of \"{summary}\" is not known");
            self.problem("zone", start.number, what, "its hours are taken as written");
        }
        if let Err(why) = times::moment(start, home, zones) {
            self.problem("time", start.number, why, "the event is left out; correct the time");
            return;
        }
        let lasts =
            times::lasts(event.get("DTSTART"), event.get("DTEND"), event.get("DURATION"), home, zones);
        if let Some((what, remedy)) = lasts.odd(&summary) {
            self.problem("length", event.line, what, remedy);
        }
        let uid = event.uid();
        let instance = event.get("RECURRENCE-ID");
        let starts = self.starts(event, (home, zones), until);
        let elsewhere = moved.get(&uid).filter(|_| instance.is_none());
        let is_here = |start: &DateTime| elsewhere.is_none_or(|moved| !moved.contains(start));
        let repeats = instance.is_some() || event.repeats();
        for at in starts.into_iter().filter(|at| is_here(&at.start)) {
            let stamp = instance.and_then(|line| times::stamp(line, zones)).unwrap_or(at.stamp);
            let key = match (uid.is_empty(), repeats) {
                (true, _) => String::new(),
                (false, true) => format!("{uid}/{stamp}"),
                (false, false) => uid.clone(),
            };
            self.events.push(Event {
                uid: uid.clone(),
                summary: summary.clone(),
                location: event.text("LOCATION"),
                start: at.start,
                minutes: lasts.minutes().unwrap_or(120),
                line: event.line,
                key,
                repeats,
                cancelled: event.text("STATUS").eq_ignore_ascii_case("CANCELLED"),
            });
        }
    }

    /// Every time that an event begins.
    fn starts(
        &mut self,
        event: &Raw<'_>,
        (home, zones): (Option<Tz>, &Zones),
        until: Option<Date>,
    ) -> Vec<times::At> {
        let first = || {
            let start = event.get("DTSTART");
            let at = start
                .and_then(|line| Some((times::moment(line, home, zones).ok()?, times::stamp(line, zones)?)));
            at.into_iter().map(|(start, stamp)| times::At { start, stamp }).collect()
        };
        if event.get("RECURRENCE-ID").is_some() || !event.repeats() {
            return first();
        }
        let endless = times::is_endless(&event.lines);
        self.endless |= endless;
        let summary = event.text("SUMMARY");
        match times::repeated(&event.lines, home, (MOST, until.filter(|_| endless)), zones) {
            Ok((starts, whole)) => {
                if endless && until.is_none() || !whole {
                    let what = format!("\"{summary}\" repeats without end");
                    self.problem("endless", event.line, what, "the first 800 times are shown");
                }
                starts
            }
            Err(why) => {
                let what = format!("how \"{summary}\" repeats cannot be read ({why})");
                self.problem("rule", event.line, what, "its first time alone is shown");
                first()
            }
        }
    }
}

#[cfg(test)]
mod tests;
