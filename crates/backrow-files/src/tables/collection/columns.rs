//! Which field each heading stands for, and in which unit.

use super::field::{Field, Subject};
use super::unit::{Measure, Unit, figure};
use backrow_core::collection::{SIDE_M, WHOLE_KG};
use backrow_core::id::slug_of;
use std::collections::BTreeSet;
use std::ops::RangeInclusive;

/// A column's field, and the unit of its figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// What it stands for.
    pub field: Field,
    /// For figures that state no unit of their own; `None` for words.
    pub unit: Option<Unit>,
}

/// What figures of a measure may be, metres or kilograms: as in the form.
pub(super) const fn limits(measure: Measure) -> RangeInclusive<f64> {
    match measure {
        Measure::Length => SIDE_M,
        Measure::Mass => WHOLE_KG,
    }
}

/// The words of a heading, and the unit that stands in it.
fn plain(head: &str) -> (String, Option<Unit>) {
    let apart = |c: char| c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']' | '/' | ',' | ':' | '_');
    let mut parts: Vec<&str> = head.split(apart).filter(|part| !part.is_empty()).collect();
    let joined = |parts: &[&str]| {
        let words: Vec<String> = parts.iter().map(|part| slug_of(part).replace('-', " ")).collect();
        words.join(" ")
    };
    // A unit stands last; but "kept in" holds none.
    let whole = joined(&parts);
    let known =
        Subject::ALL.iter().any(|subject| subject.fields().iter().any(|field| fits_whole(&whole, *field)));
    let unit = parts.last().and_then(|last| Unit::of_word(last)).filter(|_| !known);
    if unit.is_some() && parts.len() > 1 {
        parts.pop();
    }
    (joined(&parts), unit)
}

/// Our own word for it, which tables that the program wrote have.
fn fits_our_word(head: &str, field: Field) -> bool {
    head == field.word().to_lowercase() || head == field.bare_word().to_lowercase()
}

fn fits_whole(head: &str, field: Field) -> bool {
    field.known_by().split(", ").any(|word| word == head)
}

/// Letters that a heading has at the most.
const LONGEST_HEADING: usize = 40;

/// A word of at least three letters somewhere in the heading.
fn fits_in_part(head: &str, field: Field) -> bool {
    // A sentence is not a heading, whatever words are in it.
    if head.len() > LONGEST_HEADING {
        return false;
    }
    let head = format!(" {head} ");
    field.known_by().split(", ").any(|word| word.len() > 2 && head.contains(&format!(" {word} ")))
}

fn fields_of(subject: Subject, heads: &[(String, Option<Unit>)]) -> Vec<Option<Field>> {
    let mut found: Vec<Option<Field>> = vec![None; heads.len()];
    let mut taken: BTreeSet<Field> = BTreeSet::new();
    for fits in [fits_our_word, fits_whole, fits_in_part] {
        for ((head, unit), slot) in heads.iter().zip(&mut found) {
            if slot.is_some() {
                continue;
            }
            let free = || subject.fields().iter().filter(|field| !taken.contains(field)).copied();
            let agrees = |field: &Field| match (unit, field.measures()) {
                (Some(unit), Some(measure)) => unit.measures() == measure,
                (Some(_), None) => false,
                (None, _) => true,
            };
            // "kg" alone is a mass.
            let alone = || free().find(|field| *field == Field::Mass && head == "kg");
            *slot = free().find(|field| agrees(field) && fits(head, *field)).or_else(alone);
            taken.extend(*slot);
        }
    }
    if subject == Subject::Instruments && !taken.contains(&Field::Kind) {
        kind_called_instrument(heads, &mut found);
    }
    found
}

