//! The air of the stores against what wood and skin like.

use crate::collection::{AirDay, Instrument, Material, Place};
use crate::library::Library;
use crate::tuning::air::{Humidity, humidity};

/// The air of one store.
#[derive(Clone, Debug, PartialEq)]
pub struct StoreAir<'a> {
    /// The store.
    pub place: &'a Place,
    /// The latest day that was read.
    pub latest: AirDay,
    /// The least and the most relative humidity of all days that were read, per cent.
    pub span: Option<(f64, f64)>,
    /// Days on which it was drier than the usual limits, and days on which it was damper.
    pub outside: (usize, usize),
    /// What of wood or skin is kept there, by name.
    pub keeps: Vec<&'a str>,
}

impl StoreAir<'_> {
    /// Where the latest day stands against the usual limits; `None` where its humidity was not read.
    pub fn now(&self) -> Option<Humidity> {
        let (dry, damp) = self.latest.humidity?;
        Some(match (humidity(dry), humidity(damp)) {
            (Humidity::TooDry, _) => Humidity::TooDry,
            (_, Humidity::TooDamp) => Humidity::TooDamp,
            _ => Humidity::Usual,
        })
    }

    /// The caution, in a sentence; `None` where nothing that suffers is kept there, or the air is as is usual.
    pub fn caution(&self) -> Option<String> {
        let state = self.now().filter(|state| *state != Humidity::Usual)?;
        if self.keeps.is_empty() {
            return None;
        }
        let things = match self.keeps.as_slice() {
            [one] => (*one).to_owned(),
            [one, rest @ ..] => format!("{one} and {} more", rest.len()),
            [] => return None,
        };
        Some(format!(
            "{} is {state} for wood and skin ({things}): usual limits are 40 to 60 per cent, the maker’s word goes first.",
            self.place.name
        ))
    }
}

/// Whether a thing suffers from dry or damp air: wooden bars and skins.
pub fn suffers(thing: &Instrument) -> bool {
    matches!(thing.material, Material::Rosewood | Material::Padauk | Material::Wood | Material::Skin)
}

/// Every store whose air was read, by name.
pub fn stores(library: &Library) -> Vec<StoreAir<'_>> {
    let one = |place| store(library, place);
    let mut all: Vec<StoreAir<'_>> = library.places.values().filter_map(|place| one(place)).collect();
    all.sort_by(|a, b| a.place.name.cmp(&b.place.name));
    all
}

fn store<'a>(library: &'a Library, place: &'a Place) -> Option<StoreAir<'a>> {
    let latest = place.air.iter().max_by_key(|day| day.on).copied()?;
    let spans = || place.air.iter().filter_map(|day| day.humidity);
    let span = spans().reduce(|all, day| (all.0.min(day.0), all.1.max(day.1)));
    let dry = spans().filter(|day| humidity(day.0) == Humidity::TooDry).count();
    let damp = spans().filter(|day| humidity(day.1) == Humidity::TooDamp).count();
    let kept = library.instruments.values().filter(|thing| thing.place.as_ref() == Some(&place.id));
    let mut keeps: Vec<&str> = kept.filter(|thing| suffers(thing)).map(|thing| thing.name.as_str()).collect();
    keeps.sort_unstable();
    Some(StoreAir { place, latest, span, outside: (dry, damp), keeps })
}
