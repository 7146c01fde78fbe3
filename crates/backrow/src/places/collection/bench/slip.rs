//! A form of the bench as it is kept on disk while it is a draft: what it is of, and its fields by their labels.

use super::form::TextForm;
use super::of::Of;
use super::{air, bell, log, survey, worth};
use crate::drafts::shelf::Slip;
use backrow_core::id::{InstrumentId, PlaceId};
use backrow_core::library::Library;
use backrow_core::pitch::KeyNumber;

/// Before the label of a field, so that none is taken for what the form is of.
const FIELD: &str = "field ";

impl TextForm {
    /// As it is kept.
    pub(in crate::places::collection) fn slip(&self) -> Slip {
        let slip = Slip::plain("bench");
        let at = |at: Option<usize>| at.map_or_else(String::new, |at| at.to_string());
        let slip = match &self.of {
            Of::Survey(id, nth) => slip.with("of", "survey").with("id", id).with("at", at(*nth)),
            Of::Bell(id, key) => {
                let key = key.map_or_else(String::new, |key| key.number().to_string());
                slip.with("of", "bell").with("id", id).with("at", key)
            }
            Of::Log(id, nth) => slip.with("of", "log").with("id", id).with("at", at(*nth)),
            Of::Worth(id) => slip.with("of", "worth").with("id", id),
            Of::Air(id) => slip.with("of", "air").with("id", id),
        };
        self.fields
            .iter()
            .fold(slip, |slip, field| slip.with(&format!("{FIELD}{}", field.label), &field.value))
    }

    /// What was kept; `None` where what it is of is there no longer.
    pub(in crate::places::collection) fn of_slip(slip: &Slip, library: &Library) -> Option<Self> {
        let id = slip.field("id");
        let thing = || InstrumentId::new(id).ok();
        let at = || slip.field("at").parse::<usize>().ok();
        let mut form = match slip.field("of") {
            "survey" => survey::form(library, &thing()?, at()),
            "bell" => {
                let key = slip.field("at").parse().ok().and_then(|number| KeyNumber::new(number).ok());
                bell::form(library, &thing()?, key)
            }
            "log" => log::form(library, &thing()?, at()),
            "worth" => worth::form(library, &thing()?),
            "air" => air::form(library, &PlaceId::new(id).ok()?),
            _ => None,
        }?;
        for field in &mut form.fields {
            slip.field(&format!("{FIELD}{}", field.label)).clone_into(&mut field.value);
        }
        Some(form)
    }
}
