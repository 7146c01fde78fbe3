//! A venue on the drawing board as it is kept on disk while it is a draft.

use super::{Drawing, Part};
use crate::drafts::shelf::Slip;
use backrow_core::library::Library;
use backrow_files::library::Held;

impl Drawing {
    /// As it is kept.
    pub(in crate::places::floor) fn slip(&self) -> Option<Slip> {
        let (part, at) = match self.part {
            Part::Floor => ("floor", 0),
            Part::Riser(at) => ("riser", at),
            Part::Area(at) => ("area", at),
        };
        let slip = Slip::of("venue", &Held::Venue(Box::new(self.venue.clone())))?;
        Some(slip.with("new", self.is_new).with("part", part).with("at", at).with("corners", &self.text))
    }

    /// What was kept. One of a venue that is there no longer is of a new one.
    pub(in crate::places::floor) fn of_slip(slip: &Slip, library: &Library) -> Option<Self> {
        let Held::Venue(venue) = slip.held()? else { return None };
        let there = library.venues.get(&venue.id).map(|venue| (**venue).clone());
        let mut drawing = Self::on(*venue, slip.field("new") == "true" || there.is_none());
        // The step back leads to what the library has; without one it was a draft, and is one whatever stands in it.
        drawing.before.push(there.unwrap_or_else(|| drawing.venue.clone()));
        let at = slip.field("at").parse().unwrap_or(0);
        drawing.choose(match slip.field("part") {
            "riser" if at < drawing.venue.risers.len() => Part::Riser(at),
            "area" if at < drawing.venue.keep_out.len() => Part::Area(at),
            _ => Part::Floor,
        });
        let corners = slip.field("corners");
        if !corners.is_empty() && corners != drawing.text {
            corners.clone_into(&mut drawing.text);
            drawing.take_text();
        }
        Some(drawing)
    }
}
