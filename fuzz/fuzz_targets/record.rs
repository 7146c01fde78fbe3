//! Any text as a file of the library, and after the head that every file has.
#![no_main]

use backrow_files::library::check_text;
use libfuzzer_sys::fuzz_target;

const FILES: [&str; 11] = [
    "orchestra.ron",
    "players.ron",
    "beaters.ron",
    "places.ron",
    "kinds.ron",
    "venues/v.ron",
    "instruments/i.ron",
    "care/i.ron",
    "sounds/i/t.ron",
    "works/w.ron",
    "weeks/w.ron",
];

fuzz_target!(|bytes: &[u8]| {
    let Some((first, rest)) = bytes.split_first() else { return };
    let text = String::from_utf8_lossy(rest);
    let file = FILES[usize::from(*first) % FILES.len()];
    let headed = |format: u32| check_text(file, &format!("(format: {format}, {text})"));
    let _ = (check_text(file, &text), headed(1), headed(2));
});
