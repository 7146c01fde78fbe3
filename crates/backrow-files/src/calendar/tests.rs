//! RFC 5545's own examples (sections 3.3.10, 3.6.1, 3.8.5.3, September 2009), and what producers write beside it.

use super::*;
use rstest::rstest;

fn calendar(events: &str) -> String {
    format!("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n{events}END:VCALENDAR\r\n")
}

fn starts(event: &str, zone: Option<&str>) -> Vec<String> {
    let text = calendar(&format!("BEGIN:VEVENT\r\nUID:1\r\nDURATION:PT1H\r\n{event}END:VEVENT\r\n"));
    let read = read("x.ics", text.as_bytes(), zone).unwrap();
    assert_eq!(read.problems, Vec::new());
    read.events.iter().map(|event| event.start.strftime("%Y-%m-%d %H:%M").to_string()).collect()
}

/// Examples of 3.8.5.3; each says first, last and number as the RFC lists them.
#[rstest]
// "Daily for 10 occurrences": September 2-11, 9:00 EDT.
#[case(
    "DTSTART;TZID=America/New_York:19970902T090000\r\nRRULE:FREQ=DAILY;COUNT=10\r\n",
    10,
    "1997-09-02 09:00",
    "1997-09-11 09:00"
)]
// "Every other day" with a count of our own; "Every 10 days, 5 occurrences": September 2, 12, 22, October 2, 12.
#[case(
    "DTSTART;TZID=America/New_York:19970902T090000\r\nRRULE:FREQ=DAILY;INTERVAL=10;COUNT=5\r\n",
    5,
    "1997-09-02 09:00",
    "1997-10-12 09:00"
)]
// "Weekly until December 24, 1997": 17 weeks from September 2, the last December 23, over the change of the clocks.
#[case(
    "DTSTART;TZID=America/New_York:19970902T090000\r\nRRULE:FREQ=WEEKLY;UNTIL=19971224T000000Z\r\n",
    17,
    "1997-09-02 09:00",
    "1997-12-23 09:00"
)]
// "Weekly on Tuesday and Thursday for five weeks": 10 occurrences, the last October 2.
#[case(
    "DTSTART;TZID=America/New_York:19970902T090000\r\nRRULE:FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH\r\n",
    10,
    "1997-09-02 09:00",
    "1997-10-02 09:00"
)]
// "Monthly on the first Friday for 10 occurrences": September 5, 1997 to June 5, 1998.
#[case(
    "DTSTART;TZID=America/New_York:19970905T090000\r\nRRULE:FREQ=MONTHLY;COUNT=10;BYDAY=1FR\r\n",
    10,
    "1997-09-05 09:00",
    "1998-06-05 09:00"
)]
// "The third instance into the month of one of Tuesday, Wednesday, or Thursday, for the next 3 months": Sep 4, Oct 7, Nov 6.
#[case(
    "DTSTART;TZID=America/New_York:19970904T090000\r\nRRULE:FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3\r\n",
    3,
    "1997-09-04 09:00",
    "1997-11-06 09:00"
)]
fn rules_of_the_rfc(#[case] event: &str, #[case] count: usize, #[case] first: &str, #[case] last: &str) {
    let found = starts(event, None);
    assert_eq!((found.len(), found[0].as_str(), found[count - 1].as_str()), (count, first, last));
}

/// 3.8.5.1: EXDATE takes a time out.
#[test]
fn exceptions_are_left_out() {
    let event = "DTSTART;TZID=America/New_York:19970902T090000\r\nRRULE:FREQ=DAILY;COUNT=3\r\nEXDATE;TZID=America/New_York:19970903T090000\r\n";
    assert_eq!(starts(event, None), ["1997-09-02 09:00", "1997-09-04 09:00"]);
}

