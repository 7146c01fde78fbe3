//! Any bytes after the head of a score: no panic, no hang, bounded memory.
#![no_main]

use backrow_files::score::{ReadOptions, read_score, reading_json, work_of};
use libfuzzer_sys::fuzz_target;

const HEAD: &str = "<score-partwise><part-list><score-part id=\"P1\"><part-name>Schlagzeug</part-name></score-part>\
                    </part-list><part id=\"P1\">";

fuzz_target!(|bytes: &[u8]| {
    let kinds = backrow_files::kinds::standard().expect("the kinds table");
    let mut whole = HEAD.as_bytes().to_vec();
    whole.extend_from_slice(bytes);
    whole.extend_from_slice(b"</part></score-partwise>");
    for text in [bytes, &whole] {
        if let Ok(reading) = read_score("fuzz.musicxml", text, &kinds, &ReadOptions::default()) {
            let _ = (reading_json(&reading), work_of(&reading));
        }
    }
});
