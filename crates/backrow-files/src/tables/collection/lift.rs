//! A store's lift as a cell of a table.

use super::unit::{Measure, figure};
use backrow_core::collection::Lift;
use backrow_core::id::slug_of;

/// Words that say so in English, German, French and Italian, as slugs; common practice, without a source.
const NONE: [&str; 12] =
    ["no", "none", "no-lift", "n", "false", "nein", "keiner", "kein-aufzug", "non", "aucun", "nessuno", "0"];
const THERE: [&str; 9] = [
    "lift",
    "elevator",
    "aufzug",
    "fahrstuhl",
    "ascenseur",
    "monte-charge",
    "ascensore",
    "montacarichi",
    "goods-lift",
];

/// "no"; "yes"; "lift, plate 1000 kg, door 1.2 m"; "1000 kg". `None` for what says neither.
pub(super) fn lift_of(cell: &str) -> Option<Lift> {
    if NONE.contains(&slug_of(cell).as_str()) {
        return Some(Lift { there: false, plate_kg: None, door_m: None });
    }
    let mut lift = Lift { there: true, plate_kg: None, door_m: None };
    // A comma parts two of them where a space follows; else it is decimal.
    for part in cell.replace(", ", ";").split(';').map(str::trim).filter(|part| !part.is_empty()) {
        let word = slug_of(part);
        if THERE.contains(&word.as_str()) || super::words::yes(part) {
            continue;
        }
        let (value, unit) = figure(part.trim_start_matches(|c: char| !c.is_ascii_digit()))?;
        let unit = unit?;
        match unit.measures() {
            Measure::Mass => lift.plate_kg = Some(value * unit.in_si()),
            Measure::Length => lift.door_m = Some(value * unit.in_si()),
        }
    }
    Some(lift)
}

/// A lift as a cell has it, with its figures as they are: "lift, plate 1000 kg, door 1.205 m".
pub(in crate::tables) fn lift_text(lift: Lift) -> String {
    if !lift.there {
        return lift.words();
    }
    let plate = lift.plate_kg.map(|kg| format!(", plate {kg} kg"));
    let door = lift.door_m.map(|metres| format!(", door {metres} m"));
    format!("lift{}{}", plate.unwrap_or_default(), door.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("no", Some((false, None, None)))]
    #[case("kein Aufzug", Some((false, None, None)))]
    #[case("yes", Some((true, None, None)))]
    #[case("lift", Some((true, None, None)))]
    #[case("Aufzug, 1000 kg", Some((true, Some(1000.0), None)))]
    #[case("lift, plate 1250.5 kg, door 1.205 m", Some((true, Some(1250.5), Some(1.205))))]
    #[case("plate 630 kg; door 90 cm", Some((true, Some(630.0), Some(0.9))))]
    #[case("1,2 m", Some((true, None, Some(1.2))))]
    #[case("perhaps", None)]
    #[case("1000", None)]
    fn what_a_cell_says_of_a_lift(
        #[case] cell: &str,
        #[case] said: Option<(bool, Option<f64>, Option<f64>)>,
    ) {
        assert_eq!(lift_of(cell).map(|lift| (lift.there, lift.plate_kg, lift.door_m)), said);
    }
}
