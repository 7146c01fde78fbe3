//! Days and hours as people type and read them.

pub use backrow_core::days::{Clock, Days, Order};
use backrow_core::id::slug_of;
use jiff::civil::{Date, Time, Weekday};

/// As the account has it, by the environment's word for dates, and today. Only the region decides, not the language.
pub fn of_account() -> Days {
    let said = ["LC_ALL", "LC_TIME", "LANG"].iter().filter_map(|name| std::env::var(name).ok());
    let said = said.into_iter().find(|value| !value.is_empty()).unwrap_or_default();
    Days { today: crate::sheets::today(), ..of_region(&said) }
}

/// Common practice, from memory of the tables of the Unicode CLDR: the United States and their neighbours in the Pacific write the month
/// first; they, Canada, Australia, New Zealand and India count twelve hours.
fn of_region(locale: &str) -> Days {
    let region = locale.split(['.', '@']).next().unwrap_or_default().rsplit(['_', '-']).next();
    let (order, clock) = match region {
        Some("US" | "PH" | "PR" | "GU" | "FM" | "MH") => (Order::MonthFirst, Clock::Of12),
        Some("CA" | "AU" | "NZ" | "IN") => (Order::DayFirst, Clock::Of12),
        _ => (Order::DayFirst, Clock::Of24),
    };
    Days { order, clock, today: None }
}

/// The day on this machine's calendar; where that has none, one that is plainly not meant.
pub fn today() -> Date {
    crate::sheets::today().unwrap_or(Date::ZERO)
}

/// The beginnings of the months in English, German, French and Italian, as slugs; enough to tell one from another.
const MONTHS: [&[&str]; 12] = [
    &["jan", "gen"],
    &["feb", "fev"],
    &["mar", "mrz"],
    &["apr", "avr"],
    &["may", "mai", "mag"],
    &["jun", "juin", "giu"],
    &["jul", "juil", "lug"],
    &["aug", "aou", "ago"],
    &["sep", "set"],
    &["oct", "okt", "ott"],
    &["nov"],
    &["dec", "dez", "dic"],
];

/// The beginnings of the days of the week in those languages, Monday first.
const DAYS: [&[&str]; 7] = [
    &["mon", "lun"],
    &["tue", "die", "mardi", "marte"],
    &["wed", "mit", "mer"],
    &["thu", "don", "jeu", "gio"],
    &["fri", "fre", "ven"],
    &["sat", "sam", "sab"],
    &["sun", "son", "dim", "dom"],
];

/// The days of the week in two letters, as German calendars have them; French and Italian ones where they mean no other day there.
const SHORT_DAYS: [&[&str]; 7] =
    [&["mo", "lu"], &["di", "ma"], &["mi", "me"], &["do", "je", "gi"], &["fr", "ve"], &["sa"], &["so"]];

fn begins(word: &str, names: &[&str]) -> bool {
    word.len() >= 3 && names.iter().any(|name| word.starts_with(name))
}

/// The next day of the week from `near` on, Monday 1 to Sunday 7.
fn next(near: Date, of_week: i8) -> Option<Date> {
    let weekday = Weekday::from_monday_one_offset(of_week).ok()?;
    if near.weekday() == weekday { Some(near) } else { near.nth_weekday(1, weekday).ok() }
}

/// Which day of the week a word is, Monday 0.
fn weekday_of(word: &str) -> Option<usize> {
    let mut days = DAYS.iter().zip(SHORT_DAYS);
    days.position(|(names, short)| begins(word, names) || short.contains(&word))
}

/// How a day may be typed, for hints and for what was expected.
pub const fn forms(order: Order) -> &'static str {
    match order {
        Order::DayFirst => "12 Oct, 12.10. or 2027-10-12",
        Order::MonthFirst => "Oct 12, 10/12 or 2027-10-12",
    }
}

/// The day with which a text begins, and what follows it: "12.10. cracked", "12 Oct 2027 19.5 44". Words alone are none: somebody sat on it.
pub fn first_day(text: &str, near: Date, today: Date, order: Order) -> Option<(Date, &str)> {
    let text = text.trim();
    let ends = text.match_indices(char::is_whitespace).map(|(at, _)| at).chain([text.len()]);
    let cut = |at: usize| {
        let (said, rest) = text.split_at_checked(at)?;
        let told = said.contains(|c: char| c.is_ascii_digit());
        let day = told.then(|| day(said, near, today, order).ok()).flatten()?;
        Some((day, rest.trim_start()))
    };
    let ends: Vec<usize> = ends.take(6).collect();
    let (nth, found) = ends.iter().enumerate().find_map(|(nth, at)| Some((nth, cut(*at)?)))?;
    // A year that is parted from its month belongs to the day all the same.
    let is_year = |(_, rest): &(Date, &str)| {
        let word = rest.split_whitespace().next().unwrap_or_default();
        word.len() == 4 && word.bytes().all(|c| c.is_ascii_digit())
    };
    let with_year = ends.get(nth + 1).filter(|_| is_year(&found)).and_then(|at| cut(*at));
    Some(with_year.unwrap_or(found))
}

