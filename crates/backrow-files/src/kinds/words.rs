//! Words that parts print beside the instruments: what to strike with, and how to play. They are no kinds.

use crate::problem::Problem;
use backrow_core::collection::{Hardness, Head, Names};
use serde::Deserialize;

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
    #[expect(dead_code, reason = "the file says it, as every file of ours does; there is but one format")]
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

/// The program's own words, in the order of their file. A test keeps them readable.
pub fn standard_words() -> Result<Vec<PartWord>, Problem> {
    let read: WordsFile = crate::library::record_in("words.ron", STANDARD)?;
    read.words.into_iter().map(part_word).collect()
}

fn part_word(record: WordRecord) -> Result<PartWord, Problem> {
    let WordRecord { id, means, english, italian, german, french, abbreviations } = record;
    let means = match means {
        MeansRecord::Heading => WordMeans::Heading,
        MeansRecord::Playing => WordMeans::Playing,
        MeansRecord::Beater { head, hardness } => WordMeans::Beater {
            head: word(&id, &head, &Head::ALL, Head::word)?,
            hardness: word(&id, &hardness, &Hardness::ALL, Hardness::word)?,
        },
    };
    let names = Names { english, italian, german, french, abbreviations, with_company: Vec::new() };
    Ok(PartWord { id, names, means })
}

/// The value of a word; `None` for an empty one.
fn word<T: Copy>(
    id: &str,
    text: &str,
    all: &[T],
    word_of: impl Fn(T) -> &'static str,
) -> Result<Option<T>, Problem> {
    if text.is_empty() {
        return Ok(None);
    }
    let found = all.iter().copied().find(|one| word_of(*one) == text);
    found.map(Some).ok_or_else(|| Problem {
        code: "kind-word",
        place: "words.ron".to_owned(),
        what: format!("word \"{id}\": \"{text}\" is not known"),
        remedy: format!("use one of {}", all.iter().map(|one| word_of(*one)).collect::<Vec<_>>().join(", ")),
    })
}
