//! Format versions: which one a file states, and the way from an older one to today's.

use std::iter::Peekable;
use std::str::Chars;

/// What format 1 called `orchestra.ron`. Such a file is read, and written under its new name when something in it changes.
pub(super) const BEFORE_2: &str = "house.ron";

/// Today's format. Raise it, and add a [`Step`], whenever an older program would misread or lose what is new.
pub(super) const FORMAT: u32 = 2;

/// One step forward: the text of a file of `from`, as a file of `from + 1`.
pub(super) struct Step {
    /// The version it starts from.
    pub from: u32,
    /// Changes the text of the file of that name; the error is a sentence.
    pub forward: fn(file: &str, text: &str) -> Result<String, String>,
}

/// Every step so far.
pub(super) const STEPS: &[Step] = &[Step { from: 1, forward: words_of_2 }];

/// Format 2 differs from 1 in its words alone. The settings stand in `orchestra.ron`, which was `house.ron`.
#[expect(clippy::unnecessary_wraps, reason = "a step may fail; this one cannot")]
fn words_of_2(file: &str, text: &str) -> Result<String, String> {
    const WEEKS: &[(&str, &str)] = &[
        ("share_out", "assignments"),
        ("call", "line"),
        ("kept", "rules"),
        ("pinned", "locked"),
        ("borne", "lies_on"),
        ("away", "removed"),
    ];
    let new_words: &[(&str, &str)] = match file.split_once('/').map_or(file, |(folder, _)| folder) {
        "works" => &[("calls", "lines")],
        "weeks" => WEEKS,
        "instruments" => &[("hands", "people"), ("house", "orchestra")],
        "kinds.ron" => &[("hands", "people")],
        BEFORE_2 | "orchestra.ron" => &[("way_m", "gangway_m")],
        _ => &[("house", "orchestra")],
    };
    Ok(with_names(text, |name| match name {
        "format" => None,
        _ => new_words.iter().find(|(old, _)| *old == name).map(|(_, new)| *new),
    }))
}

/// The text with other names of fields and values; what stands in quotation marks and remarks stays.
fn with_names(text: &str, other: impl Fn(&str) -> Option<&'static str>) -> String {
    let mut chars = text.chars().peekable();
    let mut out = String::with_capacity(text.len() + text.len() / 8);
    while let Some(c) = chars.next() {
        match c {
            '"' => {
                out.push(c);
                while let Some(c) = chars.next() {
                    out.push(c);
                    match c {
                        '\\' => out.extend(chars.next()),
                        '"' => break,
                        _ => {}
                    }
                }
            }
            '/' if chars.peek() == Some(&'/') => {
                out.push(c);
                out.extend(std::iter::from_fn(|| chars.next_if(|c| *c != '\n')));
            }
            '/' if chars.peek() == Some(&'*') => {
                out.push(c);
                let mut before = ' ';
                for c in chars.by_ref() {
                    out.push(c);
                    if before == '*' && c == '/' {
                        break;
                    }
                    before = c;
                }
            }
            c if c.is_ascii_alphabetic() || c == '_' => {
                let mut name = String::from(c);
                name.extend(std::iter::from_fn(|| chars.next_if(|c| c.is_ascii_alphanumeric() || *c == '_')));
                out.push_str(other(&name).unwrap_or(&name));
            }
            c => out.push(c),
        }
    }
    out
}

/// How a file's version stands to the program's.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Version {
    /// Today's, or an older one brought forward; the text to read.
    Readable(String),
    /// Made by a newer program.
    Newer(u32),
    /// The file does not begin with its version, or there is no way from it.
    Unknown(String),
}

