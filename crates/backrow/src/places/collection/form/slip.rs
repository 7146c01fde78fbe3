//! The form as it is kept on disk while it is a draft.

use super::{Draft, Form};
use crate::drafts::shelf::Slip;
use backrow_core::library::Library;
use backrow_files::library::Held;

impl Form {
    /// As it is kept.
    pub(in crate::places::collection) fn slip(&self) -> Option<Slip> {
        let held = match &self.draft {
            Draft::Instrument(thing) => Held::Instrument(thing.clone()),
            Draft::Beater(beater) => Held::Beater(beater.clone()),
            Draft::Player(player) => Held::Player(player.clone()),
            Draft::Place(place) => Held::Place(place.clone()),
        };
        let mut slip = Slip::of("collection", &held)?.with("new", self.is_new).with("weighed", self.weighed);
        let mut copy = self.clone();
        for (name, field) in copy.fields() {
            slip = slip.with(name, field);
        }
        Some(slip)
    }

    /// What was kept. One of a thing that is there no longer is of a new one.
    pub(in crate::places::collection) fn of_slip(slip: &Slip, library: &Library) -> Option<Self> {
        let (draft, there) = match slip.held()? {
            Held::Instrument(thing) => {
                let there = library.instruments.contains_key(&thing.id);
                (Draft::Instrument(thing), there)
            }
            Held::Beater(beater) => {
                let there = library.beaters.contains_key(&beater.id);
                (Draft::Beater(beater), there)
            }
            Held::Player(player) => {
                let there = library.players.contains_key(&player.id);
                (Draft::Player(player), there)
            }
            Held::Place(place) => {
                let there = library.places.contains_key(&place.id);
                (Draft::Place(place), there)
            }
            _ => return None,
        };
        let mut form = Self::with(library, draft, slip.field("new") == "true" || !there);
        form.weighed = slip.field("weighed") == "true";
        for (name, field) in form.fields() {
            slip.field(name).clone_into(field);
        }
        // It was a draft, and is one whatever stands in it.
        form.began = None;
        Some(form)
    }

    /// The texts that are read when it is saved, by their names on disk.
    fn fields(&mut self) -> [(&'static str, &mut String); 7] {
        [
            ("frames", &mut self.frames),
            ("pieces", &mut self.pieces),
            ("character", &mut self.character),
            ("mass", &mut self.mass),
            ("a", &mut self.a),
            ("kinds", &mut self.kinds),
            ("never", &mut self.never),
        ]
    }
}