/// A day as typed: "2027-10-12", "12 oct", "Tue 12 October 2027", "12.10.", "Di 12.10.", "12/10/27", "oct 12", "tomorrow", "friday". Without a
/// year the one nearest to `near` is meant; a day of the week alone is the next one from `near` on. "Today" and "tomorrow" are those
/// of `today`, whatever is near.
///
/// # Errors
/// What was expected.
pub fn day(text: &str, near: Date, today: Date, order: Order) -> Result<Date, String> {
    let expected = || format!("“{}” is not a day. Type it as {}.", text.trim(), forms(order));
    let text = text.trim();
    if let Ok(day) = text.parse::<Date>() {
        return Ok(day);
    }
    match slug_of(text).as_str() {
        "today" | "heute" | "aujourd-hui" | "oggi" => return Ok(today),
        "tomorrow" | "morgen" | "demain" | "domani" => return today.tomorrow().map_err(|_far| expected()),
        _ => {}
    }
    let mut weekday = None;
    let mut month = None;
    let mut figures: Vec<i16> = Vec::new();
    let mut words_first = false;
    // "Mar" is March, and Tuesday in French and Italian where the month is said besides.
    let mut mar = false;
    for part in text.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty()) {
        let figure: String = part.chars().take_while(char::is_ascii_digit).collect();
        let rest = part.get(figure.len()..).unwrap_or_default().to_lowercase();
        if !figure.is_empty() {
            figures.push(figure.parse().map_err(|_bad| expected())?);
            if !matches!(rest.as_str(), "" | "st" | "nd" | "rd" | "th" | "er") {
                return Err(expected());
            }
            continue;
        }
        let word = slug_of(&rest);
        if matches!(word.as_str(), "of" | "the" | "den" | "le" | "il" | "de") {
            continue;
        }
        if word == "mar" {
            (mar, words_first) = (true, words_first || figures.is_empty());
            continue;
        }
        let of_month = MONTHS.iter().position(|names| begins(&word, names));
        let of_week = weekday_of(&word);
        // "Mardi" begins as March does.
        match (of_month, of_week) {
            (_, Some(at)) if of_month.is_none() || word.starts_with("mardi") || word.starts_with("marte") => {
                weekday = i8::try_from(at + 1).ok();
            }
            (Some(at), _) => {
                words_first = figures.is_empty();
                month = i8::try_from(at + 1).ok();
            }
            _ => return Err(expected()),
        }
    }
    if mar && month.is_none() && !text.contains('/') {
        month = Some(3);
    } else if mar {
        (weekday, words_first) = (Some(2), false);
    }
    if figures.is_empty() && month.is_none() {
        return weekday.and_then(|at| next(near, at)).ok_or_else(expected);
    }
    let (number, month, year) = match (month, figures.as_slice()) {
        (Some(month), [number]) => (*number, month, None),
        (Some(month), [number, year]) => (*number, month, Some(*year)),
        (None, [a, b, rest @ ..]) if rest.len() < 2 && !words_first => {
            let (number, month) =
                if order == Order::MonthFirst && text.contains('/') { (*b, *a) } else { (*a, *b) };
            (number, i8::try_from(month).map_err(|_far| expected())?, rest.first().copied())
        }
        _ => return Err(expected()),
    };
    let number = i8::try_from(number).map_err(|_far| expected())?;
    let in_year = |year: i16| Date::new(year, month, number).ok();
    match year {
        Some(year) => in_year(if year < 100 { year + 2000 } else { year }).ok_or_else(expected),
        None => [near.year(), near.year() + 1, near.year() - 1]
            .into_iter()
            .filter_map(in_year)
            .min_by_key(|day| near.until(*day).map_or(i32::MAX, |span| span.get_days().abs()))
            .ok_or_else(expected),
    }
}

