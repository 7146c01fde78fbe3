//! The independent checker goes over every answer of the assignments, release builds included: nothing that depends on the build
//! stands between an answer and what was found wrong with it.

#![allow(clippy::expect_used, reason = "a test may stop")]

use std::path::Path;

/// A source file of the rota without its tests and comments.
fn code(file: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rota").join(file);
    let text = std::fs::read_to_string(path).expect("a source file");
    let code = text.split("#[cfg(test)]").next().unwrap_or_default();
    code.lines().map(|line| line.split("//").next().unwrap_or_default()).collect::<Vec<_>>().join("\n")
}

/// What stands between the parentheses that follow each of these words.
fn arguments<'a>(code: &'a str, of: &str) -> Vec<&'a str> {
    let begun = code.match_indices(of).map(|(at, found)| code.get(at + found.len()..).unwrap_or_default());
    let whole = |rest: &'a str| {
        let mut deep = 1;
        let end = rest.char_indices().find(|(_, c)| {
            deep += i32::from(*c == '(') - i32::from(*c == ')');
            deep == 0
        });
        rest.get(..end.map_or(rest.len(), |(at, _)| at)).unwrap_or_default()
    };
    begun.map(whole).collect()
}

#[test]
fn the_checker_goes_over_every_answer_in_every_build() {
    // Where an answer is made, and what must fill its faults.
    for (file, filled) in [
        ("fewest.rs", "let mut faults = self.checked(&assignments);"),
        ("best.rs", "let mut faults = self.checked(&sought.assignments);"),
        ("repair.rs", "let faults = rota.checked(&sought.assignments);"),
    ] {
        let code = code(file);
        assert!(code.contains(filled), "{file} asks the checker");
        assert!(!code.contains("debug_assertions"), "{file} asks it in every build");
        for argument in arguments(&code, "debug_assert_eq!(") {
            assert!(!argument.contains("checked("), "{file} asks it in every build: {argument}");
        }
    }
    let best = code("best.rs");
    let checked = best.split("fn checked(").nth(1).expect("what asks the checker");
    assert!(checked.contains("super::check::faults(self.problem(), assignments)"));
    assert!(code("fewest.rs").contains("super::check::proof_faults(self.problem(), &proof, at_least)"));
    assert!(!code("check.rs").contains("debug_assertions"));
}
