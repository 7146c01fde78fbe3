//! Any bytes as a calendar, and as one event of it.
#![no_main]

use backrow_core::library::Library;
use backrow_files::calendar;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let event = [
        b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nDTSTART:20271001T100000\r\n".as_slice(),
        bytes,
        b"\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
    ]
    .concat();
    for file in [bytes, &event] {
        if let Ok(calendar) = calendar::read("t.ics", file, None) {
            let _ = calendar::propose(&Library::default(), &calendar);
        }
    }
});
