//! How many mallets a part asks for, and from which measure on: "4 mallets", "2 mallets from m. 20".

use super::MeasureName;

/// A count of mallets in a part’s words for its beaters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MalletCount {
    /// How many, from 1.
    pub count: u8,
    /// The measure from which it holds; `None` from the beginning of the line.
    pub from: Option<MeasureName>,
}

/// Words of parts for numbers, each with what it counts.
const NUMBERS: &[(&str, u8)] = &[
    ("one", 1),
    ("two", 2),
    ("zwei", 2),
    ("deux", 2),
    ("due", 2),
    ("three", 3),
    ("drei", 3),
    ("trois", 3),
    ("tre", 3),
    ("four", 4),
    ("vier", 4),
    ("quatre", 4),
    ("quattro", 4),
    ("six", 6),
    ("sechs", 6),
    ("sei", 6),
];

/// What stands between words and the measure from which they hold.
const FROM: &str = " from ";

impl MalletCount {
    /// The count that words say; `None` where they say none: "hard mallets".
    pub fn said_by(text: &str) -> Option<Self> {
        let (words, from) = parted(text);
        let words = words.to_lowercase();
        let number = |word: &str| {
            let named = NUMBERS.iter().find(|(name, _)| *name == word).map(|(_, count)| *count);
            named.or_else(|| word.parse().ok().filter(|count| (1..=6).contains(count)))
        };
        let count = words.split(|c: char| !c.is_alphanumeric()).find_map(number)?;
        Some(Self { count, from })
    }

    /// Whether they are more than one in each hand.
    pub const fn is_more_than_two(&self) -> bool {
        self.count > 2
    }
}

/// A part’s words with the measure from which they hold, as a line keeps them.
pub fn words_from(words: &str, measure: &MeasureName) -> String {
    format!("{words}{FROM}m. {measure}")
}

/// The words and the measure: of "2 mallets from m. 20", as it is typed in one way or another.
fn parted(text: &str) -> (&str, Option<MeasureName>) {
    let Some((words, place)) = text.rsplit_once(FROM) else { return (text, None) };
    let place = place.trim();
    let named = ["measure ", "bar ", "m. ", "m."].iter().find_map(|sign| place.strip_prefix(sign));
    let name = named.unwrap_or(place).trim();
    let is_measure = name.starts_with(|c: char| c.is_ascii_digit()) && !name.contains(char::is_whitespace);
    if is_measure { (words, Some(MeasureName::new(name))) } else { (text, None) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("4 mallets", Some((4, None)))]
    #[case("with 4 mallets", Some((4, None)))]
    #[case("four sticks", Some((4, None)))]
    #[case("yarn, medium, four", Some((4, None)))]
    #[case("4 Schlägel", Some((4, None)))]
    #[case("quatre baguettes dures", Some((4, None)))]
    #[case("quattro bacchette", Some((4, None)))]
    #[case("deux baguettes", Some((2, None)))]
    #[case("2 mallets from m. 20", Some((2, Some("20"))))]
    #[case("2 mallets from m.20", Some((2, Some("20"))))]
    #[case("Two mallets from measure 20b", Some((2, Some("20b"))))]
    #[case("zwei Schlägel from bar 4", Some((2, Some("4"))))]
    #[case("four from 20", Some((4, Some("20"))))]
    #[case("4 from the rack", Some((4, None)))]
    #[case("hard mallets", None)]
    #[case("hard from m. 4", None)]
    #[case("14 mallets", None)]
    #[case("", None)]
    fn counts_and_measures(#[case] words: &str, #[case] says: Option<(u8, Option<&str>)>) {
        let said = says.map(|(count, from)| MalletCount { count, from: from.map(MeasureName::new) });
        assert_eq!(MalletCount::said_by(words), said);
    }

    #[test]
    fn what_is_written_is_read_back() {
        let words = words_from("2 mallets", &MeasureName::from(20));
        assert_eq!(words, "2 mallets from m. 20");
        let said = MalletCount { count: 2, from: Some(MeasureName::from(20)) };
        assert_eq!(MalletCount::said_by(&words), Some(said));
        assert!(!MalletCount::said_by(&words).unwrap().is_more_than_two());
    }
}