/// 3.3.5: local, UTC, and local with a zone. 19970714T173000Z is 13:30 in New York (3.3.5 gives 133000 with that TZID).
#[rstest]
#[case("DTSTART:19970714T133000\r\n", "1997-07-14 13:30")]
#[case("DTSTART:19970714T173000Z\r\n", "1997-07-14 13:30")]
#[case("DTSTART;TZID=America/New_York:19970714T133000\r\n", "1997-07-14 13:30")]
#[case("DTSTART;TZID=\"Europe/London\":19970714T183000\r\n", "1997-07-14 13:30")]
#[case("DTSTART;TZID=/producer.example/20050809_1/America/New_York:19970714T133000\r\n", "1997-07-14 13:30")]
fn moments(#[case] event: &str, #[case] start: &str) {
    assert_eq!(starts(event, Some("America/New_York")), [start]);
}

/// 3.6.1: the example of a conference, with a folded description (3.1).
#[test]
fn an_event_of_the_rfc() {
    let event = "BEGIN:VEVENT\r\nUID:19970901T130000Z-123401@example.com\r\nDTSTAMP:19970901T130000Z\r\nDTSTART:19970903T163000Z\r\nDTEND:19970903T190000Z\r\nSUMMARY:Annual Employee Review\r\nDESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\nCLASS:PRIVATE\r\nEND:VEVENT\r\n";
    let read = read("x.ics", calendar(event).as_bytes(), None).unwrap();
    let found = &read.events[0];
    assert_eq!((found.summary.as_str(), found.minutes, found.line), ("Annual Employee Review", 150, 4));
    assert_eq!(found.start.to_string(), "1997-09-03T16:30:00");
}

#[test]
fn a_moved_time_replaces_its_own_and_a_cancelled_event_is_none() {
    let events = "BEGIN:VEVENT\r\nUID:1\r\nDTSTART;TZID=Europe/Berlin:20271012T100000\r\nDURATION:PT2H30M\r\nRRULE:FREQ=DAILY;COUNT=3\r\nSUMMARY:Tidelands\\, rehearsal\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nUID:1\r\nRECURRENCE-ID;TZID=Europe/Berlin:20271013T100000\r\nDTSTART;TZID=Europe/Berlin:20271013T143000\r\nDURATION:PT2H30M\r\nSUMMARY:Tidelands\\, rehearsal\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nUID:2\r\nDTSTART;TZID=Europe/Berlin:20271015T100000\r\nDURATION:PT1H\r\nSTATUS:CANCELLED\r\nEND:VEVENT\r\n";
    let read = read("x.ics", calendar(events).as_bytes(), None).unwrap();
    let held = read.events.iter().filter(|event| !event.cancelled);
    let found: Vec<String> = held.map(|event| event.start.to_string()).collect();
    assert_eq!(found, ["2027-10-12T10:00:00", "2027-10-13T14:30:00", "2027-10-14T10:00:00"]);
    assert_eq!(
        (read.zone.as_str(), read.events[0].summary.as_str()),
        ("Europe/Berlin", "Tidelands, rehearsal")
    );
}

#[test]
fn what_cannot_be_read_is_named_with_its_line() {
    let events = "BEGIN:VEVENT\r\nUID:1\r\nDTSTART:2027-10-12\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nUID:2\r\nDTSTART;VALUE=DATE:20271012\r\nSUMMARY:Holiday\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nUID:3\r\nDTSTART:20271012T100000\r\nEND:VEVENT\r\n";
    let read = read("x.ics", calendar(events).as_bytes(), None).unwrap();
    let said: Vec<(&str, &str)> =
        read.problems.iter().map(|problem| (problem.code, problem.place.as_str())).collect();
    assert_eq!(
        said,
        [("time", "x.ics, line 6"), ("whole-day", "x.ics, line 10"), ("length", "x.ics, line 13")]
    );
    assert_eq!(read.events.len(), 1);
    assert!(super::read("y.ics", b"PK", None).unwrap_err().what.contains("BEGIN:VCALENDAR"));
}

