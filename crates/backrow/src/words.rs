//! Words that screen and paper have in common.

use backrow_core::collection::Owner;
use backrow_core::id::PlaceId;
use backrow_core::library::Library;

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

/// Minutes as printed in programmes: 14′.
pub fn minutes(seconds: f64) -> String {
    format!("{:.0}′", (seconds / 60.0).round())
}
