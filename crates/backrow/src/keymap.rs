//! Every key of the program in groups: what acts everywhere, what leads elsewhere, then place by place. The map on the screen and
//! its sheet both ask here.

use crate::actions::Action;
use crate::places;
use crate::sheets::{KeyGroup, Sheet};
use crate::view::Place;

/// Whether an action leads elsewhere and changes nothing.
const fn leads_elsewhere(action: Action) -> bool {
    let steps = matches!(
        action,
        Action::NextWork | Action::PreviousWork | Action::NextMovement | Action::PreviousMovement
    );
    steps || action.goes_to().is_some()
}

/// What acts in every place: acts, then ways.
pub fn everywhere() -> [KeyGroup; 2] {
    let group = |title: &str, leads: bool| KeyGroup {
        title: title.to_owned(),
        rows: Action::ALL
            .iter()
            .filter(|action| leads_elsewhere(**action) == leads)
            .map(|action| (action.keys_words(), action.label().to_owned()))
            .collect(),
    };
    let mut acts = group("Everywhere", false);
    let zoom = [
        ("Ctrl +, Ctrl −", "Show everything larger, or smaller"),
        ("Ctrl 0", "Show everything at its usual size"),
    ];
    acts.rows.extend(zoom.map(|(keys, what)| (keys.to_owned(), what.to_owned())));
    [acts, group("From place to place", true)]
}

/// The own keys of a place.
pub fn of_place(place: Place) -> KeyGroup {
    let rows = places::keys(place).iter().map(|(key, what)| ((*key).to_owned(), (*what).to_owned()));
    KeyGroup { title: place.word().to_owned(), rows: rows.collect() }
}

/// The map of keys, to be printed.
pub fn sheet() -> Sheet {
    let places = Place::ALL.iter().map(|place| of_place(*place)).filter(|group| !group.rows.is_empty());
    Sheet::Keys(everywhere().into_iter().chain(places).collect())
}