#[test]
fn events_find_their_programmes() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    let library = crate::library::open(&folder, &crate::kinds::standard().unwrap()).library;
    let event = |uid: &str, start: &str, summary: &str, place: &str| {
        format!(
            "BEGIN:VEVENT\r\nUID:{uid}\r\nDTSTART;TZID=Europe/Berlin:{start}\r\nDURATION:PT2H30M\r\nSUMMARY:{summary}\r\nLOCATION:{place}\r\nEND:VEVENT\r\n"
        )
    };
    let events = [
        event("1", "20271012T100000", "Rehearsal Tidelands", "Rehearsal room"),
        event("2", "20271016T193000", "Concert: TIDELANDS", "Quay Hall\\, Main Street"),
        event("3", "20271017T193000", "Staff meeting", ""),
    ];
    let read = read("x.ics", calendar(&events.concat()).as_bytes(), None).unwrap();
    let found = propose(&library, &read);
    let said: Vec<String> = found.iter().map(|proposal| proposal.words(&library)).collect();
    assert_eq!(said, ["there already", "new", "no programme"]);
    assert_eq!(found.iter().map(|proposal| proposal.take).collect::<Vec<_>>(), [false, true, false]);
    assert_eq!((found[1].kind.word(), &found[1].venue), ("concert", &None), "the programme's own venue");
    let next = backrow_core::edit::apply(&library, &edit(&library, "x.ics", &found).unwrap()).unwrap();
    assert_eq!(next.services().count(), library.services().count() + 1);
}

fn demo() -> backrow_core::library::Library {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    crate::library::open(&folder, &crate::kinds::standard().unwrap()).library
}

/// A calendar of Berlin with one event of Tidelands, another at each time that is said.
fn tidelands(uid: &str, start: &str, more: &str) -> String {
    format!(
        "BEGIN:VEVENT\r\nUID:{uid}\r\nDTSTART;TZID=W. Europe Standard Time:{start}\r\nDURATION:PT2H30M\r\n{more}SUMMARY:Rehearsal Tidelands\r\nEND:VEVENT\r\n"
    )
}

fn imported(library: &backrow_core::library::Library, text: &str) -> backrow_core::library::Library {
    let read = read("x.ics", calendar(text).as_bytes(), Some("Europe/Berlin")).unwrap();
    assert_eq!(read.problems, Vec::new());
    let edit = edit(library, "x.ics", &propose(library, &read));
    edit.map_or_else(|| library.clone(), |edit| backrow_core::edit::apply(library, &edit).unwrap())
}

fn service(library: &backrow_core::library::Library, event: &str) -> Option<(String, String)> {
    let found = library.services().find(|service| service.event == event)?;
    Some((found.id.to_string(), found.start.to_string()))
}

#[test]
fn a_moved_event_is_found_again_and_a_cancelled_one_is_removed() {
    let library = demo();
    let before = library.services().count();
    // One that was there already is remembered by its event; another is new.
    let first = [tidelands("a", "20271012T100000", ""), tidelands("b", "20271020T100000", "")].concat();
    let library = imported(&library, &first);
    assert_eq!(library.services().count(), before + 1);
    let (known, _) = service(&library, "a").unwrap();
    let (new, _) = service(&library, "b").unwrap();
    // Both move to other days, and to hours at which others are.
    let moved = [tidelands("a", "20271020T100000", ""), tidelands("b", "20271022T190000", "")].concat();
    let moved = imported(&library, &moved);
    assert_eq!(moved.services().count(), before + 1);
    assert_eq!(service(&moved, "a"), Some((known, "2027-10-20T10:00:00".to_owned())));
    assert_eq!(service(&moved, "b"), Some((new, "2027-10-22T19:00:00".to_owned())));
    let gone = imported(&moved, &tidelands("b", "20271022T190000", "STATUS:CANCELLED\r\n"));
    assert_eq!((gone.services().count(), service(&gone, "b")), (before, None));
}

