//! Between a record and the text of its file.

use super::layout::lay_out;
use super::problem::{Problem, nearest};
use ron::error::{Error, SpannedError};
use ron::extensions::Extensions;
use serde::Serialize;
use serde::de::DeserializeOwned;

const MERGED: &str = "version control has left two versions in it: compare them with \"Show two versions of a file\", or choose \
                      between the lines from <<<<<<< to >>>>>>> and delete the marks";

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// The text of a record, laid out.
pub(super) fn write<T: Serialize>(record: &T) -> Result<String, String> {
    options().to_string(record).map(|compact| lay_out(&compact)).map_err(|error| error.to_string())
}

/// The record of a text; the problem names the line, the field and the remedy.
pub(super) fn read<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, Problem> {
    // Keeping the path of the field costs as much again as reading; only who has to name a fault needs it.
    if let Ok(value) = options().from_str(text) {
        return Ok(value);
    }
    let mut source = ron::de::Deserializer::from_str_with_options(text, &options())
        .map_err(|error| problem(file, text, "", &error))?;
    let value = serde_path_to_error::deserialize(&mut source).map_err(|error| {
        let path = error.path().to_string();
        problem(file, text, &path, &source.span_error(error.into_inner()))
    })?;
    source.end().map_err(|error| problem(file, text, "", &source.span_error(error)))?;
    Ok(value)
}

/// The record of a text that a newer program wrote, without the fields that are not known here; `None` where it differs
/// in more than that. For looking at only: what it lacks would be lost if it were written.
pub(super) fn read_newer<T: DeserializeOwned>(text: &str) -> Option<T> {
    /// A newer program will hardly have more new fields than this in one file.
    const MOST: usize = 200;
    let mut text = text.to_owned();
    for _ in 0..MOST {
        let error = match options().from_str::<T>(&text) {
            Ok(record) => return Some(record),
            Err(error) => error,
        };
        let Error::NoSuchStructField { found, .. } = &error.code else { return None };
        let from = offset(&text, error.span.start.line, error.span.start.col)?;
        let name = from + text.get(from..)?.find(found.as_str())?;
        let end = name + field_length(text.get(name..)?)?;
        text.replace_range(name..end, "");
    }
    None
}

/// The line and column behind the last sign before a place: there a comma or bracket is missing, not on the next line
/// where the reader noticed.
fn behind_last(text: &str, line: usize, column: usize) -> (usize, usize) {
    let before = offset(text, line, column).and_then(|at| text.get(..at)).unwrap_or(text).trim_end();
    let last = before.rsplit_once('\n').map_or(before, |(_, last)| last);
    (before.matches('\n').count() + 1, last.chars().count() + 1)
}

/// The byte at a line and column, both from 1.
fn offset(text: &str, line: usize, column: usize) -> Option<usize> {
    let start: usize = text.split_inclusive('\n').take(line.checked_sub(1)?).map(str::len).sum();
    let before = text.get(start..)?.char_indices().nth(column.checked_sub(1)?);
    Some(start + before.map_or(0, |(at, _)| at))
}

/// The bytes of a field from its name to the comma after its value, or to the bracket that closes its record.
fn field_length(text: &str) -> Option<usize> {
    let mut depth = 0_u32;
    let mut quoted = false;
    let mut escaped = false;
    for (at, c) in text.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' if quoted => escaped = true,
            '"' => quoted = !quoted,
            _ if quoted => {}
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' if depth == 0 => return Some(at),
            ')' | ']' | '}' => depth -= 1,
            ',' if depth == 0 => return Some(at + 1),
            _ => {}
        }
    }
    None
}

