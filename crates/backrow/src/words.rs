//! Words that screen and paper have in common.

use backrow_core::collection::{Mass, Owner};
use backrow_core::id::PlaceId;
use backrow_core::library::Library;

/// Said wherever somebody is about to record.
pub const LOUD_NEAR: &str = "An instrument struck loudly at arm’s length in a small room can damage hearing: wear ear protection as your \
     local rules on noise require.";

/// "ours", a player's name, or the words for somebody else.
pub fn owner_words(library: &Library, owner: &Owner) -> String {
    match owner {
        Owner::Orchestra => "ours".to_owned(),
        Owner::Player(id) => library.player_name(id),
        Owner::Other(words) => words.clone(),
    }
}

/// What a place is called; empty when there is none.
pub fn place_words(library: &Library, place: Option<&PlaceId>) -> String {
    place.map_or_else(String::new, |id| {
        library.places.get(id).map_or_else(|| id.to_string(), |place| place.name.clone())
    })
}

/// Kilograms as they are shown: whole ones from ten on, a decimal below, so that a triangle does not weigh nothing.
pub fn kilograms(kg: f64) -> String {
    if kg < 9.95 {
        let words = format!("{kg:.1}");
        format!("{}\u{202F}kg", words.strip_suffix(".0").unwrap_or(&words))
    } else {
        format!("{}\u{202F}kg", thousands(kg))
    }
}

/// Money in the orchestra’s currency, where that is stated: whole where it is, with a thin space between thousands from 10 000 on.
pub fn money(library: &Library, amount: f64) -> String {
    let whole = (amount - amount.round()).abs() < 0.005;
    let figures =
        if whole { thousands(amount) } else { format!("{}{}", thousands(amount.trunc()), cents(amount)) };
    let currency = &library.orchestra.currency;
    if currency.is_empty() { figures } else { format!("{figures}\u{202F}{currency}") }
}

/// ".50"; a hundred of them has been rounded up before.
fn cents(amount: f64) -> String {
    format!(".{:02.0}", (amount.fract().abs() * 100.0).round().min(99.0))
}

/// Whole, with a thin space between thousands from 10 000 on.
pub fn thousands(amount: f64) -> String {
    let figures = format!("{amount:.0}");
    if figures.len() <= 4 {
        return figures;
    }
    let mut out = String::new();
    for (at, sign) in figures.chars().enumerate() {
        if at > 0 && (figures.len() - at).is_multiple_of(3) && out != "-" {
            out.push('\u{202F}');
        }
        out.push(sign);
    }
    out
}

/// A mass, "about" where it was not weighed.
pub fn mass(mass: Mass) -> String {
    let words = kilograms(mass.kg);
    if mass.weighed { words } else { format!("about {words}") }
}

/// Minutes as printed in programmes: 14′.
pub fn minutes(seconds: f64) -> String {
    // Nothing added up is minus nothing.
    format!("{:.0}′", (seconds / 60.0).round() + 0.0)
}

/// "1 event", "3 events": a number with its word.
pub fn many(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") }
}

/// What the words of steps begin with, where it is not a name.
const VERBS: &str = "Accept Add Apply Assign Bring Change Choose Cut Decide Draw Drop Fix Forget Free Import Join Keep Let Lock Make \
    Move Number Place Plan Play Put Read Reduce Remove Rename Replace Restore Save Set Split Swap Take Turn Unassign Unlock Update";

/// "Done: add a programme. Ctrl Z undoes it.": what was done, so that it is not read as an order. A name keeps its capital.
pub fn done(words: &str) -> String {
    let undo = crate::actions::Action::Undo.key_words();
    let first = words.split(' ').next().unwrap_or_default();
    let words = match words.strip_prefix(first) {
        Some(rest) if VERBS.split_whitespace().any(|verb| verb == first) => first.to_lowercase() + rest,
        _ => words.to_owned(),
    };
    format!("Done: {words}. {undo} undoes it.")
}

/// What there is of some words, with commas between: "Tess Invented, 8′".
pub fn listed<const N: usize>(words: [&str; N]) -> String {
    words.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case::verb("Add a programme", "Done: add a programme. Ctrl Z undoes it.")]
    #[case::name("Marimba 1: on hire", "Done: Marimba 1: on hire. Ctrl Z undoes it.")]
    fn a_step_is_told_as_done(#[case] words: &str, #[case] said: &str) {
        assert_eq!(done(words), said);
    }

    #[test]
    fn what_is_not_known_leaves_no_comma() {
        assert_eq!(listed(["Tess Invented", "8′"]), "Tess Invented, 8′");
        assert_eq!(
            (listed(["", "8′"]), listed(["Tess Invented", ""]), listed(["", ""])),
            ("8′".into(), "Tess Invented".into(), String::new())
        );
    }

    #[test]
    fn one_is_one_and_nothing_is_nothing() {
        assert_eq!([many(0, "work"), many(1, "work"), many(2, "work")], ["0 works", "1 work", "2 works"]);
        assert_eq!(minutes([0.0_f64; 0].iter().sum()), "0′");
    }

    #[rstest]
    #[case(85.5, "85.50\u{202F}EUR")]
    #[case(850.0, "850\u{202F}EUR")]
    #[case(12_500.0, "12\u{202F}500\u{202F}EUR")]
    #[case(1_234_567.89, "1\u{202F}234\u{202F}567.89\u{202F}EUR")]
    fn money_is_written_in_one_way(#[case] amount: f64, #[case] said: &str) {
        let mut library = Library::default();
        library.orchestra = std::sync::Arc::new(backrow_core::library::Orchestra {
            currency: "EUR".to_owned(),
            ..(*library.orchestra).clone()
        });
        assert_eq!(money(&library, amount), said);
    }

    #[rstest]
    #[case(0.4, "0.4\u{202F}kg")]
    #[case(3.0, "3\u{202F}kg")]
    #[case(9.96, "10\u{202F}kg")]
    #[case(38.4, "38\u{202F}kg")]
    #[case(12_380.0, "12\u{202F}380\u{202F}kg")]
    fn a_triangle_weighs_something(#[case] kg: f64, #[case] said: &str) {
        assert_eq!(kilograms(kg), said);
    }

    #[rstest::rstest]
    #[case(0.0, "0")]
    #[case(9999.4, "9999")]
    #[case(10_000.0, "10\u{202F}000")]
    #[case(184_250.0, "184\u{202F}250")]
    #[case(1_234_567.0, "1\u{202F}234\u{202F}567")]
    fn thousands_stand_apart(#[case] amount: f64, #[case] words: &str) {
        assert_eq!(thousands(amount), words);
    }
}
