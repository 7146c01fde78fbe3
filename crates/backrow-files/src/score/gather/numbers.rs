//! Numbers of movements in titles and names of files: "3", "III", "2nd movement", "mvt3", "_2".

/// A movement has no higher number.
const MOST: u32 = 60;

/// A title without what says the movement.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Split {
    pub(super) work: String,
    pub(super) number: Option<u32>,
}

/// Words for a movement in the four languages, folded.
const MOVEMENT: &[&str] =
    &["movement", "movt", "mvmt", "mvt", "mov", "satz", "movimento", "tempo", "mouvement", "mouvt"];

/// Ordinals in words.
const ORDINALS: &[(&str, u32)] = &[
    ("first", 1),
    ("second", 2),
    ("third", 3),
    ("fourth", 4),
    ("fifth", 5),
    ("sixth", 6),
    ("erster", 1),
    ("zweiter", 2),
    ("dritter", 3),
    ("vierter", 4),
    ("funfter", 5),
    ("primo", 1),
    ("secondo", 2),
    ("terzo", 3),
    ("quarto", 4),
    ("quinto", 5),
    ("premier", 1),
    ("deuxieme", 2),
    ("troisieme", 3),
    ("quatrieme", 4),
];

/// "3", "3.", "No. 3", "III", "2nd", "third": the number that a whole text is.
pub(super) fn number_of(text: &str) -> Option<u32> {
    let words: Vec<String> = words_of(text).into_iter().filter(|word| word != "no" && word != "nr").collect();
    match words.as_slice() {
        [one] => word_number(one),
        [one, what] if MOVEMENT.contains(&what.as_str()) => word_number(one),
        [what, one] if MOVEMENT.contains(&what.as_str()) => word_number(one),
        _ => None,
    }
}

/// The number that a title begins with: "II. Scherzo", "3. Satz".
pub(super) fn leading_number(text: &str) -> Option<u32> {
    let (head, _) = text.trim().split_once(['.', ':', ')', ' '])?;
    let arabic = head.bytes().all(|b| b.is_ascii_digit());
    // "I walked" is no first movement, "1 bird" no number: the sign after it tells.
    let signed = text.trim().get(head.len()..).is_some_and(|rest| rest.starts_with(['.', ':', ')']));
    (signed && (arabic || is_roman(head))).then(|| word_number(&head.to_lowercase())).flatten()
}

/// A title and the movement that it ends with.
pub(super) fn split_title(title: &str) -> Split {
    let whole = || Split { work: title.trim().to_owned(), number: None };
    let ends = [" - ", " – ", " — ", ": ", ", ", " / ", " (", "; "];
    let cuts = ends.iter().flat_map(|sign| title.match_indices(sign).map(|(at, sign)| (at, at + sign.len())));
    let mut cuts: Vec<(usize, usize)> = cuts.collect();
    cuts.sort_unstable();
    for (end, start) in cuts.into_iter().rev() {
        let (Some(work), Some(rest)) = (title.get(..end), title.get(start..)) else { continue };
        let rest = rest.trim().trim_end_matches(')');
        let number = number_of(rest).filter(|_| is_roman(rest) || !rest.bytes().all(|b| b.is_ascii_digit()));
        if let Some(number) = number.or_else(|| leading_number(rest))
            && !work.trim().is_empty()
        {
            return Split { work: work.trim().to_owned(), number: Some(number) };
        }
    }
    whole()
}

