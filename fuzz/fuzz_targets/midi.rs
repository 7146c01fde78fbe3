//! Any bytes as the only track of a standard MIDI file, and as the whole file.
#![no_main]

use backrow_files::score::{ReadOptions, read_score, reading_json};
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

/// Read once: it would take most of the time.
static KINDS: LazyLock<Shared<KindId, Kind>> =
    LazyLock::new(|| backrow_files::kinds::standard().expect("the kinds table"));

fuzz_target!(|bytes: &[u8]| {
    let kinds = &*KINDS;
    let mut whole = b"MThd\x00\x00\x00\x06\x00\x01\x00\x01\x00\x60MTrk".to_vec();
    whole.extend(u32::try_from(bytes.len()).unwrap_or(u32::MAX).to_be_bytes());
    whole.extend_from_slice(bytes);
    let mut head = b"MThd".to_vec();
    head.extend_from_slice(bytes);
    for file in [&whole, &head] {
        if let Ok(reading) = read_score("fuzz.mid", file, kinds, &ReadOptions::default()) {
            let _ = reading_json(&reading);
        }
    }
});