#[test]
fn each_time_of_a_series_is_found_again() {
    let library = demo();
    let before = library.services().count();
    let series = tidelands("s", "20271101T100000", "RRULE:FREQ=WEEKLY;COUNT=3\r\n");
    let library = imported(&library, &series);
    assert_eq!(library.services().count(), before + 3);
    // The second of November moves by a day (RECURRENCE-ID in UTC: Berlin is an hour ahead in winter).
    let other = tidelands("s", "20271109T143000", "RECURRENCE-ID:20271108T090000Z\r\n");
    let moved = imported(&library, &[series.clone(), other].concat());
    assert_eq!(moved.services().count(), before + 3);
    let at = service(&moved, "s/20271108T090000Z").map(|(_, start)| start);
    assert_eq!(at.as_deref(), Some("2027-11-09T14:30:00"));
    // A time that is taken out of the series is offered to be removed, and is not ticked.
    let less = series.replace("RRULE", "EXDATE:20271115T090000Z\r\nRRULE");
    let less = [less, tidelands("z", "20271230T100000", "")].concat();
    let read = read("x.ics", calendar(&less).as_bytes(), Some("Europe/Berlin")).unwrap();
    let found = propose(&library, &read);
    let gone: Vec<&Proposal> = found.iter().filter(|proposal| proposal.removes).collect();
    assert!(matches!(gone.as_slice(), [one] if !one.take && one.event.start.day() == 15), "{gone:?}");
}

#[test]
fn what_has_no_end_is_worked_out_to_the_end_of_the_season() {
    let series = tidelands("s", "20200107T100000", "RRULE:FREQ=WEEKLY\r\n");
    let how = How { zone: None, until: Some(jiff::civil::date(2028, 7, 31)) };
    let read = read_as("x.ics", calendar(&series).as_bytes(), &how).unwrap();
    assert_eq!((read.endless, &read.problems), (true, &Vec::new()));
    let days: Vec<jiff::civil::Date> = read.events.iter().map(|event| event.start.date()).collect();
    assert_eq!(
        (days.len(), days.first(), days.last()),
        (52, Some(&jiff::civil::date(2027, 8, 3)), Some(&jiff::civil::date(2028, 7, 25)))
    );
    assert!(read.events.iter().all(|event| event.start.hour() == 10), "summer and winter");
}

/// What is written is read back as there already: RFC 5545 both ways, over the change of the clocks.
#[test]
fn our_services_go_out_and_come_back() {
    let mut library = demo();
    let orchestra =
        backrow_core::library::Orchestra { zone: "Europe/Berlin".to_owned(), ..(*library.orchestra).clone() };
    library =
        backrow_core::edit::apply(&library, &backrow_core::edit::Edit::SetOrchestra(orchestra)).unwrap();
    let text = calendar_of(&library, library.programmes().map(|(_, p)| p), "20270101T000000Z");
    assert!(text.split("\r\n").all(|line| line.len() <= 75));
    let read = read("ours.ics", text.as_bytes(), Some("Europe/Berlin")).unwrap();
    assert_eq!((read.problems.len(), read.events.len()), (0, library.services().count()));
    let found = propose(&library, &read);
    assert!(found.iter().all(|proposal| proposal.words(&library) == "there already"));
    assert_eq!(edit(&library, "ours.ics", &found), None);
}

/// A zone that only the file itself defines, as scheduling programs write it: rules of the European Union under a name of their own.
const OWN_ZONE: &str = "BEGIN:VTIMEZONE\r\nTZID:Customized Time Zone 1\r\nBEGIN:STANDARD\r\nDTSTART:16011028T030000\r\n\
    RRULE:FREQ=YEARLY;BYDAY=-1SU;BYMONTH=10\r\nTZOFFSETFROM:+0200\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nBEGIN:DAYLIGHT\r\n\
    DTSTART:16010325T020000\r\nRRULE:FREQ=YEARLY;BYDAY=-1SU;BYMONTH=3\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0200\r\n\
    END:DAYLIGHT\r\nEND:VTIMEZONE\r\n";

