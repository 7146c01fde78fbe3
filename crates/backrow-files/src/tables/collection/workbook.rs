//! A workbook, unpacked within limits before anything is read from it.

use std::io::{Cursor, Read, Write};
use zip::write::{SimpleFileOptions, ZipWriter};
use zip::{CompressionMethod, ZipArchive};

/// Bytes that all the parts of a workbook may have together, unpacked.
const MOST: u64 = 256 << 20;
/// Parts.
const MOST_PARTS: usize = 2_000;

/// The same workbook with its parts as they are, none of them packed: what a part states about its size can then no longer
/// mislead, and neither can the count of its strings, which a reader would believe and make room for.
pub(super) fn unpacked(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let say = |why: &dyn std::fmt::Display| format!("it is not a workbook ({why})");
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|why| say(&why))?;
    if archive.len() > MOST_PARTS {
        return Err(format!("it has more than {MOST_PARTS} parts"));
    }
    let mut out = ZipWriter::new(Cursor::new(Vec::new()));
    let mut left = MOST;
    for at in 0..archive.len() {
        let part = archive.by_index(at).map_err(|why| say(&why))?;
        let name = part.name().map_err(|why| say(&why))?.into_owned();
        // Pictures and the like are nothing that a table is read from.
        let ending = name.rsplit_once('.').map(|(_, ending)| ending.to_lowercase());
        if !matches!(ending.as_deref(), Some("xml" | "rels")) {
            continue;
        }
        let mut text = Vec::new();
        part.take(left + 1).read_to_end(&mut text).map_err(|why| say(&why))?;
        left = left
            .checked_sub(text.len() as u64)
            .ok_or_else(|| format!("unpacked it has more than {} MB", MOST >> 20))?;
        if name.to_lowercase().ends_with("sharedstrings.xml") {
            forget_count(&mut text);
        }
        let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
        out.start_file(name, stored).map_err(|why| say(&why))?;
        out.write_all(&text).map_err(|why| say(&why))?;
    }
    out.finish().map(Cursor::into_inner).map_err(|why| say(&why))
}

/// Renames the count at the head of the strings, so that nobody believes it.
fn forget_count(text: &mut [u8]) {
    const COUNT: &[u8] = b"uniqueCount";
    let head = text.iter().position(|byte| *byte == b'<').unwrap_or(0);
    // The count stands in the first tag that is no declaration or remark; anywhere before the first string it may go.
    let end = text.windows(4).position(|part| part == b"<si>" || part == b"<si ").unwrap_or(text.len());
    let mut at = head;
    while let Some(found) =
        text.get(at..end).and_then(|part| part.windows(COUNT.len()).position(|w| w == COUNT))
    {
        if let Some(slot) = text.get_mut(at + found) {
            *slot = b'v';
        }
        at += found + COUNT.len();
    }
}
