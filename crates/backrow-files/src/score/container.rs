//! What a file is: plain or compressed MusicXML, or a standard MIDI file; unpacked within limits, in UTF-8.

use super::ReadOptions;
use super::problem::{Problems, ReadError};
use quick_xml::Reader;
use quick_xml::events::Event;
use std::borrow::Cow;
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// What was found inside.
pub(crate) enum Content<'a> {
    /// The text of a MusicXML score.
    Xml(Cow<'a, str>),
    /// The bytes are a standard MIDI file.
    Midi,
}

/// A compressed score may grow to this many times its size once it is beyond `FREE` bytes. Orchestral scores grow
/// some 25 times (measured on the scores of the tests); deflate itself ends at about 1,030.
const MOST_RATIO: u64 = 400;
/// Below this many unpacked bytes the ratio does not matter.
const FREE: u64 = 16 << 20;

pub(crate) fn open<'a>(
    name: &str,
    bytes: &'a [u8],
    options: &ReadOptions,
    problems: &mut Problems,
) -> Result<Content<'a>, ReadError> {
    if bytes.is_empty() {
        return Err(ReadError::new("empty", name, "the file is empty", "export the score again"));
    }
    if bytes.len() as u64 > options.most_bytes {
        return Err(too_large(name, options.most_bytes));
    }
    if bytes.starts_with(b"PK") {
        let xml = unpack(name, bytes, options, problems)?;
        let text = text_of(name, Cow::Owned(xml), problems)?;
        return Ok(Content::Xml(text));
    }
    if bytes.starts_with(b"MThd") || (bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"RMID")) {
        return Ok(Content::Midi);
    }
    if !looks_like_xml(bytes) {
        return Err(ReadError::new(
            "not-a-score",
            name,
            "this is not a score that Backrow can read",
            "export the score as MusicXML (.musicxml or .mxl) or as a standard MIDI file",
        ));
    }
    text_of(name, Cow::Borrowed(bytes), problems).map(Content::Xml)
}

fn too_large(name: &str, most: u64) -> ReadError {
    ReadError::new(
        "too-large",
        name,
        format!("the score is larger than {} MB", most >> 20),
        "export the movements as files of their own",
    )
}

/// The first bytes, after marks and blanks, are `<`, in any of the encodings that are read.
fn looks_like_xml(bytes: &[u8]) -> bool {
    let head: Vec<u8> = bytes.iter().copied().take(400).filter(|b| *b != 0).collect();
    let blank = |b: &&u8| b.is_ascii_whitespace() || [0xEF, 0xBB, 0xBF, 0xFE, 0xFF].contains(*b);
    head.iter().find(|b| !blank(b)) == Some(&b'<')
}

fn unpack(
    name: &str,
    bytes: &[u8],
    options: &ReadOptions,
    problems: &mut Problems,
) -> Result<Vec<u8>, ReadError> {
    let broken = |error: &dyn std::fmt::Display| {
        ReadError::new(
            "broken-archive",
            name,
            format!("the compressed score is cut off or damaged: {error}"),
            "copy or export the file again",
        )
    };
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|error| broken(&error))?;
    let inside = match entry(&mut archive, "META-INF/container.xml", 1 << 20, bytes.len()) {
        Ok(container) => root_file(&String::from_utf8_lossy(&container)),
        Err(Taken::TooLarge) => return Err(bomb(name)),
        Err(_) => None,
    };
    let inside = match inside {
        Some(path) if archive.index_for_name(&path).is_some() => path,
        found => {
            let guess = score_inside(&archive).ok_or_else(|| {
                ReadError::new(
                    "no-score-inside",
                    name,
                    "the archive holds no MusicXML score",
                    "export the score again as compressed MusicXML (.mxl)",
                )
            })?;
            problems.add(
                "container",
                format!("{name}, META-INF/container.xml"),
                found.map_or_else(
                    || "the list of contents is missing or cannot be read".to_owned(),
                    |path| format!("it names \"{path}\", which is not there"),
                ),
                format!("\"{guess}\" was read; export the file again if that is not the score"),
            );
            guess
        }
    };
    entry(&mut archive, &inside, options.most_bytes, bytes.len()).map_err(|error| match error {
        Taken::TooLarge => bomb(name),
        Taken::Broken(error) => broken(&error),
    })
}

fn bomb(name: &str) -> ReadError {
    ReadError::new(
        "unpacks-too-large",
        name,
        "the file unpacks to far more than a score holds; nothing was read",
        "do not trust this file; get the score again from where it came",
    )
}

enum Taken {
    TooLarge,
    Broken(String),
}

/// An entry's bytes, never more than `most`, whatever its header says.
fn entry(
    archive: &mut ZipArchive<Cursor<&[u8]>>,
    path: &str,
    most: u64,
    packed: usize,
) -> Result<Vec<u8>, Taken> {
    let file = archive.by_name(path).map_err(|error| Taken::Broken(error.to_string()))?;
    let limit = most.min(FREE.max((packed as u64).saturating_mul(MOST_RATIO)));
    if file.size() > limit {
        return Err(Taken::TooLarge);
    }
    // The declared size is only a hint; what really comes out is counted.
    let hint = usize::try_from(file.size()).unwrap_or(0).min(64 << 20);
    let mut out = Vec::with_capacity(hint);
    let read = file.take(limit + 1).read_to_end(&mut out);
    if out.len() as u64 > limit {
        return Err(Taken::TooLarge);
    }
    read.map_err(|error| Taken::Broken(error.to_string()))?;
    Ok(out)
}