fn own_starts(zone: &str, event: &str, home: Option<&str>) -> Vec<(String, String)> {
    let text = calendar(&format!("{zone}BEGIN:VEVENT\r\nUID:1\r\nDURATION:PT1H\r\n{event}END:VEVENT\r\n"));
    let read = read("x.ics", text.as_bytes(), home).unwrap();
    assert_eq!(read.problems, Vec::new());
    let of = |event: &Event| (event.start.strftime("%Y-%m-%d %H:%M").to_string(), event.key.clone());
    read.events.iter().map(of).collect()
}

/// The same event under the name of the tz database says what must come out.
#[rstest]
#[case("DTSTART;TZID=@:20271012T193000\r\n")]
#[case("DTSTART;TZID=@:20271201T193000\r\n")]
// Over the change of the clocks, to an end that is the last time itself, with an exception in UTC and one on its own clocks.
#[case(
    "DTSTART;TZID=@:20271019T100000\r\nRRULE:FREQ=WEEKLY;UNTIL=20271116T090000Z\r\nEXDATE:20271102T090000Z\r\nEXDATE;TZID=@:20271026T100000\r\n"
)]
// An hour that comes twice.
#[case("DTSTART;TZID=@:20271031T023000\r\n")]
fn a_zone_of_the_files_own(#[case] event: &str) {
    let own = event.replace('@', "Customized Time Zone 1");
    let known = event.replace('@', "Europe/Berlin");
    for home in ["Europe/London", "America/New_York", "Europe/Berlin"] {
        assert_eq!(own_starts(OWN_ZONE, &own, Some(home)), own_starts("", &known, Some(home)), "{home}");
    }
    // Without a zone of the orchestra's, hours are those on the zone's own clocks.
    assert_eq!(own_starts(OWN_ZONE, &own, None), own_starts("", &known, None));
}

/// RFC 5545, 3.6.5: New York from 1967 to 1973 by dates and by rules with an end; here by a list of dates.
#[test]
fn a_zone_by_a_list_of_dates() {
    let zone = "BEGIN:VTIMEZONE\r\nTZID:Hall\r\nBEGIN:STANDARD\r\nDTSTART:20261025T020000\r\nRDATE:20271031T020000\r\n\
        TZOFFSETFROM:-0400\r\nTZOFFSETTO:-0500\r\nEND:STANDARD\r\nBEGIN:DAYLIGHT\r\nDTSTART:20270314T020000\r\n\
        TZOFFSETFROM:-0500\r\nTZOFFSETTO:-0400\r\nEND:DAYLIGHT\r\nEND:VTIMEZONE\r\n";
    let at = |event: &str| own_starts(zone, event, Some("Etc/UTC"))[0].0.clone();
    assert_eq!(at("DTSTART;TZID=Hall:20270110T193000\r\n"), "2027-01-11 00:30");
    assert_eq!(at("DTSTART;TZID=Hall:20270610T193000\r\n"), "2027-06-10 23:30");
    assert_eq!(at("DTSTART;TZID=Hall:20271110T193000\r\n"), "2027-11-11 00:30");
    assert_eq!(at("DTSTART;TZID=Hall:20260610T193000\r\n"), "2026-06-10 23:30", "before the first change");
}

/// By hand: Auckland is 13 hours ahead of UTC in November, New York 5 behind.
#[rstest]
#[case("Pacific/Auckland", "2026-11-26T11:30:00Z", Some("2026-11-27"))]
#[case("Pacific/Auckland", "2026-11-26T10:30:00Z", Some("2026-11-26"))]
#[case("America/New_York", "2026-11-27T04:30:00Z", Some("2026-11-26"))]
#[case("", "2026-11-27T04:30:00Z", None)]
#[case("Nowhere/At All", "2026-11-27T04:30:00Z", None)]
fn the_day_is_that_of_the_zone(#[case] zone: &str, #[case] at: &str, #[case] day: Option<&str>) {
    let day = day.map(|day| day.parse().unwrap());
    assert_eq!(day_in(zone, at.parse().unwrap()), day);
}
