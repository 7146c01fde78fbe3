//! Which instruments are shown, in the places that filter them: of which kind, whose, from which store, how heavy.

use crate::kind_choice::{Asked, KindChange, kind_choice};
use crate::words::place_words;
use backrow_core::collection::{Instrument, Owner};
use backrow_core::id::{KindId, PlaceId};
use backrow_core::library::Library;
use egui::{Response, Ui, WidgetInfo};
use std::collections::BTreeSet;

/// Masses that can be chosen, kg.
const MASSES: [u32; 5] = [5, 10, 25, 50, 100];

/// What the user has chosen.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Filters {
    /// Of this kind.
    pub kind: Option<KindId>,
    /// Whose.
    pub whose: Whose,
    /// From this store.
    pub place: Option<PlaceId>,
    /// No heavier than this with all its frames and pieces, kg.
    pub most_kg: Option<u32>,
}

impl Filters {
    /// Whether they leave an instrument. One without a mass is beyond every limit: it may be heavier.
    pub fn keep(&self, thing: &Instrument) -> bool {
        let mass = || thing.whole_mass().map(|mass| mass.kg);
        self.kind.as_ref().is_none_or(|kind| thing.kind == *kind)
            && self.whose.holds(&thing.owner)
            && self.place.as_ref().is_none_or(|place| thing.place.as_ref() == Some(place))
            && self.most_kg.is_none_or(|most| mass().is_some_and(|kg| kg <= f64::from(most)))
    }
}

/// How wide the lists are, points.
#[derive(Clone, Copy, Debug)]
pub struct Widths {
    /// The kind's.
    pub kind: f32,
    /// Of each of the others, with longer words cut; `None` for as wide as what is chosen.
    pub others: Option<f32>,
}

/// Draws the lists, and gives back the first.
pub fn choices(
    ui: &mut Ui,
    library: &Library,
    among: &BTreeSet<KindId>,
    widths: Widths,
    filters: &mut Filters,
) -> Response {
    let asked = Asked {
        label: "Kind",
        now: filters.kind.as_ref(),
        none: Some("Kind all"),
        among: Some(among),
        first: &[],
        width: widths.kind,
    };
    let mut changed = None;
    let response = kind_choice(ui, library, &asked, &mut changed);
    if let Some(KindChange(kind)) = changed {
        filters.kind = kind;
    }
    choice(ui, "Owner", widths.others, filters.whose.word(), |ui| {
        for whose in Whose::ALL {
            ui.selectable_value(&mut filters.whose, whose, whose.word());
        }
    });
    let place = filters.place.as_ref().map_or_else(|| "any".to_owned(), |id| place_words(library, Some(id)));
    choice(ui, "Store", widths.others, &place, |ui| {
        ui.selectable_value(&mut filters.place, None, "any");
        for place in library.places.values() {
            ui.selectable_value(&mut filters.place, Some(place.id.clone()), &place.name);
        }
    });
    let up_to = |kg: u32| format!("up to {kg}\u{202F}kg");
    let mass = filters.most_kg.map_or_else(|| "any".to_owned(), up_to);
    let mass = choice(ui, "Mass", widths.others, &mass, |ui| {
        ui.selectable_value(&mut filters.most_kg, None, "any");
        for kg in MASSES {
            ui.selectable_value(&mut filters.most_kg, Some(kg), up_to(kg));
        }
    });
    mass.on_hover_text("What has no mass in Collection is left out of a limit");
    response
}

/// A list named by its label, in a row of filters.
pub fn choice(
    ui: &mut Ui,
    label: &str,
    width: Option<f32>,
    now: &str,
    rows: impl FnOnce(&mut Ui),
) -> Response {
    let mut combo =
        egui::ComboBox::from_id_salt(("filter", label)).selected_text(format!("{label} {now}")).height(360.0);
    if let Some(width) = width {
        combo = combo.width(width).truncate();
    }
    let response = combo.show_ui(ui, rows).response;
    response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, label));
    response
}

/// Which owners are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Whose {
    /// Everybody's.
    #[default]
    All,
    /// The orchestra's own.
    Ours,
    /// Players' own.
    Players,
    /// Lent or hired.
    Others,
}

impl Whose {
    /// All, in the order of menus.
    pub const ALL: [Self; 4] = [Self::All, Self::Ours, Self::Players, Self::Others];

    /// The word in menus.
    pub const fn word(self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Ours => "ours",
            Self::Players => "players’ own",
            Self::Others => "lent or hired",
        }
    }

    /// Whether something of that owner is shown.
    pub const fn holds(self, owner: &Owner) -> bool {
        match self {
            Self::All => true,
            Self::Ours => matches!(owner, Owner::Orchestra),
            Self::Players => matches!(owner, Owner::Player(_)),
            Self::Others => matches!(owner, Owner::Other(_)),
        }
    }
}