/// Looks at the version that a file states and brings the text forward to `today`.
pub(super) fn bring_forward(file: &str, text: &str, today: u32, steps: &[Step]) -> Version {
    let Some(stated) = stated(text) else {
        return Version::Unknown("the file does not begin with its format, \"(format: 1,\"".to_owned());
    };
    if stated > today {
        return Version::Newer(stated);
    }
    let mut text = text.to_owned();
    for version in stated..today {
        let Some(step) = steps.iter().find(|step| step.from == version) else {
            return Version::Unknown(format!("format {stated} is none that this program knows"));
        };
        match (step.forward)(file, &text) {
            Ok(next) => text = next,
            Err(error) => {
                return Version::Unknown(format!(
                    "it could not be brought forward from format {version}: {error}"
                ));
            }
        }
    }
    if stated == 0 && steps.is_empty() {
        return Version::Unknown("format 0 is none that this program knows".to_owned());
    }
    Version::Readable(text)
}

/// The version at the head of the file, found without reading the rest, which a newer program may write otherwise.
pub(super) fn stated(text: &str) -> Option<u32> {
    let mut chars = text.chars().peekable();
    skip_blank(&mut chars);
    chars.next_if_eq(&'(')?;
    skip_blank(&mut chars);
    for expected in "format".chars() {
        chars.next_if_eq(&expected)?;
    }
    skip_blank(&mut chars);
    chars.next_if_eq(&':')?;
    skip_blank(&mut chars);
    let digits: String = std::iter::from_fn(|| chars.next_if(char::is_ascii_digit)).collect();
    digits.parse().ok()
}

/// Skips white space and comments.
fn skip_blank(chars: &mut Peekable<Chars<'_>>) {
    loop {
        while chars.next_if(|c| c.is_whitespace()).is_some() {}
        let mut ahead = chars.clone();
        if ahead.next() != Some('/') {
            return;
        }
        match ahead.next() {
            Some('/') => {
                *chars = ahead;
                while chars.next_if(|c| *c != '\n').is_some() {}
            }
            Some('*') => {
                *chars = ahead;
                let mut before = ' ';
                for c in chars.by_ref() {
                    if before == '*' && c == '/' {
                        break;
                    }
                    before = c;
                }
            }
            _ => return,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("(format: 1, id: \"x\")", Some(1))]
    #[case("// ours\n/* and\n theirs */ ( format :12)", Some(12))]
    #[case("(id: \"x\", format: 1)", None)]
    #[case("(format: -1)", None)]
    #[case("(format: 99999999999)", None)]
    #[case("", None)]
    fn versions_are_found(#[case] text: &str, #[case] expected: Option<u32>) {
        assert_eq!(stated(text), expected);
    }

    #[rstest]
    #[case(
        "weeks/x.ron",
        "(kept: [together((call: \"call\", pinned: true))])",
        "(rules: [together((line: \"call\", locked: true))])"
    )]
    #[case(
        "works/x.ron",
        "// calls\n(calls: [/* calls */ (id: \"calls \\\" calls\")])",
        "// calls\n(lines: [/* calls */ (id: \"calls \\\" calls\")])"
    )]
    #[case(
        "instruments/x.ron",
        "(owner: house, pieces: [(hands: 2)], calls: 1)",
        "(owner: orchestra, pieces: [(people: 2)], calls: 1)"
    )]
    #[case("house.ron", "(habits: (gangway_m: 0.6))", "(habits: (gangway_m: 0.6))")]
    fn format_2_has_new_words(#[case] file: &str, #[case] before: &str, #[case] after: &str) {
        assert_eq!(words_of_2(file, before).unwrap(), after);
    }

    #[test]
    fn older_files_walk_every_step() {
        let steps = [
            Step { from: 1, forward: |_, text| Ok(text.replace("bench", "room")) },
            Step { from: 2, forward: |file, text| Ok(format!("{text}// {file}")) },
        ];
        let forward = |text| bring_forward("places.ron", text, 3, &steps);
        assert_eq!(forward("(format: 1, bench)"), Version::Readable("(format: 1, room)// places.ron".into()));
        assert_eq!(forward("(format: 3, bench)"), Version::Readable("(format: 3, bench)".into()));
        assert_eq!(forward("(format: 4)"), Version::Newer(4));
        assert!(matches!(forward("(format: 0)"), Version::Unknown(_)));
    }
}
