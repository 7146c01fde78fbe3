use super::*;
use crate::tables::library::collection;
use crate::tables::table::workbook;
use backrow_core::edit::apply;
use backrow_core::library::Library;
use rstest::rstest;
use std::path::Path;

fn demo() -> Library {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-library");
    crate::library::open(&folder, &crate::kinds::standard().unwrap()).library
}

#[rstest]
#[case("F4-C8", "F4-C8")]
#[case("C5 E5 G5", "C5 E5 G5")]
#[case("C4–F5, A5", "C4-F5 A5")]
fn bars_come_back(#[case] typed: &str, #[case] said: &str) {
    assert_eq!(bars_text(bars_of(typed).unwrap()), said);
}

#[test]
fn headings_are_matched_once() {
    let heads: Vec<String> =
        ["Name", "Weight (kg)", "Room", "type", "Colour", "note"].map(str::to_owned).to_vec();
    let found = match_columns(&heads);
    let some = [Field::Name, Field::Mass, Field::Place, Field::Kind].map(Some);
    assert_eq!(found, [some.to_vec(), vec![None, Some(Field::Remark)]].concat());
}

/// What is written is read back as no change at all, by both ways.
#[test]
fn the_collection_comes_back_unchanged() {
    let library = demo();
    let table = collection(&library);
    for (name, bytes) in
        [("c.csv", table.csv().unwrap()), ("c.xlsx", workbook(std::slice::from_ref(&table)).unwrap())]
    {
        let grid = read(Path::new(name), &bytes).unwrap();
        let taken = take(&library, &grid, &match_columns(&grid.heads));
        assert_eq!(taken.problems, Vec::new(), "{name}");
        assert_eq!(taken.instruments.len(), library.instruments.len());
        let next = apply(&library, &taken.edit(name)).unwrap();
        for (id, thing) in library.instruments.iter() {
            assert_eq!(next.instruments[id], *thing, "{name}");
        }
    }
}

#[test]
fn rows_that_cannot_be_read_are_named_and_the_others_go_on() {
    let text = "Instrument;Kind;Room;kg;Range\nXylophone 9;xylophone;Attic;36,5;F4-C8\nOddity;no such thing;;;\nVibraphone 9;Vibrafono;Room 1;heavy;\nGlock;glockenspiel;;;C8-G5\n";
    let library = demo();
    let grid = read(Path::new("new.csv"), text.as_bytes()).unwrap();
    let taken = take(&library, &grid, &match_columns(&grid.heads));
    assert_eq!(taken.instruments.len(), 1);
    let (row, thing, new) = &taken.instruments[0];
    assert!(*row == 2 && *new && thing.mass.unwrap().kg > 36.4 && thing.bars().len() == 44);
    assert_eq!(taken.places.iter().map(|place| place.name.as_str()).collect::<Vec<_>>(), ["Attic"]);
    let places: Vec<&str> = taken.problems.iter().map(|problem| problem.place.as_str()).collect();
    assert_eq!(places, ["new.csv, row 3, kind", "new.csv, row 4, mass kg", "new.csv, row 5, bars"]);
    // The same with lines ended by CR LF.
    let grid = read(Path::new("new.csv"), text.replace('\n', "\r\n").as_bytes()).unwrap();
    assert_eq!(grid.rows.iter().map(|(row, _)| *row).collect::<Vec<_>>(), [2, 3, 4, 5]);
}
