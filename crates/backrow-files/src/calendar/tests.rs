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
    let found: Vec<String> = read.events.iter().map(|event| event.start.to_string()).collect();
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
