//! Any bytes as a library in one file, and as the name and the text of a part of one: nothing is written outside its folder.
#![no_main]

use libfuzzer_sys::fuzz_target;
use std::io::{Cursor, Write};
use std::path::Path;
use zip::write::{SimpleFileOptions, ZipWriter};

fn packed(name: &[u8], text: &[u8]) -> Option<Vec<u8>> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let name = String::from_utf8_lossy(name);
    for (path, bytes) in [("orchestra.ron", b"(format: 2)".as_slice()), (&name, text)] {
        writer.start_file(path, SimpleFileOptions::default()).ok()?;
        writer.write_all(bytes).ok()?;
    }
    Some(writer.finish().ok()?.into_inner())
}

fn beside(home: &Path) -> usize {
    std::fs::read_dir(home).map_or(0, |entries| entries.count())
}

fuzz_target!(|bytes: &[u8]| {
    let home = tempfile::tempdir().expect("a folder");
    let (name, text) = bytes.split_at(bytes.len().min(40) / 2);
    let mut archive = b"PK\x03\x04".to_vec();
    archive.extend_from_slice(bytes);
    for file in [Some(archive), packed(name, text)].into_iter().flatten() {
        let (from, to) = (home.path().join("parcel.zip"), home.path().join("library"));
        std::fs::write(&from, file).expect("room");
        let unpacked = backrow_files::library::unpack(&from, &to, &|_, _| true).is_ok();
        assert_eq!(beside(home.path()), 1 + usize::from(unpacked));
        std::fs::remove_dir_all(&to).unwrap_or_default();
    }
});
