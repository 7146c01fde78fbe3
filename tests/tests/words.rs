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
const RIGHT: &[&str] = &[
    "bird call",
    "cuckoo call",
    "calls for",
    "the section calls",
    "there is no",
    "is no longer",
    "no longer",
    "opera house",
    "house right",
    "house left",
];

/// Words as they are spelt on one side of an ocean, and how they are spelt here. The typesetter's own word for a middle is code.
const SPELT: &[(&str, &str)] = &[
    ("color", "colour"),
    ("colors", "colours"),
    ("colored", "coloured"),
    ("meter", "metre"),
    ("meters", "metres"),
    ("gray", "grey"),
    ("favorite", "favourite"),
    ("behavior", "behaviour"),
    ("labeled", "labelled"),
    ("canceled", "cancelled"),
    ("canceling", "cancelling"),
    ("traveled", "travelled"),
    ("modeled", "modelled"),
    ("aluminum", "aluminium"),
    ("theater", "theatre"),
    ("neighbor", "neighbour"),
    ("neighbors", "neighbours"),
    ("artifact", "artefact"),
    ("analyze", "analyse"),
    ("analyzed", "analysed"),
    ("recognize", "recognise"),
    ("recognized", "recognised"),
    ("organize", "organise"),
    ("organized", "organised"),
    ("percent", "per cent"),
    ("fulfill", "fulfil"),
    ("catalog", "catalogue"),
    ("maneuver", "manoeuvre"),
    ("practiced", "practised"),
    ("gotten", "got"),
];

/// An apostrophe as a typewriter has it, within a word that is read.
fn typewriter_apostrophe(literal: &str) -> bool {
    literal.match_indices('\'').any(|(at, _)| {
        let before = literal.get(..at).and_then(|text| text.chars().next_back());
        let after = literal.get(at + 1..).and_then(|text| text.chars().next());
        before.is_some_and(char::is_alphabetic) && after.is_some_and(char::is_lowercase)
    })
}

/// A measure named without a space, or several under the sign of one: "m.12", "m. 12-18".
fn odd_measure(literal: &str) -> bool {
    let is_count = |c: char| c.is_ascii_digit() || c == '{';
    let glued = ["m.", "mm."].iter().any(|sign| {
        literal.match_indices(sign).any(|(at, _)| {
            let before = literal.get(..at).and_then(|text| text.chars().next_back());
            let after = literal.get(at + sign.len()..).and_then(|text| text.chars().next());
            !before.is_some_and(|c| c.is_alphanumeric() || c == '.') && after.is_some_and(is_count)
        })
    });
    let several = literal.match_indices("m. ").any(|(at, _)| {
        let before = literal.get(..at).and_then(|text| text.chars().next_back());
        let after = literal.get(at + 3..).unwrap_or_default();
        let end = after.find(|c: char| !(c.is_alphanumeric() || "{}_.".contains(c))).unwrap_or(after.len());
        let (first, rest) = after.split_at_checked(end).unwrap_or((after, ""));
        !before.is_some_and(char::is_alphanumeric)
            && first.starts_with(is_count)
            && rest.starts_with(['-', '–'])
            && rest.chars().nth(1).is_some_and(is_count)
    });
    glued || several
}

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
                            // A sign by its number is no word, nor a space that is typed.
                            Some('u') => {
                                while chars.next_if(|c| *c != '}').is_some() {}
                                chars.next();
                                literal.push('\u{202F}');
                            }
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

/// The units that stand apart from their figure by a thin space at which no line breaks (SI brochure, 5.4.3: a space; that it is thin is
/// common practice).
const UNITS: [&str; 17] =
    ["m", "mm", "cm", "km", "kg", "s", "min", "h", "Hz", "kHz", "dB", "°C", "kN/m²", "kN", "ms", "m/s", "kB"];

