//! Any bytes as an archive, and as the score or the list of contents within one.
#![no_main]

use backrow_files::score::{ReadOptions, read_score};
use backrow_core::collection::Kind;
use backrow_core::id::KindId;
use backrow_core::library::Shared;
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;
use std::io::{Cursor, Write};
use zip::write::{SimpleFileOptions, ZipWriter};

fn packed(container: &[u8], score: &[u8]) -> Option<Vec<u8>> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (path, bytes) in [("META-INF/container.xml", container), ("score.xml", score)] {
        writer.start_file(path, SimpleFileOptions::default()).ok()?;
        writer.write_all(bytes).ok()?;
    }
    Some(writer.finish().ok()?.into_inner())
}

/// Read once: it would take most of the time.
static KINDS: LazyLock<Shared<KindId, Kind>> =
    LazyLock::new(|| backrow_files::kinds::standard().expect("the kinds table"));

fuzz_target!(|bytes: &[u8]| {
    let kinds = &*KINDS;
    let mut archive = b"PK\x03\x04".to_vec();
    archive.extend_from_slice(bytes);
    let listed = b"<container><rootfiles><rootfile full-path=\"score.xml\"/></rootfiles></container>";
    let options = ReadOptions { most_bytes: 8 << 20, ..ReadOptions::default() };
    for file in [Some(archive), packed(listed, bytes), packed(bytes, b"<score-partwise/>")].into_iter().flatten() {
        let _ = read_score("fuzz.mxl", &file, kinds, &options);
    }
});
