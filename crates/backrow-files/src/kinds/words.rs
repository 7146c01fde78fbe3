//! Words that parts print beside the instruments: what to strike with, and how to play. They are no kinds.

use super::lines::Lines;
use super::parse::{Wrong, check_names, format_problem, syntax, word};
use super::record::FORMAT;
use crate::problem::Problem;
use backrow_core::collection::{Hardness, Head, Names};
use serde::Deserialize;
use std::collections::BTreeSet;

const STANDARD: &str = include_str!("../../../../assets/kinds/words.ron");

/// A word in its languages, and what it means for the section.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartWord {
    /// Stable for ever: `sticks_felt`.
    pub id: String,
    /// How parts print it.
    pub names: Names,
    /// What it means.
    pub means: WordMeans,
}

/// What a word in a part means for the section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WordMeans {
    /// A heading over a part, which names no instrument.
    Heading,
    /// What to strike with, as far as the word fixes it.
    Beater {
        /// The head's material.
        head: Option<Head>,
        /// How hard.
        hardness: Option<Hardness>,
    },
    /// How to play: snares off, muffled, let ring.
    Playing,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct WordsFile {
    format: u32,
    words: Vec<WordRecord>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct WordRecord {
    id: String,
    means: MeansRecord,
    english: Vec<String>,
    #[serde(default)]
    italian: Vec<String>,
    #[serde(default)]
    german: Vec<String>,
    #[serde(default)]
    french: Vec<String>,
    #[serde(default)]
    abbreviations: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum MeansRecord {
    Heading,
    Beater {
        #[serde(default)]
        head: String,
        #[serde(default)]
        hardness: String,
    },
    Playing,
}

/// The program's own words, in the order of their file. A test keeps them free of problems.
pub fn standard_words() -> Result<Vec<PartWord>, Problem> {
    let (words, problems) = parse_words("words.ron", STANDARD);
    problems.into_iter().next().map_or(Ok(words), Err)
}

/// The words in the text of a words file, and what could not be read; `file` is for the messages.
pub fn parse_words(file: &str, text: &str) -> (Vec<PartWord>, Vec<Problem>) {
    let read: WordsFile = match ron::from_str(text) {
        Ok(read) => read,
        Err(error) => return (Vec::new(), vec![syntax(file, &error)]),
    };
    if read.format != FORMAT {
        return (Vec::new(), vec![format_problem(file, read.format)]);
    }
    let lines = Lines::new(file, text);
    let mut words = Vec::new();
    let mut problems = Vec::new();
    let mut seen = BTreeSet::new();
    for (nth, record) in read.words.into_iter().enumerate() {
        let id = record.id.clone();
        let checked = part_word(record).and_then(|word| {
            let twice = || Wrong::new("word-twice", "id", "it stands in the file twice".into(), "keep one");
            if seen.insert(id.clone()) { Ok(word) } else { Err(twice()) }
        });
        match checked {
            Ok(word) => words.push(word),
            Err(wrong) => problems.push(Problem {
                code: wrong.code,
                place: lines.place(nth, &wrong.near),
                what: format!("word \"{id}\": {}", wrong.what),
                remedy: wrong.remedy,
            }),
        }
    }
    (words, problems)
}

fn part_word(record: WordRecord) -> Result<PartWord, Wrong> {
    let means = match record.means {
        MeansRecord::Heading => WordMeans::Heading,
        MeansRecord::Playing => WordMeans::Playing,
        MeansRecord::Beater { head, hardness } => {
            let said = |text: &str| !text.is_empty();
            let head = said(&head).then(|| word("head of a beater", &head, &Head::ALL, Head::word));
            let hardness =
                said(&hardness).then(|| word("hardness", &hardness, &Hardness::ALL, Hardness::word));
            WordMeans::Beater { head: head.transpose()?, hardness: hardness.transpose()? }
        }
    };
    let names = Names {
        english: record.english,
        italian: record.italian,
        german: record.german,
        french: record.french,
        abbreviations: record.abbreviations,
    };
    check_names(&names)?;
    Ok(PartWord { id: record.id, names, means })
}
