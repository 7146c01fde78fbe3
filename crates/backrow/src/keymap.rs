//! Every key of the program as a sheet: what acts everywhere, then place by place.

use crate::actions::Action;
use crate::places;
use crate::sheets::{KeyGroup, Sheet};
use crate::view::Place;

/// The map of keys, to be printed.
pub fn sheet() -> Sheet {
    let everywhere = KeyGroup {
        title: "Everywhere".to_owned(),
        rows: Action::ALL.iter().map(|action| (action.keys_words(), action.label().to_owned())).collect(),
    };
    let of_place = |place: &Place| KeyGroup {
        title: place.word().to_owned(),
        rows: places::keys(*place)
            .iter()
            .map(|(key, what)| ((*key).to_owned(), (*what).to_owned()))
            .collect(),
    };
    let places = Place::ALL.iter().map(of_place).filter(|group| !group.rows.is_empty());
    Sheet::Keys(std::iter::once(everywhere).chain(places).collect())
}
