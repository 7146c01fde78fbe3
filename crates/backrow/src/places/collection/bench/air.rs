//! The air of a store as a form: typed by hand, or pasted from a logger's table.

use super::of::Of;
use super::{Field, TextForm};
use crate::dates::{self, Order};
use backrow_core::collection::AirDay;
use backrow_core::edit::Edit;
use backrow_core::id::PlaceId;
use backrow_core::library::Library;
use jiff::civil::Date;
use std::collections::BTreeMap;

const READINGS: &str = "Readings to add";

const HINT: &str = "One reading per line: day, °C, per cent. Pasted from a logger\u{2019}s table it may have an hour after the day; of each day the \
                    least and the most are saved.";

/// The form of a store.
pub(in crate::places::collection) fn form(library: &Library, id: &PlaceId) -> Option<TextForm> {
    let place = library.places.get(id)?;
    let fields = vec![Field::lines(READINGS, "", HINT, 12)];
    Some(TextForm::new(Of::Air(id.clone()), format!("Air of {}", place.name), fields))
}

/// The change that saves it.
pub(super) fn save(form: &TextForm, library: &Library, id: &PlaceId) -> Result<Edit, String> {
    let place = library.places.get(id).ok_or("The store is not in the library any more.")?;
    let mut days: BTreeMap<Date, AirDay> = place.air.iter().map(|day| (day.on, *day)).collect();
    let lines = form.get(READINGS).lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    for (nth, (at, line)) in lines.enumerate() {
        match reading(line, library.days().order) {
            Ok((on, celsius, humidity)) => {
                let day = days.entry(on).or_insert(AirDay::on(on));
                *day = day.with(celsius, humidity);
            }
            // A heading.
            Err(_) if nth == 0 && !line.trim().starts_with(|c: char| c.is_ascii_digit()) => {}
            Err(why) => return Err(format!("{READINGS}, line {}: {why}", at + 1)),
        }
    }
    Ok(Edit::PutPlace(backrow_core::collection::Place {
        air: days.into_values().collect(),
        ..(**place).clone()
    }))
}

/// "2027-01-15 19.5 44", "2027-01-15T08:30,19.5,44", "15 jan; 19,5 °C; 44 %".
fn reading(line: &str, order: Order) -> Result<(Date, Option<f64>, Option<f64>), String> {
    let by_comma = line.contains(", ") || line.matches(',').count() > 1 && !line.contains([';', '\t']);
    let parts = line.split(|c: char| c.is_whitespace() || c == ';' || (by_comma && c == ','));
    // A logger parts the hour from the day by a T.
    let parts = parts.map(|part| match part.split_once('T') {
        Some((day, _)) if day.parse::<Date>().is_ok() => day,
        _ => part,
    });
    let said = parts.filter(|part| !part.is_empty() && !part.contains(':')).collect::<Vec<_>>().join(" ");
    let today = dates::today();
    let (on, rest) = dates::first_day(&said, today, today, order)
        .ok_or_else(|| format!("a day such as {} was expected first.", dates::forms(order)))?;
    let mut figures = Vec::new();
    for field in rest.split_whitespace() {
        let bare = field.trim_end_matches(['%', 'C', '°']);
        if bare.is_empty() {
            continue;
        }
        let number = backrow_core::numbers::typed(bare);
        figures.push(number.ok_or_else(|| format!("a number was expected, not \u{201c}{field}\u{201d}."))?);
    }
    let [celsius, humidity] = match figures.as_slice() {
        [celsius] => [Some(*celsius), None],
        [celsius, humidity, ..] => [Some(*celsius), Some(*humidity)],
        [] => return Err("a temperature, and a humidity where it was read, were expected.".to_owned()),
    };
    if celsius.is_some_and(|celsius| !backrow_core::tuning::air::is_plausible(celsius)) {
        return Err("a temperature of -30 to 60\u{202f}°C was expected.".to_owned());
    }
    if humidity.is_some_and(|humidity| !(0.0..=100.0).contains(&humidity)) {
        return Err("a humidity of 0 to 100 per cent was expected.".to_owned());
    }
    Ok((on, celsius, humidity))
}

#[cfg(test)]
mod tests {
    use crate::dates::Order;

    fn reading(line: &str) -> Result<(jiff::civil::Date, Option<f64>, Option<f64>), String> {
        super::reading(line, Order::DayFirst)
    }

    #[test]
    fn lines_of_hand_and_of_loggers() {
        let told = |line: &str| reading(line).map(|(_, celsius, humidity)| (celsius, humidity));
        for line in [
            "2027-01-15 19.5 44",
            "2027-01-15T08:30,19.5,44",
            "2027-01-15 08:30\t19,5\t44 %",
            "2027-01-15; 19,5 °C; 44%",
            "15.1.2027 19.5 44",
            "15 jan 2027, 19.5, 44",
            "Fri 15 Jan 2027; 8:30; 19,5; 44",
        ] {
            assert_eq!(told(line).unwrap(), (Some(19.5), Some(44.0)), "{line}");
            assert_eq!(reading(line).unwrap().0, jiff::civil::date(2027, 1, 15), "{line}");
        }
        assert_eq!(told("2027-01-15 19.5").unwrap(), (Some(19.5), None));
        assert!(told("soon 19 44").unwrap_err().contains("12 Oct"));
        assert!(told("2027-01-15 19 440").unwrap_err().contains("0 to 100"));
    }
}