/// A figure that is put into a sentence with a plain space before its unit: "{depth:.2} m".
fn plain_space_before_unit(literal: &str) -> Option<&str> {
    literal.match_indices("} ").find_map(|(at, _)| {
        let after = literal.get(at + 2..)?;
        let end = after.find(|c: char| !(c.is_alphanumeric() || "°/²".contains(c))).unwrap_or(after.len());
        let unit = after.get(..end)?;
        // "{work} m. {measure}" is a measure.
        let is_measure =
            ["m", "mm"].contains(&unit) && after.get(end..).is_some_and(|rest| rest.starts_with(". {"));
        (UNITS.contains(&unit) && !is_measure).then_some(unit)
    })
}

/// The text of a template: its strings and what stands in brackets, without remarks and code.
fn template_texts(source: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    for (nth, line) in source.lines().enumerate() {
        let code = line.split("//").next().unwrap_or_default();
        let strings = code.split('"').skip(1).step_by(2);
        let brackets = code.split('[').skip(1).flat_map(|inside| inside.split(['[', ']', '{', '}', '"']));
        // What follows a hash is a name and what it is given.
        let brackets = brackets.flat_map(|text| {
            let is_name = |c: char| c.is_alphanumeric() || "._-".contains(c);
            let after_name = move |part: &'_ str| part.trim_start_matches(is_name).to_owned();
            let mut parts = text.split('#');
            let plain = parts.next().unwrap_or_default().to_owned();
            std::iter::once(plain).chain(parts.map(after_name)).collect::<Vec<_>>()
        });
        found.extend(strings.map(str::to_owned).chain(brackets).map(|text| (nth + 1, text)));
    }
    found
}

/// The remarks of the shell's commands, which are their help and the manual page.
fn help_texts(source: &str) -> Vec<(usize, String)> {
    let remark =
        |(nth, line): (usize, &str)| Some((nth + 1, line.trim_start().strip_prefix("/// ")?.to_owned()));
    source.lines().enumerate().filter_map(remark).collect()
}

/// The lines of a page, without those that show a file or a command, and without names of code within them.
fn page_texts(source: &str) -> Vec<(usize, String)> {
    let mut shows = false;
    let mut found = Vec::new();
    for (nth, line) in source.lines().enumerate() {
        if line.starts_with("```") {
            shows = !shows;
        } else if !shows {
            found.push((nth + 1, line.split('`').step_by(2).collect::<Vec<_>>().join("`")));
        }
    }
    found
}

/// What the table of kinds says in sentences; its names are the trade's, in four languages.
fn remarks_of_kinds(source: &str) -> Vec<(usize, String)> {
    let said = |(line, text): (usize, &str)| {
        let text = text.trim_start();
        let text = ["caution: ", "note: "].iter().find_map(|field| text.strip_prefix(field))?;
        Some((line + 1, text.to_owned()))
    };
    source.lines().enumerate().filter_map(said).collect()
}

/// Every file under a folder whose name ends so.
fn files_under(folder: &Path, ending: &str, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files_under(&path, ending, found);
        } else if path.to_string_lossy().ends_with(ending) {
            found.push(path);
        }
    }
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
    let words = INSTEAD.iter().chain(SPELT).filter(|(word, _)| has_word(&plain, word));
    let mut found: Vec<String> = words.map(|(word, better)| format!("“{word}” (say {better})")).collect();
    if begins_with_whether(literal) {
        found.push("a sentence that begins with “Whether”".to_owned());
    }
    if odd_measure(literal) {
        found.push("a measure that is not “m. 12” or “mm. 12–18”".to_owned());
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
    assert_eq!(plain_space_before_unit("overlap by {depth:.2} m"), Some("m"));
    assert_eq!(plain_space_before_unit("at {} °C the bars"), Some("°C"));
    assert!(typewriter_apostrophe("the player's line") && !typewriter_apostrophe("the player’s '{name}'"));
    for odd in ["m.12", "from mm.{from}", "m. 12-18", "m. {from}–{to}"] {
        assert!(odd_measure(odd), "{odd}");
    }
    for right in ["m. 12", "mm. 12–18", "m. {from}", "12 mm. 3–4", "m. 12, m. 14", "0.5 mm.", "m. 12 - gone"]
    {
        assert!(!odd_measure(right), "{right}");
    }
    for right in ["by {depth:.2}\u{202F}m", "{name} m. {measure}", "{count} more", "{work} mm. {from}"] {
        assert_eq!(plain_space_before_unit(right), None, "{right}");
    }
}

