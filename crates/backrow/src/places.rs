//! The places to work: one folder each.

pub mod bar_view;
pub mod collection;
pub mod compass;
pub mod floor;
pub mod season;
pub mod section;
pub mod sounds;
pub mod week;
pub mod works;

use crate::drafts::shelf::Slip;
use crate::scene::Scene;
use crate::view::{Place, View};
use backrow_core::library::Library;

/// A place's own keys, for the keyboard map: what each does.
pub const fn keys(place: Place) -> &'static [(&'static str, &'static str)] {
    match place {
        Place::Section => section::KEYS,
        Place::Compass => compass::KEYS,
        Place::Floor => floor::KEYS,
        Place::BarView => bar_view::KEYS,
        Place::Week => week::KEYS,
        Place::Works => works::KEYS,
        Place::Collection => collection::KEYS,
        // Nothing but the keys that act everywhere.
        Place::Sounds => sounds::KEYS,
        Place::Season => &[],
    }
}

/// Each place's own state.
#[derive(Default)]
#[expect(missing_docs, reason = "each is named after its place")]
pub struct Places {
    pub section: section::State,
    pub compass: compass::State,
    pub floor: floor::State,
    pub bar_view: bar_view::State,
    pub season: season::State,
    pub week: week::State,
    pub works: works::State,
    pub collection: collection::State,
    pub sounds: sounds::State,
}

impl Places {
    /// Draws the place that is current.
    pub fn ui(&mut self, ui: &mut egui::Ui, scene: &mut Scene<'_>, view: &mut View) {
        match view.place {
            Place::Section => section::ui(ui, scene, view, &mut self.section),
            Place::Compass => compass::ui(ui, scene, view, &mut self.compass),
            Place::Floor => floor::ui(ui, scene, view, &mut self.floor),
            Place::BarView => bar_view::ui(ui, scene, view, &mut self.bar_view),
            Place::Season => season::ui(ui, scene, view, &mut self.season),
            Place::Week => week::ui(ui, scene, view, &mut self.week),
            Place::Works => works::ui(ui, scene, view, &mut self.works),
            Place::Collection => collection::ui(ui, scene, view, &mut self.collection),
            Place::Sounds => sounds::ui(ui, scene, view, &mut self.sounds),
        }
    }

    /// How far what a place works out has come, where there is something that can be cancelled.
    pub fn search(&self) -> Option<String> {
        self.section.search().or_else(|| self.floor.search()).or_else(|| self.season.search())
    }

    /// Ends the first of what [`Self::search`] tells; what was cancelled, in words.
    pub fn cancel_search(&mut self) -> Option<&'static str> {
        if self.section.cancel_search() {
            Some("Cancelled: the assignments stay as they are.")
        } else if self.floor.cancel_search() {
            Some("Cancelled: no place is looked for.")
        } else {
            self.season.cancel_search().then_some("Cancelled: the season is not worked out.")
        }
    }

    /// How many forms hold something that is not in the library.
    pub fn unsaved(&self) -> usize {
        self.collection.unsaved() + self.week.unsaved() + self.works.unsaved() + self.floor.unsaved()
    }

    /// Every form that holds something, as it is kept on disk.
    pub fn slips(&self) -> Vec<Slip> {
        [self.collection.slips(), self.floor.slips(), self.week.slips(), self.works.slips()].concat()
    }

    /// Puts a form that was kept on disk among the drafts of its place; whether it could be.
    pub fn take_slip(&mut self, slip: &Slip, library: &Library) -> bool {
        match slip.form.as_str() {
            "collection" | "orchestra" | "bench" => self.collection.take_slip(slip, library),
            "venue" => self.floor.take_slip(slip, library),
            "service" | "hire" => self.week.take_slip(slip, library),
            "work" | "scores" => self.works.take_slip(slip),
            _ => false,
        }
    }

    /// A step back, or forth again, in what the place has open; whether there was one, and nothing where the library is meant.
    pub fn step_here(&mut self, place: Place, back: bool) -> Option<bool> {
        match place {
            Place::Floor => self.floor.step_here(back),
            Place::Works => self.works.step_here(back),
            _ => None,
        }
    }

    /// Closes the innermost thing that the place itself has open, and says what was done.
    pub fn cancel(&mut self, place: Place) -> Option<&'static str> {
        match place {
            Place::BarView => {
                self.bar_view.leave_full();
                None
            }
            Place::Floor => self.floor.cancel().then_some("Cancelled."),
            Place::Works => self.works.leave_review().words(),
            Place::Collection => self.collection.leave_form().words(),
            Place::Week => self.week.leave_form().words(),
            Place::Section => self.section.cancel().then_some("The assignments stay as they are."),
            Place::Sounds => self.sounds.cancel(),
            Place::Compass | Place::Season => None,
        }
    }
}
