//! What an instrument is worth, its tolerance and its resonators, as a form.

use super::of::Of;
use super::{Field, TextForm, above_zero, care_of, day_or_none, day_text, figure, text_of};
use crate::dates::forms;
use backrow_core::care::{Resonators, Value};
use backrow_core::edit::Edit;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use backrow_core::tuning::air;

const AMOUNT: &str = "Value";
const GROUND: &str = "Who says so";
const ON: &str = "On";
const IRREPLACEABLE: &str = "Cannot be replaced";
const TOLERANCE: &str = "Tolerance, cents";
const RIGHT_AT: &str = "Resonators right at, °C";
const RADIUS: &str = "Radius of the tubes, mm";

/// The form of an instrument.
pub(in crate::places::collection) fn form(library: &Library, id: &InstrumentId) -> Option<TextForm> {
    let thing = library.instruments.get(id)?;
    let care = care_of(library, id);
    let value = care.value.as_ref();
    let on = value.and_then(|value| value.on).map_or_else(String::new, |on| day_text(library, on));
    let fields = vec![
        Field::line(AMOUNT, text_of(value.map(|value| value.amount)), "in the orchestra\u{2019}s currency"),
        Field::line(GROUND, value.map_or("", |value| &value.ground), "bought, valued by the workshop"),
        Field::line(ON, on, forms(library.days().order)),
        Field::line(IRREPLACEABLE, care.irreplaceable.clone(), "why; empty where it can be"),
        Field::line(TOLERANCE, text_of(care.tolerance_cents), "empty for 5 cents"),
        Field::line(RIGHT_AT, text_of(care.resonators.map(|tubes| tubes.right_at_c)), ""),
        Field::line(
            RADIUS,
            text_of(care.resonators.map(|tubes| tubes.radius_m * 1000.0)),
            "inside, a middle one",
        ),
    ];
    Some(TextForm::new(Of::Worth(id.clone()), format!("Value and resonators of {}", thing.name), fields))
}

/// The change that saves it.
pub(super) fn save(form: &TextForm, library: &Library, id: &InstrumentId) -> Result<Edit, String> {
    let mut care = care_of(library, id);
    let amount = figure(form.get(AMOUNT), AMOUNT)?;
    if amount.is_some_and(|amount| amount < 0.0) {
        return Err(format!("{AMOUNT}: 0 or more was expected."));
    }
    let on = day_or_none(library, form.get(ON), ON)?;
    care.value = amount.map(|amount| Value { amount, ground: form.get(GROUND).to_owned(), on });
    form.get(IRREPLACEABLE).clone_into(&mut care.irreplaceable);
    care.tolerance_cents = above_zero(form.get(TOLERANCE), TOLERANCE)?;
    let right_at = figure(form.get(RIGHT_AT), RIGHT_AT)?;
    if right_at.is_some_and(|celsius| !air::is_plausible(celsius)) {
        return Err(format!("{RIGHT_AT}: -30 to 60 was expected."));
    }
    care.resonators = match (right_at, above_zero(form.get(RADIUS), RADIUS)?) {
        (Some(right_at_c), Some(radius)) => Some(Resonators { right_at_c, radius_m: radius / 1000.0 }),
        (None, None) => None,
        _ => return Err(format!("{RIGHT_AT} and {RADIUS} belong together: fill both or neither.")),
    };
    Ok(Edit::PutCare(care))
}