/// What else is read finds what it should, and leaves code alone.
#[test]
fn the_other_readers_find_what_they_should() {
    let told = |texts: Vec<(usize, String)>| {
        let lines = texts.into_iter().filter(|(_, text)| !faults(text).is_empty()).map(|(line, _)| line);
        lines.collect::<Vec<_>>()
    };
    let template = "#let call(x) = { x } // a call\n#text(9pt)[3 calls #call(x)]\n#head(\"the house\", [])";
    assert_eq!(told(template_texts(template)), [2, 3]);
    assert_eq!(told(help_texts("/// Reads a call.\nfn call() {} // call\n    /// A line.")), [1]);
    assert_eq!(told(page_texts("A call.\n```\nthe call\n```\nThe house, `house`.\nIts `call`.")), [1, 5]);
    assert_eq!(told(remarks_of_kinds("english: [\"bird call\"],\n note: \"In color.\",")), [2]);
}

/// What makes texts with their lines of a file.
type Texts<'a> = &'a dyn Fn(&str) -> Vec<(usize, String)>;

/// The demo library, the templates, the guide, the pages about the program, what packages say of it and the commands' help.
#[test]
fn what_else_is_read_says_none_of_those_words() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let under = |folder: &str, ending: &str| {
        let mut files = Vec::new();
        files_under(&root.join(folder), ending, &mut files);
        assert!(!files.is_empty(), "{folder} has something that ends in {ending}");
        files
    };
    let strings = |text: &str| -> Vec<(usize, String)> {
        literals(text).into_iter().filter(|(_, literal)| is_read(literal)).collect()
    };
    let shell = [under("crates/backrow/src/shell", ".rs"), vec![root.join("crates/backrow/src/shell.rs")]];
    let pages = ["README.md", "DEVELOPERS.md", "docs/format.md", "packaging/README.md"];
    let all: [(Vec<PathBuf>, Texts<'_>); 8] = [
        (under("demo-library", ".ron"), &strings),
        (under("demo-library", ".md"), &page_texts),
        (under("assets/print", ".typ"), &template_texts),
        (under("docs/guide", ".md"), &page_texts),
        (pages.iter().map(|page| root.join(page)).collect(), &page_texts),
        (vec![root.join("assets/kinds/kinds.ron")], &remarks_of_kinds),
        (
            ["desktop", "metainfo.xml", "mime.xml"].iter().flat_map(|end| under("packaging", end)).collect(),
            &page_texts,
        ),
        (shell.concat(), &help_texts),
    ];
    let mut told = Vec::new();
    for (files, texts) in all {
        for file in files {
            for (line, text) in texts(&fs::read_to_string(&file).unwrap()) {
                for fault in faults(&text) {
                    let file = file.strip_prefix(&root).unwrap_or(&file);
                    told.push(format!("{}:{line}: {fault} in {text:?}", file.display()));
                }
            }
        }
    }
    assert!(told.is_empty(), "{} to reword:\n{}", told.len(), told.join("\n"));
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
            // What is typed as it is shown keeps the space of the keyboard.
            let typed = ["carrying/typed.rs", "collection/lift.rs"].iter().any(|typed| file.ends_with(typed));
            let unit = plain_space_before_unit(&literal).filter(|_| !typed);
            let unit = unit.map(|unit| format!("a plain space before “{unit}” (say \\u{{202F}})"));
            // Names as parts print them keep their sign.
            let printed = file.ends_with("names/aliases.rs");
            let sign =
                (!printed && typewriter_apostrophe(&literal)).then(|| "a typewriter’s apostrophe".to_owned());
            for fault in faults(&literal).into_iter().chain(unit).chain(sign) {
                let file = file.strip_prefix(&crates).unwrap_or(&file);
                told.push(format!("{}:{line}: {fault} in {literal:?}", file.display()));
            }
        }
    }
    assert!(told.is_empty(), "{} to reword:\n{}", told.len(), told.join("\n"));
}
