//! Which instruments are shown, and in which order.

use super::row::Row;
use crate::filters::{Widths, choice, choices};
use crate::places::compass::Here;
use crate::scene::Scene;
use crate::theme::tokens::space;
use backrow_core::id::KindId;
use backrow_core::library::Library;
use egui::{Rect, Ui};
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
    pub(super) things: crate::filters::Filters,
    pub(super) free: bool,
    pub(super) reaches: bool,
    pub(super) sort: Sort,
    /// Kinds that stand as one row.
    pub(super) folded: BTreeSet<KindId>,
}

impl Filters {
    /// Whether kind, owner, store and mass leave a row; what is free and what reaches comes after.
    pub(super) fn keep_but(&self, library: &Library, row: &Row) -> bool {
        library.instruments.get(&row.id).is_some_and(|thing| self.things.keep(thing))
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
    let small = rect.width() < 830.0;
    if small {
        ui.spacing_mut().item_spacing.x = space::XS;
    }
    let (kind, others) = match rect.width() {
        wide if wide < 660.0 => (72.0, 52.0),
        wide if wide < 830.0 => (84.0, 72.0),
        _ => (120.0, 100.0),
    };
    let owned: BTreeSet<KindId> = library.instruments.values().map(|thing| thing.kind.clone()).collect();
    let widths = Widths { kind, others: Some(others) };
    let response = choices(ui, library, &owned, widths, &mut filters.things);
    if wants_focus {
        response.request_focus();
    }
    let words = if small { format!("Free  {free}") } else { format!("Free for these services  {free}") };
    ui.checkbox(&mut filters.free, words)
        .on_hover_text("Not needed by another programme at the same time (F)");
    let word = if small { "Every note" } else { "Has every note" };
    let words = if called { format!("{word}  {reaches}") } else { word.to_owned() };
    ui.add_enabled(called, egui::Checkbox::new(&mut filters.reaches, words))
        .on_hover_text("Has a bar for every note; without pitch, is of the kind (R)")
        .on_disabled_hover_text("Choose a line first (C)");
    choice(ui, "Sort", Some(others), filters.sort.word(), |ui| {
        for sort in Sort::ALL {
            ui.selectable_value(&mut filters.sort, sort, sort.word());
        }
    });
}
