//! What tuning, bells and care share: the current instrument, and one form of labelled fields for all that is typed there.

pub(super) mod air;
pub(super) mod bell;
mod form;
pub(super) mod formulas;
pub(super) mod heard;
pub(super) mod list;
pub(super) mod log;
mod of;
mod slip;
pub(super) mod survey;
pub(super) mod worth;

pub(super) use super::Bench;
pub(super) use form::{Field, TextForm, ui as form_ui};

use crate::dates;
use backrow_core::care::Care;
use backrow_core::id::InstrumentId;
use backrow_core::library::Library;
use jiff::civil::Date;

/// What is known of an instrument; nothing where nothing is.
pub(super) fn care_of(library: &Library, id: &InstrumentId) -> Care {
    library.care.get(id).map_or_else(|| Care::of(id.clone()), |care| (**care).clone())
}

/// A day as it is typed, at any time near today.
pub(super) fn day(library: &Library, text: &str, what: &str) -> Result<Date, String> {
    let today = dates::today();
    dates::day(text, today, today, library.days().order).map_err(|why| format!("{what}: {why}"))
}

/// A day, or nothing.
pub(super) fn day_or_none(library: &Library, text: &str, what: &str) -> Result<Option<Date>, String> {
    if text.trim().is_empty() { Ok(None) } else { day(library, text, what).map(Some) }
}

/// A day as a field of a form shows it: with its year, to be read again in any year.
pub(super) fn day_text(library: &Library, day: Date) -> String {
    library.days().lasting().day(day)
}

/// A figure, or nothing.
pub(super) fn figure(text: &str, what: &str) -> Result<Option<f64>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let number = backrow_core::numbers::typed(text);
    number.map(Some).ok_or_else(|| format!("{what}: a number such as 21.5 was expected."))
}

/// A figure above zero, or nothing.
pub(super) fn above_zero(text: &str, what: &str) -> Result<Option<f64>, String> {
    match figure(text, what)? {
        Some(number) if number <= 0.0 => Err(format!("{what}: more than 0 was expected.")),
        number => Ok(number),
    }
}

/// Today, where the machine says so, as it is typed.
pub(super) fn today_text(library: &Library) -> String {
    crate::sheets::today().map_or_else(String::new, |day| day_text(library, day))
}

/// A figure as it is typed; nothing for none.
pub(super) fn text_of(number: Option<f64>) -> String {
    number.map_or_else(String::new, |number| format!("{}", (number * 1e4).round() / 1e4))
}

/// Opens a form, where there is one to open.
pub(super) fn put(bench: &mut Bench, form: Option<TextForm>) {
    if let Some(form) = form {
        bench.forms.put(form);
    }
}