/// The first score that the list of contents names.
fn root_file(container: &str) -> Option<String> {
    let mut reader = Reader::from_str(container);
    loop {
        match reader.read_event() {
            Ok(Event::Start(e) | Event::Empty(e)) if e.local_name().into_inner() == "rootfile" => {
                let mut path = None;
                let mut score = true;
                for attribute in e.attributes().with_checks(false).flatten() {
                    match attribute.key.into_inner() {
                        "full-path" => path = Some(attribute.value.replace('\\', "/")),
                        "media-type" => score = attribute.value.contains("musicxml"),
                        _ => {}
                    }
                }
                if let Some(path) = path.filter(|_| score) {
                    return Some(path);
                }
            }
            Ok(Event::Eof) | Err(_) => return None,
            Ok(_) => {}
        }
    }
}

fn score_inside(archive: &ZipArchive<Cursor<&[u8]>>) -> Option<String> {
    archive.file_names().flatten().map(Cow::into_owned).find(|path| {
        let lower = path.to_lowercase();
        !lower.starts_with("meta-inf/")
            && !lower.starts_with("__macosx")
            && [".xml", ".musicxml"].iter().any(|end| lower.ends_with(end))
    })
}

/// The bytes as text: UTF-8, UTF-16 with or without its mark, or Latin-1 where the file says so.
fn text_of<'a>(name: &str, bytes: Cow<'a, [u8]>, problems: &mut Problems) -> Result<Cow<'a, str>, ReadError> {
    let wide = match bytes.get(..2) {
        Some([0xFF, 0xFE] | [b'<', 0]) => Some(u16::from_le_bytes as fn([u8; 2]) -> u16),
        Some([0xFE, 0xFF] | [0, b'<']) => Some(u16::from_be_bytes as fn([u8; 2]) -> u16),
        _ => None,
    };
    if let Some(from) = wide {
        let units = bytes.chunks_exact(2).map(|pair| from([pair[0], pair[1]]));
        let text: Result<String, _> = char::decode_utf16(units).collect();
        return match text {
            Ok(text) => Ok(Cow::Owned(text.trim_start_matches('\u{FEFF}').to_owned())),
            Err(_) => Err(encoding(name, "UTF-16")),
        };
    }
    if bytes.starts_with(&[0xEF, 0xBB, 0xBF]) {
        let rest = match bytes {
            Cow::Borrowed(bytes) => Cow::Borrowed(bytes.get(3..).unwrap_or_default()),
            Cow::Owned(mut bytes) => {
                bytes.drain(..3);
                Cow::Owned(bytes)
            }
        };
        return utf8(name, rest, problems);
    }
    match declared(&bytes).as_deref() {
        Some("iso-8859-1" | "latin1" | "windows-1252" | "us-ascii" | "ascii")
            if std::str::from_utf8(&bytes).is_err() =>
        {
            Ok(Cow::Owned(bytes.iter().map(|b| char::from(*b)).collect()))
        }
        _ => utf8(name, bytes, problems),
    }
}

fn encoding(name: &str, what: &str) -> ReadError {
    ReadError::new(
        "encoding",
        name,
        format!("the text is not valid {what}"),
        "save the file as UTF-8 or export the score again",
    )
}

fn utf8<'a>(name: &str, bytes: Cow<'a, [u8]>, problems: &mut Problems) -> Result<Cow<'a, str>, ReadError> {
    let text = match bytes {
        Cow::Borrowed(bytes) => std::str::from_utf8(bytes).map(Cow::Borrowed).map_err(|_bad| bytes.to_vec()),
        Cow::Owned(bytes) => {
            String::from_utf8(bytes).map(Cow::Owned).map_err(std::string::FromUtf8Error::into_bytes)
        }
    };
    text.or_else(|bytes| {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let bad = text.chars().filter(|c| *c == char::REPLACEMENT_CHARACTER).count();
        if bad > 100 {
            return Err(encoding(name, "UTF-8"));
        }
        problems.add(
            "encoding",
            name,
            format!("{bad} characters are not valid UTF-8 and were left out"),
            "save the file as UTF-8 if names look wrong",
        );
        Ok(Cow::Owned(text))
    })
}

/// The encoding that the XML declaration states, in small letters.
fn declared(bytes: &[u8]) -> Option<String> {
    let head = String::from_utf8_lossy(bytes.get(..bytes.len().min(200))?).to_lowercase();
    let (_, rest) = head.split_once("encoding")?;
    let rest = rest.trim_start().strip_prefix('=')?.trim_start();
    let quote = rest.chars().next().filter(|c| matches!(c, '"' | '\''))?;
    rest.split(quote).nth(1).map(str::to_owned)
}
