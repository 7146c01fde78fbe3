//! Any bytes after the head of a score: no panic, no hang, bounded memory.
#![no_main]

use backrow_files::score::{ReadOptions, read_score, reading_json, work_of};
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

const HEAD: &str = "<score-partwise><part-list><score-part id=\"P1\"><part-name>Schlagzeug</part-name></score-part>\
                    </part-list><part id=\"P1\">";

/// Read once: it would take most of the time.
static KINDS: LazyLock<Shared<KindId, Kind>> =
    LazyLock::new(|| backrow_files::kinds::standard().expect("the kinds table"));

fuzz_target!(|bytes: &[u8]| {
    let kinds = &*KINDS;
    let mut whole = HEAD.as_bytes().to_vec();
    whole.extend_from_slice(bytes);
    whole.extend_from_slice(b"</part></score-partwise>");
    for text in [bytes, &whole] {
        if let Ok(reading) = read_score("fuzz.musicxml", text, kinds, &ReadOptions::default()) {
            let _ = (reading_json(&reading), work_of(&reading));
        }
    }
});
