//! Which strikes are shown: of which kind, whose, from which place, free for these services, how heavy.

use super::Here;
use crate::kind_choice::{Asked, KindChange, kind_choice};
use crate::scene::Scene;
use crate::whose::Whose;
use crate::words::place_words;
use backrow_core::collection::Instrument;
use backrow_core::findings::Neighbours;
use backrow_core::id::{InstrumentId, KindId, PlaceId, ProgrammeId};
use backrow_core::library::Library;
use backrow_core::sound::Known;
use egui::{Ui, WidgetInfo};
use std::collections::BTreeSet;

/// What the user has chosen.
#[derive(Clone, Debug, PartialEq, Default)]
pub(super) struct Filters {
    kind: Option<KindId>,
    whose: Whose,
    place: Option<PlaceId>,
    free: bool,
    /// No heavier than this, kg.
    most_kg: Option<u32>,
    /// Recorded ones alone, none that a model made.
    recorded: bool,
}

/// Masses that can be chosen, kg.
const MASSES: [u32; 5] = [5, 10, 25, 50, 100];

impl Filters {
    /// The instruments that they leave.
    fn leave(&self, library: &Library, programme: Option<&ProgrammeId>) -> BTreeSet<InstrumentId> {
        let programme = programme.and_then(|id| library.programme(id));
        let neighbours = programme.map(|own| Neighbours::of(library, own));
        let holds = |thing: &Instrument| {
            let mass = thing.whole_mass().map(|mass| mass.kg);
            self.kind.as_ref().is_none_or(|kind| thing.kind == *kind)
                && self.whose.holds(&thing.owner)
                && self.place.as_ref().is_none_or(|place| thing.place.as_ref() == Some(place))
                // What was never weighed may be heavier.
                && self.most_kg.is_none_or(|most| mass.is_some_and(|kg| kg <= f64::from(most)))
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
        let asked = Asked {
            label: "Kind",
            now: filters.kind.as_ref(),
            none: Some("Kind all"),
            among: Some(&owned),
            first: &[],
            width: 110.0,
        };
        let mut changed = None;
        kind_choice(ui, library, &asked, &mut changed);
        if let Some(KindChange(kind)) = changed {
            filters.kind = kind;
        }
        choice(ui, "Owner", filters.whose.word(), |ui| {
            for whose in Whose::ALL {
                ui.selectable_value(&mut filters.whose, whose, whose.word());
            }
        });
        let place =
            filters.place.as_ref().map_or_else(|| "any".to_owned(), |id| place_words(library, Some(id)));
        choice(ui, "Store", &place, |ui| {
            ui.selectable_value(&mut filters.place, None, "any");
            for place in library.places.values() {
                ui.selectable_value(&mut filters.place, Some(place.id.clone()), &place.name);
            }
        });
        let mass = filters.most_kg.map_or_else(|| "any".to_owned(), |kg| format!("up to {kg}\u{202F}kg"));
        let mass = choice(ui, "Mass", &mass, |ui| {
            ui.selectable_value(&mut filters.most_kg, None, "any");
            for kg in MASSES {
                ui.selectable_value(&mut filters.most_kg, Some(kg), format!("up to {kg}\u{202F}kg"));
            }
        });
        mass.on_hover_text("What has no mass in Collection is left out of a limit");
        ui.checkbox(&mut filters.free, "Free for these services")
            .on_hover_text("Not needed by another programme at the same time");
        ui.checkbox(&mut filters.recorded, "Recorded only").on_hover_text("Without those that a model made");
        ui.checkbox(&mut view.own.path, "Bars as a path")
            .on_hover_text("Joins the bars of the chosen strike’s instrument from low to high, those of one take: the newest that is whole");
    });
}

fn choice(ui: &mut Ui, label: &str, now: &str, rows: impl FnOnce(&mut Ui)) -> egui::Response {
    let combo =
        egui::ComboBox::from_id_salt(("sounds", label)).selected_text(format!("{label} {now}")).height(360.0);
    let response = combo.show_ui(ui, rows).response;
    response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, label));
    response
}
