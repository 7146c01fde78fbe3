//! Services from a calendar: iCalendar files (RFC 5545), with time zones and rules of repetition.
//!
//! The lines are read here, so that a fault is named with its line and the rest goes on; repetition is worked out by the
//! `rrule` crate and zones by the tz database of `chrono-tz`.

mod lines;
mod matching;
mod times;

pub use matching::{Proposal, edit, propose};

use crate::limits::MOST_EVENTS;
use crate::problem::Problem;
use chrono_tz::Tz;
use jiff::civil::DateTime;
use lines::{Line, lines};
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
    /// Every event at every time it happens, in order of time.
    pub events: Vec<Event>,
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
}

/// Reads a calendar. `zone` is the orchestra's; without it the calendar's own (`X-WR-TIMEZONE`, else the zone that its first event
/// names) holds. An error says why the file is no calendar.
pub fn read(file: &str, bytes: &[u8], zone: Option<&str>) -> Result<Calendar, Problem> {
    let text = String::from_utf8_lossy(bytes);
    let all = lines(&text);
    let begins =
        all.first().is_some_and(|line| line.name == "BEGIN" && line.value.eq_ignore_ascii_case("VCALENDAR"));
    if !begins {
        return Err(Problem {
            code: "no-calendar",
            place: format!("{file}, line 1"),
            what: "this is no iCalendar file: BEGIN:VCALENDAR was expected".to_owned(),
            remedy: "export the calendar as .ics and try again".to_owned(),
        });
    }
    let mut calendar = Calendar { file: file.to_owned(), ..Calendar::default() };
    let events = events_of(&all);
    let own = || all.iter().find(|line| line.name == "X-WR-TIMEZONE").map(|line| line.value.clone());
    let named = || events.iter().find_map(|event| event.get("DTSTART")?.param("TZID").map(str::to_owned));
    let wanted = zone.map(str::to_owned).or_else(own).or_else(named);
    let home: Option<Tz> = wanted.as_deref().and_then(times::zone_of);
    if let (Some(wanted), None) = (&wanted, home) {
        calendar.problem(
            "zone",
            1,
            format!("the zone \"{wanted}\" is not known"),
            "hours are taken as written",
        );
    }
    calendar.zone = home.map_or_else(String::new, |zone| zone.name().to_owned());
    let mut moved: BTreeMap<String, BTreeSet<DateTime>> = BTreeMap::new();
    for event in &events {
        if let Some(line) = event.get("RECURRENCE-ID")
            && let Ok(at) = times::moment(line, home)
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
        calendar.take(event, home, &moved);
    }
    calendar.events.truncate(MOST_EVENTS);
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

    fn take(&mut self, event: &Raw<'_>, home: Option<Tz>, moved: &BTreeMap<String, BTreeSet<DateTime>>) {
        let summary = event.text("SUMMARY");
        if event.text("STATUS").eq_ignore_ascii_case("CANCELLED") {
            return;
        }
        let Some(start) = event.get("DTSTART") else {
            self.problem("no-start", event.line, format!("\"{summary}\" has no DTSTART"), "it is left out");
            return;
        };
        if start.param("VALUE").is_some_and(|value| value.eq_ignore_ascii_case("DATE"))
            || start.value.len() == 8
        {
            let what = format!("\"{summary}\" is for whole days");
            self.problem("whole-day", start.number, what, "it is no service and is left out");
            return;
        }
        if let Some(zone) = start.param("TZID").filter(|zone| times::zone_of(zone).is_none()) {
            let what = format!("the zone \"{zone}\" of \"{summary}\" is not known");
            self.problem("zone", start.number, what, "its hours are taken as written");
        }
        let first = match times::moment(start, home) {
            Ok(first) => first,
            Err(why) => {
                self.problem("time", start.number, why, "the event is left out; mend the time");
                return;
            }
        };
        let lasts = times::lasts(event.get("DTSTART"), event.get("DTEND"), event.get("DURATION"), home);
        let minutes = lasts.minutes().unwrap_or(120);
        if let Some((what, remedy)) = lasts.odd(&summary) {
            self.problem("length", event.line, what, remedy);
        }
        let starts = if event.get("RECURRENCE-ID").is_none()
            && event.lines.iter().any(|l| matches!(l.name.as_str(), "RRULE" | "RDATE"))
        {
            match times::repeated(&event.lines, home, MOST) {
                Ok((starts, whole)) => {
                    if !whole {
                        let what = format!("\"{summary}\" repeats without end");
                        self.problem("endless", event.line, what, "the first 800 times are shown");
                    }
                    starts
                }
                Err(why) => {
                    let what = format!("how \"{summary}\" repeats cannot be read ({why})");
                    self.problem("rule", event.line, what, "its first time alone is shown");
                    vec![first]
                }
            }
        } else {
            vec![first]
        };
        let (uid, location) = (event.uid(), event.text("LOCATION"));
        let elsewhere = moved.get(&uid).filter(|_| event.get("RECURRENCE-ID").is_none());
        for start in starts.into_iter().filter(|start| elsewhere.is_none_or(|moved| !moved.contains(start))) {
            self.events.push(Event {
                uid: uid.clone(),
                summary: summary.clone(),
                location: location.clone(),
                start,
                minutes,
                line: event.line,
            });
        }
    }
}

#[cfg(test)]
mod tests;
