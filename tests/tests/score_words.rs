//! Headings and words of parts, with the kinds and beaters expected: the table `outside/score_words.txt`.

use backrow_files::kinds::standard;
use backrow_files::score::{name_of_heading, words_of_part};

const TABLE: &str = include_str!("../outside/score_words.txt");

#[test]
fn headings_and_words_name_their_kinds() {
    let kinds = standard().expect("the kinds table");
    let mut rows = 0;
    let mut wrong = Vec::new();
    for line in TABLE.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty()) {
        let columns: Vec<&str> = line.split('|').map(str::trim).collect();
        let [what, printed, expected, rest @ ..] = columns.as_slice() else {
            panic!("three columns in {line}")
        };
        rows += 1;
        let (found, beaters) = match *what {
            "heading" => (name_of_heading(printed, &kinds), Vec::new()),
            "words" => words_of_part(printed, &kinds),
            other => panic!("{other} in {line}"),
        };
        let found: Vec<&str> = found.iter().map(|guess| guess.kind.as_str()).collect();
        let expected: Vec<&str> = expected.split_whitespace().filter(|kind| *kind != "-").collect();
        let sticks: Vec<&str> = rest.iter().flat_map(|text| text.split(';')).map(str::trim).collect();
        if found != expected || beaters != sticks {
            wrong.push(format!("{printed:?}: {found:?} {beaters:?}, expected {expected:?} {sticks:?}"));
        }
    }
    assert!(wrong.is_empty(), "{} of {rows} rows are wrong:\n{}", wrong.len(), wrong.join("\n"));
    assert!(rows >= 150, "{rows} rows");
}