/// The name of a file without the movement's number, and that number: "tide-2", "tide mvt3", "02 Dusk".
pub(super) fn stem_number(stem: &str) -> Option<(String, u32)> {
    let joins = ['_', '-', ' '];
    if let Some((base, last)) = stem.rsplit_once(joins) {
        let lower = last.to_lowercase();
        let digits = |text: &str| {
            (1..=2)
                .contains(&text.len())
                .then(|| text.parse::<u32>().ok())
                .flatten()
                .filter(|n| (1..=MOST).contains(n))
        };
        let worded =
            ["mvt", "mov", "movement", "satz", "m"].iter().find_map(|word| digits(lower.strip_prefix(word)?));
        let number = digits(&lower).or(worded).or_else(|| is_roman(last).then(|| roman(&lower)).flatten());
        let base = base.trim_end_matches(joins);
        // "Quartet No 2" and "Suite op 3" are numbers of works.
        let of_work = base.rsplit(joins).next().is_some_and(|word| {
            ["no", "nr", "op", "opus", "no.", "nr.", "op.", "bwv", "kv", "k"]
                .contains(&word.to_lowercase().as_str())
        });
        let base =
            base.rsplit_once(joins).filter(|(_, word)| MOVEMENT.contains(&word.to_lowercase().as_str()));
        let base =
            base.map_or_else(|| stem.rsplit_once(joins).map_or("", |(base, _)| base), |(base, _)| base);
        if let Some(number) = number.filter(|_| !of_work) {
            return Some((base.trim_end_matches(joins).to_owned(), number));
        }
    }
    // In front of a name: the folder is the work.
    let digits: String = stem.chars().take_while(char::is_ascii_digit).collect();
    let rest = stem.get(digits.len()..).unwrap_or_default();
    let number = digits.parse::<u32>().ok().filter(|n| digits.len() <= 2 && (1..=MOST).contains(n))?;
    rest.starts_with([' ', '_', '-', '.']).then(|| (String::new(), number))
}

fn words_of(text: &str) -> Vec<String> {
    crate::score::names::tokens(text).into_iter().fold(Vec::new(), |mut words: Vec<String>, token| {
        // "2nd" falls apart into figure and letters: the letters say no more.
        let suffix = ["st", "nd", "rd", "th", "e", "o", "a", "er", "eme"].contains(&token.text.as_str());
        let after_figure = words.last().is_some_and(|word| word.bytes().all(|b| b.is_ascii_digit()));
        if !(suffix && after_figure) {
            words.push(token.text);
        }
        words
    })
}

fn word_number(word: &str) -> Option<u32> {
    let number = word
        .parse::<u32>()
        .ok()
        .or_else(|| roman(word))
        .or_else(|| ORDINALS.iter().find(|(name, _)| *name == word).map(|(_, number)| *number));
    number.filter(|number| (1..=MOST).contains(number))
}

/// Capital Roman figures up to 39.
fn is_roman(text: &str) -> bool {
    let text = text.trim_end_matches('.');
    text.chars().all(|c| matches!(c, 'I' | 'V' | 'X')) && roman(&text.to_lowercase()).is_some()
}

fn roman(text: &str) -> Option<u32> {
    (1..40).find(|number| super::super::work::roman(*number).to_lowercase() == text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("3", Some(3))]
    #[case("III", Some(3))]
    #[case("iv.", Some(4))]
    #[case("2nd movement", Some(2))]
    #[case("Third Movement", Some(3))]
    #[case("3. Satz", Some(3))]
    #[case("mvt. 2", Some(2))]
    #[case("Finale", None)]
    #[case("", None)]
    #[case("99", None)]
    fn numbers(#[case] text: &str, #[case] number: Option<u32>) {
        assert_eq!(number_of(text), number);
    }

    #[rstest]
    #[case("Symphony No. 4 - III. Allegro", "Symphony No. 4", Some(3))]
    #[case("Symphony No. 4, II", "Symphony No. 4", Some(2))]
    #[case("Symphony No. 4 (2nd movement)", "Symphony No. 4", Some(2))]
    #[case("Suite: 3. Sarabande", "Suite", Some(3))]
    #[case("Symphony No. 4, op. 98", "Symphony No. 4, op. 98", None)]
    #[case("Nocturnes, 3", "Nocturnes, 3", None)]
    #[case("Four Sea Interludes: Dawn", "Four Sea Interludes: Dawn", None)]
    #[case("Concerto in D, Allegro", "Concerto in D, Allegro", None)]
    fn titles(#[case] title: &str, #[case] work: &str, #[case] number: Option<u32>) {
        assert_eq!(split_title(title), Split { work: work.to_owned(), number });
    }

    #[rstest]
    #[case("tide_op12_2", Some(("tide_op12", 2)))]
    #[case("Tide-III", Some(("Tide", 3)))]
    #[case("tide mvt3", Some(("tide", 3)))]
    #[case("tide movement 3", Some(("tide", 3)))]
    #[case("02 Dusk", Some(("", 2)))]
    #[case("Quartet No 2", None)]
    #[case("Suite Op. 3", None)]
    #[case("tide_1890", None)]
    #[case("tide", None)]
    fn stems(#[case] stem: &str, #[case] expected: Option<(&str, u32)>) {
        assert_eq!(stem_number(stem), expected.map(|(base, number)| (base.to_owned(), number)));
    }
}
