//! Which instruments are shown, and in which order.

use super::row::Row;
use crate::kind_choice::{Asked, KindChange, kind_choice};
use crate::places::compass::Here;
use crate::scene::Scene;
use crate::whose::Whose;
use crate::words::place_words;
use backrow_core::id::{KindId, PlaceId};
use backrow_core::library::Library;
use egui::{Rect, Ui, WidgetInfo};
use std::collections::BTreeSet;

/// The order of the rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub(super) enum Sort {
    #[default]
    Kind,
    Name,
    Place,
    Answer,
}

impl Sort {
    const ALL: [Self; 4] = [Self::Kind, Self::Name, Self::Place, Self::Answer];

    const fn word(self) -> &'static str {
        match self {
            Self::Kind => "by kind",
            Self::Name => "by name",
            Self::Place => "by store",
            Self::Answer => "by answer",
        }
    }
}

/// What the user has chosen.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub(super) struct Filters {
    pub(super) kind: Option<KindId>,
    pub(super) whose: Whose,
    pub(super) place: Option<PlaceId>,
    pub(super) free: bool,
    pub(super) reaches: bool,
    pub(super) sort: Sort,
    /// Kinds that stand as one row.
    pub(super) folded: BTreeSet<KindId>,
}

impl Filters {
    /// Whether kind, owner and place leave a row; what is free and what reaches comes after.
    pub(super) fn keep_but(&self, library: &Library, row: &Row) -> bool {
        let Some(thing) = library.instruments.get(&row.id) else { return false };
        let whose = self.whose.holds(&thing.owner);
        whose
            && self.kind.as_ref().is_none_or(|kind| thing.kind == *kind)
            && self.place.as_ref().is_none_or(|place| thing.place.as_ref() == Some(place))
    }
}

/// Draws the line of filters.
pub(super) fn ui(ui: &mut Ui, scene: &Scene<'_>, view: &mut Here<'_>, rect: Rect) {
    let library = scene.library;
    let (free, reaches) = view.own.rows.held().map_or((0, 0), |shown| (shown.free, shown.reaches));
    let called = view.line.is_some();
    let wants_focus = std::mem::take(&mut view.own.to_filters);
    let filters = &mut view.own.filters;
    let builder =
        egui::UiBuilder::new().max_rect(rect).layout(egui::Layout::left_to_right(egui::Align::Center));
    let mut row = ui.new_child(builder);
    let ui = &mut row;
    // In a small window the words are fewer, so that every choice stays in sight.
    let small = rect.width() < 720.0;
    let width = match rect.width() {
        wide if wide < 560.0 => 58.0,
        wide if wide < 720.0 => 72.0,
        _ => 100.0,
    };
    let owned: BTreeSet<KindId> = library.instruments.values().map(|thing| thing.kind.clone()).collect();
    let asked = Asked {
        label: "Kind",
        now: filters.kind.as_ref(),
        none: Some("Kind all"),
        among: Some(&owned),
        first: &[],
        width: if small { 84.0 } else { 120.0 },
    };
    let mut changed = None;
    let response = kind_choice(ui, library, &asked, &mut changed);
    if wants_focus {
        response.request_focus();
    }
    if let Some(KindChange(kind)) = changed {
        filters.kind = kind;
    }
    choice(ui, ("Owner", width), filters.whose.word(), |ui| {
        for whose in Whose::ALL {
            ui.selectable_value(&mut filters.whose, whose, whose.word());
        }
    });
    let place = filters.place.as_ref().map_or_else(|| "any".to_owned(), |id| place_words(library, Some(id)));
    choice(ui, ("Store", width), &place, |ui| {
        ui.selectable_value(&mut filters.place, None, "any");
        for place in library.places.values() {
            ui.selectable_value(&mut filters.place, Some(place.id.clone()), &place.name);
        }
    });
    let words = if small { format!("Free  {free}") } else { format!("Free for these services  {free}") };
    ui.checkbox(&mut filters.free, words)
        .on_hover_text("Not needed by another programme at the same time (F)");
    let word = if small { "Every note" } else { "Has every note" };
    let words = if called { format!("{word}  {reaches}") } else { word.to_owned() };
    ui.add_enabled(called, egui::Checkbox::new(&mut filters.reaches, words))
        .on_hover_text("Has a bar for every note; without pitch, is of the kind (R)")
        .on_disabled_hover_text("Choose a line first (C)");
    choice(ui, ("Sort", width), filters.sort.word(), |ui| {
        for sort in Sort::ALL {
            ui.selectable_value(&mut filters.sort, sort, sort.word());
        }
    });
}

fn choice(ui: &mut Ui, (label, width): (&str, f32), now: &str, rows: impl FnOnce(&mut Ui)) {
    let combo = egui::ComboBox::from_id_salt(("compass", label))
        .selected_text(format!("{label} {now}"))
        .width(width)
        .truncate()
        .height(360.0);
    let response = combo.show_ui(ui, rows).response;
    response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, label));
}