fn problem(file: &str, text: &str, path: &str, error: &SpannedError) -> Problem {
    let (code, what, remedy) = explain(&error.code);
    let at = if path.is_empty() || matches!(path, "." | "?") { String::new() } else { format!("{path}: ") };
    let mut problem = Problem::new(file, code, format!("{at}{what}"), remedy);
    // A field or value that was read and then refused lies before the reader; a missing sign lies where it stopped.
    let place = match error.code {
        Error::Message(_) | Error::NoSuchStructField { .. } | Error::NoSuchEnumVariant { .. } => {
            error.span.start
        }
        _ => error.span.end,
    };
    let (line, column) = match error.code {
        Error::ExpectedComma
        | Error::ExpectedArrayEnd
        | Error::ExpectedMapEnd
        | Error::ExpectedStructLikeEnd => behind_last(text, place.line, place.col),
        _ => (place.line, place.col),
    };
    problem.line = u32::try_from(line).ok();
    problem.column = u32::try_from(column).ok();
    if let Some(line) = marked_line(text) {
        MERGED.clone_into(&mut problem.remedy);
        (problem.line, problem.column) = (Some(line), None);
    }
    problem
}

/// The line, from 1, of the first mark that version control has left in a text where two versions were to be merged.
pub(super) fn marked_line(text: &str) -> Option<u32> {
    let at = |mark: &str, from: usize| {
        text.lines().enumerate().skip(from).find(|(_, line)| line.starts_with(mark)).map(|(at, _)| at)
    };
    let begins = at("<<<<<<<", 0)?;
    let turns = at("=======", begins + 1)?;
    at(">>>>>>>", turns + 1)?;
    u32::try_from(begins + 1).ok()
}

/// A stable code, what is wrong and what to do, for people who have never seen RON.
fn explain(error: &Error) -> (&'static str, String, String) {
    match error {
        Error::NoSuchStructField { expected, found, .. } => {
            let hint = match nearest(found, expected.iter().copied()) {
                Some(near) => format!("write {near} if that is meant"),
                None => format!("known here: {}", expected.join(", ")),
            };
            let remedy = format!("{hint}, or take the field out; the file is left as it is until then");
            ("unknown-field", format!("there is no field \"{found}\""), remedy)
        }
        Error::NoSuchEnumVariant { expected, found, .. } => {
            let remedy = format!("write one of {}", expected.join(", "));
            ("unknown-word", format!("\"{found}\" is not known here"), remedy)
        }
        Error::MissingStructField { field, .. } => {
            ("missing-field", format!("the field \"{field}\" is missing"), format!("add a line \"{field}: ...,\""))
        }
        Error::DuplicateStructField { field, .. } => (
            "double-field",
            format!("the field \"{field}\" appears twice"),
            "take one of the two out".to_owned(),
        ),
        Error::Message(words) if words.contains('\n') => (
            "syntax",
            "a text runs on over the end of the line".to_owned(),
            "close its quotation mark".to_owned(),
        ),
        Error::Message(words) => ("bad-value", words.clone(), "correct the value".to_owned()),
        Error::Eof => (
            "syntax",
            "the file ends too early".to_owned(),
            "a bracket or quotation mark is not closed, or the file was cut off: close it or take the file from a \
             backup"
                .to_owned(),
        ),
        Error::ExceededRecursionLimit => (
            "syntax",
            "brackets are nested too deep".to_owned(),
            "no file of a library is that deep: take the file from a backup".to_owned(),
        ),
        Error::TrailingCharacters => (
            "syntax",
            "something follows the closing bracket".to_owned(),
            "one file holds one record: remove what follows".to_owned(),
        ),
        other => (
            "syntax",
            words_of(other),
            "correct the line, or the one before it, or restore the file from a backup".to_owned(),
        ),
    }
}

