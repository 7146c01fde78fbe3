//! Two versions of one file, chosen between field by field.
//!
//! Both are read, so that only a file that is one is offered, and written anew, so that they differ in what they hold and not in
//! how it is laid out. Records and maps are gone through by their names, lists of things by the things' ids; whatever else
//! differs is one difference, whole.

use super::layout::{Piece, laid, pieces};
use super::merge::parse;
use super::problem::Problem;
use std::collections::{BTreeMap, BTreeSet};

/// One field in which the two differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// The way to it: names of fields and ids, from the outside in.
    pub at: Vec<String>,
    /// Its value in the version that stands, as in the file; nothing where it has none.
    pub stands: Option<String>,
    /// Its value in the other version.
    pub other: Option<String>,
}

/// Two versions and the fields in which they differ.
#[derive(Clone, Debug)]
pub struct Choice {
    stands: Vec<Piece>,
    other: Vec<Piece>,
    /// Every difference, in the order of the file.
    pub differences: Vec<Difference>,
}

impl Choice {
    /// Compares two texts that the library's file of that name may hold.
    ///
    /// # Errors
    /// One of them cannot be read: what is wrong with it.
    pub fn between(file: &str, stands: &str, other: &str) -> Result<Self, Problem> {
        let anew = |text: &str| {
            let text = parse(file, text)?.text();
            text.map(|text| pieces(&text)).map_err(|error| {
                let what = format!("could not be put into words: {error}");
                Problem::new(file, "internal", what, "choose one of the two whole")
            })
        };
        let (stands, other) = (anew(stands)?, anew(other)?);
        let mut choice = Self { stands, other, differences: Vec::new() };
        let mut differences = Vec::new();
        choice.walk(&mut |at, stands, other| {
            let value = |piece: Option<&Piece>| piece.map(|piece| piece.named().1);
            differences.push(Difference { at: at.to_vec(), stands: value(stands), other: value(other) });
            false
        });
        choice.differences = differences;
        Ok(choice)
    }

    /// The text with the other version's value wherever `takes_other` says so, difference by difference; where it says nothing, what
    /// stands.
    pub fn text(&self, takes_other: &[bool]) -> String {
        let mut next = 0;
        laid(&self.walk(&mut |_, _, _| {
            next += 1;
            takes_other.get(next - 1).copied().unwrap_or(false)
        }))
    }

    fn walk(&self, takes_other: Takes<'_>) -> Vec<Piece> {
        let both = walk(self.stands.first(), self.other.first(), &mut Vec::new(), takes_other);
        both.into_iter().collect()
    }
}

/// Asked of every difference: whether the other version's value is taken.
type Takes<'a> = &'a mut dyn FnMut(&[String], Option<&Piece>, Option<&Piece>) -> bool;

/// One piece of the two.
fn walk(
    stands: Option<&Piece>,
    other: Option<&Piece>,
    at: &mut Vec<String>,
    takes_other: Takes<'_>,
) -> Option<Piece> {
    if stands == other {
        return stands.cloned();
    }
    let (
        Some(Piece::Group { head, open, close, items }),
        Some(Piece::Group { head: b, open: o, items: c, .. }),
    ) = (stands, other)
    else {
        return if takes_other(at, stands, other) { other } else { stands }.cloned();
    };
    let both = (head == b && open == o).then(|| keys(*open, items).zip(keys(*o, c))).flatten();
    let Some((ours, theirs)) = both else {
        return if takes_other(at, stands, other) { other } else { stands }.cloned();
    };
    let mine: BTreeMap<&String, &Piece> = ours.iter().zip(items).collect();
    let others: BTreeMap<&String, &Piece> = theirs.iter().zip(c).collect();
    let mut merged = Vec::new();
    for key in ours.iter().chain(theirs.iter().filter(|key| !mine.contains_key(key))) {
        at.push(key.replace('_', " "));
        merged.extend(walk(mine.get(key).copied(), others.get(key).copied(), at, takes_other));
        at.pop();
    }
    Some(Piece::Group { head: head.clone(), open: *open, close: *close, items: merged })
}

/// What tells the items of a group apart: their names, or in a list their ids; `None` where nothing does.
fn keys(open: char, items: &[Piece]) -> Option<Vec<String>> {
    let id_of = |item: &Piece| {
        let Piece::Group { items, .. } = item else { return None };
        let id = items.iter().map(Piece::named).find(|(name, _)| *name == Some("id"))?;
        Some(id.1.trim_matches('"').to_owned())
    };
    let key = |item: &Piece| {
        if open == '[' { id_of(item) } else { item.named().0.map(ToOwned::to_owned) }
    };
    let all: Vec<String> = items.iter().map(key).collect::<Option<_>>()?;
    (all.iter().collect::<BTreeSet<_>>().len() == all.len()).then_some(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::merge::check_text;

    const FILE: &str = "players.ron";
    const STANDS: &str = r#"(format: 2, players: [
        (id: "a", order: 1, name: "A", initials: "AA", role: "section", never: ["timpani"]),
        (id: "b", order: 2, name: "B", initials: "BB", role: "section"),
        (id: "c", order: 3, name: "C", initials: "CC", role: "section"),
    ])"#;
    const OTHER: &str = r#"// theirs
    (format: 2, players: [
        (id: "c", order: 3, name: "C", initials: "CC", role: "section"),
        (id: "a", order: 5, name: "A the other", initials: "AA", role: "section"),
        (id: "d", order: 4, name: "D", initials: "DD", role: "extra"),
    ])"#;

    #[test]
    fn every_field_that_differs_is_named_and_each_is_chosen_by_itself() {
        let choice = Choice::between(FILE, STANDS, OTHER).unwrap();
        let at: Vec<String> = choice.differences.iter().map(|one| one.at.join(" ")).collect();
        assert_eq!(
            at,
            ["players a order", "players a name", "players a never", "players b", "players d"],
            "{:#?}",
            choice.differences
        );
        let name = &choice.differences[1];
        assert_eq!((name.stands.as_deref(), name.other.as_deref()), (Some("\"A\""), Some("\"A the other\"")));
        assert_eq!(choice.differences[2].other, None);
        assert_eq!(choice.differences[4].stands, None);
        let text = choice.text(&[false, true, false, true, true]);
        check_text(FILE, &text).unwrap();
        assert!(text.contains("\"A the other\"") && text.contains("order: 1") && text.contains("timpani"));
        assert!(!text.contains("\"b\"") && text.contains("\"d\""), "{text}");
    }

    #[test]
    fn all_of_one_side_is_that_side_whatever_is_compared() {
        let choice = Choice::between(FILE, STANDS, OTHER).unwrap();
        let holds = |text: &str, of: &str| parse(FILE, text).unwrap().is_same(&parse(FILE, of).unwrap());
        assert!(holds(&choice.text(&[]), STANDS));
        assert!(holds(&choice.text(&[true; 5]), OTHER));
        assert!(Choice::between(FILE, STANDS, STANDS).unwrap().differences.is_empty());
        assert!(Choice::between(FILE, STANDS, "(format: 2, players: [").is_err());
    }
}
