//! The collection from a table: comma-separated values or a workbook. Columns are matched to fields, shown, and only then taken
//! in; a row that cannot be read is named with its line and what was expected, and the others go on.

mod grid;
mod rows;
mod workbook;

pub use grid::{Grid, read};
pub use rows::{Taken, take};

use std::collections::BTreeSet;

use backrow_core::compass::PitchSet;
use backrow_core::pitch::{KeyNumber, Reading, Spelled, parse_note};

/// What a column can stand for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the fields' own names")]
pub enum Field {
    Id,
    Name,
    Kind,
    Owner,
    Place,
    Bars,
    Layout,
    Material,
    Mass,
    Weighed,
    Width,
    Depth,
    Height,
    A,
    Character,
    Condition,
    Remark,
}

impl Field {
    /// All, in the order of the table that is written.
    pub const ALL: [Self; 17] = [
        Self::Id,
        Self::Name,
        Self::Kind,
        Self::Owner,
        Self::Place,
        Self::Bars,
        Self::Layout,
        Self::Material,
        Self::Mass,
        Self::Weighed,
        Self::Width,
        Self::Depth,
        Self::Height,
        Self::A,
        Self::Character,
        Self::Condition,
        Self::Remark,
    ];

    /// Its word on screen and as a heading.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Id => "id",
            Self::Name => "name",
            Self::Kind => "kind",
            Self::Owner => "owner",
            Self::Place => "place",
            Self::Bars => "bars",
            Self::Layout => "layout",
            Self::Material => "material",
            Self::Mass => "mass kg",
            Self::Weighed => "weighed",
            Self::Width => "width m",
            Self::Depth => "depth m",
            Self::Height => "height m",
            Self::A => "A Hz",
            Self::Character => "character",
            Self::Condition => "condition",
            Self::Remark => "remark",
        }
    }

    /// Words by which a heading is known, in small letters.
    const fn known_by(self) -> &'static [&'static str] {
        match self {
            Self::Id => &["id", "inventory", "number", "no.", "inventar"],
            Self::Name => &["name", "instrument", "title", "what", "bezeichnung"],
            Self::Kind => &["kind", "type", "sort", "art"],
            Self::Owner => &["owner", "whose", "owned by", "eigentümer"],
            Self::Place => &["place", "room", "store", "where", "location", "raum"],
            Self::Bars => &["bars", "range", "compass", "notes", "umfang"],
            Self::Layout => &["layout"],
            Self::Material => &["material", "made of"],
            Self::Mass => &["mass", "weight", "kg", "gewicht"],
            Self::Weighed => &["weighed"],
            Self::Width => &["width", "breite"],
            Self::Depth => &["depth", "tiefe"],
            Self::Height => &["height", "höhe"],
            Self::A => &["a hz", "pitch", "tuned", "tuning", "stimmung"],
            Self::Character => &["character", "sound"],
            Self::Condition => &["condition", "state", "zustand"],
            Self::Remark => &["remark", "note", "comment", "bemerkung"],
        }
    }
}

/// A guess what each heading stands for; `None` where none fits. A field is guessed once: an exact word wins over a part of one.
pub fn match_columns(heads: &[String]) -> Vec<Option<Field>> {
    let plain = |head: &String| head.trim().to_lowercase().replace(['_', '(', ')'], " ");
    let mut found: Vec<Option<Field>> = vec![None; heads.len()];
    let passes: [fn(&str, Field) -> bool; 2] = [
        |head, field| head.trim() == field.word().to_lowercase() || field.known_by().contains(&head.trim()),
        |head, field| field.known_by().iter().any(|word| head.split_whitespace().any(|part| part == *word)),
    ];
    let mut taken: BTreeSet<Field> = BTreeSet::new();
    for fits in passes {
        for (at, head) in heads.iter().enumerate() {
            if found.get(at).is_some_and(Option::is_some) {
                continue;
            }
            let head = plain(head);
            let field = Field::ALL.iter().filter(|f| !taken.contains(f)).find(|f| fits(&head, **f)).copied();
            taken.extend(field);
            if let Some(slot) = found.get_mut(at) {
                *slot = field;
            }
        }
    }
    found
}

/// Bars as they are typed and read back: `F4-C8`, `C5 E5 G5`, ASCII signs.
pub fn bars_text(bars: PitchSet) -> String {
    let name = |key: KeyNumber| Spelled::usual(key).ascii();
    let mut runs: Vec<(KeyNumber, KeyNumber)> = Vec::new();
    for key in bars.iter() {
        match runs.last_mut() {
            Some((_, last)) if last.up(1) == Some(key) => *last = key,
            _ => runs.push((key, key)),
        }
    }
    let words = runs.into_iter().map(|(low, high)| match (low, high) {
        (low, high) if low == high => name(low),
        (low, high) if low.up(1) == Some(high) => format!("{} {}", name(low), name(high)),
        (low, high) => format!("{}-{}", name(low), name(high)),
    });
    words.collect::<Vec<_>>().join(" ")
}

/// Reads bars: notes and ranges apart by spaces or commas. An error says which word and what was expected.
pub fn bars_of(text: &str) -> Result<PitchSet, String> {
    let mut bars = PitchSet::EMPTY;
    for word in text.split([' ', ',']).map(str::trim).filter(|word| !word.is_empty()) {
        let expected = || format!("\"{word}\" is no note or range; expected such as F4-C8 or C5, sounding");
        let note =
            |text: &str| parse_note(text, Reading::English).map(Spelled::key).map_err(|_bad| expected());
        let cut = word.char_indices().find(|(at, c)| {
            let after_digit =
                word.get(..*at).is_some_and(|head| head.ends_with(|c: char| c.is_ascii_digit()));
            matches!(c, '-' | '–') && after_digit
        });
        match cut {
            Some((at, dash)) => {
                let low = note(word.get(..at).unwrap_or_default())?;
                let high = note(word.get(at + dash.len_utf8()..).unwrap_or_default())?;
                if low > high {
                    return Err(format!("\"{word}\": the lowest comes first"));
                }
                bars = bars.union(PitchSet::range(low, high));
            }
            None => bars = bars.with(note(word)?),
        }
    }
    Ok(bars)
}

#[cfg(test)]
mod tests;
