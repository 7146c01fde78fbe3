//! The names of kinds and words in four languages.

use super::{kind, rows};
use backrow_core::collection::Names;

/// Columns: id, English, Italian, German, French, abbreviations, and where they were seen or that they come from memory.
const NAMES: &str = include_str!("data/names.csv");

/// Collected names that the kinds table does not follow, with the reason. From memory, save where the reason is in the word.
const NOT_FOLLOWED: [(&str, &str, &str); 14] = [
    ("brake_drum", "freno a tamburo", "the brake's mechanism; the drum alone is \"tamburo del freno\""),
    ("tabor", "tamburello", "a tambourine"),
    ("tabor", "long drum", "an old word for a bass drum"),
    ("slit_drum", "Holzplattentrommel", "a drum with a wooden plate, a kind of its own"),
    ("slit_drum", "tambour de bois", "the same"),
    ("vibraslap", "jawbone", "its model, a kind of its own"),
    ("vibraslap", "mascella d'asino", "the same"),
    ("vibraslap", "mâchoire d'âne", "the same"),
    ("vibraslap", "Quij.", "the same"),
    ("guiro", "reco-reco", "a scraper of its own"),
    ("sticks_felt", "sponge-headed sticks", "sponge is softer than felt, a word of its own"),
    ("sticks_felt", "bacchette di spugna", "the same"),
    ("sticks_felt", "Schwammschlegel", "the same"),
    ("sticks_felt", "baguettes d'éponge", "the same"),
];

fn holds(names: &Names, row: &csv::StringRecord) -> Vec<String> {
    let lists = [&names.english, &names.italian, &names.german, &names.french, &names.abbreviations];
    let printed = |column: usize| row[column].split(';').map(str::trim).filter(|name| !name.is_empty());
    (1..=5)
        .flat_map(|column| printed(column).map(move |name| (column, name)))
        .filter(|(_, name)| !NOT_FOLLOWED.iter().any(|(id, left_out, _)| row[0] == **id && name == left_out))
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

/// What is not followed is indeed another kind's name, or none; and it is still in the collected table.
#[test]
fn names_not_followed_are_collected_and_left_out() {
    let words = backrow_files::kinds::standard_words().unwrap();
    for (id, name, why) in NOT_FOLLOWED {
        let names = words
            .iter()
            .find(|word| word.id == id)
            .map_or_else(|| kind(id).names.clone(), |w| w.names.clone());
        assert!(!names.all().any(|known| known == name), "{id}: {name}; {why}");
        assert!(
            rows(NAMES).any(|row| row[0] == *id && row.iter().any(|field| field.contains(name))),
            "{id}: {name} is not in the collected table"
        );
    }
}

/// One name a kind; a name that two kinds share must be known as one that names several (`score/names/ambiguous.rs`).
#[test]
fn missing_kinds_are_found_by_name_in_four_languages() {
    let kinds = backrow_files::kinds::standard().unwrap();
    for (printed, expected) in [
        ("Händeklatschen", "hand_claps"),
        ("battimani", "hand_claps"),
        ("bass drum with attached cymbal", "bass_drum_with_cymbal"),
        ("Klangschale", "singing_bowls"),
        ("bol tibétain", "singing_bowls"),
        ("Operngong", "opera_gongs"),
        ("gong d'opéra", "opera_gongs"),
        ("shell chimes", "wind_chimes_shell"),
        ("splash cymbal", "splash_cymbal"),
        ("ride cymbal", "ride_cymbal"),
        ("toy piano", "toy_piano"),
        ("Spielzeugklavier", "toy_piano"),
        ("ocean drum", "ocean_drum"),
        ("waterphone", "waterphone"),
        ("bouteillophone", "tuned_bottles"),
        ("Blumentöpfe", "flower_pots"),
        ("train whistle", "train_whistle"),
        ("Dampfpfeife", "train_whistle"),
        ("Holzplattentrommel", "wood_plate_drum"),
        ("reco-reco", "reco_reco"),
        ("jawbone", "jawbone"),
        ("tamburo a frizione", "lions_roar"),
        ("sega musicale", "musical_saw"),
        ("tamburo del freno", "brake_drum"),
        ("caxixi", "caxixi"),
        ("Basler Trommel", "basel_drum"),
        ("mokugyo", "mokugyo"),
        ("angklung", "angklung"),
        ("handchimes", "handchimes"),
        ("roue de loterie", "lottery_wheel"),
        ("double seconds", "steel_drums"),
    ] {
        let found = backrow_files::score::name_of_heading(printed, &kinds);
        assert_eq!(found.first().map(|guess| guess.kind.as_str()), Some(expected), "{printed}");
    }
}
