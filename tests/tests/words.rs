//! Every sentence of the program is read for words that it does not use: one word a thing, plain English.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::fs;
use std::path::{Path, PathBuf};

/// Words and phrases that stand in no sentence of the program, and what stands there instead.
const INSTEAD: &[(&str, &str)] = &[
    ("call", "line"),
    ("calls", "lines"),
    ("share-out", "assignments"),
    ("share-outs", "assignments"),
    ("share out", "assign"),
    ("house", "orchestra"),
    ("take in", "import"),
    ("taken in", "imported"),
    ("takes in", "imports"),
    ("look over", "review"),
    ("looked over", "reviewed"),
    ("desk", "review"),
    ("mend", "correct, fix or repair"),
    ("mended", "corrected, fixed or repaired"),
    ("reckon", "assume"),
    ("reckons", "assumes"),
    ("reckoned", "assumed"),
    ("taken back", "undone"),
    ("done again", "redone"),
    ("put back", "cancelled"),
    ("at hand", "current"),
    ("borne", "carried"),
    ("bear", "carry"),
    ("bears", "carries"),
    ("pinned", "locked"),
    ("unpin", "unlock"),
    ("misses", "away"),
    ("promised", "double-booked"),
    ("ca.", "about"),
    ("all the same", "anyway"),
    ("is no", "is not a"),
    ("it is called so", "that is its name"),
    ("standing room", "player’s space"),
    ("takes it back", "undoes it"),
    ("left as it was", "cancelled"),
    ("one step back", "undo"),
    ("another like it", "duplicate"),
    ("wanted twice", "double-booked, or two lines at once"),
    ("in two hands", "two players need it"),
    ("at the least", "at least"),
    ("proved", "proven"),
    ("stand them nearer", "move them closer together"),
    ("hurt people", "injure people"),
    ("by local rules", "under local rules"),
    ("let go", "remove, drop or free"),
    ("puts it back", "cancels"),
    ("stands twice", "appears twice"),
    ("is called so", "that is its name"),
    ("free tonight", "free for these services"),
];

/// What is right as it stands: `call` as a sound of nature, and the rest of a phrase that asks.
const RIGHT: &[&str] =
    &["bird call", "calls for", "the section calls", "there is no", "is no longer", "no longer"];

/// Where "whether" may not begin a sentence of its own.
fn begins_with_whether(literal: &str) -> bool {
    literal.starts_with("Whether ") || literal.contains(". Whether ")
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            if name != "tests" {
                sources(&path, found);
            }
        } else if path.extension().is_some_and(|ending| ending == "rs")
            && !["tests.rs", "worked.rs", "any.rs", "crash.rs"].contains(&name.as_str())
        {
            found.push(path);
        }
    }
}

/// The literals of a source, but for those of its tests and remarks; a line broken by `\` is one again.
fn literals(source: &str) -> Vec<(usize, String)> {
    let code = source.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
    let mut found = Vec::new();
    let mut chars = code.chars().peekable();
    let mut line = 1;
    while let Some(c) = chars.next() {
        match c {
            '\n' => line += 1,
            '/' if chars.peek() == Some(&'/') => while chars.next_if(|c| *c != '\n').is_some() {},
            '\'' => {
                // A sign of its own, such as '"' or '\''; a lifetime has no second apostrophe so near.
                let mut ahead = chars.clone();
                let first = ahead.next();
                let longer = first == Some('\\');
                if longer {
                    ahead.next();
                }
                if ahead.next() == Some('\'') {
                    chars = ahead;
                }
            }
            '"' => {
                let at = line;
                let mut literal = String::new();
                while let Some(c) = chars.next() {
                    match c {
                        '"' => break,
                        '\\' => match chars.next() {
                            Some('\n') => {
                                line += 1;
                                while chars.next_if(|c| *c == ' ').is_some() {}
                            }
                            Some('n') => literal.push('\n'),
                            Some(other) => literal.push(other),
                            None => break,
                        },
                        '\n' => {
                            line += 1;
                            literal.push(c);
                        }
                        c => literal.push(c),
                    }
                }
                found.push((at, literal));
            }
            _ => {}
        }
    }
    found
}

/// Whether a literal is meant to be read: it has a blank, or begins with a capital.
fn is_read(literal: &str) -> bool {
    literal.contains(' ') || literal.starts_with(char::is_uppercase)
}

fn has_word(text: &str, word: &str) -> bool {
    let is_part = |c: char| c.is_alphanumeric() || c == '_' || c == '-';
    text.match_indices(word).any(|(at, _)| {
        let before = text.get(..at).and_then(|t| t.chars().next_back());
        let after = text.get(at + word.len()..).and_then(|t| t.chars().next());
        !before.is_some_and(is_part) && !after.is_some_and(is_part)
    })
}

fn faults(literal: &str) -> Vec<String> {
    let mut plain = literal.to_lowercase();
    for right in RIGHT {
        plain = plain.replace(right, " ");
    }
    let words = INSTEAD.iter().filter(|(word, _)| has_word(&plain, word));
    let mut found: Vec<String> = words.map(|(word, better)| format!("“{word}” (say {better})")).collect();
    if begins_with_whether(literal) {
        found.push("a sentence that begins with “Whether”".to_owned());
    }
    found
}

#[test]
fn the_reader_finds_what_it_should() {
    assert_eq!(faults("3 calls to be mended").len(), 2);
    assert!(faults("the part calls for a bird call").is_empty());
    assert_eq!(faults("Whether it may stand there they say").len(), 1);
    let source = "let a = \"one \\\n  call\"; // \"two calls\"\nlet b = '\"'; let c = \"three\";";
    let read: Vec<String> = literals(source).into_iter().map(|(_, literal)| literal).collect();
    assert_eq!(read, ["one call", "three"]);
}

#[test]
fn the_program_says_none_of_the_words_that_it_does_not_use() {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
    let mut files = Vec::new();
    for name in ["backrow", "backrow-core", "backrow-files", "backrow-print", "backrow-sound"] {
        sources(&crates.join(name).join("src"), &mut files);
    }
    assert!(files.len() > 300, "the sources are there: {}", files.len());
    let mut told = Vec::new();
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        for (line, literal) in literals(&text).into_iter().filter(|(_, literal)| is_read(literal)) {
            for fault in faults(&literal) {
                let file = file.strip_prefix(&crates).unwrap_or(&file);
                told.push(format!("{}:{line}: {fault} in {literal:?}", file.display()));
            }
        }
    }
    assert!(told.is_empty(), "{} to reword:\n{}", told.len(), told.join("\n"));
}
