//! The names of kinds and words in four languages.

use super::{kind, rows};
use backrow_core::collection::Names;

/// Columns: id, English, Italian, German, French, abbreviations, and where they were seen or that they come from memory.
const NAMES: &str = include_str!("data/names.csv");

fn holds(names: &Names, row: &csv::StringRecord) -> Vec<String> {
    let lists = [&names.english, &names.italian, &names.german, &names.french, &names.abbreviations];
    let printed = |column: usize| row[column].split(';').map(str::trim).filter(|name| !name.is_empty());
    (1..=5)
        .flat_map(|column| printed(column).map(move |name| (column, name)))
        .filter(|(column, name)| !lists[column - 1].iter().any(|known| known == name))
        .map(|(_, name)| format!("{}: {name}", &row[0]))
        .collect()
}

#[test]
fn every_collected_name_is_known() {
    let words = backrow_files::kinds::standard_words().unwrap();
    let mut missing = Vec::new();
    let mut kinds = 0;
    for row in rows(NAMES) {
        if let Some(word) = words.iter().find(|word| word.id == row[0]) {
            missing.extend(holds(&word.names, &row));
        } else {
            kinds += 1;
            missing.extend(holds(&kind(&row[0]).names, &row));
        }
    }
    assert!(missing.is_empty(), "{missing:#?}");
    assert_eq!(kinds, 94, "instruments among the {} rows", rows(NAMES).count());
}
