//! Words that screen and paper have in common.

use backrow_core::collection::Owner;
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

/// A span of days in words: "12–15 Oct", "30 Sep – 2 Oct".
pub fn span_words(first: jiff::civil::Date, last: jiff::civil::Date) -> String {
    const MONTHS: [&str; 12] =
        ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    let month = |date: jiff::civil::Date| {
        usize::try_from(date.month() - 1).ok().and_then(|at| MONTHS.get(at)).copied().unwrap_or("")
    };
    if first == last {
        format!("{} {}", first.day(), month(first))
    } else if first.month() == last.month() {
        format!("{}–{} {}", first.day(), last.day(), month(last))
    } else {
        format!("{} {} – {} {}", first.day(), month(first), last.day(), month(last))
    }
}

/// Kilograms as they are shown: whole ones from ten on, a decimal below, so that a triangle does not weigh nothing.
pub fn kilograms(kg: f64) -> String {
    if kg < 9.95 {
        let words = format!("{kg:.1}");
        format!("{}\u{202F}kg", words.strip_suffix(".0").unwrap_or(&words))
    } else {
        format!("{kg:.0}\u{202F}kg")
    }
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

/// What there is of some words, with commas between: "Tess Invented, 8′".
pub fn listed<const N: usize>(words: [&str; N]) -> String {
    words.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::{kilograms, listed, many, minutes};
    use rstest::rstest;

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
    #[case(0.4, "0.4\u{202F}kg")]
    #[case(3.0, "3\u{202F}kg")]
    #[case(9.96, "10\u{202F}kg")]
    #[case(38.4, "38\u{202F}kg")]
    fn a_triangle_weighs_something(#[case] kg: f64, #[case] said: &str) {
        assert_eq!(kilograms(kg), said);
    }
}