/// An hour as typed: "19:30", "19.30", "1930", "19h30", "7 pm", "7:30pm", "10".
///
/// # Errors
/// What was expected.
pub fn hour(text: &str) -> Result<Time, String> {
    let expected = || format!("“{}” is not a time. Type it as 19:30.", text.trim());
    let plain = text
        .trim()
        .to_lowercase()
        .replace("uhr", "")
        .replace("o’clock", "")
        .replace("a.m.", "am")
        .replace("p.m.", "pm");
    let (plain, afternoon) = match (plain.trim().strip_suffix("pm"), plain.trim().strip_suffix("am")) {
        (Some(rest), _) => (rest.trim().to_owned(), Some(true)),
        (_, Some(rest)) => (rest.trim().to_owned(), Some(false)),
        _ => (plain.trim().to_owned(), None),
    };
    let parts: Vec<&str> =
        plain.split([':', '.', 'h']).map(str::trim).filter(|part| !part.is_empty()).collect();
    let (hours, minutes) = match parts.as_slice() {
        [one] if one.len() == 4 => (one.get(..2).ok_or_else(expected)?, one.get(2..).ok_or_else(expected)?),
        [one] if one.len() <= 2 => (*one, "0"),
        [hours, minutes] if minutes.len() == 2 => (*hours, *minutes),
        [hours, minutes, "00"] if minutes.len() == 2 => (*hours, *minutes),
        _ => return Err(expected()),
    };
    let mut hours: i8 = hours.parse().map_err(|_bad| expected())?;
    let minutes: i8 = minutes.parse().map_err(|_bad| expected())?;
    match afternoon {
        Some(_) if !(1..=12).contains(&hours) => return Err(expected()),
        Some(true) if hours < 12 => hours += 12,
        Some(false) if hours == 12 => hours = 0,
        _ => {}
    }
    Time::new(hours, minutes, 0, 0).map_err(|_far| expected())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;
    use rstest::rstest;

    /// Far from every day that is typed.
    const TODAY: Date = date(2026, 11, 27);

    #[rstest]
    #[case("2027-10-12")]
    #[case("12 oct")]
    #[case("12 October 2027")]
    #[case("Tue 12 Oct 2027")]
    #[case("Tuesday, 12th of October")]
    #[case("Oct 12")]
    #[case("October 12, 2027")]
    #[case("12.10.")]
    #[case("12.10.27")]
    #[case("12. Oktober")]
    #[case("12/10/2027")]
    #[case("12 ottobre 2027")]
    #[case("mardi 12 octobre")]
    #[case("Di 12.10.")]
    #[case("Di., 12. Okt.")]
    #[case("ma 12/10")]
    #[case("mar. 12 octobre")]
    #[case("mar 12 ott 2027")]
    #[case("di")]
    #[case("Tuesday")]
    fn the_twelfth_of_october(#[case] typed: &str) {
        // 12 October 2027 is a Tuesday (ISO 8601 week date 2027-W41-2).
        assert_eq!(day(typed, date(2027, 10, 7), TODAY, Order::DayFirst), Ok(date(2027, 10, 12)));
    }

    #[test]
    fn a_day_without_a_year_is_the_nearest() {
        let near = date(2027, 12, 20);
        assert_eq!(day("3 jan", near, TODAY, Order::DayFirst), Ok(date(2028, 1, 3)));
        assert_eq!(day("30.11.", near, TODAY, Order::DayFirst), Ok(date(2027, 11, 30)));
        assert_eq!(day("monday", near, TODAY, Order::DayFirst), Ok(near), "it is one");
        assert_eq!(day("1 mar", near, TODAY, Order::DayFirst), Ok(date(2028, 3, 1)));
        assert_eq!(day("10/12", near, TODAY, Order::MonthFirst), Ok(date(2027, 10, 12)));
        assert_eq!(day("29 feb", near, TODAY, Order::DayFirst), Ok(date(2028, 2, 29)));
    }

    #[rstest]
    #[case("2027-10-12 cracked at the cord hole", "cracked at the cord hole")]
    #[case("12.10. cracked", "cracked")]
    #[case("12 oct 2027 19.5 44", "19.5 44")]
    #[case("12 oct 19.5 44", "19.5 44")]
    #[case("Tue 12 Oct 2027", "")]
    #[case("Oct 12 buzzes", "buzzes")]
    fn a_text_begins_with_a_day(#[case] typed: &str, #[case] rest: &str) {
        let found = first_day(typed, date(2027, 10, 7), TODAY, Order::DayFirst);
        assert_eq!(found, Some((date(2027, 10, 12), rest)));
    }

    #[rstest]
    #[case("sat on by the piano movers")]
    #[case("today")]
    #[case("cracked in 2 places")]
    #[case("")]
    fn a_text_without_a_day_has_none(#[case] typed: &str) {
        assert_eq!(first_day(typed, date(2027, 10, 7), TODAY, Order::DayFirst), None);
    }

    /// A form that begins with a day of next season is no reason to take that day for today.
    #[rstest]
    #[case("today", date(2026, 11, 27))]
    #[case("heute", date(2026, 11, 27))]
    #[case("tomorrow", date(2026, 11, 28))]
    #[case("domani", date(2026, 11, 28))]
    fn today_is_the_day_on_the_calendar(#[case] typed: &str, #[case] expected: Date) {
        assert_eq!(day(typed, date(2027, 10, 7), TODAY, Order::DayFirst), Ok(expected));
    }

    /// "Mar" with a figure behind it and no other month is March; beside another month it is Tuesday.
    #[test]
    fn a_short_word_is_a_day_where_another_word_is_the_month() {
        let near = date(2027, 10, 7);
        assert_eq!(day("mar 12", near, TODAY, Order::DayFirst), Ok(date(2028, 3, 12)));
        assert_eq!(day("Mo 11.10.", near, TODAY, Order::DayFirst), Ok(date(2027, 10, 11)));
        assert_eq!(day("So 10.10.", near, TODAY, Order::DayFirst), Ok(date(2027, 10, 10)));
        assert_eq!(day("gi 14/10", near, TODAY, Order::DayFirst), Ok(date(2027, 10, 14)));
        assert_eq!(day("me 13.10.", near, TODAY, Order::DayFirst), Ok(date(2027, 10, 13)));
    }

    #[rstest]
    #[case("soon")]
    #[case("32 oct")]
    #[case("12.13.")]
    #[case("")]
    #[case("12")]
    #[case("1 2 3 4")]
    fn what_is_not_a_day_is_told(#[case] typed: &str) {
        assert!(
            day(typed, date(2027, 10, 7), TODAY, Order::DayFirst).is_err_and(|why| why.contains("12 Oct"))
        );
    }

    #[rstest]
    #[case("19:30", (19, 30))]
    #[case("19.30", (19, 30))]
    #[case("1930", (19, 30))]
    #[case("19h30", (19, 30))]
    #[case("7:30 pm", (19, 30))]
    #[case("7pm", (19, 0))]
    #[case("10", (10, 0))]
    #[case("9.05", (9, 5))]
    #[case("10 Uhr", (10, 0))]
    #[case("12 am", (0, 0))]
    fn hours(#[case] typed: &str, #[case] expected: (i8, i8)) {
        let found = hour(typed).unwrap();
        assert_eq!((found.hour(), found.minute()), expected);
    }

    #[rstest]
    #[case("25:00")]
    #[case("noon")]
    #[case("13 pm")]
    #[case("1:5")]
    fn what_is_not_an_hour_is_told(#[case] typed: &str) {
        assert!(hour(typed).is_err_and(|why| why.contains("19:30")));
    }

    #[rstest]
    #[case("en_US.UTF-8", Order::MonthFirst, Clock::Of12)]
    #[case("en_GB.UTF-8", Order::DayFirst, Clock::Of24)]
    #[case("en_AU", Order::DayFirst, Clock::Of12)]
    #[case("C", Order::DayFirst, Clock::Of24)]
    #[case("de_DE@euro", Order::DayFirst, Clock::Of24)]
    #[case("", Order::DayFirst, Clock::Of24)]
    fn regions(#[case] locale: &str, #[case] order: Order, #[case] clock: Clock) {
        assert_eq!(of_region(locale), Days { order, clock, today: None });
    }

    /// A form begins with a day as it is shown, and reads it again.
    #[test]
    fn what_is_shown_can_be_typed() {
        for (order, clock) in [(Order::DayFirst, Clock::Of24), (Order::MonthFirst, Clock::Of12)] {
            let days = Days { order, clock, today: None };
            for at in [date(2027, 3, 2).at(19, 30, 0, 0), date(2027, 12, 11).at(0, 5, 0, 0)] {
                for words in [days.weekday(at.date()), days.day(at.date()), days.long(at.date())] {
                    assert_eq!(day(&words, TODAY, TODAY, order), Ok(at.date()), "{words}");
                }
                assert_eq!(hour(&days.hour(at.time())), Ok(at.time()));
            }
        }
    }
}
