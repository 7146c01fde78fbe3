//! The air of the stores against what is said of the materials that are kept there. Sources disagree about rosewood: what all of
//! them call outside is a caution, what only one does is told with both.

use crate::collection::{AirDay, Instrument, Material, Place};
use crate::library::Library;
use crate::tuning::air::{COMMON_PRACTICE, LEAFLET, Limits, Outside};
use std::collections::BTreeMap;

/// The air of one store.
#[derive(Clone, Debug, PartialEq)]
pub struct StoreAir<'a> {
    /// The store.
    pub place: &'a Place,
    /// The latest day that was read.
    pub latest: AirDay,
    /// The least and the most relative humidity of all days that were read, per cent.
    pub span: Option<(f64, f64)>,
    /// Days on which it was drier than every source has it for something that is kept there, and days on which it was damper; by
    /// common practice where nothing is.
    pub outside: (usize, usize),
    /// What is kept there that suffers from dry or damp air: each material with its things, by name.
    pub keeps: BTreeMap<Material, Vec<&'a str>>,
}

/// What is said of one material in a store's latest air.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// In sentences, with the limits and who says so.
    pub words: String,
    /// Whether every source that has a limit says so; else they disagree.
    pub agreed: bool,
}

impl StoreAir<'_> {
    /// What is to be said of its latest day, material by material; empty where nothing that suffers is kept there, or the air is
    /// as it should be.
    pub fn cautions(&self) -> Vec<Caution> {
        let one = |(material, things): (&Material, &Vec<&str>)| {
            let whom = format!("{} ({})", material.word(), some_of(things));
            let limits = limits(*material);
            let air = [
                Air { span: self.latest.humidity, unit: "per cent", of: |limits| Some(limits.humidity) },
                Air { span: self.latest.celsius, unit: "°C", of: |limits| limits.celsius },
            ];
            let states = [["too dry", "too damp"], ["too cold", "too warm"]];
            air.into_iter()
                .zip(states)
                .filter_map(|(air, states)| air.caution((&self.place.name, &whom), limits, states))
                .collect::<Vec<_>>()
        };
        self.keeps.iter().flat_map(one).collect()
    }

    /// How many things that suffer are kept there.
    pub fn kept(&self) -> usize {
        self.keeps.values().map(Vec::len).sum()
    }
}

/// One figure of the air: its least and most of a day, and what limits have of it.
struct Air {
    span: Option<(f64, f64)>,
    unit: &'static str,
    of: fn(&Limits) -> Option<(f64, f64)>,
}

impl Air {
    fn caution(
        &self,
        (place, whom): (&str, &str),
        all: &[Limits],
        [under, over]: [&str; 2],
    ) -> Option<Caution> {
        let span = self.span?;
        let says = |limits: &Limits| {
            let wanted = (self.of)(limits)?;
            let state = match Outside::of(span, wanted) {
                Some(Outside::Under) => Some(under),
                Some(Outside::Over) => Some(over),
                None => None,
            };
            Some((state, format!("{} to {} {} by {}", wanted.0, wanted.1, self.unit, limits.source)))
        };
        let said: Vec<(Option<&str>, String)> = all.iter().filter_map(says).collect();
        let (first, _) = said.first()?;
        if said.iter().all(|(state, _)| state.is_none()) {
            return None;
        }
        let now = format!("at {:.0} to {:.0} {}", span.0, span.1, self.unit);
        if let Some(state) = first.filter(|_| said.iter().all(|(state, _)| state == first)) {
            let by = said.into_iter().map(|(_, by)| by).collect::<Vec<_>>().join(", ");
            let words = format!("{place} is {state} for {whom}, {now}: {by}. The maker’s word goes first.");
            return Some(Caution { words, agreed: true });
        }
        let each = said.into_iter().map(|(state, by)| format!("{by}: {}.", state.unwrap_or("within")));
        let each = each.collect::<Vec<_>>().join(" ");
        Some(Caution { words: format!("{place}, {whom}, {now}: sources disagree. {each}"), agreed: false })
    }
}

/// "Marimba 1 and 2 more".
fn some_of(things: &[&str]) -> String {
    match things {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [one, rest @ ..] => format!("{one} and {} more", rest.len()),
    }
}

/// What is said of the air for things of a material; nothing where the air does them no harm that was seen described.
pub const fn limits(material: Material) -> &'static [Limits] {
    match material {
        Material::Rosewood => &[LEAFLET, COMMON_PRACTICE],
        Material::Padauk | Material::Wood | Material::Skin => &[COMMON_PRACTICE],
        _ => &[],
    }
}

/// Whether a thing suffers from dry or damp air: wooden bars and skins.
pub fn suffers(thing: &Instrument) -> bool {
    !limits(thing.material).is_empty()
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
    let mut keeps: BTreeMap<Material, Vec<&str>> = BTreeMap::new();
    let kept = library.instruments.values().filter(|thing| thing.place.as_ref() == Some(&place.id));
    for thing in kept.filter(|thing| suffers(thing)) {
        keeps.entry(thing.material).or_default().push(thing.name.as_str());
    }
    for things in keeps.values_mut() {
        things.sort_unstable();
    }
    let asked: Vec<&[Limits]> = if keeps.is_empty() {
        vec![&[COMMON_PRACTICE]]
    } else {
        keeps.keys().map(|material| limits(*material)).collect()
    };
    let days = |is_out: fn((f64, f64), (f64, f64)) -> bool| {
        let out =
            |day: &(f64, f64)| asked.iter().any(|all| all.iter().all(|limits| is_out(*day, limits.humidity)));
        spans().filter(out).count()
    };
    let outside = (days(|day, limits| day.0 < limits.0), days(|day, limits| day.1 > limits.1));
    Some(StoreAir { place, latest, span, outside, keeps })
}
