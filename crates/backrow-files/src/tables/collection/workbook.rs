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
        } else if ending.as_deref() == Some("xml")
            && let Some(cell) = impossible_cell(&text)
        {
            return Err(format!(
                "a cell is called {}, and XFD1048576 is the last",
                crate::limits::quoted(&cell)
            ));
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

/// The first name of a cell, as an attribute `r` or `ref` of a tag, that lies beyond the last cell of a sheet, XFD1048576
/// (ECMA-376, part 1, 18.3.1.4): whoever counts it out runs over.
fn impossible_cell(text: &[u8]) -> Option<String> {
    const LETTERS: usize = 3;
    const DIGITS: usize = 7;
    let too_long = |name: &&[u8]| {
        let letters = name.iter().take_while(|byte| byte.is_ascii_alphabetic()).count();
        let digits = name.iter().skip(letters).take_while(|byte| byte.is_ascii_digit()).count();
        letters > LETTERS || digits > DIGITS
    };
    let values = tags(text).flat_map(attributes).filter(|(name, _)| matches!(*name, b"r" | b"ref"));
    let mut cells = values.flat_map(|(_, value)| value.split(|byte| matches!(byte, b':' | b' ')));
    cells.find(too_long).map(|cell| String::from_utf8_lossy(cell).into_owned())
}

/// What stands between the angle brackets.
fn tags(text: &[u8]) -> impl Iterator<Item = &[u8]> {
    text.split(|byte| *byte == b'<').skip(1).map(|tag| {
        let mut quote = None;
        let end = tag.iter().position(|byte| {
            match quote {
                Some(sign) if *byte == sign => quote = None,
                None if matches!(*byte, b'"' | b'\'') => quote = Some(*byte),
                _ => {}
            }
            quote.is_none() && *byte == b'>'
        });
        tag.get(..end.unwrap_or(tag.len())).unwrap_or_default()
    })
}

/// Names with their values, as they stand; a value that is not closed goes to the end.
fn attributes(tag: &[u8]) -> impl Iterator<Item = (&[u8], &[u8])> {
    let mut rest = tag;
    std::iter::from_fn(move || {
        let equals = rest.iter().position(|byte| *byte == b'=')?;
        let (before, after) = (rest.get(..equals)?.trim_ascii(), rest.get(equals + 1..)?.trim_ascii_start());
        let name = before.rsplit(|byte| byte.is_ascii_whitespace() || matches!(byte, b'"' | b'\'')).next()?;
        let Some(quote) = after.first().filter(|byte| matches!(byte, b'"' | b'\'')) else {
            rest = after;
            return Some((name, &[][..]));
        };
        let value = after.get(1..)?;
        let end = value.iter().position(|byte| byte == quote).unwrap_or(value.len());
        rest = value.get(end + 1..).unwrap_or_default();
        Some((name, value.get(..end)?))
    })
}

#[cfg(test)]
mod tests {
    use super::impossible_cell;
    use rstest::rstest;

    #[rstest]
    #[case::usual("<row r=\"1\"><c r=\"XFD1048576\" s=\"1\"><v>1</v></c></row>", None)]
    #[case::letters("<row r=\"1\"><c t='s' r = 'BoDataeStr'>", Some("BoDataeStr"))]
    #[case::digits("<dimension ref=\"A1:B99999999999\"/>", Some("B99999999999"))]
    #[case::a_row("<row r=\"77777777777\">", Some("77777777777"))]
    #[case::cut_off("<c r=\"ABCDEFGHIJ", Some("ABCDEFGHIJ"))]
    #[case::in_words("<c r=\"A1\"><t>r=\"everything\"</t></c>", None)]
    #[case::of_another_name("<c r:id=\"everything\" xref=\"everything\" r=\"B2\"/>", None)]
    #[case::a_sign_that_closes_nothing("<c a=\">\" r=\"ABCDEF1\">", Some("ABCDEF1"))]
    #[case::after_rubbish("<c \x01==\"A.\" t=\"inlineStr\" r=\"ABCDE\">", Some("ABCDE"))]
    fn a_cell_beyond_the_last_is_found(#[case] text: &str, #[case] found: Option<&str>) {
        assert_eq!(impossible_cell(text.as_bytes()).as_deref(), found);
    }
}