fn words_of(error: &Error) -> String {
    let expected = match error {
        Error::ExpectedComma => "a comma",
        Error::ExpectedString => "a text in quotation marks",
        Error::ExpectedStringEnd => "a closing quotation mark",
        Error::ExpectedBoolean => "true or false",
        Error::ExpectedFloat | Error::ExpectedInteger => "a number",
        Error::IntegerOutOfBounds => "a smaller whole number, not below 0",
        Error::ExpectedArray => "an opening [",
        Error::ExpectedArrayEnd => "a closing ] or a comma",
        Error::ExpectedMap => "an opening {",
        Error::ExpectedMapEnd => "a closing } or a comma",
        Error::ExpectedMapColon => "a colon after the name",
        Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) => "an opening (",
        Error::ExpectedStructLikeEnd | Error::ExpectedOptionEnd => "a closing ) or a comma",
        Error::ExpectedIdentifier => "the name of a field",
        other => return format!("it cannot be read: {other}"),
    };
    format!("{expected} was expected")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::record::InstrumentRecord;
    use rstest::rstest;

    const GOOD: &str = "(\n    format: 1,\n    id: \"x\",\n    kind: \"gong\",\n    layout: \"rack\",\n    \
                        material: \"bronze\",\n    footprint: (shape: round(diameter_m: 0.5), height_m: 1.5),\n)\n";

    #[test]
    fn the_good_file_is_read() {
        read::<InstrumentRecord>("x", GOOD).unwrap();
        read::<InstrumentRecord>("x", &GOOD.replace('\n', "\r\n")).unwrap();
    }

    #[rstest]
    #[case::unknown_field(
        "kind: \"gong\",",
        "kind: \"gong\",\n    plaec: \"room\",",
        5,
        "unknown-field",
        "place"
    )]
    #[case::nested_field("height_m: 1.5", "hieght_m: 1.5", 7, "unknown-field", "height_m")]
    #[case::word("\"bronze\"", "\"bronce\"", 6, "bad-value", "nearest is \"bronze\"")]
    #[case::shape("round(", "roundish(", 7, "unknown-word", "round")]
    #[case::id("\"x\"", "\"X y\"", 3, "bad-value", "small letters")]
    #[case::comma("\"rack\",", "\"rack\"", 5, "syntax", "comma")]
    #[case::number("0.5", "half", 7, "syntax", "a number")]
    #[case::quote("\"gong\"", "gong", 4, "syntax", "quotation marks")]
    #[case::open_quote("\"gong\"", "\"gong", 4, "syntax", "quotation mark")]
    #[case::twice("kind: \"gong\",", "kind: \"gong\",\n    kind: \"gong\",", 5, "double-field", "kind")]
    #[case::cut_off("height_m: 1.5),\n)\n", "height_m: 1.5),\n", 8, "syntax", "ends too early")]
    #[case::more(")\n", ")\n(2)\n", 9, "syntax", "follows")]
    fn errors_name_line_and_remedy(
        #[case] from: &str,
        #[case] to: &str,
        #[case] line: u32,
        #[case] code: &str,
        #[case] says: &str,
    ) {
        let (before, after) = GOOD.rsplit_once(from).unwrap();
        let bad = format!("{before}{to}{after}");
        let problem = read::<InstrumentRecord>("instruments/x.ron", &bad).unwrap_err();
        assert_eq!((problem.code, problem.line), (code, Some(line)), "{problem}");
        assert!(problem.to_string().contains(says), "{problem}");
    }

    #[test]
    fn newer_files_are_read_without_what_is_new() {
        let newer = GOOD
            .replace("kind:", "aura: (a: [\"x, )\\\"\", 2], b: {}),\n    kind:")
            .replace("height_m: 1.5", "height_m: 1.5, glow: Some(3)")
            .replace("format: 1", "shine: \"ü\", format: 2");
        let record = read_newer::<InstrumentRecord>(&newer).unwrap();
        assert_eq!(
            write(&record).unwrap().replace("format: 2", "format: 1"),
            write(&read::<InstrumentRecord>("x", GOOD).unwrap()).unwrap()
        );
        assert!(read_newer::<InstrumentRecord>(&GOOD.replace("\"bronze\"", "\"moonlight\"")).is_none());
    }

    #[test]
    fn the_path_of_a_field_is_named() {
        let bad =
            GOOD.replace("    layout", "    frames: [(range: \"F4-C8\"), (range: \"F4\")],\n    layout");
        let problem = read::<InstrumentRecord>("x", &bad).unwrap_err();
        assert!(problem.what.starts_with("frames[1].range"), "{problem}");
    }
}
