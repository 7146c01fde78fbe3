//! How much of a strange file is read, quoted and worked out: each limit is far beyond what a section has, and says so when it
//! is met.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Read};
use std::path::Path;

/// The largest score, table or calendar that is read, bytes.
pub const MOST_BYTES: u64 = 64 << 20;
/// Rows of a table.
pub const MOST_ROWS: usize = 20_000;
/// Columns of a table.
pub const MOST_COLUMNS: usize = 1_000;
/// Letters in one cell.
pub const MOST_LETTERS: usize = 10_000;
/// Passages in a table that the rota is asked from.
pub const MOST_PASSAGES: usize = 2_000;
/// Events of a calendar, repetitions among them.
pub const MOST_EVENTS: usize = 10_000;
/// Letters that a message quotes of what stands in a file.
const QUOTED: usize = 80;
/// Letters of a whole message.
const SAID: usize = 2_000;

/// The bytes of a plain file that has at most `most`. A pipe or a device is refused before it is opened, and bytes are counted
/// as they are read, whatever length is stated.
///
/// # Errors
/// What the disk said; `InvalidInput` for what is no plain file, `FileTooLarge` for one that has more.
pub fn read_plain(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    // Looked at before it is opened: opening a pipe waits for whoever writes to it.
    let kind = fs::metadata(path)?.file_type();
    if kind.is_dir() {
        return Err(ErrorKind::IsADirectory.into());
    }
    if !kind.is_file() {
        return Err(io::Error::new(ErrorKind::InvalidInput, "it is a pipe or a device"));
    }
    let mut bytes = Vec::new();
    File::open(path)?.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        return Err(io::Error::new(ErrorKind::FileTooLarge, format!("it has more than {} MB", most >> 20)));
    }
    Ok(bytes)
}

/// Whether a text has more than so many letters; a letter of several bytes is one.
pub fn has_more(text: &str, letters: usize) -> bool {
    text.len() > letters && text.chars().nth(letters).is_some()
}

/// At most eighty letters of a text, and a sign that there were more.
pub fn quoted(text: &str) -> String {
    cut(text, QUOTED)
}

fn cut(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((at, _)) => format!("{}…", text.get(..at).unwrap_or_default()),
        None => text.to_owned(),
    }
}

/// A message whose quotations are cut, and which is not endless itself.
pub fn said(words: &str) -> String {
    if words.len() <= QUOTED {
        return words.to_owned();
    }
    let mut out = String::new();
    let mut rest = words;
    while let Some((before, after, close)) = opened(rest) {
        out.push_str(before);
        let Some((inside, more)) = after.split_once(close) else {
            rest = after;
            break;
        };
        out.push_str(&quoted(inside));
        out.push(close);
        rest = more;
    }
    out.push_str(rest);
    cut(&out, SAID)
}

/// Up to and with the first mark that opens a quotation, what follows it, and the mark that closes it.
fn opened(text: &str) -> Option<(&str, &str, char)> {
    let (at, mark) = text.char_indices().find(|(_, c)| matches!(c, '"' | '“'))?;
    let end = at + mark.len_utf8();
    Some((text.get(..end)?, text.get(end..)?, if mark == '“' { '”' } else { '"' }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("short", "short")]
    #[case(
        "no \"quotation\" is long here, but the message itself goes on for a while and stays as it was",
        "same"
    )]
    fn what_is_short_stays(#[case] words: &str, #[case] expected: &str) {
        let expected = if expected == "same" { words } else { expected };
        assert_eq!(said(words), expected);
    }

    #[rstest]
    #[case("äöü", 3, false)]
    #[case("äöüx", 3, true)]
    #[case("", 0, false)]
    fn letters_are_counted_and_not_bytes(#[case] words: &str, #[case] most: usize, #[case] more: bool) {
        assert_eq!(has_more(words, most), more);
    }

    #[test]
    fn long_cells_are_cut_to_eighty_letters() {
        let cell = "ä".repeat(10_000_000);
        for words in [format!("no kind is called \"{cell}\"; use one"), format!("“{cell}” is no number")]
        {
            let said = said(&words);
            assert!(said.chars().count() < 130 && said.contains(&format!("{}…", "ä".repeat(80))), "{said}");
        }
        assert!(said(&cell).chars().count() <= SAID + 1);
        assert!(said(&format!("“{cell}")).chars().count() <= SAID + 1);
    }
}