/// "Name; Instrument": beside a column of names, the one headed "instrument" says which kind of instrument each is.
fn kind_called_instrument(heads: &[(String, Option<Unit>)], found: &mut [Option<Field>]) {
    // Common headings in four languages; no source.
    const WORDS: [&str; 5] = ["instrument", "instruments", "instrumente", "strumento", "strumenti"];
    let Some(at) = heads.iter().position(|(head, _)| WORDS.contains(&head.as_str())) else { return };
    match found.get(at) {
        Some(None) => {}
        Some(Some(Field::Name)) => {
            let spare = |(other, (head, _)): (usize, &(String, Option<Unit>))| {
                found.get(other).is_some_and(Option::is_none) && fits_whole(head, Field::Name)
            };
            let Some(name) = heads.iter().enumerate().position(spare) else { return };
            if let Some(slot) = found.get_mut(name) {
                *slot = Some(Field::Name);
            }
        }
        _ => return,
    }
    if let Some(slot) = found.get_mut(at) {
        *slot = Some(Field::Kind);
    }
}

/// A guess what each heading stands for; `None` where none fits. A field is guessed once: a whole heading wins over a part of
/// one. Figures that state no unit, in the heading or beside them, are in the unit that makes sense of most of them.
pub fn match_columns(
    subject: Subject,
    heads: &[String],
    rows: &[(usize, Vec<String>)],
) -> Vec<Option<Column>> {
    let plain: Vec<(String, Option<Unit>)> = heads.iter().map(|head| plain(head)).collect();
    let fields = fields_of(subject, &plain);
    let columns = fields.into_iter().zip(plain).enumerate();
    columns
        .map(|(at, (field, (_, unit)))| {
            let field = field?;
            Some(Column { field, unit: field.measures().map(|m| unit.unwrap_or_else(|| guess(m, at, rows))) })
        })
        .collect()
}

/// The unit of a column that states none.
pub(super) fn guess(measure: Measure, at: usize, rows: &[(usize, Vec<String>)]) -> Unit {
    let cells = rows.iter().filter_map(|(_, cells)| cells.get(at));
    let first = cells.filter_map(|cell| figure(cell.split(['x', '×', '*']).next().unwrap_or(cell)));
    let bare: Vec<f64> = first.filter(|(_, unit)| unit.is_none()).map(|(value, _)| value).collect();
    Unit::guess(measure, &bare, &limits(measure))
}

/// How many headings a table of that subject would have in these; a field that only it has counts double.
pub(super) fn speaks_for(subject: Subject, heads: &[String]) -> usize {
    let plain: Vec<(String, Option<Unit>)> = heads.iter().map(|head| plain(head)).collect();
    let common = [Field::Id, Field::Name, Field::Remark, Field::Owner, Field::Place];
    let found = fields_of(subject, &plain).into_iter().flatten();
    found.map(|field| if common.contains(&field) { 1 } else { 2 }).sum()
}

/// What a table is of that is imported where such rows are shown: of those, unless its headings speak more for something else.
pub fn subject_where(file: &str, heads: &[String], shown: Option<Subject>) -> Subject {
    let likely = subject_of(file, heads);
    shown.filter(|shown| speaks_for(*shown, heads) >= speaks_for(likely, heads)).unwrap_or(likely)
}

/// What a table with these headings is most likely of.
pub fn subject_of(file: &str, heads: &[String]) -> Subject {
    // Common words of file names; no source.
    let file = slug_of(file);
    let named: &[(Subject, &[&str])] = &[
        (Subject::Players, &["player", "roster", "spieler", "musiker", "musicien"]),
        (Subject::Beaters, &["beater", "mallet", "stick", "schlagel", "schlegel", "baguette", "bacchette"]),
        (Subject::Places, &["places", "rooms", "raume", "lagerorte", "lieux", "luoghi"]),
    ];
    let by_name = |subject: Subject| {
        named.iter().any(|(of, words)| *of == subject && words.iter().any(|w| file.contains(w)))
    };
    let score = |subject: Subject| speaks_for(subject, heads) + usize::from(by_name(subject)) * 2;
    let mut best = Subject::Instruments;
    for subject in Subject::ALL {
        if score(subject) > score(best) {
            best = subject;
        }
    }
    best
}
