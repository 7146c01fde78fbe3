//! The settings as a form: what was typed, which stays whatever becomes of it.

use super::figures::{self, Figure};
use crate::drafts::shelf::Slip;
use crate::drafts::{Refusal, Typed};
use backrow_core::library::{Habits, Library, Orchestra, TimpaniHabits};
use backrow_core::rota::Wishes;
use backrow_files::library::Held;
use std::collections::BTreeMap;

/// The fields as typed, until they are saved.
pub(in crate::places::collection) struct Form {
    /// The settings that it began with.
    began: Orchestra,
    /// All that is no figure.
    pub(super) orchestra: Orchestra,
    /// The figures, as their fields show them.
    typed: BTreeMap<&'static str, String>,
    pub(super) error: Refusal,
}

impl Typed for Form {
    fn has_changed(&self) -> bool {
        self.orchestra != self.began || self.typed != texts(&self.began)
    }

    fn title(&self) -> String {
        "the orchestra’s settings".to_owned()
    }
}

fn texts(orchestra: &Orchestra) -> BTreeMap<&'static str, String> {
    figures::all().map(|figure| (figure.key, figure.text(orchestra))).collect()
}

impl Form {
    /// As the library has them.
    pub(super) fn of(orchestra: &Orchestra) -> Self {
        Self {
            began: orchestra.clone(),
            orchestra: orchestra.clone(),
            typed: texts(orchestra),
            error: Refusal::default(),
        }
    }

    /// Whether nothing was typed and the library has other settings by now.
    pub(super) fn is_of_before(&self, library: &Library) -> bool {
        !self.has_changed() && self.began != *library.orchestra
    }

    /// What stands in the field of a figure, to be typed into.
    pub(super) fn text(&mut self, figure: &Figure) -> &mut String {
        self.typed.entry(figure.key).or_default()
    }

    /// What is wrong with what stands there.
    pub(super) fn trouble(&self, figure: &Figure) -> Option<String> {
        let text = self.typed.get(figure.key).filter(|text| **text != figure.text(&self.began))?;
        figure.value(text).err()
    }

    /// The settings that it says.
    ///
    /// # Errors
    /// Which field cannot be read, and what was expected there.
    pub(super) fn read(&self) -> Result<Orchestra, String> {
        let mut orchestra = self.orchestra.clone();
        for figure in figures::all() {
            figure.read(self.typed.get(figure.key).map_or("", String::as_str), &mut orchestra)?;
        }
        Ok(orchestra)
    }

    /// Habits and wishes as they are usual.
    pub(super) fn restore_defaults(&mut self) {
        self.orchestra.habits = Habits::default();
        self.orchestra.wishes = Wishes::default();
        self.orchestra.timpani = TimpaniHabits::default();
        for figure in figures::HABITS.into_iter().flatten() {
            let usual = figure.text(&self.orchestra);
            *self.text(figure) = usual;
        }
    }

    /// As it is kept on disk.
    pub(in crate::places::collection) fn slip(&self) -> Option<Slip> {
        let slip = Slip::of("orchestra", &Held::Orchestra(Box::new(self.orchestra.clone())))?;
        Some(self.typed.iter().fold(slip, |slip, (key, text)| slip.with(key, text)))
    }

    /// What was kept on disk.
    pub(in crate::places::collection) fn of_slip(slip: &Slip, library: &Library) -> Option<Self> {
        let Held::Orchestra(orchestra) = slip.held()? else { return None };
        let mut form = Self { began: (*library.orchestra).clone(), ..Self::of(&orchestra) };
        for (key, text) in slip.fields_after("") {
            if let Some(typed) = form.typed.get_mut(key) {
                text.clone_into(typed);
            }
        }
        Some(form)
    }
}
