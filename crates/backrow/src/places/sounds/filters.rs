//! Which strikes are shown: of which instruments, and those of models or not.

use super::Here;
use crate::filters::{Widths, choices};
use crate::scene::Scene;
use backrow_core::collection::Instrument;
use backrow_core::findings::Neighbours;
use backrow_core::id::{InstrumentId, KindId, ProgrammeId};
use backrow_core::library::Library;
use backrow_core::sound::Known;
use egui::Ui;
use std::collections::BTreeSet;

/// What the user has chosen.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub(super) struct Filters {
    things: crate::filters::Filters,
    free: bool,
    /// Recorded ones alone, none that a model made.
    recorded: bool,
}

impl Filters {
    /// The instruments that they leave.
    fn leave(&self, library: &Library, programme: Option<&ProgrammeId>) -> BTreeSet<InstrumentId> {
        let programme = programme.and_then(|id| library.programme(id));
        let neighbours = programme.map(|own| Neighbours::of(library, own));
        let holds = |thing: &Instrument| {
            self.things.keep(thing)
                && (!self.free || neighbours.as_ref().is_none_or(|all| all.other_use(&thing.id).is_none()))
        };
        library.instruments.values().filter(|thing| holds(thing)).map(|thing| thing.id.clone()).collect()
    }

    /// What they leave, worked out once for the map, its rings and every answer.
    pub(super) fn left(&self, library: &Library, programme: Option<&ProgrammeId>) -> Left {
        Left { instruments: self.leave(library, programme), models: !self.recorded }
    }
}

/// What the filters leave.
pub(super) struct Left {
    pub(super) instruments: BTreeSet<InstrumentId>,
    models: bool,
}

impl Left {
    /// Whether they leave this strike.
    pub(super) fn holds(&self, known: &Known) -> bool {
        (self.models || !known.by_model) && self.instruments.contains(&known.key.instrument)
    }
}

/// Draws the line of filters.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>) {
    let library = scene.library;
    let owned: BTreeSet<KindId> = library
        .takes
        .keys()
        .filter_map(|take| library.instruments.get(&take.instrument))
        .map(|thing| thing.kind.clone())
        .collect();
    let filters = &mut view.own.filters;
    ui.horizontal_wrapped(|ui| {
        choices(ui, library, &owned, Widths { kind: 110.0, others: None }, &mut filters.things);
        ui.checkbox(&mut filters.free, "Free for these services")
            .on_hover_text("Not needed by another programme at the same time");
        ui.checkbox(&mut filters.recorded, "Recorded only").on_hover_text("Without those that a model made");
        ui.checkbox(&mut view.own.path, "Bars as a path")
            .on_hover_text("Joins the bars of the chosen strike’s instrument from low to high, those of one take: the newest that is whole");
    });
}
