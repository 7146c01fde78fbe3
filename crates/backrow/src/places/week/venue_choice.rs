//! A choice among venues.

use backrow_core::id::VenueId;
use backrow_core::library::Library;
use egui::{Ui, WidgetInfo};

/// What a choice among venues is given.
pub(super) struct Venues<'a> {
    pub(super) library: &'a Library,
    pub(super) label: &'a str,
    /// The word for none.
    pub(super) none: &'a str,
}

/// A choice among all venues.
pub(super) fn venue_choice(ui: &mut Ui, venues: &Venues<'_>, value: &mut Option<VenueId>) {
    let words = value.as_ref().map_or_else(|| venues.none.to_owned(), |id| venue_name(venues.library, id));
    let combo = egui::ComboBox::from_id_salt(venues.label).selected_text(words).width(160.0).truncate();
    let combo = combo.show_ui(ui, |ui| {
        ui.selectable_value(value, None, venues.none);
        for venue in venues.library.venues.values() {
            ui.selectable_value(value, Some(venue.id.clone()), &venue.name);
        }
    });
    combo.response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, venues.label));
}

/// What a venue is called; its id when it is not there.
pub(super) fn venue_name(library: &Library, id: &VenueId) -> String {
    library.venues.get(id).map_or_else(|| id.to_string(), |venue| venue.name.clone())
}
